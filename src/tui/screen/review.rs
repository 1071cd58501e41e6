//! The records, for the lead: a line each, the search above, what is known of the marked one below.

use ratatui::layout::Rect;

use super::intake::caret;
use crate::job::Ending;
use crate::review::listing::{Row as Record, Soundness, State};
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::lead::{Long, ReviewView};
use crate::tui::text::{cut, cut_before_site, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, keep, paint};
use crate::tui::words;

/// From this width on a record's line says who worked it and how long.
const WIDE: usize = 76;
/// From this width on its date has a year, and its aircraft and state their whole names.
const WIDER: usize = 96;
/// From this height on what is known of the marked record stands below the list.
const TALL: usize = 10;

pub(crate) fn draw(app: &App, view: &ReviewView, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let rows = app.rows();
    let mut top = Page::new(app.theme, columns);
    heading(app, view, &mut top);
    let top = top.into_rows();
    let height = usize::from(area.height).saturating_sub(top.len());
    let cursor = view.cursor.min(view.found.len().saturating_sub(1));
    let mut detail = Page::new(app.theme, columns);
    if let Some(row) = view.found.get(cursor).and_then(|at| rows.get(*at)).filter(|_| height >= TALL - 4) {
        about(row, &mut detail);
    }
    let most = if height < TALL { 2 } else { height / 3 };
    let detail = keep(app.theme, detail.into_rows(), most, "");
    let room = height.saturating_sub(detail.len()).max(1);
    let from = cursor.saturating_sub(room / 2).min(view.found.len().saturating_sub(room));
    let mut page = Page::new(app.theme, columns);
    for (at, row) in view.found.iter().enumerate().skip(from).take(room).filter_map(|(at, r)| Some((at, rows.get(*r)?)))
    {
        let line = page.len();
        one(app, row, at == cursor, &mut page);
        page.does(line, &Action::Point(at));
    }
    if view.found.is_empty() {
        let words = match (app.review().is_some_and(|review| review.listed), rows.is_empty()) {
            (false, _) => "The records are being read.",
            (true, true) => {
                "There are no records in this folder yet. Work a job, or name other folders: roughrun review DIR"
            }
            (true, false) => "No record fits. Take letters away with Backspace; Esc clears the search.",
        };
        page.text(Role::Faint, words);
    }
    let lines = page.into_rows();
    let down = |count: usize| {
        let count = u16::try_from(count).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + count, height: area.height - count, ..area }
    };
    paint(canvas, area, &top, 0);
    paint(canvas, down(top.len()), &lines, 0);
    paint(
        canvas,
        down((top.len() + lines.len()).max(usize::from(area.height).saturating_sub(detail.len()))),
        &detail,
        0,
    );
}

fn heading(app: &App, view: &ReviewView, page: &mut Page) {
    let count = match app.long() {
        Long::Far(done, of) if page.width() >= 60 => {
            format!("{} of {}, working out {done} of {of}", view.found.len(), app.rows().len())
        }
        _ => format!("{} of {}", view.found.len(), app.rows().len()),
    };
    let field = caret(app, &view.search, page.width().saturating_sub(width(&count) + 24).max(8));
    page.spread(
        &[(Role::Title, "Records".into()), (Role::Faint, "   search ".into()), (Role::Field, field)],
        &[(Role::Faint, count)],
    );
    match &view.fault {
        Some(fault) => page.text(Role::Warn, fault),
        None if app.size.1 >= 20 && view.search.is_empty() => page.text(
            Role::Faint,
            "Type words, or state:open mechanic:kim cause:lead minutes:>120 since:2026-10. Tab narrows.",
        ),
        None if app.size.1 >= 16 => page.blank(),
        None => {}
    }
}

/// A state as it stands in the list, and how it is drawn.
fn state(row: &Record) -> (Role, &'static str) {
    match (row.soundness, row.state) {
        (Soundness::Damaged, _) => (Role::Alarm, "damaged"),
        (Soundness::Parted, _) => (Role::Warn, "parted"),
        (_, State::Open) => (Role::Strong, "open"),
        (_, State::Closed(Ending::CuredProven)) => (Role::Good, "cured"),
        (_, other) => (Role::Warn, other.words()),
    }
}

