//! What the shop lead's screens ask of the world, and where it is done: saved first, shown after.

use std::sync::Arc;

use super::app::{App, Screen};
use super::desk::Desk;
use super::effect;
use super::lead::{self, LearnView, ReplayView, ReviewView, Walked};
use super::work::Work;
use crate::job::Entry;

/// Something the lead's screens ask for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Ask {
    /// The records.
    Review,
    /// What they teach.
    Learn,
    /// The record at this place of the list, walked again.
    Walk(usize),
    /// A lead's word on the record being walked.
    Say(Entry),
    /// The figures accepted, written to this file.
    Write(String),
    /// Long work is to stop.
    Stop,
    /// Back from a record to the list.
    Leave,
    /// Back from the list or the lessons.
    Close,
}

/// Does it.
pub(super) fn run(app: &mut App, desk: &mut dyn Desk, asked: Ask) {
    match asked {
        Ask::Review => {
            app.lead.listed = false;
            app.lead.rows = Arc::default();
            app.show(Screen::Review(ReviewView::default()));
            begin(app, desk, Work::List);
        }
        Ask::Learn => {
            app.lead.learnt = None;
            app.lead.accepted.clear();
            app.show(Screen::Learn(LearnView::default()));
            begin(app, desk, Work::Learn);
        }
        Ask::Walk(at) => walk(app, desk, at),
        Ask::Say(entry) => say(app, desk, entry),
        Ask::Write(path) => write(app, desk, &path),
        Ask::Stop => {
            desk.stop();
            app.lead.busy = false;
            app.lead.far = None;
            app.say("Stopped. What was worked out so far stays.");
        }
        Ask::Leave => {
            desk.stop();
            desk.put_away();
            app.take_job(None);
            (app.mark, app.read_only, app.lead.walked) = (None, false, None);
            app.back_to(|s| matches!(s, Screen::Review(_) | Screen::Pick(super::pick::Pick::Bench, _)));
            // What was said meanwhile is in the list, and what was left to work out goes on.
            begin(app, desk, Work::List);
        }
        Ask::Close => {
            desk.stop();
            (app.lead.busy, app.lead.far) = (false, None);
            effect::bench(app, desk);
        }
    }
}

fn begin(app: &mut App, desk: &mut dyn Desk, work: Work) {
    app.lead.far = None;
    match desk.ask(work) {
        Ok(()) => app.lead.busy = true,
        Err(why) => app.fault(why),
    }
}

fn walk(app: &mut App, desk: &mut dyn Desk, at: usize) {
    let Some(row) = app.lead.rows.get(at).cloned() else { return };
    if row.id.is_empty() {
        app.fault("No job can be read from this file. `roughrun verify` tells what is wrong and what can be saved.");
        return;
    }
    match desk.read(&row) {
        Ok((job, notes)) => {
            let job = Arc::new(job);
            app.take_job(Some(Arc::clone(&job)));
            app.mark = Some((row.id.clone(), String::new()));
            app.read_only = true;
            app.lead.walked = Some(Walked { row: Arc::new(row), steps: Arc::default(), totals: None, fresh: false });
            app.show(Screen::Replay(ReplayView::default()));
            begin(app, desk, Work::Replay(job));
            if !notes.is_empty() {
                app.fault(effect::said(&notes));
            }
        }
        Err(why) => app.fault(effect::lines(&why)),
    }
}

fn say(app: &mut App, desk: &mut dyn Desk, entry: Entry) {
    let Some(row) = app.lead.walked.as_ref().map(|walked| Arc::clone(&walked.row)) else { return };
    match desk.say(&row, entry) {
        Ok(job) => {
            app.back_to(|s| matches!(s, Screen::Replay(_)));
            let job = Arc::new(job);
            let number = job.log().last().map_or(0, |logged| logged.number);
            // The remark stands beside its entry at once; nothing else of the steps has changed but what comes behind.
            app.go_on(Arc::clone(&job));
            lead::restart(app);
            begin(app, desk, Work::Replay(job));
            app.say(format!("Saved as entry {number} of the record."));
        }
        Err(why) => app.fault(effect::lines(&why)),
    }
}

fn write(app: &mut App, desk: &mut dyn Desk, path: &str) {
    let Some(learnt) = app.lead.learnt.clone() else { return };
    match desk.write_learnt(path, &learnt.lessons, &app.lead.accepted) {
        Ok(()) => {
            app.back_to(|s| matches!(s, Screen::Learn(_)));
            let count = app.lead.accepted.len();
            let figures = if count == 1 { "figure" } else { "figures" };
            app.say(format!(
                "{count} {figures} written to {}. Read them, keep the file under version control, and use it with --learnt.",
                super::text::clean(path)
            ));
        }
        Err(why) => app.fault(effect::lines(&why)),
    }
}
