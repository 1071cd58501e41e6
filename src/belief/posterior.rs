//! From a problem to the probability of every cause and the leading explanations.

use super::bits::{BitSet, Wide};
use super::eliminate::{Walk, log_add, order};
use super::explain::{self, Explanation, Extent};
use super::findings::Findings;
use super::kernel::{Kernel, Weights};
use super::problem::Problem;

/// What is believed of one cause.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Belief {
    /// Probability that it is present now, after all corrections: 0 to 1.
    pub present: f64,
    /// Probability that it is awake in the last spell: at most `present`.
    pub awake: f64,
    /// Probability that it was present at first, corrected since or not.
    pub ever: f64,
}

/// The answer of inference.
#[derive(Debug, Clone, PartialEq)]
pub struct Posterior {
    /// One belief for each cause of the problem, in order.
    pub causes: Vec<Belief>,
    /// Log of the probability of everything observed.
    pub log_evidence: f64,
    /// The leading explanations, best first.
    pub explanations: Vec<Explanation>,
    /// An upper bound on the share of probability that was left out for size; 0 when the answer is exact.
    pub left_out: f64,
}

/// Infers, listing explanations to an extent.
#[must_use]
pub fn infer(problem: &Problem, extent: Extent) -> Posterior {
    let findings = Findings::of(problem);
    if findings.owner.len() <= <u64 as BitSet>::CAPACITY {
        with_bits::<u64>(problem, &findings, extent)
    } else {
        with_bits::<Wide>(problem, &findings, extent)
    }
}

fn with_bits<B: BitSet>(problem: &Problem, findings: &Findings, extent: Extent) -> Posterior {
    let kernels: Vec<Kernel<B>> = problem
        .causes
        .iter()
        .zip(&findings.touches)
        .map(|(cause, touches)| Kernel::of(cause, problem.spells, touches))
        .collect();
    let touching: Vec<Vec<usize>> = findings
        .touches
        .iter()
        .map(|touches| {
            let mut closings: Vec<usize> = touches.iter().filter_map(|t| t.bit.map(|b| findings.owner[b])).collect();
            closings.sort_unstable();
            closings.dedup();
            closings
        })
        .collect();
    let mut causes = vec![Belief::default(); kernels.len()];
    let mut log_untouched = findings.log_constant;
    let mut left_out: f64 = if findings.overflowed { 1.0 } else { 0.0 };
    for ((belief, kernel), closings) in causes.iter_mut().zip(&kernels).zip(&touching) {
        left_out += kernel.left_out;
        if closings.is_empty() {
            let total = kernel.total();
            log_untouched += total.ln();
            *belief = shares(kernel.idle());
        }
    }
    let walk = Walk::run(order(findings, &touching), &kernels, &findings.closings);
    let back = walk.back(&kernels, &findings.closings, |cause, sums| causes[cause] = shares(sums));
    let explanations = explain::list(&walk, &back, &kernels, &findings.closings, extent);
    let share = (walk.log_dropped - log_add(walk.log_dropped, walk.log_weight)).exp();
    Posterior {
        causes,
        log_evidence: log_untouched + walk.log_weight,
        explanations,
        left_out: (left_out + share).min(1.0),
    }
}

fn shares(sums: Weights) -> Belief {
    // Evidence that no cause can explain and no leak allows has no probability; the loader keeps every leak above zero.
    if sums.total <= 0.0 {
        return Belief::default();
    }
    let share = |part: f64| (part / sums.total).clamp(0.0, 1.0);
    Belief { present: share(sums.present), awake: share(sums.awake), ever: share(sums.ever) }
}
