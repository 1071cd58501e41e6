//! The names a record's files are made of: the job's id and the device's label.
//!
//! Both are checked before any path is built from them, so that nothing typed or read can leave the records folder.
//! Must not know: what is in a file.

use std::fmt;
use std::io::{self, Read as _};

use super::RecordError;

const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The id of one job: 26 characters, the first ten from the time it was begun (so ids sort by age), the other
/// sixteen from chance.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct JobId(String);

impl JobId {
    /// Length of an id in characters.
    pub const LEN: usize = 26;

    /// Makes an id from milliseconds since 1970 (the low 48 bits count) and ten random bytes from `random`, which is
    /// [`os_random`] in the program and a seeded source in tests.
    ///
    /// Fails only when `random` does.
    pub fn new(unix_ms: u64, random: impl FnOnce(&mut [u8; 10]) -> io::Result<()>) -> Result<Self, RecordError> {
        let mut chance = [0_u8; 10];
        random(&mut chance)
            .map_err(|e| RecordError::io("get random numbers for a new job", "the system".as_ref(), e))?;
        let mut bits = u128::from(unix_ms & 0xffff_ffff_ffff);
        for byte in chance {
            bits = bits << 8 | u128::from(byte);
        }
        let digit = |place: usize| char::from(DIGITS[(bits >> (5 * place) & 31) as usize]);
        Ok(Self((0..Self::LEN).rev().map(digit).collect()))
    }

    /// Takes an id that was typed or read: exactly 26 characters `0-9` and `A-Z`.
    pub fn parse(given: &str) -> Result<Self, RecordError> {
        let fits = given.len() == Self::LEN && given.bytes().all(|b| b.is_ascii_digit() || b.is_ascii_uppercase());
        if fits { Ok(Self(given.to_owned())) } else { Err(RecordError::BadId { given: super::error::short(given) }) }
    }

    /// The id as written in file names and headers.
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// The id a file's name begins with, if it begins with one followed by a full stop.
    #[must_use]
    pub fn of_file_name(name: &str) -> Option<Self> {
        let head = name.get(..Self::LEN)?;
        (name.as_bytes().get(Self::LEN) == Some(&b'.')).then(|| Self::parse(head).ok()).flatten()
    }
}

impl fmt::Display for JobId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Ten random bytes from the operating system, for [`JobId::new`].
pub fn os_random(bytes: &mut [u8; 10]) -> io::Result<()> {
    std::fs::File::open("/dev/urandom")?.read_exact(bytes)
}

/// The label of the machine that writes: one to 32 characters `a-z`, `0-9` and `-`.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Device(String);

impl Device {
    /// The longest label, in characters.
    pub const MAX: usize = 32;

    /// Takes a label that was typed or read.
    pub fn parse(given: &str) -> Result<Self, RecordError> {
        let fits = (1..=Self::MAX).contains(&given.len())
            && given.bytes().all(|b| b.is_ascii_digit() || b.is_ascii_lowercase() || b == b'-');
        if fits {
            Ok(Self(given.to_owned()))
        } else {
            Err(RecordError::BadDevice { given: super::error::short(given) })
        }
    }

    /// Makes a label from whatever the host is called: lower case, each run of other characters one `-`, cut to
    /// 32, and `device` when nothing is left.
    #[must_use]
    pub fn from_host(host: &str) -> Self {
        let mut label = String::new();
        for c in host.chars() {
            let c = c.to_ascii_lowercase();
            if label.len() == Self::MAX {
                break;
            }
            if c.is_ascii_digit() || c.is_ascii_lowercase() {
                label.push(c);
            } else if !label.is_empty() && !label.ends_with('-') {
                label.push('-');
            }
        }
        let label = label.trim_end_matches('-');
        Self(if label.is_empty() { "device" } else { label }.to_owned())
    }

