//! Folders of good and bad trees, with the faults that are to be found in each.
//!
//! A folder under `tests/trees/bad` or `tests/trees/warnings` is laid over `tests/trees/good`; the first lines of its files say what is expected:
//! `# expect: CODE LINE` for a fault of that file, with a third word for one of another file. Nothing else may be found.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

use roughrun::lint::{lint, lint_library};
use roughrun::trees::{Diagnostic, Library, Severity, render_all};

const TODAY: (i32, u32, u32) = (2026, 11, 25);

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees")
}

fn copy(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            fs::create_dir_all(&target).unwrap();
            copy(&path, &target);
        } else {
            fs::copy(&path, &target).unwrap();
        }
    }
}

fn files_under(dir: &Path, prefix: &str) -> Vec<(String, PathBuf)> {
    let mut found = Vec::new();
    for entry in fs::read_dir(dir).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("{prefix}{}", path.file_name().unwrap().to_string_lossy());
        if path.is_dir() {
            found.extend(files_under(&path, &format!("{name}/")));
        } else {
            found.push((name, path));
        }
    }
    found
}

/// (file, line, code), as a file's first lines expect them.
fn expected(name: &str, path: &Path) -> Vec<(String, usize, String)> {
    let text = fs::read_to_string(path).unwrap();
    let lines = text.lines().map_while(|line| line.strip_prefix("# expect: "));
    lines
        .map(|line| {
            let words: Vec<&str> = line.split(' ').collect();
            (words.get(2).unwrap_or(&name).to_string(), words[1].parse().unwrap(), words[0].to_string())
        })
        .collect()
}

fn found(diagnostics: &[Diagnostic]) -> Vec<(String, usize, String)> {
    let mut all: Vec<_> = diagnostics.iter().map(|d| (d.file.clone(), d.line, d.code.to_string())).collect();
    all.sort();
    all
}

fn well_said(diagnostics: &[Diagnostic]) {
    for d in diagnostics {
        assert!(d.message.ends_with(['.', '?']), "no full sentence: {}", d.message);
        assert!(d.mend.len() > 5, "no mend: {d:?}");
        assert!(d.text.is_empty() || d.column <= 200, "{d:?}");
        let drawn = d.render();
        assert!(drawn.contains(d.code) && drawn.contains("help:"), "{drawn}");
        assert!(drawn.chars().all(|c| c == '\n' || !c.is_control()), "{drawn:?}");
    }
}

#[test]
fn a_good_tree_has_no_faults() {
    let faults = lint(&[root().join("good"), root().join("good-cards/tourer.yaml")], None, TODAY);
    assert!(faults.is_empty(), "{}", render_all(&faults));
}

/// Lints each folder of `kind` laid over the good tree; what is found there otherwise than expected, and how many there are.
fn laid_over(kind: &str, severity: Severity) -> (Vec<String>, usize) {
    let mut wrong = Vec::new();
    let mut cases = 0;
    for entry in fs::read_dir(root().join(kind)).unwrap() {
        let case = entry.unwrap().path();
        let over = tempfile::tempdir().unwrap();
        copy(&root().join("good"), over.path());
        copy(&case, over.path());
        let mut expected: Vec<_> =
            files_under(&case, "").iter().flat_map(|(name, path)| expected(name, path)).collect();
        expected.sort();
        assert!(!expected.is_empty(), "{} expects nothing", case.display());
        let faults = lint(&[over.path().to_path_buf()], None, TODAY);
        well_said(&faults);
        if found(&faults) != expected || faults.iter().any(|d| d.severity != severity) {
            wrong.push(format!("== {}\nexpected {expected:?}\n{}", case.display(), render_all(&faults)));
        }
        cases += 1;
    }
    (wrong, cases)
}

#[test]
fn each_mistake_is_found_where_it_is() {
    let (wrong, cases) = laid_over("bad", Severity::Fault);
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(cases >= 35);
}

#[test]
fn each_warning_is_given_where_it_belongs() {
    let (wrong, cases) = laid_over("warnings", Severity::Warning);
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
    assert!(cases >= 15);
}

#[test]
fn a_tree_with_warnings_can_be_used() {
    let over = tempfile::tempdir().unwrap();
    copy(&root().join("good"), over.path());
    copy(&root().join("warnings/idle-check"), over.path());
    assert!(Library::load(over.path()).is_ok());
}

#[test]
fn the_shipped_trees_have_no_warning() {
    let warnings = lint_library(&Library::embedded().unwrap());
    assert!(warnings.is_empty(), "{}", render_all(&warnings));
}

#[test]
fn each_mistake_of_a_card_is_found_where_it_is() {
    let tree = Library::load(&root().join("good")).unwrap();
    let mut wrong = Vec::new();
    for (name, path) in files_under(&root().join("bad-cards"), "") {
        let mut expected = expected(&name, &path);
        expected.sort();
        let faults = lint(std::slice::from_ref(&path), Some(&tree), TODAY);
        well_said(&faults);
        // Cards are named by their path.
        let base = |file: &str| file.rsplit('/').next().unwrap_or("").to_string();
        let found: Vec<_> = found(&faults).into_iter().map(|(file, line, code)| (base(&file), line, code)).collect();
        if found != expected {
            wrong.push(format!("== {name}\nexpected {expected:?}\n{}", render_all(&faults)));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n\n"));
}
