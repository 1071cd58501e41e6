//! Which states are worth keeping where there are too many: the heaviest, and those from which the findings are likeliest to be explained.
//!
//! Weight alone would keep what explains nothing, since faults are rare, and drop the very states that the findings ask for.

use super::bits::BitSet;
use super::findings::Touch;

/// What is too little beside the rest, as a share.
const NEXT_TO_NOTHING: f64 = 1e-17;

/// For some bits, the log of about how likely each is explained by something else.
#[derive(Debug, Clone, Default)]
pub(super) struct Unexplained(Vec<(usize, f64)>);

impl Unexplained {
    pub(super) fn of(touches: &[Touch]) -> Self {
        let mut bits: Vec<(usize, f64)> =
            touches.iter().filter(|t| t.alone < 1.0).filter_map(|t| Some((t.bit?, t.alone.ln()))).collect();
        bits.sort_by_key(|(bit, _)| *bit);
        bits.dedup_by_key(|(bit, _)| *bit);
        Self(bits)
    }

    /// Takes over what another knows of its bits.
    pub(super) fn learn(&mut self, other: &Self) {
        for (bit, alone) in &other.0 {
            match self.0.iter_mut().find(|(known, _)| known == bit) {
                Some(known) => known.1 = *alone,
                None => self.0.push((*bit, *alone)),
            }
        }
    }

    /// Log of the chance that all unset bits are explained by something else.
    fn rest<B: BitSet>(&self, bits: &B) -> f64 {
        self.0.iter().filter(|(bit, _)| !bits.has(*bit)).map(|(_, alone)| alone).sum()
    }

    /// Which of these states to keep, at most `most`: the better half by weight, the others by their promise. Those that weigh nothing
    /// are never kept; those next to nothing by both are not where `thin` says so.
    pub(super) fn keep<B: BitSet>(&self, states: &[(B, f64)], most: usize, thin: bool) -> Vec<bool> {
        let promise: Vec<f64> = states.iter().map(|(bits, weight)| weight.ln() + self.rest(bits)).collect();
        let best = promise.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let floor = best + NEXT_TO_NOTHING.ln();
        let light = NEXT_TO_NOTHING * states.iter().map(|(_, weight)| weight).sum::<f64>();
        let mut kept: Vec<bool> = states
            .iter()
            .zip(&promise)
            .map(|((_, weight), promise)| *weight > 0.0 && (!thin || *weight > light || *promise > floor))
            .collect();
        let mut left: Vec<usize> = (0..states.len()).filter(|at| kept[*at]).collect();
        if left.len() <= most {
            return kept;
        }
        kept.fill(false);
        let half = most / 2;
        left.select_nth_unstable_by(half, |a, b| states[*b].1.total_cmp(&states[*a].1).then(a.cmp(b)));
        left.drain(..half).for_each(|at| kept[at] = true);
        let others = most - half;
        left.select_nth_unstable_by(others, |a, b| promise[*b].total_cmp(&promise[*a]).then(a.cmp(b)));
        left[..others].iter().for_each(|at| kept[*at] = true);
        kept
    }
}
