//! What can keep the shop from doing as asked.

use crate::job::{Entry, Refusal};
use crate::record::RecordError;
use crate::trees::{Diagnostic, render_all};

/// Why a job could not be started, gone on with or looked at.
#[derive(Debug, thiserror::Error)]
pub enum ShopError {
    /// Faults of trees, layout or card.
    #[error("{}", render_all(.0))]
    Trees(Vec<Diagnostic>),
    /// The record.
    #[error("{0}")]
    Record(#[from] RecordError),
    /// The opening does not fit the tree.
    #[error("The job cannot be opened: {0}.")]
    Opening(Refusal),
    /// A layout was asked for that is not the card's.
    #[error(
        "The aircraft's card says that its layout is {card}, but {asked} was asked for. Leave the layout out, or mend the card."
    )]
    OtherLayout {
        /// The card's.
        card: String,
        /// The one asked for, safe to show.
        asked: String,
    },
    /// No job of this name.
    #[error("There is no job \"{given}\" in {folder}.")]
    NoSuchJob {
        /// What was given.
        given: String,
        /// The records folder.
        folder: String,
    },
    /// The beginning of more than one job's name.
    #[error("\"{given}\" is the beginning of {} jobs: {}. Give a few more characters.", .ids.len(), .ids.join(", "))]
    Several {
        /// What was given.
        given: String,
        /// The jobs.
        ids: Vec<String>,
    },
    /// An entry of the record is not known to this version.
    #[error(
        "Entry {number} of job {id} cannot be understood: {why}. It may be from a newer version of the program; use that one."
    )]
    NotUnderstood {
        /// The job.
        id: String,
        /// The entry.
        number: u64,
        /// Why.
        why: String,
    },
    /// The trees do not fit the record.
    #[error(
        "Entry {number} of job {id} does not fit these trees: {refusal}. Use the trees it was opened on (--trees)."
    )]
    DoesNotFit {
        /// The job.
        id: String,
        /// The entry.
        number: u64,
        /// Why.
        refusal: Refusal,
    },
}

/// Why an entry was not taken.
#[derive(Debug, thiserror::Error)]
pub enum EnterError {
    /// It does not fit the job. Nothing was written.
    #[error("{0}")]
    Refused(#[from] Refusal),
    /// It could not be saved, and is not in the job. Where the error says it is kept, `OpenJob::save_elsewhere` saves it.
    #[error("{0}")]
    NotSaved(RecordError),
    /// An earlier entry still waits to be saved.
    #[error("An earlier entry is not saved yet, so this one was not taken. Save the job to another folder first.")]
    Waiting {
        /// The entry that waits.
        entry: Box<Entry>,
    },
}
