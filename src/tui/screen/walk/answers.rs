//! The answers to what is in front, the reading being typed, and its verdict.

use crate::job::{Job, Levels};
use crate::model::Seen;
use crate::plan::Action;
use crate::tui::action::Action as Do;
use crate::tui::app::App;
use crate::tui::front::{Choice, Front, Verdict};
use crate::tui::text::{clean, cut_before_site, pad, width};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};
use crate::tui::words;

pub(super) fn lines(app: &App, job: &Job, front: &Front, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    if let Some(verdict) = &app.walk().verdict {
        self::verdict(app, job, front, verdict, &mut page);
        return page.into_rows();
    }
    if let Some(field) = &app.walk().field {
        let unit = app.limit_in_front().map(|l| l.unit.symbol().to_owned()).unwrap_or_default();
        let (before, behind) = field.around();
        let caret = app.theme.glyphs().caret;
        page.labelled(
            "reading",
            &[
                (Role::Field, format!("{}{caret}{}", clean(before), clean(behind))),
                (Role::Faint, format!("  bare numbers are {unit}")),
            ],
        );
        page.label("", Role::Faint, "Also 8.2k, 8k2, OL. With @ the temperature of the part in C: 9.1k @ 35.");
        return page.into_rows();
    }
    let due = if front.action == Action::ProofRun { job.state().proof_levels(job.model()) } else { Levels::new() };
    let run_levels = if app.walk().run_levels.is_empty() { &due } else { &app.walk().run_levels };
    if matches!(front.action, Action::ProofRun | Action::SeeWhetherItShows) && !run_levels.is_empty() {
        let levels: Vec<&str> = run_levels.values().map(String::as_str).collect();
        page.label("run", Role::Warn, &format!("conditions of the run: {}", clean(&levels.join(", "))));
    }
    let titles = front.choices.iter().map(|c| width(&c.title)).max().unwrap_or(0).min(34);
    for (at, choice) in front.choices.iter().enumerate() {
        let label = if at == 0 { "answer" } else { "" };
        one(app, job, front, choice, app.walk().cursor == Some(at), titles, label, &mut page);
    }
    if let Some(words) = demo_words(app, front) {
        page.label("demo", Role::Good, &words);
    }
    if let Some(limit) = app.limit_in_front() {
        page.labelled(
            "",
            &[
                (Role::Key, "0-9".into()),
                (Role::Text, format!(" type the reading, in {} when bare", limit.unit.symbol())),
            ],
        );
    }
    page.into_rows()
}

/// What the demo's engine shows to the thing in front, and the key that says so.
pub(in crate::tui::screen) fn demo_words(app: &App, front: &Front) -> Option<String> {
    let (demo, job) = (app.demo()?, app.job().map(AsRef::as_ref)?);
    let choice = match demo.shows(job, front.action) {
        Some(seen) => front.choices.iter().find(|c| c.seen == Some(seen))?,
        None => front.choices.first()?,
    };
    let key = choice.key?;
    Some(match choice.seen {
        Some(_) => format!("This engine shows: {}. Press {key}.", clean(&choice.title)),
        None => format!("Press {key}."),
    })
}

#[allow(clippy::too_many_arguments)]
fn one(
    app: &App,
    job: &Job,
    front: &Front,
    choice: &Choice,
    marked: bool,
    titles: usize,
    label: &str,
    page: &mut Page,
) {
    let mark = if marked { app.theme.glyphs().mark } else { " " };
    let key = choice.key.map_or_else(|| " ".to_owned(), |c| c.to_string());
    let role = if marked { Role::Chosen } else { Role::Strong };
    let mut pieces = vec![(Role::Key, format!("{key}{mark}")), (role, clean(&choice.title))];
    let forecast = front.suggestion.as_ref().and_then(|s| s.forecasts.iter().find(|f| Some(f.seen) == choice.seen));
    if let Some(forecast) = forecast.filter(|_| page.room() > titles + 24) {
        let gap = titles.saturating_sub(width(&choice.title)) + 2;
        let mut words = pad(&words::percent(forecast.probability), 5);
        if let Some((id, p)) = forecast.then.first() {
            let p = words::percent(*p);
            let room = page.room().saturating_sub(titles.max(width(&choice.title)) + 4 + 5 + 5 + width(&p) + 1);
            let name = cut_before_site(&words::cause(job.model(), *id), room, app.theme.glyphs().more);
            words = format!("{words}then {name} {p}");
        }
        pieces.push((Role::Faint, format!("{}{words}", " ".repeat(gap))));
    }
    let line = page.len();
    page.labelled(label, &pieces);
    if let Some(at) = front.choices.iter().position(|c| c == choice) {
        page.does(line, &Do::Point(at));
    }
}

fn verdict(app: &App, job: &Job, front: &Front, verdict: &Verdict, page: &mut Page) {
    let title =
        |seen: Seen| front.choices.iter().find(|c| c.seen == Some(seen)).map(|c| clean(&c.title)).unwrap_or_default();
    let at = verdict.reading.celsius.map(|t| format!(" at {t} C")).unwrap_or_default();
    page.labelled("reading", &[(Role::Strong, format!("{}{at}", clean(&verdict.reading.typed)))]);
    match verdict.seen {
        Some(Seen::Normal) => page.label("verdict", Role::Good, &format!("GOOD: {}", title(Seen::Normal))),
        Some(seen) => page.label("verdict", Role::Warn, &format!("NOT GOOD: {}", title(seen))),
        None if verdict.fits.is_empty() => {
            page.label("verdict", Role::Warn, "NOT YET: it is kept, and judged when what it needs is there.");
        }
        None if verdict.clear => page.label("verdict", Role::Warn, "WHICH? The reading alone does not tell."),
        None => page.label("verdict", Role::Warn, "TOO CLOSE TO CALL: it counts for each by its weight."),
    }
    let choices = front.choices.iter().enumerate();
    for (at, choice) in
        choices.filter(|(_, c)| verdict.fits.len() > 1 && c.seen.is_some_and(|s| verdict.fits.contains(&s)))
    {
        one(app, job, &Front { suggestion: None, ..front.clone() }, choice, app.walk().cursor == Some(at), 0, "", page);
    }
    let words = if verdict.fits.len() > 1 && verdict.clear {
        "Enter: enter it for all of these alike. A letter: what you saw. Esc: change it."
    } else {
        "Enter: enter it. Esc: change it."
    };
    page.label("", Role::Key, words);
    if !verdict.words.is_empty() {
        page.label("", Role::Text, &clean(&verdict.words));
    }
}
