//! `tests/PROMISES.md` held to the sources: every test it names is there, every broken build it names is made, and all twenty cases are
//! covered. `DEVELOPERS.md` held to the manifest: every direct dependency has its line.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn read(path: &str) -> String {
    fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap()
}

fn rust_files(at: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(at).unwrap().map(Result::unwrap) {
        let path = entry.path();
        if path.is_dir() {
            files.extend(rust_files(&path));
        } else if path.extension().is_some_and(|e| e == "rs") {
            files.push(path);
        }
    }
    files
}

/// Names of tests in a test file or folder, or in a room of the program.
fn tests_of(place: &str) -> BTreeSet<String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let places = ["tests", "src"].map(|top| root.join(top).join(place));
    let mut files: Vec<PathBuf> = places.iter().filter(|p| p.is_dir()).flat_map(|p| rust_files(p)).collect();
    files.extend(places.iter().map(|p| p.with_extension("rs")).filter(|p| p.is_file()));
    let mut names = BTreeSet::new();
    for file in files {
        let text = fs::read_to_string(file).unwrap();
        // A law has its test mark in the macro too.
        for part in text.split("#[test]").skip(1) {
            let name = part.split_once("fn ").and_then(|(_, rest)| rest.split_once('('));
            names.insert(name.unwrap().0.to_owned());
        }
    }
    names
}

/// The cells of the tables under a heading.
fn rows<'a>(page: &'a str, heading: &str) -> Vec<Vec<&'a str>> {
    let (_, section) = page.split_once(&format!("## {heading}\n")).unwrap();
    let section = section.split("\n## ").next().unwrap();
    let lines = section.lines().filter(|l| l.starts_with('|')).skip(2);
    lines.map(|l| l.trim_matches('|').split(" |").map(str::trim).collect()).collect()
}

fn marked(cell: &str) -> Vec<&str> {
    cell.split('`').skip(1).step_by(2).collect()
}

#[test]
fn every_promise_and_every_fault_case_has_its_tests_and_fails_where_it_is_broken() {
    let page = read("tests/PROMISES.md");
    let broken = read("tests/broken/run");
    let sources: String = rust_files(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"))
        .iter()
        .map(|f| fs::read_to_string(f).unwrap())
        .collect();
    let (promises, cases) = (rows(&page, "Promises"), rows(&page, "The twenty fault cases"));
    let numbers: Vec<String> = cases.iter().map(|row| row[0].to_owned()).collect();
    assert_eq!(numbers, (1..=20).map(|n| n.to_string()).collect::<Vec<_>>());
    let mut taken_out = BTreeSet::new();
    for row in promises.iter().map(|r| &r[1..]).chain(cases.iter().map(|r| &r[2..])) {
        assert!(!marked(row[0]).is_empty(), "{row:?}");
        for test in marked(row[0]) {
            let (place, name) = test.split_once("::").unwrap();
            assert!(tests_of(place).contains(name), "there is no test {test}");
        }
        for name in marked(row.get(1).copied().unwrap_or_default()) {
            taken_out.insert(name);
            assert!(sources.contains(&format!("cfg!(broken = \"{name}\")")), "nothing is taken out as {name}");
            assert!(broken.contains(&format!("\n{name}|")), "{name} is not tried");
        }
    }
    for row in &cases {
        assert!(!marked(row[3]).is_empty(), "case {} is never broken", row[0]);
    }
    // And none that is forgotten.
    for part in sources.split("cfg!(broken = \"").skip(1) {
        let name = part.split('"').next().unwrap();
        assert!(taken_out.contains(name), "{name} is taken out for no promise");
    }
}

/// Names under a heading of the manifest.
fn dependencies(manifest: &str, heading: &str) -> Vec<String> {
    let (_, section) = manifest.split_once(&format!("[{heading}]\n")).unwrap();
    let section = section.split("\n[").next().unwrap();
    let lines = section.lines().filter(|l| !l.starts_with('#'));
    lines.filter_map(|l| l.split_once(" = ")).map(|(name, _)| name.to_owned()).collect()
}

#[test]
fn every_direct_dependency_has_its_reason() {
    let manifest = read("Cargo.toml");
    let page = read("DEVELOPERS.md");
    let (_, section) = page.split_once("## Dependencies and why\n").unwrap();
    let section = section.split("\n## ").next().unwrap();
    let explained: BTreeSet<&str> = section
        .lines()
        .filter(|l| l.starts_with("| "))
        .filter_map(|l| l.trim_start_matches("| ").split_once(" |"))
        .flat_map(|(names, why)| names.split(", ").filter(move |_| why.len() > 10))
        .collect();
    let mut all = dependencies(&manifest, "dependencies");
    let program = all.len();
    all.extend(dependencies(&manifest, "dev-dependencies"));
    assert!(program > 15 && all.len() > program);
    for name in &all {
        assert!(explained.contains(name.as_str()), "{name} has no line in DEVELOPERS.md");
    }
    for name in explained.iter().filter(|n| **n != "crate") {
        assert!(all.iter().any(|n| n == name), "{name} is explained and not used");
    }
}

#[test]
fn unsafe_code_is_forbidden_and_versions_are_locked() {
    let manifest = read("Cargo.toml");
    assert!(manifest.contains("\nunsafe_code = \"forbid\"\n"));
    assert!(read("Cargo.lock").contains("name = \"roughrun\""));
    let ignored = read(".gitignore");
    assert!(!ignored.contains("Cargo.lock"), "the lock file is kept");
    let gate = read(".ci/run");
    for line in gate.lines().filter(|l| l.starts_with("cargo ") && !l.starts_with("cargo fmt") && !l.contains("deny")) {
        assert!(line.contains("--locked"), "{line}");
    }
}
