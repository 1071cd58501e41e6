//! The job written up, to read.

use crate::tui::app::App;
use crate::tui::text::{clean, width, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

/// The width the write-up is set to. A row that has no room for the next one's first word goes on in it.
const SET_TO: usize = 96;

/// The write-up wrapped to the width; indents are kept, and rows that were wrapped already are joined first.
pub(crate) fn lines(app: &App, text: &str, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let mut rows = text.lines().peekable();
    while let Some(row) = rows.next() {
        let indent = indent_of(row);
        let mut words = row.trim().to_owned();
        let mut last = row;
        let mut deeper = None;
        while let Some(next) = rows.next_if(|next| width(last) > columns && goes_on(last, next)) {
            deeper = Some(indent_of(next));
            words = format!("{words} {}", next.trim());
            last = next;
        }
        hang(&mut page, &clean(&words), indent, deeper.unwrap_or(indent), columns);
    }
    page.into_rows()
}

fn indent_of(row: &str) -> usize {
    row.len() - row.trim_start().len()
}

fn goes_on(row: &str, next: &str) -> bool {
    let first = next.split_whitespace().next().map_or(SET_TO, width);
    !next.trim().is_empty() && width(row.trim_end()) + 1 + first > SET_TO
}

/// One row, the rows it wraps to set in by `deeper`. Blanks within a row that fits are kept: they make columns.
fn hang(page: &mut Page, words: &str, indent: usize, deeper: usize, columns: usize) {
    let (indent, deeper) = (indent.min(columns / 2), deeper.min(columns / 2));
    if width(words) + indent <= columns {
        page.row(&[(Role::Text, format!("{}{words}", " ".repeat(indent)))]);
        return;
    }
    // A name in front of what is set in deeper keeps its columns.
    let name: String = words.chars().take(deeper.saturating_sub(indent)).collect();
    let rest: String = words.chars().skip(name.chars().count()).collect();
    let mut before = format!("{}{name}", " ".repeat(indent));
    for part in wrap(&rest, columns - width(&before).min(columns - 1)) {
        page.row(&[(Role::Text, format!("{before}{part}"))]);
        before = " ".repeat(deeper.max(indent));
    }
}
