//! The jobs of a records folder together, oldest first, for whoever looks back over many.

use std::sync::Arc;

use super::{Shop, ShopError, replay};
use crate::job::{Entry, Job};
use crate::model::Model;
use crate::record::{self, Class, JobRecord, Listed};

/// The label of the device under which jobs played for show are kept.
const DEMO: &str = "demo";

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

impl Shop {
    /// All jobs of the records folder, read on these trees. `layout` keeps to those of one layout. Jobs that are damaged, that part, or
    /// that these trees do not fit are named and left out.
    ///
    /// # Errors
    /// A folder that is not there or cannot be read.
    pub fn history(&self, layout: Option<&str>) -> Result<History, ShopError> {
        let mut history = History::default();
        let mut models: Vec<(String, String, Arc<Model>)> = Vec::new();
        let mut ids: Vec<_> = record::list(&self.records)?
            .into_iter()
            .filter_map(|listed| match listed {
                Listed::Job(summary) => Some(Ok(summary.id)),
                Listed::Damaged { sentence, .. } => Some(Err(sentence)),
                Listed::Skipped { .. } => None,
            })
            .filter_map(|id| id.map_err(|sentence| history.unread.push(sentence)).ok())
            .collect();
        // A job's name begins with the time it was begun.
        ids.sort();
        for id in ids {
            let record = record::read_job(&self.records, &id)?;
            let read = self.past(&record, layout, &mut models);
            match read {
                Ok(Some(past)) => history.jobs.push(past),
                Ok(None) => {}
                Err(why) => history.unread.push(why),
            }
        }
        Ok(history)
    }

    fn past(
        &self,
        record: &JobRecord,
        layout: Option<&str>,
        models: &mut Vec<(String, String, Arc<Model>)>,
    ) -> Result<Option<Past>, String> {
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
        let practice =
            crate::practise::is_practice(&record.extra) || record.devices.iter().any(|device| device == DEMO);
        Ok(Some(Past { id, job, practice }))
    }
}
