//! A job open for work: each entry is tested, then saved, then in the job. The only way entries are made.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::clock::Clock;
use super::replay::line_of;
use super::{EnterError, ShopError};
use crate::job::{Entry, Job, Logged};
use crate::model::Model;
use crate::record::{Journal, RecordError, Stamp};

/// A job with its record, locked against other programs until it is dropped.
#[derive(Debug)]
pub struct OpenJob {
    job: Job,
    journal: Journal,
    clock: Clock,
    folder: PathBuf,
    /// The entry whose saving failed, with its time; the journal keeps it too.
    waiting: Option<(Entry, String)>,
}

/// A job whose opening is not saved was never begun: there is nothing in it that could be saved elsewhere.
fn not_begun(fault: RecordError) -> RecordError {
    match fault {
        RecordError::NotSaved { path, trouble, source, .. } => {
            RecordError::Io { doing: "begin the job in", path, trouble, source }
        }
        other => other,
    }
}

impl OpenJob {
    /// Saves the opening of a new job as its first entry.
    pub(super) fn begin(
        mut journal: Journal,
        model: Model,
        entry: Entry,
        clock: Clock,
        folder: &Path,
    ) -> Result<Self, ShopError> {
        let stamp = clock.stamp();
        let (kind, body) = line_of(&entry);
        let saved = journal.append(&kind, body, stamp.clone()).map_err(not_begun)?;
        let log = vec![Logged { number: saved.seq, when: stamp.wall, entry }];
        let job = Job::replay(Arc::new(model), log).map_err(|(_, refusal)| ShopError::Opening(refusal))?;
        Ok(Self { job, journal, clock, folder: folder.to_owned(), waiting: None })
    }

    pub(super) fn resumed(journal: Journal, job: Job, clock: Clock, folder: &Path) -> Self {
        Self { job, journal, clock, folder: folder.to_owned(), waiting: None }
    }

    /// The job as it is saved.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// What the header of its record says.
    #[must_use]
    pub fn header(&self) -> &serde_json::Value {
        &self.journal.extra
    }

    /// The job's name.
    #[must_use]
    pub fn id(&self) -> &str {
        self.journal.id().as_str()
    }

    /// Hash of the last saved line: the 16 characters that a report prints.
    #[must_use]
    pub fn head(&self) -> &str {
        let hash = self.journal.head();
        hash.get(..16).unwrap_or(hash)
    }

    /// The folder the job is saved in now.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The file that is written to.
    #[must_use]
    pub fn file(&self) -> &Path {
        self.journal.path()
    }

    /// What to say once, where this disk cannot keep a second program out of the job.
    #[must_use]
    pub fn warning(&self) -> Option<String> {
        self.journal.warning()
    }

    /// The entry that could not be saved and waits for [`OpenJob::save_elsewhere`].
    #[must_use]
    pub fn waiting(&self) -> Option<&Entry> {
        self.waiting.as_ref().map(|(entry, _)| entry)
    }

    /// Lets the time pass that has gone by since the last entry. Whether that changed how the aircraft stands.
    pub fn pass_time(&mut self) -> bool {
        self.job.let_pass(&self.clock.stamp().wall)
    }

    /// Takes an entry: it is in the job only once it is on disk.
    ///
    /// # Errors
    /// A refusal (nothing was written), or a failure to save (the entry is not in the job; the message says what to do).
    pub fn enter(&mut self, entry: Entry) -> Result<(), EnterError> {
        if let Some((waiting, _)) = &self.waiting {
            return Err(EnterError::Waiting { entry: Box::new(waiting.clone()) });
        }
        let entry = self.job.with_figures(entry);
        self.job.test(&entry)?;
        let stamp = self.clock.stamp();
        match self.append(&entry, &stamp) {
            Ok(number) => Ok(self.job.enter(Logged { number, when: stamp.wall, entry })?),
            Err(fault) => {
                if fault.kept() {
                    self.waiting = Some((entry, stamp.wall));
                }
                Err(EnterError::NotSaved(fault))
            }
        }
    }

    fn append(&mut self, entry: &Entry, stamp: &Stamp) -> Result<u64, RecordError> {
        let (kind, body) = line_of(entry);
        match self.journal.append(&kind, body.clone(), stamp.clone()) {
            // A full file is no fault of the disk: the job goes on in a new file beside it.
            Err(RecordError::FileFull { .. }) => {
                self.journal.move_to(&self.folder, stamp)?;
                Ok(self.journal.append(&kind, body, stamp.clone())?.seq)
            }
            other => Ok(other?.seq),
        }
    }

    /// Goes on in a new file, in this or another folder, and saves the entry that waits.
    ///
    /// # Errors
    /// That folder cannot be written either; the entry still waits and this can be tried again.
    pub fn save_elsewhere(&mut self, folder: &Path) -> Result<(), EnterError> {
        let saved = self.journal.move_to(folder, &self.clock.stamp()).map_err(EnterError::NotSaved)?;
        folder.clone_into(&mut self.folder);
        if let (Some((entry, when)), Some(saved)) = (self.waiting.take(), saved.last()) {
            self.job.enter(Logged { number: saved.seq, when, entry })?;
        }
        Ok(())
    }

    /// Takes back the last standing entry by a new one. Nothing is erased.
    ///
    /// # Errors
    /// As [`OpenJob::enter`].
    pub fn undo(&mut self) -> Result<Option<Entry>, EnterError> {
        let Some((of, entry)) = self.job.last_standing() else { return Ok(None) };
        self.enter(Entry::Undo { of })?;
        Ok(Some(entry))
    }
}
