//! What the planner is given of a job.

use crate::belief::Posterior;
use crate::model::{CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Model, Seen};
use crate::work::Now;

use super::doubt::Doubt;

/// What the planner needs to know of a job.
// Each is a fact of its own, and several hold at once.
#[allow(clippy::struct_excessive_bools)]
#[derive(Debug, Clone)]
pub struct Situation<'a> {
    /// The engine's model.
    pub model: &'a Model,
    /// The complaint.
    pub complaint: ComplaintId,
    /// What is believed.
    pub posterior: &'a Posterior,
    /// How the aircraft stands, and what work has left behind.
    pub now: Now<'a>,
    /// Conditions when the complaint was reported.
    pub reported: &'a Conditions,
    /// Conditions of the proof run that comes next: those, or others in which it showed.
    pub proof_under: &'a Conditions,
    /// Conditions under which it was said not to show.
    pub quiet: Option<&'a Conditions>,
    /// Conditions of the spell it is now: of the last look that depended on them.
    pub spell: &'a Conditions,
    /// Whether the complaint shows in it, where known.
    pub showing: Option<bool>,
    /// Whether conditions were changed on purpose and nothing was seen under them yet: then it is time to look, not to change them again.
    pub just_provoked: bool,
    /// Checks answered, and whether in it.
    pub answered: Vec<(CheckId, bool)>,
    /// What each check showed since the last correction.
    pub seen_since_corrected: Vec<(CheckId, Option<Seen>)>,
    /// Checks that are not to be suggested.
    pub barred: Vec<CheckId>,
    /// Answers that do not fit the others and can be looked at again; none where that was not worked out.
    pub doubts: Vec<Doubt>,
    /// Whether a correction waits for its proof run.
    pub awaits_proof: bool,
    /// Whether the last word is a proof run that passed.
    pub proof_passed: bool,
    /// Causes that are certain.
    pub confirmed: Vec<CauseId>,
    /// Whether the job was handed over as not ignition.
    pub handed_over: bool,
    /// Corrections done so far.
    pub corrected: Vec<CorrectionId>,
}

impl Situation<'_> {
    /// Conditions now.
    pub(crate) fn conditions(&self) -> &Conditions {
        &self.now.setting.conditions
    }

    /// Whether these conditions lie where it was said not to show, or beyond, away from the report: a fault that comes cold and is quiet
    /// warm is not woken by heat.
    pub(crate) fn leads_away(&self, to: &Conditions) -> bool {
        let Some(quiet) = self.quiet else { return false };
        let levels = self.reported.0.iter().zip(&quiet.0).zip(self.conditions().0.iter().zip(&to.0));
        levels.into_iter().any(|((reported, quiet), (now, to))| {
            to != now && (reported < quiet && quiet <= to || to <= quiet && quiet < reported)
        })
    }
}
