//! A caution, the full width of the screen, until it is acknowledged.

use ratatui::layout::Rect;

use crate::model::HazardId;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row, scrolled};
use crate::tui::words;

/// A caution takes a rule of its own colour, so a row of air between two can go where room is short.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Air {
    Between,
    None,
}

/// The cautions on a screen of this size, and the air between them: all that wait where they fit, else as many as do. What does not fit
/// is read next: nobody can acknowledge what is not on the screen.
fn fitting(app: &App, columns: usize, room: usize) -> (Vec<HazardId>, Air) {
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
    let columns = usize::from(area.width);
    let (shown, air) = fitting(app, columns, usize::from(area.height));
    let lines = lines(app, &shown, air, columns);
    canvas.drawn.cautions = shown;
    scrolled(app.theme, area, canvas, &lines, app.walk().scroll);
}
