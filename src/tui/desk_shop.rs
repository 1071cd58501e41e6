//! The desk over the shop: trees and records as they are on the disk.
//!
//! Owns the one translation between the shop's words and the screens'. Must not know any screen.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::demo::{self, Demo};
use super::desk::{Card, Desk, JobLine, LayoutLine, Trouble};
use super::lead_desk;
use super::practice;
use super::work::{News, Work, Worker};
use crate::analysis::Analysis;
use crate::job::{Entry, Job, Logged, Opening};
use crate::learn::Lessons;
use crate::model::Model;
use crate::practise::{self, Bout, Debrief, NoPractice, Order, Progress, Terms};
use crate::record::{JobId, Kept, Saved};
use crate::report::{Facts, WrittenUp};
use crate::review::listing::Row;
use crate::review::{self, Key};
use crate::shop::{self, EnterError, JobState, LastWord, MadeSure, OpenJob, Said, Shop, ShopError};
use crate::study::Study;

/// The shop, with the job being worked and the record being looked at.
pub(crate) struct ShopDesk {
    shop: Shop,
    open: Option<OpenJob>,
    /// The demo job, which is kept in memory only.
    demo: Option<Job>,
    looked: Option<Facts>,
    /// What is hidden, where the open job is practice.
    bout: Option<Arc<Bout>>,
    /// The file that says that the tour was seen.
    tour: Option<PathBuf>,
    /// The folders the lead reviews; the records folder where none is named.
    pub(super) reviewed: Vec<PathBuf>,
    /// The long work that is being done.
    work: Option<Worker>,
}

impl ShopDesk {
    pub(crate) fn new(shop: Shop, tour: Option<PathBuf>) -> Self {
        Self { shop, open: None, demo: None, looked: None, bout: None, tour, reviewed: Vec::new(), work: None }
    }

    /// The same with a job that is open already.
    ///
    /// # Errors
    /// A practice job that cannot be dealt anew; it is not taken then.
    pub(crate) fn take(&mut self, mut open: OpenJob) -> Result<(), String> {
        self.bout = self.shop.bout(&open).map_err(told)?.map(Arc::new);
        open.pass_time();
        self.open = Some(open);
        Ok(())
    }
}

fn told(fault: impl std::fmt::Display) -> String {
    fault.to_string()
}

/// What the disk does not let be done may be possible in another folder.
fn trouble(fault: ShopError) -> Trouble {
    match &fault {
        ShopError::Record(record) if record.trouble().is_some() => Trouble::NotSaved(told(fault)),
        _ => Trouble::Refused(told(fault)),
    }
}

/// The folder that a person typed: `~` is their own, and what is not a whole path is below the working folder.
fn typed_path(typed: &str) -> PathBuf {
    let own = || etcetera::home_dir().ok();
    let path = match typed.strip_prefix('~') {
        Some(rest) if rest.is_empty() || rest.starts_with('/') => {
            own().map_or_else(|| PathBuf::from(typed), |own| own.join(rest.trim_start_matches('/')))
        }
        _ => PathBuf::from(typed),
    };
    std::path::absolute(&path).unwrap_or(path)
}

impl Desk for ShopDesk {
    fn layouts(&self) -> Vec<LayoutLine> {
        let layouts = self.shop.library().layouts().iter();
        layouts.map(|l| LayoutLine { name: l.layout.name.clone(), title: l.layout.title.clone() }).collect()
    }

    fn model(&mut self, layout: &str) -> Result<Arc<Model>, Trouble> {
        // Before the first question, so that no answer is given for nothing.
        self.shop.check_writing().map_err(trouble)?;
        shop::model(self.shop.library(), layout, None).map(Arc::new).map_err(trouble)
    }

    fn card(&mut self, path: &str) -> Result<Card, Trouble> {
        self.shop.check_writing().map_err(trouble)?;
        let text = shop::read_card_file(Path::new(path)).map_err(Trouble::Refused)?;
        let card = shop::read_card(self.shop.library(), &text).map_err(trouble)?;
        let model = shop::model(self.shop.library(), "", Some(&card)).map_err(trouble)?;
        Ok(Card { layout: card.layout.clone(), model: Arc::new(model), facts: card.facts })
    }

    fn jobs(&mut self) -> Result<Vec<JobLine>, String> {
        let line = |job: shop::JobLine| JobLine {
            when: job.last.get(..16).unwrap_or(&job.last).replace('T', " "),
            aircraft: if job.aircraft.is_empty() { job.layout } else { job.aircraft },
            complaint: job.complaint,
            mechanic: job.mechanic,
            practice: job.practice,
            open: job.state == JobState::Open,
            damage: match job.state {
                JobState::Damaged => Some(job.trouble.unwrap_or_else(|| "Its record is damaged.".to_owned())),
                _ => job.trouble,
            },
            id: job.id,
        };
        Ok(self.shop.jobs().map_err(told)?.into_iter().map(line).collect())
    }

