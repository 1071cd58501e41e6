//! What is going on: one thing at a time, each with what belongs to it and nothing else.
//!
//! Owns what a job being worked, a record looked at and the lead's work hold. Must not draw, and must not reach the disk.

use std::sync::Arc;

use super::demo::Demo;
use super::field::Field;
use super::front::Verdict;
use super::held::Held;
use super::intake::Intake;
use super::lead::{Learn, Review, Walked};
use super::practice::hinted;
use crate::job::{Entry, Job, Levels};
use crate::plan;
use crate::practise::Bout;
use crate::record::Kept;

/// What is going on.
#[derive(Debug, Clone)]
pub(super) enum Mode {
    /// Nothing yet: the bench, and what is chosen from it.
    Bench,
    /// A job is begun: what is known before the first check is asked.
    Intake(Box<Intake>),
    /// A job is worked.
    Job(Box<Worked>),
    /// A record is looked at.
    Record(Box<Record>),
    /// The lead goes through the records.
    Review(Box<Review>),
    /// The lead goes through what they teach.
    Learn(Box<Learn>),
}

/// A job being worked.
#[derive(Debug, Clone)]
pub(super) struct Worked {
    /// Its id.
    pub id: String,
    /// The job.
    pub held: Held,
    /// What kind of job it is, and whether all of it is saved.
    pub kind: Kind,
    /// What is being chosen, typed and judged.
    pub walk: Walk,
}

/// A record being looked at.
#[derive(Debug, Clone)]
pub(super) struct Record {
    /// Its id.
    pub id: String,
    /// Its job.
    pub held: Held,
}

/// What kind of job is worked.
#[derive(Debug, Clone)]
pub(super) enum Kind {
    /// On an aircraft.
    Work(Saving),
    /// Practice, with what is hidden.
    Practice(Arc<Bout>, Saving),
    /// The demo, with the engine that answers. It is kept in memory only, so nothing of it waits to be saved.
    Demo(Demo),
}

/// Whether something waits to be saved.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Saving {
    /// Nothing does, by this proof.
    Kept(Kept),
    /// Something waits.
    Waits(Waiting),
    /// Something waits, and the person was just asked about leaving without it.
    Asked(Waiting),
}

/// What could not be saved.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Waiting {
    /// The entry; none where the record itself is not in its place any more.
    pub entry: Option<Entry>,
    /// The folder that was written to.
    pub folder: String,
}

impl Waiting {
    /// That it is not saved.
    pub(super) fn words(&self) -> &'static str {
        match self.entry {
            None => "NOT SAVED: the record is not in its place. The next entry writes it anew.",
            Some(_) => "NOT SAVED: an entry waits. The next answer brings back the page that saves it.",
        }
    }
}

impl Kind {
    /// Whether what is believed and recommended of a job is kept back: in practice, until a hint is taken or the job is
    /// closed.
    fn hides(&self, job: &Job) -> bool {
        matches!(self, Self::Practice(..)) && job.state().ended.is_none() && !hinted(job)
    }
}

impl Saving {
    /// The proof that all of it is on disk.
    pub(super) fn kept(&self) -> Option<&Kept> {
        if let Self::Kept(kept) = self { Some(kept) } else { None }
    }

    /// What waits, where the person was not asked about it yet; they are now.
    pub(super) fn ask(&mut self) -> Option<Waiting> {
        let Self::Waits(waiting) = self else { return None };
        let waiting = waiting.clone();
        *self = Self::Asked(waiting.clone());
        Some(waiting)
    }

    /// The person did something else than leave: they are asked again the next time.
    pub(super) fn ask_again(&mut self) {
        if let Self::Asked(waiting) = self {
            *self = Self::Waits(waiting.clone());
        }
    }
}

