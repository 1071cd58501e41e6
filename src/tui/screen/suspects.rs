//! The ranked suspects: number, bar and word; and what is shown good, by which look.

use crate::analysis::{Ranked, Standing};
use crate::job::Job;
use crate::model::CauseId;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::text::{cut, cut_before_site, pad, width, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::bar::bar;
use crate::tui::widget::page::{Page, Row};
use crate::tui::words;

/// Suspects in a number of rows, the most probable first, and a last row about what is shown good.
pub(crate) fn lines(app: &App, job: &Job, columns: usize, rows: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    if rows == 0 {
        return Vec::new();
    }
    if app.hides() {
        crate::tui::practice_items::said(app, job, &mut page);
        let mut lines = page.into_rows();
        lines.truncate(rows);
        return lines;
    }
    let stale = if app.is_ranked() { "" } else { ", as they stood before the last entry" };
    page.rule(&format!("suspects of {}{stale}", job.model().causes.len()));
    let Some(job) = app.ranked() else {
        page.row(&[(Role::Faint, format!("the ranking {}", app.later()))]);
        return page.into_rows();
    };
    let ranking = job.ranking();
    // The unknown cause stands in the list like any other: nobody may forget it.
    let out: Vec<CauseId> = ranking.iter().copied().filter(|id| job.standing(*id) == Standing::ShownGood).collect();
    let words = if out.is_empty() { Vec::new() } else { wrap(&shown_good(job, &out), columns) };
    let most = if rows >= 20 { 4 } else { usize::from(rows > 2) };
    let mut words = keep_words(words, most, columns, app.theme.glyphs().more);
    if rows >= 8
        && let Some(alike) = alike(app, job)
    {
        words.splice(
            0..0,
            keep_words(wrap(&alike, columns), if rows >= 12 { 4 } else { 1 }, columns, app.theme.glyphs().more),
        );
    }
    if let Some(error) = job.posterior().error_words() {
        let most = if rows >= 12 { 2 } else { 1 };
        words.splice(0..0, keep_words(wrap(&error, columns), most, columns, app.theme.glyphs().more));
    }
    let room = rows.saturating_sub(1 + words.len());
    let listed: Vec<CauseId> =
        ranking.into_iter().filter(|id| job.standing(*id) != Standing::ShownGood).take(room.max(1)).collect();
    for id in listed {
        let line = page.len();
        one(app, job, id, columns, &mut page);
        page.does(line, &Action::Suspects);
    }
    for line in words {
        page.row(&[(Role::Faint, line)]);
    }
    let mut lines = page.into_rows();
    lines.truncate(rows);
    lines
}

/// The first rows of a text, with a mark where more is left out.
fn keep_words(mut rows: Vec<String>, most: usize, columns: usize, more: &str) -> Vec<String> {
    if rows.len() > most {
        rows.truncate(most);
        if let Some(last) = rows.last_mut() {
            *last = cut(&format!("{last} {more}"), columns, more);
        }
    }
    rows
}

fn one(app: &App, job: &Ranked, id: CauseId, columns: usize, page: &mut Page) {
    let belief = job.belief(id);
    let standing = job.standing(id);
    let share = if standing == Standing::PutRight { belief.ever } else { belief.present };
    let (filled, empty) = bar(app.theme, share, if columns < 60 { 5 } else { 10 });
    // On a narrow screen the name needs the room; what has no word there is in play.
    let narrow = columns < 48;
    let word = if narrow && standing == Standing::InPlay { "" } else { words::standing(standing) };
    let word = if word.is_empty() { String::new() } else { pad(word, if narrow { width(word) } else { 9 }) };
    let role = match standing {
        Standing::Proven => Role::Warn,
        Standing::PutRight => Role::Good,
        Standing::Unlikely | Standing::ShownGood => Role::Faint,
        Standing::InPlay => Role::Text,
    };
    let mark = if standing == Standing::PutRight { app.theme.glyphs().done } else { " " };
    let taken = 7 + width(&filled) + width(&empty) + width(&word) + 1;
    let name = cut_before_site(&words::cause(job.model(), id), columns.saturating_sub(taken), app.theme.glyphs().more);
    page.spread(
        &[
            (Role::Strong, format!("{:>5}", words::percent(share))),
            (Role::Text, " ".into()),
            (Role::Bar, filled),
            (Role::Faint, empty),
            (Role::Good, mark.to_owned()),
            (role, name),
        ],
        &[(role, word)],
    );
}

/// The likeliest suspects that no check left tells apart, and what to do.
fn alike(app: &App, job: &Job) -> Option<String> {
    let model = job.model();
    let set = app.alike_now().first()?;
    let named: Vec<String> = set.causes.iter().map(|id| words::cause(model, *id)).collect();
    Some(format!(
        "not to be told apart, {} together: {}. {}",
        words::percent(set.probability),
        named.join("; "),
        set.advice(model)
    ))
}

/// What a look shows good, with the number of its entry.
fn shown_good(job: &Ranked, out: &[CauseId]) -> String {
    let model = job.model();
    let named: Vec<String> = out
        .iter()
        .filter_map(|id| {
            let by = job.shown_good_by(*id)?;
            Some(format!("{} (#{} {})", words::cause(model, *id), by.number, cut(&model[by.check].title, 24, "")))
        })
        .collect();
    format!("shown good {}: {}", out.len(), named.join("; "))
}