    fn start(&mut self, opening: Opening) -> Result<(), Trouble> {
        let card = opening.aircraft.as_ref().map(|a| a.card.clone());
        self.open = Some(self.shop.start(opening, card.as_deref()).map_err(trouble)?);
        self.bout = None;
        Ok(())
    }

    fn start_demo(&mut self) -> Result<(), Trouble> {
        let card = shop::read_card(self.shop.library(), demo::CARD).map_err(trouble)?;
        let model = shop::model(self.shop.library(), "", Some(&card)).map_err(trouble)?;
        let opening = Opening { aircraft: Some(card.facts), ..Demo::opening(&card.layout) };
        let entry = Entry::Opened(Box::new(opening));
        let first = Logged { number: 1, when: self.shop.now_words(), entry };
        let job = Job::replay(Arc::new(model), vec![first]);
        self.demo = Some(
            job.map_err(|(_, refusal)| Trouble::Refused(format!("The demo does not fit these trees: {refusal}.")))?,
        );
        Ok(())
    }

    fn demo(&self) -> Option<Demo> {
        self.demo.as_ref().map(|_| Demo::shipped())
    }

    fn study(&self) -> Study {
        self.shop.library().study().clone()
    }

    fn practise(&mut self, choice: &practice::Choice, by: &str) -> Result<(), Trouble> {
        let order = match choice {
            practice::Choice::Lesson(name) => Order::Lesson(name.clone()),
            practice::Choice::Set(name) => Order::Set(name.clone()),
            practice::Choice::Level(level) => {
                let seed = self.shop.new_seed();
                let names = self.shop.library().layout_names();
                let at = usize::try_from(seed % (names.len().max(1) as u64)).unwrap_or(0);
                let layout = names.get(at).map(|name| (*name).to_owned()).unwrap_or_default();
                Order::Dealt { layout, terms: Terms { seed, level: *level, ..Terms::default() } }
            }
        };
        let (open, bout) = self.shop.practise(&order, by).map_err(|fault| match fault {
            NoPractice::Shop(fault) => trouble(fault),
            other => Trouble::Refused(told(other)),
        })?;
        self.bout = Some(Arc::new(bout));
        self.open = Some(open);
        Ok(())
    }

    fn bout(&self) -> Option<Arc<Bout>> {
        self.bout.clone()
    }

    fn debrief(&mut self, id: Option<&str>) -> Result<Debrief, String> {
        let lesson = |bout: &Bout| {
            let name = bout.terms.lesson.clone()?;
            self.shop.library().study().lesson(&name).cloned()
        };
        match (id, &self.open, &self.bout) {
            (None, Some(open), Some(bout)) => Ok(Debrief::of(bout, open.job(), lesson(bout).as_ref())),
            (Some(id), _, _) => {
                let past = self.shop.past_bout(id).map_err(told)?;
                Ok(Debrief::of(&past.bout, &past.job, lesson(&past.bout).as_ref()))
            }
            _ => Err("This job is no practice.".to_owned()),
        }
    }

    fn progress(&mut self) -> Result<(Progress, Vec<String>), String> {
        let bouts = self.shop.bouts(None).map_err(told)?;
        let rows =
            bouts.bouts.iter().filter_map(|b| practise::Row::of(&b.id, &b.when, &b.by, &b.job, &b.bout)).collect();
        Ok((Progress::of(rows), bouts.unread))
    }

    fn tour_seen(&mut self) {
        let Some(file) = self.tour.take() else { return };
        // Where it cannot be kept the tour is shown once more: no harm.
        if let Some(folder) = file.parent() {
            let _ = std::fs::create_dir_all(folder);
        }
        let _ = std::fs::write(file, "The tour of keys was seen. Take this file away to see it again.\n");
    }

    fn doubtful_end(&self, id: &str) -> Result<Vec<String>, String> {
        self.shop.doubtful_end(id).map_err(told)
    }

    fn resume(&mut self, id: &str) -> Result<Vec<String>, String> {
        let (open, notes) = self.shop.resume(id).map_err(told)?;
        self.take(open)?;
        Ok(notes)
    }

    fn look(&mut self, id: &str) -> Result<(Job, Vec<String>), String> {
        let (job, head, notes) = self.shop.look(id).map_err(told)?;
        self.looked = Some(Facts { id: id.to_owned(), head, printed: String::new(), notes: notes.clone() });
        Ok((job, notes))
    }

    fn pass_time(&mut self) -> bool {
        self.demo.is_none() && self.open.as_mut().is_some_and(OpenJob::pass_time)
    }

    fn look_after(&mut self) -> Option<Result<MadeSure, String>> {
        self.open.as_mut()?.look_after().map(|sure| sure.map_err(told))
    }

    fn enter(&mut self, entry: Entry) -> Result<Option<Saved>, Trouble> {
        if let Some(demo) = &mut self.demo {
            let logged = Logged { number: demo.next_number(), when: self.shop.now_words(), entry };
            demo.enter(logged).map_err(|why| Trouble::Refused(format!("Not entered: {why}.")))?;
            return Ok(None);
        }
        let open =
            self.open.as_mut().ok_or_else(|| Trouble::Refused("No job is open; go back to the bench.".into()))?;
        open.enter(entry).map(Some).map_err(|fault| match fault {
            EnterError::Refused(why) => Trouble::Refused(format!("Not entered: {why}.")),
            other => Trouble::NotSaved(told(other)),
        })
    }

