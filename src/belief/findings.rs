//! Observations taken apart into bits that causes set, factors that causes pay, and a closing sum over each observation's bits.

use crate::model::{Formula, Sees};

use super::bits::{BitSet, Wide};
use super::problem::{Observation, Problem, leaves};

/// What one observation does to one cause that is awake (or present) in its spell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Touch {
    pub(super) spell: usize,
    pub(super) sees: Sees,
    /// Identifies check, site and outcome: the same in two spells means the same miss.
    pub(super) key: (usize, usize),
    /// Which look it was: the index of the observation.
    pub(super) look: usize,
    /// How long was looked, in minutes.
    pub(super) minutes: f64,
    /// Chance that the check shows the cause.
    pub(super) chance: f64,
    /// The bit it sets, or none where it must not have shown.
    pub(super) bit: Option<usize>,
    /// About how likely the bit is explained without this cause: by the leak or another cause. 1 where it need not be.
    pub(super) alone: f64,
}

/// The sum that closes one observation once every cause that can set its bits has been walked.
#[derive(Debug, Clone)]
pub(super) struct Closing {
    /// All its bits.
    pub(super) bits: Vec<usize>,
    events: Vec<ClosingEvent>,
    weights: Vec<f64>,
}

#[derive(Debug, Clone)]
struct ClosingEvent {
    bit: Option<usize>,
    leak: f64,
    gates: Vec<(Gate, f64)>,
}

#[derive(Debug, Clone)]
enum Gate {
    Bit(usize),
    AtLeast(usize, Vec<Gate>),
}

impl Gate {
    fn holds(&self, has: &impl Fn(usize) -> bool) -> bool {
        match self {
            Self::Bit(bit) => has(*bit),
            Self::AtLeast(count, of) => of.iter().filter(|g| g.holds(has)).count() >= *count,
        }
    }

    fn bits_mut<'a>(&'a mut self, found: &mut Vec<&'a mut usize>) {
        match self {
            Self::Bit(bit) => found.push(bit),
            Self::AtLeast(_, of) => of.iter_mut().for_each(|gate| gate.bits_mut(found)),
        }
    }

    fn build(formula: &Formula, next: &mut impl FnMut() -> usize) -> Self {
        match formula {
            Formula::Any(_) => Self::Bit(next()),
            Formula::AtLeast { count, of } => Self::AtLeast(*count, of.iter().map(|f| Self::build(f, next)).collect()),
        }
    }
}

impl Closing {
    /// How likely what was seen is, given which bits are set.
    pub(super) fn weight(&self, has: &impl Fn(usize) -> bool) -> f64 {
        let mut total = 0.0;
        let mut none_yet = 1.0;
        for (event, weight) in self.events.iter().zip(&self.weights) {
            let quiet = if event.bit.is_some_and(has) {
                0.0
            } else {
                event
                    .gates
                    .iter()
                    .filter(|(gate, _)| gate.holds(has))
                    .fold(1.0 - event.leak, |quiet, (_, chance)| quiet * (1.0 - chance))
            };
            total += weight * none_yet * (1.0 - quiet);
            none_yet *= quiet;
        }
        total + self.weights.last().copied().unwrap_or(0.0) * none_yet
    }

    /// Every place where one of its bits is named.
    fn bits_mut(&mut self) -> Vec<&mut usize> {
        let mut found: Vec<&mut usize> = self.bits.iter_mut().collect();
        for event in &mut self.events {
            found.extend(event.bit.as_mut());
            event.gates.iter_mut().for_each(|(gate, _)| gate.bits_mut(&mut found));
        }
        found
    }

    /// The largest weight it can give.
    pub(super) fn most(&self) -> f64 {
        self.weights.iter().copied().fold(0.0, f64::max).min(1.0)
    }
}

