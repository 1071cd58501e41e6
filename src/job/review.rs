//! What a shop lead said of a job: remarks, and the mark that it was gone through. They are entries, and change nothing of it.

use super::entry::{Entry, Logged};

/// A remark that stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Remark {
    /// Number of its entry.
    pub number: u64,
    /// Wall time, as the record's clock gave it.
    pub when: String,
    /// Who made it, as typed.
    pub by: String,
    /// The words, as typed.
    pub text: String,
    /// Number of the entry it is about; none where it is about the job.
    pub of: Option<u64>,
}

/// That a job was gone through.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ReviewMark {
    /// Number of its entry.
    pub number: u64,
    /// Wall time, as the record's clock gave it.
    pub when: String,
    /// Who went through it, as typed.
    pub by: String,
    /// Entries since that change the job: what they say was not seen by who went through it.
    pub since: usize,
}

impl ReviewMark {
    /// In words, names as typed: "reviewed by R. Vance 2026-11-25T10:00:00+01:00, 2 entries since".
    #[must_use]
    pub fn words(&self) -> String {
        let since = match self.since {
            0 => String::new(),
            1 => ", 1 entry since".to_owned(),
            n => format!(", {n} entries since"),
        };
        format!("reviewed by {} {}{since}", self.by.trim(), self.when)
    }
}

pub(super) fn remarks(log: &[Logged], standing: &[(u64, Entry)]) -> Vec<Remark> {
    let remark = |(number, entry): &(u64, Entry)| match entry {
        Entry::Remark { by, text, of } => {
            let when = when(log, *number);
            Some(Remark { number: *number, when, by: by.clone(), text: text.clone(), of: *of })
        }
        _ => None,
    };
    standing.iter().filter_map(remark).collect()
}

pub(super) fn mark(log: &[Logged], standing: &[(u64, Entry)]) -> Option<ReviewMark> {
    let (number, by) = standing.iter().rev().find_map(|(number, entry)| match entry {
        Entry::Reviewed { by } => Some((*number, by.clone())),
        _ => None,
    })?;
    let word = |number: u64| log.iter().any(|l| l.number == number && l.entry.is_leads_word());
    let changes = |logged: &&Logged| match &logged.entry {
        Entry::Undo { of } => !word(*of),
        Entry::Note { .. } => false,
        entry => !entry.is_leads_word(),
    };
    let since = log.iter().filter(|l| l.number > number).filter(changes).count();
    Some(ReviewMark { number, when: when(log, number), by, since })
}

fn when(log: &[Logged], number: u64) -> String {
    log.iter().find(|l| l.number == number).map(|l| l.when.clone()).unwrap_or_default()
}
