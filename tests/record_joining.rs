//! One job over several files, devices and copies: each entry once, and a job that parts is shown, never silently chosen.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::fs;
use std::path::{Path, PathBuf};

use record_support::{all_bodies, bodies, body, device, id, job_with, stamp};
use roughrun::record::{Class, FaultKind, JobId, Journal, Listed, RecordError, Stamp, Summary, list, read_job, verify};
use serde_json::json;

/// Goes on with the job on a device and enters these.
fn go_on(folder: &Path, id: &JobId, label: &str, entries: std::ops::Range<usize>) -> PathBuf {
    let (mut journal, _) = Journal::resume(folder, id, &device(label), &stamp(100 + entries.start as u64)).unwrap();
    for n in entries {
        journal.append("check", body(n), stamp(101 + n as u64)).unwrap();
    }
    journal.path().to_owned()
}

fn summaries(folder: &Path) -> Vec<Summary> {
    let jobs = list(folder).unwrap().into_iter().filter_map(|l| match l {
        Listed::Job(s) => Some(*s),
        _ => None,
    });
    jobs.collect()
}

#[test]
fn the_same_device_writes_on_in_its_file_and_another_begins_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let (id, first) = job_with(dir.path(), 2);
    assert_eq!(go_on(dir.path(), &id, "bench", 2..3), first);
    let ramp = go_on(dir.path(), &id, "ramp", 3..5);
    let untouched = fs::read(&ramp).unwrap();
    let back = go_on(dir.path(), &id, "bench", 5..6);
    assert_eq!(fs::read(&ramp).unwrap(), untouched);
    assert!(back.to_str().unwrap().ends_with(".bench.2.jsonl"), "{}", back.display());
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(6));
    assert_eq!(record.devices, ["bench", "ramp"]);
    assert_eq!((record.class(), record.branches.len()), (Class::Ok, 0));
    assert_eq!(record.extra, json!({"layout": "six"}));
    let numbers: Vec<u64> = record.entries.iter().map(|e| e.seq).collect();
    assert_eq!(numbers, [1, 2, 3, 5, 6, 8], "headers have numbers too");
    assert_eq!(verify(dir.path()).unwrap().class(), Class::Ok);
    assert_eq!(fs::read_dir(first.parent().unwrap()).unwrap().count(), 3, "no lock is left");
}

/// Two laptops go on from the same entry without knowing of each other.
fn parted(dir: &Path) -> (JobId, PathBuf) {
    let (one, two) = (dir.join("one"), dir.join("two"));
    let (id, path) = job_with(&one, 2);
    let month = path.parent().unwrap().strip_prefix(&one).unwrap().to_owned();
    fs::create_dir_all(two.join(&month)).unwrap();
    let copy = two.join(&month).join(path.file_name().unwrap());
    fs::copy(&path, copy).unwrap();
    go_on(&one, &id, "bench", 2..3);
    let other = go_on(&two, &id, "ramp", 3..5);
    fs::copy(&other, one.join(&month).join(other.file_name().unwrap())).unwrap();
    (id, one)
}

#[test]
fn a_job_that_parts_is_shown_with_both_ends_and_not_gone_on_with() {
    let dir = tempfile::tempdir().unwrap();
    let (id, folder) = parted(dir.path());
    let record = read_job(&folder, &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(2));
    let mut ways: Vec<(String, usize)> = record.branches.iter().map(|b| (b.device.clone(), b.entries.len())).collect();
    ways.sort();
    assert_eq!(ways, [("bench".to_owned(), 1), ("ramp".to_owned(), 2)]);
    let error = Journal::resume(&folder, &id, &device("bench"), &stamp(200)).unwrap_err();
    assert!(matches!(error, RecordError::Forked { after: 2, .. }), "{error}");
    for b in &record.branches {
        assert!(error.to_string().contains(&b.head[..16]), "{error}");
    }
    let report = verify(&folder).unwrap();
    assert_eq!((report.class(), report.joins.len()), (Class::Damaged, 1));
    let listed = summaries(&folder);
    assert!(listed[0].trouble.as_ref().unwrap().contains("2 ways"));
    assert_eq!((listed.len(), listed[0].entries), (1, 5));
}

