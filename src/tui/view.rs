//! `view(&App, &mut Frame) -> Drawn`: the screen drawn from the state, and nothing else.
//!
//! Owns the division into head, body and foot. Must not change the state.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::app::{App, Screen};
use super::canvas::{Canvas, Drawn};
use super::pick::Pick;
use super::screen;
use super::theme::{Role, Theme};
use super::widget::page::{Row, paint, scrolled};
use super::widget::{head, hints};

/// The smallest terminal on which the question can be answered.
pub(crate) const SMALLEST: (u16, u16) = (40, 12);

/// Draws the screen; what of something long was drawn.
pub(super) fn view(app: &App, frame: &mut Frame<'_>) -> Drawn {
    let area = frame.area();
    let mut canvas = Canvas::new(frame.buffer_mut());
    draw(app, area, &mut canvas);
    canvas.drawn
}

/// What a press of the mouse on a screen of this size means.
pub(super) fn pressed(app: &App, column: u16, row: u16) -> Option<super::action::Action> {
    let area = Rect::new(0, 0, app.size.0, app.size.1);
    let mut buffer = ratatui::buffer::Buffer::empty(area);
    let mut canvas = Canvas::new(&mut buffer);
    draw(app, area, &mut canvas);
    canvas.at(column, row)
}

/// Draws the screen into a buffer.
pub(crate) fn draw(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    if area.is_empty() {
        return;
    }
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        let words = ["Terminal too small:".to_owned(), format!("{}x{} is needed.", SMALLEST.0, SMALLEST.1)];
        let short = ["Too small:".to_owned(), format!("{}x{}.", SMALLEST.0, SMALLEST.1)];
        let fit = |lines: &[String; 2]| lines.iter().all(|l| l.len() <= usize::from(area.width));
        for (row, line) in (area.y..area.bottom()).zip(if fit(&words) { words } else { short }) {
            canvas.buf.set_stringn(area.x, row, line, usize::from(area.width), app.theme.style(Role::Strong));
        }
        return;
    }
    // One column of air at both edges.
    let inner = Rect { x: area.x + 1, width: area.width - 2, ..area };
    let columns = usize::from(inner.width);
    let head = head::head(app, columns, area.height);
    let foot = hints::foot(app, columns, area.height);
    let (top, bottom) = (rows(head.len()), rows(foot.len()));
    paint(canvas, inner, &head, 0);
    paint(canvas, Rect { y: inner.bottom().saturating_sub(bottom), height: bottom, ..inner }, &foot, 0);
    let height = inner.height.saturating_sub(top + bottom);
    let body = Rect { y: inner.y + top, height, ..inner };
    self::body(app, body, canvas);
    if app.theme.ascii {
        to_ascii(canvas.buf);
    }
}

fn rows(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}

fn body(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    match app.top() {
        Screen::Pick(Pick::Entries, list) => screen::timeline::draw(app, list, area, canvas),
        Screen::Pick(pick, list) => screen::list::draw(app, pick, list, area, canvas),
        Screen::Intake => screen::intake::draw(app, area, canvas),
        Screen::Walk if app.walk().field.is_none() && !app.cautions().is_empty() => {
            screen::caution::draw(app, area, canvas);
        }
        Screen::Walk => screen::walk::draw(app, area, canvas),
        Screen::Levels(form) => screen::levels::draw(app, form, area, canvas),
        Screen::Write(purpose, field) => screen::write::draw(app, purpose, field, area, canvas),
        Screen::Engine(view) => screen::engine::draw(app, view, area, canvas),
        Screen::Tree(view) => screen::tree::draw(app, view, area, canvas),
        Screen::Grid(grid) => screen::grid::draw(app, grid, area, canvas),
        Screen::Course(back) => screen::course::draw(app, *back, area, canvas),
        Screen::Review(view) => screen::review::draw(app, view, area, canvas),
        Screen::Replay(view) => screen::replay::draw(app, *view, area, canvas),
        Screen::Learn(view) => screen::learn::draw(app, *view, area, canvas),
        Screen::Report(view) => screen::report::draw(app, view, area, canvas),
        Screen::Tour => scrolled(app.theme, area, canvas, &page(app, usize::from(area.width)), 0),
        Screen::Card(at)
        | Screen::Stands(at)
        | Screen::Help(at)
        | Screen::Changes(at)
        | Screen::Debrief(_, at)
        | Screen::Progress(_, at) => {
            let lines = page(app, usize::from(area.width));
            scrolled(app.theme, area, canvas, &lines, *at);
        }
    }
}

/// The lines of a page to read.
fn page(app: &App, columns: usize) -> Vec<Row> {
    match app.top() {
        Screen::Card(_) => screen::card::lines(app, columns),
        Screen::Stands(_) => screen::stands::lines(app, columns),
        Screen::Help(_) => screen::help::lines(app, columns),
        Screen::Changes(_) => screen::changes::lines(app, columns),
        Screen::Tour => screen::tour::lines(app, columns),
        Screen::Debrief(debrief, _) => screen::debrief::lines(app, debrief, columns),
        Screen::Progress(progress, _) => screen::progress::lines(app, progress, columns),
        _ => Vec::new(),
    }
}

/// Replaces every symbol that is not ASCII.
fn to_ascii(buf: &mut ratatui::buffer::Buffer) {
    for cell in &mut buf.content {
        if !cell.symbol().is_ascii() {
            cell.set_symbol(Theme::plain(cell.symbol()));
        }
    }
}
