//! Disks that are slow, lie or have no locks, and entries that do not fit.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::path::Path;
use std::sync::Arc;

use record_support::failing::{Call, Failing, How};
use record_support::{all_bodies, bodies, body, device, id, stamp};
use roughrun::record::{
    Class, JobRecord, Journal, Listed, RecordError, Saved, Trouble, list, read_job,
};
use serde_json::json;

const ENTRIES: usize = 4;

fn begin(disk: &Failing, folder: &Path) -> Result<Journal, RecordError> {
    let medium = Arc::new(disk.clone());
    Journal::create_on(
        medium,
        folder,
        &id(1),
        &device("bench"),
        json!({}),
        &stamp(0),
    )
}

/// Enters everything, keeping what was acknowledged and the errors that came.
fn work(journal: &mut Journal) -> (Vec<Saved>, Vec<RecordError>) {
    let (mut saved, mut errors) = (Vec::new(), Vec::new());
    for n in 0..ENTRIES {
        match journal.append("check", body(n), stamp(1 + n as u64)) {
            Ok(s) => saved.push(s),
            Err(e) => errors.push(e),
        }
    }
    (saved, errors)
}

fn holds_each_once(record: &JobRecord) {
    assert_eq!(bodies(record), all_bodies(ENTRIES));
    assert!(record.branches.is_empty());
    assert_ne!(record.class(), Class::Damaged, "{:?}", record.faults);
}

#[test]
fn short_writes_and_interruptions_write_each_byte_once() {
    for most in [1, 7, 100] {
        let dir = tempfile::tempdir().unwrap();
        let disk = Failing::new(Call::Write, 1, How::Dribble(most));
        let mut journal = begin(&disk, dir.path()).unwrap();
        let (saved, errors) = work(&mut journal);
        assert!(disk.fired() > ENTRIES * 2);
        assert_eq!((saved.len(), errors.len()), (ENTRIES, 0));
        let record = read_job(dir.path(), &id(1)).unwrap();
        holds_each_once(&record);
        assert_eq!(record.class(), Class::Ok);
    }
    let dir = tempfile::tempdir().unwrap();
    let disk = Failing::new(Call::Sync, 1, How::Dribble(1));
    let mut journal = begin(&disk, dir.path()).unwrap();
    assert_eq!(work(&mut journal).0.len(), ENTRIES);
    assert_eq!(
        disk.fired(),
        2 * (ENTRIES + 1),
        "each flush was interrupted once"
    );
}

#[test]
fn a_disk_that_claims_to_have_written_is_not_believed() {
    let dir = tempfile::tempdir().unwrap();
    let (first, second) = (dir.path().join("a"), dir.path().join("b"));
    let disk = Failing::new(Call::Write, 3, How::Lie);
    let mut journal = begin(&disk, &first).unwrap();
    let (saved, errors) = work(&mut journal);
    assert_eq!((disk.fired(), saved.len()), (1, 1));
    assert_eq!(errors[0].trouble(), Some(Trouble::Changed));
    journal.move_to(&second, &stamp(30)).unwrap();
    holds_each_once(&read_job(&second, &id(1)).unwrap());
}

#[test]
fn another_writer_without_locks_is_noticed_and_both_are_kept() {
    let dir = tempfile::tempdir().unwrap();
    let disk = Failing::new(Call::Lock, 1, How::NoLocks);
    let mut one = begin(&disk, dir.path()).unwrap();
    assert!(one.warning().unwrap().contains("no locks"));
    one.append("check", body(0), stamp(1)).unwrap();
    let medium = Arc::new(disk.clone());
    let (mut two, _) = Journal::resume_on(
        medium,
        dir.path(),
        &id(1),
        &device("bench"),
        &stamp(2),
        None,
    )
    .unwrap();
    two.append("check", body(1), stamp(3)).unwrap();
    let error = one.append("check", body(2), stamp(4)).unwrap_err();
    assert_eq!(error.trouble(), Some(Trouble::Changed), "{error}");
    one.move_to(dir.path(), &stamp(5)).unwrap();
    assert_eq!(disk.fired(), 2);
    let record = read_job(dir.path(), &id(1)).unwrap();
    assert_eq!(bodies(&record), [body(0)]);
    let mut ends: Vec<_> = record
        .branches
        .iter()
        .map(|b| b.entries[0].body.clone())
        .collect();
    ends.sort_by_key(ToString::to_string);
    assert_eq!(ends, [body(1), body(2)]);
}

#[test]
fn refused_entries_leave_the_record_usable() {
    let dir = tempfile::tempdir().unwrap();
    let disk = Failing::new(Call::Write, 99, How::Lie);
    let mut journal = begin(&disk, dir.path()).unwrap();
    let long = journal
        .append("note", json!("x".repeat(70_000)), stamp(1))
        .unwrap_err();
    assert!(
        matches!(long, RecordError::TooLong { .. }) && !long.kept(),
        "{long}"
    );
    let own = journal.append("header", json!({}), stamp(1)).unwrap_err();
    assert!(
        matches!(own, RecordError::BadKind { .. }) && !own.kept(),
        "{own}"
    );
    assert_eq!(work(&mut journal).0.len(), ENTRIES);
    holds_each_once(&read_job(dir.path(), &id(1)).unwrap());
}

#[test]
fn a_full_file_is_refused_and_the_job_goes_on_in_the_next() {
    let dir = tempfile::tempdir().unwrap();
    let mut journal =
        Journal::create(dir.path(), &id(1), &device("bench"), json!({}), &stamp(0)).unwrap();
    let big = json!("x".repeat(65_000));
    let mut count = 0;
    let full = loop {
        match journal.append("note", big.clone(), stamp(1)) {
            Ok(_) => count += 1,
            Err(e) => break e,
        }
    };
    assert!(
        matches!(full, RecordError::FileFull { .. }) && !full.kept(),
        "{full}"
    );
    assert!(!journal.is_stopped());
    assert!(journal.move_to(dir.path(), &stamp(2)).unwrap().is_empty());
    journal.append("note", big, stamp(3)).unwrap();
    let record = read_job(dir.path(), &id(1)).unwrap();
    assert_eq!(record.entries.len(), count + 1);
    assert_eq!((record.files.len(), record.class()), (2, Class::Ok));
    assert!(matches!(list(dir.path()).unwrap()[..], [Listed::Job(_)]));
}
