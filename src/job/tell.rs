//! Entries in words, for every surface alike. Texts that a person typed come out as typed; whoever shows them makes them safe.

use super::entry::{Answer, Entry, Levels, NoWork, Opening, RecentWork, WorkDone};
use crate::model::{Check, Mode, Model, Site};

/// An entry in words, without a full stop at its end.
#[must_use]
pub fn tell(model: &Model, entry: &Entry) -> String {
    match entry {
        Entry::Opened(opening) => {
            let title = model.find_complaint(&opening.complaint, opening.at).map(|id| model[id].title.as_str());
            format!("Opened: {}, {}", title.unwrap_or(&opening.complaint), model.site_words(opening.at))
        }
        Entry::Conditions { levels } if levels.is_empty() => "A new spell under the same conditions".to_owned(),
        Entry::Conditions { levels } => format!("Conditions now: {}", levels_words(levels)),
        Entry::Provoked { provocation } => {
            let title = model.find_provocation(provocation).map(|id| model[id].title.as_str());
            format!("Provoked: {}", title.unwrap_or(provocation))
        }
        Entry::Showing { showing: Some(true), .. } => "The complaint is showing".to_owned(),
        Entry::Showing { showing: Some(false), .. } => "The complaint is not showing".to_owned(),
        Entry::Showing { showing: None, .. } => "Whether the complaint is showing is not known".to_owned(),
        Entry::Answer(answer) => tell_answer(model, answer),
        Entry::NotPossible { check, at, why } => {
            let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
            format!("Not possible: {}{why}", check_words(model, check, *at))
        }
        Entry::Lacking { what } => format!("Not to be had here: {}", what.trim()),
        Entry::NotProvoked { provocation, why } => {
            let title = model.find_provocation(provocation).map(|id| model[id].title.as_str());
            let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
            format!("Not to be provoked in this job: {}{why}", title.unwrap_or(provocation))
        }
        Entry::Skipped { check, at } => format!("Passed over for now: {}", check_words(model, check, *at)),
        Entry::Confirmed { cause, at } => {
            let title = model.find_cause(cause, *at).map(|id| model[id].title.as_str());
            format!("Found for certain: {}, {}", title.unwrap_or(cause), model.site_words(*at))
        }
        Entry::Corrected { correction, at } => {
            let title = model.find_correction(correction, *at).map(|id| model[id].title.as_str());
            format!("Corrected: {}, {}", title.unwrap_or(correction), model.site_words(*at))
        }
        Entry::ProofRun { showing, levels } => {
            let under = if levels.is_empty() {
                "as reported".to_owned()
            } else {
                format!("as reported but {}", levels_words(levels))
            };
            let seen = if *showing { "the complaint showed" } else { "the complaint did not show" };
            format!("Proof run, conditions {under}: {seen}")
        }
        Entry::Complained { complaint, at, .. } => {
            let title = model.find_complaint(complaint, *at).map(|id| model[id].title.as_str());
            format!("Reported as well: {}, {}", title.unwrap_or(complaint), model.site_words(*at))
        }
        Entry::Acknowledged { hazard } => {
            let title = model.find_hazard(hazard).map(|id| model[id].title.as_str());
            format!("Caution acknowledged: {}", title.unwrap_or(hazard))
        }
        Entry::Access { access, at, open } => {
            if let Some(mode) = Mode::named(access) {
                let words = if *open { model[mode].title.as_str() } else { "shut down" };
                return format!("Engine: {words}");
            }
            let found = model.access.iter().find(|a| a.name == *access && a.site == *at);
            let title = found.map_or(access.as_str(), |a| a.title.as_str());
            format!("{}: {title}, {}", if *open { "Access opened" } else { "Access closed" }, model.site_words(*at))
        }
        Entry::Suspected { cause, at, sure, why } => {
            let title = model.find_cause(cause, *at).map(|id| model[id].title.as_str());
            let why = if why.is_empty() { String::new() } else { format!(" ({why})") };
            format!("Suspected: {}, {}, {:.0} % sure{why}", title.unwrap_or(cause), model.site_words(*at), 100.0 * sure)
        }
        Entry::Hinted => "Hint taken".to_owned(),
        Entry::Note { text } => format!("Note: {text}"),
        Entry::Undo { of } => format!("Entry {of} taken back"),
        Entry::Amend { of, by } => format!("Entry {of} put right: {}", tell(model, by)),
        Entry::Closed { how, note, .. } if note.is_empty() => format!("Closed: {}", how.words()),
        Entry::Closed { how, note, .. } => format!("Closed: {} ({note})", how.words()),
        Entry::Remark { by, text, of: None } => format!("Remark by {}: {}", by.trim(), text.trim()),
        Entry::Remark { by, text, of: Some(of) } => format!("Remark by {} on entry {of}: {}", by.trim(), text.trim()),
        Entry::Reviewed { by } => format!("Reviewed by {}", by.trim()),
    }
}

