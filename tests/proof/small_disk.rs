//! Disks that are full, out of names, read-only or locked down by the system.

use std::fs;
use std::path::Path;
use std::process::Command;

use crate::figures;
use crate::namespace::{again, inside, mount};
use crate::program::{TRACE, Talk, acknowledged, command, goes_on, holds, note, run, script};

const NO_NAMESPACE: &str = "this machine gives no mount namespace";

fn remount(options: &str, at: &Path) {
    let status = Command::new("mount").args(["-o", &format!("remount,{options}")]).arg(at).status().unwrap();
    assert!(status.success(), "remount {options}");
}

/// Enters notes until one cannot be saved; that one's number.
fn until_full(talk: &mut Talk) -> usize {
    for n in 0..500 {
        let line = talk.type_until(&format!("note {}\n", note(n)), &["Saved as entry", "NOT SAVED"]);
        if line.contains("NOT SAVED") {
            assert!(line.contains("the disk is full"), "{line}");
            return n;
        }
    }
    panic!("the disk never filled up");
}

#[test]
fn a_full_disk_is_said_and_the_job_goes_on_once_there_is_room() {
    let (case, what) = ("06a", "a disk of 24 kB that fills up");
    if !inside() {
        if !again("small_disk::a_full_disk_is_said_and_the_job_goes_on_once_there_is_room", false) {
            figures::not_run(case, what, NO_NAMESPACE);
        }
        return;
    }
    let disk = tempfile::tempdir().unwrap();
    mount("tmpfs", "size=24k", Path::new("none"), disk.path());
    let records = disk.path().join("records");
    let mut talk = Talk::begun(&records);
    let full_at = until_full(&mut talk);
    let acked = acknowledged(&talk.out);
    assert_eq!(acked.len(), full_at + 1);
    holds(&records, &acked, what);
    // Nothing more is taken until the one that waits is saved, and trying again on a full disk says so again.
    talk.type_until("note refused\n", &["not saved yet"]);
    talk.type_until(&format!("save {}\n", records.display()), &["the disk is full"]);
    holds(&records, &acked, what);
    remount("size=1m", disk.path());
    talk.type_until(&format!("save {}\n", records.display()), &["The job is saved in"]);
    talk.type_until("note after\n", &["Saved as entry"]);
    let out = talk.kill();
    let record = holds(&records, &acknowledged(&out), what).unwrap();
    let texts: Vec<&str> = record.entries.iter().filter_map(|e| e.body["text"].as_str()).collect();
    let waited = note(full_at);
    assert_eq!(texts.len(), full_at + 2, "the one that waited and the one after");
    assert_eq!(texts[full_at..], [waited.as_str(), "after"]);
    goes_on(&records, &record.id, what);
    figures::note(case, what, 1, 1, "said, nothing lost, the waiting entry saved once there was room");
}

#[test]
fn a_disk_without_names_left_is_said_before_the_first_question() {
    let (case, what) = ("06b", "a disk with no names (inodes) left");
    if !inside() {
        if !again("small_disk::a_disk_without_names_left_is_said_before_the_first_question", false) {
            figures::not_run(case, what, NO_NAMESPACE);
        }
        return;
    }
    let disk = tempfile::tempdir().unwrap();
    mount("tmpfs", "nr_inodes=20", Path::new("none"), disk.path());
    let (mut refused, mut begun) = (0, 0);
    for taken in (0..19).rev() {
        let filler = disk.path().join("filler");
        fs::create_dir(&filler).unwrap();
        (0..taken).for_each(|n| drop(fs::write(filler.join(n.to_string()), "")));
        let records = disk.path().join("records");
        let ended = run(command(&[], &TRACE, &records), &script(1));
        let acked = acknowledged(&ended.out);
        if ended.status.success() {
            assert!(acked.len() > 4, "{ended:?}");
            begun += 1;
        } else {
            assert!(ended.err.contains("the disk is full"), "{ended:?}");
            assert!(acked.is_empty(), "{ended:?}");
            refused += 1;
        }
        holds(&records, &acked, what);
        fs::remove_dir_all(&filler).unwrap();
        let _ = fs::remove_dir_all(&records);
    }
    assert!(refused > 2 && begun > 2, "{refused} {begun}");
    figures::note(case, what, refused + begun, refused, "each said before anything was acknowledged");
}

#[test]
fn a_disk_mounted_read_only_is_said_before_the_first_question() {
    let (case, what) = ("11a", "a disk mounted read-only, before and during a job");
    if !inside() {
        if !again("small_disk::a_disk_mounted_read_only_is_said_before_the_first_question", false) {
            figures::not_run(case, what, NO_NAMESPACE);
        }
        return;
    }
    let disk = tempfile::tempdir().unwrap();
    mount("tmpfs", "ro", Path::new("none"), disk.path());
    let ended = run(command(&[], &TRACE, &disk.path().join("records")), &script(1));
    assert_eq!(ended.status.code(), Some(3), "{ended:?}");
    assert!(ended.out.is_empty() && ended.err.contains("can only be read, not written"), "{ended:?}");
    // A record on it can still be looked at.
    remount("rw", disk.path());
    let records = disk.path().join("records");
    let ended = run(command(&[], &TRACE, &records), &script(1));
    assert!(ended.status.success(), "{ended:?}");
    remount("ro", disk.path());
    for args in [&["verify"][..], &["report", "last"]] {
        let ended = run(command(&[], args, &records), "");
        assert!(ended.status.success(), "{args:?}: {ended:?}");
    }
    let ended = run(command(&[], &["resume", "--plain"], &records), "");
    assert_eq!(ended.status.code(), Some(3), "{ended:?}");
    assert!(ended.err.contains("can only be read, not written"), "{ended:?}");
    figures::note(case, what, 3, 3, "said before the first question; verify and report still work");
}

fn chattr(flag: &str, path: &Path) -> bool {
    Command::new("chattr").arg(flag).arg(path).output().is_ok_and(|o| o.status.success())
}

#[test]
fn files_locked_down_by_the_system_are_said_or_used_as_far_as_they_go() {
    let (case, what) = ("11b", "folder made unchangeable (chattr +i), record made append-only (+a)");
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let ended = run(command(&[], &TRACE, &records), &script(1));
    assert!(ended.status.success());
    let record = holds(&records, &acknowledged(&ended.out), what).unwrap();
    let file = record.files[0].clone();
    if !chattr("+a", &file) {
        return figures::not_run(case, what, "it takes root and a file system with these attributes");
    }
    let ended = run(command(&[], &["resume", "--plain"], &records), "note in an append-only file\n");
    let grown = holds(&records, &acknowledged(&ended.out), what);
    assert!(chattr("-a", &file));
    assert!(ended.status.success() && ended.out.contains("Saved as entry"), "{ended:?}");
    assert_eq!(grown.unwrap().files.len(), 1, "the same file was written on");
    // Everything that a new file or a lock needs is refused by the system.
    let month = file.parent().unwrap().to_owned();
    assert!(chattr("+i", &records) && chattr("+i", &month));
    let (begun, resumed) =
        (run(command(&[], &TRACE, &records), &script(1)), run(command(&[], &["resume", "--plain"], &records), ""));
    assert!(chattr("-i", &records) && chattr("-i", &month));
    for ended in [begun, resumed] {
        assert_eq!(ended.status.code(), Some(3), "{ended:?}");
        assert!(ended.err.contains("not allowed"), "{ended:?}");
    }
    holds(&records, &std::collections::BTreeMap::new(), what);
    figures::note(case, what, 3, 3, "+i said before the first question, +a works fully");
}
