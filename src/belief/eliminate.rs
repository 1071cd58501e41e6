//! The walk over causes: a dynamic programme whose state is the set of findings already explained.
//!
//! Causes are walked one by one; an observation is closed, and its bits dropped from the state, as soon as every cause that can set
//! them has been walked. All terms are positive, so nothing cancels. Where there are too many transitions those that promise least are
//! dropped, and what they could have become at the most is added up as a true bound.

use super::bits::{BitMap, BitSet};
use super::bound::Onward;
use super::findings::Closing;
use super::kernel::{Kernel, Weights};
use super::schedule::Step;
use super::view::{View, Views};

/// Transitions (a state meeting an entry of a view) of a walk in which nothing is dropped.
const MOST_WHOLE: usize = 1 << 19;
/// Transitions of a walk in which what promises least is dropped, before it is held to [`STEADY_TRANSITIONS`] a step. Each is kept
/// for the way back, so this bounds memory as well as time.
const MOST_TRANSITIONS: usize = 1 << 18;
/// Entries that the views of one step are made of; the states beyond it that promise least see nothing.
const MOST_SEEN: usize = 1 << 14;
/// A step may always cost so many.
const STEADY_TRANSITIONS: usize = 1 << 9;
/// A step may cost so many times its even share of what is left.
const AHEAD: usize = 6;
/// A state that can become no more than this share of what the best can become is dropped and counted in the bound.
const NEXT_TO_NOTHING: f64 = 1e-14;
/// Up to so many slots, states are found by a table of all of them; past it, by hashing.
const MOST_DENSE: usize = 16;

/// No state: it was dropped.
pub(super) const DROPPED: u32 = u32::MAX;

/// The tables of one walk, kept for the way back.
pub(super) struct Walk<B> {
    pub(super) steps: Vec<Step>,
    /// Weights of the states before each step; one more at the end. Each table sums to 1.
    tables: Vec<Vec<f64>>,
    /// Where each step leads.
    pub(super) leads: Vec<Leads<B>>,
    /// For each closing step, the weight of each state; empty for the others.
    pub(super) closing_weights: Vec<Vec<f64>>,
    /// Log of the weight of all states at the end.
    pub(super) log_weight: f64,
    /// Log of the most that dropped states can have weighed, or minus infinity.
    pub(super) log_dropped: f64,
}

/// Where a step leads each state.
pub(super) enum Leads<B> {
    /// A cause is walked.
    Walked {
        /// The kernel as the states see it.
        views: Vec<View<B>>,
        /// For each state, its view.
        of: Vec<u32>,
        /// For each state, where its leads begin; one more at the end.
        from: Vec<u32>,
        /// The state that each entry of the view leads to, for as many of them as are followed.
        to: Vec<u32>,
    },
    /// An observation is closed: one for each state.
    Closed(Vec<u32>),
}

impl<B> Leads<B> {
    /// What a cause adds to a state, and where that leads. Nothing where no cause is walked.
    pub(super) fn walked(&self, state: u32) -> (&[(B, Weights)], &[u32]) {
        match self {
            Self::Walked { views, of, from, to } => {
                let at = state as usize;
                (&views[of[at] as usize].entries, &to[from[at] as usize..from[at + 1] as usize])
            }
            Self::Closed(_) => (&[], &[]),
        }
    }

    /// The ways in which the cause sets something from a state, with their weights and where they lead.
    pub(super) fn setting(&self, state: u32) -> impl Iterator<Item = (&Weights, u32)> {
        let (entries, leads) = self.walked(state);
        let all = entries.iter().zip(leads).map(|((_, w), lead)| (w, *lead));
        // The first entry is the one in which the cause does nothing.
        all.skip(1).filter(|(_, lead)| *lead != DROPPED)
    }

