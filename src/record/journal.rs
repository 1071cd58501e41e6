//! A job's record open for writing: one entry, one line, one write, one flush, and only then "saved".
//!
//! After any failure of a write or a flush the file is never written again: the system may have dropped bytes it will not
//! speak of a second time. What could not be saved waits in memory until [`Journal::move_to`] begins a new file.
//! Where the file is taken away or replaced under an open job, all of it is written anew beside it before anything
//! more is acknowledged. How a journal is begun and resumed is in `open`, how it moves in `moving`. Must not know
//! what an entry means.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::Value;

use super::kept::{Held, Kept, Saved, UpTo, stands};
use super::line::{Draft, LINE_CAP, check_kind, draft};
use super::medium::{Lock, Medium, Tape, sync, write_all};
use super::segment::{FILE_CAP, JOB_CAP};
use super::stamp::Stamp;
use super::trouble::NameLost;
use super::{Device, JobId, RecordError, Trouble};

/// How many entries may wait in memory after a failure.
pub const UNSAVED_CAP: usize = 1000;

/// An entry that waits in memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Unsaved {
    /// Its kind.
    pub kind: String,
    /// What it says.
    pub body: Value,
    /// When it was entered.
    pub stamp: Stamp,
}

/// What [`Journal::make_sure`] found and did.
#[derive(Debug)]
#[must_use]
pub struct Sure {
    /// The proof.
    pub kept: Kept,
    /// What waited and is on disk now, in order.
    pub written: Vec<Saved>,
    /// What a person has to be told at once, where files had to be written anew. A full sentence.
    pub told: Option<String>,
}

/// What a person is told where the record was taken away or changed under the open job.
fn anew(lost: &Path, trouble: Trouble, path: &Path) -> String {
    format!(
        "The file {} could not be gone on with: {}. All of the job was written anew from memory; it goes on in {}.",
        super::error::show(lost),
        trouble.because(),
        super::error::show(path)
    )
}

/// The record of one job, open for writing. Only one is open per job and machine; it is let go when this is dropped.
#[derive(Debug)]
pub struct Journal {
    pub(crate) medium: Arc<dyn Medium>,
    pub(crate) id: JobId,
    pub(crate) device: Device,
    /// What the first header holds; repeated in each new file.
    pub(crate) extra: Value,
    pub(crate) path: PathBuf,
    /// The records folder.
    pub(crate) root: PathBuf,
    /// `YYYY/MM` of the job.
    pub(crate) month: PathBuf,
    pub(crate) tape: Box<dyn Tape>,
    /// Size the file must have.
    pub(crate) len: u64,
    pub(crate) lock: Lock,
    /// Number and hash of the last line that is on disk for certain.
    pub(crate) last_seq: u64,
    pub(crate) head: String,
    /// Files of the job, ours last.
    pub(crate) held: Vec<Held>,
    pub(crate) unsaved: Vec<Unsaved>,
    /// Hashes of lines that may be on disk although their saving failed.
    pub(crate) doubtful: Vec<String>,
    pub(crate) stopped: bool,
}

impl Journal {
    /// Appends an entry and flushes it to disk. `Ok` means that it will survive a crash of program and machine.
    ///
    /// Errors: refused before anything is written (kind, time, size; the entry is not kept), or not saved. An entry that was
    /// not saved is kept in memory when [`RecordError::kept`] says so, and [`Journal::move_to`] writes it; do not enter it again.
    pub fn append(&mut self, kind: &str, body: Value, stamp: Stamp) -> Result<Saved, RecordError> {
        check_kind(kind)?;
        let seq = self.last_seq + 1;
        let line = draft(seq, &stamp, kind, &body, &self.head)?;
        if self.stopped {
            return Err(self.keep(kind, body, stamp));
        }
        if self.held.iter().map(|held| held.bytes.len()).sum::<usize>() as u64 + 2 * LINE_CAP as u64 > JOB_CAP {
            return Err(RecordError::JobFull);
        }
        if self.len + line.bytes.len() as u64 > FILE_CAP {
            return Err(RecordError::FileFull { path: self.path.clone() });
        }
        self.put(seq, line).or_else(|source| {
            let lost = NameLost::of(&source);
            self.unsaved.push(Unsaved { kind: kind.to_owned(), body, stamp: stamp.clone() });
            let anew = lost.and_then(|lost| self.write_anew(lost.trouble(), &stamp).ok());
            anew.and_then(|mut all| all.pop()).ok_or_else(|| self.not_saved(source))
        })
    }

    /// Writes all of the job anew in the same folder, because the name of its file is lost, and says so with each
    /// entry.
    fn write_anew(&mut self, trouble: Trouble, stamp: &Stamp) -> Result<Vec<Saved>, RecordError> {
        let lost = self.path.clone();
        let all = self.move_to(&self.root.clone(), stamp)?;
        let said = anew(&lost, trouble, &self.path);
        Ok(all.into_iter().map(|saved| saved.anew(said.clone())).collect())
    }

