//! What every piece of work says of how it is done, and the hazards that come with it.

use std::collections::BTreeSet;

use super::declared::Declared;
use super::twin::{CheckTwin, CorrectionTwin, ProofTwin, ProvocationTwin};
use crate::model::Mode;

/// A check, correction, provocation or proof run, as work.
pub(super) struct Work<'a> {
    /// What the engine does meanwhile.
    pub engine: Mode,
    /// Minutes without access.
    pub minutes: f64,
    /// Of them, those in which nobody stands beside it.
    pub waiting: f64,
    /// Access states that must be open.
    pub open: &'a [String],
    /// Parts and things touched.
    pub touches: &'a [String],
    /// Hazards that it names itself.
    pub hazards: &'a [String],
    /// What to do.
    pub steps: &'a [String],
}

impl<'a> From<&'a CheckTwin> for Work<'a> {
    fn from(twin: &'a CheckTwin) -> Self {
        Self {
            engine: twin.engine.into(),
            minutes: twin.minutes,
            waiting: twin.waiting,
            open: &twin.access.open,
            touches: &twin.touches,
            hazards: &twin.hazards,
            steps: &twin.steps,
        }
    }
}

impl<'a> From<&'a CorrectionTwin> for Work<'a> {
    fn from(twin: &'a CorrectionTwin) -> Self {
        Self {
            engine: twin.engine.into(),
            minutes: twin.minutes,
            waiting: twin.waiting,
            open: &twin.access.open,
            touches: &twin.touches,
            hazards: &twin.hazards,
            steps: &twin.steps,
        }
    }
}

impl<'a> From<&'a ProvocationTwin> for Work<'a> {
    fn from(twin: &'a ProvocationTwin) -> Self {
        Self {
            engine: twin.engine.into(),
            minutes: twin.minutes,
            waiting: twin.waiting,
            open: &twin.access.open,
            touches: &twin.touches,
            hazards: &twin.hazards,
            steps: &twin.steps,
        }
    }
}

impl<'a> From<&'a ProofTwin> for Work<'a> {
    fn from(twin: &'a ProofTwin) -> Self {
        Self {
            engine: twin.mode(),
            minutes: twin.minutes,
            waiting: 0.0,
            open: &[],
            touches: &[],
            hazards: &twin.hazards,
            steps: &twin.steps,
        }
    }
}

impl<'a> Work<'a> {
    /// The hazards that it brings: those it names, and those of its mode, of what is open for it and of what it touches.
    /// Those that stand for some time after a run are not among them.
    pub(super) fn brings(&self, declared: &'a Declared) -> BTreeSet<&'a str> {
        let mode = declared.modes.get(self.engine.name()).map(|decl| &decl.twin);
        let mut found: BTreeSet<&str> = self.hazards.iter().map(String::as_str).collect();
        found.extend(mode.iter().flat_map(|mode| &mode.hazards).map(String::as_str));
        for name in self.open.iter().chain(mode.iter().flat_map(|mode| &mode.open)) {
            for state in with_needs(declared, name) {
                found.extend(declared.access.get(state).iter().flat_map(|d| &d.twin.hazards).map(String::as_str));
            }
        }
        let touched = |parts: &[String]| parts.iter().any(|part| self.touches.contains(part));
        let of_parts = declared.hazards.items.iter().filter(|hazard| touched(&hazard.twin.of_parts));
        found.extend(of_parts.map(|hazard| hazard.name.as_str()));
        found
    }
}

/// An access state with all that it needs in turn.
pub(super) fn with_needs<'a>(declared: &'a Declared, name: &'a str) -> BTreeSet<&'a str> {
    let mut found = BTreeSet::new();
    let mut waiting = vec![name];
    while let Some(name) = waiting.pop() {
        if found.insert(name) {
            waiting.extend(declared.access.get(name).iter().flat_map(|d| &d.twin.needs).map(String::as_str));
        }
    }
    found
}
