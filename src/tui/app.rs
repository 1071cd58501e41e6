//! The state of the screens.
//!
//! Owns what is shown and what is being typed. The job in it is a snapshot to draw from; it changes only through the
//! desk. Must not draw, and must not reach the disk.

use std::sync::Arc;

use crate::analysis::{Alike, Analysis, Misfit, Moment, Ranked};
use crate::job::Job;
use crate::measure::Limit;
use crate::plan;
use crate::practise::{Bout, Debrief, Progress};
use crate::review::Proposal;
use crate::review::listing::Row;
use crate::review::replay::Step;
use crate::study::Study;

use super::action::Context;
use super::canvas::Drawn;
use super::demo::Demo;
use super::desk::{JobLine, LayoutLine};
use super::engine::EngineView;
use super::field::Field;
use super::front::Front;
use super::grid::Grid;
use super::held::{Held, Seen};
use super::intake::Intake;
use super::lead::{Learn, LearnView, Long, ReplayView, Review, ReviewView, Walked};
use super::message::Wanted;
use super::mode::{Kind, Mode, NO_WALK, Saving, Walk, Worked};
use super::pick::{List, Pick};
use super::practice::Choice as PracticeChoice;
use super::report::ReportView;
use super::theme::Theme;
use super::think::Task;
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
    /// How the aircraft stands, scrolled by rows.
    Stands(usize),
    /// The write-up.
    Report(ReportView),
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
    /// The file for a write-up.
    ReportFile,
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
    /// What of something long is on the screen now.
    pub drawn: Drawn,
    /// The screens, the one shown last.
    pub stack: Vec<Screen>,
    /// What is going on.
    pub mode: Mode,
    /// The sets and lessons there are.
    pub study: Study,
    /// Whether the question and its answers are drawn large.
    pub big: bool,
    /// The jobs on record.
    pub jobs: Vec<JobLine>,
    /// The layouts.
    pub layouts: Vec<LayoutLine>,
    /// Who looks at the records; asked once, when something is first said.
    pub lead_name: String,
    /// What there is to say.
    pub notice: Option<Notice>,
}

impl App {
    /// The bench.
    #[must_use]
    pub(super) fn new(theme: Theme, layouts: Vec<LayoutLine>, study: Study) -> Self {
        Self {
            theme,
            size: (80, 24),
            drawn: Drawn::default(),
            stack: vec![Screen::Pick(Pick::Bench, List::default())],
            mode: Mode::Bench,
            study,
            big: false,
            jobs: Vec::new(),
            layouts,
            lead_name: String::new(),
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
            Screen::Intake if self.intake().is_some_and(Intake::on_text) => Context::FormText,
            Screen::Intake => Context::Form,
            Screen::Walk if self.walk().verdict.is_some() => Context::Verdict,
            Screen::Walk if self.walk().field.is_some() => Context::Reading,
            Screen::Walk if !self.cautions().is_empty() => Context::Caution,
            Screen::Walk => Context::Walk,
            Screen::Levels(_) => Context::Levels,
            Screen::Card(_)
            | Screen::Stands(_)
            | Screen::Debrief(..)
            | Screen::Progress(..)
            | Screen::Help(_)
            | Screen::Changes(_) => Context::Page,
            Screen::Report(view) if view.is_typing => Context::ReportSearch,
            Screen::Report(_) => Context::Report,
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

    /// The intake, while there is one.
    #[must_use]
    pub(super) fn intake(&self) -> Option<&Intake> {
        if let Mode::Intake(intake) = &self.mode { Some(intake) } else { None }
    }

    /// The intake, to fill it in.
    pub(super) fn intake_mut(&mut self) -> Option<&mut Intake> {
        self.mode.intake_mut()
    }

    /// The job on the screens, as it is now.
    #[must_use]
    pub(super) fn job(&self) -> Option<&Arc<Job>> {
        self.mode.held().map(Held::job)
    }

    /// The job being worked.
    #[must_use]
    pub(super) fn worked(&self) -> Option<&Worked> {
        if let Mode::Job(worked) = &self.mode { Some(worked) } else { None }
    }

    /// What is chosen, typed and judged in the walk.
    #[must_use]
    pub(super) fn walk(&self) -> &Walk {
        self.worked().map_or(&NO_WALK, |worked| &worked.walk)
    }

    /// Changes something of the walk, where there is one.
    pub(super) fn on_walk(&mut self, change: impl FnOnce(&mut Walk)) {
        if let Some(walk) = self.mode.walk_mut() {
            change(walk);
        }
    }

    /// Begins the walk anew with this.
    pub(super) fn set_walk(&mut self, walk: Walk) {
        self.on_walk(|now| *now = walk);
    }

    /// What is hidden, where practice is worked.
    #[must_use]
    pub(super) fn bout(&self) -> Option<&Arc<Bout>> {
        if let Kind::Practice(bout, _) = &self.worked()?.kind { Some(bout) } else { None }
    }

    /// Whether practice is worked.
    #[must_use]
    pub(super) fn is_practice(&self) -> bool {
        self.bout().is_some()
    }

    /// The engine that answers, where the demo is worked.
    #[must_use]
    pub(super) fn demo(&self) -> Option<&Demo> {
        if let Kind::Demo(demo) = &self.worked()?.kind { Some(demo) } else { None }
    }

    /// Whether there is a job that is only looked at.
    #[must_use]
    pub(super) fn is_read_only(&self) -> bool {
        self.mode.held().is_some() && self.worked().is_none()
    }

    /// Whether all of the job being worked is saved, to change it.
    pub(super) fn saving_mut(&mut self) -> Option<&mut Saving> {
        if let Mode::Job(worked) = &mut self.mode { worked.saving_mut() } else { None }
    }

    /// What is said of what was entered, beside something else that went wrong.
    #[must_use]
    pub(super) fn kept_words(&self) -> &'static str {
        match self.worked().map(Worked::saving) {
            Some(Some(saving)) => saving.kept().map_or("What waits is not saved yet.", |kept| kept.words()),
            Some(None) => "Nothing of the demo is kept.",
            None => "The record that is looked at stays as it is.",
        }
    }

    /// Whether what is believed and recommended is kept back: in practice, until a hint is taken or the job is closed.
    /// Nothing is worked out then, so that nothing can be seen.
    #[must_use]
    pub(super) fn hides(&self) -> bool {
        self.mode.held().is_some_and(Held::hides)
    }

    /// The job to draw from: ranked, or where that is kept back as it is.
    #[must_use]
    pub(super) fn seen(&self) -> Option<Seen<'_>> {
        self.mode.held()?.seen()
    }

