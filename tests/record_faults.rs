//! A disk that fails at each call in turn: nothing acknowledged is lost, nothing is falsely acknowledged, and the job can go on
//! in another folder or the same one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::collections::BTreeSet;
use std::fs;
use std::path::Path;
use std::sync::Arc;

use record_support::failing::{Call, Failing, How};
use record_support::{all_bodies, bodies, body, device, id, job_with, quick_dir, stamp};
use roughrun::record::{Class, JobRecord, Journal, RecordError, Saved, Trouble, list, places, read_job};
use rustix::io::Errno;
use serde_json::json;

const ENTRIES: usize = 4;
/// More calls than any of the runs below makes.
const PLENTY: usize = 40;

const ERRORS: [(Errno, Trouble); 6] = [
    (Errno::NOSPC, Trouble::Full),
    (Errno::IO, Trouble::Disk),
    (Errno::ROFS, Trouble::ReadOnly),
    (Errno::ACCESS, Trouble::NotAllowed),
    (Errno::DQUOT, Trouble::Quota),
    (Errno::STALE, Trouble::NetworkGone),
];

fn ways(call: Call, number: i32) -> Vec<How> {
    match call {
        Call::Write => vec![How::Fail(number), How::Tear(1, number), How::Tear(100, number), How::DoneButFail(number)],
        Call::Sync => vec![How::Fail(number), How::DoneButFail(number)],
        _ => vec![How::Fail(number)],
    }
}

