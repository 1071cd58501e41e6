//! What may be called saved: values that only a look at the disk makes, and the sentences that only they can say.
//!
//! [`Saved`] is one entry, [`Kept`] is all of a job, [`UpTo`] is what stands after a failure. Nothing else in the
//! program says that something is saved; a test holds the sources to that. Must not know how a file comes to be
//! written.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use super::medium::{Content, Medium, Named, Tape};
use super::segment::FILE_CAP;
use super::trouble::NameLost;
use crate::text::safe_text;

/// The acknowledged bytes of one of the job's files, held so that they can be written anew.
#[derive(Debug, Clone)]
pub(crate) struct Held {
    pub path: PathBuf,
    pub bytes: Vec<u8>,
}

impl Held {
    /// Whether a file of this path begins with all of the bytes.
    pub(crate) fn is_at(&self, medium: &dyn Medium, path: &Path) -> bool {
        matches!(medium.read(path, FILE_CAP), Ok(Content::Bytes(there)) if there.starts_with(&self.bytes))
    }
}

/// Makes sure that the file of this name is the one that is open, and that it has this length.
///
/// Where locks do not work, another program may have the file; a disk may say "done" and keep nothing; and what sorts
/// files (a sync client, version control, a person) may have taken the file away or put another in its place, so that
/// what is written goes to a file that nobody will find again.
pub(crate) fn stands(tape: &dyn Tape, path: &Path, len: u64) -> io::Result<()> {
    match tape.named(path)? {
        Named::Here => {}
        _ if cfg!(broken = "no-name") => {}
        Named::Gone => return Err(NameLost::Gone.into()),
        Named::Other => return Err(NameLost::Replaced.into()),
    }
    if tape.len()? == len || cfg!(broken = "no-length") { Ok(()) } else { Err(io::ErrorKind::ResourceBusy.into()) }
}

/// Proof that an entry is on disk: after its flush, the file of the record's name was the one that was written, and
/// had the length it had to have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Saved {
    seq: u64,
    hash: String,
    anew: Option<String>,
}

impl Saved {
    /// To be asked for after the flush of the line. `len` is the size the file must have then, in bytes.
    pub(super) fn prove(tape: &dyn Tape, path: &Path, len: u64, seq: u64, hash: &str) -> io::Result<Self> {
        if !(cfg!(broken = "unwritten") || cfg!(broken = "false-saved")) {
            stands(tape, path, len)?;
        }
        Ok(Self { seq, hash: hash.to_owned(), anew: None })
    }

    /// The same, with what has to be said about where it is now.
    pub(super) fn anew(self, said: String) -> Self {
        Self { anew: Some(said), ..self }
    }

    /// The entry's number in the job.
    pub fn seq(&self) -> u64 {
        self.seq
    }

    /// The hash of its line, the head of the record when it was written.
    pub fn hash(&self) -> &str {
        &self.hash
    }

    /// What a person has to be told at once: that the record was taken away or replaced, and was written anew. A full
    /// sentence.
    pub fn told(&self) -> Option<&str> {
        self.anew.as_deref()
    }

    /// "Saved as entry 7", to go before what was entered.
    pub fn words(&self) -> String {
        format!("Saved as entry {}", self.seq)
    }

    /// What is said of so many entries, of which this is the last.
    pub fn words_of(&self, count: usize) -> String {
        format!("{count} answers saved, the last as entry {}.", self.seq)
    }
}

/// Proof that all that was entered in a job is on disk: every file of it is under its name and holds every byte that
/// was acknowledged, and nothing waits.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    file: PathBuf,
    seq: u64,
}

impl Kept {
    /// Looks at each of the job's files; `held` has the one that is written to last. `len` is the size that one must
    /// have.
    ///
    /// Errors: the first file that does not hold what it should, and why.
    pub(super) fn prove(
        medium: &dyn Medium,
        tape: &dyn Tape,
        held: &[Held],
        len: u64,
        seq: u64,
    ) -> Result<Self, (PathBuf, io::Error)> {
        let file = held.last().map(|own| own.path.clone()).unwrap_or_default();
        if !cfg!(broken = "old-words") {
            stands(tape, &file, len).map_err(|why| (file.clone(), why))?;
            if let Some(lost) = held.iter().find(|held| !held.is_at(medium, &held.path)) {
                let why = match medium.read(&lost.path, FILE_CAP) {
                    Err(why) if why.kind() == io::ErrorKind::NotFound => NameLost::Gone.into(),
                    Err(why) => why,
                    Ok(_) => io::ErrorKind::ResourceBusy.into(),
                };
                return Err((lost.path.clone(), why));
            }
        }
        Ok(Self { file, seq })
    }

    /// The file that is written to.
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// Number of the last line.
    pub fn seq(&self) -> u64 {
        self.seq
    }

    /// What only this proof can say, as a sentence.
    pub fn words(&self) -> &'static str {
        "Everything entered is saved."
    }

    /// The same, naming the file.
    pub fn words_of_place(&self) -> String {
        format!("Everything entered is saved in {}.", safe_text(&self.file.to_string_lossy()))
    }

    /// What is said of a job that was just begun.
    pub fn words_of_beginning(&self) -> &'static str {
        "The job is begun and saved."
    }

    /// What is said before the first question of a job.
    pub fn words_before(&self) -> &'static str {
        "Each answer is saved at once."
    }

    /// What is said of a job that goes on in another file.
    pub fn words_of_move(&self) -> String {
        format!("The job is saved in {} now, and goes on there.", safe_text(&self.file.to_string_lossy()))
    }
}

/// What stands after a failure: whether the entries up to one were found on disk, or are in memory only.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UpTo {
    seq: u64,
    found: bool,
}

impl UpTo {
    /// Looks at each of the job's files; the one that is written to, the last, has to be under its name, since one
    /// that was only just written anew may not have its name on disk.
    pub(super) fn of(medium: &dyn Medium, tape: &dyn Tape, held: &[Held], seq: u64) -> Self {
        let is_here = |own: &Held| tape.named(&own.path).is_ok_and(|named| named == Named::Here);
        let found = held.last().is_some_and(is_here) && held.iter().all(|held| held.is_at(medium, &held.path));
        Self { seq, found: found || cfg!(broken = "old-words") }
    }

    /// Number of the last entry that was acknowledged.
    #[must_use]
    pub fn seq(&self) -> u64 {
        self.seq
    }

    /// Whether all up to it was found on disk just now.
    #[must_use]
    pub fn is_found(&self) -> bool {
        self.found
    }
}

impl fmt::Display for UpTo {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let seq = self.seq;
        if self.found {
            write!(f, "Everything up to entry {seq} is saved.")
        } else {
            write!(
                f,
                "What was written before is not all in its place any more: the entries up to {seq} are held in memory and are written again with this one."
            )
        }
    }
}
