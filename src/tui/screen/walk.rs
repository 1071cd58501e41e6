//! The walk: the thing to do now, its answers, and where the suspects stand.

use ratatui::layout::Rect;

use super::suspects;
use crate::guide::{Told, round_words};
use crate::job::Job;
use crate::plan::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::front::Front;
use crate::tui::text::{clean, cut_before_site, pad, width, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row, keep, paint};
use crate::tui::words;

mod answers;
mod practice;

pub(super) use answers::demo_words;

/// From this width the suspects stand beside the check; from the next one the entries too.
const TWO_COLUMNS: u16 = 110;
const THREE_COLUMNS: u16 = 150;

pub(crate) fn draw(app: &App, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(job) = app.job() else { return };
    if app.front().is_none() && app.hides() {
        practice::draw(app, job, area, canvas);
        return;
    }
    if app.front().is_none() && job.state().ended.is_none() {
        thinking(app, job, area, canvas);
        return;
    }
    let Some(front) = app.front() else {
        let mut page = Page::new(app.theme, usize::from(area.width));
        page.label(
            "closed",
            Role::Strong,
            "This job is closed. Take the closing back with U to go on with it, or read the report with O.",
        );
        paint(canvas, area, &page.into_rows(), 0);
        return;
    };
    if app.big && app.walk().verdict.is_none() {
        super::big::draw(app, job, &front, area, canvas);
        return;
    }
    let full = |rect: Rect| usize::from(rect.height);
    if area.width + 2 < TWO_COLUMNS {
        let columns = usize::from(area.width);
        // The suspects get a quarter, and what the check leaves over.
        let least = (full(area) / 4).clamp(2, 4);
        let work = work(app, job, &front, columns, full(area).saturating_sub(least));
        let below = full(area).saturating_sub(work.len());
        paint(canvas, area, &work, 0);
        let at = area.y + u16::try_from(work.len()).unwrap_or(0);
        let height = area.height.saturating_sub(at - area.y);
        paint(canvas, Rect { y: at, height, ..area }, &suspects::lines(app, job, columns, below), 0);
        return;
    }
    let three = area.width + 2 >= THREE_COLUMNS;
    let (first, second) = if three { (area.width * 2 / 5, area.width * 7 / 20) } else { (area.width * 11 / 20, 0) };
    let left = Rect { width: first, ..area };
    let x = area.x + first + 2;
    let middle = Rect { x, width: if three { second } else { area.right() - x }, ..area };
    paint(canvas, left, &work(app, job, &front, usize::from(left.width), full(left)), 0);
    paint(canvas, middle, &suspects::lines(app, job, usize::from(middle.width), full(middle)), 0);
    if three {
        let x = middle.right() + 2;
        let right = Rect { x, width: area.right().saturating_sub(x), ..area };
        paint(canvas, right, &history(app, job, usize::from(right.width), full(right)), 0);
    }
}

/// What stands while the next thing to do is being worked out: the causes, which are ranked first.
fn thinking(app: &App, job: &Job, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let mut page = Page::new(app.theme, columns);
    if let Some(why) = app.failure() {
        page.label("next", Role::Alarm, "What to do next could not be worked out: a fault of this program.");
        page.label(
            "",
            Role::Text,
            &format!(
                "{} Choose a check with / or take the last entry back with U; it is tried again with each entry.",
                app.kept_words()
            ),
        );
        page.label("fault", Role::Faint, &clean(why));
    } else {
        page.label("next", Role::Strong, "Working out what to do next.");
        page.label("", Role::Faint, "Commands are taken meanwhile; any check can be chosen with / at once.");
    }
    page.blank();
    let work = page.into_rows();
    paint(canvas, area, &work, 0);
    let used = u16::try_from(work.len()).unwrap_or(u16::MAX).min(area.height);
    let below = Rect { y: area.y + used, height: area.height - used, ..area };
    paint(canvas, below, &suspects::lines(app, job, columns, usize::from(below.height)), 0);
}

/// The newest entries.
fn history(app: &App, job: &Job, columns: usize, rows: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    page.rule("entries, newest first");
    let standing = job.standing_entries();
    for logged in job.log().iter().rev().take(rows) {
        let stands = standing.iter().any(|(n, _)| *n == logged.number);
        let role = if stands { Role::Text } else { Role::Faint };
        let number = format!("{:>3} ", logged.number);
        for (at, line) in wrap(&words::entry(job.model(), &logged.entry), columns.saturating_sub(4)).iter().enumerate()
        {
            let number = if at == 0 { number.clone() } else { " ".repeat(4) };
            page.row(&[(Role::Faint, number), (role, line.clone())]);
        }
    }
    page.into_rows()
}

/// One part of the work: its lines, and how many it is left with at the least.
struct Block {
    lines: Vec<Row>,
    least: usize,
}

