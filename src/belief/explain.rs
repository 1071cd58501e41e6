//! The leading explanations: which causes together brought what was found, listed best first.
//!
//! An explanation is the set of causes that set at least one finding. Explanations exclude each other and cover everything,
//! so their probabilities add up to one. They are listed by a best-first search whose bound is exact: what is left to
//! come is known for every state from the way back.

use std::cmp::Ordering;
use std::collections::BinaryHeap;

use super::bits::BitSet;
use super::eliminate::{Back, Step, Walk};
use super::findings::Closing;
use super::kernel::Kernel;

/// Where a member of an explanation stands now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Now {
    /// Corrected since.
    Gone,
    /// Still there, asleep in this spell.
    Asleep,
    /// Still there and awake in this spell.
    Awake,
}

/// One explanation of what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The causes that set at least one finding, by index, sorted. None: false alarms only.
    pub causes: Vec<usize>,
    /// Its probability.
    pub probability: f64,
    /// How its members stand now, with the probability of each combination (they add up to `probability`).
    pub now: Vec<(Vec<Now>, f64)>,
}

/// A part of an explanation: decided for the causes walked up to a step.
struct Partial<B> {
    bound: f64,
    at: usize,
    causes: Vec<usize>,
    /// States with the standing of the members so far, and their weights.
    table: Vec<(B, Vec<Now>, f64)>,
}

impl<B> PartialEq for Partial<B> {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl<B> Eq for Partial<B> {}
impl<B> PartialOrd for Partial<B> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl<B> Ord for Partial<B> {
    fn cmp(&self, other: &Self) -> Ordering {
        // Equal bounds: deeper first, then the causes, so that the list is the same on every run.
        self.bound.total_cmp(&other.bound).then(self.at.cmp(&other.at)).then_with(|| other.causes.cmp(&self.causes))
    }
}

/// How far to list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// At most so many explanations.
    pub most: usize,
    /// Stop when those listed have this much of the probability.
    pub share: f64,
}

pub(super) fn list<B: BitSet>(
    walk: &Walk<B>,
    back: &Back,
    kernels: &[Kernel<B>],
    closings: &[Closing],
    extent: Extent,
) -> Vec<Explanation> {
    let mut heap = BinaryHeap::new();
    let start = walk.onward(back, 0, &B::empty());
    heap.push(Partial { bound: start, at: 0, causes: Vec::new(), table: vec![(B::empty(), Vec::new(), 1.0)] });
    let whole = start;
    let mut found: Vec<Explanation> = Vec::new();
    let mut listed = 0.0;
    // A search step costs about a microsecond; the cap keeps a flat posterior from holding up the screen.
    let mut budget = 60_000usize;
    while let Some(partial) = heap.pop() {
        if partial.at == walk.steps.len() {
            let weights: Vec<(Vec<Now>, f64)> = gather(partial.table, whole);
            let probability = weights.iter().map(|(_, p)| p).sum();
            listed += probability;
            found.push(Explanation { causes: partial.causes, probability, now: weights });
            if found.len() >= extent.most || listed >= extent.share {
                break;
            }
            continue;
        }
        budget = budget.saturating_sub(partial.table.len());
        if budget == 0 {
            break;
        }
        advance(partial, walk, back, kernels, closings, &mut heap);
    }
    found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    for explanation in &mut found {
        let mut order: Vec<usize> = (0..explanation.causes.len()).collect();
        order.sort_by_key(|i| explanation.causes[*i]);
        explanation.causes = order.iter().map(|i| explanation.causes[*i]).collect();
        for (standing, _) in &mut explanation.now {
            *standing = order.iter().map(|i| standing[*i]).collect();
        }
    }
    found
}

fn advance<B: BitSet>(
    mut partial: Partial<B>,
    walk: &Walk<B>,
    back: &Back,
    kernels: &[Kernel<B>],
    closings: &[Closing],
    heap: &mut BinaryHeap<Partial<B>>,
) {
    // Weights are kept relative to the best state of each step, so bounds of different depths compare.
    let scale = back.scales[partial.at];
    match walk.steps[partial.at] {
        Step::Close(closing) => {
            let closing = &closings[closing];
            let mut own = B::empty();
            closing.bits.iter().for_each(|bit| own.insert(*bit));
            for (bits, _, weight) in &mut partial.table {
                *weight *= closing.weight(&|bit| bits.has(bit)) / scale;
                *bits = bits.without(own);
            }
            partial.at += 1;
            push(partial, walk, back, heap);
        }
        Step::Walk(cause) => {
            let kernel = &kernels[cause];
            let mut with = Vec::new();
            for (bits, standing, weight) in &partial.table {
                for (more, w) in kernel.entries.iter().filter(|(more, _)| !more.is_empty()) {
                    let to = bits.union(*more);
                    for (now, part) in
                        [(Now::Gone, w.total - w.present), (Now::Asleep, w.present - w.awake), (Now::Awake, w.awake)]
                    {
                        if part > 0.0 {
                            let mut standing = standing.clone();
                            standing.push(now);
                            with.push((to, standing, weight * part / scale));
                        }
                    }
                }
            }
            let mut causes = partial.causes.clone();
            causes.push(cause);
            push(Partial { bound: 0.0, at: partial.at + 1, causes, table: with }, walk, back, heap);
            let idle = kernel.idle().total / scale;
            partial.table.iter_mut().for_each(|(_, _, weight)| *weight *= idle);
            partial.at += 1;
            push(partial, walk, back, heap);
        }
    }
}

fn push<B: BitSet>(mut partial: Partial<B>, walk: &Walk<B>, back: &Back, heap: &mut BinaryHeap<Partial<B>>) {
    partial.table.sort_by(|a, b| (a.0, &a.1).cmp(&(b.0, &b.1)));
    partial.table.dedup_by(|next, kept| {
        let same = next.0 == kept.0 && next.1 == kept.1;
        if same {
            kept.2 += next.2;
        }
        same
    });
    partial.bound = partial.table.iter().map(|(bits, _, weight)| weight * walk.onward(back, partial.at, bits)).sum();
    if partial.bound > 0.0 {
        heap.push(partial);
    }
}

/// Sums the weights of each standing.
fn gather<B>(table: Vec<(B, Vec<Now>, f64)>, whole: f64) -> Vec<(Vec<Now>, f64)> {
    let mut sums: Vec<(Vec<Now>, f64)> = Vec::new();
    for (_, standing, weight) in table {
        match sums.iter_mut().find(|(s, _)| *s == standing) {
            Some((_, sum)) => *sum += weight / whole,
            None => sums.push((standing, weight / whole)),
        }
    }
    sums
}
