//! A job on the screens, with what was worked out of it.
//!
//! Owns what the threads' word changes. Must not know any screen, nor wait for anything.

use std::sync::Arc;

use super::think::{Failure, Task};
use crate::analysis::{Alike, Analysis, Misfit, Moment, Ranked};
use crate::job::Job;

/// A job as it is now, and what was worked out of it so far.
#[derive(Debug, Clone)]
pub(super) struct Held {
    /// The job. It is a snapshot to draw from.
    job: Arc<Job>,
    /// What was worked out of it; none while that is kept back.
    thought: Option<Thought>,
}

/// What was worked out of a job so far. It runs behind the job itself, never ahead.
#[derive(Debug, Clone, Default)]
struct Thought {
    /// The newest state of the job whose causes are ranked, with what else is worked out of it.
    ranked: Option<Arc<Analysis>>,
    /// The last one before it that believed something else.
    before: Option<Arc<Analysis>>,
    /// The last that failed to be worked out.
    failed: Option<Failure>,
}

/// A job to draw from. Where its causes are not ranked, or that is kept back, there is no belief in it to be drawn.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen<'a> {
    /// The job.
    pub job: &'a Job,
    /// The same with its causes ranked.
    pub ranked: Option<&'a Ranked>,
}

impl Held {
    /// A job of which nothing is worked out yet.
    pub(super) fn new(job: Arc<Job>) -> Self {
        Self { job, thought: Some(Thought::default()) }
    }

    /// A job of which nothing is worked out, as nothing of it may be seen.
    pub(super) fn kept_back(job: Arc<Job>) -> Self {
        Self { job, thought: None }
    }

    /// A job that is worked out.
    pub(super) fn of(analysis: Arc<Analysis>) -> Self {
        let job = Arc::clone(analysis.job());
        Self { job, thought: Some(Thought { ranked: Some(analysis), ..Thought::default() }) }
    }

    /// Takes a later state of the same job, of which what is worked out may be seen. What was worked out of the earlier
    /// one is kept where it still holds.
    pub(super) fn go_on(&mut self, job: Arc<Job>) {
        let carried = self.analysis().and_then(|earlier| earlier.carried(&job));
        self.job = job;
        let thought = self.thought.get_or_insert_default();
        if let Some(carried) = carried {
            thought.ranked = Some(Arc::new(carried));
        }
    }

    /// The job, as it is now.
    pub(super) fn job(&self) -> &Arc<Job> {
        &self.job
    }

    /// Whether what is worked out is kept back. Nothing is worked out then, so that nothing can be seen.
    pub(super) fn hides(&self) -> bool {
        self.thought.is_none()
    }

    /// The job to draw from: ranked, or where that is kept back as it is. None while the first ranking is being worked
    /// out.
    pub(super) fn seen(&self) -> Option<Seen<'_>> {
        if self.hides() {
            return Some(Seen { job: &self.job, ranked: None });
        }
        self.ranked().map(|ranked| Seen { job: ranked, ranked: Some(ranked) })
    }

    /// What is worked out of the job as it is now; none before its causes are ranked.
    pub(super) fn analysis(&self) -> Option<&Arc<Analysis>> {
        self.newest().filter(|newest| Arc::ptr_eq(newest.job(), &self.job))
    }

    /// The newest state of the job whose causes are ranked; none while the first ranking is being worked out.
    pub(super) fn ranked(&self) -> Option<&Ranked> {
        self.newest().map(|newest| newest.ranked())
    }

    /// The last state of the job before that one which believed something else.
    pub(super) fn before(&self) -> Option<&Ranked> {
        self.thought.as_ref()?.before.as_deref().map(Analysis::ranked)
    }

    /// The newest course that is worked out, with the job as it was then.
    pub(super) fn newest_course(&self) -> Option<(&Job, &[Moment])> {
        let thought = self.thought.as_ref()?;
        let mut known = [&thought.ranked, &thought.before].into_iter().flatten();
        known.find_map(|of| Some((of.job().as_ref(), of.course_now()?)))
    }

    /// The sets of suspects of the ranked job that no check left tells apart; none before they are worked out.
    pub(super) fn alike_now(&self) -> &[Alike] {
        self.newest().map(|newest| newest.alike_now()).unwrap_or_default()
    }

    /// The answers of the ranked job that do not fit the others; none before they are worked out.
    pub(super) fn misfits_now(&self) -> &[Misfit] {
        self.newest().map(|newest| newest.misfits_now()).unwrap_or_default()
    }

    fn newest(&self) -> Option<&Arc<Analysis>> {
        self.thought.as_ref()?.ranked.as_ref()
    }

    /// What is to be worked out. None where that is kept back.
    pub(super) fn to_work_out(&self) -> Option<Task> {
        (!self.hides()).then(|| self.task())
    }

    /// The job as it is now, with what is known of it already.
    pub(super) fn task(&self) -> Task {
        Task { job: Arc::clone(&self.job), known: self.analysis().cloned() }
    }

    /// Whether something is still being worked out that the screen shows; `advises` where what to do next is shown.
    pub(super) fn is_thinking(&self, advises: bool) -> bool {
        if self.hides() || self.failure().is_some() {
            return false;
        }
        self.analysis().is_none_or(|of| of.course_now().is_none() || advises && of.advice_now().is_none())
    }

    /// Takes note that the causes of the job were ranked, unless something was entered meanwhile or it is kept back.
    pub(super) fn notice_ranked(&mut self, analysis: Arc<Analysis>) {
        let Some(thought) = self.thought.as_mut().filter(|_| Arc::ptr_eq(&self.job, analysis.job())) else { return };
        let causes = analysis.posterior().causes.clone();
        let last = thought.ranked.replace(analysis);
        if let Some(last) = last.filter(|last| last.posterior().causes != causes) {
            thought.before = Some(last);
        }
    }

    /// Takes note that something of the job could not be worked out, unless something was entered meanwhile or it is
    /// kept back. Whether it did.
    pub(super) fn notice_failure(&mut self, failure: Failure) -> bool {
        let thought = self.thought.as_mut().filter(|_| Arc::ptr_eq(&self.job, &failure.job));
        thought.map(|thought| thought.failed = Some(failure)).is_some()
    }

    /// Why the job as it is now could not be worked out, where it could not.
    pub(super) fn failure(&self) -> Option<&str> {
        let failed = self.thought.as_ref()?.failed.as_ref()?;
        Arc::ptr_eq(&self.job, &failed.job).then_some(failed.why.as_str())
    }

    /// Everything that the threads would work out, here and now; none where that is kept back.
    pub(super) fn all_worked_out(&self) -> Option<Arc<Analysis>> {
        let analysis = self.to_work_out()?.ranked();
        if analysis.state().ended.is_none() {
            let _ = (analysis.advice_with_doubts(), analysis.alike());
        }
        match self.newest() {
            Some(last) => _ = analysis.course_after(last),
            None => _ = analysis.course(),
        }
        Some(analysis)
    }
}
