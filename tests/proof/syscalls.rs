//! Every system call of a job that touches the records folder, spoilt one at a time: killed at it, failed with the errors disks give,
//! and answered with a lie.

use std::fs;
use std::path::Path;

use rand::seq::IndexedRandom as _;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::figures;
use crate::program::{TRACE, acknowledged, goes_on, holds, jobs_in, script};
use crate::strace::{Call, Seen, watched, works};

/// The calls by which a record is kept.
const CALLS: &str = "write,fsync,fdatasync,openat,mkdir,flock,unlink,statx,newfstatat,fstat,read,getdents64,rename,renameat,renameat2,ftruncate,link,linkat";

const WITHOUT: &str = "this machine has no strace that can spoil system calls";

/// What is typed: a job, the way out after a failed save, and some more.
fn typed(elsewhere: &Path) -> String {
    format!("{}save {}\nnote after the save\n", script(2), elsewhere.display())
}

/// Folders for one run: records, another folder to save in, and room for the log.
struct Room {
    dir: tempfile::TempDir,
}

impl Room {
    fn new() -> Self {
        let dir = crate::namespace::quick_dir();
        fs::create_dir(dir.path().join("records")).unwrap();
        Self { dir }
    }

    fn run(&self, calls: &str, spoil: Option<&str>) -> Seen {
        let (records, other) = (self.dir.path().join("records"), self.dir.path().join("elsewhere"));
        watched(self.dir.path(), calls, spoil, &TRACE, &records, &typed(&other))
    }

    /// Nothing acknowledged is lost, in the records folder up to where the job was saved elsewhere, and there from then on.
    fn check(&self, seen: &Seen, what: &str) {
        assert!(!seen.run.err.contains("panicked"), "{what}: {}", seen.run.err);
        let out = &seen.run.out;
        let (first, moved) = match out.split_once("The job is saved in ") {
            Some((first, _)) => (first, true),
            None => (out.as_str(), false),
        };
        let records = self.dir.path().join("records");
        let before = acknowledged(first);
        holds(&records, &before, what);
        if moved {
            let other = self.dir.path().join("elsewhere");
            let record = holds(&other, &acknowledged(out), what).unwrap();
            goes_on(&other, &record.id, what);
        } else if !before.is_empty() {
            goes_on(&records, &jobs_in(&records)[0], what);
        }
    }
}

/// The calls of an unspoilt run that touch the two folders, after a look that nothing is renamed.
fn touching(calls: &str) -> (Vec<Call>, Vec<Call>) {
    let room = Room::new();
    let seen = room.run(calls, None);
    assert_eq!(acknowledged(&seen.run.out).len(), 7, "{}\n{}", seen.run.out, seen.run.err);
    room.check(&seen, "unspoilt");
    let all = seen.calls();
    let ours = room.dir.path().to_str().unwrap();
    let touching: Vec<Call> = all.iter().filter(|c| c.line.contains(ours)).cloned().collect();
    assert!(touching.len() > 60, "{touching:#?}");
    assert!(all.iter().all(|c| !c.name.starts_with("rename")), "nothing of a record is ever renamed or written over");
    let appends = all.iter().filter(|c| c.name == "openat" && c.line.contains("O_APPEND")).count();
    assert!(appends >= 2, "records are only ever appended to");
    (all, touching)
}

#[test]
fn killed_at_every_system_call_nothing_acknowledged_is_lost() {
    let (case, what) = ("01a", "SIGKILL at each system call of a job");
    if !works() {
        return figures::not_run(case, what, WITHOUT);
    }
    let full = figures::full();
    let (all, touching) = touching(if full { "all" } else { CALLS });
    let first = all.iter().position(|c| c.line == touching[0].line).unwrap();
    let points: Vec<Call> = if full { all[first..].to_vec() } else { touching };
    let mut chance = ChaCha8Rng::seed_from_u64(1);
    let points: Vec<&Call> = if full { points.iter().collect() } else { points.sample(&mut chance, 40).collect() };
    let mut fired = 0;
    for call in &points {
        let room = Room::new();
        let trace = if full { "all" } else { CALLS };
        let seen = room.run(trace, Some(&format!("{}:signal=KILL:when={}", call.name, call.nth)));
        let what = format!("killed at {} {}", call.name, call.nth);
        fired += seen.fired();
        room.check(&seen, &what);
    }
    assert!(fired * 100 >= points.len() * 95, "only {fired} of {} died", points.len());
    figures::note(case, what, points.len(), fired, "0 acknowledged entries lost, every job goes on");
}

/// The errors that each call is made to give.
fn errors_of(name: &str) -> &'static [&'static str] {
    match name {
        "write" => &["ENOSPC", "EIO", "EROFS", "EDQUOT", "ESTALE"],
        "fsync" | "fdatasync" => &["EIO", "ENOSPC", "EROFS"],
        "openat" => &["ENOSPC", "EIO", "EROFS", "EACCES"],
        "mkdir" => &["ENOSPC", "EIO", "EROFS"],
        "flock" => &["EIO", "ENOLCK"],
        "unlink" => &["EIO", "EROFS"],
        _ => &["EIO"],
    }
}

