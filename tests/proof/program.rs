//! The real program on a scripted job, and what it acknowledged.

use std::collections::BTreeMap;
use std::ffi::OsStr;
use std::fs;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};

use roughrun::record::{Class, Device, JobId, JobRecord, Journal, Stamp, read_job};

/// Conditions by Enter (two in the trees of the tests), no words of the pilot, no name.
const INTAKE: &str = "\n\n\n\n";

/// Begins a job on the left of the invented four-cylinder engine.
pub(crate) const TRACE: [&str; 8] =
    ["trace", "--plain", "--layout", "four-magneto", "--complaint", "rough-one-side", "--at", "left"];

/// The program, or one that runs it with these words before its own.
pub(crate) fn command(before: &[&OsStr], args: &[&str], records: &Path) -> Command {
    let program = OsStr::new(env!("CARGO_BIN_EXE_roughrun"));
    let mut words = before.iter().copied().chain([program]);
    let mut command = Command::new(words.next().unwrap());
    command.args(words).args(args);
    let trees = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/plain");
    command.env("ROUGHRUN_TREES", trees).env("ROUGHRUN_RECORDS", records);
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    command
}

/// What is typed in a job: intake, then entries of several kinds, each note with words of its own.
pub(crate) fn script(notes: usize) -> String {
    let mut typed = String::from(INTAKE);
    typed.push_str("showing no\nother plug-look left 1\n1\n1\nconditions heat=hot\n");
    for n in 0..notes {
        typed += "note ";
        typed += &note(n);
        typed.push('\n');
    }
    typed
}

/// The words of the n-th note.
pub(crate) fn note(n: usize) -> String {
    format!("lead tip number {n} wiped")
}

/// How a run came out.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) status: std::process::ExitStatus,
    pub(crate) out: String,
    pub(crate) err: String,
}

/// Types it all and waits for the end.
pub(crate) fn run(mut command: Command, typed: &str) -> Run {
    let mut child = command.spawn().unwrap();
    // A program that ends before it has read everything closes the pipe.
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let output = child.wait_with_output().unwrap();
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    Run { status: output.status, out: text(&output.stdout), err: text(&output.stderr) }
}

/// A program at work, spoken to line by line.
pub(crate) struct Talk {
    pub(crate) child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
    pub(crate) out: String,
}

impl Talk {
    pub(crate) fn start(mut command: Command) -> Self {
        let mut child = command.stderr(Stdio::inherit()).spawn().unwrap();
        let input = child.stdin.take().unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        Self { child, input, output, out: String::new() }
    }

    /// Begins a job, up to where entries are taken.
    pub(crate) fn begun(records: &Path) -> Self {
        let mut talk = Self::start(command(&[], &TRACE, records));
        talk.type_until(INTAKE, &["Each answer is saved"]);
        talk
    }

    /// Types these lines and reads until one of these is said; the line it is said in.
    pub(crate) fn type_until(&mut self, lines: &str, said: &[&str]) -> String {
        self.input.write_all(lines.as_bytes()).unwrap();
        loop {
            let mut line = String::new();
            let read = self.output.read_line(&mut line).unwrap();
            assert!(read > 0, "the program ended before it said {said:?}:\n{}", self.out);
            self.out.push_str(&line);
            if said.iter().any(|words| line.contains(words)) {
                return line;
            }
        }
    }

    pub(crate) fn kill(mut self) -> String {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
        self.out
    }
}

/// The entries that were shown as saved: number and words. The greeting of a job says that its opening is saved.
pub(crate) fn acknowledged(out: &str) -> BTreeMap<u64, String> {
    // The last line may be cut in the middle of its number.
    let whole = out.rsplit_once('\n').map_or("", |(whole, _)| whole);
    let mut acked = BTreeMap::new();
    if whole.contains("Each answer is saved") {
        acked.insert(1, String::new());
    }
    for line in whole.lines() {
        if let Some((number, words)) = line.split_once("Saved as entry ").and_then(|(_, rest)| rest.split_once(": ")) {
            acked.insert(number.parse().unwrap(), words.trim_end_matches('.').to_owned());
        }
    }
    acked
}

/// The jobs in a folder, by the names of its files.
pub(crate) fn jobs_in(folder: &Path) -> Vec<JobId> {
    let mut ids: Vec<JobId> =
        files_in(folder).iter().filter_map(|path| JobId::parse(path.file_name()?.to_str()?.get(..26)?).ok()).collect();
    ids.sort();
    ids.dedup();
    ids
}

/// Every file in a folder and below.
pub(crate) fn files_in(folder: &Path) -> Vec<PathBuf> {
    let mut files = Vec::new();
    for entry in fs::read_dir(folder).into_iter().flatten().map(Result::unwrap) {
        if entry.file_type().unwrap().is_dir() {
            files.extend(files_in(&entry.path()));
        } else if entry.path().extension().is_some_and(|e| e == "jsonl") {
            files.push(entry.path());
        }
    }
    files
}

/// The job that is in the folder, after a look that it is whole but for a torn tail, that every acknowledged entry is in it, and
/// that nothing is there twice.
pub(crate) fn holds(folder: &Path, acked: &BTreeMap<u64, String>, what: &str) -> Option<JobRecord> {
    let ids = jobs_in(folder);
    let Some(id) = ids.first() else {
        assert!(acked.is_empty(), "{what}: acknowledged and gone: {acked:?}");
        return None;
    };
    let record = read_job(folder, id).unwrap();
    assert_ne!(record.class(), Class::Damaged, "{what}: {:?}", record.faults);
    assert!(record.branches.is_empty(), "{what}");
    for (number, words) in acked {
        let entry = record.entries.iter().find(|e| e.seq == *number);
        let entry = entry.unwrap_or_else(|| panic!("{what}: acknowledged and lost: {number} {words}"));
        if let Some(text) = words.strip_prefix("Note: ") {
            assert_eq!(entry.body["text"], text, "{what}");
        }
    }
    let texts: Vec<&str> = record.entries.iter().filter_map(|e| e.body["text"].as_str()).collect();
    let mut once = texts.clone();
    once.sort_unstable();
    once.dedup();
    assert_eq!(once.len(), texts.len(), "{what}: doubled: {texts:?}");
    Some(record)
}

/// That the job can be gone on with.
pub(crate) fn goes_on(folder: &Path, id: &JobId, what: &str) {
    let stamp = Stamp { wall: "2026-11-25T09:00:00+01:00".into(), mono_ms: 1 };
    let device = Device::parse("another").unwrap();
    let (mut journal, before) = Journal::resume(folder, id, &device, &stamp).unwrap_or_else(|e| panic!("{what}: {e}"));
    journal.append("note", serde_json::json!({"text": "gone on with"}), stamp).unwrap();
    let after = read_job(folder, id).unwrap();
    assert_eq!(after.entries.len(), before.entries.len() + 1, "{what}");
    assert_ne!(after.class(), Class::Damaged, "{what}: {:?}", after.faults);
}
