//! What the planner says.

use crate::model::{CauseId, CheckId, ComplaintId, CorrectionId, HazardId, Model, ProvocationId, Seen};

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

impl Action {
    /// Its name in files and answers for programs.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Check(_) => "check",
            Self::SeeWhetherItShows => "see-whether-it-shows",
            Self::Provoke(_) => "provoke",
            Self::Correct(_) => "correct",
            Self::ProofRun => "proof-run",
            Self::CloseCured => "close-cured",
            Self::CloseHandedOver => "close-handed-over",
            Self::CloseNotFound => "close-not-found",
        }
    }

    /// In words, with its site.
    #[must_use]
    pub fn title(self, model: &Model) -> String {
        match self {
            Self::Check(id) => format!("{}, {}", model[id].title, model.site_words(model[id].site)),
            Self::SeeWhetherItShows => "Run the engine and see whether the complaint shows".to_owned(),
            Self::Provoke(id) => model[id].title.clone(),
            Self::Correct(id) => format!("{}, {}", model[id].title, model.site_words(model[id].site)),
            Self::ProofRun => "Proof run under the reported conditions".to_owned(),
            Self::CloseCured => "Close the job: cured, proof run passed".to_owned(),
            Self::CloseHandedOver => "Close the job: not ignition, handed over".to_owned(),
            Self::CloseNotFound => "Close the job: not found".to_owned(),
        }
    }

    /// Hazards to acknowledge before it; a run to see the complaint has those of the complaint's proof run.
    #[must_use]
    pub fn hazards(self, model: &Model, complaint: ComplaintId) -> &[HazardId] {
        match self {
            Self::Check(id) => &model[id].hazards,
            Self::Provoke(id) => &model[id].hazards,
            Self::Correct(id) => &model[id].hazards,
            Self::SeeWhetherItShows | Self::ProofRun => &model[complaint].proof.hazards,
            Self::CloseCured | Self::CloseHandedOver | Self::CloseNotFound => &[],
        }
    }

    /// What to do, step by step; `proof` are the steps of the complaint's own run.
    #[must_use]
    pub fn steps<'a>(self, model: &'a Model, proof: &'a [String]) -> &'a [String] {
        match self {
            Self::Check(id) => &model[id].steps,
            Self::Provoke(id) => &model[id].steps,
            Self::Correct(id) => &model[id].steps,
            Self::SeeWhetherItShows | Self::ProofRun => proof,
            _ => &[],
        }
    }
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
