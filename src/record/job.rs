//! One job, put together from all its files.
//!
//! Every line names the line before it by hash, so all lines of all files form a tree, whatever the files are called and whichever
//! copy a line was found in: a line that is there twice is one line, and lines that a merge has mixed up find their places
//! again. One path through the tree is the job; where it parts, both branches are shown and none is chosen.
//! Must not know: what an entry means.

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::error::show;
use super::fault::{Class, Fault, FaultKind};
use super::folder::segment_paths;
use super::line::{Entry, sha256};
use super::medium::Medium;
use super::segment::{JOB_CAP, Segment, read_segment_within};
use super::tree::Tree;
use super::{Disk, JobId, RecordError};

/// One job as its files tell it.
#[derive(Debug, Clone)]
pub struct JobRecord {
    /// The job.
    pub id: JobId,
    /// Wall time when it was begun; empty when its first header cannot be read.
    pub started: String,
    /// What the job room put in when it was begun.
    pub extra: Value,
    /// Devices that wrote to it, in order of first writing.
    pub devices: Vec<String>,
    /// The job's entries in order, up to the point where it parts, if it does. The record's own lines are left out.
    pub entries: Vec<Entry>,
    /// Two or more when the job parts after the last of `entries`; else empty.
    pub branches: Vec<Branch>,
    /// Hash of the last line of the common part: what a report prints.
    pub head: String,
    /// Number of that line.
    pub head_seq: u64,
    /// Hashes of the lines of the common part, the record's own among them, in order.
    pub(crate) path: Vec<String>,
    /// Ends of the job that were set aside and hold entries that are nowhere else in it.
    pub set_aside: Vec<SetAside>,
    /// What keeps a person from going on without looking, as long as nobody has looked.
    pub(crate) doubts: Vec<Doubt>,
    /// What is wrong with any of the files, or with how they fit together.
    pub faults: Vec<Fault>,
    /// What is odd but not wrong.
    pub notes: Vec<String>,
    /// The files, in order of name.
    pub files: Vec<PathBuf>,
}

/// One way a job goes on after it has parted.
#[derive(Debug, Clone)]
pub struct Branch {
    /// Hash of its last line.
    pub head: String,
    /// Number of that line.
    pub head_seq: u64,
    /// Device that wrote its last line.
    pub device: String,
    /// Its entries after the common part.
    pub entries: Vec<Entry>,
    /// Hashes of its lines after the common part, in order.
    pub(crate) path: Vec<String>,
}

/// An end of a job that a later file has set aside, with entries that are left out of the job by that. Where a job
/// parts a person chooses so; it is also how a forged file would hide what was saved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SetAside {
    /// Hash of its last line.
    pub head: String,
    /// How many entries are left out.
    pub entries: usize,
    /// The file its last line is in.
    pub file: PathBuf,
    /// The file that set it aside.
    pub by: PathBuf,
    /// Wall time when that was done.
    pub when: String,
}

/// Something about a job that a person has to see before it is gone on with.
#[derive(Debug, Clone)]
pub(crate) struct Doubt {
    /// What a later header sets aside when a person has seen it: the hash of a line, or of a damaged file's bytes. None
    /// where it has to be seen every time.
    pub mark: Option<String>,
    /// What it is, as a sentence.
    pub why: String,
}

impl JobRecord {
    /// How bad the job's files are. A job that parts is not damaged; see [`JobRecord::branches`].
    #[must_use]
    pub fn class(&self) -> Class {
        Class::of(&self.faults)
    }

    /// What is wrong with it first of all, as a sentence: damage, a job that parts, or a torn tail.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        let worst = self.faults.iter().find(|f| f.kind.class() == Class::Damaged).map(|f| f.sentence.clone());
        let fork = || self.forked().map(|e| e.to_string());
        worst.or_else(fork).or_else(|| self.faults.first().map(|f| f.sentence.clone()))
    }

    /// Whether no line of a job could be read from its files.
    #[must_use]
    pub fn holds_nothing(&self) -> bool {
        self.started.is_empty() && self.entries.is_empty() && self.branches.is_empty()
    }

    fn doubt(&mut self, line: usize, kind: FaultKind, mark: String, why: String) {
        self.faults.push(Fault { line, kind, sentence: why.clone() });
        let mark = Some(mark);
        self.doubts.push(Doubt { mark, why });
    }

    /// The error that says where the job parts, if it does.
    pub(crate) fn forked(&self) -> Option<RecordError> {
        (self.branches.len() > 1).then(|| RecordError::Forked {
            id: self.id.to_string(),
            after: self.head_seq,
            heads: self.branches.iter().map(|b| b.head.clone()).collect(),
        })
    }
}

