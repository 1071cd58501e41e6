//! Minutes of work against what the planner expected when the job was opened.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::spread::median_ranks;
use crate::tables::JobRow;

/// Jobs of one complaint, or all.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AgainstPlan {
    /// Title of the complaint; empty for all.
    pub complaint: String,
    /// Jobs that ended cured or handed over, with both figures.
    pub jobs: usize,
    /// Minutes of work by the tree's figures.
    pub worked: f64,
    /// Minutes that the planner expected.
    pub planned: f64,
    /// Worked over planned, job by job.
    pub ratio: Quartiles,
}

/// Quartiles, and where the median lies.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Quartiles {
    /// A quarter is at or below.
    pub low: f64,
    /// Half.
    pub median: f64,
    /// Three quarters.
    pub high: f64,
    /// The interval that the median of all such jobs lies in with 95 %; none of fewer than 6 jobs.
    pub median_range: Option<(f64, f64)>,
}

/// Minutes against the planner's.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Minutes {
    /// All jobs together; none where none had both figures.
    pub all: Option<AgainstPlan>,
    /// By complaint, the most minutes first.
    pub complaints: Vec<AgainstPlan>,
}

/// Whether a job's minutes are those of a whole job: one that was stopped, or is open still, says nothing of what it would have taken.
pub(super) fn pair(job: &JobRow) -> Option<(f64, f64)> {
    let ended = matches!(job.state.as_str(), "cured-proven" | "handed-over");
    let planned = job.planned_minutes.filter(|planned| *planned > 0.0);
    ended.then_some(())?;
    Some((job.minutes?, planned?))
}

#[derive(Debug, Default)]
pub(super) struct ByComplaint(BTreeMap<String, Vec<(f64, f64)>>);

impl ByComplaint {
    pub(super) fn add(&mut self, job: &JobRow) {
        if let Some(pair) = pair(job) {
            self.0.entry(job.complaint.clone()).or_default().push(pair);
        }
    }

    pub(super) fn figures(self) -> Minutes {
        let all: Vec<(f64, f64)> = self.0.values().flatten().copied().collect();
        let mut complaints: Vec<AgainstPlan> =
            self.0.into_iter().map(|(complaint, pairs)| against(complaint, &pairs)).collect();
        complaints.sort_by(|a, b| b.worked.total_cmp(&a.worked));
        Minutes { all: (!all.is_empty()).then(|| against(String::new(), &all)), complaints }
    }
}

pub(super) fn against(complaint: String, pairs: &[(f64, f64)]) -> AgainstPlan {
    let mut ratios: Vec<f64> = pairs.iter().map(|(worked, planned)| worked / planned).collect();
    ratios.sort_by(f64::total_cmp);
    AgainstPlan {
        complaint,
        jobs: pairs.len(),
        worked: pairs.iter().map(|p| p.0).sum(),
        planned: pairs.iter().map(|p| p.1).sum(),
        ratio: Quartiles {
            low: quantile(&ratios, 0.25),
            median: quantile(&ratios, 0.5),
            high: quantile(&ratios, 0.75),
            median_range: median_ranks(ratios.len()).map(|(low, high)| (ratios[low - 1], ratios[high - 1])),
        },
    }
}

/// Between the two values that enclose it, in proportion (definition 7 of Hyndman and Fan, The American Statistician 50, 1996), of values
/// in order; 0 of none.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let Some(last) = sorted.len().checked_sub(1) else { return 0.0 };
    let at = share * last as f64;
    let (below, part) = (at.floor(), at.fract());
    // From 0 to the last place.
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let below = below as usize;
    let above = sorted[(below + 1).min(last)];
    sorted[below] + part * (above - sorted[below])
}
