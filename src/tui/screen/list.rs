//! A list to take something from, with its search and what is known of the marked row.

use ratatui::layout::Rect;

use super::list_detail;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::pick::{Item, List, Pick};
use crate::tui::shown::shown;
use crate::tui::text::{clean, cut, cut_before_site, width};
use crate::tui::theme::Role;
use crate::tui::widget::bar::bar;
use crate::tui::widget::page::{Page, keep, paint};

pub(crate) fn draw(app: &App, pick: &Pick, list: &List, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let rows = shown(app, pick, list);
    let cursor = list.cursor.min(rows.len().saturating_sub(1));
    let mut top = Page::new(app.theme, columns);
    heading(app, pick, list, rows.len(), &mut top);
    let top = top.into_rows();
    let height = usize::from(area.height).saturating_sub(top.len());
    let mut detail = Page::new(app.theme, columns);
    if let Some(row) = rows.get(cursor) {
        list_detail::fill(app, pick, row, &mut detail);
    }
    let most = height / 3;
    let detail = keep(app.theme, detail.into_rows(), most, "");
    let room = height.saturating_sub(detail.len()).max(1);
    // The marked row stays in sight, with the rows around it.
    let from = cursor.saturating_sub(room / 2).min(rows.len().saturating_sub(room));
    let mut page = Page::new(app.theme, columns);
    for (at, row) in rows.iter().enumerate().skip(from).take(room) {
        let number = (!pick.is_searched() && *pick != Pick::Entries && at < 9).then(|| at + 1);
        let line = page.len();
        one(app, row, at == cursor, number, &mut page);
        page.does(line, &Action::Point(at));
    }
    if rows.is_empty() {
        page.text(Role::Faint, "Nothing here fits. Take letters away with Backspace, or go back with Esc.");
    }
    let lines = page.into_rows();
    let used = u16::try_from(top.len() + lines.len()).unwrap_or(u16::MAX);
    paint(canvas, area, &top, 0);
    let below = Rect { y: area.y.saturating_add(u16::try_from(top.len()).unwrap_or(0)), ..area }.intersection(area);
    paint(canvas, below, &lines, 0);
    let rest = Rect { y: area.y.saturating_add(used), height: area.height.saturating_sub(used), ..area };
    paint(canvas, rest, &detail, 0);
}

fn heading(app: &App, pick: &Pick, list: &List, count: usize, page: &mut Page) {
    let title = match pick {
        Pick::Suspect(id) => {
            let job = app.job();
            job.map(|j| crate::tui::words::cause(j.model(), *id)).unwrap_or_default()
        }
        Pick::AtSite(site) => app.job().map_or_else(String::new, |j| format!("At {}", j.model().site_words(*site))),
        Pick::Place(name) => {
            let intake = app.intake();
            let found = intake.and_then(|i| i.model.complaints.iter().find(|c| c.name == *name));
            found.map_or_else(String::new, |c| format!("{}: where?", clean(&c.title)))
        }
        Pick::WorkPlace(work) => {
            let kinds = app.intake().map(|i| i.model.recent_kinds()).unwrap_or_default();
            let title = kinds.into_iter().find(|(name, _)| name == work).map_or(work.as_str(), |(_, title)| title);
            format!("{}: where?", clean(title))
        }
        _ => pick.title().to_owned(),
    };
    if pick.is_searched() {
        let (before, behind) = list.search.around();
        let field = format!("{}{}{}", clean(before), app.theme.glyphs().caret, clean(behind));
        page.spread(
            &[(Role::Title, title), (Role::Faint, "   search ".into()), (Role::Field, field)],
            &[(Role::Faint, format!("{count}"))],
        );
    } else {
        page.row(&[(Role::Title, title)]);
    }
    if app.size.1 >= 16 {
        page.blank();
    }
}

pub(super) fn one(app: &App, row: &Item, marked: bool, number: Option<usize>, page: &mut Page) {
    let mark = if marked { app.theme.glyphs().mark } else { " " };
    let number = number.map_or_else(|| " ".to_owned(), |n| n.to_string());
    let role = match (marked, row.faint) {
        (true, _) => Role::Chosen,
        (false, true) => Role::Faint,
        (false, false) => Role::Text,
    };
    let mut right = Vec::new();
    let wide = page.width() >= 76;
    if let Some(share) = row.bar.filter(|_| wide) {
        let (filled, empty) = bar(app.theme, share, 8);
        right.push((Role::Bar, filled));
        right.push((Role::Faint, empty));
        right.push((Role::Text, " ".into()));
    }
    // On a narrow screen the right edge says the first thing only, and takes no more than half.
    let first = row.right.trim().split("  ").next().unwrap_or_default();
    let words = if wide { row.right.clone() } else { cut(first, page.width() / 2, app.theme.glyphs().more) };
    right.push((Role::Faint, words));
    let end: usize = right.iter().map(|(_, t)| width(t)).sum();
    let left = cut_before_site(&row.left, page.width().saturating_sub(end + 4), app.theme.glyphs().more);
    page.spread(&[(Role::Key, number), (Role::Key, format!("{mark} ")), (role, left)], &right);
}
