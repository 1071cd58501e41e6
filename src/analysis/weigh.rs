//! How likely it is that something out of a group of causes is there: a site of the engine, a branch of the fault tree.
//!
//! Owns the one sum that every drawing of the engine and of the fault tree shares.

use crate::belief::Now;
use crate::model::{CauseId, Site};

use super::{Ranked, Standing};

/// Probability that a gate over causes is true of what is there now; `holds` is given what is there. It adds up the
/// leading explanations, and is never less than the likeliest cause where one suffices: a lower bound, as good as the
/// listing is long.
pub fn share(job: &Ranked, one_is_enough: bool, causes: &[CauseId], holds: impl Fn(&[CauseId]) -> bool) -> f64 {
    let mut listed = 0.0;
    for explanation in &job.posterior().explanations {
        for (standing, probability) in &explanation.now {
            let members = explanation.causes.iter().zip(standing);
            let there: Vec<CauseId> = members.filter(|(_, now)| **now != Now::Gone).map(|(c, _)| CauseId(*c)).collect();
            if holds(&there) {
                listed += probability;
            }
        }
    }
    let least = if one_is_enough { causes.iter().map(|c| job.belief(*c).present).fold(0.0, f64::max) } else { 0.0 };
    listed.max(least).min(1.0)
}

/// Probability that one of these causes is there.
pub fn any_of(job: &Ranked, causes: &[CauseId]) -> f64 {
    share(job, true, causes, |there| there.iter().any(|c| causes.contains(c)))
}

/// Probability that one of these causes was there at any time: as much as the leading explanations say, and never less
/// than the likeliest of them alone.
#[must_use]
pub fn was_any_of(job: &Ranked, causes: &[CauseId]) -> f64 {
    let explanations = &job.posterior().explanations;
    let says = explanations.iter().filter(|e| e.causes.iter().any(|c| causes.contains(&CauseId(*c))));
    let listed: f64 = says.map(|e| e.probability).sum();
    let least = causes.iter().map(|c| job.belief(*c).ever).fold(0.0, f64::max);
    listed.max(least).min(1.0)
}

/// The causes at a site, the likeliest first.
pub fn causes_at(job: &Ranked, site: Site) -> Vec<CauseId> {
    let model = job.model();
    let mut found: Vec<CauseId> = model.listed().filter(|id| model[*id].site == site).collect();
    found.sort_by(|a, b| job.belief(*b).present.total_cmp(&job.belief(*a).present).then(a.cmp(b)));
    found
}

/// Where a group of causes stands: what is surest of any of them.
pub fn standing_of(job: &Ranked, causes: &[CauseId]) -> Option<Standing> {
    let all: Vec<Standing> = causes.iter().map(|c| job.standing(*c)).collect();
    let has = |standing| all.contains(&standing);
    [Standing::Proven, Standing::PutRight, Standing::InPlay, Standing::Unlikely, Standing::ShownGood]
        .into_iter()
        .find(|s| has(*s))
}

/// How strong a suspicion is, in five steps. Steps are wide at the top: one in two is a strong word.
pub fn level(p: f64) -> usize {
    [0.02, 0.1, 0.25, 0.5].iter().filter(|edge| p >= **edge).count()
}
