//! A small engine to draw and to play on, and a desk that keeps jobs in memory.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::analysis::Analysis;
use crate::job::{AircraftFacts, Entry, Job, Logged, Opening};
use crate::learn::{Cases, Lessons, learn};
use crate::model::Model;
use crate::practise::{self, Bout, Debrief, Progress, Terms};
use crate::record::{Kept, Saved};
use crate::report::{Facts, WrittenUp};
use crate::review::listing::{ReviewMark, Row, Soundness, State};
use crate::review::{self, Key, replay};
use crate::shop::{LastWord, MadeSure, Purpose, Said};
use crate::study::Level;
use crate::study::{Lesson, Study};
use crate::trees::Library;
use crate::tui::demo::Demo;
use crate::tui::desk::{Card, Desk, JobLine, LayoutLine, Trouble};
use crate::tui::practice;
use crate::tui::work::{News, Work};

use super::proof::Proof;

const TREE: &str = include_str!("small.yaml");
const LAYOUT: &str = "format: roughrun-layout-1
name: two-cylinders
title: Two cylinders, two magnetos
cylinders: 2
firing-order: [1, 2]
left: {kind: magneto-impulse, upper: [1], lead-feet: {1: 4.0, 2: 4.5}}
right: {kind: magneto-plain, upper: [2], lead-feet: {1: 4.5, 2: 4.0}}
";

pub(super) fn library() -> Library {
    let files: [(&str, &[u8]); 2] =
        [("small.yaml", TREE.as_bytes()), ("layouts/two-cylinders.yaml", LAYOUT.as_bytes())];
    Library::from_files(&files).unwrap_or_else(|faults| panic!("{}", crate::trees::render_all(&faults)))
}

pub(super) fn model() -> Arc<Model> {
    let library = library();
    let layout = library.layout("two-cylinders").unwrap();
    Arc::new(library.expand(&layout).unwrap_or_else(|faults| panic!("{}", crate::trees::render_all(&faults))))
}

/// One lesson, so that the list has one.
fn study() -> Study {
    let lesson = Lesson {
        name: "one".into(),
        title: "One idea".into(),
        idea: vec!["Look before you replace.".into()],
        layout: "two-cylinders".into(),
        complaint: "rough-one-side".into(),
        at: crate::model::Site::Side(crate::model::Side::Left),
        faults: Vec::new(),
        level: Level::Any,
        seed: 1,
        learnt_when: Vec::new(),
    };
    Study { sets: Vec::new(), lessons: vec![lesson] }
}

/// Jobs kept in memory. `full` makes every saving fail until it is emptied, or the folder `/stick` is named.
// Each is a fault or a moment of its own.
#[allow(clippy::struct_excessive_bools)]
pub(super) struct MemoryDesk {
    model: Arc<Model>,
    jobs: Vec<(String, Vec<Logged>)>,
    open: Option<(String, Job)>,
    pub(super) full: bool,
    /// Whether what is entered now is entered on the next day.
    pub(super) next_day: bool,
    waiting: Option<Entry>,
    folder: &'static str,
    is_demo: bool,
    pub(super) tour_seen: bool,
    told: Vec<News>,
    /// The file of learnt figures, and what is in it.
    pub(super) written: Option<(String, String)>,
    /// What is hidden in the job that is open.
    bout: Option<Arc<Bout>>,
    /// What was hidden in the last practice job.
    practised: Option<Arc<Bout>>,
    proof: Proof,
}

impl MemoryDesk {
    pub(super) fn new() -> Self {
        Self {
            model: model(),
            jobs: Vec::new(),
            open: None,
            full: false,
            next_day: false,
            waiting: None,
            folder: "/records",
            is_demo: false,
            tour_seen: false,
            told: Vec::new(),
            written: None,
            bout: None,
            practised: None,
            proof: Proof::new(),
        }
    }

