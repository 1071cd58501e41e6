//! What only the job on its engine's model can tell: minutes by the tree's figures, and the causes proven.
//!
//! Takes a belief for each job, tens of milliseconds, so rows are listed without it; whoever has the time asks for it, and the index keeps it.

use serde::{Deserialize, Serialize};

use super::{Row, Soundness};
use crate::analysis::Ranked;
use crate::job::Ending;
use crate::model::CauseId;
use crate::record::{JobId, JobRecord};
use crate::shop::{Past, Shop};

/// What was worked out of a job on the trees of this digest.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Worked {
    /// Digest of the trees.
    pub trees: String,
    /// Minutes of work by their figures, access included.
    pub minutes: Option<f64>,
    /// How the job ended by what its record bears out; none while it is open.
    #[serde(default)]
    pub ending: Option<Ending>,
    /// The causes that were proven, put right, or seen or measured at fault: title and site.
    pub proven: Vec<String>,
    /// Why it could not be worked out, as a sentence.
    pub why_not: Option<String>,
}

impl Row {
    /// Minutes of work by the tree's figures, where they are worked out.
    #[must_use]
    pub fn minutes(&self) -> Option<f64> {
        self.worked.as_ref().and_then(|worked| worked.minutes)
    }

    /// Whether it says how it ended only by what somebody closed it as.
    #[must_use]
    pub fn end_in_doubt(&self) -> bool {
        self.old_end && self.worked.is_none() && self.entries > 0
    }

    /// Whether there is something to work out that is not known yet on the trees of this digest.
    #[must_use]
    pub fn wants_work(&self, trees: &str) -> bool {
        let whole = matches!(self.soundness, Soundness::Whole | Soundness::Torn);
        whole && self.entries > 0 && self.worked.as_ref().is_none_or(|worked| worked.trees != trees)
    }
}

/// Works these rows out on all cores, in the same order. None for a row whose record has changed since it was listed.
#[must_use]
pub fn work_out(shop: &Shop, rows: &[&Row]) -> Vec<Option<Worked>> {
    let named = rows.iter().map(|row| JobId::parse(&row.id).ok().map(|id| (id, row.files.clone())));
    let wanted: Vec<Option<_>> = named.collect();
    let jobs: Vec<_> = wanted.iter().flatten().cloned().collect();
    let trees = shop.library().digest();
    let mut made = shop.each_past(&jobs, |record, past| (record.head.clone(), of(trees, record, past))).into_iter();
    let next = |(row, wanted): (&&Row, &Option<_>)| {
        let (head, worked) = wanted.as_ref().and_then(|_| made.next())?;
        (head == row.head).then_some(worked)
    };
    rows.iter().zip(&wanted).map(next).collect()
}

fn of(trees: &str, record: &JobRecord, past: Result<Past, String>) -> Worked {
    let worked = Worked { trees: trees.to_owned(), ..Worked::default() };
    let job = match past {
        Ok(past) => past.job,
        Err(why) => return Worked { why_not: Some(why), ..worked },
    };
    // A job about which nothing was found out yet needs no belief.
    let told = record.entries.iter().any(|line| matches!(line.kind.as_str(), "answer" | "confirmed" | "corrected"));
    let minutes = Some(job.state().minutes);
    let ending = job.state().ending(job.model());
    let proven = if told { proven(&Ranked::of(job)) } else { Vec::new() };
    Worked { minutes, ending, proven, ..worked }
}

/// The causes that are proven, put right or found, each with its site: one part at two places is two.
fn proven(job: &Ranked) -> Vec<String> {
    let model = job.model();
    let words = |id: CauseId| format!("{}, {}", model[id].title, model.site_words(model[id].site));
    crate::review::sheet::told_causes(job).into_iter().map(|(id, _)| words(id)).collect()
}
