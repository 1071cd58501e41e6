//! The ways in which looks can go: the bits that they set, each set with its weight.

use super::bits::BitSet;
use super::cut::{MOST, Worth};
use super::findings::Touch;

/// The ways in which the touches of one spell can go, with their chances; impossible ones are left out. The share of what can become of them
/// that was cut for size is added to `lost`.
pub(super) fn ways<'a, B: BitSet>(
    touches: impl Iterator<Item = &'a Touch>,
    masks: &[B],
    worth: &Worth<B>,
    lost: &mut f64,
) -> Vec<(B, f64)> {
    let mut found = vec![(B::empty(), 1.0)];
    for touch in touches {
        match touch.bit {
            None => found.iter_mut().for_each(|(_, by)| *by *= 1.0 - touch.chance),
            Some(bit) => {
                let shown: Vec<(B, f64)> =
                    found.iter().map(|(bits, by)| (bits.union(masks[bit]), by * touch.chance)).collect();
                found.iter_mut().for_each(|(_, by)| *by *= 1.0 - touch.chance);
                found.extend(shown);
                found.retain(|(_, by)| *by > 0.0);
                *lost += worth.trim(&mut found, MOST, |by| *by);
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
