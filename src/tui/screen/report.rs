//! The job written up, to read, with what is searched in it.

use std::ops::Range;

use ratatui::layout::Rect;

use crate::report::{LABELS, WARNS, headings};
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::report::ReportView;
use crate::tui::text::clean;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, paint, scrolled};

pub(crate) fn draw(app: &App, view: &ReportView, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let (lines, found) = view.set(columns);
    let bar = if view.searches() { search(app, view, found.len(), columns) } else { Page::new(app.theme, columns) };
    let mut page = Page::new(app.theme, columns);
    let headings = headings(&view.text);
    let pieces = found.iter().enumerate().flat_map(|(at, place)| place.iter().map(move |piece| (at, piece)));
    let mut pieces = pieces.peekable();
    for (row, line) in lines.iter().enumerate() {
        let mut marked = Vec::new();
        while let Some((at, (_, bytes))) = pieces.next_if(|(_, (of, _))| *of == row) {
            marked.push((bytes.clone(), if at == view.at { Role::Chosen } else { Role::Field }));
        }
        let heading = headings.iter().find(|heading| heading.line == line.of && !line.goes_on);
        let (end, first) = match heading {
            Some(label) if label.is_label && label.title == WARNS => (LABELS, Role::Alarm),
            Some(label) if label.is_label => (LABELS, Role::Strong),
            Some(_) => (line.words.len(), Role::Title),
            None => (0, Role::Text),
        };
        page.row(&split(&line.words, end, first, &marked));
    }
    let bar = bar.into_rows();
    let above = u16::try_from(bar.len()).unwrap_or(0).min(area.height);
    paint(canvas, area, &bar, 0);
    let below = Rect { y: area.y + above, height: area.height - above, ..area };
    scrolled(app.theme, below, canvas, &page.into_rows(), view.scroll);
}

/// What is searched, and how often it is there.
fn search(app: &App, view: &ReportView, count: usize, columns: usize) -> Page {
    let mut page = Page::new(app.theme, columns);
    let (before, behind) = view.search.around();
    let caret = if view.is_typing { app.theme.glyphs().caret } else { "" };
    let field = format!("{}{caret}{}", clean(before), clean(behind));
    let said = match count {
        0 if view.search.text().trim().is_empty() => String::new(),
        0 => match view.found_folded() {
            0 => "not found".to_owned(),
            folded => format!("not here; {folded} in the other form, by O"),
        },
        count => format!("{} of {count} found", view.at.min(count - 1) + 1),
    };
    page.spread(&[(Role::Faint, "search ".into()), (Role::Field, field)], &[(Role::Strong, said)]);
    page
}

/// A row in pieces: its first columns in a role of their own, what was found marked.
fn split(words: &str, end: usize, first: Role, marked: &[(Range<usize>, Role)]) -> Vec<(Role, String)> {
    let role_at = |at: usize| {
        let found = marked.iter().find(|(bytes, _)| bytes.contains(&at)).map(|(_, role)| *role);
        found.unwrap_or(if at < end { first } else { Role::Text })
    };
    let mut pieces: Vec<(Role, String)> = Vec::new();
    for (at, c) in words.char_indices() {
        let role = role_at(at);
        match pieces.last_mut() {
            Some((last, piece)) if *last == role => piece.push(c),
            _ => pieces.push((role, c.to_string())),
        }
    }
    pieces
}
