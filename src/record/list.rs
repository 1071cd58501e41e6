//! The list of records in a folder, and the check of a file or folder.
//!
//! Each file is read whole and every hash in it checked, by several threads, so that a damaged record is seen in the list
//! already. A summary is small and made of plain data, so that an index can keep it one day. Must not know
//! what an entry means.

use std::path::{Path, PathBuf};

use rayon::prelude::*;
use serde_json::Value;

use super::error::show;
use super::fault::{Class, Fault};
use super::folder::walk;
use super::job::{JobRecord, ReadFile, SetAside, join, read_files};
use super::segment::read_segment;
use super::stamp::time_of;
use super::{Disk, JobId, RecordError};
use crate::text::safe_text;

/// One line of the list of records.
#[derive(Debug, Clone)]
pub enum Listed {
    /// A job. [`Summary::trouble`] says when something is wrong with it.
    Job(Box<Summary>),
    /// A file that no job can be read from.
    Damaged {
        /// The file.
        path: PathBuf,
        /// How bad it is: with a torn beginning no job was ever begun in it.
        class: Class,
        /// What is wrong, as a sentence.
        sentence: String,
    },
    /// Something that was not looked at: a link, a pipe.
    Skipped {
        /// What it is called.
        path: PathBuf,
        /// Why, as a sentence.
        sentence: String,
    },
}

/// What the list shows of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Summary {
    /// The job.
    pub id: JobId,
    /// Wall time when it was begun.
    pub started: String,
    /// Wall time of its last entry (of the first branch when it parts), or of its beginning.
    pub last: String,
    /// Kind of that entry; empty when there is none.
    pub last_kind: String,
    /// How many entries it has, those of all branches counted.
    pub entries: usize,
    /// Devices that wrote to it.
    pub devices: Vec<String>,
    /// What the job room put in when it was begun.
    pub extra: Value,
    /// Hash of the last line of its common part.
    pub head: String,
    /// Its files.
    pub files: Vec<PathBuf>,
    /// How bad the files are.
    pub class: Class,
    /// What is wrong first of all, as a sentence: damage, a job that parts, or a torn tail.
    pub trouble: Option<String>,
    /// Whether a person has to look before it is gone on with: it parts, or is damaged and nobody has looked yet.
    pub doubtful: bool,
}

/// Lists the records in a folder, the one last worked on first; what cannot be shown as a job comes at the end.
pub fn list(folder: &Path) -> Result<Vec<Listed>, RecordError> {
    let found = walk(&Disk, folder)?;
    let jobs: Vec<(JobId, Vec<PathBuf>)> = found.jobs.into_iter().collect();
    let mut listed: Vec<Listed> =
        jobs.par_iter().map(|(id, paths)| summarise(&join(id, &read_files(&Disk, paths)))).collect();
    // Ids sort by the time a job was begun, which settles what the time of the last entry does not.
    listed.sort_by_cached_key(|l| std::cmp::Reverse(newest(l)));
    listed.extend(found.unnamed.into_iter().map(|(path, sentence)| Listed::Damaged {
        path,
        class: Class::Damaged,
        sentence,
    }));
    let skipped = found.skipped.into_iter();
    listed.extend(skipped.map(|(path, sentence)| Listed::Skipped { path, sentence }));
    Ok(listed)
}

fn newest(listed: &Listed) -> Option<(i64, JobId)> {
    match listed {
        Listed::Job(s) => Some((time_of(&s.last).unwrap_or(i64::MIN), s.id.clone())),
        _ => None,
    }
}

fn summarise(record: &JobRecord) -> Listed {
    let trouble = record.trouble();
    if record.holds_nothing() {
        let sentence = trouble.unwrap_or_else(|| "The file holds no record.".to_owned());
        let path = record.files.first().cloned().unwrap_or_default();
        return Listed::Damaged { path, class: record.class(), sentence };
    }
    let branches: usize = record.branches.iter().map(|b| b.entries.len()).sum();
    let in_branch = record.branches.iter().find_map(|b| b.entries.last());
    let last = in_branch.or(record.entries.last());
    Listed::Job(Box::new(Summary {
        id: record.id.clone(),
        started: record.started.clone(),
        last: last.map_or_else(|| record.started.clone(), |e| e.stamp.wall.clone()),
        last_kind: last.map(|e| e.kind.clone()).unwrap_or_default(),
        entries: record.entries.len() + branches,
        devices: record.devices.clone(),
        extra: record.extra.clone(),
        head: record.head.clone(),
        files: record.files.clone(),
        class: record.class(),
        doubtful: record.branches.len() > 1 || !record.doubts.is_empty(),
        trouble,
    }))
}

/// What a verify found.
#[derive(Debug, Clone, Default)]
pub struct Report {
    /// Each file.
    pub files: Vec<FileReport>,
    /// What is wrong with how the files of a job fit together, jobs that part included, as sentences.
    pub joins: Vec<String>,
    /// Ends of jobs that were set aside with entries in them, as sentences.
    pub set_aside: Vec<String>,
    /// The end of each job that has several files, as sentences.
    pub ends: Vec<String>,
    /// What was not looked at, as sentences.
    pub skipped: Vec<String>,
}

