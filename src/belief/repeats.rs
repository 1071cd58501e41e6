//! Checks that were repeated over spells share their misses: what a check misses once it misses again, so a repeat counts
//! only through the cause's waking.

use std::collections::BTreeMap;

use crate::model::Sees;

use super::findings::Touch;

/// A set of spells. Repeats in spells past its size are taken as missing on their own.
pub(super) type SpellSet = u128;

const MOST_SPELLS: usize = 128;

/// Repeated checks that showed at least once are summed over case by case; past this many for one cause the rest are taken as missing
/// on their own.
const MOST_SHOWN: usize = 8;

/// Unions lighter than this share of the whole cannot be told from rounding.
const NOTHING: f64 = 1e-15;

/// What touches one cause, sorted by how misses are shared.
pub(super) struct Repeats {
    /// Looks made once, or that never miss.
    single: Vec<Touch>,
    /// Repeated checks that never showed.
    quiet: Vec<Quiet>,
    /// Repeated checks that showed at least once: the chance that they show the cause, and all their looks.
    shown: Vec<(f64, Vec<Touch>)>,
}

/// A check that was repeated and never showed the cause.
pub(super) struct Quiet {
    chance: f64,
    sees: Sees,
    spells: SpellSet,
}

impl Repeats {
    pub(super) fn of(touches: &[Touch]) -> Self {
        let mut by_key: BTreeMap<(usize, usize), Vec<Touch>> = BTreeMap::new();
        let mut single = Vec::new();
        for touch in touches {
            if touch.chance < 1.0 && touch.spell < MOST_SPELLS {
                by_key.entry(touch.key).or_default().push(*touch);
            } else {
                single.push(*touch);
            }
        }
        // Checks that never showed in the same spells act as one check with the joint chance of showing.
        let mut quiet: BTreeMap<(Sees, SpellSet), f64> = BTreeMap::new();
        let mut shown = Vec::new();
        for looks in by_key.into_values() {
            let [first, _, ..] = looks.as_slice() else {
                single.extend(looks);
                continue;
            };
            let (chance, sees) = (first.chance, first.sees);
            if looks.iter().all(|t| t.bit.is_none()) {
                let spells = looks.iter().fold(0, |set: SpellSet, t| set | 1 << t.spell);
                let missed = quiet.entry((sees, spells)).or_insert(1.0);
                *missed *= 1.0 - chance;
            } else {
                shown.push((chance, looks));
            }
        }
        shown.sort_by_key(|(_, looks)| std::cmp::Reverse(looks.len()));
        for (_, looks) in shown.drain(MOST_SHOWN.min(shown.len())..) {
            single.extend(looks);
        }
        let quiet = quiet.into_iter().map(|((sees, spells), missed)| Quiet { chance: 1.0 - missed, sees, spells });
        Self { single, quiet: quiet.collect(), shown }
    }

    /// Calls `visit` for every case of which repeated checks show the cause, with the weight of the case and the looks that
    /// then count, each on its own.
    pub(super) fn cases(&self, mut visit: impl FnMut(f64, &[Touch])) {
        for case in 0..1usize << self.shown.len() {
            let mut weight = 1.0;
            let mut looks = self.single.clone();
            for (i, (chance, touches)) in self.shown.iter().enumerate() {
                if case >> i & 1 == 1 {
                    weight *= chance;
                    looks.extend(touches.iter().map(|t| Touch { chance: 1.0, ..*t }));
                } else {
                    weight *= 1.0 - chance;
                }
            }
            visit(weight, &looks);
        }
    }

    /// The spells before `end` in which a cause must have slept for the repeated checks that never showed to be right, each set with its weight.
    pub(super) fn slept(&self, end: usize) -> Vec<(SpellSet, f64)> {
        let before: SpellSet = if end >= MOST_SPELLS { SpellSet::MAX } else { (1 << end) - 1 };
        let mut sets: BTreeMap<SpellSet, f64> = BTreeMap::from([(0, 1.0)]);
        for quiet in &self.quiet {
            let spells = quiet.spells & before;
            if spells == 0 {
                continue;
            }
            let mut next: BTreeMap<SpellSet, f64> = BTreeMap::new();
            for (set, weight) in sets {
                *next.entry(set).or_default() += weight * (1.0 - quiet.chance);
                // A look at what is present never finds it asleep: had it been one that shows, it would have shown.
                if quiet.sees == Sees::Awake {
                    *next.entry(set | spells).or_default() += weight * quiet.chance;
                }
            }
            next.retain(|_, weight| *weight > NOTHING);
            sets = next;
        }
        sets.into_iter().collect()
    }
}