    /// Where a state goes when an observation is closed.
    pub(super) fn closed(&self, state: u32) -> u32 {
        match self {
            Self::Closed(to) => to[state as usize],
            Self::Walked { .. } => DROPPED,
        }
    }
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

impl<B: BitSet> Walk<B> {
    /// The walk in which nothing is dropped; none where it would take too long.
    pub(super) fn whole(steps: &[Step], slots: usize, kernels: &[Kernel<'_, B>], closings: &[Closing]) -> Option<Self> {
        let (walk, ended) = Self::run(steps, slots, kernels, closings, None);
        ended.then_some(walk)
    }

    /// The walk that drops what promises least, where there is too much.
    pub(super) fn bounded(
        steps: &[Step],
        slots: usize,
        kernels: &[Kernel<'_, B>],
        closings: &[Closing],
        onward: &Onward<'_, B>,
    ) -> Self {
        Self::run(steps, slots, kernels, closings, Some(onward)).0
    }

    /// A walk, and whether it came to its end: only one in which nothing may be dropped can take too long.
    fn run(
        steps: &[Step],
        slots: usize,
        kernels: &[Kernel<'_, B>],
        closings: &[Closing],
        onward: Option<&Onward<'_, B>>,
    ) -> (Self, bool) {
        let mut walk = Self {
            tables: vec![vec![1.0]],
            leads: Vec::with_capacity(steps.len()),
            closing_weights: Vec::with_capacity(steps.len()),
            log_weight: 0.0,
            log_dropped: f64::NEG_INFINITY,
            steps: steps.to_vec(),
        };
        let mut index = Index::new(slots);
        let mut states = vec![B::empty()];
        // What each state can become at the most, as a share of the bound on the whole.
        let mut promise = vec![1.0];
        let mut left = if onward.is_some() { MOST_TRANSITIONS } else { MOST_WHOLE };
        let mut walks = steps.iter().filter(|step| matches!(step, Step::Walk(_))).count();
        // Share of the bound on the whole that was dropped.
        let mut dropped = 0.0;
        // What the step before dropped.
        let mut rarely: f64 = 0.0;
        for (at, step) in steps.iter().enumerate() {
            let table = &walk.tables[at];
            let mut next = Next::default();
            let mut closing_weights = Vec::new();
            let leads = match step {
                Step::Walk(cause) => {
                    let kernel = &kernels[*cause];
                    let mut views = Views::of(kernel, slots, onward.map(|onward| onward.tilt(*cause)));
                    if onward.is_some() {
                        let best = best(&promise);
                        let many = nth_best(&promise, MOST_SEEN / kernel.entries.len().max(1));
                        // The best state always sees all.
                        rarely = rarely.max(views.set() * many).min(views.set() * best);
                    }
                    let of: Vec<u32> = states
                        .iter()
                        .zip(&promise)
                        .map(|(state, promise)| views.seen_from(state, *promise, rarely))
                        .collect();
                    let views = views.made;
                    let mut least = 0.0;
                    if onward.is_some() {
                        let room = (left / walks.max(1) * AHEAD).max(STEADY_TRANSITIONS);
                        least = least_promise(&promise, &views, &of, room);
                        rarely = least;
                    } else if transitions(&promise, &views, &of, 0.0) > left {
                        return (walk, false);
                    }
                    let mut from = vec![0];
                    for (((bits, weight), promise), of) in states.iter().zip(table).zip(&promise).zip(&of) {
                        let view = &views[*of as usize];
                        let followed = view.followed(*promise, least);
                        for (more, w) in &view.entries[..followed] {
                            next.add(bits.union(*more), weight * w.total, &mut index);
                        }
                        dropped += promise * view.lost(followed);
                        from.push(u32::try_from(next.leads.len()).unwrap_or(DROPPED));
                    }
                    left = left.saturating_sub(next.leads.len());
                    walks -= 1;
                    Some((views, of, from))
                }
                Step::Close(closing) => {
                    closing_weights = next.close(&states, table, &closings[*closing], &mut index);
                    None
                }
            };
            index.clear(&next.states);
            if let Some(onward) = onward {
                promise = onward.promise(at + 1, walk.log_weight, &next.states, &next.weights);
            } else {
                promise = vec![1.0; next.states.len()];
            }
            dropped += next.prune(&mut promise, onward.is_some());
            let sum: f64 = next.weights.iter().sum();
            walk.log_weight += sum.ln();
            if sum > 0.0 {
                next.weights.iter_mut().for_each(|w| *w /= sum);
            }
            states = next.states;
            walk.tables.push(next.weights);
            walk.leads.push(match leads {
                Some((views, of, from)) => Leads::Walked { views, of, from, to: next.leads },
                None => Leads::Closed(next.leads),
            });
            walk.closing_weights.push(closing_weights);
        }
        if let Some(onward) = onward {
            walk.log_dropped = dropped.ln() + onward.log_whole();
        }
        (walk, true)
    }

    /// The way back: calls `visit` for each walked cause with its kernel's weights, each summed over everything else, and with what each entry of
    /// the kernel gathers of it.
    pub(super) fn back(&self, kernels: &[Kernel<'_, B>], mut visit: impl FnMut(usize, Weights, &[f64])) -> Back {
        let mut onward = vec![Vec::new(); self.tables.len()];
        onward[self.steps.len()] = vec![1.0; self.tables[self.steps.len()].len()];
        let mut scales = vec![1.0; self.steps.len()];
        let mut joining = vec![Vec::new(); self.steps.len()];
        for (at, step) in self.steps.iter().enumerate().rev() {
            let next = &onward[at + 1];
            let mut here = vec![0.0; self.tables[at].len()];
            if let (Step::Walk(cause), Leads::Walked { views, of, from, to }) = (step, &self.leads[at]) {
                // What each entry gathers over all states; the weights of the entry are applied once at the end.
                let mut gathered: Vec<Vec<f64>> = views.iter().map(|view| vec![0.0; view.entries.len()]).collect();
                let mut with = vec![0.0; here.len()];
                for (state, weight) in self.tables[at].iter().enumerate() {
                    let view = of[state] as usize;
                    let leads = &to[from[state] as usize..from[state + 1] as usize];
                    let entries = views[view].entries.iter().zip(&mut gathered[view]);
                    let mut parts = [0.0, 0.0];
                    for (entry, (((_, w), gathered), lead)) in entries.zip(leads).enumerate() {
                        if *lead != DROPPED {
                            let onward = next[*lead as usize];
                            parts[usize::from(entry > 0)] += w.total * onward;
                            *gathered += weight * onward;
                        }
                    }
                    with[state] = parts[1];
                    here[state] = parts[0] + parts[1];
                }
                joining[at] = with;
                let entries = &kernels[*cause].entries;
                let mut of_kernel = vec![0.0; entries.len()];
                views.iter().zip(&gathered).for_each(|(view, gathered)| view.hand_back(gathered, &mut of_kernel));
                let mut sums = Weights::default();
                entries.iter().zip(&of_kernel).for_each(|((_, w), by)| sums.add(w.times(*by)));
                visit(*cause, sums, &of_kernel);
            } else {
                let weights = self.closing_weights[at].iter();
                for ((sum, state), weight) in here.iter_mut().zip(0..).zip(weights) {
                    let lead = self.leads[at].closed(state);
                    if lead != DROPPED {
                        *sum = weight * next[lead as usize];
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

/// The promise of the best state.
fn best(promise: &[f64]) -> f64 {
    promise.iter().copied().fold(0.0, f64::max)
}

/// The promise of the state that so many are better than; 0 where there are fewer.
fn nth_best(promise: &[f64], n: usize) -> f64 {
    if promise.len() <= n {
        return 0.0;
    }
    let mut promise = promise.to_vec();
    *promise.select_nth_unstable_by(n, |a, b| b.total_cmp(a)).1
}

/// The least promise of a transition that leaves no more of them than there is room for: as little as can be. The best state is always kept.
fn least_promise<B: BitSet>(promise: &[f64], views: &[View<B>], of: &[u32], room: usize) -> f64 {
    let best = best(promise);
    let mut least = NEXT_TO_NOTHING * best;
    while least < best && transitions(promise, views, of, least) > room {
        least *= 4.0;
    }
    least.min(best)
}

/// How many transitions promise so much.
fn transitions<B: BitSet>(promise: &[f64], views: &[View<B>], of: &[u32], least: f64) -> usize {
    promise.iter().zip(of).map(|(promise, of)| views[*of as usize].followed(*promise, least)).sum()
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

impl<B> Default for Next<B> {
    fn default() -> Self {
        Self { states: Vec::new(), weights: Vec::new(), leads: Vec::new() }
    }
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

    /// Drops the states that weigh nothing, and where `thin` says so those that promise next to nothing, and mends the leads. Returns the
    /// promise dropped.
    fn prune(&mut self, promise: &mut Vec<f64>, thin: bool) -> f64 {
        let n = self.states.len();
        let least = NEXT_TO_NOTHING * best(promise);
        let keep = |at: &usize| self.weights[*at] > 0.0 && (!thin || promise[*at] >= least);
        let mut kept: Vec<usize> = (0..n).filter(keep).collect();
        if kept.is_empty() {
            // Nothing has any weight: the evidence is impossible, which every state says alike.
            kept = (0..n.min(1)).collect();
        }
        if kept.len() == n {
            return 0.0;
        }
        let mut moved = vec![DROPPED; n];
        for (to, from) in kept.iter().enumerate() {
            moved[*from] = u32::try_from(to).unwrap_or(DROPPED);
        }
        let dropped = promise.iter().zip(&moved).filter(|(_, to)| **to == DROPPED).map(|(p, _)| p).sum();
        self.leads.iter_mut().for_each(|lead| *lead = moved[*lead as usize]);
        self.states = kept.iter().map(|at| self.states[*at]).collect();
        self.weights = kept.iter().map(|at| self.weights[*at]).collect();
        *promise = kept.iter().map(|at| promise[*at]).collect();
        dropped
    }
}

/// log(exp(a) + exp(b)).
pub(super) fn log_add(a: f64, b: f64) -> f64 {
    let (high, low) = if a > b { (a, b) } else { (b, a) };
    if high == f64::NEG_INFINITY { high } else { high + (low - high).exp().ln_1p() }
}
