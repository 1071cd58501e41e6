//! `view(&App, &mut Frame)`: the screen drawn from the state, and nothing else.
//!
//! Owns the division into head, body and foot. Must not change the state.

use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::text::Line;

use super::app::{App, Screen};
use super::screen;
use super::theme::{Role, Theme};
use super::widget::page::paint;
use super::widget::{head, hints};

/// The smallest terminal on which the question can be answered.
pub(crate) const SMALLEST: (u16, u16) = (40, 12);

/// Draws the screen.
pub(super) fn view(app: &App, frame: &mut Frame<'_>) {
    let area = frame.area();
    draw(app, area, frame.buffer_mut());
}

/// Draws the screen into a buffer.
pub(crate) fn draw(app: &App, area: Rect, buf: &mut Buffer) {
    if area.is_empty() {
        return;
    }
    if area.width < SMALLEST.0 || area.height < SMALLEST.1 {
        let words = format!("Terminal too small: {}x{} is needed.", SMALLEST.0, SMALLEST.1);
        buf.set_stringn(area.x, area.y, words, usize::from(area.width), app.theme.style(Role::Strong));
        return;
    }
    // One column of air at both edges.
    let inner = Rect { x: area.x + 1, width: area.width - 2, ..area };
    let columns = usize::from(inner.width);
    let head = head::head(app, columns, area.height);
    let foot = hints::foot(app, columns, area.height);
    let (top, bottom) = (rows(head.len()), rows(foot.len()));
    paint(buf, inner, &head, 0);
    paint(buf, Rect { y: inner.bottom().saturating_sub(bottom), height: bottom, ..inner }, &foot, 0);
    let height = inner.height.saturating_sub(top + bottom);
    let body = Rect { y: inner.y + top, height, ..inner };
    self::body(app, body, buf);
    if app.theme.ascii {
        to_ascii(buf);
    }
}

fn rows(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}

fn body(app: &App, area: Rect, buf: &mut Buffer) {
    match app.top() {
        Screen::Pick(pick, list) => screen::list::draw(app, pick, list, area, buf),
        Screen::Intake => screen::intake::draw(app, area, buf),
        Screen::Walk if app.walk.field.is_none() && !app.cautions().is_empty() => screen::caution::draw(app, area, buf),
        Screen::Walk => screen::walk::draw(app, area, buf),
        Screen::Levels(form) => screen::levels::draw(app, form, area, buf),
        Screen::Write(purpose, field) => screen::write::draw(app, purpose, field, area, buf),
        Screen::Card(at) | Screen::Help(at) | Screen::Report { scroll: at, .. } => {
            let lines = page(app, usize::from(area.width));
            scrolled(app, area, buf, &lines, *at);
        }
    }
}

/// Draws a page from a row on, and says so where it goes on below.
pub(crate) fn scrolled(app: &App, area: Rect, buf: &mut Buffer, lines: &[Line<'static>], at: usize) {
    let height = usize::from(area.height);
    let most = lines.len().saturating_sub(height);
    let at = at.min(most);
    if at == most || area.height < 2 {
        paint(buf, area, lines, at);
        return;
    }
    paint(buf, Rect { height: area.height - 1, ..area }, lines, at);
    let words = format!("{} more rows: Down", lines.len() - at - height + 1);
    buf.set_stringn(area.x, area.bottom() - 1, &words, usize::from(area.width), app.theme.style(Role::Key));
}

/// The lines of a page to read.
fn page(app: &App, columns: usize) -> Vec<Line<'static>> {
    match app.top() {
        Screen::Card(_) => screen::card::lines(app, columns),
        Screen::Help(_) => screen::help::lines(app, columns),
        Screen::Report { text, .. } => screen::report::lines(app, text, columns),
        _ => Vec::new(),
    }
}

/// Rows of the page to read, at the terminal's width.
pub(crate) fn page_rows(app: &App) -> usize {
    page(app, usize::from(app.size.0.saturating_sub(2)).max(1)).len()
}

/// Replaces every symbol that is not ASCII.
fn to_ascii(buf: &mut Buffer) {
    for cell in &mut buf.content {
        if !cell.symbol().is_ascii() {
            cell.set_symbol(Theme::plain(cell.symbol()));
        }
    }
}
