//! The jobs of a records folder together, oldest first, for whoever looks back over many.

use std::path::PathBuf;
use std::sync::Arc;

use rayon::prelude::*;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use super::{Shop, ShopError, replay};
use crate::job::{Entry, Job};
use crate::model::Model;
use crate::record::{self, Class, JobId, JobRecord, Listed, Summary};

/// The field of a record's header that marks practice. What learns from records, and every figure of the shop, leaves
/// such jobs out.
pub(crate) const PRACTICE: &str = "practice";
/// The label of the device under which jobs played for show are kept.
const DEMO: &str = "demo";
/// How many records one thread takes at a time; those of one engine share its model.
const AT_A_TIME: usize = 64;

/// What a job was worked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Purpose {
    /// Work on an aircraft.
    Work,
    /// Practice on an engine that is not there.
    Practice,
    /// A demonstration on an invented aircraft.
    Demo,
}

impl Purpose {
    /// What a record was worked for, by the devices that wrote it and what its header holds.
    #[must_use]
    pub fn of(devices: &[String], extra: &Value) -> Self {
        if is_practice(extra) {
            Self::Practice
        } else if devices.iter().any(|device| device == DEMO) {
            Self::Demo
        } else {
            Self::Work
        }
    }

    /// In a word.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Work => "work",
            Self::Practice => "practice",
            Self::Demo => "demo",
        }
    }
}

/// Whether a record's header marks practice.
#[must_use]
pub fn is_practice(extra: &Value) -> bool {
    extra.get(PRACTICE).and_then(Value::as_bool).unwrap_or(false)
}

/// A job of the past.
#[derive(Debug)]
pub struct Past {
    /// Its name.
    pub id: String,
    /// The job.
    pub job: Job,
    /// Whether it was practice or a demonstration, and no work on an aircraft.
    pub practice: bool,
}

/// The jobs of a folder.
#[derive(Debug, Default)]
pub struct History {
    /// Those that could be read, oldest first.
    pub jobs: Vec<Past>,
    /// Why the others could not, a sentence each.
    pub unread: Vec<String>,
}

/// Models by layout and card, so that jobs on one engine share theirs.
type Models = Vec<(String, String, Arc<Model>)>;

impl Shop {
    /// All jobs of the records folder, read on these trees. `layout` keeps to those of one layout. Jobs that are
    /// damaged, that part, or that these trees do not fit are named and left out.
    ///
    /// # Errors
    /// A folder that is not there or cannot be read.
    pub fn history(&self, layout: Option<&str>) -> Result<History, ShopError> {
        let (summaries, unread) = self.summaries()?;
        let mut history = History { jobs: Vec::new(), unread };
        let mut models = Models::new();
        for summary in summaries {
            let record = record::read_listed(&summary.id, &summary.files);
            match self.past(&record, layout, &mut models) {
                Ok(Some(past)) => history.jobs.push(past),
                Ok(None) => {}
                Err(why) => history.unread.push(why),
            }
        }
        Ok(history)
    }

    /// What the list says of every job of the records folder, oldest first, and of files that no job can be read from,
    /// a sentence each.
    ///
    /// # Errors
    /// A folder that is not there or cannot be read.
    pub fn summaries(&self) -> Result<(Vec<Summary>, Vec<String>), ShopError> {
        let (mut summaries, mut unread) = (Vec::new(), Vec::new());
        for listed in record::list(&self.records)? {
            match listed {
                Listed::Job(summary) => summaries.push(*summary),
                Listed::Damaged { sentence, .. } => unread.push(sentence),
                Listed::Skipped { .. } => {}
            }
        }
        // A job's name begins with the time it was begun.
        summaries.sort_by(|a, b| a.id.cmp(&b.id));
        Ok((summaries, unread))
    }

    /// Reads the records of these jobs from their files on all cores and makes something of each, in the same order: of
    /// its lines, and of its job, or why that could not be read.
    pub fn each_past<T: Send>(
        &self,
        jobs: &[(JobId, Vec<PathBuf>)],
        make: impl Fn(&JobRecord, Result<Past, String>) -> T + Sync,
    ) -> Vec<T> {
        let of_chunk = |chunk: &[(JobId, Vec<PathBuf>)]| {
            let mut models = Models::new();
            let mut of_one = |(id, files): &(JobId, Vec<PathBuf>)| {
                let record = record::read_listed(id, files);
                let past = self.past(&record, None, &mut models).and_then(|past| past.ok_or_else(String::new));
                make(&record, past)
            };
            chunk.iter().map(&mut of_one).collect::<Vec<T>>()
        };
        jobs.par_chunks(AT_A_TIME).flat_map_iter(of_chunk).collect()
    }

    fn past(&self, record: &JobRecord, layout: Option<&str>, models: &mut Models) -> Result<Option<Past>, String> {
        let id = record.id.to_string();
        if record.class() == Class::Damaged || record.branches.len() > 1 {
            return Err(format!("Job {id} is damaged or goes on in several ways, so it was left out."));
        }
        let log = replay::log(record, &[]).map_err(|fault| fault.to_string())?;
        let Some(Entry::Opened(opening)) = log.first().map(|l| &l.entry) else {
            return Err(format!("Job {id} does not start with an opening, so it was left out."));
        };
        if layout.is_some_and(|layout| layout != opening.layout) {
            return Ok(None);
        }
        let card = opening.aircraft.as_ref().map(|a| a.card.clone()).unwrap_or_default();
        let known = models.iter().find(|(l, c, _)| *l == opening.layout && *c == card);
        let model = if let Some((_, _, model)) = known {
            Arc::clone(model)
        } else {
            let model = Arc::new(replay::model(self, opening).map_err(|fault| fault.to_string())?);
            models.push((opening.layout.clone(), card, Arc::clone(&model)));
            model
        };
        let job = Job::replay(model, log)
            .map_err(|(number, refusal)| format!("Job {id} does not fit these trees at entry {number}: {refusal}"))?;
        let practice = Purpose::of(&record.devices, &record.extra) != Purpose::Work;
        Ok(Some(Past { id, job, practice }))
    }
}
