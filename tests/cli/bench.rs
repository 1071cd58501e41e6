//! A bench for the binary: a records folder of its own, invented trees, and words for what is expected of a run.

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

use serde_json::Value;

/// Conditions by Enter (two in these trees), no words of the pilot, no name.
pub(crate) const USUAL: &str = "\n\n\n\n";

/// The invented trees of the tests.
pub(crate) fn trees() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/plain")
}

/// A place to work at.
pub(crate) struct Bench {
    pub(crate) folder: tempfile::TempDir,
    /// Whether the trees are those inside the program.
    shipped: bool,
}

impl Bench {
    pub(crate) fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap(), shipped: false }
    }

    /// The same on the trees inside the program.
    pub(crate) fn shipped() -> Self {
        Self { shipped: true, ..Self::new() }
    }

    pub(crate) fn records(&self) -> PathBuf {
        self.folder.path().join("records")
    }

    /// The program with this bench's folders and no environment of ours.
    pub(crate) fn command(&self, args: &[&str]) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_roughrun"));
        command.args(args).current_dir(self.folder.path());
        command.env_clear().env("ROUGHRUN_RECORDS", self.records());
        if !self.shipped {
            command.env("ROUGHRUN_TREES", trees());
        }
        command.env("XDG_CACHE_HOME", self.folder.path().join("cache"));
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    pub(crate) fn run(&self, args: &[&str]) -> Run {
        self.typed(args, "")
    }

    /// Runs with these lines on standard input.
    pub(crate) fn typed(&self, args: &[&str], lines: &str) -> Run {
        let mut child = self.command(args).spawn().unwrap();
        let mut stdin = child.stdin.take().unwrap();
        // A program that ends before it has read everything closes the pipe.
        let _ = stdin.write_all(lines.as_bytes());
        drop(stdin);
        Run::of(args, &child.wait_with_output().unwrap())
    }

    /// Starts a job on the left of the four-cylinder engine and types these lines after the intake.
    pub(crate) fn trace(&self, lines: &str) -> Run {
        let args = ["trace", "--plain", "--layout", "four-magneto", "--complaint", "rough-one-side", "--at", "left"];
        self.typed(&args, &format!("{USUAL}{lines}"))
    }

    pub(crate) fn file(&self, name: &str, text: &str) -> String {
        let path = self.folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path.to_str().unwrap().to_owned()
    }

    /// The files of the records folder.
    pub(crate) fn record_files(&self) -> Vec<PathBuf> {
        fn walk(folder: &Path, into: &mut Vec<PathBuf>) {
            for item in std::fs::read_dir(folder).into_iter().flatten().flatten() {
                let path = item.path();
                if path.is_dir() {
                    walk(&path, into);
                } else if path.extension().is_some_and(|e| e == "jsonl") {
                    into.push(path);
                }
            }
        }
        let mut files = Vec::new();
        walk(&self.records(), &mut files);
        files.sort();
        files
    }
}

/// What a run said and how it ended.
#[derive(Debug)]
pub(crate) struct Run {
    pub(crate) args: String,
    pub(crate) code: Option<i32>,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Run {
    pub(crate) fn of(args: &[&str], output: &Output) -> Self {
        Self {
            args: args.join(" "),
            code: output.status.code(),
            out: String::from_utf8(output.stdout.clone()).unwrap(),
            err: String::from_utf8(output.stderr.clone()).unwrap(),
        }
    }

    #[track_caller]
    pub(crate) fn code(self, wanted: i32) -> Self {
        assert_eq!(self.code, Some(wanted), "{self:#?}");
        self
    }

    #[track_caller]
    pub(crate) fn says(self, words: &str) -> Self {
        assert!(self.out.contains(words), "{}: no \"{words}\" in\n{}\n{}", self.args, self.out, self.err);
        self
    }

    #[track_caller]
    pub(crate) fn never_says(self, words: &str) -> Self {
        assert!(
            !self.out.contains(words) && !self.err.contains(words),
            "{}: \"{words}\" in\n{}\n{}",
            self.args,
            self.out,
            self.err
        );
        self
    }

    #[track_caller]
    pub(crate) fn complains(self, words: &str) -> Self {
        assert!(self.err.contains(words), "{}: no \"{words}\" in\n{}\n{}", self.args, self.err, self.out);
        self
    }

    /// Nothing that steers a terminal, and no panic.
    #[track_caller]
    pub(crate) fn plainly(self) -> Self {
        for text in [&self.out, &self.err] {
            assert!(
                !text.chars().any(|c| c.is_control() && c != '\n'),
                "{}: control characters in {text:?}",
                self.args
            );
            assert!(!text.contains("panicked"), "{text}");
        }
        self
    }

    #[track_caller]
    pub(crate) fn json(&self) -> Value {
        serde_json::from_str(&self.out)
            .unwrap_or_else(|fault| panic!("{}: {fault}\n{}\n{}", self.args, self.out, self.err))
    }

    /// The job that was worked.
    #[track_caller]
    pub(crate) fn job(&self) -> String {
        let after = self.out.split("Job ").nth(1).unwrap_or_else(|| panic!("no job in\n{}\n{}", self.out, self.err));
        after.chars().take(26).collect()
    }
}
