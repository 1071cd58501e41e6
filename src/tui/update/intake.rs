//! The intake's rows.

use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::effect::Effect;
use crate::tui::intake::Line;
use crate::tui::pick::Pick;

use super::show_list;

pub(super) fn act(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(intake) = app.intake_mut() else { return Vec::new() };
    let last = intake.lines().len().saturating_sub(1);
    match action {
        Action::Up | Action::PageUp => intake.row = intake.row.checked_sub(1).unwrap_or(last),
        Action::Down | Action::PageDown => intake.row = if intake.row >= last { 0 } else { intake.row + 1 },
        Action::Left | Action::Right => match intake.line() {
            Line::Engine => return show_list(app, Pick::Engine),
            Line::Complaint => return show_list(app, Pick::Complaint),
            Line::RecentWork => return show_list(app, Pick::RecentWork),
            _ => intake.change(*action == Action::Right),
        },
        Action::Enter => match intake.opening() {
            Ok(opening) => return vec![Effect::Start(Box::new(opening))],
            Err(why) => app.fault(why),
        },
        _ => {}
    }
    Vec::new()
}
