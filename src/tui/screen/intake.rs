//! The intake: what is known before the first check. Every row but the complaint has a default.

use ratatui::layout::Rect;

use crate::job::{NoWork, RecentWork};
use crate::model::ORDINARY_WINDOW_HOURS;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::field::Field;
use crate::tui::intake::{Intake, Line};
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, keep, paint};
use crate::tui::words;

pub(crate) fn draw(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(intake) = app.intake() else { return };
    let columns = usize::from(area.width);
    let mut page = Page::new(app.theme, columns);
    page.spread(&[(Role::Title, "A new job".into())], &[(Role::Faint, "Enter begins it as it stands".into())]);
    if app.size.1 >= 16 {
        page.blank();
    }
    let head = page.into_rows();
    let mut page = Page::new(app.theme, columns);
    for (at, line) in intake.lines().into_iter().enumerate() {
        one(app, intake, line, at == intake.row, &mut page);
    }
    let lines = page.into_rows();
    let mut help = Page::new(app.theme, columns);
    help.blank();
    help.text(Role::Faint, about(intake.line()));
    if intake.line() == Line::RecentWork && !intake.recent_work.done().is_empty() {
        // The row is cut where it is longer than the screen is wide.
        help.blank();
        help.text(Role::Text, &clean(&intake.recent_work.words(&intake.model)));
    }
    let height = usize::from(area.height).saturating_sub(head.len());
    let help = keep(app.theme, help.into_rows(), height.saturating_sub(lines.len()), "");
    let room = height.saturating_sub(help.len());
    let from = intake.row.saturating_sub(room / 2).min(lines.len().saturating_sub(room));
    let down = |rows: usize| {
        let rows = u16::try_from(rows).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + rows, height: area.height - rows, ..area }
    };
    paint(canvas, area, &head, 0);
    paint(canvas, down(head.len()), &lines, from);
    paint(canvas, down(head.len() + lines.len().min(room)), &help, 0);
}

fn one(app: &App, intake: &Intake, line: Line, marked: bool, page: &mut Page) {
    let mark = if marked { app.theme.glyphs().mark } else { " " };
    let (name, value, faint) = value(intake, line);
    let narrow = page.width() < 60;
    let columns = if narrow { 12 } else { 24 };
    let name = if narrow { short(intake, line) } else { name };
    let name = pad(&crate::tui::text::cut(&name, columns - 1, ""), columns);
    let mut pieces = vec![(Role::Key, format!("{mark} ")), (Role::Faint, name)];
    let field = match line {
        Line::Hours => Some(&intake.hours),
        Line::Mechanic => Some(&intake.mechanic),
        Line::Words => Some(&intake.words),
        _ => None,
    };
    match field.filter(|f| marked || !f.is_empty()) {
        Some(field) if marked => {
            pieces.push((Role::Text, " ".into()));
            pieces.push((Role::Field, caret(app, field, page.width().saturating_sub(columns + 4))));
        }
        Some(field) => pieces.push((Role::Strong, format!(" {}", clean(field.text())))),
        None if marked => pieces.push((Role::Chosen, format!(" {value} "))),
        None => pieces.push((if faint { Role::Faint } else { Role::Strong }, format!(" {value}"))),
    }
    page.row(&pieces);
}

/// The field with its caret, the end of a long text in sight.
pub(super) fn caret(app: &App, field: &Field, columns: usize) -> String {
    let (before, behind) = field.around();
    let mut before = clean(before);
    while crate::tui::text::width(&before) + 1 > columns && !before.is_empty() {
        before.remove(0);
    }
    format!("{before}{}{}", app.theme.glyphs().caret, clean(behind))
}

/// The name of a row where there is little room.
fn short(intake: &Intake, line: Line) -> String {
    match line {
        Line::Engine => "Engine".into(),
        Line::Complaint => "Complaint".into(),
        Line::Seen(at) => clean(&intake.model.conditions[at].name),
        Line::Quiet => "Not when".into(),
        Line::Hours => "Hours since".into(),
        Line::RecentWork => "Worked on".into(),
        Line::Mechanic => "Mechanic".into(),
        Line::Words => "Pilot said".into(),
    }
}

/// The name and the value of a row, and whether the value is a default.
fn value(intake: &Intake, line: Line) -> (String, String, bool) {
    let model = &intake.model;
    match line {
        Line::Engine => {
            let layout = clean(&model.layout.title);
            let card = intake.card.as_ref().map(|c| format!("{}, ", clean(&c.registration))).unwrap_or_default();
            ("Engine".into(), format!("{card}{layout}"), false)
        }
        Line::Complaint => {
            let words = intake.complaint.map(|id| words::at(model, &model[id].title, model[id].site));
            ("Complaint".into(), words.unwrap_or_else(|| "not chosen yet".into()), false)
        }
        Line::Seen(at) => {
            let kind = &model.conditions[at];
            let level = kind.levels.get(intake.reported[at]).map(|l| clean(l)).unwrap_or_default();
            let name = if at == 0 {
                format!("Seen with {}", clean(&kind.title).to_lowercase())
            } else {
                format!("     and {}", clean(&kind.title).to_lowercase())
            };
            (name, level, false)
        }
        Line::Quiet => ("Does not show when".into(), intake.quiet_words(), false),
        Line::Hours => ("Hours since it ran well".into(), format!("{ORDINARY_WINDOW_HOURS} when not known"), true),
        Line::RecentWork => {
            let none = intake.recent_work == RecentWork::Said(NoWork::NotKnown);
            ("Worked on before".into(), clean(&intake.recent_work.words(model)), none)
        }
        Line::Mechanic => ("Mechanic".into(), "not given".into(), true),
        Line::Words => ("The pilot's words".into(), "not given".into(), true),
    }
}

fn about(line: Line) -> &'static str {
    match line {
        Line::Engine | Line::Complaint => "Right or Space opens the list to choose from.",
        Line::Seen(_) => "Left and Right change it. These are the conditions in which the pilot saw it.",
        Line::Quiet => "Left and Right change it. When it does not show says as much as when it does.",
        Line::Hours => "Engine hours since it last ran well. The fault came in that time.",
        Line::RecentWork => {
            "Right or Space opens the list: what was worked on since it last ran well, and where. Nothing is an answer too."
        }
        Line::Mechanic => "Who works the job, for the record.",
        Line::Words => "What the pilot said, as it was said, for the record.",
    }
}