    /// The newest state of the job whose causes are ranked; none while the first ranking is being worked out.
    #[must_use]
    pub(super) fn ranked(&self) -> Option<&Ranked> {
        self.mode.held()?.ranked()
    }

    /// The last state of the job before that one which believed something else.
    #[must_use]
    pub(super) fn ranked_before(&self) -> Option<&Ranked> {
        self.mode.held()?.before()
    }

    /// What is worked out of the job as it is now; none before its causes are ranked.
    #[must_use]
    pub(super) fn analysis(&self) -> Option<&Arc<Analysis>> {
        self.mode.held()?.analysis()
    }

    /// Whether the causes of the job as it is now are ranked.
    #[must_use]
    pub(super) fn is_ranked(&self) -> bool {
        self.analysis().is_some()
    }

    /// What to do next, where it is worked out already.
    #[must_use]
    pub(super) fn advice_now(&self) -> Option<&plan::Advice> {
        self.analysis()?.advice_now()
    }

    /// The course of the job as it is now, where it is worked out already.
    #[must_use]
    pub(super) fn course_now(&self) -> Option<&[Moment]> {
        self.analysis()?.course_now()
    }

    /// The newest course that is worked out, with the job as it was then.
    #[must_use]
    pub(super) fn newest_course(&self) -> Option<(&Job, &[Moment])> {
        self.mode.held()?.newest_course()
    }

    /// The sets of suspects of the ranked job that no check left tells apart; none before they are worked out.
    #[must_use]
    pub(super) fn alike_now(&self) -> &[Alike] {
        self.mode.held().map(Held::alike_now).unwrap_or_default()
    }

    /// The answers of the ranked job that do not fit the others; none before they are worked out.
    #[must_use]
    pub(super) fn misfits_now(&self) -> &[Misfit] {
        self.mode.held().map(Held::misfits_now).unwrap_or_default()
    }

    /// The second look at an answer of the job as it is now that does not fit, and whether it is worth more than all else, where that is
    /// worked out already.
    #[must_use]
    pub(super) fn second_look(&self) -> Option<(&plan::Suggestion, bool)> {
        self.analysis()?.second_look_now()
    }

