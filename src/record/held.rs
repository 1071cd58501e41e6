//! A head that was written down, on a printed report say, held against a job as it is now.
//!
//! A chain of hashes cannot show by itself that whole lines were cut off its end, or that all of it was written anew; the line
//! that was last when the report was printed can. It has to be on the job's path: a line that is whole in its file
//! and was set aside by another is not in the job any more. Must not know what an entry means.

use std::path::{Path, PathBuf};

use super::folder::walk;
use super::job::{JobRecord, ReadFile, join, read_files};
use super::line::Entry;
use super::medium::{Item, Medium as _, Sort};
use super::segment::{Segment, read_segment};
use super::{Disk, JobId, RecordError};

/// The fewest characters of a head that can be looked for.
pub const SHORTEST_HEAD: usize = 8;

/// Where a head stands now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeadFound {
    /// The file.
    pub path: PathBuf,
    /// Line in it, from 1.
    pub line: usize,
    /// Where that is in the job.
    pub place: Place,
}

/// Where a whole line is in its job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// On the job's path. Lines of the job that follow it; of the longest way where it parts after it.
    OnPath(usize),
    /// Beside the path: that end was set aside by this file, or does not hang on the job.
    Aside(Option<PathBuf>),
    /// In a file that no job can be read from: whole lines that follow it there.
    InFile(usize),
}

/// Looks in a file, or in all records of a folder, for the whole line whose hash begins so (8 to 64 digits `0-9a-f`; anything
/// else is found nowhere). Only lines in an unbroken chain from the beginning of their file count. Of a file, the
/// job's other files in the same folder are read too.
///
/// # Errors
/// The file or folder cannot be read. A file in the folder that cannot be read is passed over: a verify names it.
pub fn find_head(path: &Path, head: &str) -> Result<Option<HeadFound>, RecordError> {
    let head = head.trim().to_ascii_lowercase();
    if head.len() < SHORTEST_HEAD || !head.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Ok(None);
    }
    let about = std::fs::metadata(path).map_err(|e| RecordError::io("read", path, e))?;
    if !about.is_dir() {
        let own = read_segment(path)?;
        let Some(id) = own.header.as_ref().map(|header| header.job.clone()) else { return Ok(in_file(&own, &head)) };
        let folder = path.parent().filter(|p| *p != Path::new("")).unwrap_or(Path::new("."));
        let items = Disk.items(folder).map_err(|e| RecordError::io("list", folder, e))?;
        let same = |p: &PathBuf| p.file_name() == path.file_name();
        // The file may have a name of its own.
        let of_job = |item: &Item| {
            let name = item.path.file_name().unwrap_or_default().to_string_lossy();
            item.sort == Sort::File && (JobId::of_file_name(&name).as_ref() == Some(&id) || same(&item.path))
        };
        let paths: Vec<PathBuf> = items.into_iter().filter(of_job).map(|item| item.path).collect();
        return Ok(in_job(&id, &read_files(&Disk, &paths), &head).filter(|found| same(&found.path)));
    }
    let found = walk(&Disk, path)?;
    let in_jobs = found.jobs.iter().find_map(|(id, paths)| in_job(id, &read_files(&Disk, paths), &head));
    Ok(in_jobs.or_else(|| found.unnamed.iter().find_map(|(file, _)| in_file(&read_segment(file).ok()?, &head))))
}

fn in_job(id: &JobId, files: &[ReadFile], head: &str) -> Option<HeadFound> {
    let found = files.iter().flatten().find_map(|segment| line_of(segment, head).map(|line| (segment, line)));
    let (segment, line) = found?;
    let job = join(id, files);
    let setter = |hash: &str| {
        let mut headers = files.iter().flatten().filter_map(|s| Some((&s.path, s.header.as_ref()?)));
        headers.find(|(_, header)| header.sets_aside.iter().any(|aside| aside == hash)).map(|(path, _)| path.clone())
    };
    let place = match after(&job, &line.hash) {
        Some(after) => Place::OnPath(after),
        None if cfg!(broken = "file-head") => Place::OnPath(0),
        // Of the end that it is on, or of the line itself where it is the end.
        None => Place::Aside(
            job.set_aside.iter().find(|a| a.file == segment.path).map(|a| a.by.clone()).or_else(|| setter(&line.hash)),
        ),
    };
    Some(HeadFound { path: segment.path.clone(), line: line.line, place })
}

/// How many lines of the job follow this one, where it is on the job's path.
fn after(job: &JobRecord, hash: &str) -> Option<usize> {
    let behind = |path: &[String]| path.iter().position(|h| h == hash).map(|at| path.len() - at - 1);
    let longest = job.branches.iter().map(|b| b.path.len()).max().unwrap_or(0);
    let common = behind(&job.path).map(|after| after + longest);
    common.or_else(|| job.branches.iter().find_map(|b| behind(&b.path)))
}

fn in_file(segment: &Segment, head: &str) -> Option<HeadFound> {
    let line = line_of(segment, head)?;
    let last = segment.entries.last().map_or(line.line, |e| e.line);
    let place = Place::InFile(last.saturating_sub(line.line));
    Some(HeadFound { path: segment.path.clone(), line: line.line, place })
}

fn line_of<'a>(segment: &'a Segment, head: &str) -> Option<&'a Entry> {
    let lines = segment.header.iter().map(|h| &h.line).chain(&segment.entries);
    lines.into_iter().find(|entry| entry.hash.starts_with(head))
}
