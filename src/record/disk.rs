//! The real disk: plain files of the standard library, never through links.
//!
//! Must not know: what is written.

use std::ffi::OsStr;
use std::fs::{self, DirBuilder, File, FileType, OpenOptions, TryLockError};
use std::io::{self, Read as _, Write as _};
use std::os::unix::fs::{DirBuilderExt as _, FileTypeExt as _, MetadataExt as _, OpenOptionsExt as _};
use std::path::{Path, PathBuf};

use rustix::fs::OFlags;
use rustix::io::Errno;

use super::medium::{Content, Hold, Item, Lock, Medium, Named, Sort, Tape};

/// Files and folders of this machine.
#[derive(Debug, Clone, Copy, Default)]
pub struct Disk;

/// Flags for every open: no links, no waiting for pipes, no terminal taken, closed in children.
fn careful() -> i32 {
    let flags = OFlags::NOFOLLOW | OFlags::NONBLOCK | OFlags::NOCTTY | OFlags::CLOEXEC;
    let flags = if cfg!(broken = "any-path") { flags - OFlags::NOFOLLOW } else { flags };
    flags.bits().cast_signed()
}

fn sort_of(kind: FileType) -> Sort {
    if kind.is_file() {
        Sort::File
    } else if kind.is_dir() {
        Sort::Folder
    } else {
        Sort::Odd(words_for(kind))
    }
}

fn words_for(kind: FileType) -> &'static str {
    if kind.is_symlink() {
        "a symbolic link"
    } else if kind.is_fifo() {
        "a pipe"
    } else if kind.is_socket() {
        "a socket"
    } else if kind.is_dir() {
        "a folder"
    } else {
        "a device"
    }
}

