//! Files that are not what they seem: refused at once, without hanging, without eating memory, without reaching the
//! terminal.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

use record_support::{body, device, id, job_with, stamp};
use roughrun::record::{
    Class, FaultKind, Journal, Listed, RecordError, list, read_job, read_segment, verify,
};
use serde_json::json;

fn within_a_second<T>(what: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let done = what();
    assert!(
        start.elapsed() < Duration::from_secs(1),
        "{:?}",
        start.elapsed()
    );
    done
}

fn pipe_at(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

#[test]
fn links_pipes_devices_and_folders_are_not_opened() {
    let dir = tempfile::tempdir().unwrap();
    let (_, path) = job_with(dir.path(), 1);
    let (link, pipe) = (dir.path().join("link"), dir.path().join("pipe"));
    symlink(&path, &link).unwrap();
    pipe_at(&pipe);
    for (odd, what) in [
        (link.as_path(), "a symbolic link"),
        (&pipe, "a pipe"),
        (Path::new("/dev/zero"), "a device"),
        (Path::new("/dev/full"), "a device"),
        (dir.path(), "a folder"),
    ] {
        let error = within_a_second(|| read_segment(odd)).unwrap_err();
        assert!(matches!(error, RecordError::NotPlain { .. }), "{error}");
        assert!(error.to_string().contains(what), "{error}");
    }
}

#[test]
fn odd_files_in_the_folder_do_not_stop_the_list() {
    let dir = tempfile::tempdir().unwrap();
    let (id1, path) = job_with(dir.path(), 1);
    let place = path.parent().unwrap();
    symlink("/etc", dir.path().join("elsewhere")).unwrap();
    symlink(&path, place.join(format!("{}.bench.jsonl", id(5)))).unwrap();
    pipe_at(&place.join(format!("{}.bench.jsonl", id(6))));
    symlink("/dev/zero", place.join(format!("{id1}.zero.jsonl"))).unwrap();
    let listed = within_a_second(|| list(dir.path())).unwrap();
    let jobs = listed
        .iter()
        .filter(|l| matches!(l, Listed::Job(_)))
        .count();
    let skipped = listed
        .iter()
        .filter(|l| matches!(l, Listed::Skipped { .. }))
        .count();
    assert_eq!((jobs, skipped), (1, 4));
    assert_eq!(
        within_a_second(|| verify(dir.path()))
            .unwrap()
            .skipped
            .len(),
        4
    );
    assert_eq!(read_job(dir.path(), &id1).unwrap().entries.len(), 1);
    drop(Journal::resume(dir.path(), &id1, &device("bench"), &stamp(9)).unwrap());
}

#[test]
fn nothing_is_written_through_a_link() {
    let dir = tempfile::tempdir().unwrap();
    let victim = dir.path().join("victim");
    fs::write(&victim, "precious").unwrap();
    let records = dir.path().join("records");
    let place = records.join("2026/11");
    fs::create_dir_all(&place).unwrap();
    let name = format!("{}.bench.jsonl", id(1));
    symlink(&victim, place.join(&name)).unwrap();
    let error =
        Journal::create(&records, &id(1), &device("bench"), json!({}), &stamp(0)).unwrap_err();
    assert!(matches!(error, RecordError::Exists { .. }), "{error}");
    fs::remove_file(place.join(&name)).unwrap();
    symlink(&victim, place.join(format!("{}.lock", id(1)))).unwrap();
    let error =
        Journal::create(&records, &id(1), &device("bench"), json!({}), &stamp(0)).unwrap_err();
    assert!(error.to_string().contains("symbolic link"), "{error}");
    fs::remove_dir_all(records.join("2026")).unwrap();
    symlink(dir.path(), records.join("2026")).unwrap();
    let error =
        Journal::create(&records, &id(1), &device("bench"), json!({}), &stamp(0)).unwrap_err();
    assert!(error.to_string().contains("symbolic link"), "{error}");
    assert_eq!(fs::read_to_string(&victim).unwrap(), "precious");
    assert!(!dir.path().join("11").exists());
}

#[test]
fn files_over_the_cap_are_refused_by_their_size() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("big.jsonl");
    File::create(&path).unwrap().set_len(1 << 30).unwrap();
    let error = within_a_second(|| read_segment(&path)).unwrap_err();
    assert!(
        matches!(error, RecordError::TooBig { bytes, .. } if bytes == 1 << 30),
        "{error}"
    );
}

