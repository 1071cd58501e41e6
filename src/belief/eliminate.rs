//! The walk over causes: a dynamic programme whose state is the set of findings already explained.
//!
//! Causes are walked one by one; an observation is closed, and its bits dropped from the state, as soon as every cause that can set
//! them has been walked. All terms are positive, so nothing cancels. Where the states grow past a limit the lightest are
//! dropped, and what they could have weighed at the most is added up as a true bound.

use super::bits::{BitMap, BitSet};
use super::findings::{Closing, Findings};
use super::kernel::{Kernel, Weights};

/// States kept at a step; the lightest beyond it are dropped and counted in the bound.
const MOST_STATES: usize = 1 << 16;
/// From so many states on, those that weigh next to nothing beside the rest are dropped and counted in the bound.
const MANY_STATES: usize = 1 << 12;
/// What "next to nothing" is, as a share of all states of the step.
const NEXT_TO_NOTHING: f64 = 1e-17;

/// A step of the walk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    /// Walk this cause.
    Walk(usize),
    /// Close this observation.
    Close(usize),
}

/// Orders the walk so that few observations are open at a time: always finish the one with the fewest causes left to walk.
pub(super) fn order(findings: &Findings, touching: &[Vec<usize>]) -> Vec<Step> {
    let mut left: Vec<Vec<usize>> = vec![Vec::new(); findings.closings.len()];
    for (cause, closings) in touching.iter().enumerate() {
        closings.iter().for_each(|c| left[*c].push(cause));
    }
    let mut remaining: Vec<usize> = left.iter().map(Vec::len).collect();
    let mut walked = vec![false; touching.len()];
    let mut closed = vec![false; left.len()];
    let mut steps = Vec::new();
    while let Some(next) = (0..left.len()).filter(|c| !closed[*c]).min_by_key(|c| remaining[*c]) {
        for cause in std::mem::take(&mut left[next]) {
            if !std::mem::replace(&mut walked[cause], true) {
                steps.push(Step::Walk(cause));
                touching[cause].iter().for_each(|c| remaining[*c] -= 1);
            }
        }
        for closing in 0..closed.len() {
            if remaining[closing] == 0 && !std::mem::replace(&mut closed[closing], true) {
                steps.push(Step::Close(closing));
            }
        }
    }
    steps
}

/// The tables of one walk, kept for the way back.
pub(super) struct Walk<B> {
    pub(super) steps: Vec<Step>,
    /// States before each step, with their weights; one more at the end. Each table sums to 1.
    tables: Vec<Vec<(B, f64)>>,
    /// For each step, where each (state, kernel entry) leads; `DROPPED` where it was dropped.
    leads: Vec<Vec<u32>>,
    /// Log of the weight of all states at the end.
    pub(super) log_weight: f64,
    /// Log of the most that dropped states can have weighed, or minus infinity.
    pub(super) log_dropped: f64,
}

const DROPPED: u32 = u32::MAX;

impl<B: BitSet> Walk<B> {
    pub(super) fn run(steps: Vec<Step>, kernels: &[Kernel<B>], closings: &[Closing]) -> Self {
        let after = most_after(&steps, kernels, closings);
        let mut walk = Self {
            tables: vec![vec![(B::empty(), 1.0)]],
            leads: Vec::new(),
            log_weight: 0.0,
            log_dropped: f64::NEG_INFINITY,
            steps,
        };
        for (at, step) in walk.steps.clone().into_iter().enumerate() {
            let table = walk.tables.last().map_or(&[][..], Vec::as_slice);
            let (mut next, mut leads) = match step {
                Step::Walk(cause) => spread(table, &kernels[cause]),
                Step::Close(closing) => close(table, &closings[closing]),
            };
            let dropped = prune(&mut next, &mut leads);
            let sum: f64 = next.iter().map(|(_, w)| w).sum();
            if dropped > 0.0 {
                walk.log_dropped = log_add(walk.log_dropped, walk.log_weight + dropped.ln() + after[at + 1]);
            }
            walk.log_weight += sum.ln();
            next.iter_mut().for_each(|(_, w)| *w /= sum);
            walk.tables.push(next);
            walk.leads.push(leads);
        }
        walk
    }

