//! How a practice job went: what was hidden, the figures, the habit to work on, the minutes drawn against the planner's, step by step.

use crate::practise::{Debrief, Pace};
use crate::tui::app::App;
use crate::tui::text::{clean, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

/// Rows of the drawing, and columns of its scale.
const CHART: usize = 9;
const SCALE: usize = 6;
/// The marks of the two ways in the drawing, and of both in one place.
const MARKS: [char; 3] = ['y', 'p', '*'];

pub(crate) fn lines(app: &App, debrief: &Debrief, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let points = &debrief.points;
    page.spread(
        &[(Role::Title, "Debrief  ".into()), (Role::Faint, clean(&debrief.terms.words()))],
        &[(Role::Strong, format!("{:.0} points", points.total))],
    );
    for fault in &debrief.faults {
        let slept = if fault.slept { ", asleep at the report" } else { "" };
        let (role, end) = if fault.put_right { (Role::Good, "put right") } else { (Role::Warn, "still there") };
        page.label("at fault", role, &format!("{}{slept}: {end}", clean(&fault.title)));
    }
    let (role, end) = match (debrief.work.cured, debrief.work.proven) {
        (true, true) => (Role::Good, "cured, and proven under the reported conditions"),
        (true, false) => (Role::Warn, "cured, but not proven under the reported conditions"),
        (false, _) => (Role::Warn, "not cured: the complaint comes back"),
    };
    page.label("end", role, end);
    page.label("points", Role::Text, &points.words());
    for (at, (words, done)) in debrief.lesson.iter().enumerate() {
        let (role, mark) = if *done { (Role::Good, "yes: ") } else { (Role::Warn, "not yet: ") };
        page.label(if at == 0 { "lesson" } else { "" }, role, &format!("{mark}{}", clean(words)));
    }
    if let Some(habit) = &debrief.habit {
        page.blank();
        page.label("next", Role::Title, habit.habit.words());
        page.label("", Role::Text, &clean(&habit.words));
        for (at, line) in habit.card.iter().flat_map(crate::practise::Card::lines).enumerate() {
            page.label(if at == 0 { "card" } else { "" }, Role::Faint, &clean(&line));
        }
    }
    page.blank();
    figures(debrief, &mut page);
    page.blank();
    chart(debrief, &mut page);
    page.blank();
    page.rule("step by step: minutes so far, minutes still expected");
    debrief.told().for_each(|pace| step(pace, &mut page));
    if !debrief.planner.is_empty() {
        page.rule("the planner on the same engine");
    }
    for step in &debrief.planner {
        let figures = format!("{:>5.0} {:>5.0}  ", step.minutes_so_far, step.expected_after);
        page.hanging("", &(Role::Faint, figures), Role::Text, &clean(&step.words));
    }
    page.into_rows()
}

/// The figures, two beside each other where there is room.
fn figures(debrief: &Debrief, page: &mut Page) {
    page.rule("figures");
    let all = debrief.figures();
    let each = if page.width() >= 100 { 2 } else { 1 };
    for pair in all.chunks(each) {
        let mut pieces = Vec::new();
        for (name, value) in pair {
            let name = pad(name, if page.width() < 56 { 26 } else { 38 });
            pieces.push((Role::Faint, name));
            pieces.push((Role::Strong, pad(value, 14)));
        }
        page.row(&pieces);
    }
}

/// The minutes still expected to a proven cure after each step, over the minutes of work: yours and the planner's.
fn chart(debrief: &Debrief, page: &mut Page) {
    let curves = debrief.curves();
    let all = || curves.iter().flatten();
    let (most, highest) = all().fold((1.0_f64, 1.0_f64), |(x, y), (a, b)| (x.max(*a), y.max(*b)));
    let columns = page.width().saturating_sub(SCALE + 1).max(8);
    page.row(&[
        (Role::Faint, "minutes still expected  ".into()),
        (Role::Strong, "y".into()),
        (Role::Faint, " you  ".into()),
        (Role::Strong, "p".into()),
        (Role::Faint, " the planner on the same engine".into()),
    ]);
    let mut cells = vec![vec![' '; columns]; CHART];
    for (curve, mark) in curves.iter().zip(MARKS) {
        for (so_far, expected) in curve {
            let x = place(so_far / most, columns);
            let y = CHART - 1 - place(expected / highest, CHART);
            let cell = &mut cells[y][x];
            *cell = if *cell == ' ' || *cell == mark { mark } else { MARKS[2] };
        }
    }
    for (row, line) in cells.iter().enumerate() {
        let value = highest * (1.0 - row as f64 / (CHART - 1) as f64);
        let scale = if row % 4 == 0 { format!("{value:>5.0} ") } else { " ".repeat(SCALE) };
        page.row(&[(Role::Faint, scale), (Role::Rule, "|".into()), (Role::Bar, line.iter().collect())]);
    }
    let end = format!("{most:.0} min of work");
    let blank = page.width().saturating_sub(SCALE + 1 + end.len() + 1);
    page.row(&[(Role::Faint, format!("{}0{}{end}", " ".repeat(SCALE), " ".repeat(blank)))]);
}

/// The index of a share, from 0 to 1, among so many.
fn place(share: f64, of: usize) -> usize {
    let last = of.saturating_sub(1);
    (0..=last)
        .min_by(|a, b| {
            let far = |i: &usize| (*i as f64 - share * last as f64).abs();
            far(a).total_cmp(&far(b))
        })
        .unwrap_or(0)
}

fn step(pace: &Pace, page: &mut Page) {
    let step = &pace.step;
    let figures = format!("{:>3} {:>5.0} {:>5.0}  ", step.number, step.minutes_so_far, step.expected_after);
    page.hanging("", &(Role::Faint, figures), Role::Text, &step.words);
    let blank = " ".repeat(17);
    if let Some(choice) = step.choice.as_ref().filter(|c| !c.as_recommended) {
        let over = choice.over_words();
        let over = if over.is_empty() { over } else { format!(" ({over})") };
        let words = format!("the planner: {}{over}", choice.recommended.title);
        page.hanging("", &(Role::Faint, blank.clone()), Role::Faint, &words);
    }
    let marks = pace.marks();
    if !marks.is_empty() {
        let right = pace.said.as_ref().is_some_and(|s| s.right) && marks.len() == 1;
        let role = if right { Role::Good } else { Role::Warn };
        page.hanging("", &(Role::Faint, blank), role, &marks.join("; "));
    }
}
