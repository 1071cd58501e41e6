//! The state of the screens.
//!
//! Owns what is shown and what is being typed. The job in it is a snapshot to draw from; it changes only through the desk.
//! Must not draw, and must not reach the disk.

use std::sync::Arc;

use crate::job::{Job, Levels};
use crate::measure::Limit;
use crate::plan;
use crate::practise::{Bout, Debrief, Progress, Study};

use super::action::Context;
use super::demo::Demo;
use super::desk::{JobLine, LayoutLine};
use super::engine::EngineView;
use super::field::Field;
use super::front::{Front, Verdict};
use super::grid::Grid;
use super::intake::Intake;
use super::lead::{Lead, LearnView, ReplayView, ReviewView};
use super::message::{Waiting, Wanted};
use super::pick::{List, Pick};
use super::practice::Choice as PracticeChoice;
use super::theme::Theme;
use super::think::Failure;
use super::tree::TreeView;

/// What is shown.
#[derive(Debug, Clone)]
pub(super) enum Screen {
    /// A list to take something from.
    Pick(Pick, List),
    /// The intake.
    Intake,
    /// The walk.
    Walk,
    /// Conditions, of now or of the proof run.
    Levels(LevelsForm),
    /// The whole of what is in front, scrolled by rows.
    Card(usize),
    /// The write-up, scrolled by rows.
    Report {
        /// The text.
        text: String,
        /// Rows scrolled.
        scroll: usize,
    },
    /// How a practice job went, scrolled by rows.
    Debrief(Arc<Debrief>, usize),
    /// How one gets on in practice, scrolled by rows.
    Progress(Arc<Progress>, usize),
    /// What this screen is and its keys, scrolled by rows.
    Help(usize),
    /// A line to write.
    Write(Purpose, Field),
    /// The engine, drawn.
    Engine(EngineView),
    /// The fault tree, walked.
    Tree(TreeView),
    /// Many answers to one check at once.
    Grid(Grid),
    /// How the suspicion moved; the moment that is marked, counted from the newest.
    Course(usize),
    /// What the last answer changed, scrolled by rows.
    Changes(usize),
    /// The tour of keys, shown once.
    Tour,
    /// The records, for the lead.
    Review(ReviewView),
    /// A record walked again.
    Replay(ReplayView),
    /// What the records teach.
    Learn(LearnView),
}

/// What a line is written for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Purpose {
    /// A note.
    Note,
    /// Why a check is not possible.
    WhyNot(crate::model::CheckId),
    /// A remark at the close.
    Remark(crate::job::Ending),
    /// How sure one is of a cause, in practice.
    Sure(crate::model::CauseId),
    /// Who practises what was chosen.
    Practises(PracticeChoice),
    /// The file of an aircraft card.
    CardFile,
    /// The lead's name, and what it is wanted for.
    LeadName(Box<Self>),
    /// A lead's remark: on the job, or on the entry with this number.
    LeadRemark(Option<u64>),
    /// That the job was gone through.
    Reviewed,
    /// The file for what was learnt and accepted.
    LearntFile,
    /// Another folder to save in: what is done then, and the folder that was written to.
    Elsewhere(Wanted, String),
}

/// Conditions being changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct LevelsForm {
    /// The level of each condition.
    pub levels: Vec<usize>,
    /// What they were.
    pub before: Vec<usize>,
    /// The row.
    pub row: usize,
    /// Whether they are those of the proof run.
    pub of_run: bool,
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

/// What was worked out of the job so far. It runs behind the job itself, never ahead.
#[derive(Debug, Clone, Default)]
pub(super) struct Thought {
    /// The newest state of the job whose causes are ranked.
    pub ranked: Option<Arc<Job>>,
    /// The last one before it that believed something else.
    pub before: Option<Arc<Job>>,
    /// The last that failed to be worked out.
    pub failed: Option<Failure>,
}

/// Whether something waits to be saved.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Unsaved {
    /// Everything entered is saved.
    Nothing,
    /// An entry waits.
    Waits(Waiting),
    /// An entry waits, and the person was just asked about leaving without it.
    Asked(Waiting),
}

impl Unsaved {
    /// By what waits.
    pub(super) fn of(waits: Option<Waiting>) -> Self {
        waits.map_or(Self::Nothing, Self::Waits)
    }
}

/// A sentence to the person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Notice {
    /// What was done.
    Said(String),
    /// What was done, with something to be kept in mind.
    Told(String),
    /// What went wrong, and what to do.
    Fault(String),
}

