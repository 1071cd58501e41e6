//! What a report infers of causes: certain or put right, unlikely, left.

use serde::Serialize;

use super::account::safe;
use super::found::{Named, families, named};
use crate::analysis::{Alike, Analysis, Standing};
use crate::model::CauseId;

/// Causes that are left and listed.
const MOST_LEFT: usize = 12;
/// From this probability at first a cause that was corrected without proof is named.
const WAS_LIKELY: f64 = 0.05;
/// Below this probability a cause that is left is counted, not listed.
const WORTH_A_LINE: f64 = 0.005;

/// Reasons named for a cause that is settled or unlikely, and for one that is left.
const MOST_REASONS: usize = 6;
const FEW_REASONS: usize = 2;

/// A cause in a report.
#[derive(Debug, Clone, Serialize)]
pub struct CauseLine {
    /// The cause.
    #[serde(flatten)]
    pub of: Named,
    /// Where it stands.
    pub standing: &'static str,
    /// Probability that it is there now.
    pub now: f64,
    /// Probability that it was there when the job came in, by all that is known now.
    pub was: f64,
    /// What moved its odds, the strongest first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub because: Vec<Reason>,
    /// Where its rate comes from.
    pub rate_source: String,
}

/// What one entry did to the odds of a cause.
#[derive(Debug, Clone, Serialize)]
pub struct Reason {
    /// Number of the entry.
    pub entry: u64,
    /// The entry in words, and what it did: "6.0 times less likely".
    pub says: String,
    /// Odds after it over odds before it.
    pub factor: f64,
}

/// Suspects that no check left can tell apart.
#[derive(Debug, Clone, Serialize)]
pub struct AlikeLine {
    /// Titles with site.
    pub causes: Vec<String>,
    /// Probability of one of them or another.
    pub probability: f64,
    /// What to do.
    pub advice: String,
}

/// The sets of suspects that no check left can tell apart.
pub(super) fn alike(job: &Analysis) -> Vec<AlikeLine> {
    let model = job.model();
    let title = |id: &CauseId| safe(&format!("{}, {}", model[*id].title, model.site_words(model[*id].site)));
    let line = |set: &Alike| AlikeLine {
        causes: set.causes.iter().map(title).collect(),
        probability: set.probability,
        advice: safe(&set.advice(model)),
    };
    job.alike().iter().map(line).collect()
}

/// What is left.
#[derive(Debug, Clone, Serialize)]
pub struct Left {
    /// Probability that something that brings the complaint is still there.
    pub something: f64,
    /// Probability that it is in no list of this tree.
    pub not_in_tree: f64,
    /// How far a probability can be off, 0 to 1: there can be more findings than can be followed at once.
    pub left_out: f64,
    /// The same in words, where it is worth a word.
    #[serde(skip)]
    pub error_words: Option<String>,
    /// Causes that were corrected without being proven, where they were likely at first.
    pub corrected: Vec<CauseLine>,
    /// The leading causes that are neither proven nor shown good.
    pub causes: Vec<CauseLine>,
    /// How many more there are.
    pub more: usize,
}

fn with_standing(job: &Analysis, wanted: impl Fn(Standing) -> bool) -> Vec<CauseId> {
    job.ranking().into_iter().filter(|id| wanted(job.standing(*id))).collect()
}

/// Causes that are proven or put right.
pub(super) fn proven(job: &Analysis) -> Vec<CauseLine> {
    let found = with_standing(job, |s| matches!(s, Standing::Proven | Standing::PutRight));
    found.into_iter().map(|id| line(job, id, MOST_REASONS)).collect()
}

/// Causes that other findings make less likely, and that no look shows good.
pub(super) fn unlikely(job: &Analysis) -> Vec<CauseLine> {
    with_standing(job, |s| s == Standing::Unlikely).into_iter().map(|id| line(job, id, MOST_REASONS)).collect()
}

/// Unlikely causes in lines: each title once, with its sites, the likeliest first.
pub(super) fn unlikely_words(causes: &[CauseLine]) -> Vec<String> {
    families(causes.iter().map(|line| (line.of.apart.0.as_str(), line.of.apart.1.as_str())), usize::MAX)
}

/// What is left.
pub(super) fn left(job: &Analysis) -> Left {
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
        left_out: job.posterior().error,
        error_words: job.posterior().error_words(),
        more: open.len() - listed.len() - corrected.len(),
        corrected: corrected.into_iter().map(|id| line(job, id, MOST_REASONS)).collect(),
        causes: listed.into_iter().map(|id| line(job, id, FEW_REASONS)).collect(),
    }
}

fn line(job: &Analysis, id: CauseId, reasons: usize) -> CauseLine {
    let (model, belief) = (job.model(), job.belief(id));
    CauseLine {
        of: named(model, id),
        standing: job.standing(id).words(),
        now: belief.present,
        was: belief.ever,
        because: job
            .because(id)
            .iter()
            .take(reasons)
            .map(|(c, says)| Reason {
                entry: c.number,
                says: safe(&format!("{says} (entry {}): {}", c.number, c.words())),
                factor: c.factor,
            })
            .collect(),
        rate_source: safe(&model.cited_words(&model[id].rate_source)),
    }
}
