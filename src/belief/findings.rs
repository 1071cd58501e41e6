//! Observations taken apart into bits that causes set, factors that causes pay, and a closing sum over each observation's bits.

use crate::model::{CauseId, Formula, Sees};

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
    /// The bit it sets, by the order in which bits were made, or none where it must not have shown.
    pub(super) bit: Option<usize>,
    /// About how likely the bit is explained without this cause: by the leak or another cause. 1 where it need not be.
    pub(super) alone: f64,
}

/// The sum that closes one observation once every cause that can set its bits has been walked.
#[derive(Debug, Clone)]
pub(super) struct Closing {
    /// All its bits.
    pub(super) bits: Vec<usize>,
    /// Bits without which it weighs no more than with none, each with its share: whatever makes it weigh more sets bits whose shares add up to
    /// 1 or more.
    pub(super) telling: Vec<(usize, f64)>,
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

    /// Its bits with shares of which those that make it hold add up to `whole` or more.
    fn telling(&self, whole: f64, found: &mut Vec<(usize, f64)>) {
        match self {
            Self::Bit(bit) => found.push((*bit, whole)),
            Self::AtLeast(count, of) => of.iter().for_each(|gate| gate.telling(whole / (*count).max(1) as f64, found)),
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
        let mut found: Vec<&mut usize> =
            self.bits.iter_mut().chain(self.telling.iter_mut().map(|t| &mut t.0)).collect();
        for event in &mut self.events {
            found.extend(event.bit.as_mut());
            event.gates.iter_mut().for_each(|(gate, _)| gate.bits_mut(&mut found));
        }
        found
    }

    /// What it weighs with no bit set.
    pub(super) fn base(&self) -> f64 {
        self.weight(&|_| false)
    }

    /// How often its bits are set in a set, by their shares.
    pub(super) fn told<B: BitSet>(&self, bits: &B) -> f64 {
        self.telling.iter().filter(|(bit, _)| bits.has(*bit)).map(|(_, share)| share).sum()
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
    /// For each bit, the slots that setting it fills: its own, and those of the outcomes that are tried after it.
    pub(super) fills: Vec<Vec<usize>>,
    /// Log of the factor of all observations without bits.
    pub(super) log_constant: f64,
    /// Whether observations had to be left aside because there are more than can be told apart.
    pub(super) overflowed: bool,
    /// The gates that did not open and were taken by what opens them alone.
    pub(super) loosened: Vec<Loosened>,
    /// Number of gates that did not open so far: they are told apart by it.
    shut: usize,
}

/// A gate that did not open, taken as if each cause that opens it alone were looked for on its own, and the others never. It then costs no
/// bits, and what it says of two causes that open it together is lost.
#[derive(Debug, Clone)]
pub(super) struct Loosened {
    /// Which gate it is.
    pub(super) number: usize,
    formula: Formula,
    /// Chance that it opens where it holds, 0 to 1.
    chance: f64,
}

impl Loosened {
    /// How far probabilities can be off for it, from the probability of each cause to have been there.
    pub(super) fn error(&self, ever: impl Fn(CauseId) -> f64 + Copy) -> f64 {
        let (alone, others): (Vec<CauseId>, Vec<CauseId>) =
            self.formula.causes().into_iter().partition(|cause| opens_alone(&self.formula, *cause));
        let is_other = |cause: &CauseId| others.binary_search(cause).is_ok();
        let together = self.chance
            * at_most(&self.formula, &|causes| {
                causes.iter().filter(|cause| is_other(cause)).map(|cause| ever(*cause)).sum::<f64>().min(1.0)
            });
        // Two that open it alone count twice.
        let each: Vec<f64> = alone.into_iter().map(ever).collect();
        let two = each.iter().sum::<f64>() - each.iter().copied().fold(0.0, f64::max);
        let twice = if self.chance < 1.0 { two * self.chance / (1.0 - self.chance) } else { 0.0 };
        together + twice
    }
}

/// Whether a cause opens a gate with no other.
fn opens_alone(formula: &Formula, cause: CauseId) -> bool {
    formula.holds(&|other| other == cause)
}

/// The most likely that a gate holds, by how likely any of some causes is: where `count` of `n` parts hold, one of any `n - count + 1` does.
fn at_most(formula: &Formula, any: &impl Fn(&[CauseId]) -> f64) -> f64 {
    match formula {
        Formula::Any(causes) => any(causes),
        Formula::AtLeast { count, of } => {
            let mut parts: Vec<f64> = of.iter().map(|part| at_most(part, any)).collect();
            parts.sort_by(f64::total_cmp);
            parts.iter().take((of.len() + 1).saturating_sub(*count)).sum::<f64>().min(1.0)
        }
    }
}

impl Findings {
    /// With the gates that did not open, but those of which `keep` says no, by their number.
    pub(super) fn of(problem: &Problem, keep: impl Fn(usize) -> bool) -> Self {
        let mut found = Self {
            touches: vec![Vec::new(); problem.causes.len()],
            closings: Vec::new(),
            owner: Vec::new(),
            fills: Vec::new(),
            log_constant: 0.0,
            overflowed: false,
            loosened: Vec::new(),
            shut: 0,
        };
        let priors: Vec<f64> = problem.causes.iter().map(|c| c.prior).collect();
        for (look, observation) in problem.observations.iter().enumerate() {
            found.add(look, observation, &priors, &keep);
        }
        found
    }

    fn add(&mut self, look: usize, observation: &Observation, priors: &[f64], keep: &impl Fn(usize) -> bool) {
        // Room for the widest observation a tree can declare.
        if self.owner.len() + 64 > Wide::CAPACITY {
            self.overflowed = true;
            return;
        }
        let weights = &observation.weights;
        let normal = observation.events.len();
        let Some(first) = weights.iter().position(|w| *w > 0.0) else { return };
        // Events before the first possible outcome must not have shown; nothing is told by those after which every outcome weighs the same.
        let of_normal = weights.get(normal).copied().unwrap_or(0.0);
        let same = |a: f64, b: f64| a.total_cmp(&b).is_eq();
        let last = weights.iter().rposition(|w| !same(*w, of_normal));
        let looked_at = last.map_or(0, |last| last + 1).max(first).min(normal);
        let mut closing = Closing { bits: Vec::new(), telling: Vec::new(), events: Vec::new(), weights: Vec::new() };
        // Outcomes beside each other that weigh the same are one: which of them is tried first makes no difference.
        let mut from = 0;
        while from < looked_at {
            let alike = weights[from..looked_at].iter().take_while(|w| same(**w, weights[from])).count();
            let range = from..from + alike;
            let events = &observation.events[range.clone()];
            let told = events.iter().any(|event| !event.causes.is_empty());
            let bit = (from >= first && told).then(|| self.new_bit(&mut closing));
            let clear = range.contains(&first) && looked_at == range.end && of_normal == 0.0;
            let clear = clear && events.iter().all(|event| event.gates.is_empty());
            let others = events.iter().flat_map(|e| &e.causes).map(|(c, chance)| priors[c.0] * chance);
            let leak = 1.0 - events.iter().fold(1.0, |quiet, event| quiet * (1.0 - event.leak));
            let alone = if clear { (leak + others.sum::<f64>()).min(1.0) } else { 1.0 };
            let mut gates = Vec::new();
            for (index, event) in range.clone().zip(events) {
                for (cause, chance) in &event.causes {
                    self.touch((look, observation), (index, alone), cause.0, *chance, bit);
                }
                for (formula, chance) in &event.gates {
                    if from < first {
                        self.shut += 1;
                        if !keep(self.shut - 1) {
                            self.loosen((look, observation), index, (formula, *chance));
                            continue;
                        }
                    }
                    gates.push((self.gate(&mut closing, (look, observation), index, formula), *chance));
                }
            }
            closing.events.push(ClosingEvent { bit, leak, gates });
            closing.weights.push(weights[from]);
            from = range.end;
        }
        closing.weights.push(of_normal);
        if closing.bits.is_empty() {
            self.log_constant += closing.weight(&|_| false).ln();
        } else {
            // The first outcome that shows is the one seen, so setting its bit fills those after it: fewer states are then apart.
            let bits: Vec<usize> = closing.events.iter().filter_map(|event| event.bit).collect();
            for (at, bit) in bits.iter().enumerate() {
                self.fills[*bit] = bits[at..].to_vec();
            }
            closing.telling = bits.last().map(|bit| (*bit, 1.0)).into_iter().collect();
            let gates = closing.events.iter().flat_map(|event| &event.gates);
            gates.for_each(|(gate, _)| gate.telling(1.0, &mut closing.telling));
            self.closings.push(closing);
        }
    }

    /// Whether there are gates that did not open.
    pub(super) fn has_shut_gates(&self) -> bool {
        self.shut > 0
    }

    /// A gate that did not open, by what opens it alone.
    fn loosen(&mut self, seen: (usize, &Observation), index: usize, (formula, chance): (&Formula, f64)) {
        // Unlike an outcome it is missed anew at each look: no other look has its index.
        let index = seen.1.events.len() * (1 + self.shut) + index;
        for cause in formula.causes().into_iter().filter(|cause| opens_alone(formula, *cause)) {
            self.touch(seen, (index, 1.0), cause.0, chance, None);
        }
        self.loosened.push(Loosened { number: self.shut - 1, formula: formula.clone(), chance });
    }

    /// A gate, each of its parts a bit that any of the causes of that part sets.
    fn gate(&mut self, closing: &mut Closing, seen: (usize, &Observation), index: usize, formula: &Formula) -> Gate {
        let mut parts = Vec::new();
        leaves(formula, &mut parts);
        let first_bit = self.owner.len();
        for causes in parts {
            let bit = self.new_bit(closing);
            for cause in causes {
                self.touch(seen, (index, 1.0), cause.0, 1.0, Some(bit));
            }
        }
        let mut next = first_bit;
        Gate::build(formula, &mut || {
            next += 1;
            next - 1
        })
    }

    /// Gives the bits of what is filled and asked the numbers of their slots.
    pub(super) fn renumber(&mut self, to: &[usize]) {
        let filled = self.fills.iter_mut().flatten();
        let asked = self.closings.iter_mut().flat_map(Closing::bits_mut);
        filled.chain(asked).for_each(|bit| *bit = to[*bit]);
    }

    /// For each bit, the set of slots that setting it fills.
    pub(super) fn masks<B: BitSet>(&self) -> Vec<B> {
        let mask = |slots: &Vec<usize>| {
            slots.iter().fold(B::empty(), |mut mask, slot| {
                mask.insert(*slot);
                mask
            })
        };
        self.fills.iter().map(mask).collect()
    }

    fn new_bit(&mut self, closing: &mut Closing) -> usize {
        let bit = self.owner.len();
        self.owner.push(self.closings.len());
        self.fills.push(vec![bit]);
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