    fn kept(&self) -> Option<Result<Kept, String>> {
        self.open.as_ref().map(|open| open.kept().map_err(told))
    }

    fn make_sure(&mut self) -> Option<Result<MadeSure, String>> {
        self.open.as_mut().map(|open| open.make_sure().map_err(told))
    }

    fn last_word(&self) -> Option<LastWord> {
        self.open.as_ref().map(OpenJob::last_word)
    }

    fn waiting(&self) -> Option<Entry> {
        self.open.as_ref()?.waiting().cloned()
    }

    fn folder(&self) -> String {
        self.open.as_ref().map_or_else(|| self.shop.records(), OpenJob::folder).display().to_string()
    }

    fn save_elsewhere(&mut self, folder: &str) -> Result<MadeSure, String> {
        let open = self.open.as_mut().ok_or("No job is open; go back to the bench.")?;
        let folder = if folder.is_empty() { open.folder().to_owned() } else { typed_path(folder) };
        let sure = open.save_elsewhere(&folder).map_err(told)?;
        // Where this entry could not be saved, the next job could not either.
        self.shop.keep_in(folder);
        Ok(sure)
    }

    fn keep_in(&mut self, folder: &str) -> Result<(), String> {
        if !folder.is_empty() {
            let before = self.shop.records().to_owned();
            self.shop.keep_in(typed_path(folder));
            if let Err(fault) = self.shop.check_writing() {
                self.shop.keep_in(before);
                return Err(told(fault));
            }
        }
        Ok(())
    }

    fn job(&self) -> Option<&Job> {
        self.demo.as_ref().or_else(|| self.open.as_ref().map(OpenJob::job))
    }

    fn mark(&self) -> Option<(String, String)> {
        if self.demo.is_some() {
            return Some(("demo, not kept".to_owned(), String::new()));
        }
        self.open.as_ref().map(|open| (open.id().to_owned(), open.head()))
    }

    fn report(&self, job: &Analysis, id: &str) -> WrittenUp {
        let printed = self.shop.now_words();
        let facts = match (&self.open, &self.looked) {
            (Some(open), _) if open.id() == id => {
                Facts { id: id.to_owned(), head: open.head(), printed, notes: Vec::new() }
            }
            (_, Some(looked)) => {
                Facts { id: looked.id.clone(), head: looked.head.clone(), printed, notes: looked.notes.clone() }
            }
            _ => Facts { id: id.to_owned(), head: String::new(), printed, notes: Vec::new() },
        };
        WrittenUp::of(job, &facts)
    }

    fn ask(&mut self, work: Work) -> Result<(), String> {
        self.work = None;
        let mut folders = self.reviewed.clone();
        if folders.is_empty() {
            folders.push(self.shop.records().to_owned());
        }
        self.work = Some(lead_desk::start(work, self.shop.library().clone(), folders)?);
        Ok(())
    }

    fn stop(&mut self) {
        self.work = None;
    }

    fn news(&mut self) -> Vec<News> {
        self.work.as_mut().map(Worker::news).unwrap_or_default()
    }

    fn is_working(&self) -> bool {
        self.work.as_ref().is_some_and(Worker::is_busy)
    }

    fn read(&mut self, row: &Row) -> Result<(Job, Vec<String>), String> {
        let id = JobId::parse(&row.id).map_err(told)?;
        let (job, head, notes) = self.shop.look_among(&id, &row.files).map_err(told)?;
        self.looked = Some(Facts { id: row.id.clone(), head, printed: String::new(), notes: notes.clone() });
        Ok((job, notes))
    }

    fn say(&mut self, row: &Row, entry: Entry) -> Result<Said, String> {
        let id = JobId::parse(&row.id).map_err(told)?;
        let said = self.shop.say_among(&id, &row.files, entry).map_err(told)?;
        if let Some(looked) = self.looked.as_mut().filter(|looked| looked.id == row.id) {
            looked.head.clone_from(&said.head);
        }
        Ok(said)
    }

    fn write_learnt(&mut self, path: &str, lessons: &Lessons, accepted: &BTreeSet<Key>) -> Result<(), String> {
        let all = review::overlay(lessons, &self.shop.today_words());
        let overlay = review::accepted(all, |key| accepted.contains(key));
        shop::put(Path::new(path), overlay.text().as_bytes()).map_err(told)
    }

    fn write_report(&mut self, path: &str, text: &str) -> Result<String, String> {
        let path = typed_path(path);
        shop::put(&path, text.as_bytes()).map_err(told)?;
        Ok(path.display().to_string())
    }

    fn put_away(&mut self) -> Result<Option<String>, Trouble> {
        let sure = self.make_sure().transpose().map_err(Trouble::NotSaved)?;
        self.open = None;
        self.bout = None;
        self.demo = None;
        self.looked = None;
        Ok(sure.and_then(|sure| sure.told))
    }
}
