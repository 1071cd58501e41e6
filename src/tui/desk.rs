//! What the screens ask of the world: jobs kept somewhere, trees to start on.
//!
//! Owns the door between the screens and everything with a disk behind it. Must not know how it is kept.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::demo::Demo;
use super::practice;
use super::work::{News, Work};
use crate::analysis::Analysis;
use crate::job::{AircraftFacts, Entry, Job, Opening};
use crate::learn::Lessons;
use crate::model::Model;
use crate::practise::{Bout, Debrief, Progress};
use crate::record::{Kept, Saved};
use crate::report::WrittenUp;
use crate::review::Key;
use crate::review::listing::Row;
use crate::shop::{LastWord, MadeSure, Said};
use crate::study::Study;

/// A layout that can be chosen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LayoutLine {
    /// Its name.
    pub name: String,
    /// Its title for people.
    pub title: String,
}

/// An aircraft card that was read.
#[derive(Debug, Clone)]
pub(super) struct Card {
    /// The name of its layout.
    pub layout: String,
    /// Its model, with the limits of the card in force.
    pub model: Arc<Model>,
    /// What the job keeps of it.
    pub facts: AircraftFacts,
}

/// A job in the list on the bench.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct JobLine {
    /// Its id, to ask for it again.
    pub id: String,
    /// When it was begun, for people.
    pub when: String,
    /// The aircraft, or the layout where there was no card.
    pub aircraft: String,
    /// The complaint and its site.
    pub complaint: String,
    /// Who works it.
    pub mechanic: String,
    /// Whether it is practice.
    pub practice: bool,
    /// Whether it is still open.
    pub open: bool,
    /// What is wrong with its record, where something is.
    pub damage: Option<String>,
}

/// Why the desk did not do it. Each holds a full sentence that says what to do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub(super) enum Trouble {
    /// It does not fit the job; nothing was written.
    #[error("{0}")]
    Refused(String),
    /// It could not be saved; nothing was entered, and another folder may do.
    #[error("{0}")]
    NotSaved(String),
}

/// What the screens ask of the world.
pub(super) trait Desk {
    /// The layouts to choose from.
    fn layouts(&self) -> Vec<LayoutLine>;
    /// The tree expanded over a layout; before the first question, so jobs have to be able to be saved.
    fn model(&mut self, layout: &str) -> Result<Arc<Model>, Trouble>;
    /// The aircraft card in a file; jobs have to be able to be saved.
    fn card(&mut self, path: &str) -> Result<Card, Trouble>;
    /// The jobs on record, the one worked on last first.
    fn jobs(&mut self) -> Result<Vec<JobLine>, String>;
    /// Starts a job, and saves its opening.
    fn start(&mut self, opening: Opening) -> Result<(), Trouble>;
    /// Starts the demo job on an invented aircraft; it is kept in memory only.
    fn start_demo(&mut self) -> Result<(), Trouble>;
    /// The engine that answers, where the job being worked is the demo.
    fn demo(&self) -> Option<Demo>;
    /// The sets and lessons there are.
    fn study(&self) -> Study;
    /// Deals a practice job and begins its record, under the name of who practises.
    fn practise(&mut self, choice: &practice::Choice, by: &str) -> Result<(), Trouble>;
    /// What is hidden, where the job being worked is practice.
    fn bout(&self) -> Option<Arc<Bout>>;
    /// How a closed practice job went: the one being worked, or one on record.
    fn debrief(&mut self, id: Option<&str>) -> Result<Debrief, String>;
    /// How everybody on record gets on in practice, with what there is to say about records that could not be read.
    fn progress(&mut self) -> Result<(Progress, Vec<String>), String>;
    /// Keeps that the tour of keys was seen.
    fn tour_seen(&mut self);
    /// What has to be seen before a job is gone on with: what is said of an end that cannot be read.
    fn doubtful_end(&self, _id: &str) -> Result<Vec<String>, String> {
        Ok(Vec::new())
    }
    /// Goes on with a job; returns what there is to say about its record.
    fn resume(&mut self, id: &str) -> Result<Vec<String>, String>;
    /// Opens a record to read only: the job, and what there is to say about its record.
    fn look(&mut self, id: &str) -> Result<(Job, Vec<String>), String>;
    /// Lets the time pass that has gone by since the last entry. Whether that changed how the aircraft stands.
    fn pass_time(&mut self) -> bool {
        false
    }
    /// Looks after the record while nobody enters anything: makes sure of all of the job where its file was taken away,
    /// replaced or changed. None where it is in its place.
    fn look_after(&mut self) -> Option<Result<MadeSure, String>> {
        None
    }
    /// Saves an entry, then takes it into the job. No proof of the demo, of which nothing is kept.
    fn enter(&mut self, entry: Entry) -> Result<Option<Saved>, Trouble>;
    /// Proof that everything entered is on disk, or why not; none where no job is kept.
    fn kept(&self) -> Option<Result<Kept, String>>;
    /// Tries once more to save what waits, and makes sure of all of the job; none where no job is kept.
    fn make_sure(&mut self) -> Option<Result<MadeSure, String>>;
    /// The means to make sure of it from another thread; none where no job is kept.
    fn last_word(&self) -> Option<LastWord>;
    /// The entry that could not be saved and waits for [`Desk::save_elsewhere`].
    fn waiting(&self) -> Option<Entry>;
    /// The folder that is written to.
    fn folder(&self) -> String;
    /// Goes on saving the job in another folder, or anew in the same where it is empty, and saves the entry there that waits,
    /// where one does. Jobs begun later are kept there too.
    fn save_elsewhere(&mut self, folder: &str) -> Result<MadeSure, String>;
    /// Keeps the jobs that are begun from now on in another folder, or in the same where it is empty.
    fn keep_in(&mut self, folder: &str) -> Result<(), String>;
    /// The job being worked.
    fn job(&self) -> Option<&Job>;
    /// The id of the job being worked and the first digits of the hash of its last entry.
    fn mark(&self) -> Option<(String, String)>;
    /// The write-up of a job as plain text; `id` and `head` as in [`Desk::mark`], where known.
    fn report(&self, job: &Analysis, id: &str) -> WrittenUp;
    /// Begins long work apart; what ran before is stopped.
    fn ask(&mut self, work: Work) -> Result<(), String>;
    /// Stops the long work.
    fn stop(&mut self);
    /// What long work has told since the last call.
    fn news(&mut self) -> Vec<News>;
    /// Whether long work may have more to tell.
    fn is_working(&self) -> bool;
    /// Opens a record of the lead's list to read only: the job, and what there is to say about its record.
    fn read(&mut self, row: &Row) -> Result<(Job, Vec<String>), String>;
    /// Adds a lead's word to a record of the list; the job as it is then, with the proof.
    fn say(&mut self, row: &Row, entry: Entry) -> Result<Said, String>;
    /// Writes the learnt figures that are accepted to a file.
    fn write_learnt(&mut self, path: &str, lessons: &Lessons, accepted: &BTreeSet<Key>) -> Result<(), String>;
    /// Writes this text to a file whole, over no record and through no link; where it is.
    fn write_report(&mut self, path: &str, text: &str) -> Result<String, String>;
    /// Puts the job away; it can be gone on with. What there is to say about its record.
    ///
    /// # Errors
    /// Not all of it could be saved: it stays open, since it is held in memory only.
    fn put_away(&mut self) -> Result<Option<String>, Trouble>;
}