#[test]
fn a_cap_full_of_line_feeds_or_of_one_line_is_read_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("x.jsonl");
    for bytes in [
        vec![b'\n'; 16 << 20],
        vec![b'x'; 16 << 20],
        vec![0; 16 << 20],
    ] {
        fs::write(&path, &bytes).unwrap();
        let segment = within_a_second(|| read_segment(&path)).unwrap();
        assert_eq!(segment.class(), Class::Damaged);
        assert!(segment.faults.len() <= 101);
        assert!(segment.header.is_none());
    }
}

/// Lines that each pretend to close the torn stretch before them, to make the reader search again and again.
#[test]
fn a_file_made_to_be_slow_is_read_at_once() {
    let dir = tempfile::tempdir().unwrap();
    let (_, path) = job_with(dir.path(), 1);
    let good = fs::read_to_string(&path).unwrap();
    let fake = "{\"seq\":2,\"kind\":\"recover\",\"pad\":\"".to_owned() + &"y".repeat(200) + "\"}\n";
    fs::write(&path, good + "{\"seq\":2\n" + &fake.repeat(60_000)).unwrap();
    let segment = within_a_second(|| read_segment(&path)).unwrap();
    assert_eq!(segment.entries.len(), 1);
    assert_eq!(segment.class(), Class::Damaged);
}

#[test]
fn control_characters_in_names_and_headers_do_not_reach_a_sentence() {
    let dir = tempfile::tempdir().unwrap();
    let evil = dir.path().join("\u{1b}]0;pwn\u{7}\u{202e}.jsonl");
    fs::write(&evil, "{\"format\":\"roughrun-record-9\u{9b}31m\"}\n").unwrap();
    let segment = read_segment(&evil).unwrap();
    assert_eq!(segment.faults[0].kind, FaultKind::UnknownFormat);
    let mut said: Vec<String> = segment.faults.iter().map(|f| f.sentence.clone()).collect();
    for listed in list(dir.path()).unwrap() {
        if let Listed::Damaged { sentence, .. } | Listed::Skipped { sentence, .. } = listed {
            said.push(sentence);
        }
    }
    let inside = evil.join("x");
    said.push(
        Journal::create(&inside, &id(1), &device("a"), json!({}), &stamp(0))
            .unwrap_err()
            .to_string(),
    );
    said.push(list(&inside).unwrap_err().to_string());
    assert_eq!(said.len(), 4);
    for s in said {
        assert!(s.contains("<U+"), "{s:?}");
        assert!(
            !s.contains(['\u{1b}', '\u{7}', '\u{202e}', '\u{9b}']),
            "{s:?}"
        );
    }
}

#[test]
fn what_a_mechanic_types_is_kept_as_typed() {
    let dir = tempfile::tempdir().unwrap();
    let note = json!({"note": "\u{1b}[2J \u{202e} \u{0} \n\r\t \"h\":\"x\" ,\"h\":\" 電気"});
    let mut journal =
        Journal::create(dir.path(), &id(1), &device("bench"), body(0), &stamp(0)).unwrap();
    journal.append("note", note.clone(), stamp(1)).unwrap();
    let record = read_job(dir.path(), &id(1)).unwrap();
    assert_eq!(
        (&record.entries[0].body, record.class()),
        (&note, Class::Ok)
    );
    let text = fs::read(journal.path()).unwrap();
    assert!(
        !text.contains(&0x1b) && !text.contains(&0),
        "escapes are spelled out in the file"
    );
}
