//! Practice on the screens: what can be practised, what was said, and when a hint holds.
//!
//! Owns the list of what can be practised and the words about it. Must not draw, and must not know how a job is dealt.

use super::app::App;
use super::pick::{Does, Item};
use super::text::clean;
use super::theme::Role;
use super::widget::page::Page;
use super::words;
use crate::job::{Entry, Job, weigh};
use crate::model::{CauseId, Site};
use crate::teststand::Level;

/// What is practised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Choice {
    /// A lesson.
    Lesson(String),
    /// The next job of a graded set.
    Set(String),
    /// A job of this difficulty.
    Level(Level),
}

/// Whether an entry is work, so that a hint that was taken before it holds no longer.
fn is_work(entry: &Entry) -> bool {
    matches!(
        entry,
        Entry::Answer(_)
            | Entry::Showing { .. }
            | Entry::Provoked { .. }
            | Entry::Corrected { .. }
            | Entry::ProofRun { .. }
            | Entry::Conditions { .. }
    )
}

/// Whether a hint was taken since something was done.
#[must_use]
pub(super) fn hinted(job: &Job) -> bool {
    job.log().iter().rev().take_while(|l| !is_work(&l.entry)).any(|l| l.entry == Entry::Hinted)
}

/// Everything that can be practised: lessons, sets, jobs by difficulty, and how one gets on.
#[must_use]
pub(super) fn items(app: &App) -> Vec<Item> {
    let lesson = |l: &crate::practise::Lesson| {
        Item::new(clean(&l.title), "lesson", Does::Practise(Choice::Lesson(l.name.clone())))
    };
    let set = |s: &crate::practise::Set| Item::new(clean(&s.title), "set", Does::Practise(Choice::Set(s.name.clone())));
    let level = |level: Level| {
        Item::new(format!("A job: {}", level.words()), level.name(), Does::Practise(Choice::Level(level)))
    };
    let progress = Item::new("How you get on", "progress", Does::Progress);
    let (lessons, sets) = (app.study.lessons.iter().map(lesson), app.study.sets.iter().map(set));
    lessons.chain(sets).chain(Level::ALL.map(level)).chain([progress]).collect()
}

/// What a row of the list is about.
#[must_use]
pub(super) fn about(app: &App, does: &Does) -> String {
    match does {
        Does::Practise(Choice::Lesson(name)) => {
            app.study.lesson(name).and_then(|l| l.idea.first()).map(|idea| clean(idea)).unwrap_or_default()
        }
        Does::Practise(Choice::Set(name)) => {
            let set = app.study.set(name);
            set.map(|s| format!("{} The next job that you have not closed.", clean(&s.about))).unwrap_or_default()
        }
        Does::Progress => "Practice jobs that were closed, by how hard they were and by the part at fault.".to_owned(),
        Does::Practise(Choice::Level(_)) => {
            "The fault is drawn by the tree's own rates, the engine by a new number. Its record is marked as practice.".to_owned()
        }
        _ => "Nothing is recommended, no probability is shown, and the engine answers what you do. At the end: step by step beside the planner.".to_owned(),
    }
}

/// The causes at a site, the likeliest first; in the tree's order where what is believed is kept back.
#[must_use]
pub(super) fn causes_at(job: &Job, site: Site) -> Vec<CauseId> {
    if job.is_ranked() {
        return weigh::causes_at(job, site);
    }
    let model = job.model();
    (0..model.causes.len()).map(CauseId).filter(|id| model[*id].site == site && *id != model.unknown()).collect()
}

/// What was said to be suspected so far, newest first, in the place of the suspects.
pub(super) fn said(app: &App, job: &Job, page: &mut Page) {
    let model = job.model();
    page.rule("what you suspect; what the program believes is kept back");
    let since = job.log().iter().rev().take_while(|l| !matches!(l.entry, Entry::Answer(_)));
    if !since.into_iter().any(|l| matches!(l.entry, Entry::Suspected { .. })) {
        let words = " says it: a cause and how sure you are, before the next check";
        page.row(&[(Role::Key, "%".into()), (Role::Text, words.into())]);
    }
    for logged in job.log().iter().rev() {
        let Entry::Suspected { cause, at, sure, why } = &logged.entry else { continue };
        let Some(id) = model.find_cause(cause, *at) else { continue };
        let why = if why.is_empty() { String::new() } else { format!("  {}", clean(why)) };
        page.row(&[
            (Role::Faint, format!("{:>3} ", logged.number)),
            (Role::Strong, format!("{:>5} ", words::percent(*sure))),
            (Role::Text, words::cause(model, id)),
            (Role::Faint, why),
        ]);
    }
    if app.is_practice() {
        page.row(&[
            (Role::Key, "!".into()),
            (Role::Faint, " shows the suggestion and the suspects, for points".into()),
        ]);
    }
}
