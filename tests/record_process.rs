//! What needs a second process: locks, sudden death, another user.
//!
//! The second process is this test program again, told by its environment which part to play.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod record_support;

use std::env;
use std::fs;
use std::io::{self, BufReader, Read as _, Write as _};
use std::os::unix::fs::PermissionsExt as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use record_support::{body, device, id, job_with, stamp};
use roughrun::record::{Class, JobId, Journal, RecordError, places, read_job};

const PART: &str = "ROUGHRUN_TEST_PART";
const FOLDER: &str = "ROUGHRUN_TEST_FOLDER";

/// This program again, playing a part in a folder.
fn player(part: &str, folder: &Path) -> Command {
    let mut again = Command::new(env::current_exe().unwrap());
    again
        .args(["--exact", "the_second_process", "--nocapture"])
        .env(PART, part)
        .env(FOLDER, folder)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    again
}

fn say(line: &str) {
    let mut out = io::stdout();
    writeln!(out, "\n@{line}").unwrap();
    out.flush().unwrap();
}

/// The next line the other process says, without the mark.
fn hear(out: &mut impl io::BufRead) -> Option<String> {
    let mut line = String::new();
    while out.read_line(&mut line).unwrap() > 0 {
        if let Some(said) = line.strip_prefix('@').and_then(|l| l.strip_suffix('\n')) {
            return Some(said.to_owned());
        }
        line.clear();
    }
    None
}

/// Not a test by itself: does nothing unless another test has started it.
#[test]
fn the_second_process() {
    let Ok(part) = env::var(PART) else { return };
    let folder = PathBuf::from(env::var_os(FOLDER).unwrap());
    match part.as_str() {
        "hold" => {
            let opened = Journal::resume(&folder, &id(1), &device("bench"), &stamp(10)).unwrap();
            say("open");
            let _ = io::stdin().read(&mut [0]);
            drop(opened);
        }
        "append" => {
            let (mut journal, _) = Journal::resume(&folder, &id(1), &device("bench"), &stamp(10)).unwrap();
            for n in 0.. {
                let saved = journal.append("check", body(n), stamp(11)).unwrap();
                say(&format!("{} {}", saved.seq(), saved.hash()));
            }
        }
        "look" => {
            let ready = places::make_ready(&folder, 5).map_err(|e| e.to_string());
            say(&ready.err().unwrap_or_else(|| "ready".into()));
            let begun = Journal::create(&folder, &id(2), &device("bench"), body(0), &stamp(0));
            say(&begun.err().map_or_else(|| "begun".into(), |e| e.to_string()));
        }
        other => panic!("no such part: {other}"),
    }
}

fn start(part: &str, folder: &Path) -> (Child, BufReader<std::process::ChildStdout>) {
    let mut child = player(part, folder).spawn().unwrap();
    let out = BufReader::new(child.stdout.take().unwrap());
    (child, out)
}

#[test]
fn a_second_writer_is_refused_while_the_first_lives_and_not_after() {
    let dir = tempfile::tempdir().unwrap();
    job_with(dir.path(), 1);
    for killed in [false, true] {
        let (mut child, mut out) = start("hold", dir.path());
        assert_eq!(hear(&mut out).unwrap(), "open");
        let before = Instant::now();
        for label in ["bench", "ramp"] {
            let refused = Journal::resume(dir.path(), &id(1), &device(label), &stamp(20)).unwrap_err();
            assert!(matches!(refused, RecordError::InUse { .. }), "{refused}");
        }
        assert!(before.elapsed() < Duration::from_millis(500));
        read_job(dir.path(), &id(1)).unwrap();
        if killed {
            child.kill().unwrap();
        }
        drop(child.stdin.take());
        child.wait().unwrap();
        drop(Journal::resume(dir.path(), &id(1), &device("bench"), &stamp(30)).unwrap());
    }
}

#[test]
fn one_process_cannot_open_a_job_twice_either() {
    let dir = tempfile::tempdir().unwrap();
    let first = Journal::create(dir.path(), &id(1), &device("bench"), body(0), &stamp(0)).unwrap();
    let again = Journal::create(dir.path(), &id(1), &device("bench"), body(0), &stamp(0));
    assert!(matches!(again.unwrap_err(), RecordError::InUse { .. }));
    drop(first);
    let again = Journal::create(dir.path(), &id(1), &device("bench"), body(0), &stamp(0));
    assert!(matches!(again.unwrap_err(), RecordError::Exists { .. }));
}

