//! Line by line, ended from outside: what waits is tried once more, and then it is said what came of it.

use rustix::process::{Pid, Signal, kill_process};

use crate::plain::{ALL_IS_KEPT, Ended, Talk, lost};
use crate::ways::{Way, notes_on_disk};

fn signalled(talk: Talk, signal: Signal) -> Ended {
    let pid = i32::try_from(talk.child.id()).unwrap();
    kill_process(Pid::from_raw(pid).unwrap(), signal).unwrap();
    talk.ended()
}

const ENDS: [(Signal, i32); 3] = [(Signal::TERM, 143), (Signal::HUP, 129), (Signal::INT, 130)];

#[test]
fn a_signal_in_the_middle_of_a_job_says_that_all_is_kept() {
    for (signal, code) in ENDS {
        let dir = tempfile::tempdir().unwrap();
        let mut talk = Talk::begun(dir.path(), &[]);
        talk.says("note first\n", "Saved as entry 2");
        let ended = signalled(talk, signal);
        assert_eq!(ended.code, Some(code), "{ended:?}");
        assert!(ended.err.contains(ALL_IS_KEPT) && ended.err.contains("Go on with"), "{ended:?}");
        assert_eq!(notes_on_disk(dir.path(), Way::SameOver), ["first"]);
    }
}

#[test]
fn a_signal_with_an_entry_that_waits_tries_once_more() {
    for (signal, code) in ENDS {
        for way in Way::HURT {
            let dir = tempfile::tempdir().unwrap();
            let records = dir.path().join("records");
            let mut talk = lost(way, &records);
            talk.says("note third\n", "NOT SAVED");
            let ended = signalled(talk, signal);
            assert_eq!(ended.code, Some(code), "{way:?}: {ended:?}");
            assert!(ended.err.contains(ALL_IS_KEPT), "{way:?}: {ended:?}");
            assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
        }
    }
}

#[test]
fn a_signal_after_the_record_was_taken_away_writes_it_anew() {
    for (signal, code) in ENDS {
        for way in Way::NAME_LOST {
            let dir = tempfile::tempdir().unwrap();
            let records = dir.path().join("records");
            let ended = signalled(lost(way, &records), signal);
            assert_eq!(ended.code, Some(code), "{way:?}: {ended:?}");
            assert!(ended.err.contains(ALL_IS_KEPT), "{way:?}: {ended:?}");
            assert_eq!(notes_on_disk(&records, way), ["first", "second"], "{way:?}");
        }
    }
}

#[test]
fn a_signal_where_nothing_can_be_written_says_so_and_ends_with_three() {
    for (signal, _) in ENDS {
        for waits in [false, true] {
            let dir = tempfile::tempdir().unwrap();
            let records = dir.path().join("records");
            let mut talk = lost(Way::FolderBlocked, &records);
            if waits {
                talk.says("note third\n", "NOT SAVED");
            }
            let ended = signalled(talk, signal);
            assert_eq!(ended.code, Some(3), "{ended:?}");
            assert!(!ended.err.contains(ALL_IS_KEPT) && !ended.err.is_empty(), "{ended:?}");
        }
    }
}

#[test]
fn a_sudden_death_says_nothing_and_leaves_what_was_shown_as_saved() {
    let dir = tempfile::tempdir().unwrap();
    let mut talk = Talk::begun(dir.path(), &[]);
    talk.says("note first\n", "Saved as entry 2");
    let ended = signalled(talk, Signal::KILL);
    assert_eq!(ended.code, None);
    assert!(!ended.out.contains(ALL_IS_KEPT) && ended.err.is_empty(), "{ended:?}");
    assert_eq!(notes_on_disk(dir.path(), Way::SameOver), ["first"]);
}
