//! Minutes of work by what they went on.

use super::doing::WAITING_COUNTS;
use super::taken::Work;

/// What the minutes of one piece of work go on, beside access, the engine's mode and waiting.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum On {
    /// A check.
    Checking,
    /// A correction.
    Correcting,
    /// Making the complaint show.
    Provoking,
    /// A run, a proof run, or getting the engine into a mode.
    Running,
    /// Opening or closing alone.
    Access,
}

/// Minutes of a job by what they went on; together they are its minutes by the tree's figures.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Minutes {
    /// Opening and closing.
    pub access: f64,
    /// Looking and measuring.
    pub checking: f64,
    /// Putting right.
    pub correcting: f64,
    /// Making the complaint show.
    pub provoking: f64,
    /// Starting, warming up, running to see whether it shows, proof runs, stopping.
    pub running: f64,
    /// Waiting, as far as it counts.
    pub waiting: f64,
}

impl Minutes {
    /// Takes down a piece of work.
    pub fn add(&mut self, work: &Work, on: On) {
        let waiting = WAITING_COUNTS * work.waiting;
        self.access += work.access;
        self.running += work.moving - work.access;
        self.waiting += waiting;
        let of = match on {
            On::Checking => &mut self.checking,
            On::Correcting => &mut self.correcting,
            On::Provoking => &mut self.provoking,
            On::Running => &mut self.running,
            On::Access => &mut self.access,
        };
        *of += work.minutes - work.moving - waiting;
    }

    /// All of them.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.access + self.checking + self.correcting + self.provoking + self.running + self.waiting
    }
}
