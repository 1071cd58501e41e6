//! Which sets of bits are worth keeping where there are too many: those that the most can become of.
//!
//! Weight alone would keep what explains nothing, since faults are rare, and drop the very sets that the findings ask for.

use super::bits::BitSet;
use super::findings::Touch;

/// Sets of bits kept of one cause; those beyond it are left out and counted.
pub(super) const MOST: usize = 256;
/// What is next to nothing, as a share of what can become of all.
const NEXT_TO_NOTHING: f64 = 1e-12;

/// What can become of sets of bits.
#[derive(Debug, Clone)]
pub(super) struct Worth<B> {
    /// For some bits, log of how much likelier what is seen becomes where they are set.
    more: Vec<(B, f64)>,
    /// Whether that is a bound, and no guess.
    known: bool,
}

impl<B: BitSet> Worth<B> {
    /// By about how likely each bit is explained by something else.
    pub(super) fn guessed(touches: &[Touch], masks: &[B]) -> Self {
        let mut more: Vec<(B, f64)> =
            touches.iter().filter(|t| t.alone < 1.0).filter_map(|t| Some((masks[t.bit?], -t.alone.ln()))).collect();
        more.sort_by_key(|(bit, _)| *bit);
        more.dedup_by_key(|(bit, _)| *bit);
        Self { more, known: false }
    }

    /// By a bound on how much likelier what is seen becomes by each bit, as logs.
    pub(super) fn known(more: Vec<(B, f64)>) -> Self {
        Self { more, known: true }
    }

    /// Log of what can become of a set of such a weight.
    fn of(&self, bits: &B, weight: f64) -> f64 {
        weight.ln() + self.more.iter().filter(|(bit, _)| bits.union(*bit) == *bits).map(|(_, more)| more).sum::<f64>()
    }

    /// Cuts entries down to at most `most`, in their order. Returns the share that is lost of what can become of all.
    pub(super) fn trim<T>(&self, entries: &mut Vec<(B, T)>, most: usize, weight: impl Fn(&T) -> f64) -> f64 {
        let most = most.min(MOST);
        if entries.len() <= most {
            return 0.0;
        }
        let logs: Vec<f64> = entries.iter().map(|(bits, w)| self.of(bits, weight(w))).collect();
        let best = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let worth: Vec<f64> = logs.into_iter().map(|log| (log - best).exp()).collect();
        let whole: f64 = worth.iter().sum();
        let mut kept = vec![false; entries.len()];
        let mut left: Vec<usize> = (0..entries.len()).collect();
        let mut room = most;
        if self.known {
            left.retain(|at| worth[*at] >= NEXT_TO_NOTHING * whole || entries[*at].0.is_empty());
        } else {
            // A guess may be far off: half of what is kept goes by weight.
            room -= most / 2;
            let heavier =
                |a: &usize, b: &usize| weight(&entries[*b].1).total_cmp(&weight(&entries[*a].1)).then(a.cmp(b));
            left.select_nth_unstable_by(most / 2, heavier);
            left.drain(..most / 2).for_each(|at| kept[at] = true);
        }
        if left.len() > room {
            left.select_nth_unstable_by(room, |a, b| worth[*b].total_cmp(&worth[*a]).then(a.cmp(b)));
            left.truncate(room);
        }
        left.into_iter().for_each(|at| kept[at] = true);
        let mut at = kept.iter();
        entries.retain(|_| at.next().copied().unwrap_or(false));
        worth.iter().zip(kept).filter(|(_, kept)| !kept).map(|(worth, _)| worth).sum::<f64>() / whole
    }
}
