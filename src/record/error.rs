//! Everything that can go wrong with a record, each with what happened and what to do.
//!
//! The sentences are for the person at the bench. Paths and other foreign text in them are made safe to show.

use std::io;
use std::path::{Path, PathBuf};

use super::Trouble;
use super::kept::UpTo;
use crate::text::safe_text;

/// Why a record could not be begun, continued, written or read. `Display` says what happened and what to do.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum RecordError {
    /// A job id that is not 26 characters `0-9A-Z`.
    #[error(
        "\"{given}\" is not a job id. A job id has 26 capital letters and digits: copy it from the list of records."
    )]
    BadId {
        /// What was given, made safe and cut short.
        given: String,
    },
    /// A device label that is not 1 to 32 characters `a-z0-9-`.
    #[error("\"{given}\" is not a device label. Use 1 to 32 small letters, digits and hyphens.")]
    BadDevice {
        /// What was given, made safe and cut short.
        given: String,
    },
    /// A kind that is not a short word, or one this room keeps for itself.
    #[error(
        "An entry cannot be of kind \"{given}\". Use 1 to 32 small letters, digits and hyphens, but not \"header\" or \"recover\". Nothing was written."
    )]
    BadKind {
        /// What was given, made safe and cut short.
        given: String,
    },
    /// A time that is not a date and time with an offset.
    #[error(
        "\"{given}\" is not a date and time with an offset from UTC, such as 2026-11-25T09:36:00+01:00. Check the clock of this machine. Nothing was written."
    )]
    BadTime {
        /// What was given, made safe and cut short.
        given: String,
    },
    /// An entry that does not fit in one line. Nothing was written and the entry is not kept.
    #[error(
        "This entry has {bytes} bytes and a line of a record may have {cap}. Shorten the note or split it in two. Nothing was written."
    )]
    TooLong {
        /// Size of the whole line in bytes.
        bytes: usize,
        /// The most a line may have.
        cap: usize,
    },
    /// An entry that could not be read back. Nothing was written and the entry is not kept.
    #[error(
        "This entry could not be read back after writing ({why}), so it was not written. Enter it in a simpler form."
    )]
    NotReadable {
        /// What the reader would say.
        why: String,
    },
    /// The file has reached its size cap. Nothing was written and the entry is not kept.
    #[error("{} has reached the {} MiB a file of a record may have. Go on in a new file for this job, then enter this again. Nothing was written.", show(.path), super::FILE_CAP >> 20)]
    FileFull {
        /// The file.
        path: PathBuf,
    },
    /// The job's files have reached their cap together. Nothing was written and the entry is not kept.
    #[error("The files of this job have reached the {} MiB they may have together, so nothing more can be added to it. Close it here and start a new job. Nothing was written.", super::JOB_CAP >> 20)]
    JobFull,
    /// A file that is over what is read of one job.
    #[error("{} and more were not read: the files of this job have more than {} MiB together, and a job never has. They are not a record, or they are damaged.", show(.path), super::JOB_CAP >> 20)]
    TooMuch {
        /// The file.
        path: PathBuf,
    },
    /// Another program has this job open.
    #[error("Job {id} is open in another window or program on this machine. Go on there, or close it and try again.")]
    InUse {
        /// The job.
        id: String,
    },
    /// A file of this name is there already.
    #[error("{} is there already, and a record is never written over. Start the job again: it will get a new id.", show(.path))]
    Exists {
        /// The file.
        path: PathBuf,
    },
    /// No file of this job in the folder.
    #[error("There is no record of job {id} in {}. Check the id, and the records folder.", show(.folder))]
    NotFound {
        /// The job.
        id: String,
        /// The records folder.
        folder: PathBuf,
    },
    /// A link, pipe, device or folder where a plain file is needed.
    #[error("{} is {what}, not a plain file, so it was not opened. Move it out of the records folder.", show(.path))]
    NotPlain {
        /// The path.
        path: PathBuf,
        /// What it is: "a symbolic link", "a pipe" and so on.
        what: &'static str,
    },
    /// A file over the size cap.
    #[error("{} has {bytes} bytes, and a file of a record never has more than {} MiB, so it was not read. It is not a record, or it is damaged.", show(.path), super::FILE_CAP >> 20)]
    TooBig {
        /// The file.
        path: PathBuf,
        /// Its size in bytes.
        bytes: u64,
    },
    /// The system refused something other than saving an entry.
    #[error("Could not {doing} {}, because {} ({source}). {}", show(.path), .trouble.because(), .trouble.mend())]
    Io {
        /// The verb: "read", "create" and so on.
        doing: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// What kind of failure.
        trouble: Trouble,
        /// The system's own words.
        source: io::Error,
    },
    /// An entry could not be saved. It is kept in memory and written by `Journal::move_to`.
    #[error("NOT SAVED: entry {seq} could not be written to {}, because {} ({source}). {} {} Nothing more will be written to this file. Then save the job to the same or another folder.", show(.path), .trouble.because(), .saved, .trouble.mend())]
    NotSaved {
        /// Number the entry would have had.
        seq: u64,
        /// What stands of the entries before it.
        saved: UpTo,
        /// The file.
        path: PathBuf,
        /// What kind of failure.
        trouble: Trouble,
        /// The system's own words.
        source: io::Error,
    },
    /// Not all of the job is on disk any more, though nothing waits. `Journal::make_sure` writes it anew.
    #[error("NOT SAVED: {} does not hold all that was entered, because {} ({source}). It is held in memory until this program ends. {}", show(.path), .trouble.because(), .trouble.mend())]
    NotKept {
        /// The file.
        path: PathBuf,
        /// What kind of failure.
        trouble: Trouble,
        /// The system's own words.
        source: io::Error,
    },
    /// Writing has stopped after an earlier failure. The entry is kept in memory and written by `Journal::move_to`.
    #[error("NOT SAVED: writing to {} stopped after a failure. {} Held in memory only, until you save to the same or another folder: {unsaved}.", show(.path), .saved)]
    Stopped {
        /// The file that failed.
        path: PathBuf,
        /// What stands of the entries before.
        saved: UpTo,
        /// How many entries wait in memory.
        unsaved: usize,
    },
    /// Too many entries wait in memory after a failure. This one is not kept.
    #[error(
        "NOT SAVED and not kept: {unsaved} entries already wait in memory after a failure of the disk. Save to another folder first, then enter this again."
    )]
    TooManyUnsaved {
        /// How many entries wait in memory.
        unsaved: usize,
    },
    /// The end of the job's record cannot be trusted as it stands.
    #[error(
        "The record of job {id} is damaged: {why} Look at what is left with a verify of the file; restore a good copy, or choose to go on after the last good entry."
    )]
    Damaged {
        /// The job.
        id: String,
        /// The first fault, as a sentence.
        why: String,
    },
    /// The record was written by a later version of the program.
    #[error("{why} Use the newer program for this job.")]
    NewerFormat {
        /// Which file, as a sentence.
        why: String,
    },
    /// A file was created but holds no header: nothing was ever saved in it.
    #[error(
        "The record of job {id} was never begun: its file holds no whole header, so no job can be read from it. Bring back a copy of the file where there is one; else start a new job."
    )]
    NeverBegun {
        /// The job.
        id: String,
    },
    /// Two lines of work go on from the same entry.
    #[error("The record of job {id} goes on in {} ways after entry {after} (heads {}). Compare them in review, then choose which one to go on with.", .heads.len(), short_heads(.heads))]
    Forked {
        /// The job.
        id: String,
        /// Number of the last entry they share.
        after: u64,
        /// Hash of the last line of each.
        heads: Vec<String>,
    },
    /// The hash to go on from is not the end of any branch of the job.
    #[error("Job {id} has no end with hash {given}. Take one of those a verify of the job shows.")]
    NoSuchHead {
        /// The job.
        id: String,
        /// What was given, made safe and cut short.
        given: String,
    },
    /// No place to keep records could be found.
    #[error(
        "No place to keep records was found: there is no folder \"sessions\" here and no home folder. Name one with --records."
    )]
    NoPlace,
}

