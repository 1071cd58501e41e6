//! What the planner says.

use crate::model::{CauseId, CheckId, Seen};
use crate::work::{Action, Work};

/// A round of one check over several sites, done in one go.
#[derive(Debug, Clone, PartialEq)]
pub struct Round {
    /// The checks, in the order in which they tell most; the first is the one that is suggested.
    pub checks: Vec<CheckId>,
    /// Minutes of all of them together, the way paid once.
    pub minutes: f64,
}

/// One suggestion.
#[derive(Debug, Clone, PartialEq)]
pub struct Suggestion {
    /// What to do.
    pub action: Action,
    /// Whether it is a second look at what was answered already, since the answer does not fit.
    pub again: bool,
    /// The check it is done for, where a provocation is followed by one.
    pub then: Option<CheckId>,
    /// Minutes it counts, access included: those of [`crate::work::Work`].
    pub minutes: f64,
    /// Minutes in which nobody has to stand beside it, of which a quarter counts.
    pub waiting: f64,
    /// Minutes of the look that follows a provocation.
    pub then_minutes: f64,
    /// The round that it is the first of, where the round is what makes it worth its minutes.
    pub round: Option<Round>,
    /// Minutes of work still expected to a proven cure if this is done next, its own included.
    pub expected_minutes: f64,
    /// Information it brings about which correction is needed, in bits.
    pub bits: f64,
    /// What each outcome would mean, the likeliest first.
    pub forecasts: Vec<Forecast>,
    /// Why, in one or two sentences.
    pub why: String,
}

impl Suggestion {
    /// Something that is not done for what it tells.
    pub(super) fn plain(action: Action, work: &Work, expected_minutes: f64, why: String) -> Self {
        let (minutes, waiting) = (work.minutes, work.waiting);
        Self {
            action,
            again: false,
            then: None,
            minutes,
            waiting,
            then_minutes: 0.0,
            round: None,
            expected_minutes,
            bits: 0.0,
            forecasts: Vec::new(),
            why,
        }
    }
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
