//! The last word of an open job, for whoever ends the program from outside: a signal, a terminal that is gone.
//!
//! Must not know signals, screens or how anything is said.

use std::sync::{Arc, Mutex, PoisonError, TryLockError, Weak};
use std::thread;
use std::time::{Duration, Instant};

use super::clock::Clock;
use crate::record::{Journal, Kept, RecordError};

/// How long the last word waits for a write that is under way.
const PATIENCE: Duration = Duration::from_millis(500);

/// The record of an open job, within reach of another thread as long as the job is open.
#[derive(Debug, Clone)]
pub struct LastWord {
    journal: Weak<Mutex<Journal>>,
    clock: Clock,
}

/// Why not everything could be made sure of.
#[derive(Debug, thiserror::Error)]
pub enum Unsure {
    /// It could not be saved.
    #[error("{0}")]
    Record(#[from] RecordError),
    /// The disk has not answered for a while.
    #[error("NOT SAVED for certain: the disk did not answer in time, so nothing could be made sure of.")]
    Silent,
}

impl LastWord {
    pub(super) fn of(journal: &Arc<Mutex<Journal>>, clock: Clock) -> Self {
        Self { journal: Arc::downgrade(journal), clock }
    }

    /// Tries once more to save what waits, and makes sure of all the rest; then tells what came of it. Nothing can be
    /// entered while that is told, so that whoever ends the program there ends it as told. Nothing is told of a job that is open no more.
    pub fn speak(&self, tell: impl FnOnce(Result<Kept, Unsure>)) {
        let Some(journal) = self.journal.upgrade() else { return };
        let since = Instant::now();
        let mut journal = loop {
            match journal.try_lock() {
                Ok(journal) => break journal,
                Err(TryLockError::Poisoned(poisoned)) => break PoisonError::into_inner(poisoned),
                Err(TryLockError::WouldBlock) if since.elapsed() > PATIENCE => return tell(Err(Unsure::Silent)),
                Err(TryLockError::WouldBlock) => thread::sleep(PATIENCE / 50),
            }
        };
        let sure = journal.make_sure(&self.clock.stamp());
        tell(sure.map(|sure| sure.kept).map_err(Unsure::Record));
    }
}