/// Reads a whole job from the records folder: all its files, joined by their chains.
pub fn read_job(folder: &Path, id: &JobId) -> Result<JobRecord, RecordError> {
    let paths = segment_paths(&Disk, folder, id)?;
    if paths.is_empty() {
        return Err(RecordError::NotFound { id: id.to_string(), folder: folder.to_owned() });
    }
    Ok(join(id, &read_files(&Disk, &paths)))
}

/// Reads a whole job from the files that a list has named as its own, without walking through the folder again.
#[must_use]
pub fn read_listed(id: &JobId, files: &[PathBuf]) -> JobRecord {
    join(id, &read_files(&Disk, files))
}

/// A file of a job, or why it could not be read.
pub(crate) type ReadFile = Result<Segment, (PathBuf, RecordError)>;

pub(crate) fn read_files(medium: &dyn Medium, paths: &[PathBuf]) -> Vec<ReadFile> {
    let mut room = JOB_CAP;
    let mut read = |path: &PathBuf| {
        let segment = read_segment_within(medium, path, room).map_err(|e| (path.clone(), e))?;
        room = room.saturating_sub(segment.raw.len() as u64);
        Ok(segment)
    };
    paths.iter().map(&mut read).collect()
}

/// Joins the files of one job.
pub(crate) fn join(id: &JobId, files: &[ReadFile]) -> JobRecord {
    let mut record = JobRecord {
        id: id.clone(),
        started: String::new(),
        extra: Value::Null,
        devices: Vec::new(),
        entries: Vec::new(),
        branches: Vec::new(),
        head: String::new(),
        head_seq: 0,
        path: Vec::new(),
        set_aside: Vec::new(),
        doubts: Vec::new(),
        faults: Vec::new(),
        notes: Vec::new(),
        files: Vec::new(),
    };
    let mut tree = Tree::default();
    for file in files {
        match file {
            Ok(segment) => add_file(&mut record, &mut tree, segment),
            Err((path, error)) => {
                record.files.push(path.clone());
                record.doubts.push(Doubt { mark: None, why: error.to_string() });
                record.faults.push(Fault { line: 0, kind: FaultKind::NotRead, sentence: error.to_string() });
            }
        }
    }
    tree.link();
    take_paths(&mut record, &tree);
    take_asides(&mut record, &tree, files);
    let seen = |d: &Doubt| d.mark.as_ref().is_some_and(|m| tree.is_aside(m));
    record.doubts.retain(|d| !seen(d));
    record
}

fn add_file<'a>(record: &mut JobRecord, tree: &mut Tree<'a>, segment: &'a Segment) {
    let path = &segment.path;
    record.files.push(path.clone());
    record.faults.extend(segment.faults.iter().cloned());
    record.notes.extend(segment.notes.iter().cloned());
    let damage = |f: &&Fault| f.kind.class() == Class::Damaged;
    if let Some(fault) = segment.faults.iter().find(damage) {
        record.doubts.push(Doubt { mark: Some(sha256(&segment.raw)), why: fault.sentence.clone() });
    }
    let mut device = "";
    if let Some(header) = &segment.header {
        if header.job != record.id {
            let why = format!(
                "{} is named after job {} but its header is of job {}. It was left out: give it back its own name.",
                show(path),
                record.id,
                header.job
            );
            record.doubt(1, FaultKind::WrongJob, sha256(&segment.raw), why);
            return;
        }
        device = header.device.as_str();
        tree.set_aside(&header.sets_aside);
    }
    let header = segment.header.iter().map(|h| &h.line);
    let known = tree.len();
    let lines = header.chain(&segment.entries).chain(&segment.loose);
    let (mut all, mut new) = (0, 0);
    for line in lines {
        all += 1;
        new += usize::from(tree.add(line, device, path));
    }
    if known > 0 && all > 1 && new < all {
        record.notes.push(format!(
            "{} holds lines that are in another file of this job too; each counts once: {}.",
            show(path),
            all - new
        ));
    }
}

