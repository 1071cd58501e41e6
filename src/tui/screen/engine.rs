//! The engine, drawn from above: every site with its suspicion as a shade, a character and a number, and what is known of the
//! marked one beside it.

use ratatui::layout::Rect;
use ratatui::text::Span;

use super::site_detail;
use crate::analysis::{Standing, weigh};
use crate::model::{Abreast, SideLayout, Site, coil_pairs, cylinder_pairs, plugs_above_and_below, stands_in_rows};
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::engine::EngineView;
use crate::tui::held::Seen;
use crate::tui::practice;
use crate::tui::text::{cut, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row, keep, paint};
use crate::tui::words;

/// From this width what is known of the marked site stands beside the plan.
const BESIDE: u16 = 74;
/// Columns of a cell where names are written out, and where there is room for more shade.
const WIDE_CELL: usize = 24;
const WIDEST_CELL: usize = 34;
/// From this width cells are at their widest.
const VERY_WIDE: u16 = 120;
/// Columns of a shade at the least.
const SHADE: usize = 3;
/// Columns of what is known of a site, at the most: lines that are longer are read badly.
const DETAIL: usize = 64;

pub(crate) fn draw(app: &App, view: &EngineView, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(seen) = app.seen() else { return super::waiting(app, area, canvas) };
    let beside = area.width >= BESIDE;
    let cell = if area.width >= VERY_WIDE { WIDEST_CELL } else { WIDE_CELL };
    let plan_columns = if beside { 2 * cell + 3 } else { usize::from(area.width) };
    let mut top = Page::new(app.theme, usize::from(area.width));
    heading(seen, view, &mut top);
    let top = top.into_rows();
    let top_rows = u16::try_from(top.len()).unwrap_or(0);
    paint(canvas, area, &top, 0);
    let below = Rect { y: area.y + top_rows.min(area.height), height: area.height.saturating_sub(top_rows), ..area };
    let mut detail = Page::new(
        app.theme,
        if beside { (usize::from(area.width) - plan_columns - 2).min(DETAIL) } else { plan_columns },
    );
    site_detail::fill(app, seen, view.at, &mut detail);
    let detail = detail.into_rows();
    if beside {
        let x = below.x + u16::try_from(plan_columns + 2).unwrap_or(0);
        let right = Rect { x, width: below.right().saturating_sub(x), ..below };
        let detail = keep(app.theme, detail, usize::from(below.height), "");
        paint(canvas, right, &detail, 0);
        plan(app, seen, view, plan_columns, Rect { width: below.width.min(rows(plan_columns)), ..below }, canvas);
        return;
    }
    let rows_below = (usize::from(below.height) / 3).clamp(1, 8);
    let detail = keep(app.theme, detail, rows_below, "");
    let plan_height = below.height.saturating_sub(rows(detail.len()));
    plan(app, seen, view, plan_columns, Rect { height: plan_height, ..below }, canvas);
    paint(canvas, Rect { y: below.y + plan_height, height: below.height - plan_height, ..below }, &detail, 0);
}

fn rows(count: usize) -> u16 {
    u16::try_from(count).unwrap_or(u16::MAX)
}

fn heading(seen: Seen<'_>, view: &EngineView, page: &mut Page) {
    let model = seen.job.model();
    match view.kind.as_ref().and_then(|name| model.checks.iter().find(|c| c.name == *name)) {
        Some(check) => page.spread(&[(Role::Title, format!("Where? {}", crate::tui::text::clean(&check.title)))], &[]),
        None => page.row(&[
            (Role::Title, "The engine from above".into()),
            (
                Role::Faint,
                if seen.ranked.is_some() {
                    "   per cent: something at this site is at fault"
                } else {
                    "   suspicion is kept back"
                }
                .into(),
            ),
        ]),
    }
}

