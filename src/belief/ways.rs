//! The ways in which looks can go: the bits that they set, each set with its weight.

use super::bits::BitSet;
use super::cut::Unexplained;
use super::findings::Touch;

/// Ways to set bits kept per cause; those beyond it are left out and counted.
pub(super) const MOST_ENTRIES: usize = 512;

/// Cuts entries down to `most`, in their order. Returns the weight left out.
pub(super) fn trim<B: BitSet, T>(
    entries: &mut Vec<(B, T)>,
    most: usize,
    unexplained: &Unexplained,
    weight: impl Fn(&T) -> f64,
) -> f64 {
    if entries.len() <= most {
        return 0.0;
    }
    let weighed: Vec<(B, f64)> = entries.iter().map(|(bits, w)| (*bits, weight(w))).collect();
    let kept = unexplained.keep(&weighed, most, false);
    let mut at = kept.iter();
    entries.retain(|_| at.next().copied().unwrap_or(false));
    weighed.iter().zip(kept).filter(|(_, kept)| !kept).map(|((_, weight), _)| weight).sum()
}

/// The ways in which the touches of one spell can go, with their chances; impossible ones are left out.
pub(super) fn ways<'a, B: BitSet>(
    touches: impl Iterator<Item = &'a Touch>,
    unexplained: &Unexplained,
    ignored: &mut f64,
) -> Vec<(B, f64)> {
    let mut found = vec![(B::empty(), 1.0)];
    for touch in touches {
        match touch.bit {
            None => found.iter_mut().for_each(|(_, by)| *by *= 1.0 - touch.chance),
            Some(bit) => {
                let shown: Vec<(B, f64)> = found
                    .iter()
                    .map(|(bits, by)| {
                        let mut bits = *bits;
                        bits.insert(bit);
                        (bits, by * touch.chance)
                    })
                    .collect();
                found.iter_mut().for_each(|(_, by)| *by *= 1.0 - touch.chance);
                found.extend(shown);
                found.retain(|(_, by)| *by > 0.0);
                *ignored += trim(&mut found, MOST_ENTRIES, unexplained, |by| *by);
            }
        }
    }
    found
}

/// Ways that set the same bits, taken together.
pub(super) fn merge_ways<B: BitSet>(ways: &mut Vec<(B, f64)>) {
    ways.retain(|(_, by)| *by > 0.0);
    ways.sort_by_key(|(bits, _)| *bits);
    add_up(ways, |kept, next| *kept += next);
}

/// Takes entries of the same key together, which stand beside each other.
pub(super) fn add_up<K: PartialEq, W: Copy>(sorted: &mut Vec<(K, W)>, add: impl Fn(&mut W, W)) {
    sorted.dedup_by(|next, kept| {
        let same = next.0 == kept.0;
        if same {
            add(&mut kept.1, next.1);
        }
        same
    });
}