    /// The records as the lead lists them, newest first.
    fn rows(&self) -> Vec<Row> {
        let row = |(id, log): &(String, Vec<Logged>)| {
            let job = self.replay(log.clone());
            let (opening, complaint) = (job.opening().unwrap(), &self.model[job.state().complaint]);
            let mark = job.review();
            Row {
                id: id.clone(),
                files: Vec::new(),
                aircraft: opening.aircraft.as_ref().map(|a| a.registration.clone()).unwrap_or_default(),
                layout: opening.layout.clone(),
                complaint: complaint.title.clone(),
                at: complaint.site.to_string(),
                mechanic: opening.mechanic.clone(),
                purpose: Purpose::Work,
                state: job.state().ended.map_or(State::Open, State::Closed),
                soundness: Soundness::Whole,
                opened: Self::when(1),
                last: Self::when(log.len() as u64),
                entries: log.len(),
                clock_minutes: None,
                seen: Vec::new(),
                put_right: Vec::new(),
                old_end: false,
                worked: None,
                reviewed: mark.map(|m| ReviewMark { by: m.by, when: m.when, before_changes: m.since > 0 }),
                remarks: job.remarks().len(),
                head: String::new(),
                ends: Vec::new(),
                trouble: None,
                notes: Vec::new(),
                words: String::new(),
            }
        };
        self.jobs.iter().rev().map(row).collect()
    }

    pub(super) fn log(&self) -> Vec<Entry> {
        let job = self.open.as_ref().map(|(_, job)| job);
        job.map(|j| j.log().iter().map(|l| l.entry.clone()).collect()).unwrap_or_default()
    }

    /// The entries of every job, in the order in which the jobs were begun.
    pub(super) fn all(&self) -> Vec<Vec<Entry>> {
        self.jobs.iter().map(|(_, log)| log.iter().map(|l| l.entry.clone()).collect()).collect()
    }

    fn replay(&self, log: Vec<Logged>) -> Job {
        Job::replay(Arc::clone(&self.model), log).unwrap()
    }

    fn room(&self) -> Result<(), Trouble> {
        if self.full {
            Err(Trouble::NotSaved("The disk is full: nothing is saved. Free some space.".into()))
        } else {
            Ok(())
        }
    }

    fn when(number: u64) -> String {
        format!("2026-11-25T09:{:02}:00+01:00", number % 60)
    }
}

impl Desk for MemoryDesk {
    fn layouts(&self) -> Vec<LayoutLine> {
        vec![LayoutLine { name: "two-cylinders".into(), title: "Two cylinders, two magnetos".into() }]
    }

    fn model(&mut self, layout: &str) -> Result<Arc<Model>, Trouble> {
        self.room()?;
        if layout == "two-cylinders" {
            Ok(Arc::clone(&self.model))
        } else {
            Err(Trouble::Refused("There is no such layout.".into()))
        }
    }

    fn card(&mut self, path: &str) -> Result<Card, Trouble> {
        if path != "card.yaml" {
            let why = format!("The card {path} cannot be read: there is no such file. Mend the path.");
            return Err(Trouble::Refused(why));
        }
        let facts = AircraftFacts {
            registration: "X-RUFF".into(),
            title: "an invented aircraft".into(),
            engine_hours: 1200.0,
            parts: Vec::new(),
            lacks: Vec::new(),
            card: String::new(),
        };
        Ok(Card { layout: "two-cylinders".into(), model: Arc::clone(&self.model), facts })
    }

    fn jobs(&mut self) -> Result<Vec<JobLine>, String> {
        let line = |(id, log): &(String, Vec<Logged>)| {
            let job = self.replay(log.clone());
            let opening = job.opening().unwrap();
            let complaint = &self.model[job.state().complaint];
            JobLine {
                id: id.clone(),
                when: "2026-11-25 09:00".into(),
                aircraft: opening.aircraft.as_ref().map_or("two-cylinders".into(), |a| a.registration.clone()),
                complaint: format!("{}, {}", complaint.title, complaint.site),
                mechanic: opening.mechanic.clone(),
                practice: false,
                open: job.state().ended.is_none(),
                damage: None,
            }
        };
        Ok(self.jobs.iter().rev().map(line).collect())
    }

    fn start(&mut self, opening: Opening) -> Result<(), Trouble> {
        self.room()?;
        let entry = Entry::Opened(Box::new(opening));
        let log = vec![Logged { number: 1, when: Self::when(1), entry }];
        let job =
            Job::replay(Arc::clone(&self.model), log.clone()).map_err(|(_, why)| Trouble::Refused(why.to_string()))?;
        let id = format!("job-{}", self.jobs.len() + 1);
        self.jobs.push((id.clone(), log));
        self.open = Some((id, job));
        Ok(())
    }

