//! What has to be done in the world, and the one place where it is done.
//!
//! Owns the order of things: saved first, shown after. Must not draw.

use std::sync::Arc;

use crate::analysis::Analysis;
use crate::job::{Entry, Opening};

use super::app::{App, Notice, Purpose, Screen, Unsaved, Walk};
use super::desk::{Desk, Trouble};
use super::field::Field;
use super::intake::Intake;
use super::lead_effect::{self, Ask};
use super::pick::{List, Pick};
use super::practice;
use super::text::clean;
use super::words;

/// Something to be done in the world.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Effect {
    /// Enter this into the job.
    Enter(Entry),
    /// Enter all of these from the grid, one by one; what could not be entered stays in it.
    Fill(Vec<Entry>),
    /// Start the demo job.
    Demo,
    /// Deal a practice job to somebody of this name.
    Practise(practice::Choice, String),
    /// Say how a closed practice job on record went.
    Debrief(String),
    /// Say how one gets on in practice.
    Progress,
    /// Keep that the tour was seen.
    TourSeen,
    /// Take the last standing entry back.
    Undo,
    /// Take an entry back by its number.
    TakeBack(u64),
    /// Start a job.
    Start(Box<Opening>),
    /// Go on with a job.
    Resume(String),
    /// Look at a record.
    Look(String),
    /// Put the job away, back to the bench.
    PutAway,
    /// Expand the tree over a layout, for the intake.
    Layout(String),
    /// Read an aircraft card, for the intake.
    Card(String),
    /// Write the job up.
    Report,
    /// Save in another folder, or in the same where it is empty, then do what could not be done.
    SaveElsewhere(String, Box<Effect>),
    /// What the lead's screens ask for.
    Lead(Ask),
    /// Clear the screen and draw it anew.
    Clear,
    /// Stop for now.
    Suspend,
    /// Leave the program.
    Quit,
}

/// What the loop does after an effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Then {
    /// Goes on.
    GoOn,
    /// Clears the screen.
    Clear,
    /// Suspends.
    Suspend,
    /// Ends.
    Quit,
}

/// Does it.
pub(super) fn run(app: &mut App, desk: &mut dyn Desk, effect: Effect) -> Then {
    match effect {
        Effect::Quit | Effect::PutAway if asks_first(app, desk) => {}
        Effect::Quit => return Then::Quit,
        Effect::Suspend => return Then::Suspend,
        Effect::Clear => return Then::Clear,
        Effect::Lead(asked) => lead_effect::run(app, desk, asked),
        Effect::Enter(entry) => enter(app, desk, entry),
        Effect::Fill(entries) => fill(app, desk, entries),
        Effect::Demo => match desk.start_demo() {
            Ok(()) => {
                walk(app, desk);
                app.say("A demo on an invented aircraft; nothing of it is kept with your records.");
            }
            Err(trouble) => app.fault(lines(&trouble.to_string())),
        },
        Effect::Practise(choice, by) => match desk.practise(&choice, &by) {
            Ok(()) => {
                walk(app, desk);
                app.say("The engine is invented, its fault is hidden, and it answers what you do.");
                if let practice::Choice::Lesson(name) = &choice {
                    practice::show_lesson(app, name);
                }
            }
            Err(trouble) => app.fault(lines(&trouble.to_string())),
        },
        Effect::Debrief(id) => match desk.debrief(Some(&id)) {
            Ok(debrief) => app.show(Screen::Debrief(Arc::new(debrief), 0)),
            Err(why) => app.fault(lines(&why)),
        },
        Effect::Progress => match desk.progress() {
            Ok((progress, unread)) => {
                app.show(Screen::Progress(Arc::new(progress), 0));
                if !unread.is_empty() {
                    app.fault(said(&unread));
                }
            }
            Err(why) => app.fault(lines(&why)),
        },
        Effect::TourSeen => desk.tour_seen(),
        Effect::Undo => match app.job.as_ref().and_then(|j| j.last_standing()) {
            Some((of, _)) => take_back(app, desk, of),
            None => app.say("There is nothing to take back."),
        },
        Effect::TakeBack(of) => take_back(app, desk, of),
        Effect::Start(opening) => match desk.start((*opening).clone()) {
            Ok(()) => {
                app.intake = None;
                walk(app, desk);
                app.say("The job is begun and saved.");
            }
            Err(trouble) => troubled(app, desk, &trouble, Effect::Start(opening)),
        },
        Effect::Resume(id) => match desk.resume(&id) {
            Ok(notes) => {
                walk(app, desk);
                if notes.is_empty() { app.say("Going on where the record stands.") } else { app.fault(said(&notes)) }
            }
            Err(why) => app.fault(lines(&why)),
        },
        Effect::Look(id) => look(app, desk, &id),
        Effect::PutAway => {
            desk.put_away();
            bench(app, desk);
        }
        Effect::Layout(name) => match desk.model(&name) {
            Ok(model) => engine(app, name, model, None),
            Err(trouble) => troubled(app, desk, &trouble, Effect::Layout(name)),
        },
        Effect::Card(path) => match desk.card(&path) {
            Ok(card) => engine(app, card.layout, card.model, Some(card.facts)),
            Err(trouble) => troubled(app, desk, &trouble, Effect::Card(path)),
        },
        Effect::Report => report(app, desk),
        Effect::SaveElsewhere(folder, again) => save_elsewhere(app, desk, &folder, *again),
    }
    Then::GoOn
}

