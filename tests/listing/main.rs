//! The list of all records: what a row says, what a damaged record does to it, jobs that are in several places, and an index that
//! nobody has to believe.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::format_push_string)]

mod index;
mod places;
mod records;
mod rows;
mod search;

use std::fs;
use std::path::{Path, PathBuf};

use roughrun::review::listing::{Listing, Row, list};
use serde_json::{Value, json};

/// A folder of records, and one for the index.
struct Bench {
    top: tempfile::TempDir,
}

/// A moment after 1970 by which jobs of the tests are named, in milliseconds.
const BEGIN: u64 = 1_790_000_000_000;

impl Bench {
    fn new() -> Self {
        let bench = Self { top: tempfile::tempdir().unwrap() };
        fs::create_dir(bench.records()).unwrap();
        bench
    }

    fn records(&self) -> PathBuf {
        self.top.path().join("records")
    }

    fn cache(&self) -> PathBuf {
        self.top.path().join("cache")
    }

    fn list(&self) -> Listing {
        list(&[self.records()], Some(&self.cache())).unwrap()
    }

    /// Writes a file of a record and lets it look as if it had been there for a while.
    fn write(&self, name: &str, text: impl AsRef<[u8]>) -> PathBuf {
        let path = self.records().join(name);
        write(&path, text.as_ref());
        path
    }
}

fn write(path: &Path, bytes: &[u8]) {
    fs::create_dir_all(path.parent().unwrap()).unwrap();
    fs::write(path, bytes).unwrap();
}

/// A job of these entries after its opening, as text, and the hash of its last line.
fn job(id: &str, entries: &[(&str, Value)]) -> (String, String) {
    let header = json!({"format": "roughrun-record-1", "job": id, "device": "bench", "started": at(0), "program": "0.1.0",
        "continues": null, "extra": {"layout": "four-magneto", "complaint": "Rough on one side", "at": "left",
        "aircraft": "ZZ-ABC", "mechanic": "Kim"}});
    let opened = json!({"layout": "four-magneto", "complaint": "rough-one-side", "at": "left", "words": "rough hot"});
    let mut text = String::new();
    let mut head = records::line(&mut text, 0, &at(0), "header", &header, records::NO_PARENT);
    head = records::line(&mut text, 1, &at(0), "opened", &opened, &head);
    for (seq, (kind, body)) in (2..).zip(entries) {
        head = records::line(&mut text, seq, &at(seq), kind, body, &head);
    }
    (text, head)
}

/// Wall time of a minute of the tests' day.
fn at(minute: u64) -> String {
    format!("2026-11-25T09:{minute:02}:00+01:00")
}

fn id(n: u64) -> String {
    records::id(BEGIN + n, n)
}

fn cure() -> Vec<(&'static str, Value)> {
    vec![
        ("confirmed", json!({"cause": "lead-open", "at": "left 3"})),
        ("corrected", json!({"correction": "replace-lead", "at": "left 3"})),
        ("proof-run", json!({"showing": false})),
        ("closed", json!({"how": "cured", "note": ""})),
    ]
}

fn only(listing: &Listing) -> &Row {
    assert_eq!(listing.rows.len(), 1, "{:?}", listing.rows);
    &listing.rows[0]
}
