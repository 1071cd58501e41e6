//! One cause on its own: how likely each set of bits it can set is, over all ways it can be present, corrected, asleep or awake.

use std::collections::BTreeMap;

use crate::model::Sees;

use super::bits::BitSet;
use super::cut::{MOST, Worth};
use super::findings::Touch;
use super::habits::{Alike, alike, shared_out};
use super::moments::momentary;
use super::problem::{CauseInput, Comes};
use super::repeats::{Repeats, SpellSet};
use super::ways::{add_up, ways};

/// Ways in which one spell may carry on the ways before it; where they are more, fewer of those before are kept.
const MOST_PRODUCT: usize = 1 << 13;

/// Weights of one way a cause can have gone.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(super) struct Weights {
    /// All histories, absence included.
    pub(super) total: f64,
    /// Those in which it is present now, after all corrections.
    pub(super) present: f64,
    /// Those in which it is awake now.
    pub(super) awake: f64,
    /// Those in which it was present at any time.
    pub(super) ever: f64,
}

impl Weights {
    pub(super) fn add(&mut self, other: Self) {
        self.total += other.total;
        self.present += other.present;
        self.awake += other.awake;
        self.ever += other.ever;
    }

    pub(super) fn times(self, by: f64) -> Self {
        Self { total: self.total * by, present: self.present * by, awake: self.awake * by, ever: self.ever * by }
    }
}

/// The distribution of one cause over the bits it sets. Weights include what normal readings take away.
#[derive(Debug, Clone)]
pub(super) struct Kernel<'a, B> {
    /// Bits set, with weights; the empty set comes first, where there is one.
    pub(super) entries: Vec<(B, Weights)>,
    /// For each entry, the weight of being present by each set of alike habits; empty where there is one set.
    present_by: Vec<Vec<f64>>,
    /// The sets of alike habits.
    alike: Vec<Alike<'a>>,
    /// Number of habits.
    habits: usize,
    /// The share of what it can become that was cut for size, at the most; only a guess where what it can become is one.
    pub(super) lost: f64,
}

impl<'a, B: BitSet> Kernel<'a, B> {
    /// `masks` has for each bit the slots that setting it fills.
    pub(super) fn of(cause: &'a CauseInput, spells: usize, touches: &[Touch], masks: &[B], worth: &Worth<B>) -> Self {
        let alike = alike(cause, spells, touches);
        let mut sum = Sum { table: BTreeMap::new(), lost: 0.0, masks, worth, set: 0, sets: alike.len() };
        // Absent, there from the first, or brought by work later on: then only what was looked at since concerns it.
        there_from(cause, &alike, spells, touches, 0, cause.prior, &mut sum);
        let mut absent = 1.0 - cause.prior;
        for arrival in &cause.arrivals {
            let since: Vec<Touch> = touches.iter().filter(|t| t.spell >= arrival.from).copied().collect();
            there_from(cause, &alike, spells, &since, arrival.from, absent * arrival.chance, &mut sum);
            absent *= 1.0 - arrival.chance;
        }
        sum.add(B::empty(), Weights { total: absent, ..Weights::default() });
        let mut entries: Vec<(B, Entry)> = sum.table.into_iter().filter(|(_, e)| e.weights.total > 0.0).collect();
        let lost = sum.lost + worth.trim(&mut entries, MOST, |e| e.weights.total);
        let (entries, present_by) =
            entries.into_iter().map(|(bits, entry)| ((bits, entry.weights), entry.present_by)).unzip();
        Self { entries, present_by, alike, habits: cause.habits.len(), lost }
    }

    /// The probability of each habit of the cause where it is present, by what each entry gathers over everything else.
    pub(super) fn habits(&self, gathered: &[f64]) -> Vec<f64> {
        if self.alike.len() < 2 {
            return shared_out(&self.alike, &[], self.habits);
        }
        let mut weights = vec![0.0; self.alike.len()];
        for (by_set, by) in self.present_by.iter().zip(gathered) {
            weights.iter_mut().zip(by_set).for_each(|(sum, weight)| *sum += weight * by);
        }
        shared_out(&self.alike, &weights, self.habits)
    }