impl RecordError {
    pub(crate) fn io(doing: &'static str, path: &Path, source: io::Error) -> Self {
        Self::Io { doing, path: path.to_owned(), trouble: Trouble::of(&source), source }
    }

    /// Whether an entry given to `Journal::append` is kept in memory, to be written by `Journal::move_to`. Entering it again would
    /// then double it.
    #[must_use]
    pub fn kept(&self) -> bool {
        matches!(self, Self::NotSaved { .. } | Self::Stopped { .. })
    }

    /// The kind of failure of the system behind this, if there was one.
    #[must_use]
    pub fn trouble(&self) -> Option<Trouble> {
        match self {
            Self::Io { trouble, .. } | Self::NotSaved { trouble, .. } | Self::NotKept { trouble, .. } => Some(*trouble),
            _ => None,
        }
    }
}

/// A path for a sentence.
pub(crate) fn show(path: &Path) -> String {
    safe_text(&path.to_string_lossy()).into_owned()
}

/// Foreign text for a sentence: made safe, and no longer than a line.
pub(crate) fn short(given: &str) -> String {
    let mut cut: String = given.chars().take(60).collect();
    if cut.len() < given.len() {
        cut.push_str("...");
    }
    safe_text(&cut).into_owned()
}

fn short_heads(all: &[String]) -> String {
    let short: Vec<&str> = all.iter().map(|h| h.get(..16).unwrap_or(h)).collect();
    short.join(", ")
}
