//! The one place that reads the clock and the name of the machine.

use std::time::Instant;

use chrono::{Datelike as _, Local, SecondsFormat};

use crate::record::{Device, Stamp};
use crate::trees::Day;

/// A clock, running since the program started.
#[derive(Debug, Clone, Copy)]
pub(super) struct Clock {
    since: Instant,
}

impl Clock {
    pub(super) fn start() -> Self {
        Self { since: Instant::now() }
    }

    /// The stamp of an entry made now.
    pub(super) fn stamp(&self) -> Stamp {
        Stamp {
            wall: Local::now().to_rfc3339_opts(SecondsFormat::Secs, false),
            mono_ms: u64::try_from(self.since.elapsed().as_millis()).unwrap_or(u64::MAX),
        }
    }
}

/// Milliseconds since 1970, for the name of a new job.
pub(super) fn unix_ms() -> u64 {
    u64::try_from(Local::now().timestamp_millis()).unwrap_or(0)
}

/// Today's date here.
pub(super) fn today() -> Day {
    let today = Local::now().date_naive();
    (today.year(), today.month(), today.day())
}

/// Now, as a page prints it.
pub(super) fn now_words() -> String {
    Local::now().format("%Y-%m-%d %H:%M %:z").to_string()
}

/// The label of this machine in file names.
pub(super) fn device() -> Device {
    Device::from_host(&rustix::system::uname().nodename().to_string_lossy())
}