/// All observations of a problem, taken apart.
#[derive(Debug, Clone)]
pub(super) struct Findings {
    /// For each cause, what touches it.
    pub(super) touches: Vec<Vec<Touch>>,
    /// The observations that have bits.
    pub(super) closings: Vec<Closing>,
    /// For each bit, the observation (index into `closings`) it belongs to.
    pub(super) owner: Vec<usize>,
    /// Log of the factor of all observations without bits.
    pub(super) log_constant: f64,
    /// Whether observations had to be left aside because there are more than can be told apart.
    pub(super) overflowed: bool,
}

impl Findings {
    pub(super) fn of(problem: &Problem) -> Self {
        let mut found = Self {
            touches: vec![Vec::new(); problem.causes.len()],
            closings: Vec::new(),
            owner: Vec::new(),
            log_constant: 0.0,
            overflowed: false,
        };
        let priors: Vec<f64> = problem.causes.iter().map(|c| c.prior).collect();
        for (look, observation) in problem.observations.iter().enumerate() {
            found.add(look, observation, &priors);
        }
        found
    }

    fn add(&mut self, look: usize, observation: &Observation, priors: &[f64]) {
        // Room for the widest observation a tree can declare.
        if self.owner.len() + 64 > Wide::CAPACITY {
            self.overflowed = true;
            return;
        }
        let weights = &observation.weights;
        let normal = observation.events.len();
        let Some(first) = weights.iter().position(|w| *w > 0.0) else { return };
        let last = weights.iter().rposition(|w| *w > 0.0).unwrap_or(normal);
        // Events before the first possible outcome must not have shown; those after the last were never looked at.
        let looked_at = if last == normal { normal } else { last + 1 };
        let mut closing = Closing { bits: Vec::new(), events: Vec::new(), weights: Vec::new() };
        for (index, event) in observation.events[..looked_at].iter().enumerate() {
            let bit = (index >= first && !event.causes.is_empty()).then(|| self.new_bit(&mut closing));
            let clear = first == last && index == first && event.gates.is_empty();
            let others = event.causes.iter().map(|(c, chance)| priors[c.0] * chance);
            let alone = if clear { (event.leak + others.sum::<f64>()).min(1.0) } else { 1.0 };
            for (cause, chance) in &event.causes {
                self.touch((look, observation), (index, alone), cause.0, *chance, bit);
            }
            let gates = event
                .gates
                .iter()
                .map(|(formula, chance)| {
                    let mut parts = Vec::new();
                    leaves(formula, &mut parts);
                    let first_bit = self.owner.len();
                    for causes in parts {
                        let bit = self.new_bit(&mut closing);
                        for cause in causes {
                            self.touch((look, observation), (index, 1.0), cause.0, 1.0, Some(bit));
                        }
                    }
                    let mut next = first_bit;
                    let gate = Gate::build(formula, &mut || {
                        next += 1;
                        next - 1
                    });
                    (gate, *chance)
                })
                .collect();
            closing.events.push(ClosingEvent { bit, leak: event.leak, gates });
            closing.weights.push(weights[index]);
        }
        closing.weights.push(if last == normal { weights[normal] } else { 0.0 });
        if closing.bits.is_empty() {
            self.log_constant += closing.weight(&|_| false).ln();
        } else {
            self.closings.push(closing);
        }
    }

    /// Gives every bit another number.
    pub(super) fn renumber(&mut self, to: &[usize]) {
        let touches = self.touches.iter_mut().flatten().filter_map(|t| t.bit.as_mut());
        let bits = self.closings.iter_mut().flat_map(Closing::bits_mut);
        touches.chain(bits).for_each(|bit| *bit = to[*bit]);
    }

    fn new_bit(&mut self, closing: &mut Closing) -> usize {
        let bit = self.owner.len();
        self.owner.push(self.closings.len());
        closing.bits.push(bit);
        bit
    }

    fn touch(
        &mut self,
        (look, observation): (usize, &Observation),
        (index, alone): (usize, f64),
        cause: usize,
        chance: f64,
        bit: Option<usize>,
    ) {
        self.touches[cause].push(Touch {
            spell: observation.spell,
            sees: observation.sees,
            key: (observation.key, index),
            look,
            minutes: observation.minutes,
            chance,
            bit,
            alone,
        });
    }
}
