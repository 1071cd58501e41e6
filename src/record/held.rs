//! A head that was written down, on a printed report say, held against a record as it is now.
//!
//! A chain of hashes cannot show by itself that whole lines were cut off its end, or that all of it was written anew; the line
//! that was last when the report was printed can. Must not know what an entry means.

use std::path::{Path, PathBuf};

use super::folder::walk;
use super::line::Entry;
use super::segment::{Segment, read_segment};
use super::{Disk, RecordError};

/// The fewest characters of a head that can be looked for.
pub const SHORTEST_HEAD: usize = 8;

/// Where a head stands now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeadFound {
    /// The file.
    pub path: PathBuf,
    /// Line in it, from 1.
    pub line: usize,
    /// Whole lines that follow it in that file.
    pub after: usize,
}

/// Looks in a file, or in all records of a folder, for the whole line whose hash begins so (8 to 64 digits `0-9a-f`; anything
/// else is found nowhere). Only lines in an unbroken chain from the beginning of their file count.
///
/// # Errors
/// The file or folder cannot be read. A file in the folder that cannot be read is passed over: a verify names it.
pub fn find_head(path: &Path, head: &str) -> Result<Option<HeadFound>, RecordError> {
    let head = head.trim().to_ascii_lowercase();
    let digits = head.bytes().all(|b| b.is_ascii_hexdigit());
    let about = std::fs::metadata(path).map_err(|e| RecordError::io("read", path, e))?;
    if !about.is_dir() {
        let segment = read_segment(path)?;
        return Ok(in_file(&segment, &head).filter(|_| digits));
    }
    let found = walk(&Disk, path)?;
    let files = found.jobs.into_values().flatten().chain(found.unnamed.into_iter().map(|(file, _)| file));
    let mut hits = files.filter_map(|file| in_file(&read_segment(&file).ok()?, &head));
    Ok(hits.next().filter(|_| digits))
}

fn in_file(segment: &Segment, head: &str) -> Option<HeadFound> {
    if head.len() < SHORTEST_HEAD {
        return None;
    }
    let lines: Vec<&Entry> = segment.header.iter().map(|h| &h.line).chain(&segment.entries).collect();
    let at = lines.iter().position(|entry| entry.hash.starts_with(head))?;
    Some(HeadFound { path: segment.path.clone(), line: lines[at].line, after: lines.len() - at - 1 })
}
