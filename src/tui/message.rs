//! What can happen to the screens. `update` takes these one by one, and nothing else changes what they hold.
//!
//! Owns the words between the keys, the world and the threads at one side and the state at the other. Must not know how any of
//! them comes about, nor what follows.

use std::sync::Arc;

use super::action::Action;
use super::canvas::Drawn;
use super::desk::{JobLine, Trouble};
use super::mode::{Kind, Waiting};
use super::practice::Choice;
use super::think::Told;
use super::work::News;
use crate::analysis::Analysis;
use crate::job::{AircraftFacts, Entry, Job, Opening};
use crate::model::{Model, Site};
use crate::practise::{Debrief, Progress};
use crate::record::Saved;
use crate::report::WrittenUp;
use crate::review::listing::Row;
use crate::shop::Said;

/// Something that happened.
#[derive(Debug)]
pub(super) enum Message {
    /// A key, a press or a paste, by what it means now.
    Act(Action),
    /// The terminal has this many columns and rows.
    Resized(u16, u16),
    /// This of something long is on the screen now.
    Drawn(Drawn),
    /// The tour of keys is shown first.
    Tour,
    /// What is known of a new job before the first question.
    Given(Given),
    /// What a thinking thread says.
    Thought(Told),
    /// What long work tells.
    News(News),
    /// What came of an effect.
    Done(Box<Outcome>),
}

/// What is known of a new job before the first question: the engine is chosen next, or already.
#[derive(Debug)]
pub(super) struct Given {
    /// The complaint's name.
    pub complaint: Option<String>,
    /// Where the complaint is.
    pub at: Option<Site>,
    /// Who works the job.
    pub mechanic: Option<String>,
}

/// The job being worked, as the desk has it.
#[derive(Debug)]
pub(super) struct Now {
    /// The job, with all that is entered.
    pub job: Job,
    /// Its id.
    pub id: String,
    /// What kind of job it is, and whether all of it is saved.
    pub kind: Kind,
}

/// What could not be saved, or begun for want of a place to save it.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Wanted {
    /// An entry.
    Entry(Entry),
    /// A job to start.
    Start(Box<Opening>),
    /// The tree over this layout, for a job.
    Layout(String),
    /// The aircraft card in this file, for a job.
    Card(String),
    /// All of the job being worked: its record is not in its place any more.
    Job,
}

/// How a job came to be open.
#[derive(Debug)]
pub(super) enum Opened {
    /// It was begun.
    Begun,
    /// The demo.
    Demo,
    /// It was dealt.
    Dealt(Choice),
    /// It was gone on with; what there is to say about its record.
    Resumed(Vec<String>),
    /// It was open before the screens were; what there is to say about its record.
    Found(Vec<String>),
}

/// What came of an effect.
#[derive(Debug)]
pub(super) enum Outcome {
    /// A job is open.
    Opened(Box<Now>, Opened),
    /// This is entered, and by that proof saved; none of the demo.
    Entered(Entry, Option<Saved>, Box<Now>),
    /// All of the job is in its place again.
    MadeSure(Box<Now>),
    /// The record was not in its place, and all of the job is again; what has to be said of it.
    LookedAfter(Option<String>, Box<Now>),
    /// The record is not in its place and could not be written anew: why, and what waits.
    NotInPlace(String, Waiting),
    /// This of the grid is saved and entered.
    EnteredInGrid(Entry, Box<Now>),
    /// Time has gone by, and the aircraft stands otherwise.
    TimePassed(Box<Now>),
    /// This of the grid is taken, and waits to be saved.
    HeldOfGrid(Entry),
    /// All of the grid, so many, are entered; the proof for the last of them, none of the demo.
    Filled(usize, Option<Saved>),
    /// How the closed practice job went; why its last word could not be saved.
    Debriefed(Box<Debrief>, Option<Trouble>, Box<Now>),
    /// How a practice job on record went.
    PastDebrief(Box<Debrief>),
    /// How everybody gets on in practice, and what could not be read.
    Progress(Progress, Vec<String>),
    /// No job is open; the jobs on record.
    Bench(Result<Vec<JobLine>, String>),
    /// The end of the record with this id cannot be read: what is said of it. The job is not open yet.
    DoubtfulEnd(String, Vec<String>),
    /// A record was opened to read only.
    Looked {
        /// Its id.
        id: String,
        /// Its job, worked out.
        analysis: Arc<Analysis>,
        /// Its write-up.
        report: WrittenUp,
        /// What there is to say about it.
        notes: Vec<String>,
    },
    /// The engine of a new job.
    Engine {
        /// The layout's name.
        layout: String,
        /// Its model.
        model: Arc<Model>,
        /// What the job keeps of its card.
        card: Option<AircraftFacts>,
    },
    /// A write-up, and what was worked out for it.
    Report(WrittenUp, Arc<Analysis>),
    /// What could not be saved is tried anew, in the same folder or another.
    TriedAnew,
    /// Records are kept in this folder from now on.
    KeptIn(String),
    /// This was not done.
    NotDone {
        /// What was to be done.
        what: Wanted,
        /// Why not.
        trouble: Trouble,
        /// The entry that waits.
        waits: Option<Waiting>,
        /// The folder that is written to.
        folder: String,
    },
    /// Something came to nothing: a full sentence that says what to do.
    Failed(String),
    /// Long work has begun.
    Working,
    /// A record of the list was opened.
    Read(Box<Row>, Box<Job>, Vec<String>),
    /// A lead's word is saved.
    Said(Box<Said>),
    /// This text of a write-up is written to this file.
    ReportWritten(String, String),
    /// The accepted figures, so many, are written to this file.
    Written(String, usize),
}