/// Goes on in another folder with what could not be saved.
fn save_elsewhere(app: &mut App, desk: &mut dyn Desk, folder: &str, again: Effect) {
    let moved = if matches!(again, Effect::Enter(_)) { desk.save_elsewhere(folder) } else { desk.keep_in(folder) };
    if let Err(why) = moved {
        return app.fault(lines(&why));
    }
    app.stack.pop();
    match again {
        // The record may have kept the entry that waited, and saved it by itself.
        Effect::Enter(entry) if desk.job().and_then(|j| j.log().last()).is_some_and(|l| l.entry == entry) => {
            entered(app, desk, &entry);
        }
        again => drop(run(app, desk, again)),
    }
    if let (false, Some(Notice::Said(said))) = (folder.is_empty(), &app.notice) {
        let place = clean(&desk.folder());
        app.tell(format!("{said} Records are kept in {place} now: find them later with --records and that folder."));
    }
}

/// Says why something was not done, and offers another folder where that may do.
fn troubled(app: &mut App, desk: &dyn Desk, trouble: &Trouble, again: Effect) {
    app.fault(lines(&trouble.to_string()));
    app.unsaved = Unsaved::of(desk.waiting().is_some());
    if matches!(trouble, Trouble::NotSaved(_)) {
        // What waits comes first; it may be an earlier entry, and then this one was not taken.
        let again = desk.waiting().map_or(again, Effect::Enter);
        app.show(Screen::Write(Purpose::Elsewhere(Box::new(again), desk.folder()), Field::default()));
    }
}

/// Whether the person is asked first, because something is not saved: two presses of Ctrl-C in a row leave without it.
fn asks_first(app: &mut App, desk: &dyn Desk) -> bool {
    let Some(entry) = desk.waiting().filter(|_| app.unsaved != Unsaved::Asked) else { return false };
    app.unsaved = Unsaved::Asked;
    if !matches!(app.top(), Screen::Write(Purpose::Elsewhere(..), _)) {
        app.show(Screen::Write(Purpose::Elsewhere(Box::new(Effect::Enter(entry)), desk.folder()), Field::default()));
    }
    app.fault("One entry is not saved. Save it here; or leave without it: Ctrl-C.");
    true
}

pub(super) fn said(notes: &[String]) -> String {
    notes.iter().map(|n| lines(n)).collect::<Vec<_>>().join(" ")
}

/// A message of several lines as one.
pub(super) fn lines(text: &str) -> String {
    text.lines().map(|line| clean(line.trim())).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
}

/// The job that is open, or the bench with what there is to say.
pub(super) fn begin(app: &mut App, desk: &mut dyn Desk, notes: &[String]) {
    if desk.job().is_none() {
        bench(app, desk);
        return;
    }
    walk(app, desk);
    if !notes.is_empty() {
        app.fault(said(notes));
    }
}

fn refresh(app: &mut App, desk: &dyn Desk) {
    match desk.job().cloned() {
        Some(job) => app.go_on(Arc::new(job)),
        None => app.take_job(None),
    }
    app.mark = desk.mark();
    app.unsaved = Unsaved::of(desk.waiting().is_some());
}

fn walk(app: &mut App, desk: &dyn Desk) {
    app.take_job(None);
    refresh(app, desk);
    app.demo = desk.demo();
    app.bout = desk.bout();
    app.read_only = false;
    app.walk = Walk::default();
    app.back_to(|_| false);
    app.show(Screen::Walk);
}

pub(super) fn bench(app: &mut App, desk: &mut dyn Desk) {
    match desk.jobs() {
        Ok(jobs) => app.jobs = jobs,
        Err(why) => app.fault(lines(&why)),
    }
    app.take_job(None);
    app.demo = None;
    app.bout = None;
    app.mark = None;
    app.unsaved = Unsaved::Nothing;
    app.read_only = false;
    app.walk = Walk::default();
    app.stack = vec![Screen::Pick(Pick::Bench, List::default())];
}

fn look(app: &mut App, desk: &mut dyn Desk, id: &str) {
    match desk.look(id) {
        Ok((job, notes)) => {
            app.take_job(Some(Arc::new(job)));
            app.mark = Some((id.to_owned(), String::new()));
            app.read_only = true;
            report(app, desk);
            if !notes.is_empty() {
                app.fault(said(&notes));
            }
        }
        Err(why) => app.fault(lines(&why)),
    }
}

fn report(app: &mut App, desk: &dyn Desk) {
    let Some(job) = &app.job else { return };
    let known = app.analysis().map(Arc::clone);
    let analysis = known.unwrap_or_else(|| Arc::new(Analysis::of(Arc::clone(job))));
    let id = app.mark.as_ref().map(|(id, _)| id.clone()).unwrap_or_default();
    let text = desk.report(&analysis, &id);
    app.notice_ranked(analysis);
    app.show(Screen::Report { text, scroll: 0 });
}

