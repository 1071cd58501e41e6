//! Line by line: what is said, the exit code, and what is on the disk.

use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use crate::namespace::{again, inside, mount};
use crate::ways::{Way, file_of, files_of, notes_on_disk, on_disk};

/// What proves that all is well, and what may stand only where it is.
pub(crate) const ALL_IS_KEPT: &str = "Everything entered is saved";

const TRACE: [&str; 8] =
    ["trace", "--plain", "--layout", "four-magneto", "--complaint", "rough-one-side", "--at", "left"];

/// A job at work, spoken to line by line.
pub(crate) struct Talk {
    pub(crate) child: Child,
    input: Option<ChildStdin>,
    output: BufReader<ChildStdout>,
    pub(crate) out: String,
}

/// How it ended.
#[derive(Debug)]
pub(crate) struct Ended {
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Talk {
    /// Begins a job; `before` runs the program where it is given.
    pub(crate) fn begun(records: &Path, before: &[&str]) -> Self {
        let program = env!("CARGO_BIN_EXE_roughrun");
        let words: Vec<&str> = before.iter().copied().chain([program]).chain(TRACE).collect();
        let mut command = Command::new(words[0]);
        command.args(&words[1..]).env("ROUGHRUN_RECORDS", records);
        command.env("ROUGHRUN_TREES", Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/plain"));
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        let input = child.stdin.take();
        let output = BufReader::new(child.stdout.take().unwrap());
        let mut talk = Self { child, input, output, out: String::new() };
        talk.says("\n\n\n\n", "Each answer is saved");
        talk
    }

    /// Types this and reads until that is said.
    pub(crate) fn says(&mut self, lines: &str, wanted: &str) -> &mut Self {
        self.input.as_mut().unwrap().write_all(lines.as_bytes()).unwrap();
        loop {
            let mut line = String::new();
            let read = self.output.read_line(&mut line).unwrap();
            assert!(read > 0, "it ended before it said {wanted}:\n{}", self.out);
            self.out.push_str(&line);
            if line.contains(wanted) {
                return self;
            }
        }
    }

    /// Types this and closes the input, then reads to the end.
    pub(crate) fn end(mut self, lines: &str) -> Ended {
        let mut input = self.input.take().unwrap();
        // A program that was ended from outside reads no more.
        let _ = input.write_all(lines.as_bytes());
        drop(input);
        self.ended()
    }

    /// Reads to the end, which comes by itself.
    pub(crate) fn ended(mut self) -> Ended {
        while self.output.read_line(&mut self.out).unwrap_or(0) > 0 {}
        let mut err = String::new();
        std::io::Read::read_to_string(&mut self.child.stderr.take().unwrap(), &mut err).unwrap();
        Ended { code: self.child.wait().unwrap().code(), out: self.out, err }
    }
}

fn place() -> (tempfile::TempDir, PathBuf) {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    (dir, records)
}

/// A job with two notes, to which it then happens.
pub(crate) fn lost(way: Way, records: &Path) -> Talk {
    let mut talk = Talk::begun(records, &[]);
    talk.says("note first\n", "Saved as entry 2: Note: first");
    way.prepare(records);
    talk.says("note second\n", "Saved as entry 3: Note: second");
    way.happen(records);
    talk
}

#[test]
fn a_record_taken_away_or_replaced_is_noticed_and_written_anew_before_anything_is_shown_as_saved() {
    for way in Way::NAME_LOST {
        let (_dir, records) = place();
        let mut talk = lost(way, &records);
        let before = talk.out.len();
        talk.says("note third\n", "Note: third");
        let said = &talk.out[before..];
        assert!(said.contains("written anew from memory") && said.contains("Saved as entry"), "{way:?}: {said}");
        assert!(said.find("written anew") < said.find("Saved as entry"), "{way:?}: {said}");
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
        let ended = talk.end("note fourth\nquit\n");
        assert_eq!(ended.code, Some(0), "{way:?}: {ended:?}");
        assert!(ended.out.contains(ALL_IS_KEPT), "{way:?}: {ended:?}");
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third", "fourth"], "{way:?}");
    }
}

#[test]
fn a_loss_that_nobody_entered_anything_after_is_mended_before_the_job_is_left() {
    for way in [&Way::NAME_LOST[..], &Way::HURT].concat() {
        let (_dir, records) = place();
        let ended = lost(way, &records).end("quit\n");
        assert_eq!(ended.code, Some(0), "{way:?}: {ended:?}");
        assert!(ended.out.contains(ALL_IS_KEPT) && ended.out.contains("written anew"), "{way:?}: {ended:?}");
        assert_eq!(notes_on_disk(&records, way), ["first", "second"], "{way:?}");
    }
}

#[test]
fn after_a_failed_write_nothing_is_called_saved_that_is_not() {
    for way in Way::HURT {
        let (_dir, records) = place();
        let mut talk = lost(way, &records);
        let before = talk.out.len();
        talk.says("note third\n", "Type save FOLDER");
        let said = talk.out[before..].to_owned();
        assert!(said.contains("NOT SAVED") && !said.contains("Saved as"), "{way:?}: {said}");
        // What the file has lost is not called saved either.
        assert_eq!(said.contains("Everything up to entry 3 is saved"), way != Way::Truncated, "{said}");
        // Left like that, it is tried once more, and then it is true.
        let ended = talk.end("");
        assert_eq!(ended.code, Some(0), "{way:?}: {ended:?}");
        assert!(ended.out[before..].contains(ALL_IS_KEPT), "{way:?}: {ended:?}");
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
    }
}

#[test]
fn what_cannot_be_written_anywhere_is_said_and_ends_with_three() {
    for last in ["", "note third\n"] {
        let (_dir, records) = place();
        let ended = lost(Way::FolderBlocked, &records).end(&format!("{last}quit\n"));
        assert_eq!(ended.code, Some(3), "{ended:?}");
        assert!(ended.err.contains("exit code 3"), "{ended:?}");
        assert!(!ended.out.contains(ALL_IS_KEPT) && !ended.err.contains(ALL_IS_KEPT), "{ended:?}");
        assert_eq!(ended.out.contains("this entry is lost now: Note: third"), !last.is_empty(), "{ended:?}");
    }
}

#[test]
fn what_cannot_be_written_there_is_saved_elsewhere() {
    let (dir, records) = place();
    let mut talk = lost(Way::FolderBlocked, &records);
    talk.says("note third\n", "NOT SAVED");
    let other = dir.path().join("stick");
    let ended = talk.end(&format!("save {}\nnote fourth\nquit\n", other.display()));
    assert_eq!(ended.code, Some(0), "{ended:?}");
    assert!(ended.out.contains(ALL_IS_KEPT), "{ended:?}");
    assert_eq!(notes_on_disk(&other, Way::FolderBlocked), ["first", "second", "third", "fourth"]);
}

#[test]
fn a_limit_on_the_size_of_files_is_said_to_the_end() {
    let (_dir, records) = place();
    // In units of 512 bytes: an entry larger than that fits in no file at all.
    let shell = ["sh", "-c", "ulimit -f 6; exec \"$0\" \"$@\""];
    let mut talk = Talk::begun(&records, &shell);
    talk.says("note short\n", "Saved as entry 2");
    let ended = talk.end(&format!("note {}\nquit\n", "x".repeat(4000)));
    assert_eq!(ended.code, Some(3), "{ended:?}");
    assert!(ended.out.contains("limit on the size of a file"), "{ended:?}");
    assert!(!ended.out.contains(ALL_IS_KEPT) && ended.out.contains("this entry is lost now"), "{ended:?}");
    assert_eq!(on_disk(&records).entries[1].body["text"], "short");
    // One that fits in a file of its own is saved in the end.
    let (_dir, records) = place();
    let mut talk = Talk::begun(&records, &shell);
    talk.says(&format!("note {}\n", "x".repeat(1000)), "Saved as entry 2");
    let ended = talk.end(&format!("note {}\nquit\n", "x".repeat(1000)));
    assert!(ended.out.contains("NOT SAVED") && ended.out.contains(ALL_IS_KEPT), "{ended:?}");
    assert_eq!((ended.code, on_disk(&records).entries.len()), (Some(0), 3), "{ended:?}");
}

#[test]
fn a_full_disk_is_said_to_the_end() {
    if !inside() {
        // Where the machine gives no mount namespace there is no disk to fill; the proof says so with its figures.
        again("plain::a_full_disk_is_said_to_the_end", false);
        return;
    }
    let disk = tempfile::tempdir().unwrap();
    mount("tmpfs", "size=24k", Path::new("none"), disk.path());
    let records = disk.path().join("records");
    let talk = Talk::begun(&records, &[]);
    let notes: Vec<String> = (0..200).map(|n| format!("note number {n}\n")).collect();
    let ended = talk.end(&notes.concat());
    assert_eq!(ended.code, Some(3), "{ended:?}");
    assert!(ended.out.contains("the disk is full") && !ended.out.contains(ALL_IS_KEPT), "{ended:?}");
    let saved = ended.out.matches("Saved as entry").count();
    let record = on_disk(&records);
    assert!(saved > 5 && record.entries.len() == saved + 1, "{saved} of {}", record.entries.len());
    assert!(ended.out.contains(&format!("this entry is lost now: Note: number {saved}")), "{ended:?}");
}

#[test]
fn a_folder_that_can_only_be_read_is_said_before_the_first_question_and_when_the_name_is_lost() {
    let (_dir, records) = place();
    let mut talk = Talk::begun(&records, &[]);
    talk.says("note first\n", "Saved as entry 2");
    let file = file_of(&records);
    let month = file.parent().unwrap().to_owned();
    std::fs::remove_file(&file).unwrap();
    let lock = |flag: &str| {
        Command::new("chattr").arg(flag).arg(&month).stderr(Stdio::null()).status().is_ok_and(|s| s.success())
    };
    if !lock("+i") {
        return drop(talk.end("quit\n"));
    }
    talk.says("note second\n", "NOT SAVED");
    let ended = talk.end("quit\n");
    assert!(lock("-i"));
    assert_eq!(ended.code, Some(3), "{ended:?}");
    assert!(ended.out.contains("not allowed") && !ended.out.contains(ALL_IS_KEPT), "{ended:?}");
    assert!(files_of(&records).is_empty());
}
