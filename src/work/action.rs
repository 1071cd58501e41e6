//! What can be done in a job.

use crate::model::{CheckId, CorrectionId, Model, ProvocationId};

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

    /// Whether it closes the job.
    #[must_use]
    pub fn closes(self) -> bool {
        matches!(self, Self::CloseCured | Self::CloseHandedOver | Self::CloseNotFound)
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
