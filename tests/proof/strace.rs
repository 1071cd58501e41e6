//! System calls seen and spoilt by strace, and the proof from its log that they were.

use std::ffi::OsStr;
use std::path::Path;
use std::process::{Command, Stdio};

use crate::program::{Run, command, run};

/// A system call of the main thread: its name, which one of that name it is (from 1), and the line of the log.
#[derive(Debug, Clone)]
pub(crate) struct Call {
    pub(crate) name: String,
    pub(crate) nth: usize,
    pub(crate) line: String,
}

/// What a run did and what strace saw of it.
pub(crate) struct Seen {
    pub(crate) run: Run,
    pub(crate) log: String,
}

impl Seen {
    /// How often a call was spoilt.
    pub(crate) fn fired(&self) -> usize {
        self.log.lines().filter(|l| l.contains("(INJECTED)")).count()
            + usize::from(self.log.contains("killed by SIGKILL"))
    }

    /// The calls of the main thread, in order.
    pub(crate) fn calls(&self) -> Vec<Call> {
        let mut counts = std::collections::HashMap::new();
        let main = self.log.split_whitespace().next().unwrap_or_default();
        let own = self.log.lines().filter_map(|l| l.strip_prefix(main)).map(str::trim_start);
        own.filter_map(|line| {
            let (name, _) = line.split_once('(')?;
            // "<... futex resumed>" and "+++ exited" are no calls of their own.
            let is_name = name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
            is_name.then(|| {
                let nth = counts.entry(name.to_owned()).or_insert(0);
                *nth += 1;
                Call { name: name.to_owned(), nth: *nth, line: line.to_owned() }
            })
        })
        .collect()
    }
}

/// Whether this machine has a strace that can spoil calls.
pub(crate) fn works() -> bool {
    let try_it = Command::new("strace")
        .args(["-f", "-qq", "-o", "/dev/null", "-e", "inject=mkdir:error=EIO:when=1", "true"])
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .status();
    try_it.is_ok_and(|s| s.success())
}

/// Runs the program under strace. `calls` is what is looked at, `spoil` an injection such as `write:error=EIO:when=3`.
pub(crate) fn watched(
    scratch: &Path,
    calls: &str,
    spoil: Option<&str>,
    args: &[&str],
    records: &Path,
    typed: &str,
) -> Seen {
    let log = scratch.join("strace.log");
    let (trace, inject) = (format!("trace={calls}"), spoil.map(|s| format!("inject={s}")));
    let mut before: Vec<&OsStr> = ["strace", "-f", "-y", "-s", "40", "-o"].map(OsStr::new).to_vec();
    before.push(log.as_os_str());
    before.extend([OsStr::new("-e"), OsStr::new(&trace)]);
    if let Some(inject) = &inject {
        before.extend([OsStr::new("-e"), OsStr::new(inject)]);
    }
    let run = run(command(&before, args, records), typed);
    Seen { run, log: std::fs::read_to_string(&log).unwrap_or_default() }
}
