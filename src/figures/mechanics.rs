//! By mechanic. Shown only where the lead asks for it: a figure of a person wants a reason, and few jobs tell little.

use std::collections::BTreeMap;

use serde::Serialize;

use super::minutes::{self, AgainstPlan};
use super::repeats::Repeat;
use super::share::share;
use super::spent::Spent;
use crate::spread::Spread;
use crate::tables::JobRow;

/// The jobs of one mechanic.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MechanicFigure {
    /// The name as typed; empty where none was.
    pub mechanic: String,
    /// All jobs.
    pub jobs: usize,
    /// Jobs that ended in a cure.
    pub cured: usize,
    /// Share of the closed jobs that ended in a cure.
    pub cured_share: Option<Spread>,
    /// Jobs whose complaint came back.
    pub came_back: usize,
    /// Minutes against the planner's.
    pub minutes: AgainstPlan,
    /// Minutes by what they went on.
    pub spent: Spent,
}

#[derive(Debug, Default)]
struct Counts {
    jobs: Vec<String>,
    closed: usize,
    cured: usize,
    spent: Spent,
    pairs: Vec<(f64, f64)>,
}

#[derive(Debug, Default)]
pub(super) struct Mechanics(BTreeMap<String, Counts>);

impl Mechanics {
    pub(super) fn add(&mut self, job: &JobRow) {
        let counts = self.0.entry(job.mechanic.trim().to_owned()).or_default();
        counts.jobs.push(job.job.clone());
        counts.closed += usize::from(!matches!(job.state.as_str(), "open" | "unread"));
        counts.spent.add(job);
        counts.cured += usize::from(job.state == "cured-proven");
        counts.pairs.extend(minutes::pair(job));
    }

    pub(super) fn figures(self, repeats: &[Repeat]) -> Vec<MechanicFigure> {
        let back: std::collections::BTreeSet<&str> = repeats.iter().map(|repeat| repeat.first.as_str()).collect();
        let figure = |(mechanic, counts): (String, Counts)| MechanicFigure {
            mechanic,
            jobs: counts.jobs.len(),
            cured: counts.cured,
            cured_share: share(counts.cured, counts.closed),
            came_back: counts.jobs.iter().filter(|job| back.contains(job.as_str())).count(),
            minutes: minutes::against(String::new(), &counts.pairs),
            spent: counts.spent,
        };
        self.0.into_iter().map(figure).collect()
    }
}
