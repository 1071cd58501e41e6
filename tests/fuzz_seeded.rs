//! The parsers under inputs changed at random, from a fixed seed: the quick brother of the coverage-guided runs in `fuzz/`, with the same laws.
//! How many there were goes into the table of the proof.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../fuzz/targets.rs"]
#[allow(
    unreachable_pub,
    clippy::format_collect,
    clippy::needless_pass_by_value,
    reason = "shared with the coverage-guided runs, where they are public"
)]
mod targets;

use std::fs;
use std::path::Path;

use rand::seq::IndexedRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

fn fuzz_file(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("fuzz").join(name)
}

/// Seeds of a target: the same as the coverage-guided runs start from, and what those have found.
fn seeds(target: &str) -> Vec<Vec<u8>> {
    let mut files: Vec<_> = fs::read_dir(fuzz_file("seeds").join(target)).unwrap().map(|f| f.unwrap().path()).collect();
    files.sort();
    files.iter().map(|f| fs::read(f).unwrap()).collect()
}

/// Words worth putting in: those of the dictionary.
fn words() -> Vec<Vec<u8>> {
    let text = fs::read_to_string(fuzz_file("words")).unwrap();
    let plain = |line: &str| {
        let inner = line.strip_prefix('"')?.strip_suffix('"')?;
        Some(inner.replace("\\\"", "\"").replace("\\xe2\\x80\\xae", "\u{202e}").replace("\\\\", "\\").into_bytes())
    };
    text.lines().filter_map(plain).collect()
}

/// One input after another: each a seed with a few changes.
fn changed(target: &str, seed: u64, many: usize, law: fn(&[u8])) {
    let (seeds, words) = (seeds(target), words());
    assert!(!seeds.is_empty() && words.len() > 20);
    seeds.iter().for_each(|s| law(s));
    let mut chance = ChaCha8Rng::seed_from_u64(seed);
    for _ in 0..many {
        let mut bytes = seeds.choose(&mut chance).unwrap().clone();
        for _ in 0..chance.random_range(1..5) {
            let at = chance.random_range(0..=bytes.len());
            let end = (at + chance.random_range(0..24)).min(bytes.len());
            match chance.random_range(0..6) {
                0 if at < bytes.len() => bytes[at] = chance.random(),
                1 if at < bytes.len() => bytes[at] ^= 1 << chance.random_range(0..8),
                2 => drop(bytes.drain(at..end)),
                3 => drop(bytes.splice(at..at, words.choose(&mut chance).unwrap().iter().copied())),
                4 => {
                    let piece = bytes[at..end].to_vec();
                    bytes.splice(at..at, piece);
                }
                _ => {
                    let other = seeds.choose(&mut chance).unwrap();
                    let from = chance.random_range(0..=other.len());
                    let to = (from + chance.random_range(0..200)).min(other.len());
                    bytes.splice(at..end, other[from..to].iter().copied());
                }
            }
        }
        law(&bytes);
    }
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("proof");
    fs::create_dir_all(&folder).unwrap();
    let inputs = many + seeds.len();
    let line = format!(
        "18a\tinputs changed from a fixed seed, to the parser of a {target}\t{inputs}\t{inputs}\teach taken or refused\n"
    );
    fs::write(folder.join(format!("18a-{target}")), line).unwrap();
}

#[test]
fn changed_trees_are_taken_or_refused() {
    changed("tree", 11, 2_000, targets::tree);
}

#[test]
fn changed_cards_are_taken_or_refused() {
    changed("card", 12, 2_000, targets::card);
}

#[test]
fn changed_evidence_is_worked_out_or_refused() {
    changed("evidence", 13, 2_000, targets::evidence);
}

#[test]
fn changed_records_are_read_or_refused() {
    changed("record", 14, 6_000, targets::record);
}

#[test]
fn changed_readings_are_taken_or_refused() {
    changed("reading", 15, 100_000, targets::reading);
}