/// What a verify found in one file.
#[derive(Debug, Clone)]
pub struct FileReport {
    /// The file.
    pub path: PathBuf,
    /// Whole entries before any damage, the record's own lines included, the header not.
    pub entries: usize,
    /// Hash of the last whole line before any damage, to be held against the one on a printed report.
    pub head: String,
    /// How bad it is.
    pub class: Class,
    /// What is wrong.
    pub faults: Vec<Fault>,
    /// What is odd but not wrong.
    pub notes: Vec<String>,
}

/// The exit code of a verify that found nothing wrong, but did not look at everything, or found entries set aside.
const NOT_ALL: u8 = 4;

impl Report {
    /// The exit code: that of the worst found; 4 where nothing is wrong with what was looked at, but something was not
    /// looked at, nothing was there to look at, or entries were set aside.
    #[must_use]
    pub fn exit_code(&self) -> u8 {
        let all = self.skipped.is_empty() && self.set_aside.is_empty() && !self.files.is_empty();
        if self.class() == Class::Ok && !all { NOT_ALL } else { self.class().exit_code() }
    }

    /// The worst of all: its number is the exit code. Files that do not fit together count as damage.
    #[must_use]
    pub fn class(&self) -> Class {
        let joins = if self.joins.is_empty() { Class::Ok } else { Class::Damaged };
        self.files.iter().map(|f| f.class).fold(joins, Class::worse)
    }
}

/// Checks every hash and chain in one file, or in all records of a folder and between them.
///
/// An error means that the file or folder could not be read at all.
pub fn verify(path: &Path) -> Result<Report, RecordError> {
    let found = std::fs::metadata(path).map_err(|e| RecordError::io("read", path, e))?;
    if !found.is_dir() {
        let segment = read_segment(path)?;
        return Ok(Report { files: vec![report(&Ok(segment))], ..Report::default() });
    }
    let found = walk(&Disk, path)?;
    let mut jobs: Vec<(Option<JobId>, Vec<PathBuf>)> = Vec::new();
    jobs.extend(found.jobs.into_iter().map(|(id, files)| (Some(id), files)));
    jobs.extend(found.unnamed.into_iter().map(|(file, _)| (None, vec![file])));
    let parts: Vec<(Vec<FileReport>, Between)> = jobs
        .par_iter()
        .map(|(id, paths)| {
            let files = read_files(&Disk, paths);
            let reports: Vec<FileReport> = files.iter().map(report).collect();
            let between = id.as_ref().map(|id| between(&join(id, &files), &reports));
            (reports, between.unwrap_or_default())
        })
        .collect();
    let mut whole = Report { skipped: found.skipped.into_iter().map(|(_, said)| said).collect(), ..Report::default() };
    for (files, between) in parts {
        whole.files.extend(files);
        whole.joins.extend(between.joins);
        whole.set_aside.extend(between.set_aside);
        whole.ends.extend(between.end);
    }
    Ok(whole)
}

/// What is to be said of a job beside what is said of its files.
#[derive(Debug, Default)]
struct Between {
    joins: Vec<String>,
    set_aside: Vec<String>,
    end: Option<String>,
}

/// What is wrong with the job that is not wrong with one of its files.
fn between(record: &JobRecord, files: &[FileReport]) -> Between {
    let of_file = |fault: &&Fault| files.iter().any(|f| f.faults.contains(fault));
    let faults = record.faults.iter().filter(|fault| !of_file(fault)).map(|fault| fault.sentence.clone());
    let aside = |a: &SetAside| {
        format!(
            "Job {}: entries at the end {} of {} are not in the job any more: {}. {} of {} set them aside. Where a job parts, a person chooses so; where nobody did, that file is forged. Ask who did it, and hold the head on a printed report against the job with --head.",
            record.id,
            short_head(&a.head),
            show(&a.file),
            a.entries,
            show(&a.by),
            safe_text(&a.when)
        )
    };
    let end = (files.len() > 1 && record.branches.is_empty() && !record.head.is_empty()).then(|| {
        let (id, head, entries) = (&record.id, short_head(&record.head), record.entries.len());
        format!("Job {id}: its {} files together have {entries} entries, head {head}.", files.len())
    });
    Between {
        joins: faults.chain(record.forked().map(|e| e.to_string())).collect(),
        set_aside: record.set_aside.iter().map(aside).collect(),
        end,
    }
}

/// The part of a hash that is printed for people.
fn short_head(hash: &str) -> &str {
    hash.get(..16).unwrap_or(hash)
}

fn report(file: &ReadFile) -> FileReport {
    match file {
        Ok(segment) => FileReport {
            path: segment.path.clone(),
            entries: segment.entries.len(),
            head: segment.head.clone(),
            class: segment.class(),
            faults: segment.faults.clone(),
            notes: segment.notes.clone(),
        },
        Err((path, error)) => FileReport {
            path: path.clone(),
            entries: 0,
            head: String::new(),
            class: Class::Damaged,
            faults: vec![Fault { line: 0, kind: super::fault::FaultKind::NotRead, sentence: error.to_string() }],
            notes: Vec::new(),
        },
    }
}
