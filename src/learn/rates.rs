//! How often each kind of cause comes up, from the causes found in closed jobs.
//!
//! A rate has a Gamma prior around the tree's figure, and the events are counted over an exposure (Poisson). Two kinds of exposure:
//! - Hours. Where an aircraft's card of today is given, its jobs after the first are events in the hours it flew since that one.
//! - Counts. A record by itself tells no hours: it is there because a fault came up, and the window it gives ends with that fault, so
//!   taking windows for hours flown would make every rate too high. What such records do tell is which kinds come up more often than
//!   others. Each job is given the exposure by which the model expects as many faults as were found in it, spread over the kinds as
//!   the report, the window, and the age of parts have it; the level of all rates together stays the tree's. This is the count over a
//!   Dirichlet prior, pooled over all sites of a kind, in the form of a Gamma and a Poisson.

use std::collections::BTreeMap;

use serde::Serialize;

use super::case::{Case, Watch};
use crate::analysis::{problem, share_of_rate};
use crate::belief::{Extent, infer};
use crate::job::Job;
use crate::model::CauseId;
use crate::spread::Spread;

/// Shape of the prior of a rate: as if so many events had been seen. The log of a Gamma of this shape has standard deviation 0.70: a
/// tree's rate is taken to be right within a factor of two, two times in three. For a tree of 110 kinds this is a weight of 275
/// cases in all, where 100 to 300 were found best in an experiment with rates off by that much.
pub(super) const EVENTS_OF_A_TREE: f64 = 2.5;
/// The least share of the tree's rate that is left to a kind, however seldom it was found.
const FLOOR: f64 = 0.2;
/// Rounds in which rates and exposures are made to fit each other; they settle long before.
const ROUNDS: usize = 500;

/// The rate of a kind of cause: the tree's, and what the jobs make of it. Rates are per site and 1,000 engine hours.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RateLesson {
    /// Name of the cause.
    pub cause: String,
    /// Title of the cause.
    pub title: String,
    /// The tree's rate; the interval is that of the prior.
    pub was: Spread,
    /// The rate learnt. The mean is never below a fifth of the tree's.
    pub now: Spread,
    /// Faults of this kind found, each counted by how well it was confirmed.
    pub events: f64,
    /// Faults of this kind that the tree's rates make one expect in these jobs.
    pub expected: f64,
    /// Jobs in which it was found.
    pub jobs: usize,
}

/// Where the exposure comes from.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Exposure {
    /// Engine hours that cards of today give.
    pub hours: f64,
    /// Aircraft that gave them.
    pub aircraft: usize,
    /// Jobs that are events in those hours.
    pub jobs_in_hours: usize,
    /// Jobs that only tell which kinds come up more often than others.
    pub jobs_counted: usize,
}

/// What one case says of rates.
#[derive(Debug, Clone)]
pub(super) struct Sample {
    /// Faults found, by kind, each counted by how well it was confirmed.
    found: BTreeMap<String, f64>,
    /// How likely each kind is to be behind the report, per unit of its rate.
    exposed: BTreeMap<String, f64>,
    watch: Option<usize>,
}

/// A kind of cause: its title and the tree's rate.
pub(super) type Kinds = BTreeMap<String, (String, f64)>;

impl Sample {
    pub(super) fn of(case: &Case) -> Self {
        let mut found: BTreeMap<String, f64> = BTreeMap::new();
        for of in &case.found {
            // What work before the job can have brought tells so much less of the rate.
            let of_rate = share_of_rate(case.job.model(), case.job.state(), of.cause);
            *found.entry(case.job.model()[of.cause].name.clone()).or_default() += of_rate * of.weight();
        }
        Self { found, exposed: exposed(&case.job), watch: case.watch }
    }

    /// The same without regard to hours.
    pub(super) fn counted(&self) -> Self {
        Self { watch: None, ..self.clone() }
    }

    fn total(&self) -> f64 {
        self.found.values().sum()
    }
}

/// For each kind, how likely the tree makes it to be behind the report, over its rate.
fn exposed(job: &Job) -> BTreeMap<String, f64> {
    let model = job.shared_model();
    let first = job.log().first().cloned().into_iter().collect();
    let mut exposed: BTreeMap<String, f64> = BTreeMap::new();
    let Ok(opened) = Job::replay(model, first) else { return exposed };
    let model = opened.model();
    let asked = problem(model, opened.state());
    let believed = infer(&asked, Extent { most: 1, share: 0.0 });
    let all = model.causes.iter().zip(&asked.causes).zip(&believed.causes);
    // The cause that stands for everything else can never be found.
    let kinds = all.take(model.listed).enumerate().filter(|(_, ((cause, _), _))| cause.rate > 0.0);
    for (at, ((cause, input), belief)) in kinds {
        // What it would be without the report is no part of what brings it, nor is what work before the job brought.
        let of_rate = share_of_rate(model, opened.state(), CauseId(at));
        *exposed.entry(cause.name.clone()).or_default() += of_rate * (belief.ever - input.prior).max(0.0) / cause.rate;
    }
    exposed
}

