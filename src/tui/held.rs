//! A job on the screens, with what was worked out of it.
//!
//! Owns what the threads' word changes. Must not know any screen, nor wait for anything.

use std::sync::Arc;

use super::think::Failure;
use crate::job::Job;

/// A job as it is now, and what was worked out of it so far. That runs behind the job itself, never ahead.
#[derive(Debug, Clone)]
pub(super) struct Held {
    /// The job. It is a snapshot to draw from.
    pub job: Arc<Job>,
    /// The newest state of the job whose causes are ranked.
    pub ranked: Option<Arc<Job>>,
    /// The last one before it that believed something else.
    pub before: Option<Arc<Job>>,
    /// The last that failed to be worked out.
    failed: Option<Failure>,
}

impl Held {
    /// A job of which nothing is worked out yet.
    pub(super) fn new(job: Arc<Job>) -> Self {
        Self { job, ranked: None, before: None, failed: None }
    }

    /// Takes note of what was worked out meanwhile.
    pub(super) fn notice_thought(&mut self) {
        if !self.job.is_ranked() || self.ranked.as_ref().is_some_and(|r| Arc::ptr_eq(r, &self.job)) {
            return;
        }
        let last = self.ranked.replace(Arc::clone(&self.job));
        if let Some(last) = last.filter(|last| last.posterior().causes != self.job.posterior().causes) {
            self.before = Some(last);
        }
    }

    /// Takes note that something of the job could not be worked out, unless something was entered meanwhile. Whether it did.
    pub(super) fn notice_failure(&mut self, failure: Failure) -> bool {
        let is_of_now = Arc::ptr_eq(&self.job, &failure.job);
        if is_of_now {
            self.failed = Some(failure);
        }
        is_of_now
    }

    /// Why the job as it is now could not be worked out, where it could not.
    pub(super) fn failure(&self) -> Option<&str> {
        self.failed.as_ref().filter(|failed| Arc::ptr_eq(&self.job, &failed.job)).map(|failed| failed.why.as_str())
    }

    /// Works everything out here and now.
    pub(super) fn work_out(&self) {
        let _ = self.job.posterior();
        if self.job.state().ended.is_none() {
            let _ = (self.job.advice(), self.job.alike());
        }
        match &self.ranked {
            Some(last) => _ = self.job.course_after(last),
            None => _ = self.job.course(),
        }
    }
}
