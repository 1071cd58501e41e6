//! The figures of a simulation, from the scores of its jobs.

use serde::Serialize;

use super::stand::Score;

/// How a policy did over all jobs.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tally {
    /// Minutes to a proven cure, the mean.
    pub minutes_mean: f64,
    /// The median.
    pub minutes_median: f64,
    /// The 90th percentile.
    pub minutes_p90: f64,
    /// Checks per job.
    pub checks_mean: f64,
    /// Good parts replaced, overhauled or exchanged per job.
    pub good_parts: f64,
    /// The share of jobs unresolved, 0 to 1.
    pub unresolved: f64,
    /// The share of the engines' faults that were held written off at any time while they were there, 0 to 1.
    pub written_off_wrongly: f64,
    /// Come-backs per job.
    pub come_backs: f64,
}

impl Tally {
    /// The figures of these jobs. None where there are no jobs.
    #[must_use]
    pub fn of<'a>(scores: impl IntoIterator<Item = &'a Score>) -> Option<Self> {
        let scores: Vec<&Score> = scores.into_iter().collect();
        let mean = |figure: &dyn Fn(&Score) -> f64| scores.iter().map(|s| figure(s)).sum::<f64>() / scores.len() as f64;
        let mut minutes: Vec<f64> = scores.iter().map(|s| s.minutes).collect();
        minutes.sort_by(f64::total_cmp);
        let faults: usize = scores.iter().map(|s| s.faults).sum();
        let written_off: usize = scores.iter().map(|s| s.written_off).sum();
        Some(Self {
            minutes_mean: mean(&|s| s.minutes),
            minutes_median: share_at(&minutes, 0.5)?,
            minutes_p90: share_at(&minutes, 0.9)?,
            checks_mean: mean(&|s| s.checks as f64),
            good_parts: mean(&|s| s.good_parts as f64),
            unresolved: mean(&|s| f64::from(u8::from(!s.resolved))),
            written_off_wrongly: written_off as f64 / faults.max(1) as f64,
            come_backs: mean(&|s| s.come_backs as f64),
        })
    }
}

/// The value below which this share of a sorted list lies, between neighbours where it falls between them. None of an empty list.
#[must_use]
pub fn share_at(sorted: &[f64], share: f64) -> Option<f64> {
    let mut rest = sorted;
    let mut place = share.clamp(0.0, 1.0) * sorted.len().checked_sub(1)? as f64;
    while place >= 1.0 && rest.len() > 1 {
        rest = &rest[1..];
        place -= 1.0;
    }
    let (first, next) = (rest.first()?, rest.get(1).or(rest.first())?);
    Some(first + (next - first) * place)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    fn score(minutes: f64, resolved: bool) -> Score {
        Score { minutes, checks: 3, good_parts: 1, come_backs: 0, resolved, faults: 2, written_off: 1 }
    }

    #[test]
    fn figures_of_a_few_jobs() {
        let scores: Vec<Score> = [10.0, 20.0, 30.0, 40.0, 100.0].map(|m| score(m, m < 100.0)).to_vec();
        let tally = Tally::of(&scores).unwrap();
        assert!((tally.minutes_mean - 40.0).abs() < 1e-12);
        assert!((tally.minutes_median - 30.0).abs() < 1e-12);
        assert!((tally.minutes_p90 - 76.0).abs() < 1e-9);
        assert!((tally.unresolved - 0.2).abs() < 1e-12);
        assert!((tally.written_off_wrongly - 0.5).abs() < 1e-12);
        assert_eq!(Tally::of(&[]), None);
    }
}
