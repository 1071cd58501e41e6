//! Which states are worth keeping where there are too many: the heaviest, and those from which the findings are likeliest to be explained.
//!
//! Weight alone would keep what explains nothing, since faults are rare, and drop the very states that the findings ask for.
//!
//! There are two ways to cut. The plain one keeps the best and counts what it drops. The drawn one keeps each state with a chance and
//! makes those it keeps as much heavier, so that every sum comes out right on the average over draws: Fearnhead and Clifford, On-line
//! inference for hidden Markov models via particle filters, J. R. Statist. Soc. B 65 (2003), section 5.

use rand::RngExt;
use rand_chacha::ChaCha8Rng;

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

    /// What each of these states is to be multiplied by where at most about `most` are kept by a draw: 0 for those that are dropped.
    fn draw<B: BitSet>(&self, states: &[(B, f64)], most: usize, luck: &mut ChaCha8Rng) -> Vec<f64> {
        // As much by weight as by promise: what a draw passes over is made up for, so neither may be next to nothing where it counts.
        let promise: Vec<f64> = states.iter().map(|(bits, weight)| weight.ln() + self.rest(bits)).collect();
        let best = promise.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let promise: Vec<f64> = promise.iter().map(|p| (p - best).exp()).collect();
        let (by_weight, by_promise) = (states.iter().map(|(_, w)| w).sum::<f64>(), promise.iter().sum::<f64>());
        let share = |part: f64, whole: f64| if whole > 0.0 { part / whole } else { 0.0 };
        let scores: Vec<f64> = states
            .iter()
            .zip(&promise)
            .map(|((_, w), p)| if *w > 0.0 { share(*w, by_weight) + share(*p, by_promise) } else { 0.0 })
            .collect();
        let mut sorted = scores.clone();
        sorted.sort_by(|a, b| b.total_cmp(a));
        // Those at or above this score are kept for sure, the others by their share of it.
        let mut rest: f64 = sorted.iter().sum();
        let mut least = 0.0;
        for (kept, score) in sorted.iter().take(most).enumerate() {
            least = rest / (most - kept) as f64;
            if *score <= least {
                break;
            }
            rest -= score;
        }
        let mut at: f64 = luck.random();
        let chosen = |score: &f64| {
            if *score <= 0.0 {
                return 0.0;
            }
            if *score >= least {
                return 1.0;
            }
            at -= score / least;
            if at < 0.0 {
                at += 1.0;
                return least / score;
            }
            0.0
        };
        scores.iter().map(chosen).collect()
    }
}

/// What can be weighed and made heavier.
pub(super) trait Weighed {
    fn weight(&self) -> f64;
    fn scale(&mut self, by: f64);
}

impl Weighed for f64 {
    fn weight(&self) -> f64 {
        *self
    }

    fn scale(&mut self, by: f64) {
        *self *= by;
    }
}

/// How a table is cut down that grows past what is kept.
pub(super) struct Cutter<'a> {
    pub(super) unexplained: Unexplained,
    /// What the draw goes by; none for the plain cut.
    pub(super) luck: Option<&'a mut ChaCha8Rng>,
}

impl Cutter<'_> {
    /// What each state is to be multiplied by, at most `most` of them kept: 0 for those that are dropped. `thin` as in
    /// [`Unexplained::keep`].
    pub(super) fn factors<B: BitSet>(&mut self, states: &[(B, f64)], most: usize, thin: bool) -> Vec<f64> {
        match &mut self.luck {
            Some(luck) if states.len() > most => self.unexplained.draw(states, most, luck),
            Some(_) => states.iter().map(|(_, weight)| f64::from(u8::from(*weight > 0.0))).collect(),
            None => {
                let kept = self.unexplained.keep(states, most, thin);
                kept.into_iter().map(|kept| f64::from(u8::from(kept))).collect()
            }
        }
    }

    /// Cuts entries down to `most`, in their order. Returns the weight that is missing then: none where it was made up for.
    pub(super) fn trim<B: BitSet, T: Weighed>(&mut self, entries: &mut Vec<(B, T)>, most: usize) -> f64 {
        if entries.len() <= most {
            return 0.0;
        }
        let weighed: Vec<(B, f64)> = entries.iter().map(|(bits, w)| (*bits, w.weight())).collect();
        let factors = self.factors(&weighed, most, false);
        entries.iter_mut().zip(&factors).for_each(|((_, entry), factor)| entry.scale(*factor));
        let mut at = factors.iter();
        entries.retain(|_| at.next().is_some_and(|factor| *factor > 0.0));
        if self.luck.is_some() {
            return 0.0;
        }
        weighed.iter().zip(&factors).filter(|(_, factor)| **factor == 0.0).map(|((_, weight), _)| weight).sum()
    }
}
