//! A record walked again: its entries, and beside the one in front what was known, what was recommended, and what it cost or saved.

use ratatui::layout::Rect;

use crate::review::replay::{Step, Suspect};
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::lead::{ReplayView, Walked};
use crate::tui::text::{clean, cut, cut_before_site, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::bar::bar;
use crate::tui::widget::page::{Page, Row, paint};
use crate::tui::words;

/// From this width on the entries stand beside what is said of the one in front.
const SIDE_BY_SIDE: usize = 96;
/// From this width on what is said of an entry has its labels beside it.
const LABELS: usize = 44;
/// From this height on everything is said in full sentences.
const TALL: u16 = 30;
/// Suspects that are drawn.
const SUSPECTS: usize = 7;

pub(crate) fn draw(app: &App, view: ReplayView, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(walked) = app.walked() else { return };
    let columns = usize::from(area.width);
    let mut top = Page::new(app.theme, columns);
    heading(app, walked, view, &mut top);
    let top = top.into_rows();
    paint(canvas, area, &top, 0);
    let used = u16::try_from(top.len()).unwrap_or(u16::MAX).min(area.height);
    let body = Rect { y: area.y + used, height: area.height - used, ..area };
    let Some(step) = walked.steps.get(view.at) else { return super::waiting(app, body, canvas) };
    if columns >= SIDE_BY_SIDE {
        let left = u16::try_from(columns * 2 / 5).unwrap_or(body.width).min(body.width);
        entries(app, walked, view.at, Rect { width: left, ..body }, canvas);
        let rest = Rect { x: body.x + left + 2, width: body.width.saturating_sub(left + 2), ..body };
        said(app, rest, canvas, &told(app, step, usize::from(rest.width)), view.scroll);
    } else {
        let above = (body.height / 4).clamp(1, 6);
        entries(app, walked, view.at, Rect { height: above, ..body }, canvas);
        let rest = Rect { y: body.y + above, height: body.height - above, ..body };
        said(app, rest, canvas, &told(app, step, columns), view.scroll);
    }
}

/// What is said of the entry in front, from a row on; where it goes on below, it says how to see the rest.
fn said(app: &App, area: Rect, canvas: &mut Canvas<'_>, lines: &[Row], at: usize) {
    let height = usize::from(area.height);
    let at = at.min(lines.len().saturating_sub(height));
    let below = lines.len() - (at + height).min(lines.len());
    if below == 0 || height < 3 {
        paint(canvas, area, lines, at);
        return;
    }
    paint(canvas, Rect { height: area.height - 1, ..area }, lines, at);
    let words = format!("{} more rows: PgDn", below + 1);
    canvas.buf.set_stringn(area.x, area.bottom() - 1, &words, usize::from(area.width), app.theme.style(Role::Key));
}

fn heading(app: &App, walked: &Walked, view: ReplayView, page: &mut Page) {
    let of = app.job().map_or(0, |job| job.log().len());
    let place = match walked.steps.len() {
        done if done < of => format!("working out {done} of {of}"),
        _ => format!("{} of {of}", view.at + 1),
    };
    page.spread(&[(Role::Title, "Walked again".into()), (Role::Faint, reviewed(app))], &[(Role::Faint, place)]);
    if app.size.1 < 16 {
        return;
    }
    match &walked.totals {
        Some(totals) if app.size.1 >= TALL => page.text(Role::Faint, &totals.words()),
        Some(totals) => page.row(&[(Role::Faint, totals.short())]),
        None => page.blank(),
    }
    page.rule("");
}

/// Whether the job was gone through, behind the title.
fn reviewed(app: &App) -> String {
    let mark = app.job().and_then(|job| job.review());
    mark.map_or_else(
        || "  not reviewed yet".to_owned(),
        |mark| {
            let since = if mark.since > 0 { ", changed since" } else { "" };
            format!("  {} reviewed by {}{since}", app.theme.glyphs().done, clean(mark.by.trim()))
        },
    )
}

/// The entries around the one in front.
fn entries(app: &App, walked: &Walked, at: usize, area: Rect, canvas: &mut Canvas<'_>) {
    let room = usize::from(area.height);
    let from = at.saturating_sub(room / 2).min(walked.steps.len().saturating_sub(room));
    let mut page = Page::new(app.theme, usize::from(area.width));
    for (place, step) in walked.steps.iter().enumerate().skip(from).take(room) {
        let line = page.len();
        one(app, step, place == at, &mut page);
        page.does(line, &Action::Point(place));
    }
    paint(canvas, area, &page.into_rows(), 0);
}

fn one(app: &App, step: &Step, marked: bool, page: &mut Page) {
    let glyphs = app.theme.glyphs();
    let role = match (marked, step.taken_back_by.is_some(), step.choice.is_some()) {
        (true, ..) => Role::Chosen,
        (_, true, _) => Role::Struck,
        (_, _, true) => Role::Text,
        (_, _, false) => Role::Faint,
    };
    let mut right = Vec::new();
    if !step.remarks.is_empty() {
        right.push((Role::Good, "\" ".to_owned()));
    }
    // What to talk over comes first, then whether it went the planner's way.
    right.push(match (step.marks.is_empty(), &step.choice) {
        (false, _) => (Role::Warn, "!".to_owned()),
        (true, Some(choice)) if !choice.as_recommended => (Role::Key, "~".to_owned()),
        (true, Some(_)) => (Role::Faint, glyphs.done.to_owned()),
        (true, None) => (Role::Faint, " ".to_owned()),
    });
    let number = format!("{:>3} ", step.number);
    let mark = if marked { glyphs.mark } else { " " };
    let end: usize = right.iter().map(|(_, text)| width(text)).sum();
    let words = step.words.lines().next().unwrap_or_default();
    let words = cut(words, page.width().saturating_sub(end + width(&number) + 2), glyphs.more);
    page.spread(&[(Role::Key, mark.to_owned()), (Role::Faint, number), (role, words)], &right);
}

/// All that is said of the entry in front.
fn told(app: &App, step: &Step, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    if columns >= LABELS {
        page = page.keeping_labels();
    }
    for mark in &step.marks {
        page.label("question", Role::Warn, &format!("{}: {}", mark.kind.words(), mark.words));
    }
    for said in &step.remarks {
        page.label("remark", Role::Good, &format!("{}: {}", said.by, said.text));
    }
    page.label(&format!("entry {}", step.number), Role::Strong, &step.words);
    if let Some(by) = step.taken_back_by {
        page.label("", Role::Faint, &format!("Taken back by entry {by}."));
    }
    planner(step, app.size.1 >= TALL, &mut page);
    let when = step.when.get(..16).unwrap_or(&step.when).replace('T', " ");
    let took = format!("{}, {} so far   {when}", words::minutes(step.minutes), words::minutes(step.minutes_so_far));
    page.label("took", Role::Text, &took);
    if step.choice.is_some() || step.gained().abs() >= 0.5 {
        let role = match step.gained() {
            gained if gained >= 0.5 => Role::Good,
            gained if gained <= -0.5 => Role::Warn,
            _ => Role::Text,
        };
        page.label("to go", role, &step.to_go_words());
    }
    if app.size.1 >= TALL {
        page.blank();
    }
    suspects(app, step, &mut page);
    let shows = match step.showing {
        Some(true) => "it showed",
        Some(false) => "it did not show",
        None => "whether it showed was not known",
    };
    page.label("when", Role::Faint, &format!("{shows}; {}", step.conditions));
    page.into_rows()
}

fn planner(step: &Step, in_full: bool, page: &mut Page) {
    let Some(choice) = &step.choice else { return };
    if choice.as_recommended {
        page.label("planner", Role::Good, "This is what it put first.");
        return;
    }
    let first = &choice.recommended;
    page.label("planner", Role::Text, &format!("put first: {} ({})", first.title, words::minutes(first.minutes)));
    if in_full && !first.why.is_empty() {
        page.label("", Role::Faint, &first.why);
    }
    let place = choice.place.map_or_else(
        || "It was not suggested".to_owned(),
        |place| format!("It was number {place} of what was suggested"),
    );
    let over = choice.over_words();
    let role = match choice.over {
        Some(over) if over >= 0.5 => Role::Warn,
        Some(over) if over <= -0.5 => Role::Good,
        _ => Role::Text,
    };
    let words = if over.is_empty() { format!("{place}.") } else { format!("{place}, and {over}.") };
    page.label("instead", role, &words);
}

fn suspects(app: &App, step: &Step, page: &mut Page) {
    let figure = |p: f64| format!("{:>5}", words::percent(p));
    let bars = page.width() >= 44;
    for (at, Suspect { title, before, after, .. }) in
        step.suspects.iter().filter(|s| s.before >= 0.005 || s.after >= 0.005).take(SUSPECTS).enumerate()
    {
        let role = match after - before {
            moved if moved > 0.005 => Role::Warn,
            moved if moved < -0.005 => Role::Good,
            _ => Role::Faint,
        };
        let mut right = Vec::new();
        if bars {
            let (filled, empty) = bar(app.theme, *after, 6);
            right.extend([(Role::Bar, filled), (Role::Faint, empty)]);
        }
        right.push((Role::Faint, figure(*before)));
        right.push((role, format!(" {}", figure(*after))));
        let end: usize = right.iter().map(|(_, text)| width(text)).sum();
        let margin = page.margin();
        let label = if at == 0 && margin > 4 { "suspects" } else { "" };
        let room = page.width().saturating_sub(end + margin + 1);
        let title = cut_before_site(title, room, app.theme.glyphs().more);
        page.spread(&[(Role::Faint, pad(label, margin)), (Role::Text, title)], &right);
    }
}
