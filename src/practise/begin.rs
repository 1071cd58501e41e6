//! Practice jobs: dealt and begun, gone on with, and looked back over.

use std::sync::Arc;

use super::bout::{Bout, NoBout};
use super::terms::Terms;
use crate::job::{Entry, Job, Logged, Opening};
use crate::record::{self, Class, JobRecord, RecordError, Summary, read_job};
use crate::shop::{JobState, OpenJob, Shop, ShopError, model};
use crate::study::{Lesson, Set};

/// Why a job could not be practised.
#[derive(Debug, thiserror::Error)]
pub enum NoPractice {
    /// The shop could not do as asked.
    #[error("{0}")]
    Shop(#[from] ShopError),
    /// There is nothing to practise on.
    #[error("{0}")]
    Bout(#[from] NoBout),
    /// A practice job that was dealt from other trees.
    #[error(
        "Practice job {0} was dealt from other trees, and these would hide something else in it. Use the trees it was opened on (--trees)."
    )]
    OtherDeal(String),
    /// No such set or lesson.
    #[error("There is no {what} \"{given}\" in these trees. There are: {known}.")]
    NoStudy {
        /// Set or lesson.
        what: &'static str,
        /// What was given, safe to show.
        given: String,
        /// What there is.
        known: String,
    },
    /// A set whose jobs are all done.
    #[error(
        "All jobs of the set {0} are done by this name. Choose another set, or one of its jobs again with --level and --seed."
    )]
    SetDone(String),
    /// A job that is no practice.
    #[error("Job {0} is no practice. Write it up with: roughrun report {0}")]
    IsNone(String),
}

impl From<RecordError> for NoPractice {
    fn from(fault: RecordError) -> Self {
        Self::Shop(fault.into())
    }
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Order {
    /// The job of a number on a layout.
    Dealt {
        /// The layout's name or path.
        layout: String,
        /// How it is dealt.
        terms: Terms,
    },
    /// The next job of a set that was not done yet.
    Set(String),
    /// A lesson.
    Lesson(String),
    /// A record, as the mechanic met it.
    Record(String),
}

/// A practice job of the past.
#[derive(Debug)]
pub struct PastBout {
    /// Its name.
    pub id: String,
    /// Wall time when it was begun.
    pub when: String,
    /// Who worked it.
    pub by: String,
    /// The job.
    pub job: Job,
    /// Its hidden side.
    pub bout: Bout,
}

/// The practice jobs of a folder.
#[derive(Debug, Default)]
pub struct Bouts {
    /// Those that could be dealt anew, oldest first.
    pub bouts: Vec<PastBout>,
    /// Why the others could not, a sentence each.
    pub unread: Vec<String>,
}

impl Shop {
    /// Deals a practice job and begins its record.
    ///
    /// # Errors
    /// Nothing of that kind to practise on, or a record that cannot be begun.
    pub fn practise(&self, order: &Order, by: &str) -> Result<(OpenJob, Bout), NoPractice> {
        let (opening, card, mut terms) = match order {
            Order::Dealt { layout, terms } => (self.dealt(layout, terms, by)?, None, terms.clone()),
            Order::Set(name) => {
                let (layout, terms) = self.next_of(self.set(name)?, by)?;
                (self.dealt(&layout, &terms, by)?, None, terms)
            }
            Order::Lesson(name) => {
                let lesson = self.lesson(name)?;
                let opening =
                    Opening { mechanic: by.to_owned(), ..Opening::of(&lesson.layout, &lesson.complaint, lesson.at) };
                let terms = Terms {
                    seed: lesson.seed,
                    level: lesson.level,
                    lesson: Some(lesson.name.clone()),
                    ..Terms::default()
                };
                (opening, None, terms)
            }
            Order::Record(id) => {
                let id = self.find(id)?.to_string();
                let (source, _, _) = self.look(&id)?;
                let opening = source.opening().cloned().ok_or_else(|| NoBout::NothingProven(id.clone()))?;
                let card = opening.aircraft.as_ref().map(|a| a.card.clone()).filter(|card| !card.trim().is_empty());
                (
                    Opening { mechanic: by.to_owned(), ..opening },
                    card,
                    Terms { seed: 1, from: Some(id), ..Terms::default() },
                )
            }
        };
        let opened = self.opened(opening.clone())?;
        let bout = self.bout_of(&opened, terms.clone(), "")?;
        terms.par = bout.par(&opened);
        let open = self.start_with(opening, card.as_deref(), &terms.header())?;
        Ok((open, bout.with_terms(terms)))
    }

    /// The hidden side of an open job; none where it is no practice.
    ///
    /// # Errors
    /// Trees other than those it was dealt from, or a source that is not at hand.
    pub fn bout(&self, open: &OpenJob) -> Result<Option<Bout>, NoPractice> {
        let Some(terms) = Terms::of_header(open.header()) else { return Ok(None) };
        self.anew(open.job(), terms, open.id()).map(Some)
    }

    /// A practice job of the past with its hidden side.
    ///
    /// # Errors
    /// No such job, one that is no practice, or one that cannot be dealt anew.
    pub fn past_bout(&self, id: &str) -> Result<PastBout, NoPractice> {
        let id = self.find(id)?;
        let record = read_job(self.records(), &id)?;
        let terms = Terms::of_header(&record.extra).ok_or_else(|| NoPractice::IsNone(id.to_string()))?;
        self.past_of(record, terms)
    }

