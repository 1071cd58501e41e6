//! What must hold of each parser whatever it is given. Used by the coverage-guided runs (`fuzz/run`) and by the seeded run in the tests.
//!
//! Nothing panics or hangs, no fault's words can steer a terminal, numbers that are taken are finite, and of a record only lines are
//! taken whose hashes hold.

use std::path::Path;
use std::sync::{Arc, OnceLock};

use roughrun::analysis::Ranked;
use roughrun::diagnose::{self, Evidence};
use roughrun::job::{Entry, Job, Logged};
use roughrun::measure::{Dimension, Reading, Unit, parse_difference, parse_quantity, parse_reading};
use roughrun::model::Model;
use roughrun::record::{Class, segment_of};
use roughrun::text::is_hidden;
use roughrun::trees::{Diagnostic, Library, Strict, render_all};
use sha2::{Digest as _, Sha256};

const GOOD: [(&str, &[u8]); 9] = [
    ("checks.yaml", include_bytes!("../tests/trees/good/checks.yaml")),
    ("complaints.yaml", include_bytes!("../tests/trees/good/complaints.yaml")),
    ("ground.yaml", include_bytes!("../tests/trees/good/ground.yaml")),
    ("layouts/four-magneto.yaml", include_bytes!("../tests/trees/good/layouts/four-magneto.yaml")),
    ("layouts/six-mixed.yaml", include_bytes!("../tests/trees/good/layouts/six-mixed.yaml")),
    ("parts.yaml", include_bytes!("../tests/trees/good/parts.yaml")),
    ("recent.yaml", include_bytes!("../tests/trees/good/recent.yaml")),
    ("unknown.yaml", include_bytes!("../tests/trees/good/unknown.yaml")),
    ("work.yaml", include_bytes!("../tests/trees/good/work.yaml")),
];

fn library() -> &'static Library {
    static GROUND: OnceLock<Library> = OnceLock::new();
    GROUND.get_or_init(|| Library::from_files(&GOOD).unwrap_or_else(|f| panic!("{}", render_all(&f))))
}

fn model() -> Arc<Model> {
    static ENGINE: OnceLock<Arc<Model>> = OnceLock::new();
    let engine = ENGINE.get_or_init(|| {
        let layout = library().layout("four-magneto").unwrap_or_else(|f| panic!("{}", render_all(&f)));
        Arc::new(library().expand(&layout).unwrap_or_else(|f| panic!("{}", render_all(&f))))
    });
    Arc::clone(engine)
}

fn safe(words: &str) {
    assert!(!words.chars().any(|c| is_hidden(c) && c != '\n'), "{words:?}");
}

fn told(faults: &[Diagnostic]) {
    assert!(!faults.is_empty());
    safe(&render_all(faults));
}

/// A tree, its own whole or one file of the good one changed: the first byte says which.
pub fn tree(bytes: &[u8]) {
    let Some((first, rest)) = bytes.split_first() else { return };
    let files = if usize::from(*first) < GOOD.len() {
        let mut files = GOOD.to_vec();
        files[usize::from(*first)].1 = rest;
        files
    } else {
        let layouts = GOOD.iter().copied().filter(|(name, _)| name.starts_with("layouts/"));
        [("all.yaml", bytes)].into_iter().chain(layouts).collect()
    };
    match Library::from_files(&files) {
        Err(faults) => told(&faults),
        Ok(library) => {
            for layout in library.layouts() {
                if let Err(faults) = library.expand(layout) {
                    told(&faults);
                }
            }
        }
    }
}

/// An aircraft's card.
pub fn card(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match library().aircraft_text(text, (2026, 11, 25)) {
        Err(faults) => told(&faults),
        Ok((aircraft, engine)) => {
            assert!(aircraft.engine_hours.is_finite());
            if let Err(faults) = library().expand(&engine) {
                told(&faults);
            }
        }
    }
}

/// An evidence file, worked out.
pub fn evidence(bytes: &[u8]) {
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    match Strict::<Evidence>::of_text("evidence.yaml", text) {
        Err(faults) => told(&faults),
        // From a folder that is not there, so that no path in it leads to a file.
        Ok(evidence) => match diagnose::job_of(library(), &evidence, Path::new("/nowhere/at/all")) {
            Err(fault) => safe(&fault.to_string()),
            Ok(job) => worked_out(job),
        },
    }
}

fn worked_out(job: Job) {
    let job = Ranked::of(job);
    for cause in job.ranking() {
        let belief = job.belief(cause);
        assert!(
            [belief.present, belief.awake, belief.ever].iter().all(|p| (0.0..=1.0 + 1e-9).contains(p)),
            "{belief:?}"
        );
    }
}

