//! The second method, for more findings than the plain walk can follow: the same walk several times over, each time with what is too
//! much to keep cut by a draw that leaves every sum right on the average. How far the walks lie apart says how far off their mean can be.

use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;

use super::bits::BitSet;
use super::eliminate::{RUNS, Walk};
use super::findings::Findings;
use super::kernel::{Kernel, Weights};
use super::posterior::{Belief, shares};
use super::problem::Problem;
use super::schedule::Step;

/// What is believed of each cause.
#[derive(Debug, Clone)]
pub(super) struct Beliefs {
    pub(super) causes: Vec<Belief>,
    /// The probability of each habit of each.
    pub(super) habits: Vec<Vec<f64>>,
}

impl Beliefs {
    pub(super) fn of(causes: usize) -> Self {
        Self { causes: vec![Belief::default(); causes], habits: vec![Vec::new(); causes] }
    }

    /// Takes up what the way back says of a cause.
    pub(super) fn see<B: BitSet>(&mut self, kernels: &[Kernel<'_, B>], cause: usize, sums: Weights, gathered: &[f64]) {
        self.causes[cause] = shares(sums);
        self.habits[cause] = kernels[cause].habits(gathered);
    }
}

/// The answer of several drawn walks together.
pub(super) struct Estimate {
    pub(super) beliefs: Beliefs,
    /// Log of the weight of the findings.
    pub(super) log_weight: f64,
    /// Two standard errors of the least certain probability.
    pub(super) error: f64,
}

/// A question for the second method.
pub(super) struct Drawn<'a, B> {
    pub(super) problem: &'a Problem,
    pub(super) findings: &'a Findings,
    /// The causes as the plain cut left them.
    pub(super) kernels: &'a [Kernel<'a, B>],
    pub(super) steps: &'a [Step],
    pub(super) slots: usize,
}

/// One walk: the weight of the findings, and what it says of each cause.
struct Run {
    log_weight: f64,
    beliefs: Beliefs,
}

impl<B: BitSet> Drawn<'_, B> {
    /// The mean of [`RUNS`] walks, each weighed by what it makes of the findings. `untouched` is what is believed of the causes that the
    /// findings do not concern.
    pub(super) fn estimate(&self, untouched: &Beliefs) -> Estimate {
        let runs: Vec<Run> = (0..RUNS as u64).map(|seed| self.run(untouched, seed)).collect();
        let most = runs.iter().map(|run| run.log_weight).fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = runs.iter().map(|run| (run.log_weight - most).exp()).collect();
        let whole: f64 = weights.iter().sum();
        let mut beliefs = untouched.clone();
        let mut error: f64 = 0.0;
        for at in 0..beliefs.causes.len() {
            let of = |part: fn(&Belief) -> f64| {
                let parts: Vec<f64> = runs.iter().map(|run| part(&run.beliefs.causes[at])).collect();
                mean(&weights, &parts)
            };
            let (present, awake, ever) = (of(|b| b.present), of(|b| b.awake), of(|b| b.ever));
            beliefs.causes[at] = Belief { present: present.0, awake: awake.0, ever: ever.0 };
            error = [present.1, awake.1, ever.1].into_iter().fold(error, f64::max);
            for habit in 0..beliefs.habits[at].len().max(runs[0].beliefs.habits[at].len()) {
                let of_runs = runs.iter().zip(&weights).map(|(run, weight)| {
                    let of_run = run.beliefs.habits[at].get(habit).copied().unwrap_or(0.0);
                    weight * of_run * run.beliefs.causes[at].present
                });
                let sum: f64 = of_runs.sum();
                let there = present.0 * whole;
                if beliefs.habits[at].len() <= habit {
                    beliefs.habits[at].push(0.0);
                }
                beliefs.habits[at][habit] = if there > 0.0 { sum / there } else { runs[0].beliefs.habits[at][habit] };
            }
        }
        Estimate { beliefs, log_weight: most + (whole / RUNS as f64).ln(), error: (2.0 * error).min(1.0) }
    }

    fn run(&self, untouched: &Beliefs, seed: u64) -> Run {
        let mut luck = ChaCha8Rng::seed_from_u64(seed);
        let parts = self.problem.causes.iter().zip(&self.findings.touches).zip(self.kernels);
        let kernels: Vec<Kernel<'_, B>> = parts
            .map(|((cause, touches), plain)| {
                // Nothing was cut from most, so that there is nothing to draw.
                let cut = plain.left_out > 0.0;
                if cut { Kernel::of(cause, self.problem.spells, touches, Some(&mut luck)) } else { plain.clone() }
            })
            .collect();
        let walk = Walk::run(self.steps.to_vec(), self.slots, &kernels, &self.findings.closings, Some(&mut luck));
        let mut beliefs = untouched.clone();
        walk.back(&kernels, |cause, sums, gathered| beliefs.see(&kernels, cause, sums, gathered));
        Run { log_weight: walk.log_weight, beliefs }
    }
}

/// The weighed mean of what the walks say, and its standard error by the jackknife (Efron and Stein, The jackknife estimate of variance,
/// Ann. Statist. 9 (1981)): from the means without each of them in turn.
fn mean(weights: &[f64], parts: &[f64]) -> (f64, f64) {
    let whole: f64 = weights.iter().sum();
    let sum: f64 = weights.iter().zip(parts).map(|(w, p)| w * p).sum();
    let without = weights.iter().zip(parts).map(|(w, p)| (sum - w * p) / (whole - w).max(f64::MIN_POSITIVE));
    let without: Vec<f64> = without.collect();
    let n = without.len() as f64;
    let middle = without.iter().sum::<f64>() / n;
    let spread: f64 = without.iter().map(|w| (w - middle).powi(2)).sum();
    (sum / whole, ((n - 1.0) / n * spread).sqrt())
}
