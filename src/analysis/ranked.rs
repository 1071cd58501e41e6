//! A job with its causes ranked: everything that can be said at once when the belief is there.

use std::ops::Deref;
use std::sync::Arc;

use super::evidence::problem;
use super::looks;
use super::situation::situation;
use super::standing::{self, Against, Standing};
use crate::belief::{Belief, Extent, Posterior, infer};
use crate::job::{Given, Job};
use crate::model::{CauseId, CorrectionId, Prices};
use crate::plan::Situation;
use crate::upkeep::{self, Way};

/// How far explanations are listed for planning and for the eye.
pub const EXTENT: Extent = Extent { most: 120, share: 0.985 };

/// A job and what is believed of it. Nothing here takes long, so a screen may ask for any of it. It is a [`Job`] with
/// more.
#[derive(Debug, Clone)]
pub struct Ranked {
    job: Arc<Job>,
    posterior: Arc<Posterior>,
}

impl Deref for Ranked {
    type Target = Job;

    fn deref(&self) -> &Job {
        &self.job
    }
}

impl Ranked {
    /// Ranks the causes of a job: tens of milliseconds.
    #[must_use]
    pub fn of(job: impl Into<Arc<Job>>) -> Self {
        let job = job.into();
        let posterior = infer(&problem(job.model(), job.state()), EXTENT);
        Self { job, posterior: Arc::new(posterior) }
    }

    /// As [`Ranked::of`], taking over what was believed of an earlier state of the same job where it still holds.
    #[must_use]
    pub fn after(job: impl Into<Arc<Job>>, earlier: &Self) -> Self {
        let job = job.into();
        earlier.carried(&job).unwrap_or_else(|| Self::of(job))
    }

    /// The belief taken over to a later state of the same job, where nothing was entered since that could change it.
    pub(super) fn carried(&self, later: &Arc<Job>) -> Option<Self> {
        let mut state = self.job.state().clone();
        state.acknowledged.clone_from(&later.state().acknowledged);
        state.acknowledged_for_next.clone_from(&later.state().acknowledged_for_next);
        let same = Arc::ptr_eq(&self.job.shared_model(), &later.shared_model()) && state == *later.state();
        same.then(|| Self { job: Arc::clone(later), posterior: Arc::clone(&self.posterior) })
    }

    /// The belief taken over to a later state of the same job with the same evidence, however the aircraft stands by now.
    pub(super) fn with_same_evidence(&self, later: &Arc<Job>) -> Option<Self> {
        let same = Arc::ptr_eq(&self.job.shared_model(), &later.shared_model())
            && self.job.state().has_same_evidence(later.state());
        same.then(|| Self { job: Arc::clone(later), posterior: Arc::clone(&self.posterior) })
    }

    /// The job this is of.
    #[must_use]
    pub fn job(&self) -> &Arc<Job> {
        &self.job
    }

    /// How likely everything is.
    #[must_use]
    pub fn posterior(&self) -> &Posterior {
        &self.posterior
    }

    /// The planner's view of the job.
    #[must_use]
    pub fn situation(&self) -> Situation<'_> {
        situation(&self.job, &self.posterior)
    }

    /// What is believed of a cause.
    #[must_use]
    pub fn belief(&self, id: CauseId) -> Belief {
        self.posterior.causes.get(id.0).copied().unwrap_or_default()
    }

    /// Where a cause stands.
    #[must_use]
    pub fn standing(&self, id: CauseId) -> Standing {
        standing::standing(self.model(), self.state(), &self.posterior, id)
    }

    /// The normal look that shows a cause good, where one does.
    #[must_use]
    pub fn shown_good_by(&self, id: CauseId) -> Option<&Given> {
        looks::shows_good(self.model(), self.state(), id)
    }

    /// Whether belief alone writes a cause off: at most a twentieth as likely as before, and below one in a hundred.
    #[must_use]
    pub fn written_off(&self, id: CauseId) -> bool {
        standing::written_off(self.model(), self.state(), &self.posterior, id)
    }

    /// The checks that speak against a cause, the strongest first.
    #[must_use]
    pub fn against(&self, id: CauseId) -> Vec<Against> {
        standing::against(self.model(), self.state(), id)
    }

    /// The ways to put right what a correction is most likely wanted for, each with its sum by the shop's prices; none
    /// where the shop gives none.
    #[must_use]
    pub fn ways(&self, id: CorrectionId) -> Option<(&Prices, Vec<Way>)> {
        let prices = self.model().prices.as_ref()?;
        let cures = self.model()[id].cures.iter();
        let cause = cures.max_by(|a, b| self.belief(**a).present.total_cmp(&self.belief(**b).present))?;
        Some((prices, upkeep::ways(self.model(), &self.state().ages, &self.state().setting, prices, *cause)))
    }

    /// All causes, most probable first (by what is present now, then by what was at first).
    #[must_use]
    pub fn ranking(&self) -> Vec<CauseId> {
        let mut ids: Vec<CauseId> = (0..self.model().causes.len()).map(CauseId).collect();
        ids.sort_by(|a, b| {
            let (x, y) = (self.belief(*a), self.belief(*b));
            y.present.total_cmp(&x.present).then(y.ever.total_cmp(&x.ever)).then(a.cmp(b))
        });
        ids
    }
}
