//! What has to be done in the world, and the one place where it is done.
//!
//! Owns the order of things: saved first, told after. What came of an effect goes back as messages; it must not see the state of the
//! screens, and must not draw.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::desk::{Desk, Trouble};
use super::lead::Learning;
use super::message::{Message, Now, Opened, Outcome, Wanted};
use super::mode::{Kind, Saving, Waiting};
use super::practice;
use super::think::Task;
use super::work::Work;
use crate::analysis::Analysis;
use crate::job::{Entry, Opening};
use crate::record::Saved;
use crate::review::Key;
use crate::review::listing::Row;

/// Something to be done in the world.
#[derive(Debug)]
pub(super) enum Effect {
    /// Enter this into the job.
    Enter(Entry),
    /// Enter all of these from the grid, one by one; what could not be entered stays in it.
    Fill(Vec<Entry>),
    /// Start the demo job.
    Demo,
    /// Deal a practice job to somebody of this name.
    Practise(practice::Choice, String),
    /// Say how the practice job that was just closed went, and give its record its last word.
    Debrief,
    /// Say how a closed practice job on record went.
    PastDebrief(String),
    /// Say how one gets on in practice.
    Progress,
    /// Keep that the tour was seen.
    TourSeen,
    /// Start a job.
    Start(Box<Opening>),
    /// Go on with a job; whether it was asked about an end that cannot be read.
    Resume(String, bool),
    /// Show the job that is open already, with what there is to say about its record, or the bench.
    Begin(Vec<String>),
    /// Look at a record.
    Look(String),
    /// Put away the record that is looked at.
    PutAway,
    /// Put the job away, and list those on record.
    ToBench,
    /// List the jobs on record, for the bench.
    Bench,
    /// Expand the tree over a layout, for the intake.
    Layout(String),
    /// Read an aircraft card, for the intake.
    Card(String),
    /// Write a job with this id up.
    Report(Task, String),
    /// Save in another folder, or in the same where it is empty, then do what could not be done.
    SaveElsewhere(String, Wanted),
    /// Begin long work; what ran before is stopped.
    Work(Work),
    /// Stop long work.
    StopWork,
    /// Open a record of the lead's list.
    Read(Box<Row>),
    /// Add a lead's word to a record of the list.
    Say(Arc<Row>, Entry),
    /// Write the learnt figures that are accepted to this file.
    WriteLearnt(String, Arc<Learning>, BTreeSet<Key>),
    /// Write this text of a write-up to this file.
    WriteReport(String, String),
    /// Have the loop do this.
    Loop(Then),
}

/// What the loop does after a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Then {
    /// Goes on.
    GoOn,
    /// Clears the screen and draws it anew.
    Clear,
    /// Suspends the program.
    Suspend,
    /// Hands this text to the clipboard of the terminal.
    Copy(String),
    /// Ends it.
    Quit,
}

/// Does it, and tells what came of it.
pub(super) fn run(desk: &mut dyn Desk, effect: Effect) -> Vec<Message> {
    outcomes(desk, effect).into_iter().map(|outcome| Message::Done(Box::new(outcome))).collect()
}