/// The kinds that occur in these cases.
pub(super) fn kinds(cases: &[Case]) -> Kinds {
    let mut kinds = Kinds::new();
    let mut last = None;
    for case in cases {
        let model = case.job.shared_model();
        if last.as_ref().is_some_and(|last| std::sync::Arc::ptr_eq(last, &model)) {
            continue;
        }
        for cause in model.causes.iter().take(model.listed).filter(|c| c.rate > 0.0) {
            kinds.entry(cause.name.clone()).or_insert_with(|| (cause.title.clone(), cause.rate));
        }
        last = Some(model);
    }
    kinds
}

/// Rates from samples. Kinds that these jobs could not have shown are left out.
pub(super) fn rates(kinds: &Kinds, samples: &[Sample], watches: &[Watch]) -> (Vec<RateLesson>, Exposure) {
    let mut events: BTreeMap<&str, (f64, usize)> = BTreeMap::new();
    for (kind, weight) in samples.iter().flat_map(|s| &s.found) {
        let (sum, jobs) = events.entry(kind).or_default();
        *sum += weight;
        *jobs += 1;
    }
    let counted: Vec<&Sample> = samples.iter().filter(|s| s.watch.is_none()).collect();
    let hours = in_hours(samples, watches);
    let exposure = Exposure {
        hours: watches.iter().map(|w| w.hours).sum(),
        aircraft: watches.len(),
        jobs_in_hours: samples.len() - counted.len(),
        jobs_counted: counted.len(),
    };
    let mut rate: BTreeMap<&str, f64> = kinds.iter().map(|(kind, (_, rate))| (kind.as_str(), *rate)).collect();
    let expected = over(&counted, &hours, &rate);
    let mut exposed = expected.clone();
    for _ in 0..ROUNDS {
        exposed = over(&counted, &hours, &rate);
        for (kind, (_, was)) in kinds {
            let (seen, over) = (of(&events, kind).0, exposed.get(kind.as_str()).copied().unwrap_or(0.0));
            let mean = (EVENTS_OF_A_TREE + seen) / (EVENTS_OF_A_TREE / was + over);
            rate.insert(kind, mean.max(FLOOR * was));
        }
    }
    let lesson = |(kind, (title, was)): (&String, &(String, f64))| {
        let (seen, jobs) = of(&events, kind);
        let over = exposed.get(kind.as_str()).copied()?;
        let prior = EVENTS_OF_A_TREE / was;
        let mut now = Spread::gamma(EVENTS_OF_A_TREE + seen, prior + over);
        now.mean = now.mean.max(FLOOR * was);
        now.high = now.high.max(now.mean);
        let was_over = expected.get(kind.as_str()).copied().unwrap_or(0.0);
        Some(RateLesson {
            cause: kind.clone(),
            title: title.clone(),
            was: Spread::gamma(EVENTS_OF_A_TREE, prior),
            now,
            events: seen,
            expected: was * was_over,
            jobs,
        })
    };
    (kinds.iter().filter_map(lesson).collect(), exposure)
}

fn of(events: &BTreeMap<&str, (f64, usize)>, kind: &str) -> (f64, usize) {
    events.get(kind).copied().unwrap_or_default()
}

/// The exposure of each kind in the hours of aircraft, in 1,000 hours times sites. Hours count by the share of their jobs that
/// taught something, so that a job that was not proven does not make faults look rare.
fn in_hours(samples: &[Sample], watches: &[Watch]) -> BTreeMap<String, f64> {
    let mut exposed: BTreeMap<String, f64> = BTreeMap::new();
    for (at, watch) in watches.iter().enumerate() {
        let learnt: f64 = samples.iter().filter(|s| s.watch == Some(at)).map(Sample::total).sum();
        let share = if watch.jobs == 0 { 1.0 } else { learnt / watch.jobs as f64 };
        for (kind, sites) in &watch.sites {
            *exposed.entry(kind.clone()).or_default() += share * watch.hours / 1000.0 * sites;
        }
    }
    exposed
}

/// The exposure of each kind: that in hours, and from each counted job that by which these rates expect as many faults as were found.
fn over<'a>(
    counted: &[&'a Sample],
    hours: &'a BTreeMap<String, f64>,
    rate: &BTreeMap<&str, f64>,
) -> BTreeMap<&'a str, f64> {
    let mut exposed: BTreeMap<&str, f64> = hours.iter().map(|(kind, over)| (kind.as_str(), *over)).collect();
    for sample in counted {
        let one = sample.exposed.iter().map(|(kind, over)| over * rate.get(kind.as_str()).copied().unwrap_or(0.0));
        let one: f64 = one.sum();
        if one > 0.0 {
            for (kind, over) in sample.exposed.iter().filter(|(_, over)| **over > 0.0) {
                *exposed.entry(kind).or_default() += over * sample.total() / one;
            }
        }
    }
    exposed
}
