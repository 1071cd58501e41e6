//! What the planner says.

use crate::model::{CauseId, CheckId, CorrectionId, ProvocationId, Seen};

/// Something that can be done next.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Action {
    /// Make a check.
    Check(CheckId),
    /// Run the engine and see whether the complaint shows.
    SeeWhetherItShows,
    /// Change the conditions on purpose.
    Provoke(ProvocationId),
    /// Carry out a correction.
    Correct(CorrectionId),
    /// Make the proof run.
    ProofRun,
    /// Close the job: cured.
    CloseCured,
    /// Close the job: not ignition, handed over.
    CloseHandedOver,
    /// Close the job: nothing more is worth its minutes.
    CloseNotFound,
}

/// One suggestion.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// What to do.
    pub action: Action,
    /// The check it is done for, where a provocation is followed by one.
    pub then: Option<CheckId>,
    /// Minutes it takes, access included.
    pub minutes: f64,
    /// Minutes of work still expected to a proven cure if this is done next, its own included.
    pub expected_minutes: f64,
    /// Information it brings about which correction is needed, in bits.
    pub bits: f64,
    /// What each outcome would mean, the likeliest first.
    pub forecasts: Vec<Forecast>,
    /// Why, in one or two sentences.
    pub why: String,
}

/// What an outcome would mean.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// The outcome: of the check, or showing (abnormal 0) and not showing (normal).
    pub seen: Seen,
    /// How likely it is.
    pub probability: f64,
    /// The leading causes after it, with their probability.
    pub then: Vec<(CauseId, f64)>,
}

/// What the planner says of a situation.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Advice {
    /// What can be done, best first. Never empty for a job that is open.
    pub next: Vec<Suggestion>,
    /// Minutes of work still expected to a proven cure.
    pub expected_minutes: f64,
    /// Probability that something that brings the complaint is still there.
    pub something_left: f64,
    /// Probability that what is left is in no list of this tree.
    pub not_in_tree: f64,
}

impl Advice {
    /// The suggestion that comes first.
    #[must_use]
    pub fn first(&self) -> Option<&Suggestion> {
        self.next.first()
    }
}
