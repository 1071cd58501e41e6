//! From a problem to the probability of every cause and the leading explanations.

use std::collections::BTreeSet;

use crate::model::CauseId;

use super::bits::{BitSet, Wide};
use super::bound::{Bound, Onward};
use super::cut::Worth;
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
#[derive(Debug, Clone, PartialEq, Default)]
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

/// Slots up to which the whole is tried with every gate that did not open.
const FEW_SLOTS: usize = 16;
/// Slots past which gates that did not open stay loosened, whatever that costs.
const MANY_SLOTS: usize = 32;
/// The most error that loosened gates may bring, all together.
const LITTLE_ERROR: f64 = 2e-3;

/// Infers, listing explanations to an extent.
#[must_use]
pub fn infer(problem: &Problem, extent: Extent) -> Posterior {
    let mut findings = Findings::of(problem, |_| true);
    let schedule = Schedule::of(&mut findings);
    if !findings.has_shut_gates() {
        return with(problem, &findings, schedule, extent, false).unwrap_or_default();
    }
    let few = schedule.slots <= FEW_SLOTS;
    if few && let Some(whole) = with(problem, &findings, schedule, extent, true) {
        return whole;
    }
    let (findings, schedule) = loosen(problem, &BTreeSet::new());
    let loosened = Inferred::of(problem, &findings, schedule, extent);
    let errors = &loosened.errors;
    let mut sum = 0.0;
    let within = |(_, error): &&(usize, f64)| {
        sum += error;
        sum <= LITTLE_ERROR
    };
    let few = errors.iter().take_while(within).count();
    // Where more is left out for size than for gates, keeping gates would leave out still more.
    if few == errors.len() || loosened.posterior.error > loosened.of_gates() {
        return loosened.posterior();
    }
    let kept = errors[few..].iter().map(|(number, _)| *number).collect();
    let (findings, schedule) = loosen(problem, &kept);
    if schedule.slots > MANY_SLOTS {
        return loosened.posterior();
    }
    let tight = Inferred::of(problem, &findings, schedule, extent);
    if tight.error() <= loosened.error() { tight.posterior() } else { loosened.posterior() }
}

/// The findings with those of the gates that did not open kept that are named by number.
fn loosen(problem: &Problem, kept: &BTreeSet<usize>) -> (Findings, Schedule) {
    let mut findings = Findings::of(problem, |number| kept.contains(&number));
    let schedule = Schedule::of(&mut findings);
    (findings, schedule)
}

/// What is inferred with some gates loosened.
struct Inferred {
    posterior: Posterior,
    /// How far probabilities can be off for each loosened gate by its number, the least first.
    errors: Vec<(usize, f64)>,
}

impl Inferred {
    fn of(problem: &Problem, findings: &Findings, schedule: Schedule, extent: Extent) -> Self {
        let posterior = with(problem, findings, schedule, extent, false).unwrap_or_default();
        let ever = |cause: CauseId| posterior.causes[cause.0].ever;
        let mut errors: Vec<(usize, f64)> =
            findings.loosened.iter().map(|gate| (gate.number, gate.error(ever))).collect();
        errors.sort_by(|a, b| a.1.total_cmp(&b.1));
        Self { posterior, errors }
    }

    /// How far probabilities can be off for all loosened gates.
    fn of_gates(&self) -> f64 {
        self.errors.iter().map(|(_, error)| error).sum()
    }

    /// How far they can be off for all of it.
    fn error(&self) -> f64 {
        (self.posterior.error + self.of_gates()).min(1.0)
    }

    fn posterior(self) -> Posterior {
        Posterior { error: self.error(), ..self.posterior }
    }
}

/// What is inferred of findings; none where only the whole will do and that takes too long.
fn with(
    problem: &Problem,
    findings: &Findings,
    schedule: Schedule,
    extent: Extent,
    only_whole: bool,
) -> Option<Posterior> {
    if schedule.slots <= <u64 as BitSet>::CAPACITY {
        with_bits::<u64>(problem, findings, schedule, extent, only_whole)
    } else {
        with_bits::<Wide>(problem, findings, schedule, extent, only_whole)
    }
}

fn with_bits<B: BitSet>(
    problem: &Problem,
    findings: &Findings,
    schedule: Schedule,
    extent: Extent,
    only_whole: bool,
) -> Option<Posterior> {
    let Schedule { steps, slots, touching } = schedule;
    let masks: Vec<B> = findings.masks();
    let kernel = |cause: usize, worth: &Worth<B>| {
        Kernel::of(&problem.causes[cause], problem.spells, &findings.touches[cause], &masks, worth)
    };
    let guessed = |cause: usize| kernel(cause, &Worth::guessed(&findings.touches[cause], &masks));
    let mut kernels: Vec<Kernel<'_, B>> = (0..problem.causes.len()).map(guessed).collect();
    let is_whole = kernels.iter().all(|kernel| kernel.lost == 0.0);
    let walk = is_whole.then(|| Walk::whole(&steps, slots, &kernels, &findings.closings)).flatten();
    let (walk, log_dropped) = if let Some(walk) = walk {
        (walk, f64::NEG_INFINITY)
    } else if only_whole {
        return None;
    } else {
        let mut bound = Bound::least(&kernels, &findings.closings, &touching);
        // What was cut by a guess is built anew by what can become of it.
        for cause in 0..kernels.len() {
            if kernels[cause].lost > 0.0 {
                let more = bound.more(&findings.closings, &touching[cause]);
                kernels[cause] = kernel(cause, &Worth::known(more.clone()));
                bound.renew(cause, &kernels[cause], &more);
            }
        }
        let onward = Onward::of(&steps, &kernels, &findings.closings, &bound, &touching);
        let walk = Walk::bounded(&steps, slots, &kernels, &findings.closings, &onward);
        let dropped = log_add(walk.log_dropped, onward.log_cut(&kernels));
        (walk, dropped)
    };
    let mut causes = vec![Belief::default(); kernels.len()];
    let mut habits = vec![Vec::new(); kernels.len()];
    let mut log_untouched = findings.log_constant;
    let left_out: f64 = if findings.overflowed { 1.0 } else { 0.0 };
    for (((belief, habits), kernel), touched) in causes.iter_mut().zip(&mut habits).zip(&kernels).zip(&touching) {
        if touched.is_empty() {
            log_untouched += kernel.total().ln();
            *belief = shares(kernel.idle());
            *habits = kernel.idle_habits();
        }
    }
    let back = walk.back(&kernels, |cause, sums, gathered| {
        causes[cause] = shares(sums);
        habits[cause] = kernels[cause].habits(gathered);
    });
    let explanations = Lister::new(&walk, &back, &kernels).list(extent);
    let share = (log_dropped - log_add(log_dropped, walk.log_weight)).exp();
    Some(Posterior {
        causes,
        habits,
        log_evidence: log_untouched + walk.log_weight,
        explanations,
        error: (left_out + share).min(1.0),
    })
}

fn shares(sums: Weights) -> Belief {
    // Evidence that no cause can explain and no leak allows has no probability; the loader keeps every leak above zero.
    if sums.total <= 0.0 {
        return Belief::default();
    }
    let share = |part: f64| (part / sums.total).clamp(0.0, 1.0);
    Belief { present: share(sums.present), awake: share(sums.awake), ever: share(sums.ever) }
}
