//! Lists to take something from: what kinds there are, and how one is searched.
//!
//! Owns the marked row and the search. What the rows are is `pick_items`. Must not draw.

use crate::job::{Ending, NoWork};
use crate::model::{CauseId, CheckId, ComplaintId, ProvocationId, Site};
use crate::plan;

use super::field::Field;

/// What is picked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Pick {
    /// What to work on.
    Bench,
    /// Whether to go on with the job of this id, whose end cannot be read; what is said of it.
    DoubtfulEnd(String, Vec<String>),
    /// The engine.
    Engine,
    /// The complaint, by name.
    Complaint,
    /// The site of a complaint of this name.
    Place(String),
    /// What was worked on before, by kind of work.
    RecentWork,
    /// Where work of this kind was done.
    WorkPlace(String),
    /// Another check.
    Checks,
    /// A provocation.
    Provoke,
    /// A correction.
    Correct,
    /// All suspects.
    Suspects,
    /// What to do about one suspect.
    Suspect(CauseId),
    /// Whether it shows now.
    Showing,
    /// What a reading was meant to be, or that it is as typed: as shown, and as the field then says it.
    Slip {
        /// What was meant if its unit slipped.
        meant: String,
        /// As it was taken, and as the field says that it is so.
        typed: (String, String),
    },
    /// Whether what this answer of the walk says was seen, or only looks so.
    Sight(usize),
    /// What showed in a run instead.
    SomethingElse,
    /// What is not to be had.
    NotToBeHad,
    /// How the job ends.
    Ending,
    /// The entries.
    Entries,
    /// Causes and checks of a site.
    AtSite(Site),
    /// What to narrow the list of records by.
    Narrow,
    /// The headings of the write-up.
    Headings,
    /// What to practise.
    Practise,
    /// Anything, by a few letters.
    Palette,
}

impl Pick {
    /// Whether typing searches it; else digits take a row.
    #[must_use]
    pub(super) fn is_searched(&self) -> bool {
        matches!(
            self,
            Self::RecentWork
                | Self::WorkPlace(_)
                | Self::Checks
                | Self::Correct
                | Self::Suspects
                | Self::SomethingElse
                | Self::Narrow
                | Self::Headings
                | Self::Palette
        )
    }

    /// Its heading.
    #[must_use]
    pub(super) fn title(&self) -> &'static str {
        match self {
            Self::Bench => "The bench",
            Self::DoubtfulEnd(..) => "The end of this record cannot be read",
            Self::Engine => "Which engine?",
            Self::Complaint => "What is the complaint?",
            Self::Place(_) => "Where?",
            Self::RecentWork => crate::guide::RECENT_WORK_QUESTION,
            Self::WorkPlace(_) => "Where was that done?",
            Self::Checks => "Another check",
            Self::Provoke => "Wake the fault",
            Self::Correct => "What was put right, or is to be?",
            Self::Suspects => "All suspects",
            Self::Suspect(_) => "What about this suspect?",
            Self::Showing => "Does the complaint show right now?",
            Self::Slip { .. } => "That is far from ordinary. Which is it?",
            Self::Sight(_) => crate::guide::SIGHT_QUESTION,
            Self::SomethingElse => "What showed instead?",
            Self::NotToBeHad => "What is not to be had?",
            Self::Ending => "How does the job end?",
            Self::Entries => "The entries of this job",
            Self::AtSite(_) => "At this site",
            Self::Narrow => "Narrow the list by",
            Self::Headings => "Headings of the report",
            Self::Practise => "What to practise?",
            Self::Palette => "Find",
        }
    }
}

/// The marked row and the search.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct List {
    /// The marked row, of those that are shown.
    pub cursor: usize,
    /// What is searched for.
    pub search: Field,
}

/// What taking a row does.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Does {
    /// Starts a job.
    Start,
    /// Starts the demo job.
    Demo,
    /// Lists what can be practised.
    PracticeList,
    /// Asks who practises this.
    Practise(super::practice::Choice),
    /// Shows how one gets on in practice.
    Progress,
    /// Says how a closed practice job went.
    Debrief(String),
    /// Does what a row of the action table does.
    Command(super::action::Action),
    /// Opens the grid of a check.
    Grid(CheckId),
    /// Shows a site on the engine.
    Site(Site),
    /// Goes on with a job.
    Resume(String),
    /// Goes on with a job without the end of its record that cannot be read.
    GoOnWithout(String),
    /// Narrows the list of records by a word.
    Narrow(String),
    /// Goes to the heading of this number.
    Heading(usize),
    /// Looks at a closed record.
    Look(String),
    /// Takes a layout.
    Engine(String),
    /// Asks for the file of an aircraft card.
    CardFile,
    /// Takes a complaint's name; its site is asked next.
    Complaint(String),
    /// Takes a complaint.
    Place(ComplaintId),
    /// Takes the word that nothing was worked on, or that it is not known.
    NoWork(NoWork),
    /// Asks where work of this kind was done.
    Work(String),
    /// Marks or unmarks that it was done there.
    WorkAt(String, Site),
    /// Brings it to the front of the walk.
    Front(plan::Action),
    /// Asks what about a suspect.
    Suspect(CauseId),
    /// Enters that a cause is certain.
    Confirm(CauseId),
    /// Enters whether it shows.
    Showing(Option<bool>),
    /// Takes the reading as this text.
    ReadAs(String),
    /// Enters this answer of the walk, seen (`false`) or with the word that it only looks so.
    Sight(usize, bool),
    /// Enters that the engine was started or shut down.
    EngineRuns(bool),
    /// Enters one more complaint: one that showed in the run in front, or, from elsewhere, one that was reported as well.
    Complained(ComplaintId),
    /// Enters that a tool or gauge is not to be had.
    Lacking(String),
    /// Enters that a way to provoke it is not to be had.
    NotProvoked(ProvocationId),
    /// Asks for a closing remark.
    Ending(Ending),
    /// An entry, with its check where it is an answer that can be put right.
    Entry(u64, Option<CheckId>),
}

/// A row.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Item {
    /// What it is.
    pub left: String,
    /// What is known of it, at the right edge.
    pub right: String,
    /// A share to draw as a bar, 0 to 1.
    pub bar: Option<f64>,
    /// Whether it matters less: taken back, done already.
    pub faint: bool,
    /// What taking it does.
    pub does: Does,
}

impl Item {
    /// A row of words only.
    #[must_use]
    pub(super) fn new(left: impl Into<String>, right: impl Into<String>, does: Does) -> Self {
        Self { left: left.into(), right: right.into(), bar: None, faint: false, does }
    }
}