/// After a failed write or flush, no further byte goes to that file.
fn is_left_alone(seen: &Seen, what: &str) {
    let touches = |line: &str| ["write(", "fsync(", "fdatasync("].iter().any(|call| line.contains(call));
    let mut lines = seen.log.lines().skip_while(|l| !l.contains("(INJECTED)"));
    // A look at a record that fails hurts nothing.
    let Some(file) = lines.next().filter(|failed| touches(failed)).and_then(file_of) else { return };
    for line in lines {
        assert!(!(touches(line) && file_of(line) == Some(file)), "{what}: {line}");
    }
}

/// The record file that a call is about, as strace names it.
fn file_of(line: &str) -> Option<&str> {
    let (_, rest) = line.split_once('<')?;
    rest.split_once('>').map(|(path, _)| path).filter(|path| Path::new(path).extension().is_some_and(|e| e == "jsonl"))
}

#[test]
fn a_failing_system_call_at_any_point_of_a_job_loses_nothing() {
    let (case, what) = ("07", "write, fsync, open and others failing at each point of a job (ENOSPC, EIO, EROFS ...)");
    if !works() {
        return figures::not_run(case, what, WITHOUT);
    }
    let (_, touching) = touching(CALLS);
    let mut spoils: Vec<(Call, &str)> =
        touching.iter().flat_map(|call| errors_of(&call.name).iter().map(|error| (call.clone(), *error))).collect();
    let all = spoils.len();
    let mut chance = ChaCha8Rng::seed_from_u64(2);
    if !figures::full() {
        spoils = spoils.sample(&mut chance, 60).cloned().collect();
    }
    let (mut fired, mut said, mut flushes) = (0, 0, 0);
    for (call, error) in &spoils {
        let room = Room::new();
        let seen = room.run(CALLS, Some(&format!("{}:error={error}:when={}", call.name, call.nth)));
        let what = format!("{error} at {} {}: {}", call.name, call.nth, call.line);
        assert!(seen.fired() > 0, "{what}: nothing was injected");
        fired += 1;
        room.check(&seen, &what);
        is_left_alone(&seen, &what);
        let saved = matches!(call.name.as_str(), "write" | "fsync" | "fdatasync") && call.line.contains(".jsonl");
        if saved {
            let words = ["NOT SAVED", "Could not"];
            let told = words.iter().any(|w| seen.run.out.contains(w) || seen.run.err.contains(w));
            assert!(told, "{what}: a failure to save was not said:\n{}\n{}", seen.run.out, seen.run.err);
            said += 1;
        }
        flushes += usize::from(call.name.ends_with("sync"));
    }
    assert!(all >= 200 && said > 5 && flushes > 5, "{all} {said} {flushes}");
    let came_out = format!(
        "0 acknowledged entries lost; {said} failures to save, each said; {flushes} failed flushes, none tried again on its file"
    );
    figures::note(case, what, spoils.len(), fired, &came_out);
}

/// A disk that says it has written and kept nothing.
#[test]
fn a_lying_write_is_noticed_before_saved_is_said() {
    let (case, what) = ("16", "writes that claim to be done and keep nothing");
    if !works() {
        return figures::not_run(case, what, WITHOUT);
    }
    let (_, touching) = touching(CALLS);
    let writes: Vec<&Call> = touching.iter().filter(|c| c.name == "write" && c.line.contains(".jsonl")).collect();
    let mut chance = ChaCha8Rng::seed_from_u64(3);
    let many = figures::cases(writes.len(), 6);
    let start = chance.random_range(0..=writes.len() - many);
    let mut fired = 0;
    for call in &writes[start..start + many] {
        let room = Room::new();
        let seen = room.run(CALLS, Some(&format!("write:retval=100000:when={}", call.nth)));
        let what = format!("a lie at write {}", call.nth);
        fired += seen.fired();
        room.check(&seen, &what);
    }
    assert_eq!(fired, many);
    figures::note(case, what, many, fired, "0 entries shown as saved that were not");
}

#[test]
fn a_disk_without_locks_is_said() {
    let (case, what) = ("12", "a disk without locks (ENOLCK)");
    if !works() {
        return figures::not_run(case, what, WITHOUT);
    }
    let room = Room::new();
    let seen = room.run(CALLS, Some("flock:error=ENOLCK:when=1+"));
    assert!(seen.fired() > 0);
    assert!(seen.run.out.contains("cannot keep a second program out"), "{}\n{}", seen.run.out, seen.run.err);
    room.check(&seen, what);
    figures::note(case, what, 1, 1, "said once, the job goes on");
}
