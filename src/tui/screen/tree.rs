//! The fault tree, from the complaint down: how likely each branch is, how the last answer moved it, and what is shown good by which look.

use ratatui::layout::Rect;

use super::list_detail;
use crate::analysis::{Ranked, Standing, weigh};
use crate::model::{Node, Site};
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::held::Seen;
use crate::tui::text::{clean, cut, cut_before_site, pad, width};
use crate::tui::theme::Role;
use crate::tui::tree::{self, TreeView, Twig};
use crate::tui::widget::page::{Page, keep, paint};
use crate::tui::words;

/// From this width it is shown how the last answer moved a branch.
const MOVES: usize = 60;

pub(crate) fn draw(app: &App, view: &TreeView, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(job) = app.ranked() else { return super::waiting(app, area, canvas) };
    let columns = usize::from(area.width);
    let rows = tree::rows(job, view);
    let cursor = view.cursor.min(rows.len().saturating_sub(1));
    let mut top = Page::new(app.theme, columns);
    let moved = if app.ranked_before().is_some() {
        "   how likely now, and before the last answer"
    } else {
        "   how likely now"
    };
    top.row(&[(Role::Title, "The fault tree".into()), (Role::Faint, moved.into())]);
    let top = top.into_rows();
    let mut detail = Page::new(app.theme, columns);
    if let Some(twig) = rows.get(cursor) {
        if let Node::Cause(id) = twig.what {
            list_detail::suspect(app, Seen { job, ranked: Some(job) }, id, &mut detail);
        } else {
            effect(job, twig, &mut detail);
        }
    }
    let height = usize::from(area.height).saturating_sub(top.len());
    let detail = keep(app.theme, detail.into_rows(), height / 3, "");
    let room = height.saturating_sub(detail.len()).max(1);
    let from = cursor.saturating_sub(room / 2).min(rows.len().saturating_sub(room));
    let mut page = Page::new(app.theme, columns);
    for (at, twig) in rows.iter().enumerate().skip(from).take(room) {
        let row = page.len();
        one(app, job, view, twig, at == cursor, &mut page);
        page.does(row, &Action::Point(at));
    }
    let lines = page.into_rows();
    let down = |count: usize| {
        let count = u16::try_from(count).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + count, height: area.height - count, ..area }
    };
    paint(canvas, area, &top, 0);
    paint(canvas, down(top.len()), &lines, 0);
    paint(canvas, down(top.len() + lines.len()), &detail, 0);
}

fn one(app: &App, job: &Ranked, view: &TreeView, twig: &Twig, marked: bool, page: &mut Page) {
    let g = app.theme.glyphs();
    let now = tree::chance(job, twig.what);
    let before = app.ranked_before().map(|b| tree::chance(b, twig.what));
    let standing = weigh::standing_of(job, &tree::causes(job, twig.what));
    let struck = standing == Some(Standing::ShownGood);
    let fold = match (twig.has_more, view.open.contains(&twig.node)) {
        (false, _) => " ",
        (true, true) => "-",
        (true, false) => "+",
    };
    let (title, site) = tree::title(job, twig.what);
    let title = match site {
        Site::Engine => clean(&title),
        _ => format!("{}, {}", clean(&title), job.model().site_words(site)),
    };
    let sign = match standing {
        Some(Standing::Proven) => "! ",
        Some(Standing::PutRight) => g.done,
        Some(Standing::ShownGood) => "x ",
        _ => "",
    };
    let why = if struck { shown_good_by(job, twig.what) } else { String::new() };
    let level = weigh::level(now);
    let moved = before.filter(|b| words::percent(*b) != words::percent(now));
    let indent = " ".repeat((2 * twig.depth).min(page.width() / 4));
    // Figures stand in columns at the left, so that no eye has to cross a wide screen.
    let mut pieces = vec![
        (Role::Key, format!("{} ", if marked { g.mark } else { " " })),
        (Role::Strong, format!("{:>5} ", words::percent(now))),
        (Role::heat(level), g.shades[level].repeat(3)),
    ];
    if before.is_some() && page.width() >= MOVES {
        let was = moved.map(|b| format!(" was {:>5}", words::percent(b))).unwrap_or_default();
        pieces.push((Role::Faint, pad(&was, 10)));
    }
    pieces.push((Role::Rule, format!(" {indent}")));
    pieces.push((Role::Key, format!("{fold} ")));
    pieces.push((Role::Strong, sign.to_owned()));
    let taken: usize = pieces.iter().map(|(_, t)| width(t)).sum();
    let room = page.width().saturating_sub(taken);
    let title = cut_before_site(&title, room, g.more);
    let role = match (marked, struck) {
        (true, _) => Role::Chosen,
        (false, true) => Role::Struck,
        (false, false) => Role::Text,
    };
    let why_room = room.saturating_sub(width(&title) + 2);
    pieces.push((role, title));
    if why_room > 8 && !why.is_empty() {
        pieces.push((Role::Faint, format!("  {}", cut(&why, why_room, g.more))));
    }
    page.row(&pieces);
}

/// The look that shows a branch good.
fn shown_good_by(job: &Ranked, node: Node) -> String {
    let Some(by) = tree::causes(job, node).into_iter().find_map(|id| job.shown_good_by(id)) else {
        return String::new();
    };
    format!("by #{} {}", by.number, words::check(job.model(), by.check))
}

/// What is known of a branch: its gate, and how many of its causes are left.
fn effect(job: &Ranked, twig: &Twig, page: &mut Page) {
    let causes = tree::causes(job, twig.what);
    let out = causes.iter().filter(|c| job.standing(**c) == Standing::ShownGood).count();
    page.blank();
    if let Node::Effect(id) = twig.what {
        let count = job.model()[id].count;
        let gate = if count == 1 {
            "any of those below brings it".into()
        } else {
            format!("it takes {count} of those below together")
        };
        page.label("gate", Role::Text, &gate);
    }
    page.label("causes", Role::Text, &format!("{} below it, {out} of them shown good", causes.len()));
    let mut left: Vec<_> = causes.into_iter().filter(|c| job.standing(*c) != Standing::ShownGood).collect();
    left.sort_by(|a, b| job.belief(*b).present.total_cmp(&job.belief(*a).present));
    let named: Vec<String> = left
        .iter()
        .take(3)
        .map(|c| format!("{} {}", words::cause(job.model(), *c), words::percent(job.belief(*c).present)))
        .collect();
    if !named.is_empty() {
        page.label("leading", Role::Text, &named.join("; "));
    }
}
