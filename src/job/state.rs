//! The state of a job: what the fold of its entries says, and nothing else.

use std::collections::BTreeSet;

use crate::measure::{Judgement, Reading};
use crate::model::{
    AccessSet, CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Fitted, HazardId, Model, Seen, Side, Site,
};

use super::entry::Ending;

/// A stretch of work under one set of conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct Spell {
    /// Its conditions.
    pub conditions: Conditions,
    /// How it came about.
    pub origin: Origin,
    /// Whether the complaint shows in it, where known.
    pub showing: Option<bool>,
    /// Number of the entry that began it.
    pub number: u64,
}

/// How a spell came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The pilot's report.
    Reported,
    /// The pilot's word that it does not show under other conditions.
    ReportedQuiet,
    /// Work on the aircraft.
    Work,
    /// A proof run.
    Proof,
}

impl Origin {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Reported => "as the pilot reported it",
            Self::ReportedQuiet => "where it is said not to show",
            Self::Work => "at work",
            Self::Proof => "proof run",
        }
    }
}

/// A check that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// Number of its entry.
    pub number: u64,
    /// The check.
    pub check: CheckId,
    /// The spell it was made in.
    pub spell: usize,
    /// The outcome chosen, where one was.
    pub chosen: Option<Seen>,
    /// The reading, where one was typed.
    pub reading: Option<Reading>,
    /// The reading as typed.
    pub typed: String,
    /// Temperature of the part, in degrees Celsius, where taken.
    pub celsius: Option<f64>,
    /// What the limit says of the reading, or what it still needs to say it.
    pub judged: Option<Result<Judgement, String>>,
    /// Weight of each abnormal outcome in order, then of normal; empty while it cannot be judged.
    pub weights: Vec<f64>,
}

impl Given {
    /// The outcome, where one is clear.
    #[must_use]
    pub fn seen(&self) -> Option<Seen> {
        let mut possible = self.weights.iter().enumerate().filter(|(_, w)| **w > 0.0).map(|(i, _)| i);
        let only = possible.next()?;
        if possible.next().is_some() {
            return None;
        }
        Some(if only + 1 == self.weights.len() { Seen::Normal } else { Seen::Abnormal(only) })
    }
}

/// A correction that was carried out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// Number of its entry.
    pub number: u64,
    /// The correction.
    pub correction: CorrectionId,
    /// The first spell after it.
    pub from: usize,
}

/// Everything known of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The complaint.
    pub complaint: ComplaintId,
    /// Conditions when it was reported.
    pub reported: Conditions,
    /// Spells; the last one is now.
    pub spells: Vec<Spell>,
    /// Checks that stand, in order.
    pub given: Vec<Given>,
    /// Checks that cannot be made on this aircraft.
    pub not_possible: BTreeSet<CheckId>,
    /// Checks passed over in this spell.
    pub skipped: BTreeSet<CheckId>,
    /// Causes that are certain.
    pub confirmed: BTreeSet<CauseId>,
    /// Corrections carried out, in order.
    pub done: Vec<Done>,
    /// What is open now.
    pub access: AccessSet,
    /// Cautions acknowledged, with the access state they hold in: the one they were acknowledged in, and the one that the work they were
    /// read for led to.
    pub acknowledged: Vec<(HazardId, AccessSet)>,
    /// Cautions acknowledged since the last work, so for the next.
    pub acknowledged_for_next: Vec<HazardId>,
    /// Sides whose spark cannot be switched off, by what was seen.
    pub live: BTreeSet<Side>,
    /// Sides proven grounded in this job, and not worked on since.
    pub grounded: BTreeSet<Side>,
    /// Engine hours since it last ran well.
    pub window_hours: f64,
    /// Parts or causes worked on, with the site.
    pub disturbed: Vec<(String, Site)>,
    /// Ages of parts.
    pub ages: Vec<Fitted>,
    /// Minutes of work so far by the tree's figures, access included.
    pub minutes: f64,
    /// How the job ended, where it did.
    pub ended: Option<Ending>,
}

impl State {
    /// The spell it is now.
    ///
    /// A state always has its reported spell; the fallback is never met.
    #[must_use]
    pub fn now(&self) -> usize {
        self.spells.len().saturating_sub(1)
    }

    /// Conditions now.
    #[must_use]
    pub fn conditions(&self) -> Conditions {
        self.spells.last().map(|s| s.conditions.clone()).unwrap_or_default()
    }

    /// Whether the complaint shows now, where known.
    #[must_use]
    pub fn showing(&self) -> Option<bool> {
        self.spells.last().and_then(|s| s.showing)
    }

    /// Checks answered in this spell.
    #[must_use]
    pub fn answered_now(&self) -> BTreeSet<CheckId> {
        self.given.iter().filter(|g| g.spell == self.now()).map(|g| g.check).collect()
    }

    /// The last proof run, where one was made: whether the complaint showed in it.
    #[must_use]
    pub fn last_proof(&self) -> Option<&Spell> {
        self.spells.iter().rfind(|s| s.origin == Origin::Proof)
    }

    /// Whether something was corrected that no proof run has followed.
    #[must_use]
    pub fn awaits_proof(&self) -> bool {
        let proof = self.spells.iter().rposition(|s| s.origin == Origin::Proof);
        self.done.last().is_some_and(|d| proof.is_none_or(|p| p < d.from))
    }

    /// Whether the last word is a proof run that passed, with nothing corrected after it.
    #[must_use]
    pub fn proof_passed(&self) -> bool {
        !self.awaits_proof() && self.last_proof().is_some_and(|p| p.showing == Some(false)) && !self.shown_since_proof()
    }

    fn shown_since_proof(&self) -> bool {
        self.spells.iter().rev().take_while(|s| s.origin != Origin::Proof).any(|s| s.showing == Some(true))
    }

    /// Whether a caution has to be shown before work with this hazard.
    #[must_use]
    pub fn must_caution(&self, model: &Model, hazard: HazardId) -> bool {
        match model[hazard].standing {
            crate::model::Standing::UntilGrounded => {
                let grounded = Side::BOTH.iter().all(|s| self.grounded.contains(s));
                !grounded && !self.acknowledged_here(hazard)
            }
            crate::model::Standing::OncePerAccess => !self.acknowledged_here(hazard),
        }
    }

    fn acknowledged_here(&self, hazard: HazardId) -> bool {
        self.acknowledged.iter().any(|(h, access)| *h == hazard && *access == self.access)
    }
}