/// The engine is known: the complaint is asked next, unless only the engine was changed.
fn engine(
    app: &mut App,
    layout: String,
    model: std::sync::Arc<crate::model::Model>,
    card: Option<crate::job::AircraftFacts>,
) {
    let last = app.jobs.iter().map(|j| j.mechanic.clone()).find(|m| !m.is_empty()).unwrap_or_default();
    let mechanic = app.intake.as_ref().map_or(last, |i| i.mechanic.text().to_owned());
    let words = app.intake.as_ref().map(|i| i.words.clone()).unwrap_or_default();
    let mut intake = Intake::new(layout, model, card, &mechanic);
    intake.words = words;
    app.intake = Some(intake);
    app.back_to(|s| matches!(s, Screen::Pick(Pick::Bench, _)));
    app.show(Screen::Pick(Pick::Complaint, List::default()));
}

fn enter(app: &mut App, desk: &mut dyn Desk, entry: Entry) {
    match desk.enter(entry.clone()) {
        Ok(()) => entered(app, desk, &entry),
        Err(trouble) => troubled(app, desk, &trouble, Effect::Enter(entry)),
    }
}

/// The cell of what was entered is empty again.
fn entered_in_grid(app: &mut App, entry: &Entry) {
    if let (Some(Screen::Grid(grid)), Some(job)) = (app.stack.last_mut(), &app.job) {
        grid.entered(job.model(), entry);
    }
}

/// Enters what the grid holds, one by one. Where one is not taken, it and those after it stay in the grid.
fn fill(app: &mut App, desk: &mut dyn Desk, entries: Vec<Entry>) {
    let count = entries.len();
    for entry in entries {
        match desk.enter(entry.clone()) {
            Ok(()) => {
                refresh(app, desk);
                entered_in_grid(app, &entry);
            }
            Err(Trouble::Refused(why)) => return app.fault(lines(&why)),
            Err(trouble) => {
                // Where an earlier entry waits, this one was not taken and stays in the grid.
                if desk.waiting().is_none_or(|waits| waits == entry) {
                    entered_in_grid(app, &entry);
                }
                return troubled(app, desk, &trouble, Effect::Enter(entry));
            }
        }
    }
    app.back_to(|s| matches!(s, Screen::Walk));
    app.walk = Walk::default();
    let last = app.job.as_ref().and_then(|j| j.log().last()).map_or(0, |l| l.number);
    app.say(format!("{count} answers saved, the last as entry {last}."));
}

/// An entry is saved: the walk goes on behind it.
fn entered(app: &mut App, desk: &mut dyn Desk, entry: &Entry) {
    refresh(app, desk);
    let keeps = match entry {
        Entry::Acknowledged { .. }
        | Entry::Note { .. }
        | Entry::Access { .. }
        | Entry::Suspected { .. }
        | Entry::Hinted => true,
        entry if entry.is_leads_word() => true,
        Entry::Showing { ran, .. } => !ran,
        _ => false,
    };
    if !keeps {
        app.walk = Walk::default();
    }
    if let Some(job) = &app.job {
        let number = job.log().last().map_or(0, |l| l.number);
        let said = words::entry(job.model(), entry);
        app.say(format!("Saved as entry {number}. {said}"));
    }
    if matches!(entry, Entry::Amend { .. }) {
        app.show(Screen::Changes(0));
    }
    match entry {
        Entry::Closed { .. } if app.bout.is_some() => debriefed(app, desk),
        Entry::Closed { .. } => report(app, desk),
        _ => {}
    }
}

/// A practice job is closed: its record gets its last word, and what is said of it is shown.
fn debriefed(app: &mut App, desk: &mut dyn Desk) {
    match desk.debrief(None) {
        Ok(debrief) => {
            // The debrief is worked out of the record as it stands, so a last word that could not be saved is no loss.
            if let Err(trouble) = desk.enter(Entry::Note { text: debrief.closing() }) {
                app.fault(lines(&trouble.to_string()));
            }
            refresh(app, desk);
            app.show(Screen::Debrief(Arc::new(debrief), 0));
        }
        Err(why) => app.fault(lines(&why)),
    }
}

fn take_back(app: &mut App, desk: &mut dyn Desk, of: u64) {
    let Some(job) = desk.job() else { return };
    let what = job.standing_entries().into_iter().find(|(n, _)| *n == of);
    let said = what.map(|(_, entry)| words::entry(job.model(), &entry)).unwrap_or_default();
    let before = app.stack.clone();
    enter(app, desk, Entry::Undo { of });
    let taken = app.job.as_ref().and_then(|j| j.log().last()).is_some_and(|l| l.entry == Entry::Undo { of });
    if taken {
        app.stack = before;
        // A closing that was taken back opens the walk again.
        let open = app.job.as_ref().is_some_and(|j| j.state().ended.is_none());
        if open && matches!(app.top(), Screen::Report { .. }) {
            app.back_to(|s| matches!(s, Screen::Walk));
        }
        app.say(format!("Taken back: entry {of}. {said}"));
    }
}
