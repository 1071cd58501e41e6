//! How likely it is that something out of a group of causes is there: a site of the engine, a branch of the fault tree.
//!
//! Owns the one sum that the engine drawing and the fault tree share. Must not draw.

use crate::belief::Now;
use crate::job::{Job, Standing};
use crate::model::{CauseId, Site};

/// Probability that a gate over causes is true of what is there now; `holds` is given what is there. It adds up the leading
/// explanations, and is never less than the likeliest cause where one suffices: a lower bound, as good as the listing is long.
pub(super) fn share(job: &Job, one_is_enough: bool, causes: &[CauseId], holds: impl Fn(&[CauseId]) -> bool) -> f64 {
    // What is kept back in practice is not worked out by being drawn.
    if !job.is_ranked() {
        return 0.0;
    }
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
pub(super) fn any_of(job: &Job, causes: &[CauseId]) -> f64 {
    share(job, true, causes, |there| there.iter().any(|c| causes.contains(c)))
}

/// The causes at a site, the likeliest first.
pub(super) fn causes_at(job: &Job, site: Site) -> Vec<CauseId> {
    let model = job.model();
    let mut found: Vec<CauseId> =
        (0..model.causes.len()).map(CauseId).filter(|id| model[*id].site == site && *id != model.unknown()).collect();
    if !job.is_ranked() {
        return found;
    }
    found.sort_by(|a, b| job.belief(*b).present.total_cmp(&job.belief(*a).present).then(a.cmp(b)));
    found
}

/// Where a group of causes stands: what is surest of any of them.
pub(super) fn standing_of(job: &Job, causes: &[CauseId]) -> Option<Standing> {
    if !job.is_ranked() {
        return None;
    }
    let all: Vec<Standing> = causes.iter().map(|c| job.standing(*c)).collect();
    let has = |standing| all.contains(&standing);
    [Standing::Proven, Standing::PutRight, Standing::InPlay, Standing::Unlikely, Standing::RuledOut]
        .into_iter()
        .find(|s| has(*s))
}

/// How strong a suspicion is, in five steps. Steps are wide at the top: one in two is a strong word.
pub(super) fn level(p: f64) -> usize {
    [0.02, 0.1, 0.25, 0.5].iter().filter(|edge| p >= **edge).count()
}
