//! What a shop lead adds to a record: remarks and review marks, in the folder where the job is furthest.

use std::path::{Path, PathBuf};

use super::{EnterError, Shop, ShopError};
use crate::job::{Entry, Job};
use crate::record::{JobId, Saved, read_job, read_listed};

/// Why a lead's word was not taken.
#[derive(Debug, thiserror::Error)]
pub enum SayError {
    /// The record could not be opened.
    #[error("{0}")]
    Shop(#[from] ShopError),
    /// It does not fit the job, or could not be saved.
    #[error("{0}")]
    Enter(#[from] EnterError),
    /// No folder holds all of the job.
    #[error(
        "No one folder holds all of job {0}, so nothing was added: bring its files together in one folder, then say it again."
    )]
    InPieces(String),
}

/// A lead's word that is taken.
#[derive(Debug)]
pub struct Said {
    /// The job as it is now.
    pub job: Job,
    /// Hash of its last line, 16 characters.
    pub head: String,
    /// The proof that the word is on disk.
    pub saved: Saved,
}

impl Shop {
    /// Adds an entry to a job that is open nowhere else, and gives the job back as it is then. The record stays as it
    /// was: an entry more is at its end.
    ///
    /// # Errors
    /// As [`Shop::resume`], and where the entry does not fit or cannot be saved.
    pub fn say(&self, id: &str, entry: Entry) -> Result<Said, SayError> {
        let (mut open, _) = self.resume(id)?;
        let saved = open.enter(entry)?;
        Ok(Said { job: open.job().clone(), head: open.head(), saved })
    }

    /// As [`Shop::say`], for a job whose files a list has named, in whatever folders they are: it is added to the folder that holds all
    /// of it, the first by name where several do.
    ///
    /// # Errors
    /// As [`Shop::say`], and where the job is in pieces.
    pub fn say_among(&self, id: &JobId, files: &[PathBuf], entry: Entry) -> Result<Said, SayError> {
        let head = read_listed(id, files).head;
        // A file of a record is YYYY/MM/NAME in its folder.
        let mut folders: Vec<&Path> = files.iter().filter_map(|file| file.ancestors().nth(3)).collect();
        folders.dedup();
        let whole = |folder: &&Path| read_job(folder, id).is_ok_and(|record| record.head == head);
        let folder = folders.into_iter().find(whole).ok_or_else(|| SayError::InPieces(id.to_string()))?;
        Self::with(self.library.clone(), Some(folder))?.say(id.as_str(), entry)
    }
}