impl Medium for Disk {
    fn make_folder(&self, root: &Path, below: &Path) -> io::Result<PathBuf> {
        let mut missing: Vec<&Path> = Vec::new();
        let mut at = root;
        while fs::metadata(at).is_err_and(|e| e.kind() == io::ErrorKind::NotFound) {
            missing.push(at);
            match at.parent() {
                Some(up) if up != Path::new("") => at = up,
                _ => break,
            }
        }
        for folder in missing.into_iter().rev() {
            make_one(folder)?;
        }
        if !fs::metadata(root)?.is_dir() {
            return Err(Errno::NOTDIR.into());
        }
        let mut folder = root.to_owned();
        for part in below {
            folder.push(part);
            match fs::symlink_metadata(&folder) {
                Ok(found) if found.is_dir() => {}
                Ok(found) if found.is_symlink() => return Err(Errno::LOOP.into()),
                Ok(_) => return Err(Errno::NOTDIR.into()),
                Err(e) if e.kind() == io::ErrorKind::NotFound => make_one(&folder)?,
                Err(e) => return Err(e),
            }
        }
        Ok(folder)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn Tape>> {
        let file = OpenOptions::new().append(true).create_new(true).mode(0o600).custom_flags(careful()).open(path)?;
        Ok(Box::new(DiskTape { file, fresh: true }))
    }

    fn reopen(&self, path: &Path) -> io::Result<Box<dyn Tape>> {
        let file = OpenOptions::new().append(true).custom_flags(careful()).open(path)?;
        if file.metadata()?.is_file() {
            Ok(Box::new(DiskTape { file, fresh: false }))
        } else {
            Err(io::ErrorKind::InvalidInput.into())
        }
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        match File::open(folder)?.sync_all() {
            // Some network and stick formats cannot flush a folder; there is nothing more to ask of them.
            Err(e) if is_any(&e, &[Errno::INVAL, Errno::NOTSUP, Errno::NOSYS]) => Ok(()),
            done => done,
        }
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    fn read(&self, path: &Path, cap: u64) -> io::Result<Content> {
        // Looked at before it is opened, because opening some devices does something.
        let kind = fs::symlink_metadata(path)?.file_type();
        if !kind.is_file() && !cfg!(broken = "any-path") {
            return Ok(Content::NotPlain(words_for(kind)));
        }
        let file = OpenOptions::new().read(true).custom_flags(careful()).open(path)?;
        let found = file.metadata()?;
        if !found.is_file() {
            return Ok(Content::NotPlain(words_for(found.file_type())));
        }
        if found.len() > cap {
            return Ok(Content::TooBig(found.len()));
        }
        let mut bytes = Vec::new();
        file.take(cap + 1).read_to_end(&mut bytes)?;
        if bytes.len() as u64 > cap {
            return Ok(Content::TooBig(bytes.len() as u64));
        }
        Ok(Content::Bytes(bytes))
    }

    fn items(&self, folder: &Path) -> io::Result<Vec<Item>> {
        let mut items = Vec::new();
        for entry in fs::read_dir(folder)? {
            let entry = entry?;
            items.push(Item { path: entry.path(), sort: sort_of(entry.file_type()?) });
        }
        items.sort_by(|a, b| a.path.cmp(&b.path));
        Ok(items)
    }

    fn lock(&self, path: &Path) -> io::Result<Lock> {
        // The holder takes the file away when it is done, so one that was opened in that moment may be locked and yet
        // be nobody's: look again until name and file agree.
        for _ in 0..100 {
            let file = OpenOptions::new()
                .read(true)
                .write(true)
                .create(true)
                .truncate(false)
                .mode(0o600)
                .custom_flags(careful())
                .open(path)?;
            match file.try_lock() {
                Ok(()) => {}
                Err(TryLockError::WouldBlock) => return Ok(Lock::Busy),
                Err(TryLockError::Error(e)) => {
                    let none = [Errno::NOLCK, Errno::NOTSUP, Errno::NOSYS, Errno::INVAL];
                    let lacking = is_any(&e, &none) || e.kind() == io::ErrorKind::Unsupported;
                    return if lacking { Ok(Lock::Unsupported(e.to_string())) } else { Err(e) };
                }
            }
            if named(&file, path)? == Named::Here {
                return Ok(Lock::Held(Box::new(HeldLock { path: path.to_owned(), file })));
            }
        }
        Ok(Lock::Busy)
    }
}

fn is_any(error: &io::Error, of: &[Errno]) -> bool {
    of.iter().any(|e| error.raw_os_error() == Some(e.raw_os_error()))
}

/// Makes one folder and flushes its name in the folder above.
fn make_one(folder: &Path) -> io::Result<()> {
    match DirBuilder::new().mode(0o700).create(folder) {
        // Another program was faster.
        Err(e) if e.kind() == io::ErrorKind::AlreadyExists => {
            if fs::symlink_metadata(folder)?.is_dir() {
                return Ok(());
            }
            return Err(Errno::NOTDIR.into());
        }
        done => done?,
    }
    let above = folder.parent().filter(|p| p.as_os_str() != OsStr::new(""));
    Disk.sync_folder(above.unwrap_or(Path::new(".")))
}

/// What stands under a name, by device and inode.
fn named(file: &File, path: &Path) -> io::Result<Named> {
    let ours = file.metadata()?;
    match fs::symlink_metadata(path) {
        Ok(found) if found.dev() == ours.dev() && found.ino() == ours.ino() => Ok(Named::Here),
        Ok(_) => Ok(Named::Other),
        Err(e) if matches!(e.kind(), io::ErrorKind::NotFound | io::ErrorKind::NotADirectory) => Ok(Named::Gone),
        Err(e) => Err(e),
    }
}

#[derive(Debug)]
struct DiskTape {
    file: File,
    /// A new file's first flush takes everything about it along, later ones what is needed to read it.
    fresh: bool,
}

impl Tape for DiskTape {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.file.write(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        if self.fresh {
            self.file.sync_all()?;
            self.fresh = false;
            Ok(())
        } else {
            self.file.sync_data()
        }
    }

    fn len(&self) -> io::Result<u64> {
        Ok(self.file.metadata()?.len())
    }

    fn named(&self, path: &Path) -> io::Result<Named> {
        named(&self.file, path)
    }
}

/// A lock that is ours. The lock goes with the file handle; the name is taken away so that folders stay tidy.
#[derive(Debug)]
struct HeldLock {
    path: PathBuf,
    file: File,
}

impl Hold for HeldLock {
    fn stands(&self) -> bool {
        named(&self.file, &self.path).is_ok_and(|named| named == Named::Here)
    }
}

impl Drop for HeldLock {
    fn drop(&mut self) {
        // Still locked here. Left behind, an unlocked file does no harm; one of the same name that is another's stays.
        if self.stands() {
            let _ = fs::remove_file(&self.path);
        }
    }
}