    fn start_demo(&mut self) -> Result<(), Trouble> {
        let left = crate::model::Site::Side(crate::model::Side::Left);
        self.start(Opening::of("two-cylinders", "rough-one-side", left))?;
        self.is_demo = true;
        Ok(())
    }

    fn demo(&self) -> Option<Demo> {
        let at = crate::model::Site::Plug(crate::model::Side::Left, 1);
        self.is_demo.then(|| Demo { cause: "plug-fouled".into(), at })
    }

    fn study(&self) -> Study {
        study()
    }

    fn practise(&mut self, choice: &practice::Choice, by: &str) -> Result<(), Trouble> {
        let level = match choice {
            practice::Choice::Level(level) => *level,
            _ => Level::Any,
        };
        let terms = Terms { seed: 3, level, par: Some(40.0), ..Terms::default() };
        let (complaint, bout) = Bout::deal(&self.model, terms).map_err(|why| Trouble::Refused(why.to_string()))?;
        self.start(Bout::opening(&self.model, complaint, by))?;
        self.bout = Some(Arc::new(bout));
        Ok(())
    }

    fn bout(&self) -> Option<Arc<Bout>> {
        self.bout.clone()
    }

    fn debrief(&mut self, _: Option<&str>) -> Result<Debrief, String> {
        let (Some(bout), Some((_, job))) = (&self.bout, &self.open) else { return Err("It is no practice.".into()) };
        Ok(Debrief::of(bout, job, None))
    }

    fn progress(&mut self) -> Result<(Progress, Vec<String>), String> {
        let (Some(bout), Some((_, job))) =
            (&self.practised, self.jobs.last().map(|(id, log)| (id, self.replay(log.clone()))))
        else {
            return Ok((Progress::default(), Vec::new()));
        };
        let row = practise::Row::of("job-2", "2026-11-25T09:30:00+01:00", "R. Vance", &job, bout);
        Ok((Progress::of(row.into_iter().collect()), Vec::new()))
    }

    fn tour_seen(&mut self) {
        self.tour_seen = true;
    }

    fn resume(&mut self, id: &str) -> Result<Vec<String>, String> {
        let (id, log) = self.jobs.iter().find(|(i, _)| i == id).cloned().ok_or("There is no such job.")?;
        self.open = Some((id, self.replay(log)));
        Ok(Vec::new())
    }

    fn look(&mut self, id: &str) -> Result<(Job, Vec<String>), String> {
        let (_, log) = self.jobs.iter().find(|(i, _)| i == id).cloned().ok_or("There is no such job.")?;
        Ok((self.replay(log), Vec::new()))
    }

    fn enter(&mut self, entry: Entry) -> Result<Option<Saved>, Trouble> {
        let (id, job) = self.open.as_mut().ok_or(Trouble::Refused("No job is open.".into()))?;
        job.test(&entry).map_err(|why| Trouble::Refused(why.to_string()))?;
        if self.waiting.is_some() {
            return Err(Trouble::NotSaved("An earlier entry waits, so this one was not taken.".into()));
        }
        if self.full {
            self.waiting = Some(entry);
            return Err(Trouble::NotSaved("The disk is full: the entry is not saved. Name another folder.".into()));
        }
        let number = job.next_number();
        let when = if self.next_day { "2026-11-26T07:00:00+01:00".to_owned() } else { Self::when(number) };
        job.enter(Logged { number, when, entry }).unwrap();
        let log = job.log().to_vec();
        self.jobs.iter_mut().filter(|(i, _)| i == id).for_each(|(_, l)| l.clone_from(&log));
        Ok((!self.is_demo).then(|| self.proof.saved(number)))
    }

    fn kept(&self) -> Option<Result<Kept, String>> {
        let is_kept = self.open.is_some() && !self.is_demo;
        let waits = || Err("The disk is full: one entry is not saved.".to_owned());
        is_kept.then(|| if self.waiting.is_some() { waits() } else { Ok(self.proof.kept()) })
    }

