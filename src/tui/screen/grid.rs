//! The grid: one check at all its sites, what each reading means, and how it lies among its like.

use ratatui::layout::Rect;

use super::intake::caret;
use crate::model::Seen;
use crate::text::counted;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::front;
use crate::tui::grid::{Cell, Grid, Judged};
use crate::tui::text::{clean, cut, pad};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row, keep, paint};

/// Columns of the name of a row, of what is typed, and of the small plot.
const NAME: usize = 6;
const TYPED: usize = 9;
const PLOT: usize = 10;
const SMALL_PLOT: usize = 6;

pub(crate) fn draw(app: &App, grid: &Grid, area: Rect, canvas: &mut Canvas<'_>) {
    let Some(job) = app.job() else { return };
    let Some(id) = grid.check() else { return };
    let check = &job.model()[id];
    let columns = usize::from(area.width);
    let mut top = Page::new(app.theme, columns);
    let unit = check.limit.and_then(|l| job.model().limits.get(l)).map(|l| l.unit.symbol().to_owned());
    let bare = unit.map(|u| format!("bare numbers are {u}")).unwrap_or_default();
    let by = if grid.kind == "side" { String::new() } else { format!(", by {}", grid.kind) };
    top.spread(&[(Role::Title, clean(&check.title)), (Role::Faint, by)], &[(Role::Faint, bare)]);
    let mut foot = Page::new(app.theme, columns);
    legend(check, &mut foot);
    let worded = grid.marked_words();
    if let Some(words) = worded {
        foot.text(Role::Text, &clean(&words));
    }
    if !check.hazards.is_empty() && area.height >= 14 {
        let names: Vec<String> = check.hazards.iter().map(|h| clean(&job.model()[*h].title).to_lowercase()).collect();
        foot.row(&[(Role::Warn, format!("hazards: {}", names.join(", ")))]);
    }
    let height = usize::from(area.height);
    let foot = keep(app.theme, foot.into_rows(), (height / 3).max(1), "");
    let (body, marked) = rows(app, grid, columns);
    let top = top.into_rows();
    let room = height.saturating_sub(top.len() + foot.len()).max(1);
    let from = marked.saturating_sub(room / 2).min(body.len().saturating_sub(room));
    let body: Vec<Row> = body.into_iter().skip(from).take(room).collect();
    let down = |count: usize| {
        let count = u16::try_from(count).unwrap_or(u16::MAX).min(area.height);
        Rect { y: area.y + count, height: area.height - count, ..area }
    };
    paint(canvas, area, &top, 0);
    paint(canvas, down(top.len()), &body, 0);
    paint(canvas, down(top.len() + body.len()), &foot, 0);
}

/// The letters of the outcomes.
fn legend(check: &crate::model::Check, page: &mut Page) {
    let letters = front::letters(check);
    let named: Vec<String> = check
        .all_seen()
        .zip(letters)
        .filter_map(|(seen, key)| Some(format!("{} {}", key?, clean(check.outcome_title(seen)))))
        .collect();
    let words = if check.limit.is_some() { "A reading, a letter, or both" } else { "A letter" };
    page.text(Role::Faint, &format!("{words}: {}", named.join("; ")));
}

