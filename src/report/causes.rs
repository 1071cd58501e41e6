//! What a report says of causes: proven, ruled out, left.

use serde::Serialize;

use super::account::safe;
use crate::job::{Job, Standing};
use crate::model::CauseId;

/// Causes that are left and listed.
const MOST_LEFT: usize = 12;
/// From this probability at first a cause that was corrected without proof is named.
const WAS_LIKELY: f64 = 0.05;
/// Below this probability a cause that is left is counted, not listed.
const WORTH_A_LINE: f64 = 0.005;

/// Reasons named for one cause.
const MOST_REASONS: usize = 6;

/// A cause in a report.
#[derive(Debug, Clone, Serialize)]
pub struct CauseLine {
    /// Name in the tree.
    pub cause: String,
    /// Where.
    pub at: String,
    /// Title with site.
    pub title: String,
    /// Where it stands.
    pub standing: &'static str,
    /// Probability that it is there now.
    pub now: f64,
    /// Probability that it was there at first.
    pub at_first: f64,
    /// The checks that ruled it out: title with site, the outcome, and how much less likely that is with the cause than without.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub ruled_out_by: Vec<String>,
    /// What moved its odds, the strongest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub because: Vec<String>,
    /// Where its rate comes from.
    pub rate_source: String,
}

/// What is left.
#[derive(Debug, Clone, Serialize)]
pub struct Left {
    /// Probability that something that brings the complaint is still there.
    pub something: f64,
    /// Probability that it is in no list of this tree.
    pub not_in_tree: f64,
    /// Share of probability left out for size, at most.
    pub left_out: f64,
    /// Causes that were corrected without being proven, where they were likely at first.
    pub corrected: Vec<CauseLine>,
    /// The leading causes that are neither proven nor ruled out.
    pub causes: Vec<CauseLine>,
    /// How many more there are.
    pub more: usize,
}

fn with_standing(job: &Job, wanted: impl Fn(Standing) -> bool) -> Vec<CauseId> {
    job.ranking().into_iter().filter(|id| wanted(job.standing(*id))).collect()
}

/// Causes that are proven or put right.
pub(super) fn proven(job: &Job) -> Vec<CauseLine> {
    let found = with_standing(job, |s| matches!(s, Standing::Proven | Standing::PutRight));
    found.into_iter().map(|id| line(job, id, false)).collect()
}

/// Causes that are ruled out.
pub(super) fn ruled_out(job: &Job) -> Vec<CauseLine> {
    with_standing(job, |s| s == Standing::RuledOut).into_iter().map(|id| line(job, id, true)).collect()
}

/// What is left.
pub(super) fn left(job: &Job) -> Left {
    let open = with_standing(job, |s| matches!(s, Standing::InPlay | Standing::Unlikely));
    let done = |id: &CauseId| job.state().done.iter().any(|d| job.model()[d.correction].cures.contains(id));
    let corrected: Vec<CauseId> =
        open.iter().copied().filter(|id| done(id) && job.belief(*id).ever >= WAS_LIKELY).collect();
    let here = |id: &CauseId| !corrected.contains(id) && job.belief(*id).present >= WORTH_A_LINE;
    let listed: Vec<CauseId> = open.iter().copied().filter(here).take(MOST_LEFT).collect();
    let advice = job.advice();
    Left {
        something: advice.something_left,
        not_in_tree: advice.not_in_tree,
        left_out: job.posterior().left_out,
        more: open.len() - listed.len() - corrected.len(),
        corrected: corrected.into_iter().map(|id| line(job, id, false)).collect(),
        causes: listed.into_iter().map(|id| line(job, id, false)).collect(),
    }
}

fn line(job: &Job, id: CauseId, with_checks: bool) -> CauseLine {
    let (model, belief) = (job.model(), job.belief(id));
    let cause = &model[id];
    let against = |a: &crate::job::Against| {
        let check = &model[a.check];
        let given = job.state().given.iter().find(|g| g.number == a.number);
        let outcome = given.and_then(crate::job::Given::seen).map_or("", |seen| check.outcome_title(seen));
        let site = model.site_words(check.site);
        safe(&format!("{}, {site}: {outcome} (entry {}, factor {:.2})", check.title, a.number, a.factor))
    };
    CauseLine {
        cause: cause.name.clone(),
        at: cause.site.to_string(),
        title: safe(&format!("{}, {}", cause.title, model.site_words(cause.site))),
        standing: job.standing(id).words(),
        now: belief.present,
        at_first: belief.ever,
        ruled_out_by: if with_checks { job.against(id).iter().map(against).collect() } else { Vec::new() },
        because: job
            .because(id)
            .iter()
            .take(MOST_REASONS)
            .map(|(c, says)| safe(&format!("{says} (entry {}): {}", c.number, c.words())))
            .collect(),
        rate_source: safe(&model.cited_words(&cause.rate_source)),
    }
}
