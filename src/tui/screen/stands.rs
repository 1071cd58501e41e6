//! How the aircraft stands: what the engine does, what is open, what must be closed and done, in order.

use crate::guide::Stands;
use crate::tui::app::App;
use crate::tui::text::clean;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

pub(crate) fn lines(app: &App, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    page.row(&[(Role::Title, "How the aircraft stands".into())]);
    page.blank();
    let Some(job) = app.job() else { return page.into_rows() };
    let stands = Stands::of(job);
    for line in stands.page() {
        let role = if line.starts_with("  ") { Role::Strong } else { Role::Text };
        page.text(role, &clean(&line));
    }
    if stands.asks.is_some() {
        page.text(Role::Warn, "Press Y where it is still as before; go on where it is not.");
    }
    page.into_rows()
}