    /// The same where nothing that it sets is asked for: of the entry without bits alone.
    pub(super) fn idle_habits(&self) -> Vec<f64> {
        self.habits(&[1.0])
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
}

/// Adds every history of a cause that is there from a spell on, with its weight. `touches` are those from that spell on.
fn there_from<B: BitSet>(
    cause: &CauseInput,
    habits: &[Alike<'_>],
    spells: usize,
    touches: &[Touch],
    from: usize,
    weight: f64,
    sum: &mut Sum<'_, B>,
) {
    if weight <= 0.0 {
        return;
    }
    let repeats = Repeats::of(touches);
    let ends = ends(cause, from, spells);
    let (masks, worth) = (sum.masks, sum.worth);
    if habits.iter().any(|habit| matches!(habit.comes, Comes::Spells(_))) {
        let slept: Vec<Vec<(SpellSet, f64)>> = ends.iter().map(|end| repeats.slept(end.spell)).collect();
        repeats.cases(|chance, looks| {
            let mut lost = 0.0;
            let spots: Vec<Spot<B>> = (0..spells)
                .map(|spell| {
                    let mut of = |sees| {
                        let looks = looks.iter().filter(|t| t.spell == spell && t.sees == sees);
                        ways(looks, masks, worth, &mut lost)
                    };
                    Spot { present: of(Sees::Present), awake: of(Sees::Awake) }
                })
                .collect();
            sum.lost += lost;
            for (set, habit) in habits.iter().enumerate() {
                let Comes::Spells(awake) = habit.comes else { continue };
                sum.set = set;
                for (end, slept) in ends.iter().zip(&slept) {
                    let weight = weight * habit.weight * chance * end.chance;
                    if weight > 0.0 {
                        history(awake, &spots, end.spell, slept, weight, sum);
                    }
                }
            }
        });
    }
    for (set, habit) in habits.iter().enumerate() {
        let Comes::Moments(each_minute) = habit.comes else { continue };
        sum.set = set;
        for end in &ends {
            let weight = weight * habit.weight * end.chance;
            if weight <= 0.0 {
                continue;
            }
            let mut lost = 0.0;
            let lasts = end.spell == usize::MAX;
            for (bits, by) in momentary(*each_minute, touches, end.spell, (masks, worth), &mut lost) {
                let total = weight * by;
                let here = if lasts { total } else { 0.0 };
                sum.add(bits, Weights { total, present: here, awake: here, ever: total });
            }
            sum.lost += lost;
        }
    }
}

/// What one set of bits gathers.
#[derive(Default)]
struct Entry {
    weights: Weights,
    /// The weight of being present by each set of alike habits; empty where there is one set.
    present_by: Vec<f64>,
}

struct Sum<'a, B> {
    table: BTreeMap<B, Entry>,
    lost: f64,
    /// For each bit, the slots that setting it fills.
    masks: &'a [B],
    worth: &'a Worth<B>,
    /// The set of alike habits that is being added.
    set: usize,
    /// How many there are.
    sets: usize,
}

impl<B: BitSet> Sum<'_, B> {
    fn add(&mut self, bits: B, weights: Weights) {
        let entry = self.table.entry(bits).or_default();
        entry.weights.add(weights);
        if self.sets > 1 && weights.present > 0.0 {
            entry.present_by.resize(self.sets, 0.0);
            entry.present_by[self.set] += weights.present;
        }
    }
}

/// One way a cause can have ended.
struct End {
    /// The spell from which it is gone; `usize::MAX` where no correction cured it.
    spell: usize,
    /// Chance of that.
    chance: f64,
}

/// How a cause that is there from a spell on can have ended. What was corrected before, or in bringing it, did nothing about it.
fn ends(cause: &CauseInput, begun: usize, spells: usize) -> Vec<End> {
    let mut surviving = 1.0;
    let mut ends = Vec::with_capacity(cause.corrections.len() + 1);
    let after = |correction: &&super::problem::Corrected| begun == 0 || correction.from > begun;
    for correction in cause.corrections.iter().filter(after) {
        let spell = correction.from.min(spells);
        ends.push(End { spell, chance: surviving * (1.0 - correction.fails) });
        surviving *= correction.fails;
    }
    ends.push(End { spell: usize::MAX, chance: surviving });
    ends
}

/// One spell as one cause sees it: the ways its looks can go while the cause is there, and while it is awake.
struct Spot<B> {
    present: Vec<(B, f64)>,
    awake: Vec<(B, f64)>,
}

