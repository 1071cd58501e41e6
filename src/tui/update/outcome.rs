//! What follows from what came of effects: saved first, shown after.

use std::sync::Arc;

use super::{lead, practice};
use crate::analysis::Analysis;
use crate::job::{AircraftFacts, Entry, Job};
use crate::model::Model;
use crate::record::Saved;
use crate::report::WrittenUp;
use crate::tui::app::{App, Notice, Purpose, Screen};
use crate::tui::desk::{JobLine, Trouble};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::held::Held;
use crate::tui::intake::Intake;
use crate::tui::message::{Now, Opened, Outcome, Wanted};
use crate::tui::mode::{Mode, Record, Saving, Waiting, Walk, Worked};
use crate::tui::pick::{List, Pick};
use crate::tui::report::ReportView;
use crate::tui::text::clean;
use crate::tui::words;

/// Takes in what came of an effect.
pub(super) fn done(app: &mut App, outcome: Outcome) -> Vec<Effect> {
    match outcome {
        Outcome::Opened(now, how) => opened(app, *now, how),
        Outcome::Entered(entry, saved, now) => return entered(app, &entry, saved.as_ref(), *now),
        Outcome::MadeSure(now) => {
            refresh(app, *now);
            app.say(app.kept_words());
        }
        Outcome::LookedAfter(told, now) => {
            refresh(app, *now);
            if let Some(told) = told {
                app.fault(lines(&told));
            }
        }
        // Nothing is put in front of what is being typed: that it is not saved stands at the foot.
        Outcome::NotInPlace(why, waits) => {
            app.fault(format!("{} {}", waits.words(), lines(&why)));
            if let Some(saving) = app.saving_mut() {
                *saving = Saving::Waits(waits);
            }
        }
        Outcome::EnteredInGrid(entry, now) => {
            refresh(app, *now);
            entered_in_grid(app, &entry);
        }
        Outcome::TimePassed(now) => refresh(app, *now),
        Outcome::HeldOfGrid(entry) => entered_in_grid(app, &entry),
        Outcome::Filled(count, saved) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            app.set_walk(Walk::default());
            app.say(saved.map_or_else(|| format!("{count} answers entered."), |last| last.words_of(count)));
        }
        Outcome::Debriefed(debrief, trouble, now) => {
            if let Some(trouble) = trouble {
                app.fault(lines(&trouble.to_string()));
            }
            refresh(app, *now);
            app.show(Screen::Debrief(Arc::from(debrief), 0));
        }
        Outcome::PastDebrief(debrief) => app.show(Screen::Debrief(Arc::from(debrief), 0)),
        Outcome::Progress(progress, unread) => {
            app.show(Screen::Progress(Arc::new(progress), 0));
            if !unread.is_empty() {
                app.fault(said(&unread));
            }
        }
        Outcome::Bench(jobs) => bench(app, jobs),
        Outcome::DoubtfulEnd(id, end) => app.show(Screen::Pick(Pick::DoubtfulEnd(id, end), List::default())),
        Outcome::Looked { id, analysis, report, notes } => looked(app, id, analysis, report, &notes),
        Outcome::Engine { layout, model, card } => engine(app, layout, model, card),
        Outcome::Report(written, analysis) => {
            if let Some(held) = app.mode.held_mut() {
                held.notice_ranked(analysis);
            }
            app.show(Screen::Report(ReportView::of(written)));
        }
        Outcome::TriedAnew => drop(app.stack.pop()),
        Outcome::KeptIn(folder) => {
            if let Some(Notice::Said(said)) = &app.notice {
                let place = clean(&folder);
                app.tell(format!(
                    "{said} Records are kept in {place} now: find them later with --records and that folder."
                ));
            }
        }
        Outcome::NotDone { what, trouble, waits, folder } => not_done(app, what, &trouble, waits, folder),
        Outcome::Failed(why) => app.fault(lines(&why)),
        Outcome::Working => lead::working(app),
        Outcome::Read(row, job, notes) => return lead::read(app, *row, *job, &notes),
        Outcome::Said(job) => return lead::said(app, *job),
        Outcome::ReportWritten(path, text) => super::report::written(app, &path, &text),
        Outcome::Written(path, count) => lead::written(app, &path, count),
    }
    Vec::new()
}

/// A job is open: the walk.
fn opened(app: &mut App, now: Now, how: Opened) {
    app.mode = Mode::Job(Box::new(Worked::new(now.id, Arc::new(now.job), now.kind)));
    app.back_to(|_| false);
    app.show(Screen::Walk);
    match how {
        Opened::Begun => match app.worked().and_then(Worked::saving).and_then(Saving::kept) {
            Some(kept) => app.say(kept.words_of_beginning()),
            None => app.fault(app.kept_words()),
        },
        Opened::Demo => app.say("A demo on an invented aircraft; nothing of it is kept with your records."),
        Opened::Dealt(choice) => {
            app.say("The engine is invented, its fault is hidden, and it answers what you do.");
            practice::show_lesson(app, &choice);
        }
        Opened::Resumed(notes) if notes.is_empty() => app.say("Going on where the record stands."),
        Opened::Found(notes) if notes.is_empty() => {}
        Opened::Resumed(notes) | Opened::Found(notes) => app.fault(said(&notes)),
    }
}