    /// What is to be worked out: the job as it is now, with what is known of it already. None where that is kept back.
    #[must_use]
    pub(super) fn to_work_out(&self) -> Option<Task> {
        self.mode.held()?.to_work_out()
    }

    /// Whether something is still being worked out that the screen shows.
    #[must_use]
    pub(super) fn is_thinking(&self) -> bool {
        let advises = self.worked().is_some_and(|worked| worked.held.job().state().ended.is_none());
        self.mode.held().is_some_and(|held| held.is_thinking(advises))
    }

    /// Why the job as it is now could not be worked out, where it could not.
    #[must_use]
    pub(super) fn failure(&self) -> Option<&str> {
        self.mode.held()?.failure()
    }

    /// The records, where the lead goes through them.
    pub(super) fn review(&self) -> Option<&Review> {
        if let Mode::Review(review) = &self.mode { Some(review) } else { None }
    }

    /// The records' rows; none where nobody goes through them.
    pub(super) fn rows(&self) -> &[Row] {
        self.review().map_or(&[], |review| &review.rows)
    }

    /// The record being walked.
    pub(super) fn walked(&self) -> Option<&Walked> {
        self.review()?.walked.as_ref()
    }

    /// What the records teach, where the lead goes through it.
    pub(super) fn learn(&self) -> Option<&Learn> {
        if let Mode::Learn(learn) = &self.mode { Some(learn) } else { None }
    }

    /// The long work being done.
    pub(super) fn long(&self) -> Long {
        match &self.mode {
            Mode::Review(review) => review.long,
            Mode::Learn(learn) => learn.long,
            _ => Long::Idle,
        }
    }

    /// The step in front, of a record being walked.
    pub(super) fn step(&self) -> Option<&Step> {
        let Screen::Replay(view) = self.top() else { return None };
        self.walked()?.steps.get(view.at)
    }

    /// Number of the entry in front where it is a lead's word that stands.
    pub(super) fn leads_word(&self) -> Option<u64> {
        let number = self.step()?.number;
        let standing = self.job()?.standing_entries();
        standing.iter().any(|(n, entry)| *n == number && entry.is_leads_word()).then_some(number)
    }

    /// The marked figure of what the records teach.
    pub(super) fn proposal(&self) -> Option<&Proposal> {
        let Screen::Learn(view) = self.top() else { return None };
        self.learn()?.learnt.as_ref()?.proposals.get(view.cursor)
    }

    /// Of something that is not there yet: that it is being worked out, or could not be.
    #[must_use]
    pub(super) fn later(&self) -> &'static str {
        if self.failure().is_some() { "could not be worked out" } else { "is being worked out" }
    }

    /// Everything that the threads would work out, here and now, for drawings that nobody waits for; none where that is
    /// kept back. It is shown once [`Told::Ranked`] says so.
    ///
    /// [`Told::Ranked`]: super::think::Told::Ranked
    #[must_use]
    pub(super) fn all_worked_out(&self) -> Option<Arc<Analysis>> {
        self.mode.held()?.all_worked_out()
    }

    /// What is in front in the walk.
    #[must_use]
    pub(super) fn front(&self) -> Option<Front> {
        let job = self.job()?;
        let mut front = Front::of(job, self.advice_now(), self.walk().chosen, &self.walk().run_levels)?;
        if let Some((again, _)) = self.second_look().filter(|(again, _)| again.action == front.action) {
            front.suggestion = Some(again.clone());
        }
        Some(if self.is_practice() { front.in_practice(job.model()) } else { front })
    }

    /// The limit of the check in front, where it takes a reading.
    #[must_use]
    pub(super) fn limit_in_front(&self) -> Option<&Limit> {
        // In practice the engine is measured, and nobody types.
        let job = self.job().filter(|_| !self.is_practice())?;
        let id = self.front()?.check()?;
        job.model().limits.get(job.model()[id].limit?)
    }

    /// Cautions that wait for an acknowledgement before the work in front.
    #[must_use]
    pub(super) fn cautions(&self) -> Vec<crate::model::HazardId> {
        if self.is_read_only() {
            return Vec::new();
        }
        let Some(job) = self.job() else { return Vec::new() };
        self.front().map(|f| job.state().cautions(job.model(), f.action)).unwrap_or_default()
    }

    /// The answer of a letter to a judged reading that fits several.
    #[must_use]
    pub(super) fn verdict_choice(&self, key: char) -> Option<usize> {
        let verdict = self.walk().verdict.as_ref()?;
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
