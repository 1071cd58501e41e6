//! Conditions of now, or of the proof run.

use ratatui::layout::Rect;

use crate::tui::app::{App, LevelsForm};
use crate::tui::canvas::Canvas;
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, paint};

pub(crate) fn draw(app: &App, form: &LevelsForm, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(job) = app.job() else { return };
    let mut page = Page::new(app.theme, usize::from(area.width));
    let title = if form.of_run { "Conditions of the proof run" } else { "Conditions now" };
    page.row(&[(Role::Title, title.into())]);
    if app.size.1 >= 16 {
        page.blank();
    }
    for (at, kind) in job.model().conditions.iter().enumerate() {
        let mark = if at == form.row { app.theme.glyphs().mark } else { " " };
        let columns = if page.width() < 60 { 13 } else { 20 };
        let mut pieces = vec![(Role::Key, format!("{mark} ")), (Role::Faint, pad(&clean(&kind.title), columns))];
        for (level, name) in kind.levels.iter().enumerate() {
            let role = match (form.levels.get(at) == Some(&level), form.before.get(at) == Some(&level)) {
                (true, _) => Role::Chosen,
                (false, true) => Role::Strong,
                (false, false) => Role::Faint,
            };
            // The brackets say it where there is no reverse.
            let name = clean(name);
            let name = if role == Role::Chosen { format!("[{name}]") } else { format!(" {name} ") };
            pieces.push((role, name));
        }
        page.row(&pieces);
    }
    page.blank();
    let words = if form.of_run {
        "As reported unless the run was made under others. A run under milder conditions proves less."
    } else {
        "A new spell of work begins: what sleeps now may wake, and checks count anew. Skipped checks are offered again."
    };
    page.text(Role::Faint, words);
    paint(canvas, area, &page.into_rows(), 0);
}
