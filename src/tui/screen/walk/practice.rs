//! The walk in practice while nothing is chosen: what was seen last, and the ways to choose.

use ratatui::layout::Rect;

use crate::job::{Entry, Job};
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::screen::suspects;
use crate::tui::text::clean;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, keep, paint};
use crate::tui::words;

/// The ways to choose what to do, with their keys.
const WAYS: &[(&str, &str, Action)] = &[
    ("/", "choose a check", Action::Others),
    ("M", "choose on the engine", Action::Engine),
    ("W", "run it and see whether it shows", Action::Showing),
    ("P", "provoke the fault", Action::Provoke),
    ("F", "put something right", Action::Correct),
    ("R", "make the proof run", Action::Proof),
    ("E", "close the job", Action::Close),
];

pub(super) fn draw(app: &App, job: &Job, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let mut page = Page::new(app.theme, columns);
    seen_last(job, &mut page);
    page.label("next", Role::Title, "What do you do next?");
    for (key, does, action) in WAYS {
        let line = page.len();
        page.labelled("", &[(Role::Key, format!("{key} ")), (Role::Text, (*does).to_owned())]);
        page.does(line, action);
    }
    page.blank();
    let height = usize::from(area.height);
    let rows = page.into_rows();
    let used = rows.len().min(height.saturating_sub(2));
    paint(canvas, area, &keep(app.theme, rows, used, ""), 0);
    let top = u16::try_from(used).unwrap_or(u16::MAX).min(area.height);
    let below = Rect { y: area.y + top, height: area.height - top, ..area };
    paint(canvas, below, &suspects::lines(app, job, columns, usize::from(below.height)), 0);
}

/// What the engine answered last: the outcome, the reading, and what its limit says.
fn seen_last(job: &Job, page: &mut Page) {
    let model = job.model();
    let is_work = |entry: &Entry| {
        matches!(
            entry,
            Entry::Answer(_)
                | Entry::Showing { .. }
                | Entry::ProofRun { .. }
                | Entry::Provoked { .. }
                | Entry::Corrected { .. }
        )
    };
    let Some(last) = job.log().iter().rev().find(|l| is_work(&l.entry)) else {
        let words = job.opening().map(|o| clean(&o.words)).filter(|w| !w.is_empty());
        page.label("pilot", Role::Text, &words.unwrap_or_else(|| "Nothing was looked at yet.".into()));
        return;
    };
    let given = job.state().given.iter().find(|g| g.number == last.number);
    let good = match (&last.entry, given.and_then(crate::job::Given::seen)) {
        (Entry::Answer(_), Some(crate::model::Seen::Normal)) => Role::Good,
        (Entry::Answer(_), _) => Role::Warn,
        _ => Role::Strong,
    };
    page.label("seen", good, &words::entry(model, &last.entry));
    // Where the eye told, the limit has nothing to ask.
    if let Some(Ok(judged)) = given.filter(|g| g.chosen.is_none()).and_then(|g| g.judged.as_ref()) {
        page.label("judged", Role::Text, &clean(&judged.words));
    }
    page.blank();
}