/// Everything the screens hold.
#[derive(Debug, Clone)]
pub(super) struct App {
    /// How it looks.
    pub theme: Theme,
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// The screens, the one shown last.
    pub stack: Vec<Screen>,
    /// The job, as it is now.
    pub job: Option<Arc<Job>>,
    /// What is worked out of it.
    pub thought: Thought,
    /// The engine that answers, where the job is the demo.
    pub demo: Option<Demo>,
    /// What is hidden, where the job is practice.
    pub bout: Option<Arc<Bout>>,
    /// The sets and lessons there are.
    pub study: Study,
    /// Whether the question and its answers are drawn large.
    pub big: bool,
    /// Its id and the first digits of its last entry's hash.
    pub mark: Option<(String, String)>,
    /// Whether the job is only looked at.
    pub read_only: bool,
    /// The jobs on record.
    pub jobs: Vec<JobLine>,
    /// The layouts.
    pub layouts: Vec<LayoutLine>,
    /// The intake, while there is one.
    pub intake: Option<Intake>,
    /// The walk.
    pub walk: Walk,
    /// What the lead's screens hold.
    pub lead: Lead,
    /// What there is to say.
    pub notice: Option<Notice>,
    /// Whether an entry waits to be saved.
    pub unsaved: Unsaved,
}

impl App {
    /// The bench.
    #[must_use]
    pub(super) fn new(theme: Theme, layouts: Vec<LayoutLine>, jobs: Vec<JobLine>) -> Self {
        Self {
            theme,
            size: (80, 24),
            stack: vec![Screen::Pick(Pick::Bench, List::default())],
            job: None,
            thought: Thought::default(),
            demo: None,
            bout: None,
            study: Study::default(),
            big: false,
            mark: None,
            read_only: false,
            jobs,
            layouts,
            intake: None,
            walk: Walk::default(),
            lead: Lead::default(),
            notice: None,
            unsaved: Unsaved::Nothing,
        }
    }

    /// The screen shown.
    #[must_use]
    pub(super) fn top(&self) -> &Screen {
        // The bench is never taken off the stack.
        self.stack.last().unwrap_or(&Screen::Walk)
    }

    /// What keys mean now.
    #[must_use]
    pub(super) fn context(&self) -> Context {
        self.context_of(self.top())
    }

    /// What keys would mean on a screen.
    #[must_use]
    pub(super) fn context_of(&self, screen: &Screen) -> Context {
        match screen {
            Screen::Pick(Pick::Bench, _) => Context::Bench,
            Screen::Pick(Pick::Entries, _) => Context::Entries,
            Screen::Pick(pick, _) if pick.is_searched() => Context::Search,
            Screen::Pick(..) => Context::Choose,
            Screen::Intake if self.intake.as_ref().is_some_and(Intake::on_text) => Context::FormText,
            Screen::Intake => Context::Form,
            Screen::Walk if self.walk.verdict.is_some() => Context::Verdict,
            Screen::Walk if self.walk.field.is_some() => Context::Reading,
            Screen::Walk if !self.cautions().is_empty() => Context::Caution,
            Screen::Walk => Context::Walk,
            Screen::Levels(_) => Context::Levels,
            Screen::Card(_)
            | Screen::Report { .. }
            | Screen::Debrief(..)
            | Screen::Progress(..)
            | Screen::Help(_)
            | Screen::Changes(_) => Context::Page,
            Screen::Write(..) => Context::Write,
            Screen::Engine(_) => Context::Engine,
            Screen::Tree(_) => Context::Tree,
            Screen::Grid(_) => Context::Grid,
            Screen::Course(_) => Context::Course,
            Screen::Tour => Context::Tour,
            Screen::Review(_) => Context::Review,
            Screen::Replay(_) => Context::Replay,
            Screen::Learn(_) => Context::Learn,
        }
    }

    /// Whether what is believed and recommended is kept back: in practice, until a hint is taken or the job is closed. Nothing is
    /// worked out then, so that nothing can be seen.
    #[must_use]
    pub(super) fn hides(&self) -> bool {
        let job = self.job.as_deref().filter(|_| self.bout.is_some());
        job.is_some_and(|job| job.state().ended.is_none() && !super::practice::hinted(job))
    }

    /// The job to draw from: ranked, or where that is kept back as it is. What draws from it asks [`Job::is_ranked`] before any belief.
    #[must_use]
    pub(super) fn seen(&self) -> Option<&Job> {
        if self.hides() { self.job.as_deref() } else { self.ranked() }
    }

    /// The newest state of the job whose causes are ranked; none while the first ranking is being worked out.
    #[must_use]
    pub(super) fn ranked(&self) -> Option<&Job> {
        let now = self.job.as_deref().filter(|_| !self.hides())?;
        if now.is_ranked() { Some(now) } else { self.thought.ranked.as_deref() }
    }

    /// Whether something is still being worked out that the screen shows.
    #[must_use]
    pub(super) fn is_thinking(&self) -> bool {
        let open = |job: &Arc<Job>| job.state().ended.is_none() && !self.read_only;
        self.job
            .as_ref()
            .filter(|_| !self.hides())
            .filter(|_| self.failure().is_none())
            .is_some_and(|j| !j.is_ranked() || j.course_now().is_none() || open(j) && j.advice_now().is_none())
    }