/// A file of a record: the bytes as they are, or, where they do not begin as a line does, entries (`KIND BODY` a line) that are given
/// right hashes and worked as a job.
pub fn record(bytes: &[u8]) {
    if bytes.first() == Some(&b'{') {
        taken(bytes.to_vec());
        return;
    }
    let Ok(text) = std::str::from_utf8(bytes) else { return };
    let (sealed, lines) = seal(text);
    if let Some(log) = taken(sealed) {
        assert_eq!(log.len(), lines, "a whole line was left out");
        let log: Option<Vec<Logged>> = log.into_iter().collect();
        let Some(log) = log else { return };
        match Job::replay(model(), log) {
            Err((_, refusal)) => safe(&refusal.to_string()),
            Ok(job) => worked_out(job),
        }
    }
}

/// Reads a record; its entries as the job room reads them, where the record is whole.
fn taken(bytes: Vec<u8>) -> Option<Vec<Option<Logged>>> {
    let segment = segment_of(Path::new("record.jsonl"), bytes.clone());
    segment.faults.iter().for_each(|f| safe(&f.sentence));
    segment.notes.iter().for_each(|n| safe(n));
    let lines: Vec<&[u8]> = bytes.split(|&b| b == b'\n').collect();
    let header = segment.header.iter().map(|h| &h.line);
    for entry in header.chain(&segment.entries).chain(&segment.loose) {
        let line = lines[entry.line - 1];
        let cut = line.windows(6).rposition(|w| w == b",\"h\":\"").expect("a line without a seal was taken");
        assert_eq!(hash(&line[..cut]), entry.hash, "a line was taken whose hash does not hold");
    }
    for pair in segment.entries.windows(2).filter(|p| p[0].line + 1 == p[1].line) {
        assert!(pair[1].prev == pair[0].hash && pair[1].seq == pair[0].seq + 1, "the chain does not hold");
    }
    let entry = |e: &roughrun::record::Entry| {
        let entry: Entry = serde_json::from_value(serde_json::json!({"kind": e.kind, "body": e.body})).ok()?;
        Some(Logged { number: e.seq, when: e.stamp.wall.clone(), entry })
    };
    (segment.class() == Class::Ok).then(|| segment.entries.iter().map(entry).collect())
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|b| format!("{b:02x}")).collect()
}

/// Lines with hashes that hold, and how many entries they are.
fn seal(text: &str) -> (Vec<u8>, usize) {
    let mut prev = "0".repeat(64);
    let mut bytes = Vec::new();
    let mut line = |seq: usize, kind: &str, body: &str| {
        let start = format!(
            "{{\"seq\":{seq},\"t\":\"2026-11-25T09:00:00+01:00\",\"mono_ms\":{seq},\"kind\":\"{kind}\",\"body\":{body},\"prev\":\"{prev}\""
        );
        prev = hash(start.as_bytes());
        bytes.extend_from_slice(format!("{start},\"h\":\"{prev}\"}}\n").as_bytes());
    };
    line(
        0,
        "header",
        "{\"format\":\"roughrun-record-1\",\"job\":\"01M89ASFC1B6CVZJNTFDQPSFNN\",\"device\":\"bench\",\"started\":\"2026-11-25T09:00:00+01:00\",\"program\":\"0\",\"continues\":null,\"extra\":{}}",
    );
    let mut count = 0;
    for given in text.lines() {
        let Some((kind, body)) = given.split_once(' ') else { continue };
        let word = !kind.is_empty() && kind.bytes().all(|b| b.is_ascii_lowercase() || b == b'-');
        let reads = serde_json::from_str::<serde_json::Value>(body).is_ok() && given.len() < 60_000;
        if word && reads && kind != "header" && kind != "recover" {
            count += 1;
            line(count, kind, body);
        }
    }
    (bytes, count)
}

/// What a mechanic types: the first byte chooses what is measured.
pub fn reading(bytes: &[u8]) {
    let Some((first, rest)) = bytes.split_first() else { return };
    let typed = String::from_utf8_lossy(rest);
    let dimension = Dimension::ALL[usize::from(*first) % Dimension::ALL.len()];
    let unit = Unit::base(dimension);
    match parse_reading(&typed, dimension, Some(&unit)) {
        Err(fault) => safe(&fault.to_string()),
        Ok(Reading::Open) => {}
        Ok(Reading::Value { quantity, resolution }) => {
            assert!(quantity.value.is_finite() && resolution > 0.0 && quantity.dimension == dimension);
        }
    }
    for parsed in [parse_quantity(&typed, None), parse_difference(&typed, Some(&unit))] {
        match parsed {
            Err(fault) => safe(&fault.to_string()),
            Ok(quantity) => assert!(quantity.value.is_finite()),
        }
    }
}