/// The job as it is now; what was entered tells it from the one before.
fn refresh(app: &mut App, now: Now) {
    let Mode::Job(worked) = &mut app.mode else { return };
    worked.go_on(Arc::new(now.job), now.kind);
    worked.id = now.id;
}

/// No job is open.
fn bench(app: &mut App, jobs: Result<Vec<JobLine>, String>) {
    match jobs {
        Ok(jobs) => app.jobs = jobs,
        Err(why) => app.fault(lines(&why)),
    }
    app.mode = Mode::Bench;
    app.stack = vec![Screen::Pick(Pick::Bench, List::default())];
}

/// A record is looked at, by its write-up.
fn looked(app: &mut App, id: String, analysis: Arc<Analysis>, report: WrittenUp, notes: &[String]) {
    app.mode = Mode::Record(Box::new(Record { id, held: Held::of(analysis) }));
    app.show(Screen::Report(ReportView::of(report)));
    if !notes.is_empty() {
        app.fault(said(notes));
    }
}

/// The engine is known: the complaint is asked next, unless only the engine was changed.
fn engine(app: &mut App, layout: String, model: Arc<Model>, card: Option<AircraftFacts>) {
    let last = app.jobs.iter().map(|j| j.mechanic.clone()).find(|m| !m.is_empty()).unwrap_or_default();
    let mechanic = app.intake().map_or(last, |i| i.mechanic.text().to_owned());
    let words = app.intake().map(|i| i.words.clone()).unwrap_or_default();
    let mut intake = Intake::new(layout, model, card, &mechanic);
    intake.words = words;
    app.mode = Mode::Intake(Box::new(intake));
    app.back_to(|s| matches!(s, Screen::Pick(Pick::Bench, _)));
    app.show(Screen::Pick(Pick::Complaint, List::default()));
}

/// Says why something was not done, and offers another folder where that may do.
fn not_done(app: &mut App, what: Wanted, trouble: &Trouble, waits: Option<Waiting>, folder: String) {
    app.fault(lines(&trouble.to_string()));
    if matches!(trouble, Trouble::NotSaved(_)) {
        // What waits comes first; it may be an earlier entry, and then this one was not taken.
        let what = waits.as_ref().and_then(|waits| waits.entry.clone()).map_or(what, Wanted::Entry);
        app.show(Screen::Write(Purpose::Elsewhere(what, folder), Field::default()));
    }
    if let (Some(saving), Some(waits)) = (app.saving_mut(), waits) {
        *saving = Saving::Waits(waits);
    }
}

/// The cell of what was entered is empty again.
fn entered_in_grid(app: &mut App, entry: &Entry) {
    if let (Some(Screen::Grid(grid)), Some(held)) = (app.stack.last_mut(), app.mode.held()) {
        grid.entered(held.job().model(), entry);
    }
}

/// An entry is saved: the walk goes on behind it.
fn entered(app: &mut App, entry: &Entry, saved: Option<&Saved>, now: Now) -> Vec<Effect> {
    let before = app.job().cloned();
    refresh(app, now);
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
        app.set_walk(Walk::default());
    }
    let Some(job) = app.job().cloned() else { return Vec::new() };
    let number = job.log().last().map_or(0, |l| l.number);
    let said = words::entry(job.model(), entry);
    let as_entry = saved.map_or_else(|| format!("Entry {number}"), Saved::words);
    match saved.and_then(Saved::told) {
        Some(told) => app.fault(lines(&format!("{told} {as_entry}. {said}"))),
        None => app.say(format!("{as_entry}. {said}")),
    }
    match entry {
        Entry::Undo { of } => taken_back(app, *of, before.as_deref()),
        Entry::Amend { .. } => app.show(Screen::Changes(0)),
        Entry::Closed { .. } if app.is_practice() => return vec![Effect::Debrief],
        Entry::Closed { .. } => return super::write_up(app),
        _ => {}
    }
    Vec::new()
}

/// An entry was taken back: it is said which.
fn taken_back(app: &mut App, of: u64, before: Option<&Job>) {
    let Some(before) = before else { return };
    let what = before.standing_entries().into_iter().find(|(n, _)| *n == of);
    let said = what.map(|(_, entry)| words::entry(before.model(), &entry)).unwrap_or_default();
    // A closing that was taken back opens the walk again.
    let open = app.job().is_some_and(|j| j.state().ended.is_none());
    if open && matches!(app.top(), Screen::Report(_)) {
        app.back_to(|s| matches!(s, Screen::Walk));
    }
    // That the record had to be written anew is not talked over.
    if matches!(app.notice, Some(Notice::Said(_))) {
        app.say(format!("Taken back: entry {of}. {said}"));
    }
}

pub(super) fn said(notes: &[String]) -> String {
    notes.iter().map(|n| lines(n)).collect::<Vec<_>>().join(" ")
}

/// A message of several lines as one.
pub(super) fn lines(text: &str) -> String {
    text.lines().map(|line| clean(line.trim())).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
}
