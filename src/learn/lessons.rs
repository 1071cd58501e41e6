//! All that a set of closed jobs teaches, and which of it may be adopted.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::sync::Arc;

use serde::Serialize;

use super::case::{Case, Cases, Confirmed, LeftOut};
use super::looks::{self, AlarmLesson, Looks, ShowLesson};
use super::rates::{self, Exposure, RateLesson, Sample};
use super::score::{Calibration, Forecast, forecasts};
use crate::job::Job;
use crate::model::{Alarm, Learnt, Model, Shown};

/// The share of the jobs, the oldest, that is learnt from to forecast the others.
const EARLIER: (usize, usize) = (3, 5);
/// Later jobs below which nothing is adopted.
const LEAST_LATER: usize = 20;
/// Standard errors by which the later jobs have to be forecast better.
const STANDARD_ERRORS: f64 = 2.0;

/// Figures learnt from the earlier jobs, tried on the later ones beside the tree's.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Trial {
    /// Later jobs that both forecast.
    pub jobs: usize,
    /// How much better the learnt figures forecast them: the gain in log score per job, in nats.
    pub gain: f64,
    /// Its standard error.
    pub error: f64,
    /// Whether they are good enough to adopt: at least 20 later jobs, and a gain above two standard errors.
    pub adopted: bool,
}

/// What closed jobs teach.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lessons {
    /// Jobs learnt from.
    pub jobs: usize,
    /// How the faults in them were confirmed, and how many; one that is not told apart from others counts by how sure it is.
    pub confirmed: BTreeMap<Confirmed, f64>,
    /// Jobs left out, by why.
    pub left_out: BTreeMap<LeftOut, usize>,
    /// Where the exposure of rates comes from.
    pub exposure: Exposure,
    /// Rates, by kind of cause.
    pub rates: Vec<RateLesson>,
    /// How well outcomes show causes.
    pub shows: Vec<ShowLesson>,
    /// How often outcomes are there for no reason.
    pub alarms: Vec<AlarmLesson>,
    /// How good the tree's forecasts were in all jobs.
    pub calibration: Calibration,
    /// The same of the later jobs only, by the tree.
    pub later_by_tree: Calibration,
    /// The same of the later jobs only, by what would be adopted of the earlier ones.
    pub later_by_learnt: Calibration,
    /// Whether learnt rates forecast later jobs better.
    pub rates_trial: Trial,
    /// Whether learnt chances of checks, beside the rates adopted, forecast later jobs better.
    pub checks_trial: Trial,
}

impl Lessons {
    /// The figures to be laid over the tree's: those that have stood their trial.
    #[must_use]
    pub fn learnt(&self, document: &str, edition: &str) -> Learnt {
        let rates = if self.rates_trial.adopted { self.rates.as_slice() } else { &[] };
        let (shows, alarms) = if self.checks_trial.adopted {
            (self.shows.as_slice(), self.alarms.as_slice())
        } else {
            (&[][..], &[][..])
        };
        let mut learnt = figures(rates, shows, alarms);
        document.clone_into(&mut learnt.document);
        edition.clone_into(&mut learnt.edition);
        learnt
    }
}

/// Learns from closed jobs.
#[must_use]
pub fn learn(cases: &Cases) -> Lessons {
    let Ok(lessons) = learn_while(cases, |_, _| Ok::<(), Infallible>(()));
    lessons
}

/// As [`learn`], which takes some tenths of a second a job. Before each piece of work `go_on` is told how many are done, and of how many;
/// where it says no, that is the end of it.
///
/// # Errors
/// What `go_on` says.
pub fn learn_while<E>(cases: &Cases, mut go_on: impl FnMut(usize, usize) -> Result<(), E>) -> Result<Lessons, E> {
    let Cases { cases, left_out, watches } = cases;
    let later = cases.len() - cases.len() * EARLIER.0 / EARLIER.1;
    let (mut done, of) = (0, 3 * cases.len() + 2 * later);
    let mut piece = || {
        done += 1;
        go_on(done - 1, of)
    };
    let kinds = rates::kinds(cases);
    let samples: Vec<Sample> = each(cases, &mut piece, Sample::of)?;
    let looks: Vec<Looks> = each(cases, &mut piece, Looks::of)?;
    let (rates, exposure) = rates::rates(&kinds, &samples, watches);
    let (shows, alarms) = looks::lessons(looks.iter());

    // The jobs are in order of time: what is learnt of the earlier ones has to forecast the later ones.
    let cut = cases.len() * EARLIER.0 / EARLIER.1;
    let later = &cases[cut..];
    let by_tree: Vec<Vec<Forecast>> = each(cases, &mut piece, |case| forecasts(&case.job, &case.truth()))?;
    let tree_later = &by_tree[cut..];
    // How many hours had been flown by then is not known, so the earlier jobs are counted.
    let early: Vec<Sample> = samples[..cut].iter().map(Sample::counted).collect();
    let early_rates = figures(&rates::rates(&kinds, &early, &[]).0, &[], &[]);
    let by_rates = under(later, &early_rates, &mut piece)?;
    let rates_trial = trial(tree_later, &by_rates);
    let (base, base_figures) =
        if rates_trial.adopted { (by_rates.as_slice(), early_rates) } else { (tree_later, Learnt::default()) };
    let (early_shows, early_alarms) = looks::lessons(looks[..cut].iter());
    let both = Learnt { rates: base_figures.rates, ..figures(&[], &early_shows, &early_alarms) };
    let by_both = under(later, &both, &mut piece)?;
    let checks_trial = trial(base, &by_both);
    let by_learnt = if checks_trial.adopted { by_both.as_slice() } else { base };

    Ok(Lessons {
        jobs: cases.len(),
        confirmed: sum(cases.iter().flat_map(|case| case.found.iter().map(|f| (f.by, f.share)))),
        left_out: count(left_out.iter().copied()),
        exposure,
        rates,
        shows,
        alarms,
        calibration: Calibration::of(&by_tree),
        later_by_tree: Calibration::of(tree_later),
        later_by_learnt: Calibration::of(by_learnt),
        rates_trial,
        checks_trial,
    })
}

