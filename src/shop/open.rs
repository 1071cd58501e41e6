//! A job open for work: each entry is tested, then saved, then in the job. The only way entries are made.

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::clock::Clock;
use super::last_word::LastWord;
use super::replay::line_of;
use super::{EnterError, ShopError};
use crate::job::{Entry, Job, Logged};
use crate::model::Model;
use crate::record::{Journal, Kept, RecordError, Saved, Stamp};

/// A job with its record, locked against other programs until it is dropped.
#[derive(Debug)]
pub struct OpenJob {
    job: Job,
    /// Shared with whoever has the last word where the program is ended from outside.
    journal: Arc<Mutex<Journal>>,
    clock: Clock,
    folder: PathBuf,
    id: String,
    header: serde_json::Value,
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

/// What [`OpenJob::make_sure`] found.
#[derive(Debug)]
#[must_use]
pub struct MadeSure {
    /// The proof that all of it is on disk.
    pub kept: Kept,
    /// The proof for the entry that waited, where one did.
    pub saved: Option<Saved>,
    /// What a person has to be told at once, where the record had to be written anew. A full sentence.
    pub told: Option<String>,
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
        let log = vec![Logged { number: saved.seq(), when: stamp.wall, entry }];
        let job = Job::replay(Arc::new(model), log).map_err(|(_, refusal)| ShopError::Opening(refusal))?;
        Ok(Self::resumed(journal, job, clock, folder))
    }

    pub(super) fn resumed(journal: Journal, job: Job, clock: Clock, folder: &Path) -> Self {
        let (id, header) = (journal.id().to_string(), journal.extra.clone());
        let journal = Arc::new(Mutex::new(journal));
        Self { job, journal, clock, folder: folder.to_owned(), id, header, waiting: None }
    }

    /// The journal. Nobody else has it for long: only where the program ends does the last word keep it.
    fn journal(&self) -> MutexGuard<'_, Journal> {
        self.journal.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// The job as it is saved.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// What the header of its record says.
    #[must_use]
    pub fn header(&self) -> &serde_json::Value {
        &self.header
    }

    /// The job's name.
    #[must_use]
    pub fn id(&self) -> &str {
        &self.id
    }

    /// Hash of the last saved line: the 16 characters that a report prints.
    #[must_use]
    pub fn head(&self) -> String {
        super::short_head(self.journal().head())
    }

    /// The folder the job is saved in now.
    #[must_use]
    pub fn folder(&self) -> &Path {
        &self.folder
    }

    /// The file that is written to.
    #[must_use]
    pub fn file(&self) -> PathBuf {
        self.journal().path().to_owned()
    }

    /// What to say once, where this disk cannot keep a second program out of the job.
    #[must_use]
    pub fn warning(&self) -> Option<String> {
        self.journal().warning()
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

    /// To be asked while nobody enters anything: looks whether the record is in its place, which is cheap, and makes sure
    /// of all of it where it is not. None where it is, and where an entry waits, which was said already.
    pub fn look_after(&mut self) -> Option<Result<MadeSure, EnterError>> {
        let is_well = self.waiting.is_some() || self.journal().is_in_place();
        (!is_well).then(|| self.make_sure())
    }

    /// The means to make sure of all of it from another thread, where the program is ended from outside.
    #[must_use]
    pub fn last_word(&self) -> LastWord {
        LastWord::of(&self.journal, self.clock)
    }

    /// Proof that everything entered is on disk, or what is not. Writes nothing.
    ///
    /// # Errors
    /// Something waits, or a file is not in its place.
    pub fn kept(&self) -> Result<Kept, RecordError> {
        self.journal().kept()
    }

    /// Makes sure that everything entered is on disk: tries once more to save what waits, and writes anew in the same
    /// folder what is not in its place any more. To be asked before the job is left.
    ///
    /// # Errors
    /// Not all of it could be saved; it is still held, and this can be tried again.
    pub fn make_sure(&mut self) -> Result<MadeSure, EnterError> {
        let sure = self.journal().make_sure(&self.clock.stamp());
        self.take_in()?;
        let sure = sure.map_err(EnterError::NotSaved)?;
        Ok(MadeSure { kept: sure.kept, saved: sure.written.into_iter().last(), told: sure.told })
    }

    /// Where the entry that waited is saved, it is in the job from now on.
    fn take_in(&mut self) -> Result<(), EnterError> {
        let (waits, number) = {
            let journal = self.journal();
            (!journal.unsaved().is_empty(), journal.last_seq())
        };
        match self.waiting.take_if(|_| !waits) {
            Some((entry, when)) => Ok(self.job.enter(Logged { number, when, entry })?),
            None => Ok(()),
        }
    }

    /// Takes an entry: it is in the job only once it is on disk.
    ///
    /// # Errors
    /// A refusal (nothing was written), or a failure to save (the entry is not in the job; the message says what to do).
    pub fn enter(&mut self, entry: Entry) -> Result<Saved, EnterError> {
        if let Some((waiting, _)) = &self.waiting {
            return Err(EnterError::Waiting { entry: Box::new(waiting.clone()) });
        }
        let entry = self.job.with_figures(entry);
        self.job.test(&entry)?;
        let stamp = self.clock.stamp();
        match self.append(&entry, &stamp) {
            Ok(saved) => {
                self.job.enter(Logged { number: saved.seq(), when: stamp.wall, entry })?;
                Ok(saved)
            }
            Err(fault) => {
                if fault.kept() {
                    self.waiting = Some((entry, stamp.wall));
                }
                Err(EnterError::NotSaved(fault))
            }
        }
    }

    fn append(&mut self, entry: &Entry, stamp: &Stamp) -> Result<Saved, RecordError> {
        let (kind, body) = line_of(entry);
        let mut journal = self.journal();
        match journal.append(&kind, body.clone(), stamp.clone()) {
            // A full file is no fault of the disk: the job goes on in a new file beside it.
            Err(RecordError::FileFull { .. }) => {
                journal.move_to(&self.folder, stamp)?;
                journal.append(&kind, body, stamp.clone())
            }
            other => other,
        }
    }

    /// Goes on in a new file, in this or another folder, and saves the entry that waits.
    ///
    /// # Errors
    /// That folder cannot be written either; the entry still waits and this can be tried again.
    pub fn save_elsewhere(&mut self, folder: &Path) -> Result<MadeSure, EnterError> {
        let moved = self.journal().move_to(folder, &self.clock.stamp());
        self.take_in()?;
        let written = moved.map_err(EnterError::NotSaved)?;
        folder.clone_into(&mut self.folder);
        let sure = self.make_sure()?;
        Ok(MadeSure { saved: written.into_iter().last().or(sure.saved), ..sure })
    }

    /// Takes back the last standing entry by a new one. Nothing is erased.
    ///
    /// # Errors
    /// As [`OpenJob::enter`].
    pub fn undo(&mut self) -> Result<Option<(Saved, Entry)>, EnterError> {
        let Some((of, entry)) = self.job.last_standing() else { return Ok(None) };
        let saved = self.enter(Entry::Undo { of })?;
        Ok(Some((saved, entry)))
    }
}