/// The thing to do, in a number of rows. The answers are always whole where the screen has room for them.
fn work(app: &App, job: &Job, front: &Front, columns: usize, rows: usize) -> Vec<Row> {
    let block = |least: usize, fill: &dyn Fn(&mut Page)| {
        let mut page = Page::new(app.theme, columns);
        fill(&mut page);
        Block { lines: page.into_rows(), least }
    };
    let told = Told::of(job, front.action);
    let answers = answers::lines(app, job, front, columns);
    let judged = app.walk().verdict.is_some();
    // In the order shown. While a reading is judged, the verdict is what matters.
    let blocks = [
        block(1, &|page| title(app, job, front, &told, page)),
        block(usize::from(!judged), &|page| why(app, job, front, page)),
        block(usize::from(!judged), &|page| around(job, front, &told, page)),
        block(1, &|page| expect(&told, page)),
        block(usize::from(!judged), &|page| steps(&told, page)),
        Block { least: answers.len(), lines: answers },
        block(0, &|page| mistakes(&told, page)),
        block(1, &|page| due(job, page)),
    ];
    // First what each needs, the more important first; then more of each, in the same order.
    let mut given = [0_usize; 8];
    let mut left = rows;
    for at in [0, 5, 3, 4, 1, 2, 7] {
        given[at] = blocks[at].least.min(blocks[at].lines.len()).min(left);
        left -= given[at];
    }
    for at in [5, 4, 3, 1, 2, 7, 0, 6] {
        let more = (blocks[at].lines.len() - given[at]).min(left);
        given[at] += more;
        left -= more;
    }
    let kept = blocks.into_iter().zip(given).enumerate();
    kept.flat_map(|(at, (block, rows))| keep(app.theme, block.lines, rows, if at == 5 || at == 6 { "" } else { "K" }))
        .collect()
}

fn title(app: &App, job: &Job, front: &Front, told: &Told, page: &mut Page) {
    let minutes = told.work.minutes;
    let minutes = if minutes > 0.0 { words::minutes(minutes) } else { String::new() };
    let label = pad(&format!("{} ", words::kind(front.action).to_lowercase()), page.margin());
    let mut left = vec![(Role::Faint, label)];
    if let Some(of) = app.walk().amend {
        left.push((Role::Warn, format!("puts #{of} right: ")));
    }
    let taken: usize = left.iter().map(|(_, words)| width(words)).sum();
    let room = page.width().saturating_sub(taken + width(&minutes) + 1);
    let title = words::action(job.model(), job, front.action);
    left.push((Role::Title, cut_before_site(&title, room, app.theme.glyphs().more)));
    if !front.is_first {
        left.push((Role::Faint, "  (your choice)".into()));
    }
    page.spread(&left, &[(Role::Strong, minutes)]);
}

fn why(app: &App, job: &Job, front: &Front, page: &mut Page) {
    let model = job.model();
    if let Some(misfit) = app.misfits_now().iter().find(|misfit| misfit.does_not_fit()) {
        let again = app.second_look().filter(|(again, _)| again.action == Action::Check(misfit.check));
        let again = again.map_or_else(String::new, |(again, first)| {
            let more = if first { ", worth more than anything else now" } else { "" };
            format!(" A looks again: {}{more}.", words::minutes(again.minutes))
        });
        page.label("no fit", Role::Warn, &clean(&format!("{}{again}", misfit.words(model))));
    }
    let mut words = front.suggestion.as_ref().map(|s| clean(&s.why)).unwrap_or_default();
    if let Some(then) = front.suggestion.as_ref().and_then(|s| s.then) {
        words = format!("{words} Then: {}.", words::check(model, then));
    }
    if let Some(round) = front.suggestion.as_ref().and_then(|s| s.round.as_ref()) {
        words = format!("{words} Do it as {} (G).", round_words(model, round));
    }
    if let Some(id) = front.check().filter(|_| words.is_empty()) {
        words = clean(&model[id].purpose);
    }
    if !words.is_empty() {
        page.label("why", Role::Text, &words);
    }
}

fn around(job: &Job, front: &Front, told: &Told, page: &mut Page) {
    let model = job.model();
    if let Some(why) = &told.not_now {
        page.label("not now", Role::Warn, &clean(why));
    }
    // What can hurt comes before what is opened: the last rows are those that a small screen leaves out.
    if !front.hazards.is_empty() {
        let names: Vec<String> = front.hazards.iter().map(|h| clean(&model[*h].title).to_lowercase()).collect();
        page.label("hazards", Role::Warn, &names.join(", "));
    }
    if !front.action.closes() {
        if let Some(access) = told.access() {
            page.label(
                "access",
                Role::Text,
                &format!("{} ({} of it)", clean(&access), words::minutes(told.work.moving)),
            );
        }
        if !told.owed_first.is_empty() {
            page.label(
                "owed",
                Role::Warn,
                &clean(&format!("before the engine is started: {}", told.owed_first.join("; "))),
            );
        }
        if let Some(engine) = &told.engine {
            page.label("engine", Role::Text, &clean(engine));
        }
    }
    if let Some(brings) = told.brings.as_ref().filter(|_| !front.action.closes()) {
        page.label("done in", Role::Text, &clean(brings));
    }
    if !told.tools.is_empty() {
        page.label("tools", Role::Text, &clean(&told.tools.join(", ")));
    }
}

/// What can be renewed while the access is open: the most pressing.
fn due(job: &Job, page: &mut Page) {
    if let Some(reminder) = job.reminders().first() {
        page.label("due", Role::Warn, &clean(&reminder.words()));
    }
}

fn expect(told: &Told, page: &mut Page) {
    if told.expected.is_empty() {
        return;
    }
    page.label("expect", Role::Strong, &clean(&told.expected));
    // One row: the whole of it is on the card. That nobody published a figure stands at its beginning.
    page.labelled("", &[(Role::Faint, format!("[{}]", clean(&told.source)))]);
}

fn mistakes(told: &Told, page: &mut Page) {
    for (at, mistake) in told.mistakes.iter().enumerate() {
        page.label(if at == 0 { "mistakes" } else { "" }, Role::Faint, &clean(mistake));
    }
}

fn steps(told: &Told, page: &mut Page) {
    for (at, step) in told.steps.iter().enumerate() {
        let label = if at == 0 { "do" } else { "" };
        page.hanging(label, &(Role::Strong, format!("{} ", at + 1)), Role::Text, &clean(step));
    }
}
