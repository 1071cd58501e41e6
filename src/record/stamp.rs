//! The moment of an entry, given by whoever keeps the clock.
//!
//! Must not know: what the time is.

use super::RecordError;
use super::error::short;

/// The moment of an entry, given by whoever keeps the clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    /// Wall time with offset from UTC: `2026-11-25T09:36:00+01:00`.
    pub wall: String,
    /// Milliseconds on a clock that never goes back, from any start.
    pub mono_ms: u64,
}

impl Stamp {
    /// Refuses a wall time that is not a date and time with offset.
    pub(crate) fn check(&self) -> Result<(), RecordError> {
        if self.wall.len() <= 40 && time_of(&self.wall).is_some() {
            Ok(())
        } else {
            Err(RecordError::BadTime {
                given: short(&self.wall),
            })
        }
    }
}

/// A wall time as microseconds since 1970, if it is one.
pub(crate) fn time_of(wall: &str) -> Option<i64> {
    let time = chrono::DateTime::parse_from_rfc3339(wall).ok()?;
    Some(time.timestamp_micros())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;

    #[test]
    fn times_without_offset_are_refused() {
        for wall in [
            "",
            "2026-11-25",
            "2026-11-25T09:36:00",
            "now",
            "2026-13-01T00:00:00Z",
        ] {
            let stamp = Stamp {
                wall: wall.into(),
                mono_ms: 0,
            };
            assert!(stamp.check().is_err(), "{wall}");
        }
    }

    #[test]
    fn times_are_compared_across_offsets() {
        let (east, west) = ("2026-11-25T10:00:00+01:00", "2026-11-25T09:00:00Z");
        assert_eq!(time_of(east), time_of(west));
        assert!(time_of("2026-11-25T10:00:00Z") > time_of(east));
    }
}
