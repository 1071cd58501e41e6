//! Where a job may be gone on with, and when a person has to look first.
//!
//! Must not know how files are written.

use super::fault::{Class, FaultKind};
use super::job::{JobRecord, ReadFile};
use super::name::is_file_name;
use super::segment::{FILE_CAP, Segment};
use super::{Device, LINE_CAP, RecordError};

/// Where a job is gone on with.
pub(crate) struct End {
    pub head: String,
    pub seq: u64,
    /// What is set aside: ends of the other branches, and what the person has seen to be wrong.
    pub others: Vec<String>,
}

impl End {
    pub(crate) fn of(record: &JobRecord) -> Self {
        Self {
            head: record.head.clone(),
            seq: record.head_seq,
            others: Vec::new(),
        }
    }
}

/// The end a person has chosen: that of a branch, or the last good line.
pub(crate) fn chosen_end(record: &JobRecord, head: &str) -> Result<End, RecordError> {
    let seen = record.doubts.iter().filter_map(|d| d.mark.clone());
    if record.branches.is_empty() && record.head == head && !head.is_empty() {
        return Ok(End {
            others: seen.collect(),
            ..End::of(record)
        });
    }
    let branch = record.branches.iter().find(|b| b.head == head);
    let branch = branch.ok_or_else(|| RecordError::NoSuchHead {
        id: record.id.to_string(),
        given: super::error::short(head),
    })?;
    let heads = record.branches.iter().map(|b| b.head.clone());
    Ok(End {
        head: head.to_owned(),
        seq: branch.head_seq,
        others: heads.filter(|h| h != head).chain(seen).collect(),
    })
}

/// Refuses to go on where a person has to look first.
pub(crate) fn refuse_doubtful(record: &JobRecord) -> Result<(), RecordError> {
    let id = record.id.to_string();
    if let Some(newer) = fault_of(record, FaultKind::UnknownFormat) {
        return Err(RecordError::NewerFormat { why: newer });
    }
    if let Some(fork) = record.forked() {
        return Err(fork);
    }
    if record.head.is_empty() {
        let damaged = record
            .faults
            .iter()
            .find(|f| f.kind.class() == Class::Damaged);
        return Err(match damaged {
            Some(f) => RecordError::Damaged {
                id,
                why: f.sentence.clone(),
            },
            None => RecordError::NeverBegun { id },
        });
    }
    match record.doubts.first() {
        Some(doubt) => Err(RecordError::Damaged {
            id,
            why: doubt.why.clone(),
        }),
        None => Ok(()),
    }
}

fn fault_of(record: &JobRecord, kind: FaultKind) -> Option<String> {
    let fault = record.faults.iter().find(|f| f.kind == kind)?;
    Some(fault.sentence.clone())
}

/// This device's own undamaged file that ends with the job's last line and has room for more.
pub(crate) fn own_file<'a>(
    files: &'a [ReadFile],
    device: &Device,
    head: &str,
) -> Option<&'a Segment> {
    files.iter().flatten().find(|segment| {
        let Some(header) = &segment.header else {
            return false;
        };
        let name = segment.path.file_name().unwrap_or_default();
        header.device == *device
            && segment.head == head
            && segment.class() != Class::Damaged
            && is_file_name(&name.to_string_lossy(), &header.job, device)
            && (segment.raw.len() + 2 * LINE_CAP) as u64 <= FILE_CAP
    })
}
