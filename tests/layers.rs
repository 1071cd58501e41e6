//! The layer rule of `src/lib.rs`, read off the sources: which room names what it must not know, and no file over 800 lines.

#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::{Path, PathBuf};

const PURE: [&str; 12] = [
    "model",
    "measure",
    "analysis",
    "belief",
    "plan",
    "job",
    "learn",
    "upkeep",
    "teststand",
    "text",
    "tables",
    "figures",
];
const EDGES: [&str; 10] =
    ["trees", "record", "shop", "report", "diagnose", "plain", "practise", "review", "tui", "cli"];
/// What no pure room may name: files, environment, clock, threads, printing, the terminal, chance from the system.
const OUTSIDE: [&str; 13] = [
    "std::fs",
    "std::env",
    "std::io",
    "std::time",
    "std::thread",
    "std::process",
    "std::net",
    "chrono",
    "ratatui",
    "crossterm",
    "println!",
    "eprintln!",
    "rand::rng",
];

fn sources(at: &Path, into: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(at).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            sources(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

fn all() -> Vec<(String, PathBuf, String)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    sources(&root, &mut files);
    files
        .into_iter()
        .map(|path| {
            let inside = path.strip_prefix(&root).unwrap();
            let first = inside.components().next().unwrap().as_os_str().to_string_lossy();
            let room = first.trim_end_matches(".rs").to_owned();
            let text = std::fs::read_to_string(&path).unwrap();
            // Prose may name what code may not.
            let code = text.lines().filter(|l| !l.trim_start().starts_with("//")).collect::<Vec<_>>().join("\n");
            (room, inside.to_owned(), code)
        })
        .collect()
}

fn is_test(path: &Path) -> bool {
    let text = path.to_string_lossy();
    text.contains("tests") || text.ends_with("_tests.rs")
}

#[test]
fn pure_rooms_name_nothing_outside() {
    let mut faults = Vec::new();
    for (room, path, code) in all().iter().filter(|(room, path, _)| PURE.contains(&room.as_str()) && !is_test(path)) {
        let code = code.split("#[cfg(test)]").next().unwrap_or_default();
        let edges = EDGES.iter().map(|edge| format!("crate::{edge}"));
        for name in OUTSIDE.iter().map(|n| (*n).to_owned()).chain(edges).filter(|name| code.contains(name.as_str())) {
            faults.push(format!("{room}: {} names {name}", path.display()));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn trees_and_records_know_no_screens() {
    for (room, path, code) in
        all().iter().filter(|(room, path, _)| ["trees", "record"].contains(&room.as_str()) && !is_test(path))
    {
        for other in ["tui", "cli", "plain"] {
            assert!(!code.contains(&format!("crate::{other}")), "{room}: {} names {other}", path.display());
        }
    }
}

#[test]
fn only_the_command_line_prints() {
    for (_, path, code) in all().iter().filter(|(room, path, _)| room != "cli" && !is_test(path)) {
        for print in ["println!(", "print!("] {
            assert!(!code.contains(print), "{} prints", path.display());
        }
    }
}

#[test]
fn no_file_is_long() {
    for (_, path, _) in all() {
        let text = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("src").join(&path)).unwrap();
        assert!(text.lines().count() <= 800, "{} is too long", path.display());
    }
}

#[test]
fn every_room_is_listed() {
    for (room, path, _) in all() {
        let known = PURE.contains(&room.as_str()) || EDGES.contains(&room.as_str());
        assert!(known || ["lib", "main"].contains(&room.as_str()), "{} is in no room", path.display());
    }
}
