//! A suggestion, a ranking and what outcomes would mean, in plain lines.

use crate::analysis::{Analysis, Ranked};
use crate::guide::{Told, came_with, round_words};
use crate::job::Job;
use crate::model::{CauseId, Check, CheckId, Model, Seen};
use crate::plan::{Action, Suggestion};
use crate::text::rounded;

/// Causes shown in a ranking.
const RANKED: usize = 12;

/// The line that says which spell it is.
pub(super) fn spell(job: &Analysis) -> String {
    format!(
        "{}, about {:.0} to come.",
        spell_only(job).trim_end_matches('.'),
        job.advice_with_doubts().expected_minutes
    )
}

/// The same without what is expected to come.
pub(super) fn spell_only(job: &Job) -> String {
    let (model, state) = (job.model(), job.state());
    let showing = match state.showing(model) {
        Some(true) => "the complaint is showing",
        Some(false) => "the complaint is not showing",
        None => "whether the complaint is showing is not known",
    };
    let conditions = state.conditions().named(&model.conditions);
    format!("Spell {}: conditions {conditions}; {showing}. {} so far.", state.now(), rounded(state.minutes, "minute"))
}

/// Everything to know before doing it, without the cautions, which come first.
pub(super) fn action(job: &Job, action: Action, suggestion: Option<&Suggestion>) -> Vec<String> {
    let model = job.model();
    let told = Told::of(job, action);
    let title = match suggestion {
        Some(suggestion) if suggestion.again => suggestion.title(model),
        _ => told.title.clone(),
    };
    let mut lines = vec![format!("Next: {title}")];
    if let Some(suggestion) = suggestion {
        if !suggestion.why.is_empty() {
            lines.push(format!("Why: {}", suggestion.why));
        }
        if let Some(round) = &suggestion.round {
            lines.push(format!("Do it as {}.", round_words(model, round)));
        }
        if let Some(then) = suggestion.then {
            lines.push(format!("Then: {}", Action::Check(then).title(model)));
        }
    }
    let check = match action {
        Action::Check(id) => Some(&model[id]),
        _ => None,
    };
    lines.extend(check.map(|c| format!("What it separates: {}", c.purpose)).filter(|_| suggestion.is_none()));
    lines.extend(told.not_now.as_ref().map(|why| format!("Not suggested now: {why}.")));
    lines.extend(told.takes());
    if !told.closes.is_empty() {
        lines.push(format!("Close first: {}.", told.closes.join("; ")));
    }
    if !told.opens.is_empty() {
        lines.push(format!("Open first: {}.", told.opens.join("; ")));
    }
    if !told.owed_first.is_empty() {
        lines.push(format!("Owed before the engine is started: {}.", told.owed_first.join("; ")));
    }
    lines.extend(told.engine.as_ref().map(|engine| format!("Engine: {engine}.")));
    lines.extend(told.brings.as_ref().map(|brings| format!("Done in: {brings}.")));
    if !told.tools.is_empty() {
        lines.push(format!("Tools: {}.", told.tools.join(", ")));
    }
    lines.extend(told.steps.iter().enumerate().map(|(i, step)| format!("Step {}: {step}", i + 1)));
    if let Some(check) = check {
        lines.push(format!("Expected: {}", told.expected));
        lines.extend(model.limit_lines(check));
        lines.extend(told.mistakes.iter().map(|m| format!("Mistake to avoid: {m}")));
        lines.push(format!("Source: {}.", told.source));
    }
    lines
}

/// The ways to put it right, where the action is a correction and the shop gives prices: the sums, cheapest per hour left first.
pub(super) fn ways(job: &Ranked, action: Action) -> Vec<String> {
    let Action::Correct(id) = action else { return Vec::new() };
    let Some((prices, ways)) = job.ways(id) else { return Vec::new() };
    let mut lines = Vec::new();
    for (at, way) in ways.iter().enumerate() {
        let correction = &job.model()[way.correction];
        let mark = if way.correction == id { ", suggested" } else { "" };
        lines.push(format!("Way {}: {} ({}{mark})", at + 1, correction.title, correction.kind.words()));
        lines.extend(way.lines(job.model(), prices).into_iter().map(|line| format!("  {line}")));
    }
    lines
}

const SOMETHING_ELSE: &str = "It did not show, but something else did (else)";

