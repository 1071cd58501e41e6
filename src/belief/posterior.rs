//! From a problem to the probability of every cause and the leading explanations.

use super::bits::{BitSet, Wide};
use super::eliminate::{Walk, log_add};
use super::explain::{Explanation, Extent, Lister};
use super::findings::Findings;
use super::kernel::{Kernel, Weights};
use super::problem::Problem;
use super::schedule::Schedule;

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
    /// For each cause, how likely each of its habits is where it is present, in the order of the problem; they add up to 1.
    pub habits: Vec<Vec<f64>>,
    /// Log of the probability of everything observed.
    pub log_evidence: f64,
    /// The leading explanations, best first.
    pub explanations: Vec<Explanation>,
    /// How far a probability can be off, since not every way can be followed: the share that was left out at the most. 0 when the answer
    /// is exact.
    pub error: f64,
}

impl Posterior {
    /// From this error on nothing is shown good by a look, or proven by belief alone: 2 in 100.
    pub const TOO_UNSURE: f64 = 0.02;

    /// How far the probabilities can be off, in words, where that is worth a word.
    #[must_use]
    pub fn error_words(&self) -> Option<String> {
        let points = 100.0 * self.error;
        (points >= 0.05).then(|| {
            format!(
                "There are more findings than can be followed at once: a probability can be off by {points:.1} points."
            )
        })
    }
}

/// Infers, listing explanations to an extent.
#[must_use]
pub fn infer(problem: &Problem, extent: Extent) -> Posterior {
    let mut findings = Findings::of(problem);
    let touched: Vec<bool> = findings.touches.iter().map(|t| t.iter().any(|t| t.bit.is_some())).collect();
    let schedule = Schedule::of(&mut findings);
    if schedule.slots <= <u64 as BitSet>::CAPACITY {
        with_bits::<u64>(problem, &findings, schedule, &touched, extent)
    } else {
        with_bits::<Wide>(problem, &findings, schedule, &touched, extent)
    }
}

fn with_bits<B: BitSet>(
    problem: &Problem,
    findings: &Findings,
    schedule: Schedule,
    touched: &[bool],
    extent: Extent,
) -> Posterior {
    let kernels: Vec<Kernel<'_, B>> = problem
        .causes
        .iter()
        .zip(&findings.touches)
        .map(|(cause, touches)| Kernel::of(cause, problem.spells, touches))
        .collect();
    let mut causes = vec![Belief::default(); kernels.len()];
    let mut habits = vec![Vec::new(); kernels.len()];
    let mut log_untouched = findings.log_constant;
    let left_out: f64 = if findings.overflowed { 1.0 } else { 0.0 };
    for (((belief, habits), kernel), touched) in causes.iter_mut().zip(&mut habits).zip(&kernels).zip(touched) {
        if !touched {
            log_untouched += kernel.total().ln();
            *belief = shares(kernel.idle());
            *habits = kernel.idle_habits();
        }
    }
    let walk = Walk::run(schedule.steps, schedule.slots, &kernels, &findings.closings);
    let back = walk.back(&kernels, |cause, sums, gathered| {
        causes[cause] = shares(sums);
        habits[cause] = kernels[cause].habits(gathered);
    });
    let explanations = Lister { walk: &walk, back: &back, kernels: &kernels }.list(extent);
    let dropped = log_add(walk.log_dropped, cut_from_kernels(&kernels, touched, findings));
    let share = if dropped == f64::NEG_INFINITY { 0.0 } else { (dropped - log_add(dropped, walk.log_weight)).exp() };
    Posterior {
        causes,
        habits,
        log_evidence: log_untouched + walk.log_weight,
        explanations,
        error: (left_out + share).min(1.0),
    }
}

/// Log of the most that what was cut from kernels can have weighed: all histories with at least one cut part, every finding explained.
fn cut_from_kernels<B: BitSet>(kernels: &[Kernel<'_, B>], touched: &[bool], findings: &Findings) -> f64 {
    let (mut whole, mut more) = (0.0, 0.0);
    for (kernel, _) in kernels.iter().zip(touched).filter(|(_, touched)| **touched) {
        let total = kernel.total();
        whole += total.ln();
        more += (kernel.left_out / total).ln_1p();
    }
    let most: f64 = findings.closings.iter().map(|closing| closing.most().ln()).sum();
    whole + more.exp_m1().ln() + most
}

fn shares(sums: Weights) -> Belief {
    // Evidence that no cause can explain and no leak allows has no probability; the loader keeps every leak above zero.
    if sums.total <= 0.0 {
        return Belief::default();
    }
    let share = |part: f64| (part / sums.total).clamp(0.0, 1.0);
    Belief { present: share(sums.present), awake: share(sums.awake), ever: share(sums.ever) }
}
