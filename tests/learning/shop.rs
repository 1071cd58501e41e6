//! A shop of simulated jobs: engines whose faults come up by other rates than the tree's, worked by a mechanic who has only the tree.

use std::sync::Arc;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use roughrun::job::{Entry, Job, Logged};
use roughrun::learn::{Calibration, Forecast, forecasts};
use roughrun::model::{CauseId, Model};
use roughrun::teststand::{Field, Policy, Stand};

/// How often a part that was taken off is looked at on the bench and the fault seen on it. Invented.
const SEEN_ON_THE_BENCH: f64 = 0.6;

/// The same engine with the rate of every kind of cause off by a factor whose log is normal with this standard deviation.
pub(crate) fn with_other_rates(model: &Model, log_sd: f64, seed: u64) -> Arc<Model> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let mut other = model.clone();
    let mut factors: std::collections::BTreeMap<String, f64> = std::collections::BTreeMap::new();
    for cause in &mut other.causes {
        let factor = *factors.entry(cause.name.clone()).or_insert_with(|| {
            // Box and Muller: a normal number from two even ones.
            let (u, v): (f64, f64) = (1.0 - rng.random::<f64>(), rng.random());
            (log_sd * (-2.0 * u.ln()).sqrt() * (std::f64::consts::TAU * v).cos()).exp()
        });
        if cause.name != "unknown" {
            cause.rate *= factor;
        }
    }
    Arc::new(other)
}

/// A job worked to its end, with the faults that brought its complaint.
pub(crate) struct Worked {
    pub(crate) job: Job,
    pub(crate) truth: Vec<CauseId>,
    pub(crate) minutes: f64,
}

/// Works the job of this number by the planner, by what `believed` says of the engine.
pub(crate) fn work(field: &Field, believed: &Arc<Model>, seed: u64, number: u64) -> Option<Worked> {
    let (complaint, engine) = field.deal(seed, number)?;
    let mut stand = Stand::open(believed, complaint, engine).unwrap();
    while !stand.is_over() {
        for action in Policy::Planner.next(&stand) {
            if !stand.is_over() {
                stand.carry_out(action).unwrap();
            }
        }
    }
    let truth = stand.engine().faults().iter().filter(|f| f.brought).map(|f| f.cause).collect();
    Some(Worked { minutes: stand.score().minutes, truth, job: stand.job().clone() })
}

/// The record that a mechanic leaves of it: some of the faults put right were seen on the bench before the job was closed.
pub(crate) fn recorded(worked: &Worked, seed: u64, number: u64) -> Job {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(number);
    let job = &worked.job;
    let model = job.model();
    let mut entries: Vec<Entry> = job.log().iter().map(|l| l.entry.clone()).collect();
    let Some(closed) = entries.pop_if(|e| matches!(e, Entry::Closed { .. })) else { return job.clone() };
    for cause in &worked.truth {
        let put_right = job.state().done.iter().any(|d| model[d.correction].cures.contains(cause));
        if put_right && rng.random::<f64>() < SEEN_ON_THE_BENCH {
            entries.push(Entry::Confirmed { cause: model[*cause].name.clone(), at: model[*cause].site });
        }
    }
    entries.push(closed);
    let logged = |(at, entry)| Logged { number: at as u64 + 1, when: String::new(), entry };
    Job::replay(job.shared_model(), entries.into_iter().enumerate().map(logged).collect()).unwrap()
}

/// How jobs went that were worked by one set of figures.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outcome {
    pub(crate) minutes: f64,
    pub(crate) brier: f64,
    pub(crate) log_score: f64,
}

/// Works held-out jobs by each set of figures, on the same engines. A job that cannot be drawn is left out.
pub(crate) fn held_out(field: &Field, believed: &[Arc<Model>], seed: u64, jobs: u64) -> Vec<Vec<(f64, Vec<Forecast>)>> {
    use rayon::prelude::*;
    (0..jobs)
        .into_par_iter()
        .filter_map(|number| {
            let by = |model: &Arc<Model>| {
                let worked = work(field, model, seed, number)?;
                Some((worked.minutes, forecasts(&worked.job, &worked.truth)))
            };
            believed.iter().map(by).collect::<Option<Vec<_>>>()
        })
        .collect()
}

/// The figures of one of the sets.
pub(crate) fn outcome(held_out: &[Vec<(f64, Vec<Forecast>)>], at: usize) -> Outcome {
    let forecasts: Vec<Vec<Forecast>> = held_out.iter().map(|by| by[at].1.clone()).collect();
    let calibration = Calibration::of(&forecasts);
    Outcome {
        minutes: held_out.iter().map(|by| by[at].0).sum::<f64>() / held_out.len() as f64,
        brier: calibration.brier,
        log_score: calibration.log_score,
    }
}