/// What was worked on before the job, as it was answered at the opening. None where nobody was asked.
#[must_use]
pub fn tell_recent_work(model: &Model, opening: &Opening) -> Option<String> {
    let parts = opening.disturbed.iter();
    let parts: Vec<String> =
        parts.map(|part| format!("{}, {}", part.what.replace('-', " "), model.site_words(part.at))).collect();
    let work = opening.recent_work.as_ref().map(|work| work.words(model));
    match (parts.is_empty(), work) {
        (true, work) => work,
        (false, None) => Some(parts.join("; ")),
        (false, Some(work)) => Some(format!("{work}; {}", parts.join("; "))),
    }
}

impl RecentWork {
    /// In words: "nothing", "not known", or each kind of work with its places.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        match self {
            Self::Said(NoWork::Nothing) => "nothing".to_owned(),
            Self::Done(done) if !done.is_empty() => by_kind(model, done).join("; "),
            Self::Said(NoWork::NotKnown) | Self::Done(_) => "not known".to_owned(),
        }
    }
}

impl WorkDone {
    /// In words, with its place.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        by_kind(model, std::slice::from_ref(self)).concat()
    }
}

/// Each kind of work once, with its places: "magneto off and refitted, left and right".
fn by_kind(model: &Model, done: &[WorkDone]) -> Vec<String> {
    let titles = model.recent_kinds();
    let mut kinds: Vec<(&str, Vec<String>)> = Vec::new();
    for WorkDone { work, at } in done {
        let place = model.site_words(*at);
        match kinds.iter_mut().find(|(kind, _)| kind == work) {
            Some((_, places)) => places.push(place),
            None => kinds.push((work, vec![place])),
        }
    }
    let words = |(kind, places): (&str, Vec<String>)| {
        let title = titles.iter().find(|(name, _)| *name == kind).map_or(kind, |(_, title)| title);
        match places.split_last() {
            Some((last, rest)) if !rest.is_empty() => format!("{title}, {} and {last}", rest.join(", ")),
            _ => format!("{title}, {}", places.concat()),
        }
    };
    kinds.into_iter().map(words).collect()
}

fn tell_answer(model: &Model, answer: &Answer) -> String {
    let words = check_words(model, &answer.check, answer.at);
    let check = model.find_check(&answer.check, answer.at).map(|id| &model[id]);
    let outcome = answer.outcome.as_ref().map(|name| {
        let title = check.and_then(|c| c.seen(name).map(|seen| c.outcome_title(seen).to_owned()));
        let were = |c: &Check| c.formerly(name).into_iter().map(|at| c.outcomes[at].title.clone()).collect::<Vec<_>>();
        let several = || check.map(|c| were(c).join(", or ")).filter(|titles| !titles.is_empty());
        title.or_else(several).unwrap_or_else(|| name.clone())
    });
    let celsius = answer.celsius.map(|t| format!(" at {t} C")).unwrap_or_default();
    let reading = answer.reading.as_ref().map(|typed| format!("read {}{celsius}", typed.trim()));
    let looks_so = answer.looks_so.then(|| "only looks so".to_owned());
    let seen: Vec<String> = outcome.into_iter().chain(reading).chain(looks_so).collect();
    format!("{words}: {}", seen.join(", "))
}

fn check_words(model: &Model, name: &str, at: Site) -> String {
    let title = model.find_check(name, at).map(|id| model[id].title.as_str());
    format!("{}, {}", title.unwrap_or(name), model.site_words(at))
}

/// Levels by name: "heat hot, damp dry".
#[must_use]
pub fn levels_words(levels: &Levels) -> String {
    let words: Vec<String> = levels.iter().map(|(name, level)| format!("{name} {level}")).collect();
    words.join(", ")
}