/// The plan, scrolled so that the marked site is in sight.
fn plan(app: &App, seen: Seen<'_>, view: &EngineView, columns: usize, area: Rect, canvas: &mut Canvas<'_>) {
    let layout = &seen.job.model().layout;
    let cell = (columns.saturating_sub(3) / 2).min(WIDEST_CELL);
    let pairs = cylinder_pairs(layout);
    let framed = 4 * pairs.len() + 3 + coil_pairs(layout).len() <= usize::from(area.height) && cell >= WIDE_CELL;
    let draw = Plan { app, seen, view, cell, framed };
    let mut lines: Vec<(Row, [Option<Site>; 2])> = Vec::new();
    let front = match (stands_in_rows(layout), layout.rows.is_some()) {
        (true, true) => "front",
        (true, false) => "front; places assumed",
        (false, _) => "places assumed",
    };
    lines.push((draw.middle(front), [Some(Site::Engine), Some(Site::Engine)]));
    for pair in &pairs {
        draw.cylinder(*pair, &mut lines);
    }
    let side = |s| Some(Site::Side(s));
    let systems = Abreast { left: side(crate::model::Side::Left), right: side(crate::model::Side::Right) };
    lines.push((draw.names(), [systems.left, systems.right]));
    for pair in std::iter::once(systems).chain(coil_pairs(layout)) {
        lines.push((draw.both(pair), [pair.left, pair.right]));
    }
    let marked = lines.iter().position(|(_, sites)| sites.contains(&Some(view.at))).unwrap_or(0);
    let height = usize::from(area.height);
    let from = marked.saturating_sub(height / 2).min(lines.len().saturating_sub(height));
    let lines: Vec<Row> = lines.into_iter().map(|(row, _)| row).collect();
    paint(canvas, area, &lines, from);
}

/// What cells are drawn with.
struct Plan<'a> {
    app: &'a App,
    seen: Seen<'a>,
    view: &'a EngineView,
    cell: usize,
    framed: bool,
}

