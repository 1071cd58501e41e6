//! Sets of observation bits: which abnormal findings a state has already explained.

use std::hash::{BuildHasherDefault, Hash, Hasher};

/// A set of small numbers. Two sizes are used: one machine word where it will do, a wide one where it will not.
pub(super) trait BitSet: Copy + Eq + Hash + Ord {
    /// How many different numbers it can hold.
    const CAPACITY: usize;
    /// No number.
    fn empty() -> Self;
    /// Puts a number in.
    fn insert(&mut self, bit: usize);
    /// Whether a number is in.
    fn has(&self, bit: usize) -> bool;
    /// Everything in either.
    fn union(self, other: Self) -> Self;
    /// Everything not in the other.
    fn without(self, other: Self) -> Self;
    /// Whether nothing is in.
    fn is_empty(&self) -> bool;
    /// The numbers below the size of a machine word as one word, for indexing.
    fn low(&self) -> usize;
}

impl BitSet for u64 {
    const CAPACITY: usize = 64;
    fn empty() -> Self {
        0
    }
    fn insert(&mut self, bit: usize) {
        *self |= 1 << bit;
    }
    fn has(&self, bit: usize) -> bool {
        self >> bit & 1 == 1
    }
    fn union(self, other: Self) -> Self {
        self | other
    }
    fn without(self, other: Self) -> Self {
        self & !other
    }
    fn is_empty(&self) -> bool {
        *self == 0
    }
    fn low(&self) -> usize {
        usize::try_from(*self).unwrap_or(usize::MAX)
    }
}

/// For jobs with more than 64 abnormal findings.
pub(super) type Wide = [u64; 32];

impl BitSet for Wide {
    const CAPACITY: usize = 64 * 32;
    fn empty() -> Self {
        [0; 32]
    }
    fn insert(&mut self, bit: usize) {
        self[bit / 64] |= 1 << (bit % 64);
    }
    fn has(&self, bit: usize) -> bool {
        self[bit / 64] >> (bit % 64) & 1 == 1
    }
    fn union(mut self, other: Self) -> Self {
        self.iter_mut().zip(other).for_each(|(a, b)| *a |= b);
        self
    }
    fn without(mut self, other: Self) -> Self {
        self.iter_mut().zip(other).for_each(|(a, b)| *a &= !b);
        self
    }
    fn is_empty(&self) -> bool {
        self.iter().all(|word| *word == 0)
    }
    fn low(&self) -> usize {
        self[0].low()
    }
}

/// Hashes bit sets by multiplying; the keys are our own, so nobody can choose them to collide.
#[derive(Default)]
pub(super) struct WordHasher(u64);

impl Hasher for WordHasher {
    fn finish(&self) -> u64 {
        self.0 ^ self.0 >> 29
    }
    fn write(&mut self, bytes: &[u8]) {
        for chunk in bytes.chunks(8) {
            let mut word = [0; 8];
            word[..chunk.len()].copy_from_slice(chunk);
            self.write_u64(u64::from_le_bytes(word));
        }
    }
    fn write_u64(&mut self, word: u64) {
        self.0 = (self.0.rotate_left(23) ^ word).wrapping_mul(0x9e37_79b9_7f4a_7c15);
    }
    fn write_u32(&mut self, word: u32) {
        self.write_u64(u64::from(word));
    }
    fn write_usize(&mut self, word: usize) {
        self.write_u64(word as u64);
    }
}

/// A map keyed by bit sets.
pub(super) type BitMap<K, V> = std::collections::HashMap<K, V, BuildHasherDefault<WordHasher>>;
