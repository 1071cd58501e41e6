//! The list of records and the check of a folder, damaged ones among them; and the check that needs no program of ours.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::fs;
use std::path::Path;

use record_support::{body, device, id, job_with, stamp};
use roughrun::record::{Class, Journal, Listed, Summary, list, verify};
use serde_json::json;

const ENTRIES: usize = 5;

fn summaries(folder: &Path) -> Vec<Summary> {
    let jobs = list(folder).unwrap().into_iter().filter_map(|l| match l {
        Listed::Job(s) => Some(*s),
        _ => None,
    });
    jobs.collect()
}

#[test]
fn the_list_has_the_last_worked_on_first_and_the_damaged_among_them() {
    let dir = tempfile::tempdir().unwrap();
    let mut paths = Vec::new();
    for n in 0..30 {
        let mut journal = Journal::create(
            dir.path(),
            &id(n),
            &device("bench"),
            json!({"n": n}),
            &stamp(n),
        )
        .unwrap();
        journal.append("check", body(0), stamp(1000 - n)).unwrap();
        journal.append("close", json!({}), stamp(2000 - n)).unwrap();
        paths.push(journal.path().to_owned());
    }
    let mut bytes = fs::read(&paths[7]).unwrap();
    let middle = bytes.windows(6).position(|w| w == b"left 0").unwrap();
    bytes[middle] ^= 2;
    fs::write(&paths[7], bytes).unwrap();
    fs::write(&paths[9], "").unwrap();
    fs::write(dir.path().join("stray.jsonl"), "{}\n").unwrap();
    std::os::unix::fs::symlink(&paths[1], dir.path().join("link.jsonl")).unwrap();
    let jobs = summaries(dir.path());
    let order: Vec<u64> = jobs
        .iter()
        .map(|s| s.extra["n"].as_u64().unwrap())
        .collect();
    let expected: Vec<u64> = (0..30).filter(|&n| n != 9 && n != 7).chain([7]).collect();
    assert_eq!(order, expected, "a damaged job sorts by what can be read");
    let hurt: Vec<&Summary> = jobs.iter().filter(|s| s.class != Class::Ok).collect();
    assert_eq!((hurt.len(), hurt[0].extra["n"].as_u64()), (1, Some(7)));
    assert!(hurt[0].trouble.as_ref().unwrap().starts_with("Line 2"));
    assert_eq!((jobs[0].last_kind.as_str(), jobs[0].entries), ("close", 2));
    let rest = list(dir.path()).unwrap();
    let damaged: Vec<&Path> = rest
        .iter()
        .filter_map(|l| match l {
            Listed::Damaged { path, .. } => Some(path.as_path()),
            _ => None,
        })
        .collect();
    assert_eq!(
        damaged,
        [paths[9].as_path(), &dir.path().join("stray.jsonl")]
    );
    let skipped = rest
        .iter()
        .filter(|l| matches!(l, Listed::Skipped { .. }))
        .count();
    assert_eq!(skipped, 1);
}

#[test]
fn a_verify_gives_the_exit_code_and_the_place() {
    let dir = tempfile::tempdir().unwrap();
    let (id, path) = job_with(dir.path(), ENTRIES);
    let bytes = fs::read(&path).unwrap();
    let code = |target: &Path| verify(target).unwrap().class().exit_code();
    assert_eq!((code(&path), code(dir.path())), (0, 0));

    fs::write(&path, &bytes[..bytes.len() - 9]).unwrap();
    assert_eq!((code(&path), code(dir.path())), (2, 2));
    drop(Journal::resume(dir.path(), &id, &device("bench"), &stamp(70)).unwrap());
    assert_eq!(
        (code(&path), code(dir.path())),
        (2, 2),
        "closed, and still said"
    );

    let mut changed = bytes.clone();
    changed[bytes.len() / 2] ^= 1;
    fs::write(&path, changed).unwrap();
    assert_eq!((code(&path), code(dir.path())), (1, 1));
    let report = verify(&path).unwrap();
    assert!(report.files[0].faults[0].sentence.starts_with("Line "));
}

/// A record can be checked without this program.
#[test]
fn a_line_can_be_checked_with_sha256sum() {
    use std::io::Write as _;
    let dir = tempfile::tempdir().unwrap();
    let text = fs::read_to_string(job_with(dir.path(), ENTRIES).1).unwrap();
    for line in text.lines() {
        let (sealed, rest) = line.rsplit_once(",\"h\":\"").unwrap();
        let mut tool = std::process::Command::new("sha256sum")
            .stdin(std::process::Stdio::piped())
            .stdout(std::process::Stdio::piped())
            .spawn()
            .unwrap();
        tool.stdin
            .take()
            .unwrap()
            .write_all(sealed.as_bytes())
            .unwrap();
        let said = tool.wait_with_output().unwrap().stdout;
        let said = String::from_utf8(said).unwrap();
        assert_eq!(
            said.split_whitespace().next().unwrap(),
            rest.trim_end_matches("\"}")
        );
    }
}