fn one(app: &App, row: &Record, marked: bool, page: &mut Page) {
    let glyphs = app.theme.glyphs();
    let mark = if marked { glyphs.mark } else { " " };
    let role = if marked { Role::Chosen } else { Role::Text };
    let wide = page.width() >= WIDE;
    let (state_role, state) = state(row);
    let wider = page.width() >= WIDER;
    let date = row.opened.get(if wider { 0..10 } else { 5..10 }).unwrap_or("-");
    // On a narrow screen the engine has to give way to the complaint.
    let aircraft = if row.aircraft.is_empty() && wide { &row.layout } else { &row.aircraft };
    let reviewed = row.reviewed.as_ref().map_or(" ", |mark| if mark.before_changes { "*" } else { glyphs.done });
    let mut right = Vec::new();
    if wide {
        let minutes = row.minutes().map(words::minutes).unwrap_or_default();
        right.push((Role::Faint, format!("{}{minutes:>8} ", pad(&cut(&row.mechanic, 12, glyphs.more), 12))));
    }
    right.push((Role::Good, reviewed.to_owned()));
    let end: usize = right.iter().map(|(_, text)| width(text)).sum();
    let date = pad(date, if wider { 10 } else { 5 });
    // "handed over" is the longest.
    let state = pad(&cut(state, if wide { 11 } else { 8 }, glyphs.more), if wide { 12 } else { 9 });
    let aircraft = pad(&cut(aircraft, if wider { 12 } else { 7 }, glyphs.more), if wider { 13 } else { 8 });
    let aircraft = if aircraft.trim().is_empty() && !wide { String::new() } else { aircraft };
    let used = width(&date) + 1 + width(&state) + width(&aircraft) + 2 + end + 1;
    let what = if row.complaint.is_empty() {
        row.trouble.clone().unwrap_or_else(|| file(row))
    } else {
        format!("{}, {}", row.complaint, row.at)
    };
    // Where there is room beside the complaint, what was found stands there; else below the list.
    let found = if wider { row.came_of_it().1.join("; ") } else { String::new() };
    let found = if found.is_empty() { found } else { format!("  {found}") };
    let what = cut_before_site(&what, page.width().saturating_sub(used), glyphs.more);
    page.spread(
        &[
            (Role::Key, format!("{mark} ")),
            (Role::Faint, format!("{date} ")),
            (state_role, state),
            (role, format!("{aircraft}{what}")),
            (Role::Faint, found),
        ],
        &right,
    );
}

fn file(row: &Record) -> String {
    row.files.first().map(|path| crate::tui::text::clean(&path.to_string_lossy())).unwrap_or_default()
}

/// What is known of the marked record.
fn about(row: &Record, page: &mut Page) {
    page.blank();
    if let Some(trouble) = &row.trouble {
        page.label("record", Role::Alarm, trouble);
    }
    let (how, what) = row.came_of_it();
    if !what.is_empty() {
        page.label(how, Role::Text, &what.join("; "));
    }
    if let Some(mark) = &row.reviewed {
        let since = if mark.before_changes { "; the job was changed since" } else { "" };
        let when = mark.when.get(..16).unwrap_or(&mark.when).replace('T', " ");
        page.label("reviewed", Role::Good, &format!("by {}, {when}{since}", mark.by));
    }
    if row.remarks > 0 {
        page.label("remarks", Role::Text, &format!("{}", row.remarks));
    }
    let why_not = row.worked.iter().filter_map(|worked| worked.why_not.as_ref());
    for note in row.notes.iter().chain(why_not) {
        page.label("note", Role::Warn, note);
    }
    let clock = row.clock_minutes.map_or_else(String::new, |m| format!(", {} by the clock", words::minutes(m)));
    let purpose = match row.purpose {
        crate::shop::Purpose::Work => "",
        crate::shop::Purpose::Practice => "practice, ",
        crate::shop::Purpose::Demo => "demonstration, ",
    };
    let name = if row.id.is_empty() { file(row) } else { row.id.clone() };
    page.label("job", Role::Faint, &format!("{name}, {purpose}{} entries{clock}", row.entries));
}
