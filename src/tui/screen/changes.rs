//! What the last answer changed: each cause before and after, those that moved most first.

use crate::model::CauseId;
use crate::tui::app::App;
use crate::tui::text::{cut_before_site, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};
use crate::tui::words;

/// The least change that is worth a row, in probability.
const LEAST: f64 = 0.002;
/// Columns that the name of a cause needs at the least.
const NAME: usize = 16;

pub(crate) fn lines(app: &App, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    page.row(&[(Role::Title, "What the last entry changed".into())]);
    let newest = app.job().and_then(|j| j.log().last().map(|l| (l.number, words::entry(j.model(), &l.entry))));
    if let Some((number, words)) = newest {
        page.text(Role::Text, &format!("#{number} {words}"));
    }
    page.blank();
    let stale = app.job().is_some() && !app.is_ranked();
    let (Some(now), Some(before), false) = (app.ranked(), app.ranked_before(), stale) else {
        let later = format!("It {}.", app.later());
        page.text(Role::Faint, if stale { &later } else { "Nothing has changed since this job was opened here." });
        return page.into_rows();
    };
    let (went, go) = (before.state().minutes, now.state().minutes);
    page.row(&[(
        Role::Faint,
        format!("minutes of work so far: {} before, {} now", words::minutes(went), words::minutes(go)),
    )]);
    let mut ids: Vec<CauseId> = (0..now.model().causes.len()).map(CauseId).collect();
    let moved = |id: &CauseId| (now.belief(*id).present - before.belief(*id).present).abs();
    ids.retain(|id| moved(id) >= LEAST || now.standing(*id) != before.standing(*id));
    ids.sort_by(|a, b| moved(b).total_cmp(&moved(a)).then(a.cmp(b)));
    if ids.is_empty() {
        page.text(Role::Text, "No cause moved by as much as a five-hundredth.");
    }
    for id in ids {
        let (p, q) = (before.belief(id).present, now.belief(id).present);
        let (was, is) = (before.standing(id), now.standing(id));
        let figures = format!("{:>5} to {:>5}  ", words::percent(p), words::percent(q));
        let all = page.width().saturating_sub(width(&figures) + 2);
        let word = format!("  {} to {}", words::standing(was), words::standing(is));
        // Which cause it is comes before how it stands.
        let word = if was == is || all < width(&word) + NAME { String::new() } else { word };
        let room = all.saturating_sub(width(&word));
        let name = cut_before_site(&words::cause(now.model(), id), room, app.theme.glyphs().more);
        let (sign, role) = if q > p { ("+ ", Role::Warn) } else { ("- ", Role::Good) };
        page.row(&[(role, sign.into()), (Role::Strong, figures), (Role::Text, name), (Role::Faint, word)]);
    }
    page.into_rows()
}
