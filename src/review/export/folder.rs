//! The folder of an export: written beside its place, and put there whole.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use chrono::{DateTime, Datelike as _};

use super::schema::schema;
use super::write::{csv_bytes, json_lines};
use crate::record::Summary;
use crate::review::rows::{Row, Sheet};
use crate::shop::{Shop, ShopError};
use crate::text::safe_text;

/// Name of the schema in the folder.
const SCHEMA: &str = "SCHEMA.md";

/// What was exported.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Exported {
    /// Jobs, those that could not be read included.
    pub jobs: usize,
    /// Months.
    pub months: usize,
    /// Jobs of which there are no more than the header's words and the kinds of the entries; why, a sentence each.
    pub unread: Vec<String>,
}

/// Why nothing was exported.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
    /// The records.
    #[error("{0}")]
    Shop(#[from] ShopError),
    /// There is something in the folder already.
    #[error("{} is there already and is not an empty folder. Name a new folder, or move the old one away.", safe_text(&.0.to_string_lossy()))]
    NotEmpty(PathBuf),
    /// The folder is in a records folder, where its files would be taken for records.
    #[error("{} is among the records, where the tables would be taken for records. Name a folder outside {}.",
        safe_text(&.folder.to_string_lossy()), safe_text(&.records.to_string_lossy()))]
    Inside {
        /// The folder named.
        folder: PathBuf,
        /// The records folder.
        records: PathBuf,
    },
    /// The folder cannot be written.
    #[error("{} cannot be written: {why}. Name a folder that you can write to.", safe_text(&.path.to_string_lossy()))]
    Write {
        /// What could not be written.
        path: PathBuf,
        /// Why.
        why: io::Error,
    },
}

/// Writes the tables of these shops' records to a folder that is new or empty. A job that is in two of them is exported once, from the
/// folder in which it has more entries; that it was in both is said.
///
/// # Errors
/// Records that cannot be listed, and a folder that is not empty or cannot be written: then there is no folder.
pub fn export(shops: &[Shop], folder: &Path) -> Result<Exported, ExportError> {
    check_place(shops, folder)?;
    let mut done = Exported::default();
    let months = by_month(shops, &mut done)?;
    // A name of this process's own, so that nobody else's unfinished export is taken for this one.
    let mut name = folder.file_name().unwrap_or_default().to_owned();
    name.push(format!(".unfinished-{}", std::process::id()));
    let making = folder.with_file_name(name);
    let written = write_all(shops, &months, &making, &mut done).and_then(|()| put_in_place(&making, folder));
    if written.is_err() {
        // What failed is said; that its beginnings could not be taken away adds nothing.
        let _ = std::fs::remove_dir_all(&making);
    }
    written.map(|()| done)
}

/// Refuses a folder that holds something, that cannot be looked at, or that is among the records.
fn check_place(shops: &[Shop], folder: &Path) -> Result<(), ExportError> {
    let fault = |why| ExportError::Write { path: folder.to_owned(), why };
    match std::fs::read_dir(folder) {
        Ok(mut items) => {
            if items.next().is_some() {
                return Err(ExportError::NotEmpty(folder.to_owned()));
            }
        }
        Err(why) if why.kind() == io::ErrorKind::NotFound => {}
        Err(why) => return Err(fault(why)),
    }
    let whole = std::path::absolute(folder).map_err(fault)?;
    for shop in shops {
        let records = std::path::absolute(shop.records()).map_err(fault)?;
        if whole.starts_with(&records) {
            return Err(ExportError::Inside { folder: folder.to_owned(), records });
        }
    }
    Ok(())
}

/// Year and month, and the jobs of each shop in it.
type Months = BTreeMap<(i32, u32), BTreeMap<usize, Vec<Summary>>>;

fn by_month(shops: &[Shop], done: &mut Exported) -> Result<Months, ExportError> {
    let mut jobs: BTreeMap<String, (usize, Summary)> = BTreeMap::new();
    for (at, shop) in shops.iter().enumerate() {
        let (summaries, unread) = shop.summaries()?;
        done.unread.extend(unread);
        for summary in summaries {
            // Begun, and nothing saved: there is no job.
            if summary.entries == 0 && summary.trouble.is_none() {
                continue;
            }
            let id = summary.id.to_string();
            match jobs.get(&id) {
                Some((_, other)) if other.head == summary.head => {}
                Some((_, other)) => {
                    done.unread.push(format!(
                        "Job {id} is in two folders with different ends; the one with more entries was exported. Bring its files together in one folder."
                    ));
                    if summary.entries > other.entries {
                        jobs.insert(id, (at, summary));
                    }
                }
                None => {
                    jobs.insert(id, (at, summary));
                }
            }
        }
    }
    let mut months = Months::new();
    for (at, summary) in jobs.into_values() {
        months.entry(month(&summary)).or_default().entry(at).or_default().push(summary);
    }
    Ok(months)
}

/// Year and month of a job in UTC: of its header, or 1970-01 where that cannot be read.
fn month(summary: &Summary) -> (i32, u32) {
    let time = DateTime::parse_from_rfc3339(&summary.started).map(|t| t.to_utc()).unwrap_or_default();
    (time.year(), time.month())
}

fn write_all(shops: &[Shop], months: &Months, top: &Path, done: &mut Exported) -> Result<(), ExportError> {
    put(top, SCHEMA, schema().as_bytes())?;
    for ((year, month), by_shop) in months {
        let mut sheets: Vec<Sheet> = Vec::new();
        for (at, summaries) in by_shop {
            let jobs: Vec<_> = summaries.iter().map(|s| (s.id.clone(), s.files.clone())).collect();
            sheets.extend(shops[*at].each_past(&jobs, Sheet::of));
        }
        sheets.sort_by(|a, b| a.job.job.cmp(&b.job.job));
        done.months += 1;
        done.jobs += sheets.len();
        done.unread.extend(sheets.iter().filter(|s| s.job.state == "unread").map(|s| s.job.trouble.clone()));
        let place = format!("year={year:04}/month={month:02}");
        table(top, &place, sheets.iter().map(|s| &s.job))?;
        table(top, &place, sheets.iter().flat_map(|s| &s.entries))?;
        table(top, &place, sheets.iter().flat_map(|s| &s.readings))?;
        table(top, &place, sheets.iter().flat_map(|s| &s.causes))?;
    }
    Ok(())
}

fn table<'a, R: Row + 'a>(top: &Path, place: &str, rows: impl Iterator<Item = &'a R>) -> Result<(), ExportError> {
    let rows: Vec<&R> = rows.collect();
    let name = R::TABLE;
    let csv = csv_bytes(&rows).map_err(|why| ExportError::Write { path: top.to_owned(), why: why.into() })?;
    put(&top.join("csv").join(name).join(place), &format!("{name}.csv"), &csv)?;
    put(&top.join("jsonl").join(name).join(place), &format!("{name}.jsonl"), json_lines(&rows).as_bytes())
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), ExportError> {
    let path = folder.join(name);
    let written = std::fs::create_dir_all(folder).and_then(|()| std::fs::write(&path, bytes));
    written.map_err(|why| ExportError::Write { path, why })
}

fn put_in_place(making: &Path, folder: &Path) -> Result<(), ExportError> {
    // A rename takes the place of an empty folder.
    std::fs::rename(making, folder).map_err(|why| ExportError::Write { path: folder.to_owned(), why })
}
