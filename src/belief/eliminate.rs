//! The walk over causes: a dynamic programme whose state is the set of findings already explained.
//!
//! Causes are walked one by one; an observation is closed, and its bits dropped from the state, as soon as every cause that can set
//! them has been walked. All terms are positive, so nothing cancels. Where the states grow past a limit those that promise least
//! are dropped, and what they could have weighed at the most is added up as a true bound.

use super::bits::{BitMap, BitSet};
use super::cut::Unexplained;
use super::findings::Closing;
use super::kernel::{Kernel, Weights};
use super::schedule::Step;

/// States kept at a step; those beyond it are dropped and counted in the bound.
const MOST_STATES: usize = 1 << 16;
/// Transitions (a state meeting an entry of a kernel) that one walk may cost before it is held to [`STEADY_TRANSITIONS`] a step.
/// Each is kept for the way back, so this bounds memory as well as time.
const MOST_TRANSITIONS: usize = 1 << 21;
/// A step may always cost so many; until the limit is reached, a sixteenth of what is left of it.
const STEADY_TRANSITIONS: usize = 1 << 12;
/// From so many states on, those that weigh next to nothing beside the rest are dropped and counted in the bound.
const MANY_STATES: usize = 1 << 12;
/// Up to so many slots, states are found by a table of all of them; past it, by hashing.
const MOST_DENSE: usize = 16;
/// Cells of all tables together, and transitions, up to which every state has its cell: nothing is dropped then.
const MOST_CELLS: usize = 1 << 23;
const MOST_CELL_TRANSITIONS: usize = 1 << 25;

/// No state: it was dropped.
pub(super) const DROPPED: u32 = u32::MAX;

/// The tables of one walk, kept for the way back.
pub(super) struct Walk {
    pub(super) steps: Vec<Step>,
    /// Weights of the states before each step; one more at the end. Each table sums to 1.
    tables: Vec<Vec<f64>>,
    /// Where each step leads.
    pub(super) leads: Vec<Leads>,
    /// For each closing step, the weight of each state; empty for the others.
    pub(super) closing_weights: Vec<Vec<f64>>,
    /// Log of the weight of all states at the end.
    pub(super) log_weight: f64,
    /// Log of the most that dropped states can have weighed, or minus infinity.
    pub(super) log_dropped: f64,
}

/// Where a step leads each state.
pub(super) enum Leads {
    /// By (state, kernel entry), or by state for a closing step.
    Listed(Vec<u32>),
    /// States are their own bits: to the union with the entry's.
    Union,
    /// States are their own bits: to what is left without these.
    Without(u32),
}

impl Leads {
    /// Where a state goes by an entry of a kernel with `entries` entries.
    pub(super) fn by<B: BitSet>(&self, state: u32, at: usize, entries: usize, bits: &B) -> u32 {
        match self {
            Self::Listed(leads) => leads[state as usize * entries + at],
            Self::Union => state | cell(bits),
            Self::Without(_) => DROPPED,
        }
    }

    /// Where a state goes when an observation is closed.
    pub(super) fn closed(&self, state: u32) -> u32 {
        match self {
            Self::Listed(leads) => leads[state as usize],
            Self::Union => DROPPED,
            Self::Without(mask) => state & !mask,
        }
    }
}

/// The cell of a set of bits. Sets with cells have fewer than 32 bits.
fn cell<B: BitSet>(bits: &B) -> u32 {
    u32::try_from(bits.low()).unwrap_or(DROPPED)
}

/// Weights of what follows each state, scaled so that the best state of each step has 1.
pub(super) struct Back {
    /// One table for each step, one more at the end.
    pub(super) onward: Vec<Vec<f64>>,
    /// For each step that walks a cause, the part in which that cause sets a bit; empty for the others.
    pub(super) joining: Vec<Vec<f64>>,
    /// What the weights before each step were divided by.
    pub(super) scales: Vec<f64>,
}