fn begin(disk: &Failing, folder: &Path) -> Result<Journal, RecordError> {
    let medium = Arc::new(disk.clone());
    Journal::create_on(medium, folder, &id(1), &device("bench"), json!({}), &stamp(0))
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

fn says(error: &RecordError, trouble: Trouble) {
    let said = error.to_string();
    assert_eq!(error.trouble(), Some(trouble), "{said}");
    assert!(said.contains(trouble.because()) && said.contains(trouble.mend()), "{said}");
}

/// Copies the files of one records folder into another, as a person would who brings them together.
fn bring_together(from: &Path, to: &Path) {
    for entry in fs::read_dir(from).unwrap().map(Result::unwrap) {
        let target = to.join(entry.file_name());
        if entry.file_type().unwrap().is_dir() {
            bring_together(&entry.path(), &target);
        } else if !target.exists() {
            fs::copy(entry.path(), target).unwrap();
        }
    }
}

/// One run with one fault. False once the fault comes too late to happen.
fn run(call: Call, at: usize, how: How, trouble: Trouble, same_folder: bool) -> bool {
    let dir = quick_dir();
    let (first, second) = (dir.path().join("a"), dir.path().join("b"));
    let disk = Failing::new(call, at, how);
    let mut journal = match begin(&disk, &first) {
        Ok(journal) => journal,
        Err(e) => {
            assert_eq!(disk.fired(), 1, "{call:?} {at} {how:?}: {e}");
            says(&e, trouble);
            let left = list(&first).unwrap_or_default();
            assert!(left.is_empty(), "a failed beginning leaves nothing behind: {left:?}");
            begin(&disk, &first).unwrap()
        }
    };
    let (saved, errors) = work(&mut journal);
    let on_disk = read_job(&first, &id(1)).unwrap();
    for s in &saved {
        let found = on_disk.entries.iter().any(|e| e.seq == s.seq() && e.hash == s.hash());
        assert!(found, "acknowledged and lost: {s:?} at {call:?} {at} {how:?}");
    }
    if let Some((fatal, later)) = errors.split_first() {
        assert_eq!(disk.fired(), 1);
        says(fatal, trouble);
        assert!(matches!(fatal, RecordError::NotSaved { .. }));
        let up_to = format!("up to entry {} is saved", saved.len());
        assert!(errors.iter().all(|e| e.kept() && e.to_string().contains(&up_to)), "{fatal}");
        assert!(later.iter().all(|e| matches!(e, RecordError::Stopped { .. })));
        assert!(journal.is_stopped());
        assert_eq!(journal.unsaved().len(), errors.len());
        assert_eq!(saved.len() + errors.len(), ENTRIES, "nothing after the failure was written");
        let failed_file = journal.path().to_owned();
        let before = fs::read(&failed_file).unwrap();
        let target = if same_folder { &first } else { &second };
        let rest = journal.move_to(target, &stamp(30)).unwrap();
        assert_eq!(rest.len(), errors.len());
        assert!(journal.unsaved().is_empty() && !journal.is_stopped());
        assert_eq!(fs::read(&failed_file).unwrap(), before, "the failed file is left alone");
        holds_each_once(&read_job(target, &id(1)).unwrap());
        if !same_folder {
            bring_together(&second, &first);
            holds_each_once(&read_job(&first, &id(1)).unwrap());
        }
    }
    assert_eq!(read_job(journal.path().ancestors().nth(3).unwrap(), &id(1)).unwrap().head, journal.head());
    drop(journal);
    disk.fired() == 1
}

#[test]
fn a_failure_at_any_call_loses_nothing_that_was_acknowledged() {
    let mut fired = 0;
    for call in [Call::MakeFolder, Call::Lock, Call::Create, Call::Write, Call::Sync, Call::SyncFolder] {
        for (errno, trouble) in ERRORS {
            for how in ways(call, errno.raw_os_error()) {
                for same_folder in [false, true] {
                    let many = (1..PLENTY).take_while(|&at| run(call, at, how, trouble, same_folder)).count();
                    let least = if matches!(call, Call::Write | Call::Sync) { ENTRIES + 1 } else { 1 };
                    assert!((least..PLENTY - 1).contains(&many), "{call:?} {how:?}: {many}");
                    fired += many;
                }
            }
        }
    }
    assert!(fired > 400, "{fired}");
}

#[test]
fn the_common_failures_are_said_in_different_words() {
    let dir = quick_dir();
    let mut said = BTreeSet::new();
    for (n, (errno, trouble)) in ERRORS.into_iter().enumerate() {
        let disk = Failing::new(Call::Write, 2, How::Fail(errno.raw_os_error()));
        let mut journal = begin(&disk, &dir.path().join(n.to_string())).unwrap();
        let error = journal.append("check", body(0), stamp(1)).unwrap_err();
        says(&error, trouble);
        assert!(error.to_string().starts_with("NOT SAVED"));
        said.insert((trouble.because(), trouble.mend()));
    }
    assert_eq!(said.len(), ERRORS.len());
}

#[test]
fn a_move_that_fails_can_be_tried_again() {
    let mut fired = 0;
    for call in [Call::MakeFolder, Call::Lock, Call::Create, Call::Write, Call::Sync, Call::SyncFolder] {
        for how in ways(call, Errno::NOSPC.raw_os_error()) {
            for at in 1..PLENTY {
                let dir = quick_dir();
                let (first, second) = (dir.path().join("a"), dir.path().join("b"));
                let disk = Failing::new(Call::Sync, 3, How::Fail(Errno::IO.raw_os_error()));
                let mut journal = begin(&disk, &first).unwrap();
                let (_, errors) = work(&mut journal);
                assert_eq!((disk.fired(), errors.len()), (1, ENTRIES - 1));
                disk.next(call, at, how);
                let moved = journal.move_to(&second, &stamp(30));
                if disk.fired() == 0 {
                    moved.unwrap();
                    break;
                }
                fired += 1;
                let error = moved.unwrap_err();
                says(&error, Trouble::Full);
                assert!(journal.is_stopped(), "{error}");
                assert!(!journal.unsaved().is_empty());
                journal.move_to(&second, &stamp(31)).unwrap();
                assert!(journal.unsaved().is_empty());
                holds_each_once(&read_job(&second, &id(1)).unwrap());
                bring_together(&second, &first);
                holds_each_once(&read_job(&first, &id(1)).unwrap());
            }
        }
    }
    assert!(fired > 30, "{fired}");
}

#[test]
fn a_resume_that_fails_harms_nothing_and_can_be_tried_again() {
    let mut fired = 0;
    for call in record_support::failing::CALLS {
        for how in ways(call, Errno::IO.raw_os_error()) {
            for (at, label) in (1..PLENTY).flat_map(|at| [(at, "bench"), (at, "ramp")]) {
                let dir = quick_dir();
                let (id, path) = job_with(dir.path(), ENTRIES);
                let torn = [fs::read(&path).unwrap(), b"{\"seq\":".to_vec()].concat();
                fs::write(&path, &torn).unwrap();
                let disk = Failing::new(call, at, how);
                let medium = Arc::new(disk.clone());
                let tried = Journal::resume_on(medium, dir.path(), &id, &device(label), &stamp(40), None);
                if disk.fired() == 0 {
                    tried.unwrap();
                    continue;
                }
                fired += 1;
                tried.unwrap_err();
                assert!(fs::read(&path).unwrap().starts_with(&torn));
                let (mut journal, record) = Journal::resume(dir.path(), &id, &device(label), &stamp(41)).unwrap();
                holds_each_once(&record);
                journal.append("check", body(ENTRIES), stamp(42)).unwrap();
                let after = read_job(dir.path(), &id).unwrap();
                assert_eq!(bodies(&after), all_bodies(ENTRIES + 1));
                assert_ne!(after.class(), Class::Damaged, "{:?}", after.faults);
            }
        }
    }
    assert!(fired > 20, "{fired}");
}

#[test]
fn a_folder_that_cannot_be_written_is_said_before_the_first_question() {
    for call in [Call::MakeFolder, Call::Create, Call::Write, Call::Sync] {
        for (errno, trouble) in ERRORS {
            let dir = quick_dir();
            let disk = Failing::new(call, 1, How::Fail(errno.raw_os_error()));
            let error = places::make_ready_on(&disk, dir.path(), 7).unwrap_err();
            assert_eq!(disk.fired(), 1);
            says(&error, trouble);
            assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
        }
    }
}
