//! The timeline: every entry under the spell of work it was made in, and what the marked one did to the causes.

use ratatui::layout::Rect;

use super::list::one;
use crate::job::{Job, Spell};
use crate::model::CauseId;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::pick::{Does, List, Pick};
use crate::tui::shown::shown;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, keep, paint};
use crate::tui::words;

pub(crate) fn draw(app: &App, list: &List, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(job) = app.job().map(AsRef::as_ref) else { return };
    let columns = usize::from(area.width);
    let rows = shown(app, &Pick::Entries, list);
    let cursor = list.cursor.min(rows.len().saturating_sub(1));
    let mut top = Page::new(app.theme, columns);
    let so_far = words::minutes(job.state().minutes);
    top.spread(
        &[(Role::Title, Pick::Entries.title().into())],
        &[(Role::Faint, format!("{} entries, {so_far} of work", rows.len()))],
    );
    let top = top.into_rows();
    let height = usize::from(area.height).saturating_sub(top.len());
    let mut detail = Page::new(app.theme, columns);
    if let Some(Does::Entry(number, _)) = rows.get(cursor).map(|r| &r.does) {
        did(app, job, *number, &mut detail);
    }
    let detail = keep(app.theme, detail.into_rows(), height / 3, "");
    let room = height.saturating_sub(detail.len()).max(1);
    let mut page = Page::new(app.theme, columns);
    let mut marked = 0;
    for (at, row) in rows.iter().enumerate() {
        let number = if let Does::Entry(number, _) = row.does { number } else { 0 };
        for (place, spell) in job.state().spells.iter().enumerate().filter(|(_, s)| s.number == number) {
            page.row(&[(Role::Faint, heading(job, place, spell))]);
        }
        if at == cursor {
            marked = page.len();
        }
        let line = page.len();
        one(app, row, at == cursor, None, &mut page);
        page.does(line, &Action::Point(at));
    }
    let lines = page.into_rows();
    let from = marked.saturating_sub(room / 2).min(lines.len().saturating_sub(room));
    let lines: Vec<_> = lines.into_iter().skip(from).take(room).collect();
    let down = |count: usize| {
        let count = u16::try_from(count).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + count, height: area.height - count, ..area }
    };
    paint(canvas, area, &top, 0);
    paint(canvas, down(top.len()), &lines, 0);
    paint(canvas, down(top.len() + lines.len()), &detail, 0);
}

/// A spell of work: its conditions, how it came about, whether it showed.
fn heading(job: &Job, place: usize, spell: &Spell) -> String {
    let conditions = words::conditions(job.model(), &spell.conditions);
    let shows = match spell.showing {
        Some(true) => ", it shows",
        Some(false) => ", it does not show",
        None => "",
    };
    // What tells spells apart comes first: on a narrow screen the rest is cut.
    format!("spell {place}, {}{shows}: {conditions}", spell.origin.words())
}

/// What an entry did to the causes it moved most.
fn did(app: &App, job: &Job, number: u64, page: &mut Page) {
    page.blank();
    let Some(moments) = app.course_now() else {
        page.text(Role::Faint, &format!("What each entry did {}.", app.later()));
        return;
    };
    let Some(at) = moments.iter().position(|m| m.number == number) else {
        page.text(Role::Faint, "This entry moved no cause.");
        return;
    };
    let now = &moments[at];
    page.label(
        "then",
        Role::Text,
        &format!("{} so far, {} expected to go", words::minutes(now.minutes), words::minutes(now.expected)),
    );
    let Some(before) = at.checked_sub(1).map(|b| &moments[b]) else { return };
    let mut ids: Vec<usize> = (0..now.causes.len()).collect();
    let moved = |id: &usize| (now.causes[*id].ever - before.causes[*id].ever).abs();
    ids.sort_by(|a, b| moved(b).total_cmp(&moved(a)).then(a.cmp(b)));
    for id in ids.into_iter().take(3).filter(|id| moved(id) > 0.001) {
        let (p, q) = (before.causes[id].ever, now.causes[id].ever);
        let words =
            format!("{}: {} to {}", words::cause(job.model(), CauseId(id)), words::percent(p), words::percent(q));
        page.label("did", if q > p { Role::Warn } else { Role::Good }, &words);
    }
}
