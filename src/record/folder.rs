//! The records folder: which files are in it, and which of them belong to a job.
//!
//! Never goes through a link. Must not know what is in a file.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use super::error::show;
use super::medium::{Item, Medium, Sort};
use super::{Disk, JobId, RecordError};

/// Year, month, and room for folders a person made.
const DEPTH: usize = 5;

/// How many names in hidden folders are looked at.
const HIDDEN_CAP: usize = 10_000;

/// What a walk through a folder found, by names alone.
#[derive(Debug, Default)]
pub struct Found {
    /// Files of each job, by the id their names begin with, in order of name.
    pub jobs: BTreeMap<JobId, Vec<PathBuf>>,
    /// Record files whose names begin with no id, and why they are not read, as a sentence.
    pub unnamed: Vec<(PathBuf, String)>,
    /// What was not looked at, and why, as a sentence.
    pub skipped: Vec<(PathBuf, String)>,
}

/// The record files of a folder, by the jobs they are named after. Nothing in them is read.
///
/// Only a top folder that cannot be read is an error.
pub fn files_of(folder: &Path) -> Result<Found, RecordError> {
    walk(&Disk, folder)
}

/// Walks through the folder. Only a top folder that cannot be read is an error.
pub(crate) fn walk(medium: &dyn Medium, top: &Path) -> Result<Found, RecordError> {
    let mut found = Found::default();
    let mut open = vec![(top.to_owned(), 0)];
    while let Some((folder, depth)) = open.pop() {
        let items = match medium.items(&folder) {
            Ok(items) => items,
            Err(e) if depth == 0 => return Err(RecordError::io("list", &folder, e)),
            Err(e) => {
                let said = RecordError::io("list", &folder, e).to_string();
                found.skipped.push((folder, said));
                continue;
            }
        };
        for item in items {
            let name = item.path.file_name().unwrap_or_default().to_string_lossy();
            if name.starts_with('.') {
                if hides_records(medium, &item) {
                    let said =
                        format!("{} is hidden and was not looked at, though it holds records.", show(&item.path));
                    found.skipped.push((item.path, said));
                }
                continue;
            }
            match item.sort {
                Sort::Folder if depth < DEPTH => open.push((item.path, depth + 1)),
                Sort::Folder => {
                    let said = format!(
                        "{} lies deeper than {DEPTH} folders and was not looked at. Bring what is in it further up.",
                        show(&item.path)
                    );
                    found.skipped.push((item.path, said));
                }
                Sort::File if name.ends_with(".jsonl") => {
                    if let Some(id) = JobId::of_file_name(&name) {
                        found.jobs.entry(id).or_default().push(item.path);
                    } else {
                        let said = unnamed(&item.path);
                        found.unnamed.push((item.path, said));
                    }
                }
                Sort::File => {}
                Sort::Odd(what) => {
                    let said = format!(
                        "{} is {what} and was skipped: records are read from plain files only.",
                        show(&item.path)
                    );
                    found.skipped.push((item.path, said));
                }
            }
        }
    }
    for files in found.jobs.values_mut() {
        files.sort();
    }
    found.unnamed.sort();
    found.skipped.sort();
    Ok(found)
}

/// Whether something whose name begins with a full stop is a record, or a folder with one in it, by names alone. Other
/// programs keep their own things in such folders, which are nobody's loss.
fn hides_records(medium: &dyn Medium, item: &Item) -> bool {
    let is_record = |item: &Item| item.sort == Sort::File && item.path.extension().is_some_and(|e| e == "jsonl");
    if is_record(item) {
        return true;
    }
    let mut open = vec![(item.clone(), 0)];
    let mut looked = 0;
    while let Some((item, depth)) = open.pop() {
        if item.sort != Sort::Folder || depth > DEPTH {
            continue;
        }
        for inner in medium.items(&item.path).unwrap_or_default() {
            looked += 1;
            if is_record(&inner) || looked > HIDDEN_CAP {
                return is_record(&inner);
            }
            open.push((inner, depth + 1));
        }
    }
    false
}

fn unnamed(path: &Path) -> String {
    format!(
        "{} is not named as a record is (job id, device, \"jsonl\"), so it was not read. Give it back its name, or move it away.",
        show(path)
    )
}

/// The files of one job, in order of name. Copies that a sync program has renamed are among them, as long as the name
/// still begins with the id.
pub(crate) fn segment_paths(medium: &dyn Medium, folder: &Path, id: &JobId) -> Result<Vec<PathBuf>, RecordError> {
    Ok(walk(medium, folder)?.jobs.remove(id).unwrap_or_default())
}
