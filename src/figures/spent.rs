//! Where the minutes of work went.

use serde::Serialize;

use crate::tables::JobRow;

/// Minutes of jobs by what they went on.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Spent {
    /// Jobs of which it is known.
    pub jobs: usize,
    /// Opening and closing.
    pub access: f64,
    /// Looking and measuring.
    pub checking: f64,
    /// Putting right.
    pub correcting: f64,
    /// Making the complaint show.
    pub provoking: f64,
    /// Starting, warming up, runs and proof runs, stopping.
    pub running: f64,
    /// Waiting, as far as it counts.
    pub waiting: f64,
}

impl Spent {
    pub(super) fn add(&mut self, job: &JobRow) {
        let Some(access) = job.minutes_access else { return };
        self.jobs += 1;
        self.access += access;
        self.checking += job.minutes_checking.unwrap_or(0.0);
        self.correcting += job.minutes_correcting.unwrap_or(0.0);
        self.provoking += job.minutes_provoking.unwrap_or(0.0);
        self.running += job.minutes_running.unwrap_or(0.0);
        self.waiting += job.minutes_waiting.unwrap_or(0.0);
    }

    /// What they went on, in words, with the minutes.
    #[must_use]
    pub fn lines(&self) -> [(&'static str, f64); 6] {
        [
            ("opening and closing", self.access),
            ("checking", self.checking),
            ("putting right", self.correcting),
            ("making it show", self.provoking),
            ("engine running", self.running),
            ("waiting", self.waiting),
        ]
    }

    /// All of them.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.lines().iter().map(|(_, minutes)| minutes).sum()
    }
}