#[test]
fn sudden_death_at_any_moment_loses_nothing_acknowledged() {
    const DEATHS: usize = 40;
    let mut chance = ChaCha8Rng::seed_from_u64(7);
    let dir = tempfile::tempdir().unwrap();
    job_with(dir.path(), 0);
    let mut acknowledged: Vec<String> = Vec::new();
    let mut runs_with_entries = 0;
    for death in 0..DEATHS {
        let (mut child, mut out) = start("append", dir.path());
        // Some runs die before the first entry, most in the middle of writing.
        if death % 8 != 0 {
            acknowledged.extend(hear(&mut out));
        }
        std::thread::sleep(Duration::from_micros(chance.random_range(0..20_000)));
        child.kill().unwrap();
        let before = acknowledged.len();
        while let Some(said) = hear(&mut out) {
            acknowledged.push(said);
        }
        runs_with_entries += usize::from(acknowledged.len() > before);
        child.wait().unwrap();
        let record = read_job(dir.path(), &id(1)).unwrap();
        assert_ne!(record.class(), Class::Damaged, "{:?}", record.faults);
        let on_disk: Vec<String> = record.entries.iter().map(|e| format!("{} {}", e.seq, e.hash)).collect();
        let mut at = on_disk.iter();
        for said in &acknowledged {
            assert!(at.any(|line| line == said), "acknowledged and lost: {said}");
        }
    }
    assert!(runs_with_entries > DEATHS / 2, "{runs_with_entries} runs wrote anything");
    assert!(Journal::resume(dir.path(), &id(1), &device("bench"), &stamp(30)).is_ok());
}

/// Runs the part "look" as a user without rights; none where this machine cannot change users.
fn look_as_nobody(folder: &Path) -> Option<Vec<String>> {
    let can = Command::new("setpriv")
        .args(["--reuid", "65534", "--regid", "65534", "--clear-groups", "true"])
        .stderr(Stdio::null())
        .status()
        .is_ok_and(|s| s.success());
    if !can {
        return None;
    }
    // A copy, because the program itself may lie where nobody can reach it.
    let stage = tempfile::tempdir().unwrap();
    fs::set_permissions(stage.path(), fs::Permissions::from_mode(0o755)).unwrap();
    let program = stage.path().join("again");
    // By another process: a program that was written by this one cannot be run while a child of another test still holds
    // the file open.
    let copied = Command::new("cp").arg(env::current_exe().unwrap()).arg(&program).status();
    assert!(copied.unwrap().success());
    let out = Command::new("setpriv")
        .args(["--reuid", "65534", "--regid", "65534", "--clear-groups"])
        .arg(&program)
        .args(["--exact", "the_second_process", "--nocapture"])
        .env(PART, "look")
        .env(FOLDER, folder)
        .current_dir("/")
        .output()
        .unwrap();
    let mut said = out.stdout.as_slice();
    let lines: Vec<String> = std::iter::from_fn(|| hear(&mut said)).collect();
    assert_eq!(lines.len(), 2, "{out:?}");
    Some(lines)
}

#[test]
fn a_folder_without_write_permission_is_said_clearly() {
    let dir = tempfile::tempdir().unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).unwrap();
    let folder = dir.path().join("records");
    fs::create_dir(&folder).unwrap();
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o555)).unwrap();
    let Some(said) = look_as_nobody(&folder) else {
        let _ = writeln!(io::stderr(), "skipped: this machine cannot run a program as another user");
        return;
    };
    for line in said {
        assert!(line.contains("not allowed") && line.contains("write permission"), "{line}");
        assert!(line.contains(folder.to_str().unwrap()), "{line}");
    }
    fs::set_permissions(&folder, fs::Permissions::from_mode(0o777)).unwrap();
    assert_eq!(look_as_nobody(&folder).unwrap(), ["ready", "begun"]);
}

#[test]
fn a_path_below_a_file_is_said_clearly() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("file");
    fs::write(&file, "").unwrap();
    for folder in [file.clone(), file.join("sessions")] {
        let error = places::make_ready(&folder, 5).unwrap_err().to_string();
        assert!(error.contains("is a file, not a folder"), "{error}");
        let begun = Journal::create(&folder, &id(2), &device("bench"), body(0), &stamp(0));
        assert!(begun.unwrap_err().to_string().contains("is a file, not a folder"));
    }
    assert!(JobId::parse("../../../../../../etc/passwd").is_err());
}
