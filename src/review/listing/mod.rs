//! All records of one or more folders as rows for the shop lead, newest first: what can be said of a job without its engine's model.
//!
//! Owns the rows, the search in them, and an index of them that may be thrown away at any time. Must not know a screen or the command
//! line, and never takes the index's word against that of a record.

mod copies;
mod index;
mod lines;
mod read;
mod search;
mod worked;

use std::path::PathBuf;

use serde::{Deserialize, Serialize};

pub use read::{Listing, list};
pub use search::{Query, QueryFault};
pub use worked::{Worked, work_out};

use crate::job::Ending;
use crate::shop::Purpose;

/// One record. All texts are safe to show.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Row {
    /// The job's name; empty where a file is not named after one.
    pub id: String,
    /// Its files, of all folders.
    #[serde(skip)]
    pub files: Vec<PathBuf>,
    /// Registration of the aircraft, where a card was given.
    pub aircraft: String,
    /// Name of the engine's layout.
    pub layout: String,
    /// Title of the complaint.
    pub complaint: String,
    /// Its site.
    pub at: String,
    /// Who worked it, as typed.
    pub mechanic: String,
    /// Work, practice or a demonstration.
    pub purpose: Purpose,
    /// How the job stands, by the lines that could be read.
    pub state: State,
    /// How its record is.
    pub soundness: Soundness,
    /// Wall time when it was begun; empty where that could not be read.
    pub opened: String,
    /// Wall time of its last entry.
    pub last: String,
    /// Entries that could be read, those of all branches counted.
    pub entries: usize,
    /// Minutes by the clock from the opening to the closing, or to the last entry of an open job; breaks are in it.
    pub clock_minutes: Option<f64>,
    /// Causes that somebody saw and confirmed: the tree's name and the site.
    pub seen: Vec<String>,
    /// Corrections after which a proof run passed: the tree's name and the site.
    pub put_right: Vec<String>,
    /// Whether it was closed before a closing was held to what its record bears out: then only the job on its model can tell how it ended.
    pub old_end: bool,
    /// What only the job on its engine's model can tell; none until it is worked out.
    pub worked: Option<Worked>,
    /// The last review mark that stands.
    pub reviewed: Option<ReviewMark>,
    /// Remarks that stand.
    pub remarks: usize,
    /// Hash of the record's last line, or of the last before it parts.
    pub head: String,
    /// Where the job parts: the hash of each of its ends.
    pub ends: Vec<String>,
    /// What is wrong with the record, as a sentence.
    pub trouble: Option<String>,
    /// What is odd and not wrong: copies of lines, a clock that went back.
    pub notes: Vec<String>,
    /// Words to search in: the pilot's, those of notes and remarks.
    pub words: String,
}

/// How a job stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum State {
    /// Not closed.
    Open,
    /// No entry could be read.
    Unread,
    /// Closed, with this end.
    #[serde(untagged)]
    Closed(Ending),
}

impl State {
    /// The end, where it has one.
    #[must_use]
    pub fn ending(self) -> Option<Ending> {
        match self {
            Self::Open | Self::Unread => None,
            Self::Closed(ending) => Some(ending),
        }
    }

    /// In a word or two.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "open",
            Self::Unread => "not read",
            Self::Closed(ending) => ending.words(),
        }
    }

    /// Whether the job was closed without proof that the complaint is gone.
    #[must_use]
    pub fn is_not_cured(self) -> bool {
        self.ending().is_some_and(|ending| ending != Ending::CuredProven)
    }
}

/// How a record is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Soundness {
    /// Every line whole and in its chain.
    Whole,
    /// A last line cannot be read; all before it is there.
    Torn,
    /// The job goes on in several ways: it was worked on two machines from the same line on.
    Parted,
    /// Something that was saved is changed, missing or cannot be read.
    Damaged,
}

impl Soundness {
    /// In a word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Torn => "torn",
            Self::Parted => "parted",
            Self::Damaged => "damaged",
        }
    }
}

/// That a shop lead has gone through a job.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ReviewMark {
    /// Who.
    pub by: String,
    /// Wall time of the mark.
    pub when: String,
    /// Whether the job itself was changed after it.
    pub before_changes: bool,
}

impl Row {
    /// What came of it, the surest first, with how it is known: what was seen, else what is inferred from all entries
    /// where that is worked out, else what was put right before a run that passed. Nothing where there is none of it.
    #[must_use]
    pub fn came_of_it(&self) -> (&'static str, &[String]) {
        match &self.worked {
            _ if !self.seen.is_empty() => ("seen", &self.seen),
            Some(worked) if !worked.proven.is_empty() => ("inferred", &worked.proven),
            _ => ("put right", &self.put_right),
        }
    }

    /// A row of a file that no job can be read from.
    fn unread(id: String, files: Vec<PathBuf>, trouble: String) -> Self {
        Self {
            id,
            files,
            aircraft: String::new(),
            layout: String::new(),
            complaint: String::new(),
            at: String::new(),
            mechanic: String::new(),
            purpose: Purpose::Work,
            state: State::Unread,
            soundness: Soundness::Damaged,
            opened: String::new(),
            last: String::new(),
            entries: 0,
            clock_minutes: None,
            seen: Vec::new(),
            put_right: Vec::new(),
            worked: None,
            old_end: false,
            reviewed: None,
            remarks: 0,
            head: String::new(),
            ends: Vec::new(),
            trouble: Some(trouble),
            notes: Vec::new(),
            words: String::new(),
        }
    }

    /// The same row with every text made safe to show: rows come from records and from the index, and either can hold anything.
    fn made_safe(mut self) -> Self {
        let safe = |text: &mut String| {
            if let std::borrow::Cow::Owned(clean) = crate::text::safe_text(text) {
                *text = clean;
            }
        };
        let one = [
            &mut self.id,
            &mut self.aircraft,
            &mut self.layout,
            &mut self.complaint,
            &mut self.at,
            &mut self.mechanic,
            &mut self.opened,
            &mut self.last,
            &mut self.head,
            &mut self.words,
        ];
        one.into_iter().for_each(safe);
        let lists = [&mut self.seen, &mut self.put_right, &mut self.ends, &mut self.notes];
        lists.into_iter().flatten().for_each(safe);
        self.trouble.iter_mut().for_each(safe);
        self.reviewed.iter_mut().flat_map(|mark| [&mut mark.by, &mut mark.when]).for_each(safe);
        self.worked.iter_mut().flat_map(|w| w.proven.iter_mut().chain([&mut w.trees])).for_each(safe);
        self
    }
}
