//! The state of the screens.
//!
//! Owns what is shown and what is being typed. The job in it is a snapshot to draw from; it changes only through the desk.
//! Must not draw, and must not reach the disk.

use crate::job::{Job, Levels};
use crate::measure::Limit;
use crate::plan;

use super::action::Context;
use super::desk::{JobLine, LayoutLine};
use super::field::Field;
use super::front::{Front, Verdict};
use super::intake::Intake;
use super::pick::{List, Pick};
use super::theme::Theme;

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
    /// What this screen is and its keys, scrolled by rows.
    Help(usize),
    /// A line to write.
    Write(Purpose, Field),
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
    /// The file of an aircraft card.
    CardFile,
    /// Another folder to save in, and what waits to be saved.
    Elsewhere(Box<crate::job::Entry>),
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
}

/// A sentence to the person.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Notice {
    /// What was done.
    Said(String),
    /// What went wrong, and what to do.
    Fault(String),
}

/// Everything the screens hold.
#[derive(Debug)]
pub(super) struct App {
    /// How it looks.
    pub theme: Theme,
    /// Columns and rows of the terminal.
    pub size: (u16, u16),
    /// The screens, the one shown last.
    pub stack: Vec<Screen>,
    /// The job, as it is now.
    pub job: Option<Job>,
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
    /// What there is to say.
    pub notice: Option<Notice>,
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
            mark: None,
            read_only: false,
            jobs,
            layouts,
            intake: None,
            walk: Walk::default(),
            notice: None,
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
        match self.top() {
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
            Screen::Card(_) | Screen::Report { .. } | Screen::Help(_) => Context::Page,
            Screen::Write(..) => Context::Write,
        }
    }

    /// What is in front in the walk.
    #[must_use]
    pub(super) fn front(&self) -> Option<Front> {
        Front::of(self.job.as_ref()?, self.walk.chosen, &self.walk.run_levels)
    }

    /// The limit of the check in front, where it takes a reading.
    #[must_use]
    pub(super) fn limit_in_front(&self) -> Option<&Limit> {
        let job = self.job.as_ref()?;
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

    /// Says what went wrong.
    pub(super) fn fault(&mut self, words: impl Into<String>) {
        self.notice = Some(Notice::Fault(words.into()));
    }
}
