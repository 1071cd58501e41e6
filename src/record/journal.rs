//! A job's record open for writing: one entry, one line, one write, one flush, and only then "saved".
//!
//! After any failure of a write or a flush the file is never written again: the system may have dropped bytes it will not
//! speak of a second time. What could not be saved waits in memory until [`Journal::move_to`] begins a new file.
//! How a journal is begun, resumed and moved is in `open`. Must not know what an entry means.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use serde_json::Value;

use super::line::{Draft, check_kind, draft};
use super::medium::{Lock, Medium, Tape, sync, write_all};
use super::segment::FILE_CAP;
use super::stamp::Stamp;
use super::{Device, JobId, RecordError, Trouble};

/// How many entries may wait in memory after a failure.
pub const UNSAVED_CAP: usize = 1000;

/// Proof that an entry is on disk: its number and hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saved {
    /// The entry's number in the job.
    pub seq: u64,
    /// The hash of its line, now the head of the record.
    pub hash: String,
}

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

/// The acknowledged bytes of one of the job's files, held so that the job can be moved off a failing disk.
#[derive(Debug, Clone)]
pub(crate) struct Held {
    pub name: String,
    pub bytes: Vec<u8>,
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
        if cfg!(broken = "unwritten") && seq.is_multiple_of(4) {
            return Ok(Saved { seq, hash: line.hash });
        }
        if self.len + line.bytes.len() as u64 > FILE_CAP {
            return Err(RecordError::FileFull { path: self.path.clone() });
        }
        match self.put(seq, line) {
            Ok(saved) => Ok(saved),
            Err(_) if cfg!(broken = "false-saved") => Ok(Saved { seq, hash: self.head.clone() }),
            Err(source) => {
                self.unsaved.push(Unsaved { kind: kind.to_owned(), body, stamp });
                Err(self.not_saved(source))
            }
        }
    }

    fn keep(&mut self, kind: &str, body: Value, stamp: Stamp) -> RecordError {
        if self.unsaved.len() >= UNSAVED_CAP {
            return RecordError::TooManyUnsaved { unsaved: self.unsaved.len() };
        }
        self.unsaved.push(Unsaved { kind: kind.to_owned(), body, stamp });
        RecordError::Stopped { path: self.path.clone(), saved: self.last_seq, unsaved: self.unsaved.len() }
    }

    pub(crate) fn not_saved(&self, source: std::io::Error) -> RecordError {
        RecordError::NotSaved {
            seq: self.last_seq + 1,
            saved: self.last_seq,
            path: self.path.clone(),
            trouble: Trouble::of(&source),
            source,
        }
    }

    /// Writes a line and flushes it; on failure the file is given up.
    pub(crate) fn put(&mut self, seq: u64, line: Draft) -> std::io::Result<Saved> {
        if let Err(e) = self.write_out(&line.bytes) {
            self.stopped = !cfg!(broken = "no-stop");
            self.doubtful.push(line.hash);
            return Err(e);
        }
        self.last_seq = seq;
        self.head.clone_from(&line.hash);
        Ok(Saved { seq, hash: line.hash })
    }

    pub(crate) fn write_out(&mut self, bytes: &[u8]) -> std::io::Result<()> {
        // Where locks do not work, another program may have the file; and a disk may say "done" and keep nothing.
        let grown = self.len + bytes.len() as u64;
        self.has_length(self.len)?;
        write_all(self.tape.as_mut(), bytes)?;
        sync(self.tape.as_mut())?;
        self.has_length(grown)?;
        self.len = grown;
        if let Some(own) = self.held.last_mut() {
            own.bytes.extend_from_slice(bytes);
        }
        Ok(())
    }

    fn has_length(&self, wanted: u64) -> std::io::Result<()> {
        if self.tape.len()? == wanted || cfg!(broken = "no-length") {
            Ok(())
        } else {
            Err(std::io::ErrorKind::ResourceBusy.into())
        }
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
                "This disk cannot keep a second program out of the job ({why}). Make sure that the job is open in one place only. If two write at once nothing is lost: both are kept and shown side by side."
            )),
            _ => None,
        }
    }
}
