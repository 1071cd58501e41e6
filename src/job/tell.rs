//! Entries in words, for every surface alike. Texts that a person typed come out as typed; whoever shows them makes them safe.

use super::entry::{Answer, Entry, Levels};
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
fn levels_words(levels: &Levels) -> String {
    let words: Vec<String> = levels.iter().map(|(name, level)| format!("{name} {level}")).collect();
    words.join(", ")
}
