//! A job walked entry by entry, with how it stood before and after each.

use crate::job::{Entry, Job, Logged};
use crate::model::Model;
use crate::plan::Action;

/// One entry, and the job before and after it.
pub(super) struct Pace<'a> {
    pub(super) logged: &'a Logged,
    pub(super) before: Job,
    pub(super) after: Job,
}

/// Every entry after the opening. What did not fit when it was entered is left out: it changed nothing.
pub(super) fn paces(job: &Job) -> impl Iterator<Item = Pace<'_>> {
    let upto = |end: usize| Job::replay(job.shared_model(), job.log()[..end].to_vec()).ok();
    (1..job.log().len())
        .filter_map(move |at| Some(Pace { logged: &job.log()[at], before: upto(at)?, after: upto(at + 1)? }))
}

/// The work that an entry is; none where nothing was done: a caution read, a note, a word, the end.
pub(super) fn work(model: &Model, entry: &Entry) -> Option<Action> {
    entry.action(model).filter(|action| !action.closes())
}
