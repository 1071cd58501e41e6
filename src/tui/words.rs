//! How the things of a job are said: entries, conditions, minutes, actions.
//!
//! Owns wording that more than one screen needs. Must not draw.

use crate::job::{Entry, Job, Levels, Standing};
use crate::model::{AccessId, CauseId, CheckId, Cited, Conditions, Model, Site};
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

/// What an access list says: what has still to be opened first, with the minutes.
pub(crate) fn access(job: &Job, open: &[AccessId], closed: &[AccessId]) -> String {
    let model = job.model();
    let now = &job.state().access;
    let (then, moving) = model.reach(now, open, closed);
    let name = |id: AccessId| at(model, &model[id].title, model[id].site);
    let opened: Vec<String> = then.iter().filter(|id| !now.has(*id)).map(name).collect();
    let shut: Vec<String> = now.iter().filter(|id| !then.has(*id)).map(name).collect();
    let mut words = Vec::new();
    if !opened.is_empty() {
        words.push(format!("first {}", opened.join(", ")));
    }
    if !shut.is_empty() {
        words.push(format!("undo {}", shut.join(", ")));
    }
    if words.is_empty() {
        return match open {
            [] => "nothing to open".into(),
            _ => "open already".into(),
        };
    }
    format!("{} ({} of it)", words.join("; "), minutes(moving))
}

/// Where a figure comes from, with a mark where nobody published it.
pub(crate) fn source(model: &Model, cited: &Cited) -> String {
    let Some(source) = model.sources.get(cited.source.0) else { return "no source given".into() };
    let mut words = match source.name.as_str() {
        "common" => "common practice, no published source".to_owned(),
        "placeholder" => "PLACEHOLDER, nobody's figure: use the manual's".to_owned(),
        _ => clean(&source.document),
    };
    if !cited.place.is_empty() {
        words = format!("{words}, {}", clean(&cited.place));
    }
    if !source.read && !matches!(source.name.as_str(), "common" | "placeholder") {
        words.push_str(" (from memory, check it)");
    }
    words
}

/// What a suggestion asks for, as a heading.
pub(crate) fn action(model: &Model, job: &Job, action: Action) -> String {
    match action {
        Action::Check(id) => check(model, id),
        Action::SeeWhetherItShows => "Run it and see whether the complaint shows".into(),
        Action::Provoke(id) => clean(&model[id].title),
        Action::Correct(id) => at(model, &model[id].title, model[id].site),
        Action::ProofRun => {
            format!("Proof run: {}", conditions(model, &job.state().reported))
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

fn levels(levels: &Levels) -> String {
    let words: Vec<&str> = levels.values().map(String::as_str).collect();
    if words.is_empty() { "as reported".into() } else { clean(&words.join(", ")) }
}

fn named(model: &Model, title: Option<&str>, name: &str, site: Site) -> String {
    at(model, title.unwrap_or(name), site)
}

/// An entry in one line.
pub(crate) fn entry(model: &Model, entry: &Entry) -> String {
    match entry {
        Entry::Opened(o) => {
            let title = model.find_complaint(&o.complaint, o.at).map(|id| model[id].title.as_str());
            format!("Opened: {}", named(model, title, &o.complaint, o.at))
        }
        Entry::Conditions { levels: l } => format!("Conditions now: {}", levels(l)),
        Entry::Provoked { provocation } => {
            let title = model.find_provocation(provocation).map(|id| model[id].title.as_str());
            format!("Provoked: {}", clean(title.unwrap_or(provocation)))
        }
        Entry::Showing { showing, .. } => match showing {
            Some(true) => "The complaint shows now".into(),
            Some(false) => "The complaint does not show now".into(),
            None => "Not known whether it shows now".into(),
        },
        Entry::Answer(a) => {
            let id = model.find_check(&a.check, a.at);
            let title = named(model, id.map(|id| model[id].title.as_str()), &a.check, a.at);
            let outcome = a.outcome.as_ref().map(|o| {
                let seen = id.and_then(|id| Some(model[id].outcome_title(model[id].seen(o)?)));
                clean(seen.unwrap_or(o))
            });
            let said: Vec<String> = a.reading.iter().map(|r| clean(r)).chain(outcome).collect();
            format!("{title}: {}", said.join(", "))
        }
        Entry::NotPossible { check, at: site, why } => {
            let title = model.find_check(check, *site).map(|id| model[id].title.as_str());
            let why = if why.is_empty() { String::new() } else { format!(": {}", clean(why)) };
            format!("Not possible: {}{why}", named(model, title, check, *site))
        }
        Entry::Skipped { check, at: site } => {
            let title = model.find_check(check, *site).map(|id| model[id].title.as_str());
            format!("Skipped: {}", named(model, title, check, *site))
        }
        Entry::Confirmed { cause, at: site } => {
            let title = model.find_cause(cause, *site).map(|id| model[id].title.as_str());
            format!("Found for certain: {}", named(model, title, cause, *site))
        }
        Entry::Corrected { correction, at: site } => {
            let title = model.find_correction(correction, *site).map(|id| model[id].title.as_str());
            format!("Put right: {}", named(model, title, correction, *site))
        }
        Entry::ProofRun { showing, levels: l } => {
            let word = if *showing { "the complaint showed" } else { "the complaint did not show" };
            format!("Proof run, {}: {word}", levels(l))
        }
        Entry::Acknowledged { hazard } => {
            let title = model.find_hazard(hazard).map(|id| model[id].title.as_str());
            format!("Caution read: {}", clean(title.unwrap_or(hazard)))
        }
        Entry::Access { access, at: site, open } => {
            let title = model.access.iter().find(|a| a.name == *access && a.site == *site).map(|a| a.title.as_str());
            let word = if *open { "Opened by hand" } else { "Closed by hand" };
            format!("{word}: {}", named(model, title, access, *site))
        }
        Entry::Note { text } => format!("Note: {}", clean(text)),
        Entry::Undo { of } => format!("Took entry {of} back"),
        Entry::Amend { of, by } => format!("Put entry {of} right: {}", self::entry(model, by)),
        Entry::Closed { how, note } if note.is_empty() => format!("Closed: {}", how.words()),
        Entry::Closed { how, note } => format!("Closed: {}; {}", how.words(), clean(note)),
    }
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