    /// The way back: calls `visit` for each walked cause with its kernel's weights, each summed over everything else.
    pub(super) fn back(
        &self,
        kernels: &[Kernel<B>],
        closings: &[Closing],
        mut visit: impl FnMut(usize, Weights),
    ) -> Back {
        let mut betas = vec![Vec::new(); self.tables.len()];
        betas[self.steps.len()] = vec![1.0; self.tables[self.steps.len()].len()];
        let mut scales = vec![1.0; self.steps.len()];
        for (at, step) in self.steps.iter().enumerate().rev() {
            let table = &self.tables[at];
            let mut beta = vec![0.0; table.len()];
            match step {
                Step::Walk(cause) => {
                    let entries = &kernels[*cause].entries;
                    let mut sums = Weights::default();
                    for (state, (_, alpha)) in table.iter().enumerate() {
                        for (entry, (_, w)) in entries.iter().enumerate() {
                            let lead = self.leads[at][state * entries.len() + entry];
                            if lead == DROPPED {
                                continue;
                            }
                            let onward = betas[at + 1][lead as usize];
                            beta[state] += w.total * onward;
                            let by = alpha * onward;
                            sums.total += w.total * by;
                            sums.present += w.present * by;
                            sums.awake += w.awake * by;
                            sums.ever += w.ever * by;
                        }
                    }
                    visit(*cause, sums);
                }
                Step::Close(closing) => {
                    for (state, (bits, _)) in table.iter().enumerate() {
                        let lead = self.leads[at][state];
                        if lead != DROPPED {
                            beta[state] =
                                closings[*closing].weight(&|bit| bits.has(bit)) * betas[at + 1][lead as usize];
                        }
                    }
                }
            }
            let most = beta.iter().copied().fold(0.0, f64::max);
            if most > 0.0 {
                beta.iter_mut().for_each(|b| *b /= most);
                scales[at] = most;
            }
            betas[at] = beta;
        }
        Back { betas, scales }
    }

    /// How much of everything still to come the state at a step can explain, relative to the best state there.
    pub(super) fn onward(&self, back: &Back, at: usize, bits: &B) -> f64 {
        match self.tables[at].binary_search_by(|(b, _)| b.cmp(bits)) {
            Ok(i) => back.betas[at][i],
            Err(_) => 0.0,
        }
    }
}

/// Weights of what follows each state, scaled so that the best state of each step has 1.
pub(super) struct Back {
    betas: Vec<Vec<f64>>,
    /// What the weights before each step were divided by.
    pub(super) scales: Vec<f64>,
}

fn spread<B: BitSet>(table: &[(B, f64)], kernel: &Kernel<B>) -> (Vec<(B, f64)>, Vec<u32>) {
    let mut index: BitMap<B, u32> = BitMap::default();
    let mut next: Vec<(B, f64)> = Vec::with_capacity(table.len() * 2);
    let mut leads = Vec::with_capacity(table.len() * kernel.entries.len());
    for (bits, alpha) in table {
        for (more, w) in &kernel.entries {
            let to = bits.union(*more);
            let lead = *index.entry(to).or_insert_with(|| {
                next.push((to, 0.0));
                // Fewer than 2^32 states fit any machine this runs on.
                u32::try_from(next.len() - 1).unwrap_or(DROPPED)
            });
            next[lead as usize].1 += alpha * w.total;
            leads.push(lead);
        }
    }
    (next, leads)
}

fn close<B: BitSet>(table: &[(B, f64)], closing: &Closing) -> (Vec<(B, f64)>, Vec<u32>) {
    let mut own = B::empty();
    closing.bits.iter().for_each(|bit| own.insert(*bit));
    let mut index: BitMap<B, u32> = BitMap::default();
    let mut next: Vec<(B, f64)> = Vec::with_capacity(table.len());
    let mut leads = Vec::with_capacity(table.len());
    for (bits, alpha) in table {
        let to = bits.without(own);
        let lead = *index.entry(to).or_insert_with(|| {
            next.push((to, 0.0));
            u32::try_from(next.len() - 1).unwrap_or(DROPPED)
        });
        next[lead as usize].1 += alpha * closing.weight(&|bit| bits.has(bit));
        leads.push(lead);
    }
    (next, leads)
}

/// Sorts the table by bits, drops what is beyond the limit or weighs nothing, and mends the leads. Returns the weight dropped.
fn prune<B: BitSet>(next: &mut Vec<(B, f64)>, leads: &mut [u32]) -> f64 {
    let threshold = if next.len() > MOST_STATES {
        let mut weights: Vec<f64> = next.iter().map(|(_, w)| *w).collect();
        let (_, at, _) = weights.select_nth_unstable_by(MOST_STATES, |a, b| b.total_cmp(a));
        *at
    } else if next.len() > MANY_STATES {
        NEXT_TO_NOTHING * next.iter().map(|(_, w)| w).sum::<f64>()
    } else {
        0.0
    };
    let mut by_bits: Vec<usize> = (0..next.len()).filter(|i| next[*i].1 > threshold).collect();
    if by_bits.is_empty() {
        // All alike: keep as many as the limit allows.
        by_bits = (0..next.len().min(MOST_STATES)).collect();
    }
    by_bits.sort_unstable_by_key(|i| next[*i].0);
    let mut moved = vec![DROPPED; next.len()];
    let mut kept = Vec::with_capacity(by_bits.len());
    for (to, from) in by_bits.iter().enumerate() {
        moved[*from] = u32::try_from(to).unwrap_or(DROPPED);
        kept.push(next[*from]);
    }
    let dropped = next.iter().zip(&moved).filter(|(_, to)| **to == DROPPED).map(|((_, w), _)| w).sum();
    leads.iter_mut().for_each(|lead| *lead = moved[*lead as usize]);
    *next = kept;
    dropped
}

/// For each step, the log of the most weight that what follows can give any state.
fn most_after<B: BitSet>(steps: &[Step], kernels: &[Kernel<B>], closings: &[Closing]) -> Vec<f64> {
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
