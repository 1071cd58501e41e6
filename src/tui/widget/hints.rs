//! The bar of hints and what there is to say, at the foot of every screen.

use ratatui::text::{Line, Span};

use crate::tui::action::{Action, Context};
use crate::tui::app::{App, Notice};
use crate::tui::commands::offered;
use crate::tui::mode::{Saving, Worked};
use crate::tui::text::{width, wrap};
use crate::tui::theme::Role;

use super::page::Row;

/// What there is to say, in as few rows as it takes, and the hints that fit.
pub(crate) fn foot(app: &App, columns: usize, rows: u16) -> Vec<Row> {
    let mut lines = Vec::new();
    let most = if rows < 16 { 2 } else { 4 };
    let stands = app.worked().and_then(Worked::saving).and_then(|saving| match saving {
        Saving::Waits(waiting) | Saving::Asked(waiting) => Some(Notice::Fault(waiting.words().to_owned())),
        Saving::Kept(_) => None,
    });
    if let Some(notice) = app.notice.as_ref().or(stands.as_ref()) {
        let (role, words) = match notice {
            Notice::Said(words) | Notice::Told(words) => (Role::Good, words.clone()),
            Notice::Fault(words) => (Role::Alarm, words.clone()),
        };
        // A word of success is short; a fault has to be read to its end.
        let most = if matches!(notice, Notice::Said(_)) { 1 } else { most };
        let wrapped = wrap(&words, columns);
        let left_out = wrapped.len() > most;
        for (at, line) in wrapped.into_iter().take(most).enumerate() {
            let cut = left_out && at + 1 == most;
            let line = if cut {
                crate::tui::text::cut(&format!("{line} {}", app.theme.glyphs().more), columns, app.theme.glyphs().more)
            } else {
                line
            };
            lines.push(Line::from(Span::styled(line, app.theme.style(role))).into());
        }
    }
    let hint_rows = if rows < 16 { 1 } else { 2 };
    lines.extend(hints(app, app.context(), columns, hint_rows));
    lines
}

/// The hints of a context in a number of rows. Help, back and leave are kept when there is little room.
fn hints(app: &App, context: Context, columns: usize, rows: usize) -> Vec<Row> {
    let words = |(row, key): (&crate::tui::table::Row, crate::tui::input::Key)| Hint {
        key: key.to_string(),
        name: row.name,
        does: row.action.clone(),
    };
    let all: Vec<Hint> = offered(app, context).filter(|(row, _)| row.hint).map(words).collect();
    let size = |hint: &Hint| width(&hint.key) + width(hint.name) + 3;
    let kept = ["help", "leave"];
    let (last, first): (Vec<_>, Vec<_>) = all.into_iter().partition(|hint| kept.contains(&hint.name));
    let reserve: usize = last.iter().map(size).sum();
    let mut lines: Vec<Vec<Hint>> = vec![Vec::new()];
    let mut used = 0;
    for hint in first {
        let is_last = lines.len() == rows;
        let room = columns.saturating_sub(if is_last { reserve } else { 0 });
        if used + size(&hint) > room + 2 {
            if is_last {
                continue;
            }
            lines.push(Vec::new());
            used = 0;
            let room = columns.saturating_sub(if lines.len() == rows { reserve } else { 0 });
            if size(&hint) > room {
                continue;
            }
        }
        used += size(&hint);
        if let Some(line) = lines.last_mut() {
            line.push(hint);
        }
    }
    if used + reserve > columns + 2 && lines.len() < rows {
        lines.push(Vec::new());
    }
    if let Some(line) = lines.last_mut() {
        line.extend(last);
    }
    let draw = |line: Vec<Hint>| {
        let mut row = Row::default();
        let mut at = 0_u16;
        for Hint { key, name, does } in line {
            let columns = u16::try_from(width(&key) + width(name) + 1).unwrap_or(u16::MAX);
            row.spots.push((at..at.saturating_add(columns), does));
            at = at.saturating_add(columns + 2);
            row.line.push_span(Span::styled(key, app.theme.style(Role::Key)));
            row.line.push_span(Span::styled(format!(" {name}  "), app.theme.style(Role::Faint)));
        }
        row
    };
    lines.into_iter().map(draw).collect()
}

/// A key, what it does in a word or two, and that.
struct Hint {
    key: String,
    name: &'static str,
    does: Action,
}