/// Finds the one path, or the common part and the branches.
fn take_paths(record: &mut JobRecord, tree: &Tree<'_>) {
    let Some(found) = tree.paths() else {
        return;
    };
    if let Some(lost) = &found.lost_parent {
        let why = format!(
            "{} goes on from a line that is not in this folder, so the earlier part of the job is missing. Bring the job's other files here.",
            show(&lost.path)
        );
        record.doubt(lost.line, FaultKind::MissingParent, lost.hash.clone(), why);
    }
    for orphan in &found.orphans {
        let why = format!(
            "From line {} of {} on, whole lines hang on a line that is missing or damaged. They are kept in the file and left out of the job: {}.",
            orphan.line,
            show(&orphan.path),
            orphan.count
        );
        record.doubt(orphan.line, FaultKind::MissingParent, orphan.hash.clone(), why);
    }
    for skew in &found.skewed {
        let why = format!(
            "Line {} of {} has a number that does not follow that of the line it goes on from.",
            skew.line,
            show(&skew.path)
        );
        record.doubt(skew.line, FaultKind::BrokenChain, skew.hash.clone(), why);
    }
    if found.aside > 0 {
        record.notes.push(format!(
            "Other ends of this job were set aside when it was continued; their lines are kept in their files and left out here: {}.",
            found.aside
        ));
    }
    let jobs_own = |line: &&Entry| !line.is_own();
    record.entries = found.common.iter().copied().filter(jobs_own).cloned().collect();
    if cfg!(broken = "order-by-clock") {
        record.entries.sort_by(|a, b| a.stamp.wall.cmp(&b.stamp.wall));
    }
    for hash in found.common.iter().map(|e| e.hash.as_str()) {
        note_device(record, tree.device(hash));
    }
    if let Some(last) = found.common.last() {
        record.head.clone_from(&last.hash);
        record.head_seq = last.seq;
    }
    record.path = found.common.iter().map(|e| e.hash.clone()).collect();
    let path = found.common.iter().chain(found.branches.iter().flatten());
    let first = path.copied().next();
    if let Some(first) = first.and_then(|e| super::header::read(e).ok()) {
        record.started = first.started;
        record.extra = first.extra;
    }
    for branch in &found.branches {
        let Some(last) = branch.last() else {
            continue;
        };
        let head = last.hash.clone();
        let device = tree.device(&head).to_owned();
        note_device(record, &device);
        record.branches.push(Branch {
            device,
            head,
            head_seq: last.seq,
            entries: branch.iter().copied().filter(jobs_own).cloned().collect(),
            path: branch.iter().map(|e| e.hash.clone()).collect(),
        });
    }
}

/// Finds the ends that were set aside with entries that the job does not have.
fn take_asides(record: &mut JobRecord, tree: &Tree<'_>, files: &[ReadFile]) {
    let headers: Vec<_> = files.iter().flatten().filter_map(|s| Some((&s.path, s.header.as_ref()?))).collect();
    if headers.iter().all(|(_, header)| header.sets_aside.is_empty()) {
        return;
    }
    let live: HashSet<&str> =
        record.path.iter().chain(record.branches.iter().flat_map(|b| &b.path)).map(String::as_str).collect();
    let there: Vec<&Entry> = record.entries.iter().chain(record.branches.iter().flat_map(|b| &b.entries)).collect();
    // An entry whose saving failed is written once more, as it was and with its time.
    let again = |e: &Entry| there.iter().any(|t| t.kind == e.kind && t.stamp == e.stamp && t.body == e.body);
    let mut found = Vec::new();
    for (file, left_out) in tree.ends_beside(&live) {
        let Some(last) = left_out.last() else { continue };
        let setter = headers.iter().find(|(_, header)| header.sets_aside.contains(&last.hash));
        let entries = left_out.iter().filter(|e| !e.is_own() && !again(e)).count();
        if let (Some((by, header)), 1..) = (setter, entries) {
            found.push(SetAside {
                head: last.hash.clone(),
                entries,
                file: file.to_owned(),
                by: (*by).clone(),
                when: header.started.clone(),
            });
        }
    }
    record.set_aside = found;
}

fn note_device(record: &mut JobRecord, device: &str) {
    if !device.is_empty() && !record.devices.iter().any(|d| d == device) {
        record.devices.push(device.to_owned());
    }
}
