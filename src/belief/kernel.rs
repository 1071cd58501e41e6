//! One cause on its own: how likely each set of bits it can set is, over all ways it can be present, corrected, asleep or awake.

use std::collections::BTreeMap;

use crate::model::Sees;

use super::bits::BitSet;
use super::findings::Touch;
use super::problem::CauseInput;

/// Checks that were repeated over spells share their misses; past this many such checks for one cause the rest are taken
/// as missing independently, which keeps the sum over their misses below 2^10 terms.
const MOST_SHARED: usize = 10;

/// Ways to set bits kept per cause; the lightest beyond it are left out and counted.
const MOST_ENTRIES: usize = 512;

/// Weights of one way a cause can have gone.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Weights {
    /// All histories, absence included.
    pub(super) total: f64,
    /// Those in which it is present now, after all corrections.
    pub(super) present: f64,
    /// Those in which it is awake now.
    pub(super) awake: f64,
    /// Those in which it was present at first.
    pub(super) ever: f64,
}

impl Weights {
    fn add(&mut self, other: Self) {
        self.total += other.total;
        self.present += other.present;
        self.awake += other.awake;
        self.ever += other.ever;
    }

    fn times(self, by: f64) -> Self {
        Self { total: self.total * by, present: self.present * by, awake: self.awake * by, ever: self.ever * by }
    }
}

/// The distribution of one cause over the bits it sets. Weights include what normal readings take away.
#[derive(Debug, Clone)]
pub(super) struct Kernel<B> {
    /// Bits set, with weights; sorted by bits, so that the empty set comes first.
    pub(super) entries: Vec<(B, Weights)>,
    /// Weight left out for size.
    pub(super) left_out: f64,
}

impl<B: BitSet> Kernel<B> {
    pub(super) fn of(cause: &CauseInput, spells: usize, touches: &[Touch]) -> Self {
        let mut sum = Sum { table: BTreeMap::new(), left_out: 0.0 };
        let absent = Weights { total: 1.0 - cause.prior, ..Weights::default() };
        sum.add(B::empty(), absent);
        if cause.prior > 0.0 {
            let shared = Shared::of(touches);
            let habit_weight = cause.prior / cause.habits.len().max(1) as f64;
            for assignment in 0..1usize << shared.chances.len() {
                let weight = habit_weight * shared.weight(assignment);
                if weight == 0.0 {
                    continue;
                }
                let resolved = shared.resolve(touches, assignment);
                for habit in &cause.habits {
                    histories(habit, spells, &cause.corrections, &resolved, weight, &mut sum);
                }
            }
        }
        let mut kernel = Self { entries: sum.table.into_iter().collect(), left_out: sum.left_out };
        kernel.trim();
        kernel
    }

    /// Sum of all weights.
    pub(super) fn total(&self) -> f64 {
        self.entries.iter().map(|(_, w)| w.total).sum()
    }

    /// Weights with no bit set.
    pub(super) fn idle(&self) -> Weights {
        match self.entries.first() {
            Some((bits, weights)) if bits.is_empty() => *weights,
            _ => Weights::default(),
        }
    }

    fn trim(&mut self) {
        self.entries.retain(|(_, w)| w.total > 0.0);
        if self.entries.len() > MOST_ENTRIES {
            self.entries.sort_by(|a, b| b.1.total.total_cmp(&a.1.total));
            self.left_out += self.entries.drain(MOST_ENTRIES..).map(|(_, w)| w.total).sum::<f64>();
            self.entries.sort_by_key(|e| e.0);
        }
    }
}

struct Sum<B> {
    table: BTreeMap<B, Weights>,
    left_out: f64,
}

impl<B: BitSet> Sum<B> {
    fn add(&mut self, bits: B, weights: Weights) {
        self.table.entry(bits).or_default().add(weights);
    }
}

/// Which spells a repeated check was read in, and what it read there.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Signature {
    quiet: bool,
    at: Vec<(usize, Sees, Option<usize>)>,
}

/// Misses shared between repeats of one check.
struct Shared {
    /// For each touch, the shared miss it depends on.
    of_touch: Vec<Option<usize>>,
    /// Chance that each shows.
    chances: Vec<f64>,
}

impl Shared {
    fn of(touches: &[Touch]) -> Self {
        let mut by_key: BTreeMap<(usize, usize), Vec<usize>> = BTreeMap::new();
        for (at, touch) in touches.iter().enumerate() {
            if touch.chance < 1.0 {
                by_key.entry(touch.key).or_default().push(at);
            }
        }
        // Checks that always read normal in the same spells act as one check with the joint chance of showing.
        let mut groups: BTreeMap<Signature, (f64, Vec<usize>)> = BTreeMap::new();
        for at in by_key.into_values().filter(|at| at.len() > 1) {
            let quiet = at.iter().all(|i| touches[*i].bit.is_none());
            let mut signature: Vec<(usize, Sees, Option<usize>)> =
                at.iter().map(|i| (touches[*i].spell, touches[*i].sees, touches[*i].bit)).collect();
            signature.sort_unstable();
            let group = groups.entry(Signature { quiet, at: signature }).or_insert((0.0, Vec::new()));
            group.0 = 1.0 - (1.0 - group.0) * (1.0 - touches[at[0]].chance);
            group.1.extend(at);
        }
        let mut groups: Vec<(f64, Vec<usize>)> = groups.into_values().collect();
        groups.sort_by_key(|(_, at)| std::cmp::Reverse(at.len()));
        groups.truncate(MOST_SHARED);
        let mut shared = Self { of_touch: vec![None; touches.len()], chances: Vec::new() };
        for (chance, at) in groups {
            at.iter().for_each(|i| shared.of_touch[*i] = Some(shared.chances.len()));
            shared.chances.push(chance);
        }
        shared
    }