    fn past_of(&self, record: JobRecord, terms: Terms) -> Result<PastBout, NoPractice> {
        let id = record.id.to_string();
        let job = self.job_of(&record)?;
        let bout = self.anew(&job, terms, &id)?;
        let by = job.opening().map(|o| o.mechanic.clone()).unwrap_or_default();
        Ok(PastBout { id, when: record.started, by, job, bout })
    }

    /// The practice jobs of the records folder, oldest first; those of one name, where one is given.
    ///
    /// # Errors
    /// A folder that cannot be read.
    pub fn bouts(&self, by: Option<&str>) -> Result<Bouts, NoPractice> {
        let mut bouts = Bouts::default();
        for (summary, terms) in self.practised(by)? {
            let record = record::read_listed(&summary.id, &summary.files);
            match self.past_of(record, terms) {
                Ok(past) => bouts.bouts.push(past),
                Err(fault) => bouts.unread.push(fault.to_string()),
            }
        }
        Ok(bouts)
    }

    /// What the list says of the practice jobs, oldest first, and how each was dealt; those of one name, where one is
    /// given. None where there is no folder yet.
    fn practised(&self, by: Option<&str>) -> Result<Vec<(Summary, Terms)>, NoPractice> {
        if !self.records().exists() {
            return Ok(Vec::new());
        }
        let theirs = |extra: &serde_json::Value| {
            let name = extra.get("mechanic").and_then(|m| m.as_str()).unwrap_or_default();
            by.is_none_or(|by| by.trim().eq_ignore_ascii_case(name.trim()))
        };
        let (summaries, _) = self.summaries()?;
        let sound = summaries.into_iter().filter(|s| s.entries > 0 && s.class != Class::Damaged && theirs(&s.extra));
        Ok(sound.filter_map(|s| Terms::of_header(&s.extra).map(|terms| (s, terms))).collect())
    }

    /// The set of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn set(&self, name: &str) -> Result<&Set, NoPractice> {
        let sets = || self.library().study().sets.iter().map(|s| s.name.as_str());
        self.library().study().set(name).ok_or_else(|| no_study("set", name, &sets().collect::<Vec<_>>()))
    }

    /// The lesson of this name.
    ///
    /// # Errors
    /// There is none.
    pub fn lesson(&self, name: &str) -> Result<&Lesson, NoPractice> {
        let lessons = || self.library().study().lessons.iter().map(|l| l.name.as_str());
        self.library().study().lesson(name).ok_or_else(|| no_study("lesson", name, &lessons().collect::<Vec<_>>()))
    }

    /// How the job of a number is opened.
    fn dealt(&self, layout: &str, terms: &Terms, by: &str) -> Result<Opening, NoPractice> {
        let model = Arc::new(model(self.library(), layout, None)?);
        let (complaint, _) = Bout::deal(&model, terms.clone())?;
        Ok(Opening { layout: layout.to_owned(), ..Bout::opening(&model, complaint, by) })
    }

    /// The first job of a set that this name has not closed.
    fn next_of(&self, set: &Set, by: &str) -> Result<(String, Terms), NoPractice> {
        let practised = self.practised(Some(by))?;
        let of_it = practised.iter().filter(|(_, terms)| terms.set.as_deref() == Some(set.name.as_str()));
        let ended = of_it.filter(|(summary, _)| matches!(self.state_of(summary), JobState::Closed(_)));
        let done: Vec<u64> = ended.map(|(_, terms)| terms.seed).collect();
        let next = set.each().find(|(_, seed)| !done.contains(seed));
        let (layout, seed) = next.ok_or_else(|| NoPractice::SetDone(set.name.clone()))?;
        let terms = Terms { seed, level: set.level, on: set.on, set: Some(set.name.clone()), ..Terms::default() };
        Ok((layout.to_owned(), terms))
    }

    /// A job just opened, on no record.
    fn opened(&self, opening: Opening) -> Result<Job, NoPractice> {
        let model = self.model_of(&opening)?;
        let entry = Entry::Opened(Box::new(opening));
        let log = vec![Logged { number: 1, when: String::new(), entry }];
        Job::replay(Arc::new(model), log).map_err(|(_, refusal)| ShopError::Opening(refusal).into())
    }

    /// The hidden side of a job on record.
    fn anew(&self, job: &Job, terms: Terms, id: &str) -> Result<Bout, NoPractice> {
        let other = || NoPractice::OtherDeal(id.to_owned());
        let opening = job.opening().cloned().ok_or_else(other)?;
        if opening.trees != self.library().digest() {
            return Err(other());
        }
        let first: Vec<Logged> = job.log().iter().take(1).cloned().collect();
        let opened = Job::replay(job.shared_model(), first).map_err(|_| other())?;
        self.bout_of(&opened, terms, id)
    }

    fn bout_of(&self, opened: &Job, terms: Terms, id: &str) -> Result<Bout, NoPractice> {
        if let Some(name) = &terms.lesson {
            let lesson = self.lesson(name)?.clone();
            return Ok(Bout::of_lesson(opened, &lesson, terms)?);
        }
        if let Some(source) = &terms.from {
            let (source, _, _) = self.look(source).map_err(|_| NoBout::NoSource(source.clone()))?;
            return Ok(Bout::of_record(opened, &source, terms)?);
        }
        let (complaint, bout) = Bout::deal(&opened.shared_model(), terms)?;
        if complaint == opened.state().complaint { Ok(bout) } else { Err(NoPractice::OtherDeal(id.to_owned())) }
    }
}

fn no_study(what: &'static str, name: &str, known: &[&str]) -> NoPractice {
    NoPractice::NoStudy { what, given: crate::text::safe_text(name).into_owned(), known: known.join(", ") }
}
