//! The few things a record asks of a disk, so that tests can put a failing disk in its place.
//!
//! Owns the traits only. Must not know what is written. The real disk is in `disk`.

use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

/// Where records are kept. [`super::Disk`] is the real one.
pub trait Medium: Send + Sync + fmt::Debug {
    /// Makes `root/below` and every missing folder on the way, for this user only, and flushes the names of the new
    /// ones. Below `root` no folder may be a symbolic link.
    fn make_folder(&self, root: &Path, below: &Path) -> io::Result<PathBuf>;

    /// Creates a new file for appending; one that is there already, link or not, is an error.
    fn create(&self, path: &Path) -> io::Result<Box<dyn Tape>>;

    /// Opens an existing plain file for appending; never through a link.
    fn reopen(&self, path: &Path) -> io::Result<Box<dyn Tape>>;

    /// Flushes a folder's own list of names.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;

    /// Takes away a file that was created a moment ago and holds nothing acknowledged.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Reads a whole plain file of at most `cap` bytes. Never follows a link, waits for a pipe or opens a device.
    fn read(&self, path: &Path, cap: u64) -> io::Result<Content>;

    /// What is in a folder, links not followed, in order of name.
    fn items(&self, folder: &Path) -> io::Result<Vec<Item>>;

    /// Takes the lock named `path` for as long as the returned value lives, or until the process dies.
    fn lock(&self, path: &Path) -> io::Result<Lock>;
}

/// A file open for appending.
pub trait Tape: Send + fmt::Debug {
    /// Appends some of the bytes and says how many, as `write(2)` does.
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize>;
    /// Flushes what was written to the disk.
    fn sync(&mut self) -> io::Result<()>;
    /// Size of the file now, in bytes.
    fn len(&self) -> io::Result<u64>;
    /// What stands under this name now: this file, another one, or nothing. Links are not followed.
    fn named(&self, path: &Path) -> io::Result<Named>;
    /// Whether the file is empty now.
    fn is_empty(&self) -> io::Result<bool> {
        Ok(self.len()? == 0)
    }
}

/// What stands under the name of a file that is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// That file.
    Here,
    /// Nothing.
    Gone,
    /// Another file, or no file.
    Other,
}

/// A lock that is held until it is dropped.
pub trait Hold: Send + fmt::Debug {
    /// Whether it still keeps others out: a lock whose name was taken away does not.
    fn stands(&self) -> bool;
}

/// What a read gave.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Content {
    /// The whole file.
    Bytes(Vec<u8>),
    /// Not a plain file; what it is instead.
    NotPlain(&'static str),
    /// Over the cap; how many bytes it has.
    TooBig(u64),
}

/// One name in a folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// The whole path.
    pub path: PathBuf,
    /// What it is.
    pub sort: Sort,
}

/// What a name in a folder stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// A plain file.
    File,
    /// A folder.
    Folder,
    /// Neither; what it is instead ("a symbolic link").
    Odd(&'static str),
}

/// What trying for a lock gave.
#[derive(Debug)]
pub enum Lock {
    /// Ours until this is dropped.
    Held(Box<dyn Hold>),
    /// Someone else's.
    Busy,
    /// This disk has no locks; the system's words.
    Unsupported(String),
}

impl Lock {
    /// Whether there is nothing to be taken anew.
    pub(crate) fn stands(&self) -> bool {
        match self {
            Self::Held(held) => held.stands(),
            Self::Busy | Self::Unsupported(_) => true,
        }
    }
}

/// Appends all the bytes, going on after short writes and interruptions.
pub(crate) fn write_all(tape: &mut dyn Tape, mut bytes: &[u8]) -> io::Result<()> {
    while !bytes.is_empty() {
        match tape.write(bytes) {
            Ok(0) => return Err(io::ErrorKind::WriteZero.into()),
            Ok(_) if cfg!(broken = "one-write") => return Ok(()),
            Ok(n) => bytes = bytes.get(n..).unwrap_or_default(),
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            Err(e) => return Err(e),
        }
    }
    Ok(())
}

/// Flushes, going on after interruptions. Any other failure is final: the system may have dropped the bytes and would
/// say "done" the second time.
pub(crate) fn sync(tape: &mut dyn Tape) -> io::Result<()> {
    if cfg!(broken = "no-flush") {
        return Ok(());
    }
    loop {
        match tape.sync() {
            Err(e) if e.kind() == io::ErrorKind::Interrupted => {}
            done => return done,
        }
    }
}