/// Makes something of each case, as long as it may go on.
fn each<T, E>(
    cases: &[Case],
    go_on: &mut impl FnMut() -> Result<(), E>,
    mut make: impl FnMut(&Case) -> T,
) -> Result<Vec<T>, E> {
    cases.iter().map(|case| go_on().map(|()| make(case))).collect()
}

fn sum<T: Ord>(all: impl Iterator<Item = (T, f64)>) -> BTreeMap<T, f64> {
    all.fold(BTreeMap::new(), |mut sums, (key, one)| {
        *sums.entry(key).or_default() += one;
        sums
    })
}

fn count<T: Ord>(all: impl Iterator<Item = T>) -> BTreeMap<T, usize> {
    all.fold(BTreeMap::new(), |mut counts, one| {
        *counts.entry(one).or_default() += 1;
        counts
    })
}

fn figures(rates: &[RateLesson], shows: &[ShowLesson], alarms: &[AlarmLesson]) -> Learnt {
    let shown = |l: &ShowLesson| Shown { check: l.check.clone(), outcome: l.outcome.clone(), cause: l.cause.clone() };
    let alarm = |l: &AlarmLesson| Alarm { check: l.check.clone(), outcome: l.outcome.clone() };
    Learnt {
        document: String::new(),
        edition: String::new(),
        rates: rates.iter().map(|l| (l.cause.clone(), l.now.mean)).collect(),
        shows: shows.iter().map(|l| (shown(l), l.now.mean)).collect(),
        alarms: alarms.iter().map(|l| (alarm(l), l.now.mean)).collect(),
    }
}

/// The forecasts that these cases would have had by learnt figures.
fn under<E>(
    cases: &[Case],
    learnt: &Learnt,
    go_on: &mut impl FnMut() -> Result<(), E>,
) -> Result<Vec<Vec<Forecast>>, E> {
    let mut models: Vec<(Arc<Model>, Arc<Model>)> = Vec::new();
    let forecast = |case: &Case| {
        let model = case.job.shared_model();
        let known = models.iter().find(|(of, _)| Arc::ptr_eq(of, &model)).map(|(_, with)| Arc::clone(with));
        let with = known.unwrap_or_else(|| {
            let with = Arc::new(Model::clone(&model).with_learnt(learnt));
            models.push((model, Arc::clone(&with)));
            with
        });
        // Figures change no names, so what was taken once is taken again.
        Job::replay(with, case.job.log().to_vec()).map_or_else(|_| Vec::new(), |job| forecasts(&job, &case.truth()))
    };
    each(cases, go_on, forecast)
}

/// Holds the forecasts of the same jobs against each other.
fn trial(before: &[Vec<Forecast>], after: &[Vec<Forecast>]) -> Trial {
    let mean = |of: &Vec<Forecast>| of.iter().map(|f| f.log).sum::<f64>() / of.len() as f64;
    let both = before.iter().zip(after).filter(|(a, b)| !a.is_empty() && !b.is_empty());
    let gains: Vec<f64> = both.map(|(a, b)| mean(b) - mean(a)).collect();
    let jobs = gains.len();
    if jobs < 2 {
        return Trial { jobs, ..Trial::default() };
    }
    let gain = gains.iter().sum::<f64>() / jobs as f64;
    let spread = gains.iter().map(|g| (g - gain).powi(2)).sum::<f64>() / (jobs - 1) as f64;
    let error = (spread / jobs as f64).sqrt();
    Trial { jobs, gain, error, adopted: jobs >= LEAST_LATER && gain > STANDARD_ERRORS * error }
}
