//! Practice on the screens: what is practised, when a hint holds, and which causes can be suspected.
//!
//! Must not draw, and must not know the screens' state nor how a job is dealt.

use super::held::Seen;
use crate::analysis::weigh;
use crate::job::{Entry, Job};
use crate::model::{CauseId, Site};
use crate::study::Level;

/// What is practised.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Choice {
    /// A lesson.
    Lesson(String),
    /// The next job of a graded set.
    Set(String),
    /// A job of this difficulty.
    Level(Level),
}

/// Whether an entry is work, so that a hint that was taken before it holds no longer.
fn is_work(entry: &Entry) -> bool {
    matches!(
        entry,
        Entry::Answer(_)
            | Entry::Showing { .. }
            | Entry::Provoked { .. }
            | Entry::Corrected { .. }
            | Entry::ProofRun { .. }
            | Entry::Conditions { .. }
    )
}

/// Whether a hint was taken since something was done.
#[must_use]
pub(super) fn hinted(job: &Job) -> bool {
    job.log().iter().rev().take_while(|l| !is_work(&l.entry)).any(|l| l.entry == Entry::Hinted)
}

/// The causes at a site, the likeliest first; in the tree's order where what is believed is kept back.
#[must_use]
pub(super) fn causes_at(seen: Seen<'_>, site: Site) -> Vec<CauseId> {
    if let Some(job) = seen.ranked {
        return weigh::causes_at(job, site);
    }
    let model = seen.job.model();
    model.listed().filter(|id| model[*id].site == site).collect()
}
