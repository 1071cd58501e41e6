//! What the records teach: the tree's figure and the learnt one, row by row, to be accepted or not.

use ratatui::layout::Rect;

use crate::learn::Trial;
use crate::review::Proposal;
use crate::spread::Spread;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::lead::{LearnView, Learning, Long};
use crate::tui::text::{clean, cut, width};
use crate::tui::theme::Role;
use crate::tui::widget::bar::bar;
use crate::tui::widget::page::{Page, keep, paint};

/// From this width on a row says in what interval the learnt figure lies.
const WIDE: usize = 96;

pub(crate) fn draw(app: &App, view: LearnView, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let mut top = Page::new(app.theme, columns);
    let Some(learnt) = app.learn().and_then(|learn| learn.learnt.as_deref()) else {
        return working(app, area, canvas, top);
    };
    heading(app, learnt, &mut top);
    let top = top.into_rows();
    let height = usize::from(area.height).saturating_sub(top.len());
    let cursor = view.cursor.min(learnt.proposals.len().saturating_sub(1));
    let mut detail = Page::new(app.theme, columns);
    if let Some(proposal) = learnt.proposals.get(cursor) {
        about(learnt, proposal, &mut detail);
    }
    let most = (height / 3).max(2);
    let detail = keep(app.theme, detail.into_rows(), most, "");
    let room = height.saturating_sub(detail.len()).max(1);
    let from = cursor.saturating_sub(room / 2).min(learnt.proposals.len().saturating_sub(room));
    let mut page = Page::new(app.theme, columns);
    for (at, proposal) in learnt.proposals.iter().enumerate().skip(from).take(room) {
        let line = page.len();
        one(app, proposal, at == cursor, &mut page);
        page.does(line, &Action::Point(at));
    }
    if learnt.proposals.is_empty() {
        page.text(
            Role::Faint,
            "No closed job tells of a rate yet. A job teaches once its fault was seen, or its complaint is gone in a proof run and stays away.",
        );
    }
    let down = |count: usize| {
        let count = u16::try_from(count).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + count, height: area.height - count, ..area }
    };
    let lines = page.into_rows();
    paint(canvas, area, &top, 0);
    paint(canvas, down(top.len()), &lines, 0);
    paint(canvas, down(top.len() + lines.len()), &detail, 0);
}

/// How far the work is.
fn working(app: &App, area: Rect, canvas: &mut Canvas<'_>, mut page: Page) {
    page.row(&[(Role::Title, "What the records teach".into())]);
    page.blank();
    match app.long() {
        Long::Far(done, of) => {
            let share = done as f64 / of.max(1) as f64;
            let (filled, empty) = bar(app.theme, share, page.width().saturating_sub(20).min(40));
            page.row(&[(Role::Bar, filled), (Role::Faint, empty), (Role::Text, format!(" {done} of {of}"))]);
            page.text(
                Role::Faint,
                "Each job is gone through as it was, and the later ones are forecast from the earlier.",
            );
        }
        Long::Begun => page.text(Role::Faint, "The records are being read."),
        Long::Idle => page.text(Role::Faint, "Stopped before there was anything to show. Esc goes back."),
    }
    paint(canvas, area, &page.into_rows(), 0);
}

fn heading(app: &App, learnt: &Learning, page: &mut Page) {
    let jobs = learnt.lessons.jobs;
    page.spread(
        &[
            (Role::Title, "What the records teach".into()),
            (Role::Faint, format!("   {jobs} jobs whose fault was proven")),
        ],
        &[(Role::Faint, format!("{} accepted", app.learn().map_or(0, |learn| learn.accepted.len())))],
    );
    if app.size.1 >= 16 {
        page.text(Role::Faint, &trials(learnt));
        let left: Vec<String> =
            learnt.lessons.left_out.iter().map(|(why, count)| format!("{count} {}", why.words())).collect();
        let unread = match learnt.unread.len() {
            0 => String::new(),
            n => format!(" {n} could not be read."),
        };
        if !left.is_empty() || !unread.is_empty() {
            let left = if left.is_empty() { String::new() } else { format!("Left out: {}.", left.join(", ")) };
            page.text(Role::Faint, format!("{left}{unread}").trim());
        }
        page.blank();
    }
}

