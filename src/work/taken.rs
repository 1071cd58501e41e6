//! What one piece of work takes.

use crate::model::{AccessId, Conditions, Mode};

use super::setting::Setting;

/// What doing one thing takes, and how it leaves the aircraft.
#[derive(Debug, Clone, PartialEq)]
pub struct Work {
    /// Minutes it counts: getting there, the work itself, and a quarter of the waiting.
    pub minutes: f64,
    /// Of them, those for access and for getting the engine into its mode.
    pub moving: f64,
    /// Of these, those for opening and closing.
    pub access: f64,
    /// Minutes in which nobody has to stand beside it, in full.
    pub waiting: f64,
    /// Whether the last look answers it, without another minute.
    pub same_look: bool,
    /// What the engine does.
    pub engine: Mode,
    /// What is closed first, in order.
    pub closes: Vec<AccessId>,
    /// What is then opened, in order.
    pub opens: Vec<AccessId>,
    /// Conditions while it is looked at.
    pub during: Conditions,
    /// How it leaves the aircraft.
    pub after: Setting,
}
