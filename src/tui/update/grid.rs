//! The grid: typing down its columns, and entering what is in it.

use crate::tui::action::Action;
use crate::tui::app::{App, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::grid::Grid;

/// Opens the grid of the check in front.
pub(super) fn open(app: &mut App) -> Vec<Effect> {
    app.on_walk(|walk| walk.wants_grid = false);
    let Some(id) = app.front().and_then(|f| f.check()) else { return Vec::new() };
    match app.job().and_then(|job| Grid::of(job, id)) {
        Some(grid) => app.show(Screen::Grid(grid)),
        None => app.fault("This check is made at one place only; answer it here."),
    }
    Vec::new()
}

/// Carries something out on the grid, then judges it anew.
fn on(app: &mut App, change: impl FnOnce(&mut Grid)) {
    let job = app.job().cloned();
    if let (Some(Screen::Grid(grid)), Some(job)) = (app.stack.last_mut(), job) {
        grid.warned = false;
        change(grid);
        grid.judge(&job);
    }
}

pub(super) fn typed(app: &mut App, action: &Action) -> Vec<Effect> {
    on(app, |grid| {
        let Some(cell) = grid.marked() else { return };
        match action {
            Action::Type(c) if !c.is_control() => cell.field.push(*c),
            Action::Backspace => cell.field.backspace(),
            Action::Delete => cell.field = Field::default(),
            _ => {}
        }
    });
    Vec::new()
}

pub(super) fn paste(app: &mut App, text: &str) -> Vec<Effect> {
    on(app, |grid| grid.paste(text));
    Vec::new()
}

pub(super) fn act(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(Screen::Grid(grid)) = app.stack.last_mut() else { return Vec::new() };
    match action {
        Action::Enter if grid.on_last() => return save(app),
        Action::SaveAll => return save(app),
        Action::Enter | Action::Down => grid.step(true),
        Action::Up | Action::PageUp => grid.step(false),
        Action::Left => grid.aside(false),
        Action::Right => grid.aside(true),
        Action::PointCell(row, column) if grid.cell(*row, *column).is_some() => {
            (grid.row, grid.column) = (*row, *column);
        }
        _ => {}
    }
    Vec::new()
}

/// Leaves the grid; what is typed in it is not forgotten by one key.
pub(super) fn leave(app: &mut App) {
    let Some(Screen::Grid(grid)) = app.stack.last_mut() else { return };
    let typed = grid.typed();
    if typed > 0 && !grid.warned {
        grid.warned = true;
        app.fault(format!("{typed} typed and not entered. Ctrl-S enters them; Esc again forgets them."));
        return;
    }
    app.stack.pop();
}

fn save(app: &mut App) -> Vec<Effect> {
    let (Some(Screen::Grid(grid)), Some(job)) = (app.stack.last(), app.job()) else { return Vec::new() };
    match grid.entries(job.model()) {
        Ok(entries) if entries.is_empty() => {
            app.fault("Nothing is typed yet. Type a reading or a letter, or go back with Esc.");
            Vec::new()
        }
        Ok(entries) => vec![Effect::Fill(entries)],
        Err(why) => {
            app.fault(why);
            Vec::new()
        }
    }
}