/// Which kinds of figure may be accepted.
fn trials(learnt: &Learning) -> String {
    let of = |name: &str, trial: &Trial| {
        let verdict = if trial.adopted { "may be accepted" } else { "may not be accepted yet" };
        format!(
            "{name} {verdict} ({:+.3} nats a job, standard error {:.3}, over {} later jobs)",
            trial.gain, trial.error, trial.jobs
        )
    };
    let (rates, checks) = (&learnt.lessons.rates_trial, &learnt.lessons.checks_trial);
    format!("{}; {}.", of("Rates", rates), of("chances of checks", checks))
}

fn figure(of: f64) -> String {
    match of {
        of if of >= 0.1 => format!("{of:.3}"),
        of if of >= 0.001 => format!("{of:.4}"),
        of => format!("{of:.1e}"),
    }
}

fn one(app: &App, proposal: &Proposal, marked: bool, page: &mut Page) {
    let glyphs = app.theme.glyphs();
    let accepted = app.learn().is_some_and(|learn| learn.accepted.contains(&proposal.key));
    let tick = match (proposal.may, accepted) {
        (true, true) => format!("[{}] ", glyphs.done),
        (true, false) => "[ ] ".to_owned(),
        (false, _) => " -  ".to_owned(),
    };
    let role = match (marked, proposal.may) {
        (true, _) => Role::Chosen,
        (false, true) => Role::Text,
        (false, false) => Role::Faint,
    };
    let mut right = vec![(Role::Faint, format!("{:>7} ", figure(proposal.was.mean)))];
    let moved = if proposal.now.mean > proposal.was.mean { Role::Warn } else { Role::Good };
    right.push((moved, format!("{:>7}", figure(proposal.now.mean))));
    if page.width() >= WIDE {
        let Spread { low, high, .. } = proposal.now;
        right.push((Role::Faint, format!("  ({} to {})", figure(low), figure(high))));
    }
    if page.width() >= 60 {
        right.push((Role::Faint, format!(" {:>4} jobs", proposal.jobs)));
    }
    let end: usize = right.iter().map(|(_, text)| width(text)).sum();
    let mark = if marked { glyphs.mark } else { " " };
    let kind = if page.width() >= 60 { format!("{:<12}", proposal.kind()) } else { String::new() };
    let room = page.width().saturating_sub(end + 7 + width(&kind));
    let title = cut(&clean(&proposal.title), room, glyphs.more);
    page.spread(&[(Role::Key, format!("{mark} ")), (Role::Key, tick), (Role::Faint, kind), (role, title)], &right);
}

/// All that is known of the marked figure.
fn about(learnt: &Learning, proposal: &Proposal, page: &mut Page) {
    page.blank();
    page.label("figure", Role::Strong, &format!("{}, {}", clean(&proposal.title), proposal.unit()));
    let spread = |of: &Spread| format!("{} (95 %: {} to {})", figure(of.mean), figure(of.low), figure(of.high));
    page.label("tree", Role::Text, &spread(&proposal.was));
    let times = format!("{:.2} times", proposal.moved());
    page.label("learnt", Role::Text, &format!("{}, {times} the tree's", spread(&proposal.now)));
    page.label(
        "from",
        Role::Faint,
        &format!("{:.1} cases in {} jobs, each counted by how well it was confirmed", proposal.from, proposal.jobs),
    );
    if !proposal.may {
        let trial = if matches!(proposal.key, crate::review::Key::Rate(_)) {
            &learnt.lessons.rates_trial
        } else {
            &learnt.lessons.checks_trial
        };
        let words = format!(
            "Figures of this kind may be accepted once they forecast 20 later jobs or more better than the tree's by two standard errors; now it is {:+.3} over {} jobs.",
            trial.gain, trial.jobs
        );
        page.label("not yet", Role::Warn, &words);
    }
}