/// The numbered answers of an action, with their names in brackets.
pub(super) fn options(model: &Model, action: Action) -> Vec<String> {
    match action {
        Action::Check(id) => outcomes(&model[id]),
        Action::SeeWhetherItShows => {
            vec!["It shows (showing)".into(), "It does not show (not-showing)".into(), SOMETHING_ELSE.into()]
        }
        Action::ProofRun => {
            let no = "The complaint did not show (not-showing)".into();
            vec![no, "The complaint showed (showing)".into(), SOMETHING_ELSE.into()]
        }
        Action::Provoke(_) | Action::Correct(_) => vec!["Done (done)".into()],
        Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => vec!["Close the job (close)".into()],
    }
}

/// The outcomes of a check, the normal one first.
pub(super) fn outcomes(check: &Check) -> Vec<String> {
    check.all_seen().map(|seen| format!("{} ({})", check.outcome_title(seen), check.outcome_name(seen))).collect()
}

/// What can be typed for an action.
pub(super) fn accepted(model: &Model, action: Action) -> String {
    let reading = match action {
        Action::Check(id) => model[id].limit.map(|at| {
            let limit = &model.limits[at];
            format!(
                ", or a reading such as {} (a bare number is taken in {})",
                limit.dimension.examples(),
                limit.unit.symbol()
            )
        }),
        _ => None,
    };
    format!(
        "Type a number from 1 to {}, the name in brackets{}, or a command (help lists them).",
        options(model, action).len(),
        reading.unwrap_or_default()
    )
}

/// What each outcome would mean.
pub(super) fn why(job: &Analysis, suggestion: &Suggestion) -> Vec<String> {
    let model = job.model();
    let check: Option<CheckId> = match suggestion.action {
        Action::Check(id) => Some(id),
        _ => suggestion.then,
    };
    let mut lines = vec![suggestion.why.clone()];
    lines.retain(|line| !line.is_empty());
    for forecast in &suggestion.forecasts {
        let outcome = match (check, forecast.seen) {
            (Some(id), seen) => model[id].outcome_title(seen).to_owned(),
            (None, Seen::Normal) => "The complaint does not show".to_owned(),
            (None, Seen::Abnormal(_)) => "The complaint shows".to_owned(),
        };
        let then: Vec<String> = forecast
            .then
            .iter()
            .map(|(id, p)| format!("{}, {} {:.0} %", model[*id].title, model[*id].site, 100.0 * p))
            .collect();
        lines.push(format!("{outcome} ({:.0} % likely): then {}.", 100.0 * forecast.probability, then.join("; ")));
    }
    let others = job.advice_with_doubts().instead_of(model, suggestion.action);
    lines.extend(others.into_iter().map(|s| format!("Instead: {}.", s.cost_words(model))));
    if lines.is_empty() {
        lines.push("There is nothing more to say of this one.".to_owned());
    }
    lines
}

/// Why a cause stands where it does: what each answer did to its odds.
pub(super) fn because(job: &Analysis, id: CauseId) -> Vec<String> {
    let (model, cause) = (job.model(), &job.model()[id]);
    let now = 100.0 * job.belief(id).present;
    let title = format!("{}, {}: {}, {now:.1} %.", cause.title, model.site_words(cause.site), job.standing(id).words());
    let reasons = job.because(id);
    let none = reasons.is_empty().then(|| "No answer has moved its odds by a twentieth or more.".to_owned());
    let reasons = reasons.iter().map(|(c, says)| format!("Entry {}: {says}: {}.", c.number, c.words()));
    let came = came_with(model, job.state(), id).map(|work| format!("Can have come with work before the job: {work}."));
    std::iter::once(title).chain(came).chain(reasons).chain(none).collect()
}

/// The causes, most probable first, each with how it stands.
pub(super) fn ranking(job: &Analysis) -> Vec<String> {
    let model = job.model();
    let mut lines: Vec<String> = job
        .ranking()
        .into_iter()
        .take(RANKED)
        .map(|id| {
            let cause = &model[id];
            let site = model.site_words(cause.site);
            let now = 100.0 * job.belief(id).present;
            format!(
                "{now:5.1} %  {}, {site}: {} ({} at {})",
                cause.title,
                job.standing(id).words(),
                cause.name,
                cause.site
            )
        })
        .collect();
    for set in job.alike() {
        let causes: Vec<String> = set
            .causes
            .iter()
            .map(|id| format!("{}, {}", model[*id].title, model.site_words(model[*id].site)))
            .collect();
        let together = 100.0 * set.probability;
        lines.push(format!(
            "Not to be told apart ({together:.1} % together): {}. {}",
            causes.join("; "),
            set.advice(model)
        ));
    }
    lines.extend(job.posterior().error_words());
    lines
}
