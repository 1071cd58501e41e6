//! A record on disk for a desk that keeps its jobs in memory: what is shown as saved takes a proof that only a record
//! gives.

use std::path::Path;

use serde_json::json;

use crate::record::{Device, JobId, Journal, Kept, Saved, Stamp};

/// A record with one line for each entry that is to be proven.
#[derive(Debug)]
pub(super) struct Proof {
    folder: tempfile::TempDir,
    journal: Journal,
    begun: u64,
}

impl Proof {
    pub(super) fn new() -> Self {
        let folder = tempfile::tempdir_in(Path::new("/dev/shm")).or_else(|_| tempfile::tempdir()).unwrap();
        let journal = begin(folder.path(), 0);
        Self { folder, journal, begun: 0 }
    }

    /// Writes lines up to the one of this number.
    pub(super) fn saved(&mut self, number: u64) -> Saved {
        if self.journal.last_seq() >= number {
            self.begun += 1;
            self.journal = begin(self.folder.path(), self.begun);
        }
        loop {
            let saved = self.journal.append("note", json!({}), stamp()).unwrap();
            if saved.seq() == number {
                return saved;
            }
        }
    }

    pub(super) fn kept(&self) -> Kept {
        self.journal.kept().unwrap()
    }
}

fn begin(folder: &Path, number: u64) -> Journal {
    let id = JobId::new(number, |_| Ok(())).unwrap();
    Journal::create(folder, &id, &Device::parse("test").unwrap(), json!({}), &stamp()).unwrap()
}

fn stamp() -> Stamp {
    Stamp { wall: "2026-11-25T09:00:00+01:00".into(), mono_ms: 0 }
}
