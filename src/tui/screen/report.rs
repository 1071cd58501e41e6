//! The job written up, to read.

use crate::tui::app::App;
use crate::tui::text::{clean, width, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

/// The width the write-up is set to. A row that has no room for the next one's first word goes on in it.
const SET_TO: usize = 96;
/// Columns of the labels of the page, and the width that its rows are set to.
const LABELS: usize = 14;
const PAGE_SET_TO: usize = LABELS + crate::report::PAGE_COLUMNS;

/// The write-up wrapped to the width; indents are kept, and rows that were wrapped already are joined first.
pub(crate) fn lines(app: &App, text: &str, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let mut rows = text.lines().peekable();
    while let Some(row) = rows.next() {
        let indent = indent_of(row);
        let mut words = row.trim().to_owned();
        let mut last = row;
        let mut deeper = labelled(row).then_some(LABELS);
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
    let set_to = if indent_of(next) == LABELS { PAGE_SET_TO } else { SET_TO };
    let first = next.split_whitespace().next().map_or(set_to, width);
    !next.trim().is_empty() && width(row.trim_end()) + 1 + first > set_to
}

/// Whether a row of the page begins with its label: then what it wraps to stands beside it.
fn labelled(row: &str) -> bool {
    let mut rest = row.chars().skip(LABELS - 1);
    let label = row.get(..LABELS).filter(|label| !label.starts_with(' '));
    let ends = rest.next() == Some(' ') && rest.next().is_some_and(|c| c != ' ');
    ends && label.is_some_and(|label| label.contains("  ") || label.trim_end().len() + 1 == LABELS)
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
