//! Finding another action by words.

use crate::job::Job;
use crate::model::{CauseId, CheckId, CorrectionId, ProvocationId, Site};
use crate::plan::Action;

/// The most found.
const MOST: usize = 20;

/// Checks, provocations and corrections whose name, title and site hold all the words.
pub(super) fn find(job: &Job, words: &str) -> Vec<Action> {
    let model = job.model();
    let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).collect();
    let fits = |text: String| {
        let text = text.to_lowercase();
        wanted.iter().all(|word| text.contains(word.as_str()))
    };
    let checks = (0..model.checks.len()).map(CheckId).filter(|id| {
        let check = &model[*id];
        fits(format!("{} {} {}", check.name, check.title, model.site_words(check.site)))
    });
    let provocations = (0..model.provocations.len()).map(ProvocationId);
    let provocations = provocations.filter(|id| fits(format!("{} {}", model[*id].name, model[*id].title)));
    let corrections = (0..model.corrections.len()).map(CorrectionId).filter(|id| {
        let correction = &model[*id];
        fits(format!("{} {} {}", correction.name, correction.title, model.site_words(correction.site)))
    });
    let runs = [Action::SeeWhetherItShows, Action::ProofRun].into_iter().filter(|a| fits(a.title(model)));
    checks
        .map(Action::Check)
        .chain(provocations.map(Action::Provoke))
        .chain(corrections.map(Action::Correct))
        .chain(runs)
        .take(MOST)
        .collect()
}

/// Causes that are named `NAME at SITE`, else those whose name, title and site hold all the words.
pub(super) fn causes(job: &Job, words: &str) -> Vec<CauseId> {
    let model = job.model();
    let named = words.rsplit_once(" at ").and_then(|(name, at)| {
        let site: Site = at.trim().parse().ok()?;
        model.find_cause(name.trim(), site)
    });
    if let Some(id) = named {
        return vec![id];
    }
    let wanted: Vec<String> = words.split_whitespace().map(str::to_lowercase).filter(|w| w != "at").collect();
    let fits = |id: &CauseId| {
        let cause = &model[*id];
        let text = format!("{} {} {}", cause.name, cause.title, model.site_words(cause.site)).to_lowercase();
        wanted.iter().all(|word| text.contains(word.as_str()))
    };
    (0..model.causes.len()).map(CauseId).filter(|_| !wanted.is_empty()).filter(fits).take(MOST).collect()
}