impl Walk {
    pub(super) fn run<B: BitSet>(
        steps: Vec<Step>,
        slots: usize,
        kernels: &[Kernel<'_, B>],
        closings: &[Closing],
    ) -> Self {
        if fit_in_cells(&steps, slots, kernels) {
            return Self::in_cells(steps, slots, kernels, closings);
        }
        let after = most_after(&steps, kernels, closings);
        let mut walk = Self {
            tables: vec![vec![1.0]],
            leads: Vec::with_capacity(steps.len()),
            closing_weights: Vec::with_capacity(steps.len()),
            log_weight: 0.0,
            log_dropped: f64::NEG_INFINITY,
            steps,
        };
        let mut index = Index::new(slots);
        let mut states = vec![B::empty()];
        let mut spent = 0;
        let mut unexplained = Unexplained::default();
        for at in 0..walk.steps.len() {
            let table = &walk.tables[at];
            let mut next = Next { states: Vec::with_capacity(states.len()), weights: Vec::new(), leads: Vec::new() };
            let mut closing_weights = Vec::new();
            match walk.steps[at] {
                Step::Walk(cause) => next.spread(&states, table, &kernels[cause], &mut index),
                Step::Close(closing) => {
                    closing_weights = next.close(&states, table, &closings[closing], &mut index);
                }
            }
            index.clear(&next.states);
            if let Step::Walk(cause) = walk.steps[at] {
                unexplained.learn(&kernels[cause].unexplained);
            }
            spent += next.leads.len();
            let dropped = next.prune(most_states::<B>(walk.steps.get(at + 1), kernels, spent), &unexplained);
            if dropped > 0.0 {
                walk.log_dropped = log_add(walk.log_dropped, walk.log_weight + dropped.ln() + after[at + 1]);
            }
            let sum: f64 = next.weights.iter().sum();
            walk.log_weight += sum.ln();
            next.weights.iter_mut().for_each(|w| *w /= sum);
            states = next.states;
            walk.tables.push(next.weights);
            walk.leads.push(Leads::Listed(next.leads));
            walk.closing_weights.push(closing_weights);
        }
        walk
    }

    /// The walk with a cell for every state, in which nothing is dropped.
    fn in_cells<B: BitSet>(steps: Vec<Step>, slots: usize, kernels: &[Kernel<'_, B>], closings: &[Closing]) -> Self {
        let cells = 1 << slots;
        let mut first = vec![0.0; cells];
        first[0] = 1.0;
        let mut walk = Self {
            tables: vec![first],
            leads: Vec::with_capacity(steps.len()),
            closing_weights: Vec::with_capacity(steps.len()),
            log_weight: 0.0,
            log_dropped: f64::NEG_INFINITY,
            steps,
        };
        for at in 0..walk.steps.len() {
            let table = &walk.tables[at];
            let mut next = vec![0.0; cells];
            let mut closing_weights = Vec::new();
            let leads = match walk.steps[at] {
                Step::Walk(cause) => {
                    let entries: Vec<(usize, f64)> =
                        kernels[cause].entries.iter().map(|(bits, w)| (bits.low(), w.total)).collect();
                    for (state, weight) in table.iter().enumerate().filter(|(_, weight)| **weight > 0.0) {
                        entries.iter().for_each(|(bits, by)| next[state | bits] += weight * by);
                    }
                    Leads::Union
                }
                Step::Close(closing) => {
                    let closing = &closings[closing];
                    let mask = closing.bits.iter().fold(0, |mask, bit| mask | 1 << bit);
                    for (state, weight) in table.iter().enumerate() {
                        let by = if *weight > 0.0 { closing.weight(&|bit| state >> bit & 1 == 1) } else { 0.0 };
                        closing_weights.push(by);
                        next[state & !mask] += weight * by;
                    }
                    Leads::Without(u32::try_from(mask).unwrap_or(0))
                }
            };
            let sum: f64 = next.iter().sum();
            walk.log_weight += sum.ln();
            if sum > 0.0 {
                next.iter_mut().for_each(|w| *w /= sum);
            }
            walk.tables.push(next);
            walk.leads.push(leads);
            walk.closing_weights.push(closing_weights);
        }
        walk
    }

    /// The way back: calls `visit` for each walked cause with its kernel's weights, each summed over everything else, and with what each entry of
    /// the kernel gathers of it.
    pub(super) fn back<B: BitSet>(
        &self,
        kernels: &[Kernel<'_, B>],
        mut visit: impl FnMut(usize, Weights, &[f64]),
    ) -> Back {
        let mut onward = vec![Vec::new(); self.tables.len()];
        onward[self.steps.len()] = vec![1.0; self.tables[self.steps.len()].len()];
        let mut scales = vec![1.0; self.steps.len()];
        let mut joining = vec![Vec::new(); self.steps.len()];
        for (at, step) in self.steps.iter().enumerate().rev() {
            let next = &onward[at + 1];
            let mut here = vec![0.0; self.tables[at].len()];
            match step {
                Step::Walk(cause) => {
                    let entries = &kernels[*cause].entries;
                    // What each entry gathers over all states; the weights of the entry are applied once at the end.
                    let mut gathered = vec![0.0; entries.len()];
                    let ways: Vec<(usize, f64)> = entries.iter().map(|(bits, w)| (bits.low(), w.total)).collect();
                    // The entry without bits comes first, where there is one.
                    let idle = usize::from(entries.first().is_some_and(|(bits, _)| bits.is_empty()));
                    let mut with = vec![0.0; here.len()];
                    let reached = self.tables[at].iter().enumerate().filter(|(_, weight)| **weight > 0.0);
                    for (state, weight) in reached {
                        let mut parts = [0.0, 0.0];
                        let mut take = |entry: usize, onward: f64| {
                            parts[usize::from(entry >= idle)] += ways[entry].1 * onward;
                            gathered[entry] += weight * onward;
                        };
                        match &self.leads[at] {
                            Leads::Listed(leads) => {
                                let leads = &leads[state * ways.len()..(state + 1) * ways.len()];
                                let kept = leads.iter().enumerate().filter(|(_, lead)| **lead != DROPPED);
                                kept.for_each(|(entry, lead)| take(entry, next[*lead as usize]));
                            }
                            _ => (0..ways.len()).for_each(|entry| take(entry, next[state | ways[entry].0])),
                        }
                        with[state] = parts[1];
                        here[state] = parts[0] + parts[1];
                    }
                    joining[at] = with;
                    let mut sums = Weights::default();
                    for ((_, w), by) in entries.iter().zip(&gathered) {
                        sums.add(w.times(*by));
                    }
                    visit(*cause, sums, &gathered);
                }
                Step::Close(_) => {
                    let weights = self.closing_weights[at].iter();
                    for ((sum, state), weight) in here.iter_mut().zip(0..).zip(weights) {
                        let lead = self.leads[at].closed(state);
                        if lead != DROPPED {
                            *sum = weight * next[lead as usize];
                        }
                    }
                }
            }
            let most = here.iter().copied().fold(0.0, f64::max);
            if most > 0.0 {
                here.iter_mut().chain(&mut joining[at]).for_each(|b| *b /= most);
                scales[at] = most;
            }
            onward[at] = here;
        }
        Back { onward, joining, scales }
    }
}

/// Whether a walk can have a cell for every state.
fn fit_in_cells<B: BitSet>(steps: &[Step], slots: usize, kernels: &[Kernel<'_, B>]) -> bool {
    let ways = |step: &Step| match step {
        Step::Walk(cause) => kernels[*cause].entries.len(),
        Step::Close(_) => 1,
    };
    slots < 20
        && (steps.len() + 1) << slots <= MOST_CELLS
        && steps.iter().map(ways).sum::<usize>() << slots <= MOST_CELL_TRANSITIONS
}

/// Finds a state's place in the table that is being built.
enum Index<B> {
    Dense(Vec<u32>),
    Sparse(BitMap<B, u32>),
}

impl<B: BitSet> Index<B> {
    fn new(slots: usize) -> Self {
        if slots <= MOST_DENSE { Self::Dense(vec![DROPPED; 1 << slots]) } else { Self::Sparse(BitMap::default()) }
    }

    /// The place of a state, which is `fresh` where it had none.
    fn place(&mut self, state: B, fresh: u32) -> u32 {
        match self {
            Self::Dense(places) => {
                let place = &mut places[state.low()];
                if *place == DROPPED {
                    *place = fresh;
                }
                *place
            }
            Self::Sparse(places) => *places.entry(state).or_insert(fresh),
        }
    }

    fn clear(&mut self, states: &[B]) {
        match self {
            Self::Dense(places) => states.iter().for_each(|s| places[s.low()] = DROPPED),
            Self::Sparse(places) => places.clear(),
        }
    }
}

/// A table that is being built.
struct Next<B> {
    states: Vec<B>,
    weights: Vec<f64>,
    leads: Vec<u32>,
}

impl<B: BitSet> Next<B> {
    fn add(&mut self, state: B, weight: f64, index: &mut Index<B>) {
        // Fewer than 2^32 states fit any machine this runs on.
        let fresh = u32::try_from(self.states.len()).unwrap_or(DROPPED);
        let place = index.place(state, fresh);
        if place == fresh {
            self.states.push(state);
            self.weights.push(0.0);
        }
        self.weights[place as usize] += weight;
        self.leads.push(place);
    }

    fn spread(&mut self, states: &[B], table: &[f64], kernel: &Kernel<'_, B>, index: &mut Index<B>) {
        self.leads.reserve(states.len() * kernel.entries.len());
        for (bits, weight) in states.iter().zip(table) {
            for (more, w) in &kernel.entries {
                self.add(bits.union(*more), weight * w.total, index);
            }
        }
    }

    fn close(&mut self, states: &[B], table: &[f64], closing: &Closing, index: &mut Index<B>) -> Vec<f64> {
        let mut own = B::empty();
        closing.bits.iter().for_each(|bit| own.insert(*bit));
        let mut closing_weights = Vec::with_capacity(states.len());
        for (bits, weight) in states.iter().zip(table) {
            let by = closing.weight(&|bit| bits.has(bit));
            closing_weights.push(by);
            self.add(bits.without(own), weight * by, index);
        }
        closing_weights
    }

    /// Drops what is beyond the limit or weighs nothing, and mends the leads. Returns the weight dropped.
    fn prune(&mut self, most: usize, unexplained: &Unexplained) -> f64 {
        let n = self.states.len();
        let mut kept: Vec<usize> = if n > MANY_STATES.min(most) {
            let weighed: Vec<(B, f64)> = self.states.iter().copied().zip(self.weights.iter().copied()).collect();
            let keep = unexplained.keep(&weighed, most, n > MANY_STATES);
            (0..n).filter(|i| keep[*i]).collect()
        } else {
            (0..n).filter(|i| self.weights[*i] > 0.0).collect()
        };
        if kept.is_empty() {
            // Nothing has any weight: the evidence is impossible, which every state says alike.
            kept = (0..n.min(most)).collect();
        }
        if kept.len() == n {
            return 0.0;
        }
        let mut moved = vec![DROPPED; n];
        for (to, from) in kept.iter().enumerate() {
            moved[*from] = u32::try_from(to).unwrap_or(DROPPED);
        }
        let dropped = self.weights.iter().zip(&moved).filter(|(_, to)| **to == DROPPED).map(|(w, _)| w).sum();
        self.leads.iter_mut().for_each(|lead| *lead = moved[*lead as usize]);
        self.states = kept.iter().map(|i| self.states[*i]).collect();
        self.weights = kept.iter().map(|i| self.weights[*i]).collect();
        dropped
    }
}

/// How many states may go into a step after `spent` transitions so far.
fn most_states<B: BitSet>(step: Option<&Step>, kernels: &[Kernel<'_, B>], spent: usize) -> usize {
    let Some(Step::Walk(cause)) = step else { return MOST_STATES };
    let allowed = (MOST_TRANSITIONS.saturating_sub(spent) / 16).max(STEADY_TRANSITIONS);
    // Wide states take more memory each while a table is being built.
    let allowed = if B::CAPACITY > <u64 as BitSet>::CAPACITY { allowed / 8 } else { allowed };
    (allowed / kernels[*cause].entries.len().max(1)).clamp(1, MOST_STATES)
}

/// For each step, the log of the most weight that what follows can give any state.
fn most_after<B: BitSet>(steps: &[Step], kernels: &[Kernel<'_, B>], closings: &[Closing]) -> Vec<f64> {
    let mut after = vec![0.0; steps.len() + 1];
    for (at, step) in steps.iter().enumerate().rev() {
        let most = match step {
            Step::Walk(cause) => kernels[*cause].total(),
            Step::Close(closing) => closings[*closing].most(),
        };
        after[at] = after[at + 1] + most.ln();
    }
    after
}

/// log(exp(a) + exp(b)).
pub(super) fn log_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if high == f64::NEG_INFINITY { high } else { high + (low - high).exp().ln_1p() }
}
