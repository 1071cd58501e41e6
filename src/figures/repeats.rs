//! The same complaint on the same aircraft again.

use serde::Serialize;

use super::share::share;
use crate::spread::Spread;
use crate::tables::JobRow;

/// Engine hours within which a complaint counts as the same one come back.
pub const REPEAT_HOURS: f64 = 50.0;

/// A complaint that came back.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Repeat {
    /// Registration of the aircraft.
    pub aircraft: String,
    /// Title of the complaint.
    pub complaint: String,
    /// Its site.
    pub at: String,
    /// The last job about it before.
    pub first: String,
    /// The job in which it came back.
    pub again: String,
    /// How the first one had ended.
    pub first_state: String,
    /// Engine hours in between.
    pub hours: f64,
}

/// What came back, out of how many.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Repeats {
    /// Jobs on aircraft whose card told the engine hours: only of these can it be said.
    pub known: usize,
    /// Share of them that came back.
    pub share: Option<Spread>,
    /// Those that came back, by hours in between.
    pub found: Vec<Repeat>,
}

/// What is kept of a job to tell.
#[derive(Debug)]
pub(super) struct Seen {
    aircraft: String,
    complaint: String,
    at: String,
    job: String,
    state: String,
    hours: f64,
}

impl Seen {
    /// None where the card did not tell.
    pub(super) fn of(job: &JobRow) -> Option<Self> {
        let hours = job.engine_hours?;
        (!job.aircraft.is_empty()).then(|| Self {
            aircraft: job.aircraft.clone(),
            complaint: job.complaint.clone(),
            at: job.complaint_at.clone(),
            job: job.job.clone(),
            state: job.state.clone(),
            hours,
        })
    }

    fn same(&self, other: &Self) -> bool {
        (&self.aircraft, &self.complaint, &self.at) == (&other.aircraft, &other.complaint, &other.at)
    }
}

pub(super) fn find(jobs: &mut [Seen]) -> Repeats {
    // Names begin with the time a job was begun.
    jobs.sort_by(|a, b| (&a.aircraft, &a.complaint, &a.at, &a.job).cmp(&(&b.aircraft, &b.complaint, &b.at, &b.job)));
    let again = |pair: &[Seen]| {
        let (first, again) = (&pair[0], &pair[1]);
        let hours = again.hours - first.hours;
        (first.same(again) && (0.0..=REPEAT_HOURS).contains(&hours)).then(|| Repeat {
            aircraft: again.aircraft.clone(),
            complaint: again.complaint.clone(),
            at: again.at.clone(),
            first: first.job.clone(),
            again: again.job.clone(),
            first_state: first.state.clone(),
            hours,
        })
    };
    let mut found: Vec<Repeat> = jobs.windows(2).filter_map(again).collect();
    found.sort_by(|a, b| a.hours.total_cmp(&b.hours).then_with(|| a.again.cmp(&b.again)));
    Repeats { known: jobs.len(), share: share(found.len(), jobs.len()), found }
}
