//! Practice in lists and pages: what can be practised, and what was said to be suspected.
//!
//! Must not know how a job is dealt.

use super::app::App;
use super::pick::{Does, Item};
use super::practice::Choice;
use super::text::clean;
use super::theme::Role;
use super::widget::page::Page;
use super::words;
use crate::job::{Entry, Job};
use crate::study::Level;

/// Everything that can be practised: lessons, sets, jobs by difficulty, and how one gets on.
#[must_use]
pub(super) fn items(app: &App) -> Vec<Item> {
    let lesson =
        |l: &crate::study::Lesson| Item::new(clean(&l.title), "lesson", Does::Practise(Choice::Lesson(l.name.clone())));
    let set = |s: &crate::study::Set| Item::new(clean(&s.title), "set", Does::Practise(Choice::Set(s.name.clone())));
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