    /// Makes sure that everything entered is on disk, and proves it: looks at every file of the job, writes what
    /// waits, and writes anew in the same folder what is not in its place any more. The way to end, and to try once
    /// more.
    ///
    /// On an error nothing is lost as long as the journal lives: it can be tried again, here or by
    /// [`Journal::move_to`].
    pub fn make_sure(&mut self, stamp: &Stamp) -> Result<Sure, RecordError> {
        let before = match self.kept() {
            Ok(kept) => return Ok(Sure { kept, written: Vec::new(), told: None }),
            Err(fault) => fault,
        };
        let lost = self.path.clone();
        let written = self.move_to(&self.root.clone(), stamp)?;
        let told = before.trouble().map(|trouble| anew(&lost, trouble, &self.path));
        Ok(Sure { kept: self.kept()?, written, told })
    }

    /// Whether the file of the record's name is the one that is open and has the length it must have. It reads nothing,
    /// so that it can be asked often; it proves nothing of what is in the file.
    #[must_use]
    pub fn is_in_place(&self) -> bool {
        stands(self.tape.as_ref(), &self.path, self.len).is_ok()
    }

    /// Proof that everything entered is on disk, or what is not, without mending it.
    pub fn kept(&self) -> Result<Kept, RecordError> {
        if !self.unsaved.is_empty() && !cfg!(broken = "old-words") {
            let (path, unsaved) = (self.path.clone(), self.unsaved.len());
            return Err(RecordError::Stopped { path, saved: self.up_to(), unsaved });
        }
        Kept::prove(self.medium.as_ref(), self.tape.as_ref(), &self.held, self.len, self.last_seq)
            .map_err(|(path, source)| RecordError::NotKept { path, trouble: Trouble::of(&source), source })
    }

    fn keep(&mut self, kind: &str, body: Value, stamp: Stamp) -> RecordError {
        if self.unsaved.len() >= UNSAVED_CAP {
            return RecordError::TooManyUnsaved { unsaved: self.unsaved.len() };
        }
        self.unsaved.push(Unsaved { kind: kind.to_owned(), body, stamp });
        RecordError::Stopped { path: self.path.clone(), saved: self.up_to(), unsaved: self.unsaved.len() }
    }

    fn up_to(&self) -> UpTo {
        UpTo::of(self.medium.as_ref(), self.tape.as_ref(), &self.held, self.last_seq)
    }

    pub(crate) fn not_saved(&self, source: std::io::Error) -> RecordError {
        RecordError::NotSaved {
            seq: self.last_seq + 1,
            saved: self.up_to(),
            path: self.path.clone(),
            trouble: Trouble::of(&source),
            source,
        }
    }

    /// Writes a line and flushes it; on failure the file is given up.
    pub(crate) fn put(&mut self, seq: u64, line: Draft) -> std::io::Result<Saved> {
        let written =
            if cfg!(broken = "unwritten") && seq.is_multiple_of(4) { Ok(()) } else { self.write_out(&line.bytes) };
        let proven = written.and_then(|()| Saved::prove(self.tape.as_ref(), &self.path, self.len, seq, &line.hash));
        match proven {
            Ok(saved) => {
                self.last_seq = seq;
                self.head = line.hash;
                Ok(saved)
            }
            Err(e) => {
                self.stopped = !cfg!(broken = "no-stop");
                self.doubtful.push(line.hash);
                Err(e)
            }
        }
    }

    pub(crate) fn write_out(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        let grown = self.len + bytes.len() as u64;
        let tape = self.tape.as_mut();
        stands(tape, &self.path, self.len)?;
        let written = write_all(tape, bytes).and_then(|()| sync(tape)).and_then(|()| stands(tape, &self.path, grown));
        if !cfg!(broken = "false-saved") {
            written?;
        }
        self.len = grown;
        if let Some(own) = self.held.last_mut() {
            own.bytes.extend_from_slice(bytes);
        }
        Ok(())
    }

    /// The job.
    pub fn id(&self) -> &JobId {
        &self.id
    }

    /// Hash of the last line that is on disk for certain: what a report prints.
    pub fn head(&self) -> &str {
        &self.head
    }

    /// Number of that line. The header of a job has number 0.
    pub fn last_seq(&self) -> u64 {
        self.last_seq
    }

    /// The file that is written to.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// Whether writing has stopped after a failure.
    pub fn is_stopped(&self) -> bool {
        self.stopped
    }

    /// Entries that are in memory only, in order.
    pub fn unsaved(&self) -> &[Unsaved] {
        &self.unsaved
    }

    /// A sentence to show once, where this disk has no locks to keep a second program out.
    pub fn warning(&self) -> Option<String> {
        match &self.lock {
            Lock::Unsupported(why) => Some(format!(
                "This disk cannot keep a second program out of the job ({why}). Make sure that the job is open in one place only. Where two write at once that is noticed, and both ways are shown side by side."
            )),
            _ => None,
        }
    }
}
