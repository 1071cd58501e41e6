//! The screens, one file each: what of the state is shown, and where.
//!
//! They draw from the state and change nothing.

use ratatui::layout::Rect;

use super::app::App;
use super::canvas::Canvas;
use super::theme::Role;
use super::widget::page::{Page, paint};

mod big;
pub(crate) mod card;
pub(crate) mod caution;
pub(crate) mod changes;
pub(crate) mod course;
pub(crate) mod debrief;
pub(crate) mod engine;
pub(crate) mod grid;
pub(crate) mod help;
pub(crate) mod intake;
pub(crate) mod learn;
pub(crate) mod levels;
pub(crate) mod list;
mod list_detail;
pub(crate) mod progress;
pub(crate) mod replay;
pub(crate) mod report;
pub(crate) mod review;
mod site_detail;
pub(crate) mod stands;
pub(crate) mod suspects;
pub(crate) mod timeline;
pub(crate) mod tour;
pub(crate) mod tree;
pub(crate) mod walk;
pub(crate) mod write;

/// What stands where something is still being worked out. It follows by itself.
fn waiting(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    let mut page = Page::new(app.theme, usize::from(area.width));
    if app.failure().is_some() {
        page.label(
            "fault",
            Role::Alarm,
            &format!("It could not be worked out: a fault of this program. {}", app.kept_words()),
        );
    } else {
        page.label(
            "wait",
            Role::Faint,
            "It is being worked out, and stands here in a moment. Keys are taken meanwhile.",
        );
    }
    paint(canvas, area, &page.into_rows(), 0);
}