/// One line a cell, down the columns where they do not fit beside each other; and the row that enters all.
fn rows(app: &App, grid: &Grid, columns: usize) -> (Vec<Row>, usize) {
    let mut page = Page::new(app.theme, columns);
    let beside = grid.columns.len();
    let each = columns / beside.max(1);
    let stacked = beside > 1 && each < NAME + TYPED + 14;
    let most = grid.values().iter().map(|(_, v)| v.abs()).fold(0.0, f64::max);
    let mut marked = 0;
    let in_one = if stacked { 1 } else { beside };
    let columns_of = (0..beside).step_by(in_one.max(1)).map(|c| c..c + in_one);
    for range in columns_of {
        if beside > 1 {
            let width_of_each = if stacked { columns } else { each };
            let head = |c: usize| format!("  {}{}", pad("", NAME), grid.columns[c]);
            let heads = range.clone().map(|c| (Role::Strong, pad(&head(c), width_of_each)));
            page.row(&heads.collect::<Vec<_>>());
        }
        for row in 0..grid.rows.len() {
            if row == grid.row && range.contains(&grid.column) {
                marked = page.len();
            }
            let mut pieces = Vec::new();
            let width_of_each = if stacked { columns } else { each };
            for column in range.clone() {
                pieces.extend(one(app, grid, row, column, width_of_each, most));
            }
            let at = page.len();
            page.row(&pieces);
            for (place, column) in range.clone().enumerate() {
                let start = u16::try_from(place * width_of_each).unwrap_or(u16::MAX);
                let end = start.saturating_add(u16::try_from(width_of_each).unwrap_or(u16::MAX));
                page.spot(at, start..end, &Action::PointCell(row, column));
            }
        }
    }
    let typed = grid.typed();
    let words = format!("Enter {}", counted(typed, "answer"));
    let mark = if grid.on_last() { app.theme.glyphs().mark } else { " " };
    if grid.on_last() {
        marked = page.len();
    }
    let at = page.len();
    page.row(&[(Role::Key, format!("{mark} ")), (if grid.on_last() { Role::Chosen } else { Role::Text }, words)]);
    page.does(at, &Action::SaveAll);
    (page.into_rows(), marked)
}

fn one(app: &App, grid: &Grid, row: usize, column: usize, columns: usize, most: f64) -> Vec<(Role, String)> {
    let Some(cell) = grid.cell(row, column) else { return vec![(Role::Text, " ".repeat(columns))] };
    let g = app.theme.glyphs();
    let marked = (grid.row, grid.column) == (row, column);
    let typed = if marked { caret(app, &cell.field, TYPED) } else { cut(&clean(cell.field.text()), TYPED, g.more) };
    let mut pieces = vec![
        (Role::Key, format!("{} ", if marked { g.mark } else { " " })),
        (if marked { Role::Strong } else { Role::Faint }, pad(&cut(&grid.rows[row], NAME, ""), NAME)),
        (if marked { Role::Field } else { Role::Strong }, pad(&typed, TYPED)),
        (Role::Text, " ".into()),
    ];
    let mut left = columns.saturating_sub(2 + NAME + TYPED + 1);
    let wide = if left >= PLOT + 15 { PLOT } else { SMALL_PLOT };
    if left >= wide + 12 && most > 0.0 {
        let (role, plot) = plot(app, cell, most, wide);
        pieces.push((role, format!("{} ", pad(&plot, wide))));
        left -= wide + 1;
    }
    let (role, said) = meaning(cell);
    let said = pad(&cut(&said, left.saturating_sub(1), g.more), left);
    pieces.push((role, said));
    pieces
}

/// How a reading lies among its like: a bar as long as its share of the greatest.
fn plot(app: &App, cell: &Cell, most: f64, columns: usize) -> (Role, String) {
    let Judged::Taken { value: Some(value), odd, .. } = &cell.judged else { return (Role::Bar, String::new()) };
    let (filled, _) = crate::tui::widget::bar::bar(app.theme, value.abs() / most, columns);
    (if *odd { Role::Warn } else { Role::Bar }, filled)
}

fn meaning(cell: &Cell) -> (Role, String) {
    match &cell.judged {
        Judged::Empty => (Role::Faint, String::new()),
        Judged::Fault(why) => (Role::Alarm, clean(why)),
        Judged::Taken { seen, words, odd, .. } => {
            let odd = if *odd { "ODD ONE OUT, " } else { "" };
            match seen {
                Some(Seen::Normal) => (Role::Good, format!("{odd}good")),
                Some(_) => (Role::Warn, format!("{odd}! {}", clean(words))),
                None => (Role::Warn, format!("{odd}{}", clean(words))),
            }
        }
    }
}

impl Grid {
    /// All that there is to say of the marked cell, where its line may have cut it.
    fn marked_words(&self) -> Option<String> {
        let cell = self.cell(self.row, self.column)?;
        match &cell.judged {
            Judged::Empty => None,
            Judged::Fault(why) => Some(why.clone()),
            Judged::Taken { words, .. } => Some(words.clone()),
        }
    }
}