fn outcomes(desk: &mut dyn Desk, effect: Effect) -> Vec<Outcome> {
    let outcome = match effect {
        Effect::Loop(_) => return Vec::new(),
        Effect::Fill(entries) => return fill(desk, entries),
        Effect::SaveElsewhere(folder, wanted) => return save_elsewhere(desk, &folder, wanted),
        Effect::Enter(entry) => return tried(desk, Wanted::Entry(entry)),
        Effect::Start(opening) => return tried(desk, Wanted::Start(opening)),
        Effect::Layout(name) => return tried(desk, Wanted::Layout(name)),
        Effect::Card(path) => return tried(desk, Wanted::Card(path)),
        Effect::TourSeen => {
            desk.tour_seen();
            return Vec::new();
        }
        Effect::ToBench => return to_bench(desk),
        Effect::PutAway => {
            return desk.put_away().err().map(|why| Outcome::Failed(why.to_string())).into_iter().collect();
        }
        Effect::StopWork => {
            desk.stop();
            return Vec::new();
        }
        Effect::Demo => desk.start_demo().map_err(|why| why.to_string()).map(|()| opened(desk, Opened::Demo)),
        Effect::Practise(choice, by) => {
            desk.practise(&choice, &by).map_err(|why| why.to_string()).map(|()| opened(desk, Opened::Dealt(choice)))
        }
        Effect::Resume(id, was_asked) => match desk.doubtful_end(&id) {
            Ok(end) if !end.is_empty() && !was_asked => Ok(vec![Outcome::DoubtfulEnd(id, end)]),
            Ok(_) => desk.resume(&id).map(|notes| opened(desk, Opened::Resumed(notes))),
            Err(why) => Err(why),
        },
        Effect::Begin(notes) if desk.job().is_some() => Ok(opened(desk, Opened::Found(notes))),
        Effect::Begin(_) | Effect::Bench => Ok(vec![Outcome::Bench(desk.jobs())]),
        Effect::Debrief => debrief(desk),
        Effect::PastDebrief(id) => desk.debrief(Some(&id)).map(|debrief| vec![Outcome::PastDebrief(Box::new(debrief))]),
        Effect::Progress => desk.progress().map(|(progress, unread)| vec![Outcome::Progress(progress, unread)]),
        Effect::Look(id) => desk.look(&id).map(|(job, notes)| {
            let analysis = Arc::new(Analysis::of(job));
            let report = desk.report(&analysis, &id);
            vec![Outcome::Looked { id, analysis, report, notes }]
        }),
        Effect::Report(task, id) => {
            let analysis = task.ranked();
            Ok(vec![Outcome::Report(desk.report(&analysis, &id), analysis)])
        }
        Effect::Work(work) => desk.ask(work).map(|()| vec![Outcome::Working]),
        Effect::Read(row) => desk.read(&row).map(|(job, notes)| vec![Outcome::Read(row, Box::new(job), notes)]),
        Effect::Say(row, entry) => desk.say(&row, entry).map(|said| vec![Outcome::Said(Box::new(said))]),
        Effect::WriteReport(path, text) => {
            desk.write_report(&path, &text).map(|place| vec![Outcome::ReportWritten(place, text)])
        }
        Effect::WriteLearnt(path, learnt, accepted) => {
            desk.write_learnt(&path, &learnt.lessons, &accepted).map(|()| vec![Outcome::Written(path, accepted.len())])
        }
    };
    outcome.unwrap_or_else(|why| vec![Outcome::Failed(why)])
}

/// What came of the time that has gone by since the last entry; none where it changed nothing.
pub(super) fn pass_time(desk: &mut dyn Desk) -> Option<Message> {
    let now = desk.pass_time().then(|| now(desk)).flatten()?;
    Some(Message::Done(Box::new(Outcome::TimePassed(now))))
}

/// What came of a look at the record while nobody enters anything; none where it is in its place.
pub(super) fn look_after(desk: &mut dyn Desk) -> Option<Message> {
    let outcome = match desk.look_after()? {
        Ok(sure) => Outcome::LookedAfter(sure.told, now(desk)?),
        Err(why) => Outcome::NotInPlace(why, waiting(desk)?),
    };
    Some(Message::Done(Box::new(outcome)))
}

/// The job being worked, as it is now.
fn now(desk: &dyn Desk) -> Option<Box<Now>> {
    let job = desk.job()?.clone();
    let (id, _) = desk.mark().unwrap_or_default();
    let kind = match (desk.bout(), desk.demo()) {
        (Some(bout), _) => Kind::Practice(bout, saving(desk)),
        (None, Some(demo)) => Kind::Demo(demo),
        (None, None) => Kind::Work(saving(desk)),
    };
    Some(Box::new(Now { job, id, kind }))
}

/// Whether all of the job is saved, by proof; else what waits.
fn saving(desk: &dyn Desk) -> Saving {
    match (desk.waiting(), desk.kept()) {
        (None, Some(Ok(kept))) => Saving::Kept(kept),
        (entry, _) => Saving::Waits(Waiting { entry, folder: desk.folder() }),
    }
}

fn waiting(desk: &dyn Desk) -> Option<Waiting> {
    let entry = desk.waiting();
    let lost = || matches!(desk.kept(), Some(Err(_)));
    (entry.is_some() || lost()).then(|| Waiting { entry, folder: desk.folder() })
}

/// Puts the job away for the bench, unless that would lose some of it.
fn to_bench(desk: &mut dyn Desk) -> Vec<Outcome> {
    match desk.put_away() {
        Ok(told) => {
            let mut outcomes = vec![Outcome::Bench(desk.jobs())];
            outcomes.extend(told.map(Outcome::Failed));
            outcomes
        }
        Err(trouble) => vec![not_done(desk, Wanted::Job, trouble)],
    }
}