#[test]
fn a_chosen_branch_goes_on_and_the_other_is_set_aside_until_it_grows() {
    let dir = tempfile::tempdir().unwrap();
    let (id, folder) = parted(dir.path());
    let record = read_job(&folder, &id).unwrap();
    let chosen = record.branches.iter().find(|b| b.device == "ramp").unwrap();
    let wrong = Journal::resume_from(&folder, &id, &device("bench"), &stamp(200), &record.head);
    assert!(matches!(wrong.unwrap_err(), RecordError::NoSuchHead { .. }));
    let (mut journal, _) = Journal::resume_from(&folder, &id, &device("bench"), &stamp(200), &chosen.head).unwrap();
    journal.append("check", body(5), stamp(201)).unwrap();
    let path = journal.path().to_owned();
    drop(journal);
    let after = read_job(&folder, &id).unwrap();
    assert_eq!(bodies(&after), [body(0), body(1), body(3), body(4), body(5)]);
    assert!(after.branches.is_empty());
    assert_eq!(after.notes.iter().filter(|n| n.contains("set aside")).count(), 1);
    assert_eq!(verify(&folder).unwrap().class(), Class::Ok);
    assert_eq!(go_on(&folder, &id, "bench", 6..7), path, "and goes on as any other job");

    // The branch that was set aside grows after all, on a machine that did not know.
    let one = tempfile::tempdir().unwrap();
    let month = path.parent().unwrap().strip_prefix(&folder).unwrap().to_owned();
    let kept = folder.join(&month).join(format!("{id}.bench.jsonl"));
    let apart = one.path().join(&month).join(kept.file_name().unwrap());
    fs::create_dir_all(apart.parent().unwrap()).unwrap();
    fs::copy(&kept, &apart).unwrap();
    go_on(one.path(), &id, "bench", 7..8);
    fs::copy(&apart, &kept).unwrap();
    assert_eq!(read_job(&folder, &id).unwrap().branches.len(), 2, "nothing new is hidden");
}

#[test]
fn copies_count_once_whatever_they_are_called() {
    let dir = tempfile::tempdir().unwrap();
    let (id, path) = job_with(dir.path(), 3);
    let older = fs::read(&path).unwrap();
    go_on(dir.path(), &id, "bench", 3..5);
    fs::write(path.with_file_name(format!("{id}.bench (conflicted copy).jsonl")), &older).unwrap();
    fs::create_dir(dir.path().join("backup")).unwrap();
    fs::copy(&path, dir.path().join(format!("backup/{id}.bench.jsonl"))).unwrap();
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(5));
    assert_eq!((record.branches.len(), record.files.len()), (0, 3));
    assert_eq!(record.notes.iter().filter(|n| n.contains("counts once")).count(), 2);
    assert_eq!(verify(dir.path()).unwrap().class(), Class::Ok);
    assert_eq!(go_on(dir.path(), &id, "bench", 5..6).file_name(), path.file_name());
    assert_eq!(bodies(&read_job(dir.path(), &id).unwrap()), all_bodies(6));
}

#[test]
fn a_file_that_was_only_begun_is_no_second_way() {
    let dir = tempfile::tempdir().unwrap();
    let (id, _) = job_with(dir.path(), 2);
    let aside = tempfile::tempdir().unwrap();
    let begun = go_on(dir.path(), &id, "ramp", 2..2);
    let away = aside.path().join("x");
    fs::rename(&begun, &away).unwrap();
    go_on(dir.path(), &id, "bench", 2..4);
    fs::rename(&away, &begun).unwrap();
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!((bodies(&record), record.branches.len()), (all_bodies(4), 0));
}

#[test]
fn a_missing_earlier_file_is_said_and_has_to_be_seen_once() {
    let dir = tempfile::tempdir().unwrap();
    let (id, first) = job_with(dir.path(), 2);
    go_on(dir.path(), &id, "ramp", 2..4);
    fs::remove_file(first).unwrap();
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), [body(2), body(3)]);
    assert_eq!(record.faults[0].kind, FaultKind::MissingParent);
    let error = Journal::resume(dir.path(), &id, &device("ramp"), &stamp(200)).unwrap_err();
    assert!(error.to_string().contains("earlier part"), "{error}");
    let seen = Journal::resume_from(dir.path(), &id, &device("ramp"), &stamp(200), &record.head);
    drop(seen.unwrap());
    go_on(dir.path(), &id, "ramp", 4..5);
    let after = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&after), [body(2), body(3), body(4)]);
    assert_eq!(after.class(), Class::Damaged, "and is still said");
}

#[test]
fn damage_has_to_be_seen_once_and_then_the_job_goes_on() {
    let dir = tempfile::tempdir().unwrap();
    let (id, first) = job_with(dir.path(), 4);
    let mut bytes = fs::read(&first).unwrap();
    let third = bytes.windows(6).position(|w| w == b"left 2").unwrap();
    bytes[third] ^= 1;
    fs::write(&first, &bytes).unwrap();
    let error = Journal::resume(dir.path(), &id, &device("bench"), &stamp(200)).unwrap_err();
    assert!(error.to_string().contains("Line 4"), "{error}");
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(2));
    let (mut journal, _) = Journal::resume_from(dir.path(), &id, &device("bench"), &stamp(200), &record.head).unwrap();
    journal.append("check", body(2), stamp(201)).unwrap();
    drop(journal);
    assert_eq!(fs::read(&first).unwrap(), bytes, "the damaged file is left as it is");
    go_on(dir.path(), &id, "bench", 3..4);
    let after = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&after), all_bodies(4));
    assert_eq!(after.class(), Class::Damaged);
    bytes[third + 20] ^= 1;
    fs::write(&first, &bytes).unwrap();
    let again = Journal::resume(dir.path(), &id, &device("bench"), &stamp(300));
    assert!(again.is_err(), "new damage has to be seen again");
}

