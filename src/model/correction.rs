//! Corrections that put causes right, and provocations that wake them.

use super::{AccessId, CauseId, CheckId, Cited, HazardId, Manner, Site};

/// The kind of a correction.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CorrectionKind {
    /// Clean it.
    Clean,
    /// Adjust it.
    Adjust,
    /// Fit another part.
    Replace,
    /// Overhaul it.
    Overhaul,
    /// Exchange the unit.
    Exchange,
    /// Not ignition: hand over.
    HandOver,
}

impl CorrectionKind {
    /// In a word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Clean => "clean",
            Self::Adjust => "adjust",
            Self::Replace => "replace",
            Self::Overhaul => "overhaul",
            Self::Exchange => "exchange",
            Self::HandOver => "hand over",
        }
    }

    /// Whether a part is thrown away or sent off, which costs a good part if the guess was wrong.
    #[must_use]
    pub fn spends_part(self) -> bool {
        matches!(self, Self::Replace | Self::Overhaul | Self::Exchange)
    }
}

/// What puts one or more causes at one site right.
#[derive(Debug, Clone, PartialEq)]
pub struct Correction {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// Its kind.
    pub kind: CorrectionKind,
    /// The causes it cures: a repair group.
    pub cures: Vec<CauseId>,
    /// Chance that it does not cure, 0 to below 1.
    pub fails: f64,
    /// Minutes, without access.
    pub minutes: f64,
    /// Money of parts.
    pub cost: f64,
    /// Access that must be open, with what that needs in turn.
    pub open: Vec<AccessId>,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// Parts and materials to have at hand.
    pub parts: Vec<String>,
    /// How the cure is proven, beside the complaint's proof run; empty where the tree does not say.
    pub proof: String,
    /// Causes that the work itself can bring.
    pub disturbs: Vec<CauseId>,
    /// How it is done.
    pub manner: Manner,
    /// Checks that have to be made after it, before the job can end.
    pub owes: Vec<CheckId>,
    /// Checks that have to be made after it, before the engine is started.
    pub owes_before_run: Vec<CheckId>,
    /// Hazards to acknowledge before it.
    pub hazards: Vec<HazardId>,
    /// Where it comes from.
    pub source: Cited,
}

/// A change of conditions made on purpose, to wake a fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Provocation {
    /// Its name in the tree.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// (condition, level) it sets.
    pub sets: Vec<(usize, usize)>,
    /// Minutes, without access.
    pub minutes: f64,
    /// Access that must be open.
    pub open: Vec<AccessId>,
    /// How it is done.
    pub manner: Manner,
    /// Hazards to acknowledge before it.
    pub hazards: Vec<HazardId>,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// Where it comes from.
    pub source: Cited,
}
