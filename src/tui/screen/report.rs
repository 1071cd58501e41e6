//! The job written up, to read.

use ratatui::text::Line;

use crate::tui::app::App;
use crate::tui::text::{clean, width, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::page::Page;

/// The write-up wrapped to the width; indents are kept.
pub(crate) fn lines(app: &App, text: &str, columns: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(app.theme, columns);
    for line in text.lines() {
        let indent = line.len() - line.trim_start().len();
        let line = clean(line.trim_end());
        if width(&line) <= columns {
            page.row(&[(Role::Text, line)]);
            continue;
        }
        let indent = indent.min(columns / 2);
        for part in wrap(line.trim_start(), columns - indent) {
            page.row(&[(Role::Text, format!("{}{part}", " ".repeat(indent)))]);
        }
    }
    page.into_lines()
}
