//! A caution, the full width of the screen, until it is acknowledged.

use ratatui::layout::Rect;

use crate::model::HazardId;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};
use crate::tui::words;

/// Rows that head and foot may take of a screen with a caution.
const OTHER_ROWS: usize = 9;

/// The cautions on the screen now: all that wait where they fit, else the first.
pub(crate) fn shown(app: &App) -> Vec<HazardId> {
    let waiting = app.cautions();
    let columns = usize::from(app.size.0.saturating_sub(2)).max(1);
    let room = usize::from(app.size.1).saturating_sub(OTHER_ROWS);
    let mut shown = waiting.clone();
    while shown.len() > 1 && lines(app, &shown, columns).len() > room {
        shown.pop();
    }
    shown
}

/// Rows of the caution.
pub(crate) fn rows(app: &App) -> usize {
    lines(app, &shown(app), usize::from(app.size.0.saturating_sub(2)).max(1)).len().saturating_sub(1)
}

fn lines(app: &App, hazards: &[HazardId], columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let (Some(job), Some(front)) = (&app.job, app.front()) else { return Vec::new() };
    let model = job.model();
    for hazard in hazards {
        let hazard = &model[*hazard];
        page.row(&[(Role::Alarm, pad(&format!(" CAUTION  {}", clean(&hazard.title)), columns))]);
        page.text(Role::Strong, &clean(&hazard.caution));
        page.blank();
    }
    let ahead = words::action(model, job, front.action);
    page.row(&[(Role::Faint, format!("before  {ahead}"))]);
    let left = app.cautions().len().saturating_sub(hazards.len());
    if left > 0 {
        page.row(&[(Role::Faint, format!("{left} more to read"))]);
    }
    page.text(Role::Faint, "Follow the manufacturer's current instructions and local rules.");
    page.into_rows()
}

pub(crate) fn draw(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    let lines = lines(app, &shown(app), usize::from(area.width));
    crate::tui::view::scrolled(app, area, canvas, &lines, app.walk.scroll);
}
