//! What a journal calls saved: names that are lost under it, files of the job that are gone, and the proof of the
//! whole.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::fs;
use std::path::Path;
use std::sync::Arc;

use record_support::failing::{Call, Failing, How};
use record_support::{all_bodies, bodies, body, device, id, quick_dir, stamp};
use roughrun::record::{Class, Journal, RecordError, Trouble, read_job};
use rustix::io::Errno;
use serde_json::json;

fn begin(disk: &Failing, folder: &Path) -> Journal {
    Journal::create_on(Arc::new(disk.clone()), folder, &id(1), &device("bench"), json!({}), &stamp(0)).unwrap()
}

fn calm() -> Failing {
    Failing::new(Call::Write, usize::MAX, How::Lie)
}

fn holds(folder: &Path, count: usize) {
    let record = read_job(folder, &id(1)).unwrap();
    assert_eq!(bodies(&record), all_bodies(count));
    assert_eq!((record.branches.len(), record.class()), (0, Class::Ok), "{:?}", record.faults);
}

fn enter(journal: &mut Journal, n: usize) -> Result<Option<String>, RecordError> {
    journal.append("check", body(n), stamp(1 + n as u64)).map(|saved| saved.told().map(str::to_owned))
}

/// Between the flush and the word.
#[test]
fn a_name_that_goes_after_the_flush_is_noticed_before_the_entry_is_acknowledged() {
    for at in 1..5 {
        let dir = quick_dir();
        let disk = Failing::new(Call::Sync, 1 + at, How::Vanish);
        let mut journal = begin(&disk, dir.path());
        for n in 0..4 {
            let told = enter(&mut journal, n).unwrap();
            assert_eq!(told.is_some(), n + 1 == at, "{at} {n}: {told:?}");
            holds(dir.path(), n + 1);
        }
        assert_eq!(disk.fired(), 1);
        assert!(journal.kept().unwrap().words().contains("saved"));
    }
}

#[test]
fn a_folder_that_is_deleted_is_made_again_with_its_lock() {
    let dir = quick_dir();
    let records = dir.path().join("records");
    let mut journal = begin(&calm(), &records);
    enter(&mut journal, 0).unwrap();
    fs::remove_dir_all(&records).unwrap();
    assert!(matches!(journal.kept().unwrap_err(), RecordError::NotKept { trouble: Trouble::Gone, .. }));
    assert!(enter(&mut journal, 1).unwrap().unwrap().contains("taken away"));
    holds(&records, 2);
    let second = Journal::resume(&records, &id(1), &device("bench"), &stamp(9));
    assert!(matches!(second.unwrap_err(), RecordError::InUse { .. }), "others are kept out again");
    enter(&mut journal, 2).unwrap();
    drop(journal);
    holds(&records, 3);
    let left = fs::read_dir(records.join("2026/11")).unwrap().map(|e| e.unwrap().file_name());
    assert!(left.into_iter().all(|name| name.to_string_lossy().ends_with(".jsonl")), "no lock is left");
    drop(Journal::resume(&records, &id(1), &device("bench"), &stamp(10)).unwrap());
}

/// The old lock's name may be another's by the time it is let go.
#[test]
fn a_lock_of_somebody_else_is_not_taken_away() {
    let dir = quick_dir();
    let mut journal = begin(&calm(), dir.path());
    enter(&mut journal, 0).unwrap();
    let lock = dir.path().join(format!("2026/11/{}.lock", id(1)));
    fs::remove_file(&lock).unwrap();
    let (other, _) = Journal::resume(dir.path(), &id(1), &device("ramp"), &stamp(5)).unwrap();
    drop(journal);
    assert!(lock.exists(), "it is the other's");
    drop(other);
    assert!(!lock.exists());
}

#[test]
fn where_it_cannot_be_written_anew_the_entry_waits_and_is_tried_again() {
    for call in [Call::MakeFolder, Call::Create, Call::Write, Call::Sync, Call::SyncFolder] {
        let dir = quick_dir();
        let disk = calm();
        let mut journal = begin(&disk, dir.path());
        enter(&mut journal, 0).unwrap();
        fs::remove_file(journal.path()).unwrap();
        disk.next(call, 1, How::Fail(Errno::NOSPC.raw_os_error()));
        let fault = enter(&mut journal, 1).unwrap_err();
        assert_eq!(disk.fired(), 1, "{call:?}");
        assert!(fault.kept() && fault.to_string().starts_with("NOT SAVED"), "{fault}");
        assert!(!fault.to_string().contains("is saved"), "the first entry is nowhere but in memory: {fault}");
        assert!(journal.kept().is_err());
        let sure = journal.make_sure(&stamp(30)).unwrap();
        assert_eq!(sure.written.len(), 1, "{call:?}");
        holds(dir.path(), 2);
        assert_eq!(journal.kept().unwrap(), sure.kept);
    }
}

/// A job that another machine wrote to before has files that this one only holds.
#[test]
fn every_file_of_the_job_has_to_be_in_its_place() {
    let dir = quick_dir();
    let mut journal = begin(&calm(), dir.path());
    enter(&mut journal, 0).unwrap();
    let first = journal.path().to_owned();
    drop(journal);
    let (mut journal, _) = Journal::resume(dir.path(), &id(1), &device("ramp"), &stamp(5)).unwrap();
    enter(&mut journal, 1).unwrap();
    let kept = journal.kept().unwrap();
    assert_eq!((kept.file(), kept.seq()), (journal.path(), 3));
    for hurt in [None, Some(&b"{}"[..])] {
        match hurt {
            None => fs::remove_file(&first).unwrap(),
            Some(bytes) => fs::write(&first, bytes).unwrap(),
        }
        let fault = journal.kept().unwrap_err();
        assert!(fault.to_string().contains(first.file_name().unwrap().to_str().unwrap()), "{fault}");
        let sure = journal.make_sure(&stamp(40)).unwrap();
        assert!(sure.told.is_some() && sure.written.is_empty());
        assert_eq!(bodies(&read_job(dir.path(), &id(1)).unwrap()), all_bodies(2));
    }
}

/// What failed to be saved is said with what is on disk of the rest, and only with that.
#[test]
fn what_stands_after_a_failure_is_looked_for() {
    for cut in [false, true] {
        let dir = quick_dir();
        let disk = Failing::new(Call::Write, 3, How::Fail(Errno::NOSPC.raw_os_error()));
        let mut journal = begin(&disk, dir.path());
        enter(&mut journal, 0).unwrap();
        if cut {
            let file = fs::File::options().write(true).open(journal.path()).unwrap();
            file.set_len(file.metadata().unwrap().len() - 5).unwrap();
        }
        let fault = enter(&mut journal, 1).unwrap_err();
        let RecordError::NotSaved { saved, .. } = &fault else { panic!("{fault}") };
        assert_eq!((saved.seq(), saved.is_found()), (1, !cut), "{fault}");
        assert_eq!(fault.to_string().contains("Everything up to entry 1 is saved."), !cut, "{fault}");
    }
}
