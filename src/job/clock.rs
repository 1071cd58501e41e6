//! The clock of the record: how long nothing was done between two entries.

use chrono::DateTime;

use super::entry::Logged;

/// When the last entry came.
pub(super) struct Clock {
    last: Option<i64>,
    runs: bool,
}

impl Clock {
    /// At the first entry. It runs only in records whose conditions follow engine and clock.
    pub(super) fn started(log: &[Logged], runs: bool) -> Self {
        Self { last: log.first().and_then(seconds), runs }
    }

    /// The minutes before an entry in which nothing was done: those since the entry before it, less what the work of this one takes.
    /// None where there were none, or the clock says nothing.
    pub(super) fn pause(&mut self, log: &[Logged], number: u64, work: impl Fn() -> f64) -> Option<f64> {
        if !self.runs {
            return None;
        }
        let now = log.iter().find(|l| l.number == number).and_then(seconds)?;
        let last = self.last.replace(now)?;
        // A minute is a minute to here: centuries of them are still exact.
        #[allow(clippy::cast_precision_loss)]
        let minutes = (now - last) as f64 / 60.0;
        if minutes <= 0.0 {
            return None;
        }
        Some(minutes - work()).filter(|idle| *idle > 0.0)
    }
}

/// The minutes between the last entry of a log and a later moment; none where the clock says nothing.
pub(super) fn idle(log: &[Logged], when: &str) -> Option<f64> {
    let last = log.iter().rev().find_map(seconds)?;
    let now = DateTime::parse_from_rfc3339(when).ok()?.timestamp();
    // A minute is a minute to here, as above.
    #[allow(clippy::cast_precision_loss)]
    let minutes = (now - last) as f64 / 60.0;
    (minutes > 0.0).then_some(minutes)
}

fn seconds(logged: &Logged) -> Option<i64> {
    DateTime::parse_from_rfc3339(&logged.when).ok().map(|when| when.timestamp())
}