/// The walk's own state.
#[derive(Debug, Clone, Default)]
pub(super) struct Walk {
    /// What the mechanic chose instead of what is suggested.
    pub chosen: Option<plan::Action>,
    /// The marked answer.
    pub cursor: Option<usize>,
    /// The reading being typed.
    pub field: Option<Field>,
    /// The reading, judged.
    pub verdict: Option<Verdict>,
    /// Conditions of the proof run that differ from the reported ones.
    pub run_levels: Levels,
    /// Number of the entry being put right.
    pub amend: Option<u64>,
    /// Rows the caution is scrolled.
    pub scroll: usize,
    /// Whether the grid of the check in front opens once its cautions are read.
    pub wants_grid: bool,
}

/// Where no job is worked, nothing is chosen, typed or judged.
pub(super) static NO_WALK: Walk = Walk {
    chosen: None,
    cursor: None,
    field: None,
    verdict: None,
    run_levels: Levels::new(),
    amend: None,
    scroll: 0,
    wants_grid: false,
};

impl Worked {
    /// A job that is opened, nothing chosen.
    pub(super) fn new(id: String, job: Arc<Job>, kind: Kind) -> Self {
        let held = if kind.hides(&job) { Held::kept_back(job) } else { Held::new(job) };
        Self { id, held, kind, walk: Walk::default() }
    }

    /// Takes a later state of the same job. What was worked out of it is forgotten where it is to be kept back from now
    /// on.
    pub(super) fn go_on(&mut self, job: Arc<Job>, kind: Kind) {
        if kind.hides(&job) {
            self.held = Held::kept_back(job);
        } else {
            self.held.go_on(job);
        }
        self.kind = kind;
    }

    /// Whether all of it is saved; none of the demo, of which nothing is kept.
    pub(super) fn saving(&self) -> Option<&Saving> {
        match &self.kind {
            Kind::Work(saving) | Kind::Practice(_, saving) => Some(saving),
            Kind::Demo(_) => None,
        }
    }

    /// The same, to change it.
    pub(super) fn saving_mut(&mut self) -> Option<&mut Saving> {
        match &mut self.kind {
            Kind::Work(saving) | Kind::Practice(_, saving) => Some(saving),
            Kind::Demo(_) => None,
        }
    }
}

impl Mode {
    /// The job on the screens.
    pub(super) fn held(&self) -> Option<&Held> {
        match self {
            Self::Job(worked) => Some(&worked.held),
            Self::Record(record) => Some(&record.held),
            Self::Review(review) => review.walked.as_ref().map(|walked| &walked.held),
            Self::Bench | Self::Intake(_) | Self::Learn(_) => None,
        }
    }

    /// The job on the screens, to take note of what was worked out of it.
    pub(super) fn held_mut(&mut self) -> Option<&mut Held> {
        match self {
            Self::Job(worked) => Some(&mut worked.held),
            Self::Record(record) => Some(&mut record.held),
            Self::Review(review) => review.walked.as_mut().map(|walked| &mut walked.held),
            Self::Bench | Self::Intake(_) | Self::Learn(_) => None,
        }
    }

    /// The intake, to fill it in.
    pub(super) fn intake_mut(&mut self) -> Option<&mut Intake> {
        if let Self::Intake(intake) = self { Some(intake) } else { None }
    }

    /// The walk, to choose, type and judge in it.
    pub(super) fn walk_mut(&mut self) -> Option<&mut Walk> {
        if let Self::Job(worked) = self { Some(&mut worked.walk) } else { None }
    }

    /// The record that the lead walks.
    pub(super) fn walked_mut(&mut self) -> Option<&mut Walked> {
        if let Self::Review(review) = self { review.walked.as_mut() } else { None }
    }

    /// The id of the job on the screens.
    pub(super) fn id(&self) -> Option<&str> {
        match self {
            Self::Job(worked) => Some(&worked.id),
            Self::Record(record) => Some(&record.id),
            Self::Review(review) => review.walked.as_ref().map(|walked| walked.row.id.as_str()),
            Self::Bench | Self::Intake(_) | Self::Learn(_) => None,
        }
    }
}
