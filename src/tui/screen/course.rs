//! How the suspicion moved: the leading causes over the answers, and minutes so far and expected at each.

use ratatui::layout::Rect;

use crate::analysis::Moment;
use crate::job::Job;
use crate::model::CauseId;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::text::{cut, cut_before_site, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, paint};
use crate::tui::words;

/// Causes drawn.
const CAUSES: usize = 5;
/// Columns of the scale at the left.
const SCALE: usize = 6;

/// The moment that is marked; `back` counts from the newest.
pub(crate) fn marked(moments: &[Moment], back: usize) -> usize {
    moments.len().saturating_sub(1).saturating_sub(back)
}

/// The causes that led at the marked moment or lead now, each once, the marked moment's first.
fn leading(moments: &[Moment], at: usize) -> Vec<CauseId> {
    let top = |moment: &Moment, count: usize| {
        let mut ids: Vec<usize> = (0..moment.causes.len()).collect();
        ids.sort_by(|a, b| moment.causes[*b].ever.total_cmp(&moment.causes[*a].ever).then(a.cmp(b)));
        ids.into_iter().take(count).map(CauseId).collect::<Vec<_>>()
    };
    let mut found = moments.get(at).map(|m| top(m, 3)).unwrap_or_default();
    for id in moments.last().map(|m| top(m, CAUSES)).unwrap_or_default() {
        if found.len() < CAUSES && !found.contains(&id) {
            found.push(id);
        }
    }
    found
}

pub(crate) fn draw(app: &App, back: usize, area: Rect, canvas: &mut Canvas<'_>) {
    let Some((job, moments)) = app.newest_course() else { return super::waiting(app, area, canvas) };
    let columns = usize::from(area.width);
    let at = marked(moments, back);
    let ids = leading(moments, at);
    let mut below = Page::new(app.theme, columns);
    legend(app, job, moments, at, &ids, &mut below);
    let below = below.into_rows();
    let height = usize::from(area.height);
    let legend_rows = below.len().min(height.saturating_sub(6));
    let chart = height.saturating_sub(legend_rows + 2).max(1);
    let mut page = Page::new(app.theme, columns);
    page.row(&[
        (Role::Title, "How the suspicion moved".into()),
        (Role::Faint, "   per cent that it was there, after each answer".into()),
    ]);
    plot(app, moments, at, &ids, chart, &mut page);
    axis(app, moments, at, &mut page);
    let drawn = page.into_rows();
    paint(canvas, area, &drawn, 0);
    let used = u16::try_from(drawn.len()).unwrap_or(u16::MAX).min(area.height);
    paint(canvas, Rect { y: area.y + used, height: area.height - used, ..area }, &below, 0);
}

/// Columns that each moment takes, and the first moment that fits.
fn spacing(columns: usize, count: usize, at: usize) -> (usize, usize) {
    let room = columns.saturating_sub(SCALE).max(1);
    let each = (room / count.max(1)).clamp(3, 12);
    let fit = (room / each).max(1);
    (each, at.saturating_sub(fit / 2).min(count.saturating_sub(fit)))
}

/// The letters of the causes, each at the height of its probability.
fn plot(app: &App, moments: &[Moment], at: usize, ids: &[CauseId], rows: usize, page: &mut Page) {
    let (each, from) = spacing(page.width(), moments.len(), at);
    let fit = (page.width().saturating_sub(SCALE) / each).max(1);
    let steps = rows.saturating_sub(1).max(1) as f64;
    // The scale ends above the greatest, so that small chances are told apart too.
    let shown = moments.iter().skip(from).take(fit);
    let greatest = shown.flat_map(|m| ids.iter().map(|id| m.causes[id.0].ever)).fold(0.0, f64::max);
    let top = [0.05, 0.1, 0.25, 0.5, 1.0].into_iter().find(|t| greatest <= *t).unwrap_or(1.0);
    let g = app.theme.glyphs();
    for row in 0..rows {
        let value = top * (1.0 - row as f64 / steps);
        let is_mark = row == 0 || row + 1 == rows || row == rows / 2;
        let scale = if is_mark { format!("{:>4.0} ", 100.0 * value) } else { " ".repeat(SCALE - 1) };
        let mut pieces = vec![(Role::Faint, scale), (Role::Rule, g.case_mid.to_owned())];
        for (place, moment) in moments.iter().enumerate().skip(from).take(fit) {
            let mut here = String::new();
            for (letter, id) in ('a'..='z').zip(ids) {
                let height = ((1.0 - moment.causes[id.0].ever / top) * steps).round();
                if (height - row as f64).abs() < 0.5 {
                    here.push(letter);
                }
            }
            let role = if place == at { Role::Chosen } else { Role::Bar };
            let blank = each.saturating_sub(width(&here).min(each - 1));
            pieces.push((if here.is_empty() { Role::Text } else { role }, cut(&here, each - 1, g.more)));
            pieces.push((Role::Text, " ".repeat(blank)));
        }
        page.row(&pieces);
    }
}

/// The numbers of the entries under the plot.
fn axis(app: &App, moments: &[Moment], at: usize, page: &mut Page) {
    let (each, from) = spacing(page.width(), moments.len(), at);
    let fit = (page.width().saturating_sub(SCALE) / each).max(1);
    let mut pieces = vec![(Role::Faint, pad("entry", SCALE))];
    for (place, moment) in moments.iter().enumerate().skip(from).take(fit) {
        let number = cut(&moment.number.to_string(), each - 1, app.theme.glyphs().more);
        let role = if place == at { Role::Chosen } else { Role::Faint };
        let blank = " ".repeat(each - width(&number));
        pieces.push((role, number));
        pieces.push((Role::Text, blank));
    }
    page.row(&pieces);
}

/// The marked moment: what was entered, minutes so far and expected, and each cause with its letter.
fn legend(app: &App, job: &Job, moments: &[Moment], at: usize, ids: &[CauseId], page: &mut Page) {
    let Some(moment) = moments.get(at) else { return };
    let model = job.model();
    let entry = job.log().iter().find(|l| l.number == moment.number).map(|l| words::entry(model, &l.entry));
    page.row(&[(Role::Strong, format!("#{} ", moment.number)), (Role::Text, entry.unwrap_or_default())]);
    let (so_far, to_go) = (words::minutes(moment.minutes), words::minutes(moment.expected));
    page.row(&[(
        Role::Text,
        format!(
            "{so_far} so far, {to_go} expected to go; {} together",
            words::minutes(moment.minutes + moment.expected)
        ),
    )]);
    let before = at.checked_sub(1).and_then(|b| moments.get(b));
    for (letter, id) in ('a'..='z').zip(ids) {
        let now = moment.causes[id.0].ever;
        let was = before.map(|b| format!("{:>5} to ", words::percent(b.causes[id.0].ever)));
        let figures = format!("{}{:>5}  ", was.unwrap_or_default(), words::percent(now));
        let room = page.width().saturating_sub(2 + width(&figures));
        let name = cut_before_site(&words::cause(model, *id), room, app.theme.glyphs().more);
        page.row(&[(Role::Key, format!("{letter} ")), (Role::Strong, figures), (Role::Text, name)]);
    }
}
