//! A way to learn more, with its worth.

use crate::model::CheckId;
use crate::work::{Action, Work};

use super::advice::Round;
use super::forecast::Prospect;
use super::value::minutes_of_doubt;

/// A way to learn more, with its worth.
pub(super) struct Candidate {
    pub(super) action: Action,
    pub(super) then: Option<CheckId>,
    pub(super) minutes: f64,
    pub(super) waiting: f64,
    /// Minutes of the look that follows.
    pub(super) then_minutes: f64,
    /// Minutes charged to it when worths are compared.
    charged: f64,
    /// The round that it begins, the same check at several sites, with its worth.
    pub(super) round: Option<(f64, Round)>,
    /// What its own worth is multiplied by.
    pub(super) boost: f64,
    pub(super) prospect: Prospect,
}

impl Candidate {
    /// Something to do, charged with so many minutes when worths are compared.
    pub(super) fn new(action: Action, work: &Work, charged: f64, prospect: Prospect) -> Self {
        let (minutes, waiting) = (work.minutes, work.waiting);
        Self { action, then: None, minutes, waiting, then_minutes: 0.0, charged, round: None, boost: 1.0, prospect }
    }

    /// The same, and then a look: a check, or whether the complaint shows.
    pub(super) fn then(self, then: Option<CheckId>, work: &Work) -> Self {
        Self { then, then_minutes: work.minutes, ..self }
    }

    /// Minutes of doubt saved per minute charged, by itself or as the first of its round.
    pub(super) fn worth(&self) -> f64 {
        self.round.as_ref().map_or(0.0, |(worth, _)| *worth).max(self.by_itself())
    }

    /// The round that makes it worth its minutes, where one does.
    pub(super) fn as_round(&self) -> Option<&Round> {
        let (worth, round) = self.round.as_ref()?;
        (*worth > self.by_itself() && round.checks.len() > 1).then_some(round)
    }

    fn by_itself(&self) -> f64 {
        self.boost * worth(self.prospect.nats, self.charged)
    }
}

/// Minutes of doubt saved per minute.
pub(super) fn worth(nats: f64, minutes: f64) -> f64 {
    worth_of(minutes_of_doubt(nats), minutes)
}

/// Minutes saved per minute.
pub(super) fn worth_of(saved: f64, minutes: f64) -> f64 {
    saved / minutes.max(0.5)
}
