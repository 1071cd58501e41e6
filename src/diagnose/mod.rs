//! Evidence in, ranked causes and next actions out; no questions.
//!
//! Owns the evidence file and what is said of it. It turns the file into the same entries that a walkthrough makes, so that both come
//! to the same numbers. Must not know a screen, a command or a record.

mod entries;
mod evidence;
mod findings;
mod table;

use std::path::Path;
use std::sync::Arc;

pub use evidence::Evidence;
pub use findings::{AlikeFound, CauseFound, Findings, Instead, NextAction, SetFound, Then, WhatIf};
pub use table::table;

use crate::job::Job;
use crate::shop::ShopError;
use crate::trees::{Library, Strict};

/// Reads an evidence file and works its job out.
///
/// # Errors
/// Faults of the file, its layout or its aircraft's card, each with place and mend.
pub fn job(library: &Library, path: &Path) -> Result<Job, ShopError> {
    let evidence: Strict<Evidence> = Strict::read(path).map_err(ShopError::Trees)?;
    job_of(library, &evidence, path.parent().unwrap_or(Path::new("")))
}

/// The job of evidence that is read already. Paths in it count from `folder`.
///
/// # Errors
/// As [`job`].
pub fn job_of(library: &Library, evidence: &Strict<Evidence>, folder: &Path) -> Result<Job, ShopError> {
    let card = evidence::card(library, evidence, folder)?;
    let layout = evidence::layout(library, evidence, folder, card.as_ref())?;
    let model = Arc::new(crate::shop::model(library, &layout, card.as_ref())?);
    entries::fold(&model, evidence, layout, card, library.digest())
}
