//! A disk that fails when told to: the n-th call of one sort, with one error.

use std::io;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use roughrun::record::Disk;
use roughrun::record::medium::{Content, Item, Lock, Medium, Named, Tape};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Call {
    MakeFolder,
    Create,
    Reopen,
    Write,
    Sync,
    SyncFolder,
    Read,
    Items,
    Lock,
}

pub const CALLS: [Call; 9] = [
    Call::MakeFolder,
    Call::Create,
    Call::Reopen,
    Call::Write,
    Call::Sync,
    Call::SyncFolder,
    Call::Read,
    Call::Items,
    Call::Lock,
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// The call fails with this error number and does nothing.
    Fail(i32),
    /// A write puts down this many bytes and then fails.
    Tear(usize, i32),
    /// A write or flush is done, and an error reported all the same.
    DoneButFail(i32),
    /// A write says it is done and keeps nothing.
    Lie,
    /// Every write takes at most this many bytes, and each second call is interrupted first.
    Dribble(usize),
    /// The disk has no locks.
    NoLocks,
    /// A flush is done, and the file's name taken away at that moment.
    Vanish,
}

#[derive(Debug)]
struct Plan {
    call: Call,
    /// Fails at the n-th call from now, counted from 1.
    at: usize,
    how: How,
    seen: usize,
    fired: usize,
}

/// The disk, and a plan for its failure.
#[derive(Debug, Clone)]
pub struct Failing(Arc<Mutex<Plan>>);

impl Failing {
    pub fn new(call: Call, at: usize, how: How) -> Self {
        Self(Arc::new(Mutex::new(Plan { call, at, how, seen: 0, fired: 0 })))
    }

    /// Another failure, counted from now.
    pub fn next(&self, call: Call, at: usize, how: How) {
        let mut plan = self.0.lock().unwrap();
        *plan = Plan { call, at, how, seen: 0, fired: 0 };
    }

    /// How often the fault has happened.
    pub fn fired(&self) -> usize {
        self.0.lock().unwrap().fired
    }

    fn due(&self, call: Call) -> Option<How> {
        let mut plan = self.0.lock().unwrap();
        if plan.call != call {
            return None;
        }
        plan.seen += 1;
        let lasting = matches!(plan.how, How::Dribble(_) | How::NoLocks);
        (lasting || plan.seen == plan.at).then(|| {
            plan.fired += 1;
            plan.how
        })
    }

    fn simple(&self, call: Call) -> io::Result<()> {
        match self.due(call) {
            Some(How::Fail(number)) => Err(io::Error::from_raw_os_error(number)),
            _ => Ok(()),
        }
    }
}

impl Medium for Failing {
    fn make_folder(&self, root: &Path, below: &Path) -> io::Result<PathBuf> {
        self.simple(Call::MakeFolder)?;
        Disk.make_folder(root, below)
    }

    fn create(&self, path: &Path) -> io::Result<Box<dyn Tape>> {
        self.simple(Call::Create)?;
        let tape = Disk.create(path)?;
        Ok(Box::new(FailingTape(tape, self.clone(), 0, path.to_owned())))
    }

    fn reopen(&self, path: &Path) -> io::Result<Box<dyn Tape>> {
        self.simple(Call::Reopen)?;
        let tape = Disk.reopen(path)?;
        Ok(Box::new(FailingTape(tape, self.clone(), 0, path.to_owned())))
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        self.simple(Call::SyncFolder)?;
        Disk.sync_folder(folder)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        Disk.remove(path)
    }

    fn read(&self, path: &Path, cap: u64) -> io::Result<Content> {
        self.simple(Call::Read)?;
        Disk.read(path, cap)
    }

    fn items(&self, folder: &Path) -> io::Result<Vec<Item>> {
        self.simple(Call::Items)?;
        Disk.items(folder)
    }

    fn lock(&self, path: &Path) -> io::Result<Lock> {
        match self.due(Call::Lock) {
            Some(How::NoLocks) => Ok(Lock::Unsupported("no locks available".into())),
            Some(How::Fail(number)) => Err(io::Error::from_raw_os_error(number)),
            _ => Disk.lock(path),
        }
    }
}

#[derive(Debug)]
struct FailingTape(Box<dyn Tape>, Failing, usize, PathBuf);

impl Tape for FailingTape {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.2 += 1;
        match self.1.due(Call::Write) {
            None | Some(How::NoLocks | How::Vanish) => self.0.write(bytes),
            Some(How::Fail(number)) => Err(io::Error::from_raw_os_error(number)),
            Some(How::Tear(keep, number)) => {
                self.0.write(&bytes[..keep.min(bytes.len())])?;
                Err(io::Error::from_raw_os_error(number))
            }
            Some(How::DoneButFail(number)) => {
                self.0.write(bytes)?;
                Err(io::Error::from_raw_os_error(number))
            }
            Some(How::Lie) => Ok(bytes.len()),
            Some(How::Dribble(most)) => {
                if self.2.is_multiple_of(2) {
                    return Err(io::ErrorKind::Interrupted.into());
                }
                self.0.write(&bytes[..most.min(bytes.len())])
            }
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        match self.1.due(Call::Sync) {
            Some(How::Fail(number)) => Err(io::Error::from_raw_os_error(number)),
            Some(How::DoneButFail(number)) => {
                self.0.sync()?;
                Err(io::Error::from_raw_os_error(number))
            }
            Some(How::Vanish) => {
                self.0.sync()?;
                std::fs::remove_file(&self.3)
            }
            Some(How::Dribble(_)) if self.1.fired() % 2 == 1 => Err(io::ErrorKind::Interrupted.into()),
            _ => self.0.sync(),
        }
    }

    fn len(&self) -> io::Result<u64> {
        self.0.len()
    }

    fn named(&self, path: &Path) -> io::Result<Named> {
        self.0.named(path)
    }
}
