//! One file of a record, read and checked line by line.
//!
//! Owns the difference between a torn tail (a last line that is not whole) and damage. Must not
//! know other files of the job.

use std::path::{Path, PathBuf};

use super::fault::{Class, Fault, FaultKind};
use super::header::Header;
use super::line::Entry;
use super::medium::{Content, Medium};
use super::scan::scan;
use super::{Disk, RecordError};

/// The most bytes a file of a record may have.
pub const FILE_CAP: u64 = 16 * 1024 * 1024;

/// The most bytes that all files of a job may have together: what is read of one job at a time.
pub const JOB_CAP: u64 = 64 * 1024 * 1024;

/// One file of a record.
#[derive(Debug, Clone)]
pub struct Segment {
    /// Where it is.
    pub path: PathBuf,
    /// Its first line; none where that is torn, damaged or of another format.
    pub header: Option<Header>,
    /// Every whole line after the header and before any damage, in order. Lines of kind `recover` are among them.
    pub entries: Vec<Entry>,
    /// Whole lines that match their own hash but stand after damage, so that their place is not certain from this file alone.
    pub loose: Vec<Entry>,
    /// What is wrong, in order of line.
    pub faults: Vec<Fault>,
    /// What is odd but not wrong: the clock went back.
    pub notes: Vec<String>,
    /// Hash of the last whole line before any damage; empty without a header.
    pub head: String,
    /// The file as it is.
    pub(crate) raw: Vec<u8>,
    /// Bytes up to the end of the last whole line before any damage.
    pub(crate) good: usize,
}

impl Segment {
    /// How bad this file is.
    #[must_use]
    pub fn class(&self) -> Class {
        Class::of(&self.faults)
    }

    /// Bytes of an unfinished last line that nobody has closed yet. Only for a file without damage.
    pub(crate) fn torn(&self) -> &[u8] {
        let open = self.faults.iter().any(|f| f.kind == FaultKind::Torn);
        let tail = self.raw.get(self.good..).unwrap_or_default();
        if open { tail } else { &[] }
    }

    /// Whether the last line is whole but for its line feed.
    pub(crate) fn lacks_line_end(&self) -> bool {
        self.good > 0 && self.good == self.raw.len() && self.raw.last() != Some(&b'\n')
    }
}

/// Reads one file of a record. Faults in it are part of the answer; an error means that it could not be read at all.
pub fn read_segment(path: &Path) -> Result<Segment, RecordError> {
    read_segment_on(&Disk, path)
}

/// Checks bytes as those of one file of a record, without a disk; `path` is for its sentences.
#[must_use]
pub fn segment_of(path: &Path, bytes: Vec<u8>) -> Segment {
    scan(path, bytes)
}

pub(crate) fn read_segment_on(medium: &dyn Medium, path: &Path) -> Result<Segment, RecordError> {
    read_segment_within(medium, path, FILE_CAP)
}

/// As [`read_segment_on`], a file of at most so many bytes.
pub(crate) fn read_segment_within(medium: &dyn Medium, path: &Path, room: u64) -> Result<Segment, RecordError> {
    match medium.read(path, room.min(FILE_CAP)) {
        Ok(Content::Bytes(bytes)) => Ok(scan(path, bytes)),
        Ok(Content::NotPlain(what)) => Err(RecordError::NotPlain { path: path.to_owned(), what }),
        Ok(Content::TooBig(bytes)) if bytes <= FILE_CAP => Err(RecordError::TooMuch { path: path.to_owned() }),
        Ok(Content::TooBig(bytes)) => Err(RecordError::TooBig { path: path.to_owned(), bytes }),
        Err(e) => Err(RecordError::io("read", path, e)),
    }
}