impl<B: BitSet> Spot<B> {
    /// Whether no bit can be set in it, so that it only scales.
    fn is_plain(&self) -> bool {
        let plain = |ways: &[(B, f64)]| matches!(ways, [(bits, _)] if bits.is_empty());
        plain(&self.present) && plain(&self.awake)
    }

    /// What it scales by.
    fn scale(&self, awake: f64, slept: bool) -> f64 {
        let seen_awake = if slept { 0.0 } else { self.awake[0].1 };
        self.present[0].1 * (1.0 - awake + awake * seen_awake)
    }
}

/// Adds the history of a cause that is there up to, and not including, spell `end`.
fn history<B: BitSet>(
    habit: &[f64],
    spots: &[Spot<B>],
    end: usize,
    slept: &[(SpellSet, f64)],
    weight: f64,
    sum: &mut Sum<'_, B>,
) {
    let lasts = end == usize::MAX;
    let now = spots.len().saturating_sub(1);
    let there = spots.len().min(end);
    let awake = |spell: usize| habit.get(spell).copied().unwrap_or(1.0);
    let has = |set: SpellSet, spell: usize| spell < 128 && set >> spell & 1 == 1;
    // Spells that only scale are multiplied out first; sets that differ in nothing else are then one.
    let special: Vec<usize> = (0..there).filter(|s| !spots[*s].is_plain() || lasts && *s == now).collect();
    let special_set = special.iter().filter(|s| **s < 128).fold(0, |set: SpellSet, s| set | 1 << s);
    let plain: Vec<usize> = (0..there).filter(|s| !special.contains(s)).collect();
    let awoken: f64 = plain.iter().map(|s| spots[*s].scale(awake(*s), false)).product();
    // What sleeping through a spell makes of that; where it is nothing, nothing can be made of it, and all is multiplied out anew.
    let ratios: Vec<(usize, f64)> = plain
        .iter()
        .filter(|s| **s < 128)
        .map(|s| (*s, spots[*s].scale(awake(*s), true) / spots[*s].scale(awake(*s), false)))
        .collect();
    let divides = awoken > 0.0 && ratios.iter().all(|(_, ratio)| ratio.is_finite());
    let mut grouped: BTreeMap<SpellSet, f64> = BTreeMap::new();
    for (set, chance) in slept {
        let scale: f64 = if divides {
            ratios.iter().filter(|(s, _)| set >> s & 1 == 1).fold(awoken, |scale, (_, ratio)| scale * ratio)
        } else {
            plain.iter().map(|s| spots[*s].scale(awake(*s), has(*set, *s))).product()
        };
        *grouped.entry(set & special_set).or_default() += weight * chance * scale;
    }
    grouped.retain(|_, weight| *weight > 0.0);
    for (set, weight) in grouped {
        let mut table: Vec<(B, Weights)> = vec![(B::empty(), Weights { total: weight, ..Weights::default() })];
        for spell in &special {
            let spot = &spots[*spell];
            let awake = awake(*spell);
            let ways = (spot.present.len() * (1 + spot.awake.len())).max(1);
            sum.lost += sum.worth.trim(&mut table, (MOST_PRODUCT / ways).max(64), |w| w.total);
            let mut next: Vec<(B, Weights)> = Vec::with_capacity(table.len() * (1 + spot.awake.len()));
            for (bits, weights) in &table {
                for (more, by) in &spot.present {
                    let bits = bits.union(*more);
                    let here = weights.times(*by);
                    next.push((bits, here.times(1.0 - awake)));
                    if has(set, *spell) {
                        continue;
                    }
                    for (still_more, by) in &spot.awake {
                        let mut there = here.times(awake * by);
                        if lasts && *spell == now {
                            there.awake = there.total;
                        }
                        next.push((bits.union(*still_more), there));
                    }
                }
            }
            table = merge(next, sum);
        }
        for (bits, mut weights) in table {
            weights.ever = weights.total;
            if lasts {
                weights.present = weights.total;
            }
            sum.add(bits, weights);
        }
    }
}

fn merge<B: BitSet>(mut next: Vec<(B, Weights)>, into: &mut Sum<'_, B>) -> Vec<(B, Weights)> {
    next.retain(|(_, w)| w.total > 0.0);
    next.sort_by_key(|e| e.0);
    add_up(&mut next, Weights::add);
    into.lost += into.worth.trim(&mut next, MOST, |w| w.total);
    next
}