fn opened(desk: &dyn Desk, how: Opened) -> Vec<Outcome> {
    now(desk).map(|now| Outcome::Opened(now, how)).into_iter().collect()
}

fn entered(desk: &dyn Desk, entry: Entry, saved: Option<Saved>) -> Vec<Outcome> {
    now(desk).map(|now| Outcome::Entered(entry, saved, now)).into_iter().collect()
}

/// All of the job is in its place again.
fn made_sure(desk: &dyn Desk) -> Vec<Outcome> {
    now(desk).map(Outcome::MadeSure).into_iter().collect()
}

/// Does what another folder may help with where it cannot be done.
fn tried(desk: &mut dyn Desk, what: Wanted) -> Vec<Outcome> {
    let done = match &what {
        Wanted::Entry(entry) => desk.enter(entry.clone()).map(|saved| entered(desk, entry.clone(), saved)),
        Wanted::Job => match desk.make_sure() {
            Some(Err(why)) => Err(Trouble::NotSaved(why)),
            _ => Ok(made_sure(desk)),
        },
        Wanted::Start(opening) => desk.start((**opening).clone()).map(|()| opened(desk, Opened::Begun)),
        Wanted::Layout(name) => {
            desk.model(name).map(|model| vec![Outcome::Engine { layout: name.clone(), model, card: None }])
        }
        Wanted::Card(path) => desk
            .card(path)
            .map(|card| vec![Outcome::Engine { layout: card.layout, model: card.model, card: Some(card.facts) }]),
    };
    done.unwrap_or_else(|trouble| vec![not_done(desk, what, trouble)])
}

fn not_done(desk: &dyn Desk, what: Wanted, trouble: Trouble) -> Outcome {
    Outcome::NotDone { what, trouble, waits: waiting(desk), folder: desk.folder() }
}

/// Enters what the grid holds, one by one. Where one is not taken, it and those after it stay in the grid.
fn fill(desk: &mut dyn Desk, entries: Vec<Entry>) -> Vec<Outcome> {
    let count = entries.len();
    let mut outcomes = Vec::new();
    let mut last = None;
    for entry in entries {
        match desk.enter(entry.clone()).map(|saved| last = saved) {
            Ok(()) => outcomes.extend(now(desk).map(|now| Outcome::EnteredInGrid(entry, now))),
            Err(Trouble::Refused(why)) => {
                outcomes.push(Outcome::Failed(why));
                return outcomes;
            }
            Err(trouble) => {
                // Where an earlier entry waits, this one was not taken and stays in the grid.
                if desk.waiting().is_none_or(|waits| waits == entry) {
                    outcomes.push(Outcome::HeldOfGrid(entry.clone()));
                }
                outcomes.push(not_done(desk, Wanted::Entry(entry), trouble));
                return outcomes;
            }
        }
    }
    outcomes.push(Outcome::Filled(count, last));
    outcomes
}

/// Goes on in another folder with what could not be saved.
fn save_elsewhere(desk: &mut dyn Desk, folder: &str, wanted: Wanted) -> Vec<Outcome> {
    let moved = if matches!(wanted, Wanted::Entry(_) | Wanted::Job) {
        desk.save_elsewhere(folder).map(|sure| sure.saved)
    } else {
        desk.keep_in(folder).map(|()| None)
    };
    let saved = match moved {
        Ok(saved) => saved,
        Err(why) => return vec![Outcome::Failed(why)],
    };
    let mut outcomes = vec![Outcome::TriedAnew];
    outcomes.extend(match wanted {
        // The record may have kept the entry that waited, and saved it by itself.
        Wanted::Entry(entry) if desk.job().and_then(|j| j.log().last()).is_some_and(|l| l.entry == entry) => {
            entered(desk, entry, saved)
        }
        Wanted::Job => made_sure(desk),
        wanted => tried(desk, wanted),
    });
    if !folder.is_empty() {
        outcomes.push(Outcome::KeptIn(desk.folder()));
    }
    outcomes
}

/// A practice job is closed: its record gets its last word.
fn debrief(desk: &mut dyn Desk) -> Result<Vec<Outcome>, String> {
    let debrief = desk.debrief(None)?;
    // The debrief is worked out of the record as it stands, so a last word that could not be saved is no loss.
    let trouble = desk.enter(Entry::Note { text: debrief.closing() }).err();
    Ok(now(desk).map(|now| Outcome::Debriefed(Box::new(debrief), trouble, now)).into_iter().collect())
}
