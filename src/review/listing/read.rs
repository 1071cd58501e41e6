//! The list itself: names from the folders, rows from the index where files are as they were, else from the records.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use chrono::DateTime;
use rayon::prelude::*;

use super::index::{self, Index, Kept, Mark};
use super::{Row, Worked, copies, lines};
use crate::record::{JobId, RecordError, files_of, read_listed};
use crate::text::safe_text;

/// The records of one or more folders.
#[derive(Debug, Default)]
pub struct Listing {
    /// One row for each job, the one begun last first, then files that no job can be read from.
    pub rows: Vec<Row>,
    /// What was not looked at, as sentences: folders that cannot be read, links, pipes.
    pub skipped: Vec<String>,
    /// What is to be said of the index, as sentences. Nothing is lost with it.
    pub notes: Vec<String>,
    /// How many jobs were taken from the index, the others having been read.
    pub from_index: usize,
    cache: Option<PathBuf>,
    shelves: Vec<Shelf>,
}

/// What the index is to keep of one folder.
#[derive(Debug)]
struct Shelf {
    folder: PathBuf,
    jobs: Vec<Kept>,
}

/// Lists the records of these folders. `cache` is the folder of the index; none does without.
///
/// # Errors
/// Where none of the folders can be read. One that cannot be among others that can is said in [`Listing::skipped`].
pub fn list(folders: &[PathBuf], cache: Option<&Path>) -> Result<Listing, RecordError> {
    let mut listing = Listing { cache: cache.map(Path::to_owned), ..Listing::default() };
    let mut by_job: BTreeMap<JobId, Vec<(usize, Row)>> = BTreeMap::new();
    let mut nameless: Vec<Row> = Vec::new();
    let mut names: Vec<PathBuf> = Vec::new();
    let mut fault = None;
    for folder in folders {
        // One folder under two names is one.
        let whole = folder.canonicalize().unwrap_or_else(|_| folder.clone());
        if names.contains(&whole) {
            continue;
        }
        match one_folder(&mut listing, &whole) {
            Ok((rows, unnamed)) => {
                for (id, row) in rows {
                    by_job.entry(id).or_default().push((names.len(), row));
                }
                nameless.extend(unnamed);
                names.push(whole);
            }
            Err(why) => {
                listing.skipped.push(why.to_string());
                fault = Some(why);
            }
        }
    }
    if let (true, Some(fault)) = (names.is_empty(), fault) {
        return Err(fault);
    }
    for (id, mut rows) in by_job {
        let row = match rows.len() {
            1 => rows.pop().map(|(_, row)| row),
            _ => copies::together(&id, rows.into_iter().map(|(at, row)| (names[at].as_path(), row)).collect()),
        };
        listing.rows.extend(row);
    }
    // Names sort by the time a job was begun, which settles what the wall time does not.
    listing.rows.sort_by_cached_key(|row| std::cmp::Reverse((begun(&row.opened), row.id.clone())));
    nameless.dedup_by(|a, b| a.files == b.files);
    listing.rows.extend(nameless);
    Ok(listing)
}

fn begun(wall: &str) -> Option<i64> {
    DateTime::parse_from_rfc3339(wall).ok().map(|t| t.timestamp_micros())
}

/// Nanoseconds since 1970.
fn now() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(since.as_nanos()).unwrap_or(i64::MAX)
}

type Rows = (Vec<(JobId, Row)>, Vec<Row>);

fn one_folder(listing: &mut Listing, folder: &Path) -> Result<Rows, RecordError> {
    let found = files_of(folder)?;
    listing.skipped.extend(found.skipped.into_iter().map(|(_, said)| said));
    let index = listing.cache.as_ref().map(|cache| Index::read(cache, folder)).unwrap_or_default();
    let at = now();
    let jobs: Vec<(JobId, Vec<PathBuf>)> = found.jobs.into_iter().collect();
    let made: Vec<(bool, Kept, Option<Row>)> = jobs
        .par_iter()
        .map(|(id, files)| {
            // Marks first: what changes while it is read is read again the next time.
            let marks: Option<Vec<Mark>> = files.iter().map(|file| Mark::of(folder, file)).collect();
            if let Some(kept) = marks.as_ref().and_then(|marks| index.of(id, marks)) {
                return (true, kept.clone(), kept.row(files));
            }
            let row = lines::row(&read_listed(id, files));
            (false, index::kept(id, marks.unwrap_or_default(), row.clone()), row)
        })
        .collect();
    let taken = made.iter().filter(|(from_index, ..)| *from_index).count();
    listing.from_index += taken;
    let fresh = taken < made.len() || index.len() != made.len();
    let mut shelf = Shelf { folder: folder.to_owned(), jobs: Vec::with_capacity(made.len()) };
    let mut rows = Vec::with_capacity(made.len());
    for ((id, _), (_, kept, row)) in jobs.into_iter().zip(made) {
        shelf.jobs.push(kept);
        rows.extend(row.map(|row| (id, row)));
    }
    if fresh {
        listing.write(&shelf, at);
    }
    listing.shelves.push(shelf);
    let unread = |(path, why): (PathBuf, String)| Row::unread(String::new(), vec![path], why);
    Ok((rows, found.unnamed.into_iter().map(unread).collect()))
}

impl Listing {
    /// Takes in what was worked out of a row, for the index too.
    pub fn take(&mut self, at: usize, worked: Worked) {
        let Some(row) = self.rows.get_mut(at) else { return };
        // What it was closed as gives way to what its record bears out.
        row.state = worked.ending.map_or(row.state, super::State::Closed);
        row.worked = Some(worked);
        for shelf in &mut self.shelves {
            // Kept in the order of their names, as the folder was walked.
            if let Ok(kept) = shelf.jobs.binary_search_by(|kept| kept.id().cmp(&row.id)) {
                shelf.jobs[kept].take_worked(row);
            }
        }
    }

    /// Writes the index anew, with what was worked out. That it cannot be written is noted, and no fault.
    pub fn keep(&mut self) {
        let at = now();
        for shelf in std::mem::take(&mut self.shelves) {
            self.write(&shelf, at);
            self.shelves.push(shelf);
        }
    }

    fn write(&mut self, shelf: &Shelf, at: i64) {
        let Some(cache) = &self.cache else { return };
        if let Err(why) = index::write(cache, &shelf.folder, &shelf.jobs, at) {
            let cache = safe_text(&cache.to_string_lossy()).into_owned();
            let note = format!("The index in {cache} cannot be written ({why}), so records are read anew each time.");
            if !self.notes.contains(&note) {
                self.notes.push(note);
            }
        }
    }
}
