//! What the tests of the record share: seeded ids, stamps, and a job with a few entries.
#![allow(
    dead_code,
    unreachable_pub,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic
)]

pub mod failing;

use std::path::{Path, PathBuf};

use rand::{Rng as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use roughrun::record::{Device, JobId, JobRecord, Journal, Stamp};
use serde_json::{Value, json};

pub fn id(seed: u64) -> JobId {
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    JobId::new(1_790_000_000_000 + seed, |bytes| {
        chance.fill_bytes(bytes);
        Ok(())
    })
    .unwrap()
}

pub fn device(label: &str) -> Device {
    Device::parse(label).unwrap()
}

/// A stamp some seconds into a morning's work.
pub fn stamp(second: u64) -> Stamp {
    let (hour, minute, rest) = (9 + second / 3600, second / 60 % 60, second % 60);
    Stamp {
        wall: format!("2026-11-25T{hour:02}:{minute:02}:{rest:02}+01:00"),
        mono_ms: second * 1000,
    }
}

pub fn body(n: usize) -> Value {
    json!({"check": "ohm-of-lead", "at": format!("left {n}"), "reading": "8.2 kohm", "note": "étincelle"})
}

/// A job begun on `bench` with so many entries; its only file.
pub fn job_with(folder: &Path, entries: usize) -> (JobId, PathBuf) {
    let id = id(1);
    let mut journal = Journal::create(
        folder,
        &id,
        &device("bench"),
        json!({"layout": "six"}),
        &stamp(0),
    )
    .unwrap();
    for n in 0..entries {
        journal
            .append("check", body(n), stamp(1 + n as u64))
            .unwrap();
    }
    (id, journal.path().to_owned())
}

/// The entries' bodies, for comparing.
pub fn bodies(record: &JobRecord) -> Vec<Value> {
    record.entries.iter().map(|e| e.body.clone()).collect()
}

pub fn all_bodies(count: usize) -> Vec<Value> {
    (0..count).map(body).collect()
}
