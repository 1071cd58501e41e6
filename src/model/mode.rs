//! What the engine does during an action, and what getting there and back takes.

use super::{AccessId, HazardId};

/// What the engine does during an action.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Mode {
    /// It stands.
    #[default]
    AtRest,
    /// The propeller is turned by hand.
    Turned,
    /// The starter turns it, and it must not start.
    Cranked,
    /// It is started, watched, and stopped again.
    Started,
    /// It is run on one side alone and shut down on it.
    RunAlone,
    /// It runs.
    Run,
    /// It runs at power.
    RunAtPower,
    /// It is flown.
    Flown,
}

impl Mode {
    /// All of them, as the model keeps their facts.
    pub const ALL: [Self; 8] = [
        Self::AtRest,
        Self::Turned,
        Self::Cranked,
        Self::Started,
        Self::RunAlone,
        Self::Run,
        Self::RunAtPower,
        Self::Flown,
    ];

    /// Its name in trees.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::AtRest => "at-rest",
            Self::Turned => "turned",
            Self::Cranked => "cranked",
            Self::Started => "started",
            Self::RunAlone => "run-alone",
            Self::Run => "run",
            Self::RunAtPower => "run-at-power",
            Self::Flown => "flown",
        }
    }

    /// The mode of this name.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|mode| mode.name() == name)
    }

    /// Whether the engine goes on in it until something else is asked of it; else it is at rest again after the action.
    #[must_use]
    pub fn lasts(self) -> bool {
        matches!(self, Self::Run | Self::RunAtPower | Self::Flown)
    }

    /// Whether the engine fires under its own power in it.
    #[must_use]
    pub fn runs(self) -> bool {
        self >= Self::Started
    }

    /// Whether the propeller moves in it.
    #[must_use]
    pub fn turns(self) -> bool {
        self != Self::AtRest
    }
}

/// What the tree says of a mode.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct ModeFacts {
    /// Title for people.
    pub title: String,
    /// The mode it is reached from.
    pub from: Mode,
    /// Minutes to get into it from there.
    pub there: f64,
    /// Minutes to get back.
    pub back: f64,
    /// Access that must be open in it, with what that needs in turn.
    pub open: Vec<AccessId>,
    /// Hazards that it brings.
    pub hazards: Vec<HazardId>,
    /// (condition, level) that getting into it brings.
    pub sets: Vec<(usize, usize)>,
    /// (condition, level) that getting back brings.
    pub leaves: Vec<(usize, usize)>,
    /// Names of access states of older trees that meant it, so that their records read.
    pub formerly: Vec<String>,
}

/// How an action is done: what the engine does meanwhile, and what is touched.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Manner {
    /// What the engine does.
    pub engine: Mode,
    /// Whether the engine is stopped at its end, though its mode would last.
    pub stops: bool,
    /// Of its minutes, those in which nobody stands beside it.
    pub waiting: f64,
    /// Parts and things touched, by the names that hazards go by.
    pub touches: Vec<String>,
}
