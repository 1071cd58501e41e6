//! What inference is asked: causes with their priors and waking, and what was observed in which spell.
//!
//! A problem knows nothing of trees or screens; small ones can be written by hand and checked against any
//! general-purpose library.

use crate::model::{CauseId, Formula, Sees};

/// A question to inference. Spells are counted from 0; the last one is "now".
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Problem {
    /// Number of spells, 1 or more.
    pub spells: usize,
    /// Causes, independent of each other before anything is observed.
    pub causes: Vec<CauseInput>,
    /// Observations, in any order.
    pub observations: Vec<Observation>,
}

/// One cause.
#[derive(Debug, Clone, PartialEq)]
pub struct CauseInput {
    /// Chance of being present at first, 0 to 1.
    pub prior: f64,
    /// How it can come and go where it is there: one of these, drawn once and kept. Their weights add up to 1.
    pub habits: Vec<Habit>,
    /// Corrections, in order of time.
    pub corrections: Vec<Corrected>,
    /// Work that can have brought it where it was not there before, in order of time.
    pub arrivals: Vec<Arrival>,
}

/// One way in which a fault comes and goes.
#[derive(Debug, Clone, PartialEq)]
pub struct Habit {
    /// How likely it is this way, 0 to 1.
    pub weight: f64,
    /// How it comes and goes.
    pub comes: Comes,
}

/// How a fault comes and goes.
#[derive(Debug, Clone, PartialEq)]
pub enum Comes {
    /// It is awake throughout each spell with the chance given for that spell, or asleep throughout it.
    Spells(Vec<f64>),
    /// It is awake in every spell, but only for moments: the chance that one minute of looking meets one, 0 to 1.
    Moments(f64),
}

impl Habit {
    /// The one habit of a cause that is awake in each spell with the chance given.
    #[must_use]
    pub fn only(awake: Vec<f64>) -> Vec<Self> {
        vec![Self { weight: 1.0, comes: Comes::Spells(awake) }]
    }
}

/// Work that can have brought a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Arrival {
    /// It is there from this spell on.
    pub from: usize,
    /// Chance that this brought it, where it was never there before: 0 to 1.
    pub chance: f64,
}

/// A correction of a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Corrected {
    /// It takes effect from this spell on.
    pub from: usize,
    /// Chance that it did not cure, 0 to 1.
    pub fails: f64,
}

/// One observation.
#[derive(Debug, Clone, PartialEq)]
pub struct Observation {
    /// The spell it was made in.
    pub spell: usize,
    /// What it can see.
    pub sees: Sees,
    /// Observations of the same check at the same site share this: what it misses once it misses again, so that
    /// repeating it proves no more than the fault's waking does.
    pub key: usize,
    /// How long was looked, in minutes, 0 or more; infinite where whatever shows at all was met.
    pub minutes: f64,
    /// Abnormal outcomes, tried in order.
    pub events: Vec<Event>,
    /// How well each outcome fits what was seen: one weight for each event in order, then one for normal.
    /// A clear outcome has one weight of 1 and the rest 0.
    pub weights: Vec<f64>,
}

/// An abnormal outcome as inference sees it.
pub type Event = crate::model::Event;

impl Observation {
    /// An observation of one clear outcome, looked at for as long as it takes: an index of an event, or none for normal.
    #[must_use]
    pub fn clear(spell: usize, sees: Sees, key: usize, events: Vec<Event>, outcome: Option<usize>) -> Self {
        let mut weights = vec![0.0; events.len() + 1];
        weights[outcome.unwrap_or(events.len())] = 1.0;
        Self { spell, sees, key, minutes: f64::INFINITY, events, weights }
    }
}

/// A part of a gate that is a bit: true if any of its causes is.
pub(super) fn leaves<'a>(formula: &'a Formula, into: &mut Vec<&'a [CauseId]>) {
    match formula {
        Formula::Any(causes) => into.push(causes),
        Formula::AtLeast { of, .. } => of.iter().for_each(|part| leaves(part, into)),
    }
}
