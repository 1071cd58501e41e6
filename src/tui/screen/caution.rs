//! A caution, the full width of the screen, until it is acknowledged.

use ratatui::layout::Rect;

use crate::model::HazardId;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};
use crate::tui::widget::{head, hints};
use crate::tui::words;

/// A caution takes a rule of its own colour, so a row of air between two can go where room is short.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Air {
    Between,
    None,
}

/// The cautions on the screen now, and the air between them: all that wait where they fit, else as many as do. What does not fit is read
/// next: nobody can acknowledge what is not on the screen.
fn fitting(app: &App) -> (Vec<HazardId>, Air) {
    let (columns, room) = (columns(app), room(app));
    let mut shown = app.cautions();
    loop {
        for air in [Air::Between, Air::None] {
            if lines(app, &shown, air, columns).len() <= room {
                return (shown, air);
            }
        }
        if shown.len() <= 1 {
            return (shown, Air::None);
        }
        shown.pop();
    }
}

/// The cautions on the screen now.
pub(crate) fn shown(app: &App) -> Vec<HazardId> {
    fitting(app).0
}

/// How far the caution can be scrolled, and how far at once with nothing passed over.
pub(crate) fn scroll(app: &App) -> (usize, usize) {
    let (shown, air) = fitting(app);
    let room = room(app);
    // Where it goes on below, the last row says so.
    (lines(app, &shown, air, columns(app)).len().saturating_sub(room), room.saturating_sub(1).max(1))
}

fn room(app: &App) -> usize {
    let columns = columns(app);
    let around = head::head(app, columns, app.size.1).len() + hints::foot(app, columns, app.size.1).len();
    usize::from(app.size.1).saturating_sub(around)
}

fn columns(app: &App) -> usize {
    usize::from(app.size.0.saturating_sub(2)).max(1)
}

fn lines(app: &App, hazards: &[HazardId], air: Air, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let (Some(job), Some(front)) = (app.job(), app.front()) else { return Vec::new() };
    let model = job.model();
    for hazard in hazards {
        let hazard = &model[*hazard];
        page.row(&[(Role::Alarm, pad(&format!(" CAUTION  {}", clean(&hazard.title)), columns))]);
        page.text(Role::Strong, &clean(&hazard.caution));
        if air == Air::Between {
            page.blank();
        }
    }
    let ahead = words::action(model, job, front.action);
    let left = app.cautions().len().saturating_sub(hazards.len());
    let more = if left > 0 { format!("   {left} more to read") } else { String::new() };
    page.row(&[(Role::Faint, format!("before  {ahead}{more}"))]);
    page.text(Role::Faint, "Follow the manufacturer's current instructions and local rules.");
    page.into_rows()
}

pub(crate) fn draw(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    let (shown, air) = fitting(app);
    let lines = lines(app, &shown, air, usize::from(area.width));
    crate::tui::view::scrolled(app, area, canvas, &lines, app.walk().scroll);
}