impl Plan<'_> {
    fn row(&self, left: Vec<Span<'static>>, middle: &str, right: Vec<Span<'static>>, sites: [Option<Site>; 2]) -> Row {
        let mut row = Row::default();
        let cell = rows(self.cell);
        for span in left {
            row.line.push_span(span);
        }
        row.line.push_span(Span::styled(middle.to_owned(), self.app.theme.style(Role::Rule)));
        for span in right {
            row.line.push_span(span);
        }
        let starts = [0, cell + 3];
        for (start, site) in starts.into_iter().zip(sites) {
            if let Some(site) = site {
                row.spots.push((start..start + cell, Action::PointSite(site)));
            }
        }
        row
    }

    fn span(&self, role: Role, text: impl Into<String>) -> Span<'static> {
        Span::styled(text.into(), self.app.theme.style(role))
    }

    /// The line of the whole engine.
    fn middle(&self, words: &str) -> Row {
        let mut row = Row::default();
        for span in self.one(Some(Site::Engine), if self.cell >= WIDE_CELL { "engine" } else { "all" }, self.cell) {
            row.line.push_span(span);
        }
        row.line.push_span(self.span(Role::Faint, format!("   {}", cut(words, self.cell, ""))));
        row.spots.push((0..rows(self.cell), Action::PointSite(Site::Engine)));
        row
    }

    /// One cylinder on each side of the crankcase: its own line, its upper and its lower plug.
    fn cylinder(&self, pair: Abreast, lines: &mut Vec<(Row, [Option<Site>; 2])>) {
        let layout = &self.seen.job.model().layout;
        let three = |site: Option<Site>| match site {
            Some(Site::Cylinder(n)) => {
                let [upper, lower] = plugs_above_and_below(layout, n);
                [site, Some(upper), Some(lower)]
            }
            _ => [None; 3],
        };
        let (left, right) = (three(pair.left), three(pair.right));
        let g = self.app.theme.glyphs();
        let case = if self.framed { [g.case_left, " ", g.case_right].concat() } else { format!(" {} ", g.case_mid) };
        let roomy = self.cell >= WIDE_CELL;
        let name = |site: Option<Site>| match site {
            Some(Site::Cylinder(n)) if roomy => format!("cylinder {n}"),
            Some(Site::Cylinder(n)) => format!("cyl {n}"),
            Some(Site::Plug(side, n)) => {
                let place = match (layout.fires_upper(side, n), roomy) {
                    (true, true) => "upper",
                    (false, true) => "lower",
                    (true, false) => "up",
                    (false, false) => "lo",
                };
                if roomy { format!("{place} {side}") } else { format!("{place} {}", &side.to_string()[..1]) }
            }
            _ => String::new(),
        };
        for at in 0..3 {
            let cells = [left[at], right[at]].map(|site| self.one(site, &name(site), self.cell));
            let [l, r] = cells;
            lines.push((self.row(l, &case, r, [left[at], right[at]]), [left[at], right[at]]));
        }
        if self.framed {
            let line = |site: Option<Site>| {
                let fins = if site.is_some() { g.rule.repeat(self.cell) } else { " ".repeat(self.cell) };
                vec![self.span(Role::Rule, fins)]
            };
            lines.push((self.row(line(pair.left), &case, line(pair.right), [None, None]), [None, None]));
        }
    }

    /// The names of the two systems.
    fn names(&self) -> Row {
        let layout = &self.seen.job.model().layout;
        let name = |system: &SideLayout| {
            let words = if width(system.words()) > self.cell { system.kind.short() } else { system.words() };
            vec![self.span(Role::Faint, pad(&cut(words, self.cell, self.app.theme.glyphs().more), self.cell))]
        };
        self.row(name(&layout.left), "   ", name(&layout.right), [None, None])
    }

    /// A system or a coil on each side.
    fn both(&self, pair: Abreast) -> Row {
        let layout = &self.seen.job.model().layout;
        let name = |site: Option<Site>| match site {
            Some(Site::Side(side)) => {
                if self.cell >= WIDE_CELL {
                    format!("{side} side")
                } else {
                    side.to_string()
                }
            }
            Some(Site::Coil(side, letter)) => {
                let coil = layout.side(side).coils.iter().find(|c| c.letter == letter);
                let fires = coil.map(|c| c.fires.iter().map(u8::to_string).collect::<Vec<_>>().join("+"));
                format!("coil {letter}, {}", fires.unwrap_or_default())
            }
            _ => String::new(),
        };
        let [left, right] = [pair.left, pair.right].map(|s| self.one(s, &name(s), self.cell));
        self.row(left, "   ", right, [pair.left, pair.right])
    }

    /// One site: its mark, its name, where it stands, its shade and its number.
    fn one(&self, site: Option<Site>, name: &str, columns: usize) -> Vec<Span<'static>> {
        let Some(site) = site else { return vec![self.span(Role::Text, " ".repeat(columns))] };
        let theme = self.app.theme;
        let let_here =
            self.view.kind.as_ref().is_none_or(|kind| self.seen.job.model().find_check(kind, site).is_some());
        let marked = self.view.at == site;
        let causes = practice::causes_at(self.seen, site);
        let ranked = self.seen.ranked;
        let p = ranked.map_or(0.0, |job| weigh::any_of(job, &causes));
        let level = weigh::level(p);
        let sign = match ranked.and_then(|job| weigh::standing_of(job, &causes)) {
            Some(Standing::Proven) => "!",
            Some(Standing::PutRight) => theme.glyphs().done,
            Some(Standing::ShownGood) => "x",
            _ => " ",
        };
        let patch = SHADE + columns.saturating_sub(WIDE_CELL);
        let shade = if causes.is_empty() { " ".repeat(patch) } else { theme.glyphs().shades[level].repeat(patch) };
        let number = if causes.is_empty() || ranked.is_none() { String::new() } else { words::percent(p) };
        let room = columns.saturating_sub(1 + 1 + patch + 6 + 1);
        let name = pad(&cut(name, room, ""), room);
        let role = match (marked, let_here) {
            (true, _) => Role::Chosen,
            (false, true) => Role::Text,
            (false, false) => Role::Faint,
        };
        vec![
            self.span(Role::Key, if marked { theme.glyphs().mark } else { " " }),
            self.span(role, name),
            self.span(Role::Strong, sign.to_owned()),
            self.span(Role::heat(level), shade),
            self.span(Role::heat(level), format!(" {number:>5}")),
            self.span(Role::Text, " ".repeat(columns.saturating_sub(1 + room + width(sign) + patch + 6))),
        ]
    }
}
