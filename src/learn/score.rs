//! How good the forecasts of jobs were: Brier score, log score, and how often what was said to be so likely was so.

use serde::Serialize;

use crate::analysis::course;
use crate::job::{Entry, Job};
use crate::model::CauseId;
use crate::spread::Spread;

/// Causes below this probability are left out of the reliability table: nobody acts on them.
const WORTH_COUNTING: f64 = 0.01;
/// The least probability a log score is taken of, so that one surprise does not make it infinite.
const LEAST: f64 = 1e-9;
/// Jobs that each bin of a reliability table is to have.
const JOBS_IN_A_BIN: usize = 50;
/// The most bins.
const MOST_BINS: usize = 10;

/// What was forecast at one recommendation, held against what turned out to be so.
#[derive(Debug, Clone, PartialEq)]
pub struct Forecast {
    /// Number of the entry after which it was made.
    pub number: u64,
    /// Log of the probability given to each cause that was at fault, the mean of them: nought at best.
    pub log: f64,
    /// Sum over all causes of (probability - 1 or 0) squared: nought at best.
    pub brier: f64,
    /// The probabilities worth counting, each with whether it was so.
    pub told: Vec<(f64, bool)>,
}

/// The forecasts of a job at each recommendation up to the one at which its fault was confirmed or first put right. Empty where
/// nothing is known to have been at fault.
#[must_use]
pub fn forecasts(job: &Job, truth: &[CauseId]) -> Vec<Forecast> {
    if truth.is_empty() {
        return Vec::new();
    }
    let (model, state) = (job.model(), job.state());
    let mended = state.done.iter().filter(|d| truth.iter().any(|c| model[d.correction].cures.contains(c)));
    let standing = job.standing_entries();
    let seen = standing.iter().filter(|(_, entry)| match entry {
        Entry::Confirmed { cause, at } => truth.iter().any(|c| model[*c].name == *cause && model[*c].site == *at),
        _ => false,
    });
    let decided = mended.map(|d| d.number).chain(seen.map(|(number, _)| *number)).min().unwrap_or(u64::MAX);
    let course = course(job);
    let before = course.iter().filter(|moment| moment.number < decided);
    before
        .map(|moment| {
            let chances = || moment.causes.iter().enumerate().map(|(i, b)| (b.ever, truth.contains(&CauseId(i))));
            let logs = chances().filter(|(_, so)| *so).map(|(p, _)| p.max(LEAST).ln());
            Forecast {
                number: moment.number,
                log: logs.sum::<f64>() / truth.len() as f64,
                brier: chances().map(|(p, so)| (p - f64::from(u8::from(so))).powi(2)).sum(),
                told: chances().filter(|(p, _)| *p >= WORTH_COUNTING).collect(),
            }
        })
        .collect()
}

/// One bin of a reliability table.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Bin {
    /// The lowest probability in it.
    pub from: f64,
    /// The highest.
    pub to: f64,
    /// The mean probability that was said.
    pub said: f64,
    /// The share that was so, with Wilson's interval over the jobs in it: forecasts of one job are not independent.
    pub so: Spread,
    /// Forecasts in it.
    pub forecasts: usize,
    /// Jobs they are from.
    pub jobs: usize,
}

/// How good forecasts were. Each job counts once, whatever the number of its recommendations.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Calibration {
    /// Jobs scored: those with a fault told apart.
    pub jobs: usize,
    /// Recommendations scored.
    pub recommendations: usize,
    /// Mean Brier score; nought at best.
    pub brier: f64,
    /// Mean log score, in nats; nought at best, and the higher the better.
    pub log_score: f64,
    /// Bins of as many forecasts each, by rising probability.
    pub bins: Vec<Bin>,
}

impl Calibration {
    /// The figures of jobs, each with its forecasts.
    #[must_use]
    pub fn of(jobs: &[Vec<Forecast>]) -> Self {
        let scored: Vec<&Vec<Forecast>> = jobs.iter().filter(|f| !f.is_empty()).collect();
        if scored.is_empty() {
            return Self::default();
        }
        let mean = |figure: fn(&Forecast) -> f64| {
            scored.iter().map(|of| of.iter().map(figure).sum::<f64>() / of.len() as f64).sum::<f64>()
                / scored.len() as f64
        };
        Self {
            jobs: scored.len(),
            recommendations: scored.iter().map(|of| of.len()).sum(),
            brier: mean(|f| f.brier),
            log_score: mean(|f| f.log),
            bins: reliability(jobs),
        }
    }
}

/// How often what was said to be so likely was so, in bins of as many forecasts each.
#[must_use]
pub fn reliability(jobs: &[Vec<Forecast>]) -> Vec<Bin> {
    let told = jobs
        .iter()
        .enumerate()
        .flat_map(|(job, of)| of.iter().flat_map(move |f| f.told.iter().map(move |t| (job, *t))));
    let mut told: Vec<(usize, (f64, bool))> = told.collect();
    told.sort_by(|a, b| a.1.0.total_cmp(&b.1.0));
    let scored = jobs.iter().filter(|of| !of.is_empty()).count();
    let bins = (scored / JOBS_IN_A_BIN).clamp(1, MOST_BINS);
    let of = |at: usize| {
        let bin = &told[told.len() * at / bins..told.len() * (at + 1) / bins];
        let (first, last) = (bin.first()?, bin.last()?);
        let mut from: Vec<usize> = bin.iter().map(|(job, _)| *job).collect();
        from.sort_unstable();
        from.dedup();
        let count = bin.len() as f64;
        let share = bin.iter().filter(|(_, (_, so))| *so).count() as f64 / count;
        Some(Bin {
            from: first.1.0,
            to: last.1.0,
            said: bin.iter().map(|(_, (p, _))| p).sum::<f64>() / count,
            so: Spread::wilson(share * from.len() as f64, from.len() as f64),
            forecasts: bin.len(),
            jobs: from.len(),
        })
    };
    (0..bins).filter_map(of).collect()
}