    /// Takes note of what was worked out meanwhile.
    pub(super) fn notice_thought(&mut self) {
        let Some(job) = self.job.as_ref().filter(|j| j.is_ranked()) else { return };
        if self.thought.ranked.as_ref().is_some_and(|r| Arc::ptr_eq(r, job)) {
            return;
        }
        let last = self.thought.ranked.replace(Arc::clone(job));
        if let Some(last) = last.filter(|last| last.posterior().causes != job.posterior().causes) {
            self.thought.before = Some(last);
        }
    }

    /// Takes note that something of the job could not be worked out, unless something was entered meanwhile.
    pub(super) fn notice_failure(&mut self, failure: Failure) {
        if self.job.as_ref().is_some_and(|job| Arc::ptr_eq(job, &failure.job)) {
            self.thought.failed = Some(failure);
            self.fault("A fault of this program: something could not be worked out. Everything entered is saved.");
        }
    }

    /// Why the job as it is now could not be worked out, where it could not.
    #[must_use]
    pub(super) fn failure(&self) -> Option<&str> {
        let failed = self.thought.failed.as_ref()?;
        self.job.as_ref().filter(|job| Arc::ptr_eq(job, &failed.job)).map(|_| failed.why.as_str())
    }

    /// Of something that is not there yet: that it is being worked out, or could not be.
    #[must_use]
    pub(super) fn later(&self) -> &'static str {
        if self.failure().is_some() { "could not be worked out" } else { "is being worked out" }
    }

    /// Works everything out here and now, for drawings that nobody waits for. It is shown once [`Told::Done`] says so.
    ///
    /// [`Told::Done`]: super::think::Told::Done
    pub(super) fn work_out(&self) {
        if let Some(job) = self.job.as_ref().filter(|_| !self.hides()) {
            let _ = job.posterior();
            if job.state().ended.is_none() {
                let _ = (job.advice(), job.alike());
            }
            match &self.thought.ranked {
                Some(last) => _ = job.course_after(last),
                None => _ = job.course(),
            }
        }
    }

    /// Takes another job, or none: what was thought of the last one is forgotten.
    pub(super) fn take_job(&mut self, job: Option<Arc<Job>>) {
        self.job = job;
        self.thought = Thought::default();
    }

    /// What is in front in the walk.
    #[must_use]
    pub(super) fn front(&self) -> Option<Front> {
        let job = self.job.as_ref()?;
        let front = Front::of(job, self.walk.chosen, &self.walk.run_levels)?;
        Some(if self.bout.is_some() { front.in_practice(job.model()) } else { front })
    }

    /// The limit of the check in front, where it takes a reading.
    #[must_use]
    pub(super) fn limit_in_front(&self) -> Option<&Limit> {
        // In practice the engine is measured, and nobody types.
        let job = self.job.as_ref().filter(|_| self.bout.is_none())?;
        let id = self.front()?.check()?;
        job.model().limits.get(job.model()[id].limit?)
    }

    /// Cautions that wait for an acknowledgement before the work in front.
    #[must_use]
    pub(super) fn cautions(&self) -> Vec<crate::model::HazardId> {
        if self.read_only {
            return Vec::new();
        }
        let Some(job) = &self.job else { return Vec::new() };
        self.front().map(|f| job.state().cautions(job.model(), &f.hazards)).unwrap_or_default()
    }

    /// The answer of a letter to a judged reading that fits several.
    #[must_use]
    pub(super) fn verdict_choice(&self, key: char) -> Option<usize> {
        let verdict = self.walk.verdict.as_ref()?;
        let front = self.front()?;
        let at = front.by_key(key)?;
        // Only what the reading can mean; anything else is the wrong key.
        front.choices.get(at)?.seen.filter(|s| verdict.fits.contains(s)).map(|_| at)
    }

    /// Whether there is a step back to go.
    #[must_use]
    pub(super) fn can_go_back(&self) -> bool {
        !matches!(self.top(), Screen::Pick(Pick::Bench, _))
    }

    /// Puts a screen on top.
    pub(super) fn show(&mut self, screen: Screen) {
        self.stack.push(screen);
    }

    /// Takes screens off down to the lowest one that fits.
    pub(super) fn back_to(&mut self, fits: impl Fn(&Screen) -> bool) {
        while self.stack.len() > 1 && !self.stack.last().is_some_and(&fits) {
            self.stack.pop();
        }
    }

    /// Says something.
    pub(super) fn say(&mut self, words: impl Into<String>) {
        self.notice = Some(Notice::Said(words.into()));
    }

    /// Says something that has to be read to its end.
    pub(super) fn tell(&mut self, words: impl Into<String>) {
        self.notice = Some(Notice::Told(words.into()));
    }

    /// Says what went wrong.
    pub(super) fn fault(&mut self, words: impl Into<String>) {
        self.notice = Some(Notice::Fault(words.into()));
    }
}
