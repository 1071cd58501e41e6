//! How the suspicion moved: the leading causes after each entry, with minutes so far and still expected.

use serde::Serialize;

use super::account::safe;
use crate::analysis::{Analysis, Moment};
use crate::job::tell;
use crate::model::CauseId;

/// Causes shown: those that lead at the end, then those that led at first.
const CAUSES: usize = 6;
/// Of those, at the most so many that led at first and no more.
const AT_FIRST: usize = 2;

/// The course of the suspicion.
#[derive(Debug, Clone, Serialize)]
pub struct Suspicion {
    /// After the opening, and after each entry that told something.
    pub moments: Vec<MomentLine>,
    /// The leading causes.
    pub causes: Vec<SuspectLine>,
}

/// A moment of the job.
#[derive(Debug, Clone, Serialize)]
pub struct MomentLine {
    /// Number of the entry.
    pub entry: u64,
    /// What was entered.
    pub words: String,
    /// Minutes of work up to it, by the tree's figures.
    pub minutes: f64,
    /// Minutes still expected to a proven cure.
    pub expected: f64,
}

/// A cause over the job.
#[derive(Debug, Clone, Serialize)]
pub struct SuspectLine {
    /// Title with site.
    pub title: String,
    /// Probability that it was there, at each moment.
    pub was: Vec<f64>,
}

/// The course of a job's suspicion.
pub(super) fn of(job: &Analysis) -> Suspicion {
    let (model, moments) = (job.model(), job.course());
    let words = |number: u64| job.log().iter().find(|l| l.number == number).map(|l| safe(&tell(model, &l.entry)));
    let line = |moment: &Moment| MomentLine {
        entry: moment.number,
        words: words(moment.number).unwrap_or_default(),
        minutes: moment.minutes,
        expected: moment.expected,
    };
    let suspect = |id: CauseId| SuspectLine {
        title: safe(&format!("{}, {}", model[id].title, model.site_words(model[id].site))),
        was: moments.iter().map(|m| m.causes.get(id.0).map_or(0.0, |b| b.ever)).collect(),
    };
    Suspicion {
        moments: moments.iter().map(line).collect(),
        causes: leading(moments).into_iter().map(suspect).collect(),
    }
}

fn leading(moments: &[Moment]) -> Vec<CauseId> {
    let top = |moment: &Moment| {
        let mut ids: Vec<usize> = (0..moment.causes.len()).collect();
        ids.sort_by(|a, b| moment.causes[*b].ever.total_cmp(&moment.causes[*a].ever).then(a.cmp(b)));
        ids.into_iter().map(CauseId)
    };
    let mut found: Vec<CauseId> = moments.last().into_iter().flat_map(top).take(CAUSES - AT_FIRST).collect();
    for id in moments.first().into_iter().flat_map(top).take(AT_FIRST) {
        if !found.contains(&id) {
            found.push(id);
        }
    }
    found
}
