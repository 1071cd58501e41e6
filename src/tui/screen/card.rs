//! The whole of what is in front: purpose, steps, what each answer means, mistakes, source.

use crate::guide::Told;
use crate::job::Job;
use crate::model::{CheckId, Seen};
use crate::plan::Action;
use crate::tui::app::App;
use crate::tui::text::clean;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};
use crate::tui::words;

pub(crate) fn lines(app: &App, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    let (Some(job), Some(front)) = (app.job(), app.front()) else { return Vec::new() };
    let model = job.model();
    page.row(&[(Role::Title, words::action(model, job, front.action))]);
    page.blank();
    if let Some(suggestion) = front.suggestion.as_ref().filter(|s| !s.why.is_empty()) {
        page.label("why now", Role::Text, &clean(&suggestion.why));
    }
    let told = Told::of(job, front.action);
    match front.action {
        Action::Check(id) => {
            let c = &model[id];
            page.label("purpose", Role::Text, &clean(&c.purpose));
        }
        Action::Correct(id) => {
            let c = &model[id];
            let cures: Vec<String> = c.cures.iter().map(|x| words::cause(model, *x)).collect();
            page.label("cures", Role::Text, &cures.join("; "));
            if !c.disturbs.is_empty() {
                let brings: Vec<String> = c.disturbs.iter().map(|x| words::cause(model, *x)).collect();
                page.label("can bring", Role::Warn, &brings.join("; "));
            }
            if let Some((prices, ways)) = app.analysis().and_then(|of| of.ways(id)) {
                for way in ways {
                    page.label("way", Role::Strong, &clean(&model[way.correction].title));
                    way.lines(model, prices).iter().for_each(|line| page.label("", Role::Text, &clean(line)));
                }
            } else {
                let cost = (c.cost > 0.0).then(|| format!("about {:.0} in money", c.cost));
                let parts: Vec<String> = c.parts.iter().map(|part| clean(part)).chain(cost).collect();
                if !parts.is_empty() {
                    page.label("parts", Role::Text, &parts.join(", "));
                }
            }
            if !c.proof.is_empty() {
                page.label("proven by", Role::Text, &clean(&c.proof));
            }
        }
        _ => {}
    }
    if let Some(takes) = told.takes() {
        page.label("takes", Role::Text, &clean(&takes));
    }
    page.label("access", Role::Text, &words::access(&told));
    if let Some(engine) = &told.engine {
        page.label("engine", Role::Text, &clean(engine));
    }
    if !told.tools.is_empty() {
        page.label("tools", Role::Text, &clean(&told.tools.join(", ")));
    }
    for (at, step) in told.steps.iter().enumerate() {
        page.hanging(
            if at == 0 { "do" } else { "" },
            &(Role::Strong, format!("{} ", at + 1)),
            Role::Text,
            &clean(step),
        );
    }
    if let Some(id) = front.check() {
        check(job, id, &front.choices, &mut page);
    }
    for hazard in &front.hazards {
        page.label(
            "hazard",
            Role::Warn,
            &format!("{}. {}", clean(&model[*hazard].title), clean(&model[*hazard].caution)),
        );
    }
    let others = app.advice_now().map(|a| a.instead_of(model, front.action)).unwrap_or_default();
    for (at, other) in others.into_iter().enumerate() {
        page.label(if at == 0 { "instead" } else { "" }, Role::Text, &clean(&other.cost_words(model)));
    }
    if !told.source.is_empty() {
        page.label("source", Role::Faint, &clean(&told.source));
    }
    page.label("always", Role::Faint, "Follow the manufacturer's current instructions and local rules; they decide.");
    page.into_rows()
}

fn check(job: &Job, id: CheckId, choices: &[crate::tui::front::Choice], page: &mut Page) {
    let model = job.model();
    let check = &model[id];
    if !check.expected.is_empty() {
        page.label("expect", Role::Strong, &clean(&check.expected));
    }
    for (at, line) in model.limit_lines(check).iter().enumerate() {
        page.label(if at == 0 { "limit" } else { "" }, Role::Text, &clean(line));
    }
    page.blank();
    for (at, choice) in choices.iter().enumerate() {
        let key = choice.key.map_or_else(|| "-".to_owned(), |c| c.to_string());
        page.hanging(
            if at == 0 { "answers" } else { "" },
            &(Role::Key, format!("{key} ")),
            Role::Strong,
            &clean(&choice.title),
        );
        let means = match choice.seen {
            Some(Seen::Abnormal(at)) => {
                let event = &check.outcomes[at].event;
                let mut causes = event.causes.clone();
                causes.sort_by(|a, b| b.1.total_cmp(&a.1));
                let named: Vec<String> = causes
                    .iter()
                    .take(6)
                    .map(|(c, chance)| format!("{} ({})", words::cause(model, *c), words::percent(*chance)))
                    .collect();
                let more = causes.len().saturating_sub(6);
                let more = if more > 0 { format!(" and {more} more") } else { String::new() };
                format!("shows {}{more}", named.join("; "))
            }
            _ => "speaks against all that it could have shown".into(),
        };
        page.hanging("", &(Role::Text, "  ".into()), Role::Text, &means);
    }
    page.blank();
    for mistake in &check.mistakes {
        page.label("mistake", Role::Warn, &clean(mistake));
    }
}