/// Going on from an earlier end while a later file cannot be read would make the job part.
#[test]
fn a_later_file_that_cannot_be_read_stops_a_resume() {
    let dir = tempfile::tempdir().unwrap();
    let (id, _) = job_with(dir.path(), 2);
    let ramp = go_on(dir.path(), &id, "ramp", 2..4);
    let mut bytes = fs::read(&ramp).unwrap();
    bytes[30] ^= 4;
    fs::write(&ramp, bytes).unwrap();
    let error = Journal::resume(dir.path(), &id, &device("bench"), &stamp(200)).unwrap_err();
    assert!(matches!(error, RecordError::Damaged { .. }), "{error}");
    fs::remove_file(&ramp).unwrap();
    std::os::unix::fs::symlink("/dev/null", &ramp).unwrap();
    fs::write(ramp.with_extension("2.jsonl"), vec![0; 17 << 20]).unwrap();
    let error = Journal::resume(dir.path(), &id, &device("bench"), &stamp(200)).unwrap_err();
    assert!(error.to_string().contains("16 MiB"), "{error}");
}

#[test]
fn a_file_under_another_jobs_name_is_left_out() {
    let dir = tempfile::tempdir().unwrap();
    let (id1, path) = job_with(dir.path(), 2);
    let other = id(2);
    let wrong = path.with_file_name(format!("{other}.bench.jsonl"));
    fs::copy(&path, &wrong).unwrap();
    let record = read_job(dir.path(), &other).unwrap();
    assert!(record.entries.is_empty());
    assert_eq!(record.faults[0].kind, FaultKind::WrongJob);
    assert_eq!(bodies(&read_job(dir.path(), &id1).unwrap()), all_bodies(2));
    assert_eq!(verify(dir.path()).unwrap().class(), Class::Damaged);
}

#[test]
fn a_clock_that_goes_back_changes_no_order_and_is_noted() {
    let dir = tempfile::tempdir().unwrap();
    let mut journal = Journal::create(dir.path(), &id(1), &device("bench"), json!({}), &stamp(0)).unwrap();
    let walls = [
        "2026-11-25T09:01:00+01:00",
        "2026-11-24T09:02:00+01:00",
        "2036-11-25T09:03:00+01:00",
        "2026-11-25T08:04:00+00:00",
        "2026-11-25T09:04:30+01:00",
    ];
    for (n, wall) in walls.into_iter().enumerate() {
        let stamp = Stamp { wall: wall.into(), mono_ms: n as u64 };
        journal.append("check", body(n), stamp).unwrap();
    }
    let record = read_job(dir.path(), &id(1)).unwrap();
    assert_eq!(bodies(&record), all_bodies(5));
    assert_eq!(record.class(), Class::Ok);
    let lines = |n: usize| record.notes.iter().any(|s| s.contains(&format!("before line {n} ")));
    assert_eq!((2..=6).map(lines).collect::<Vec<_>>(), [false, true, false, true, false]);
}

/// Two machines' copies of one file, merged line by line by git as it does for files it was told to unite.
#[test]
fn a_git_union_merge_keeps_both_ways() {
    let dir = tempfile::tempdir().unwrap();
    let (id, path) = job_with(dir.path(), 2);
    let (base, theirs) = (dir.path().join("base"), dir.path().join("theirs"));
    fs::copy(&path, &base).unwrap();
    go_on(dir.path(), &id, "bench", 2..4);
    let ours = fs::read(&path).unwrap();
    fs::copy(&base, &path).unwrap();
    go_on(dir.path(), &id, "bench", 4..5);
    fs::rename(&path, &theirs).unwrap();
    fs::write(&path, &ours).unwrap();
    let merged =
        std::process::Command::new("git").args(["merge-file", "--union"]).args([&path, &base, &theirs]).status();
    assert!(merged.unwrap().success());
    assert!(fs::read(&path).unwrap().len() > ours.len(), "git has put lines in");
    let record = read_job(dir.path(), &id).unwrap();
    assert_eq!(bodies(&record), all_bodies(2));
    let mut ways: Vec<_> = record.branches.iter().flat_map(|b| b.entries.iter().map(|e| e.body.clone())).collect();
    ways.sort_by_key(ToString::to_string);
    assert_eq!(ways, [body(2), body(3), body(4)]);
    assert_eq!(record.branches.len(), 2, "both are shown");
    assert_eq!(record.class(), Class::Damaged, "and that the file was tampered with is said");
}