    fn weight(&self, assignment: usize) -> f64 {
        self.chances
            .iter()
            .enumerate()
            .map(|(i, chance)| if assignment >> i & 1 == 1 { *chance } else { 1.0 - chance })
            .product()
    }

    fn resolve(&self, touches: &[Touch], assignment: usize) -> Vec<Touch> {
        let resolve = |(touch, shared): (&Touch, &Option<usize>)| match shared {
            Some(i) if assignment >> i & 1 == 0 => None,
            Some(_) => Some(Touch { chance: 1.0, ..*touch }),
            None => Some(*touch),
        };
        touches.iter().zip(&self.of_touch).filter_map(resolve).collect()
    }
}

/// Adds every history of a present cause: cured by one of its corrections or by none.
fn histories<B: BitSet>(
    habit: &[f64],
    spells: usize,
    corrections: &[super::problem::Corrected],
    touches: &[Touch],
    weight: f64,
    sum: &mut Sum<B>,
) {
    let mut surviving = weight;
    for end in corrections {
        let cured = surviving * (1.0 - end.fails);
        history(habit, spells, end.from.min(spells), touches, cured, sum);
        surviving *= end.fails;
    }
    history(habit, spells, usize::MAX, touches, surviving, sum);
}

/// Adds the history of a cause that is present up to, and not including, spell `end`.
fn history<B: BitSet>(habit: &[f64], spells: usize, end: usize, touches: &[Touch], weight: f64, sum: &mut Sum<B>) {
    if weight == 0.0 {
        return;
    }
    let mut table: Vec<(B, Weights)> = vec![(B::empty(), Weights { total: weight, ..Weights::default() })];
    let lasts = end == usize::MAX;
    for spell in 0..spells.min(end) {
        let here = touches.iter().filter(|t| t.spell == spell);
        let mut ignored = 0.0;
        let seen_present: Vec<(B, f64)> = ways(here.clone().filter(|t| t.sees == Sees::Present), &mut ignored);
        let seen_awake: Vec<(B, f64)> = ways(here.filter(|t| t.sees == Sees::Awake), &mut ignored);
        sum.left_out += weight * ignored;
        let awake = habit.get(spell).copied().unwrap_or(1.0);
        let now = lasts && spell + 1 == spells;
        if !now
            && seen_present.len() == 1
            && seen_awake.len() == 1
            && seen_awake[0].0.is_empty()
            && seen_present[0].0.is_empty()
        {
            let by = seen_present[0].1 * (1.0 - awake + awake * seen_awake[0].1);
            table.iter_mut().for_each(|(_, w)| *w = w.times(by));
            continue;
        }
        let mut next: Vec<(B, Weights)> = Vec::with_capacity(table.len() * (1 + seen_awake.len()) * seen_present.len());
        for (bits, weights) in &table {
            for (more, by) in &seen_present {
                let bits = bits.union(*more);
                let here = weights.times(*by);
                next.push((bits, here.times(1.0 - awake)));
                for (still_more, by) in &seen_awake {
                    let mut there = here.times(awake * by);
                    if now {
                        there.awake = there.total;
                    }
                    next.push((bits.union(*still_more), there));
                }
            }
        }
        table = merge(next, &mut sum.left_out);
    }
    for (bits, mut weights) in table {
        weights.ever = weights.total;
        if lasts {
            weights.present = weights.total;
        }
        sum.add(bits, weights);
    }
}

/// The ways in which the touches of one spell can go, with their chances; impossible ones are left out.
fn ways<'a, B: BitSet>(touches: impl Iterator<Item = &'a Touch>, ignored: &mut f64) -> Vec<(B, f64)> {
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
                if found.len() > MOST_ENTRIES {
                    found.sort_by(|a, b| b.1.total_cmp(&a.1));
                    *ignored += found.drain(MOST_ENTRIES..).map(|(_, by)| by).sum::<f64>();
                }
            }
        }
    }
    found
}

fn merge<B: BitSet>(mut next: Vec<(B, Weights)>, left_out: &mut f64) -> Vec<(B, Weights)> {
    next.retain(|(_, w)| w.total > 0.0);
    next.sort_by_key(|e| e.0);
    let mut merged: Vec<(B, Weights)> = Vec::with_capacity(next.len());
    for (bits, weights) in next {
        match merged.last_mut() {
            Some((last, sum)) if *last == bits => sum.add(weights),
            _ => merged.push((bits, weights)),
        }
    }
    if merged.len() > MOST_ENTRIES {
        merged.sort_by(|a, b| b.1.total.total_cmp(&a.1.total));
        *left_out += merged.drain(MOST_ENTRIES..).map(|(_, w)| w.total).sum::<f64>();
    }
    merged
}
