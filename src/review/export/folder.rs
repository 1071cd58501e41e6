//! The folder of an export: written beside its place, and put there whole.

use std::collections::BTreeMap;
use std::io;
use std::path::{Path, PathBuf};

use chrono::{DateTime, Datelike as _};

use super::schema::schema;
use super::views::{Engine, views};
use super::write::{csv_bytes, json_lines};
use crate::record::JobId;
use crate::review::listing::Row as Listed;
use crate::review::sheet::sheet;
use crate::shop::Shop;
use crate::tables::{Row, Sheet};
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
    /// Jobs of which there are no more than the header's words and the kinds of the entries, and files that no job can be read from; why, a
    /// sentence each.
    pub unread: Vec<String>,
}

/// The forms that are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Forms {
    /// Both.
    #[default]
    Both,
    /// CSV alone.
    Csv,
    /// JSON Lines alone.
    JsonLines,
}

/// Why nothing was exported.
#[derive(Debug, thiserror::Error)]
pub enum ExportError {
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

/// Writes the tables of the listed jobs to a folder that is new or empty and lies in none of these records folders. `progress` is told how
/// many are done.
///
/// # Errors
/// A folder that is not empty or cannot be written: then there is no folder.
pub fn export(
    shop: &Shop,
    (records, listed): (&[PathBuf], &[&Listed]),
    folder: &Path,
    forms: Forms,
    mut progress: impl FnMut(usize),
) -> Result<Exported, ExportError> {
    let tables = Tables::begin(records, folder, forms)?;
    let mut done = Exported::default();
    for ((year, month), jobs) in by_month(listed, &mut done) {
        let sheets = shop.each_past(&jobs, sheet);
        done.unread.extend(sheets.iter().filter(|s| s.job.state == "unread").map(|s| s.job.trouble.clone()));
        tables.month(year, month, &sheets)?;
        done.months += 1;
        done.jobs += sheets.len();
        progress(done.jobs);
    }
    tables.finish()?;
    Ok(done)
}

/// Year and month, and the files of each job in it, in order of name.
type Months = BTreeMap<(i32, u32), Vec<(JobId, Vec<PathBuf>)>>;

fn by_month(listed: &[&Listed], done: &mut Exported) -> Months {
    let mut months = Months::new();
    for row in listed {
        match JobId::parse(&row.id) {
            Ok(id) => months.entry(month(&row.opened)).or_default().push((id, row.files.clone())),
            Err(_) => done.unread.extend(row.trouble.clone()),
        }
    }
    months.values_mut().for_each(|jobs| jobs.sort());
    months
}

/// Year and month of a wall time in UTC; 1970-01 where it cannot be read.
fn month(wall: &str) -> (i32, u32) {
    let time = DateTime::parse_from_rfc3339(wall).map(|t| t.to_utc()).unwrap_or_default();
    (time.year(), time.month())
}

/// An export being written, month by month. Dropped before it is finished, it leaves nothing behind.
#[derive(Debug)]
pub struct Tables {
    making: PathBuf,
    folder: PathBuf,
    forms: Forms,
}

impl Tables {
    /// Begins an export to a folder that is new or empty and lies in none of these records folders.
    ///
    /// # Errors
    /// A folder that does not fit, or cannot be written beside.
    pub fn begin(records: &[PathBuf], folder: &Path, forms: Forms) -> Result<Self, ExportError> {
        check_place(records, folder)?;
        // A name of this process's own, so that nobody else's unfinished export is taken for this one.
        let mut name = folder.file_name().unwrap_or_default().to_owned();
        name.push(format!(".unfinished-{}", std::process::id()));
        let tables = Self { making: folder.with_file_name(name), folder: folder.to_owned(), forms };
        put(&tables.making, SCHEMA, schema().as_bytes())?;
        for engine in Engine::ALL {
            put(&tables.making, engine.file(), views(engine, forms).as_bytes())?;
        }
        Ok(tables)
    }

    /// Writes the jobs that were begun in a month of UTC. Each month is written once.
    ///
    /// # Errors
    /// A file that cannot be written.
    pub fn month(&self, year: i32, month: u32, sheets: &[Sheet]) -> Result<(), ExportError> {
        let place = format!("year={year:04}/month={month:02}");
        self.table(&place, sheets.iter().map(|s| &s.job))?;
        self.table(&place, sheets.iter().flat_map(|s| &s.entries))?;
        self.table(&place, sheets.iter().flat_map(|s| &s.readings))?;
        self.table(&place, sheets.iter().flat_map(|s| &s.causes))?;
        self.table(&place, sheets.iter().flat_map(|s| &s.parts))?;
        self.table(&place, sheets.iter().flat_map(|s| &s.replaced))
    }

    fn table<'a, R: Row + 'a>(&self, place: &str, rows: impl Iterator<Item = &'a R>) -> Result<(), ExportError> {
        let rows: Vec<&R> = rows.collect();
        let (top, name) = (&self.making, R::TABLE);
        if self.forms != Forms::JsonLines {
            let csv = csv_bytes(&rows).map_err(|why| ExportError::Write { path: top.clone(), why: why.into() })?;
            put(&top.join("csv").join(name).join(place), &format!("{name}.csv"), &csv)?;
        }
        if self.forms != Forms::Csv {
            let lines = json_lines(&rows);
            put(&top.join("jsonl").join(name).join(place), &format!("{name}.jsonl"), lines.as_bytes())?;
        }
        Ok(())
    }

    /// Puts the export in its place.
    ///
    /// # Errors
    /// A place that cannot be taken; nothing is left behind then.
    pub fn finish(self) -> Result<(), ExportError> {
        // A rename takes the place of an empty folder.
        std::fs::rename(&self.making, &self.folder).map_err(|why| ExportError::Write { path: self.folder.clone(), why })
    }
}

impl Drop for Tables {
    fn drop(&mut self) {
        // Not there any more once it is in its place. What failed has been said; that its beginnings could not be taken away adds nothing.
        let _ = std::fs::remove_dir_all(&self.making);
    }
}

/// Refuses a folder that holds something, that cannot be looked at, or that is among the records.
fn check_place(records: &[PathBuf], folder: &Path) -> Result<(), ExportError> {
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
    let whole = whole(folder).map_err(fault)?;
    for records in records {
        if whole.starts_with(self::whole(records).map_err(fault)?) {
            return Err(ExportError::Inside { folder: folder.to_owned(), records: records.clone() });
        }
    }
    Ok(())
}

/// The path without links, as far as it is there: a link into the records is among them too.
fn whole(path: &Path) -> io::Result<PathBuf> {
    let path = std::path::absolute(path)?;
    let there = path.ancestors().find_map(|up| Some((up.canonicalize().ok()?, path.strip_prefix(up).ok()?)));
    Ok(there.map_or_else(|| path.clone(), |(up, rest)| up.join(rest)))
}

fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), ExportError> {
    let path = folder.join(name);
    let written = std::fs::create_dir_all(folder).and_then(|()| std::fs::write(&path, bytes));
    written.map_err(|why| ExportError::Write { path, why })
}