    fn make_sure(&mut self) -> Option<Result<MadeSure, String>> {
        let saved = if self.full { None } else { self.waiting.take().map(|entry| self.enter(entry)) };
        let saved = saved.and_then(Result::ok).flatten();
        self.kept().map(|kept| kept.map(|kept| MadeSure { kept, saved, told: None }))
    }

    fn last_word(&self) -> Option<LastWord> {
        None
    }

    fn waiting(&self) -> Option<Entry> {
        self.waiting.clone()
    }

    fn folder(&self) -> String {
        self.folder.to_owned()
    }

    fn save_elsewhere(&mut self, folder: &str) -> Result<MadeSure, String> {
        self.keep_in(folder)?;
        self.room().map_err(|full| full.to_string())?;
        self.make_sure().unwrap()
    }

    fn keep_in(&mut self, folder: &str) -> Result<(), String> {
        match folder {
            "" => {}
            "/stick" => (self.full, self.folder) = (false, "/stick"),
            _ => return Err(format!("{folder} cannot be written. Name another folder.")),
        }
        Ok(())
    }

    fn job(&self) -> Option<&Job> {
        self.open.as_ref().map(|(_, job)| job)
    }

    fn mark(&self) -> Option<(String, String)> {
        self.open.as_ref().map(|(id, _)| (id.clone(), "0123456789abcdef".into()))
    }

    fn report(&self, job: &Analysis, id: &str) -> WrittenUp {
        let facts = Facts { id: id.to_owned(), printed: "2026-11-25T10:00:00Z".into(), ..Facts::default() };
        WrittenUp::of(job, &facts)
    }

    fn ask(&mut self, work: Work) -> Result<(), String> {
        self.told = match work {
            Work::List => vec![News::Listed(self.rows(), Vec::new())],
            Work::Replay(job) => replay::steps(&job).map(|step| News::Step(Box::new(step))).collect(),
            Work::Learn => {
                let jobs = self.jobs.iter().map(|(_, log)| (self.replay(log.clone()), false)).collect();
                let lessons = learn(&Cases::of(jobs, &std::collections::BTreeMap::new()));
                vec![News::Learnt(Box::new(lessons), Vec::new())]
            }
        };
        self.told.push(News::Done);
        Ok(())
    }

    fn stop(&mut self) {
        self.told.clear();
    }

    fn news(&mut self) -> Vec<News> {
        std::mem::take(&mut self.told)
    }

    fn is_working(&self) -> bool {
        !self.told.is_empty()
    }

    fn read(&mut self, row: &Row) -> Result<(Job, Vec<String>), String> {
        self.look(&row.id)
    }

    fn say(&mut self, row: &Row, entry: Entry) -> Result<Said, String> {
        if self.full {
            return Err("The disk is full: nothing was added.".into());
        }
        let (_, log) = self.jobs.iter_mut().find(|(id, _)| *id == row.id).ok_or("There is no such job.")?;
        let mut job = Job::replay(Arc::clone(&self.model), log.clone()).unwrap();
        let number = job.next_number();
        job.enter(Logged { number, when: Self::when(number), entry }).map_err(|why| why.to_string())?;
        *log = job.log().to_vec();
        Ok(Said { job, head: "0123456789abcdef".into(), saved: self.proof.saved(number) })
    }

    fn write_learnt(&mut self, path: &str, lessons: &Lessons, accepted: &BTreeSet<Key>) -> Result<(), String> {
        let overlay = review::accepted(review::overlay(lessons, "2026-11-25"), |key| accepted.contains(key));
        self.written = Some((path.to_owned(), overlay.text()));
        Ok(())
    }

    fn write_report(&mut self, path: &str, text: &str) -> Result<String, String> {
        if self.full {
            return Err(format!("{path} cannot be written: no space left. Nothing of it is there."));
        }
        self.written = Some((path.to_owned(), text.to_owned()));
        Ok(format!("/here/{path}"))
    }

    fn put_away(&mut self) -> Result<Option<String>, Trouble> {
        self.open = None;
        self.is_demo = false;
        self.practised = self.bout.take().or(self.practised.take());
        Ok(None)
    }
}