    /// The label as written in file names and headers.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Device {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// The name of a job's n-th file on one device (n counts from 1): `ID.DEVICE.jsonl`, `ID.DEVICE.2.jsonl` and so on.
pub(crate) fn file_name(id: &JobId, device: &Device, n: u32) -> String {
    if n == 1 { format!("{id}.{device}.jsonl") } else { format!("{id}.{device}.{n}.jsonl") }
}

/// Whether a file has a name this program would give it, not one of a copy.
pub(crate) fn is_file_name(name: &str, id: &JobId, device: &Device) -> bool {
    let Some(rest) = name.strip_prefix(&format!("{id}.{device}")) else {
        return false;
    };
    let number = rest.strip_prefix('.').and_then(|r| r.strip_suffix(".jsonl"));
    rest == ".jsonl" || number.is_some_and(|n| n.parse::<u32>().is_ok_and(|n| n > 1))
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use proptest::prelude::*;

    fn id(ms: u64, byte: u8) -> JobId {
        JobId::new(ms, |b| {
            *b = [byte; 10];
            Ok(())
        })
        .unwrap()
    }

    #[test]
    fn ids_hold_time_then_chance() {
        assert_eq!(id(0, 0).as_str(), "00000000000000000000000000");
        assert_eq!(id(0xffff_ffff_ffff, 255).as_str(), "7ZZZZZZZZZZZZZZZZZZZZZZZZZ");
        assert_eq!(id(1, 0).as_str(), "00000000010000000000000000");
        assert!(id(1_790_000_000_000, 255) < id(1_790_000_000_001, 0));
    }

    #[test]
    fn a_source_without_chance_is_an_error() {
        let fault = JobId::new(1, |_| Err(io::Error::other("dry"))).unwrap_err();
        assert!(fault.to_string().contains("random"), "{fault}");
    }

    #[test]
    fn the_system_gives_different_ids() {
        let a = JobId::new(7, os_random).unwrap();
        let b = JobId::new(7, os_random).unwrap();
        assert_eq!(a.as_str()[..10], b.as_str()[..10]);
        assert_ne!(a, b);
    }

    #[test]
    fn hostile_ids_and_labels_are_refused() {
        let long = "A".repeat(300);
        for bad in [
            "",
            "../../../etc/cron.d/xxxxxx",
            "CON",
            "C:\\x",
            "0000000000000000000000000\u{0}",
            "0000000000000000000000000a",
            "0000000000000000000000000Ä",
            long.as_str(),
        ] {
            assert!(JobId::parse(bad).is_err(), "{bad:?}");
        }
        for bad in ["", "..", "a/b", "Hangar", "a.b", "a b", long.as_str()] {
            assert!(Device::parse(bad).is_err(), "{bad:?}");
        }
        let fault = JobId::parse("\u{1b}]0;x\u{7}").unwrap_err().to_string();
        assert!(!fault.contains('\u{1b}'), "{fault:?}");
    }

    #[test]
    fn host_names_become_labels() {
        for (host, label) in
            [("Hangar PC #2.local", "hangar-pc-2-local"), ("", "device"), ("///", "device"), ("--x--", "x")]
        {
            assert_eq!(Device::from_host(host).as_str(), label);
        }
    }

    #[test]
    fn only_whole_ids_are_read_off_file_names() {
        let id = id(5, 5);
        assert_eq!(JobId::of_file_name(&format!("{id}.x.jsonl")), Some(id));
        assert_eq!(JobId::of_file_name("notes.jsonl"), None);
        assert_eq!(JobId::of_file_name("ééééééééééééééééééé.jsonl"), None);
    }

    proptest! {
        #[test]
        fn every_host_gives_a_valid_label(host in "(?s:.*)") {
            prop_assert!(Device::parse(Device::from_host(&host).as_str()).is_ok());
        }

        #[test]
        fn every_made_id_is_valid_and_sorts_by_time(a in 0_u64..1 << 48, b in 0_u64..1 << 48, x: [u8; 10], y: [u8; 10]) {
            let make = |ms, chance| JobId::new(ms, |c| { *c = chance; Ok(()) }).unwrap();
            let (first, second) = (make(a, x), make(b, y));
            prop_assert!(JobId::parse(first.as_str()).is_ok());
            if a != b {
                prop_assert_eq!(a < b, first < second);
            }
        }
    }
}
