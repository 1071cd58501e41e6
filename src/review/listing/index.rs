//! The index: rows of one records folder, kept in the user's cache folder, to be thrown away at any time.
//!
//! A row is taken from it only where every file of its job has the same name, size, times and inode as when the row was read, and where the
//! index itself matches its own hash. Anything else about it - missing, of another version, cut, changed - and the records are read anew. It
//! holds no paths that are opened. Must not know how a row is read.

use std::collections::BTreeMap;
use std::fs::{self, DirBuilder, OpenOptions};
use std::io::{self, Write as _};
use std::os::unix::fs::{DirBuilderExt as _, MetadataExt as _, OpenOptionsExt as _};
use std::path::{Path, PathBuf};

use rayon::prelude::*;
use serde::{Deserialize, Serialize};

use super::Row;
use crate::record::medium::{Content, Medium as _};
use crate::record::{Disk, JobId, sha256};

/// Version of the form. Another version's index is read as none.
const FORMAT: &str = "roughrun-index-3";
/// The largest index that is read, in bytes: a hundred thousand records and more.
const LARGEST: u64 = 512 * 1024 * 1024;
/// A file changed so shortly before it was read may change again within one tick of its clock.
const TICK: i64 = 2_000_000_000;

/// What tells whether a file is still the one that was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Mark {
    /// Path in the folder.
    name: String,
    bytes: u64,
    /// Nanoseconds since 1970.
    modified: i64,
    changed: i64,
    inode: u64,
    device: u64,
}

impl Mark {
    /// Of a file as it is now; none where it cannot be looked at.
    pub(super) fn of(folder: &Path, file: &Path) -> Option<Self> {
        let about = fs::symlink_metadata(file).ok()?;
        let nanoseconds = |s: i64, n: i64| s.saturating_mul(1_000_000_000).saturating_add(n);
        Some(Self {
            name: file.strip_prefix(folder).unwrap_or(file).to_string_lossy().into_owned(),
            bytes: about.len(),
            modified: nanoseconds(about.mtime(), about.mtime_nsec()),
            changed: nanoseconds(about.ctime(), about.ctime_nsec()),
            inode: about.ino(),
            device: about.dev(),
        })
    }

    /// Whether it had settled at this time, in nanoseconds since 1970.
    fn had_settled(&self, now: i64) -> bool {
        self.changed.max(self.modified) < now.saturating_sub(TICK)
    }
}

/// One job of the index.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Kept {
    id: String,
    marks: Vec<Mark>,
    /// None where nothing was saved in its record yet.
    row: Option<Row>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Head {
    format: String,
    program: String,
    folder: String,
}

/// The rows of one folder as they were kept.
#[derive(Debug, Default)]
pub(super) struct Index {
    jobs: BTreeMap<String, Kept>,
}

impl Kept {
    pub(super) fn id(&self) -> &str {
        &self.id
    }

    /// The row, of these files; none where nothing was saved in the record yet.
    pub(super) fn row(&self, files: &[PathBuf]) -> Option<Row> {
        self.row.as_ref().map(|row| Row { files: files.to_vec(), ..row.clone() })
    }

    /// Takes over what was worked out of this very state of the job.
    pub(super) fn take_worked(&mut self, from: &Row) {
        if let Some(row) = self.row.as_mut().filter(|row| row.head == from.head && row.entries == from.entries) {
            row.worked.clone_from(&from.worked);
        }
    }
}

impl Index {
    /// How many jobs it holds.
    pub(super) fn len(&self) -> usize {
        self.jobs.len()
    }

    /// Reads the index of a folder; an empty one where it is missing or not to be trusted.
    pub(super) fn read(cache: &Path, folder: &Path) -> Self {
        match Disk.read(&place(cache, folder), LARGEST) {
            Ok(Content::Bytes(bytes)) => Self::parse(&bytes, folder).unwrap_or_default(),
            _ => Self::default(),
        }
    }

    fn parse(bytes: &[u8], folder: &Path) -> Option<Self> {
        // The last line is the hash of all before it.
        let text = std::str::from_utf8(bytes).ok()?.strip_suffix('\n')?;
        let (all, hash) = text.rsplit_once('\n')?;
        if sha256(all.as_bytes()) != hash {
            return None;
        }
        let (head, lines) = all.split_once('\n').unwrap_or((all, ""));
        let head: Head = serde_json::from_str(head).ok()?;
        if head.format != FORMAT || head.program != PROGRAM || head.folder != folder.to_string_lossy() {
            return None;
        }
        let lines: Vec<&str> = lines.lines().collect();
        let kept: Option<Vec<Kept>> = lines.par_iter().map(|line| serde_json::from_str(line).ok()).collect();
        let safe = |kept: Kept| (kept.id.clone(), Kept { row: kept.row.map(Row::made_safe), ..kept });
        Some(Self { jobs: kept?.into_par_iter().map(safe).collect() })
    }

    /// What is kept of a job whose files are as they were; none where it has to be read.
    pub(super) fn of(&self, id: &JobId, marks: &[Mark]) -> Option<&Kept> {
        let own = |kept: &&Kept| kept.row.as_ref().is_none_or(|row| row.id == kept.id);
        self.jobs.get(id.as_str()).filter(|kept| kept.marks == marks).filter(own)
    }
}

/// A row to keep.
pub(super) fn kept(id: &JobId, marks: Vec<Mark>, row: Option<Row>) -> Kept {
    Kept { id: id.to_string(), marks, row }
}

/// Writes the index of a folder anew: beside its place, then put there whole. Files that have not settled at `now` are left out.
pub(super) fn write(cache: &Path, folder: &Path, jobs: &[Kept], now: i64) -> io::Result<()> {
    let head =
        Head { format: FORMAT.to_owned(), program: PROGRAM.to_owned(), folder: folder.to_string_lossy().into_owned() };
    let settled: Vec<&Kept> = jobs.iter().filter(|k| k.marks.iter().all(|m| m.had_settled(now))).collect();
    let lines: Vec<String> = settled.par_iter().map(serde_json::to_string).collect::<Result<_, _>>()?;
    let mut text = serde_json::to_string(&head)?;
    for line in lines {
        text.push('\n');
        text.push_str(&line);
    }
    let hash = sha256(text.as_bytes());
    DirBuilder::new().recursive(true).mode(0o700).create(cache)?;
    let to = place(cache, folder);
    let making = to.with_extension(format!("{}.new", std::process::id()));
    // Left by a program of the same number that was killed in this very step.
    let _ = fs::remove_file(&making);
    let mut file = OpenOptions::new().write(true).create_new(true).mode(0o600).open(&making)?;
    let written = file.write_all(format!("{text}\n{hash}\n").as_bytes()).and_then(|()| fs::rename(&making, &to));
    if written.is_err() {
        let _ = fs::remove_file(&making);
    }
    written
}

/// The version of the program is part of the form: another one may read records otherwise.
const PROGRAM: &str = env!("CARGO_PKG_VERSION");

fn place(cache: &Path, folder: &Path) -> PathBuf {
    cache.join(format!("records-{}.index", &sha256(folder.as_os_str().as_encoded_bytes())[..16]))
}
