//! How the things of a job are said: entries, conditions, minutes, actions.
//!
//! Owns wording that more than one screen needs. Must not draw.

use crate::analysis::Standing;
use crate::guide::Told;
use crate::job::{Entry, Job};
use crate::model::{CauseId, CheckId, Conditions, Model, Site};
use crate::plan::Action;

use super::text::clean;

/// A thing with its site: "lead open, left 3 upper"; the engine as a site goes without saying.
pub(crate) fn at(model: &Model, title: &str, site: Site) -> String {
    match site {
        Site::Engine => clean(title),
        _ => format!("{}, {}", clean(title), model.site_words(site)),
    }
}

/// A cause with its site.
pub(crate) fn cause(model: &Model, id: CauseId) -> String {
    at(model, &model[id].title, model[id].site)
}

/// A check with its site.
pub(crate) fn check(model: &Model, id: CheckId) -> String {
    at(model, &model[id].title, model[id].site)
}

/// Conditions in words that stand alone: "hot, dry, low load".
pub(crate) fn conditions(model: &Model, conditions: &Conditions) -> String {
    levels_of(model, conditions, |_, _| true)
}

/// The same without those at rest, but for the first.
pub(crate) fn awake_conditions(model: &Model, conditions: &Conditions) -> String {
    levels_of(model, conditions, |at, level| at == 0 || level > 0)
}

fn levels_of(model: &Model, conditions: &Conditions, told: impl Fn(usize, usize) -> bool) -> String {
    let all = model.conditions.iter().zip(&conditions.0).enumerate();
    let kinds = all.filter(|(at, (_, level))| told(*at, **level)).map(|(_, pair)| pair);
    let word = |(kind, level): (&crate::model::Condition, &usize)| {
        let level = kind.levels.get(*level)?;
        Some(match level.as_str() {
            // These say nothing without what they are of.
            "none" => format!("no {}", kind.name),
            "low" | "high" | "medium" => format!("{level} {}", kind.name),
            other => other.to_owned(),
        })
    };
    clean(&kinds.filter_map(word).collect::<Vec<_>>().join(", "))
}

/// Minutes as a mechanic says them: "8 min", "2 h 05".
pub(crate) fn minutes(minutes: f64) -> String {
    let whole = minutes.max(0.0).round();
    if whole < 100.0 {
        return format!("{whole:.0} min");
    }
    let hours = (whole / 60.0).floor();
    format!("{hours:.0} h {:02.0}", whole - 60.0 * hours)
}

/// A probability in per cent, never a bare nought or hundred where something is left.
pub(crate) fn percent(p: f64) -> String {
    match 100.0 * p {
        x if x <= 0.0 => "0 %".into(),
        x if x < 1.0 => "<1 %".into(),
        x if (99.0..100.0).contains(&x) => ">99 %".into(),
        x => format!("{x:.0} %"),
    }
}

/// What an action asks of the access: what has to be closed and opened first, with the minutes.
pub(crate) fn access(told: &Told) -> String {
    match told.access() {
        Some(access) => format!("{} ({} of it)", clean(&access), minutes(told.work.moving)),
        None => "as it stands".into(),
    }
}

/// What a suggestion asks for, as a heading.
pub(crate) fn action(model: &Model, job: &Job, action: Action) -> String {
    match action {
        Action::Check(id) => check(model, id),
        Action::SeeWhetherItShows => "Run it and see whether the complaint shows".into(),
        Action::Provoke(id) => clean(&model[id].title),
        Action::Correct(id) => at(model, &model[id].title, model[id].site),
        Action::ProofRun => {
            format!("Proof run: {}", conditions(model, job.state().proof_under()))
        }
        Action::CloseCured => "Close the job: cured".into(),
        Action::CloseHandedOver => "Close the job: not ignition, handed over".into(),
        Action::CloseNotFound => "Close the job: not found".into(),
    }
}

/// The kind of a suggestion, in a word or two.
pub(crate) fn kind(action: Action) -> &'static str {
    match action {
        Action::Check(_) => "Check",
        Action::SeeWhetherItShows => "Look",
        Action::Provoke(_) => "Provoke",
        Action::Correct(_) => "Fix",
        Action::ProofRun => "Prove",
        Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => "End",
    }
}

/// A standing, where the wording of the list has to fit a narrow column.
pub(crate) fn standing(standing: Standing) -> &'static str {
    standing.words()
}

/// An entry in one line.
pub(crate) fn entry(model: &Model, entry: &Entry) -> String {
    clean(&crate::job::tell(model, entry))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn minutes_and_per_cent_are_said_as_people_do() {
        assert_eq!(minutes(8.4), "8 min");
        assert_eq!(minutes(125.0), "2 h 05");
        assert_eq!(minutes(-1.0), "0 min");
        assert_eq!(percent(0.004), "<1 %");
        assert_eq!(percent(0.996), ">99 %");
        assert_eq!(percent(0.3), "30 %");
    }
}
