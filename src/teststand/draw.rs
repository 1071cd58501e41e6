//! Drawing the faults of an engine from its tree, the commoner the likelier.

use std::collections::BTreeMap;

use rand::{Rng, RngExt};

use crate::belief::{Exposure, prior};
use crate::model::{CauseId, ComplaintId, Conditions, Formula, Model, ORDINARY_WINDOW_HOURS};

/// How a complaint can come about: by one cause alone, or by the members of a gate together.
#[derive(Debug, Clone)]
pub struct Ways<'m> {
    /// How likely each cause is to be there and to bring the report alone.
    alone: Vec<(CauseId, f64)>,
    /// The gates, each with the chance that they bring it and how likely it is that enough of their members are there.
    gates: Vec<(&'m Formula, f64)>,
    /// How likely each cause is to be there awake at the report, and not where the report says it did not show.
    awake: BTreeMap<CauseId, f64>,
    /// How likely each cause is to be there at all, asleep or awake.
    there: Vec<(CauseId, f64)>,
}

impl<'m> Ways<'m> {
    /// The ways of a complaint that is reported under these conditions. The cause that stands for everything the tree does not list
    /// is left out: it has no part to mend, so a job about it has no proven cure to time.
    #[must_use]
    pub fn of(model: &'m Model, complaint: ComplaintId, reported: &Conditions) -> Self {
        let exposure = Exposure { window_hours: ORDINARY_WINDOW_HOURS, age: None, disturbed: false };
        let event = &model[complaint].event;
        let quiet = model[complaint].quiet.as_ref().filter(|quiet| *quiet != reported);
        let mut there: Vec<(CauseId, f64)> = event
            .causes
            .iter()
            .map(|(cause, _)| *cause)
            .chain(event.gates.iter().flat_map(|(formula, _)| formula.causes()))
            .filter(|cause| !model.is_unlisted(*cause))
            .map(|cause| (cause, prior(&model[cause], &exposure)))
            .filter(|(_, weight)| *weight > 0.0)
            .collect();
        there.sort_by_key(|(cause, _)| *cause);
        there.dedup_by_key(|(cause, _)| *cause);
        let awake: BTreeMap<CauseId, f64> = there
            .iter()
            .map(|(cause, prior)| {
                let shows = model[*cause].waking.triggers().iter().map(|(trigger, weight)| {
                    let asleep = quiet.map_or(1.0, |quiet| 1.0 - trigger.awake(&quiet.0));
                    weight * trigger.awake(&reported.0) * asleep
                });
                (*cause, prior * shows.sum::<f64>())
            })
            .collect();
        let weight = |cause: CauseId| awake.get(&cause).copied().unwrap_or(0.0);
        let mut alone: BTreeMap<CauseId, f64> = BTreeMap::new();
        for (cause, chance) in &event.causes {
            *alone.entry(*cause).or_default() += chance * weight(*cause);
        }
        for (formula, chance) in &event.gates {
            // A cause that stands behind several members of a gate can hold it by itself.
            for cause in formula.causes().into_iter().filter(|c| formula.holds(&|other| other == *c)) {
                *alone.entry(cause).or_default() += chance * weight(cause);
            }
        }
        let gates =
            event.gates.iter().map(|(formula, chance)| (formula, chance * together(formula, &weight))).collect();
        Self { alone: alone.into_iter().filter(|(_, w)| *w > 0.0).collect(), gates, awake, there }
    }

    /// How likely the report is, in the ordinary window of hours, as far as more than one fault at once is left out of account.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.alone.iter().map(|(_, w)| w).chain(self.gates.iter().map(|(_, w)| w)).sum()
    }

    /// Draws `count` different causes that can bring the complaint together: first one way it comes about, then further causes that
    /// could bring it too, asleep or awake. A gate can need more than `count`. None where nothing, or not enough, can bring it.
    #[must_use]
    pub fn draw(&self, count: usize, rng: &mut impl Rng) -> Option<Vec<CauseId>> {
        let way = pick(self.alone.iter().map(|(_, w)| *w).chain(self.gates.iter().map(|(_, w)| *w)), rng)?;
        let mut drawn = Vec::new();
        if let Some((cause, _)) = self.alone.get(way) {
            drawn.push(*cause);
        } else {
            let (formula, _) = self.gates.get(way - self.alone.len())?;
            draw_together(formula, &|cause| self.awake.get(&cause).copied().unwrap_or(0.0), rng, &mut drawn)?;
        }
        drawn.sort_unstable();
        drawn.dedup();
        while drawn.len() < count {
            let others: Vec<&(CauseId, f64)> = self.there.iter().filter(|(c, _)| !drawn.contains(c)).collect();
            let at = pick(others.iter().map(|(_, w)| *w), rng)?;
            drawn.push(others[at].0);
        }
        drawn.sort_unstable();
        Some(drawn)
    }
}

/// Picks an index, the heavier the likelier. None where all weigh nothing.
pub(super) fn pick(weights: impl Iterator<Item = f64>, rng: &mut impl Rng) -> Option<usize> {
    pick_at(&weights.collect::<Vec<_>>(), rng.random())
}

/// The index whose share of all weights holds a place from 0 to below 1. None where all weigh nothing.
pub(super) fn pick_at(weights: &[f64], place: f64) -> Option<usize> {
    let mut at = place * weights.iter().sum::<f64>();
    let found = weights.iter().position(|weight| {
        at -= weight;
        at < 0.0
    });
    // Rounding can run past the end.
    found.or_else(|| weights.iter().rposition(|w| *w > 0.0))
}

/// How likely it is that a formula holds by the fewest causes that can hold it, all of them rare.
fn together(formula: &Formula, weight: &impl Fn(CauseId) -> f64) -> f64 {
    match formula {
        Formula::Any(causes) => causes.iter().map(|c| weight(*c)).sum(),
        Formula::AtLeast { count, of } => {
            let parts: Vec<f64> = of.iter().map(|part| together(part, weight)).collect();
            choices(&parts)[parts.len()].get(*count).copied().unwrap_or(0.0)
        }
    }
}

/// For each number of first parts, and each number chosen of them, the sum over the choices of the product of their weights.
fn choices(parts: &[f64]) -> Vec<Vec<f64>> {
    let mut table = vec![vec![0.0; parts.len() + 1]; parts.len() + 1];
    table[0][0] = 1.0;
    for (i, part) in parts.iter().enumerate() {
        for chosen in 0..=i + 1 {
            let with = if chosen == 0 { 0.0 } else { part * table[i][chosen - 1] };
            table[i + 1][chosen] = table[i][chosen] + with;
        }
    }
    table
}

/// Draws the fewest causes that hold a formula.
fn draw_together(
    formula: &Formula,
    weight: &impl Fn(CauseId) -> f64,
    rng: &mut impl Rng,
    into: &mut Vec<CauseId>,
) -> Option<()> {
    match formula {
        Formula::Any(causes) => into.push(causes[pick(causes.iter().map(|c| weight(*c)), rng)?]),
        Formula::AtLeast { count, of } => {
            let parts: Vec<f64> = of.iter().map(|part| together(part, weight)).collect();
            let table = choices(&parts);
            let mut wanted = *count;
            for i in (0..parts.len()).rev() {
                if wanted == 0 {
                    break;
                }
                let with = parts[i] * table[i][wanted - 1];
                if pick([with, table[i][wanted]].into_iter(), rng)? == 0 {
                    draw_together(&of[i], weight, rng, into)?;
                    wanted -= 1;
                }
            }
        }
    }
    Some(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use rand::SeedableRng;
    use rand_chacha::ChaCha8Rng;

    use super::*;

    #[test]
    fn what_is_drawn_for_a_gate_holds_it() {
        let any = |ids: &[usize]| Formula::Any(ids.iter().map(|i| CauseId(*i)).collect());
        let formula = Formula::AtLeast { count: 2, of: vec![any(&[0, 1]), any(&[2]), any(&[3, 4])] };
        let weight = |cause: CauseId| [0.1, 0.3, 0.05, 0.2, 0.01][cause.0];
        // 0.4 x 0.05 + 0.4 x 0.21 + 0.05 x 0.21
        assert!((together(&formula, &weight) - 0.1145).abs() < 1e-12);
        let mut rng = ChaCha8Rng::seed_from_u64(1);
        let mut without_the_middle = 0;
        for _ in 0..4000 {
            let mut drawn = Vec::new();
            draw_together(&formula, &weight, &mut rng, &mut drawn).unwrap();
            assert_eq!(drawn.len(), 2);
            assert!(formula.holds(&|c| drawn.contains(&c)));
            without_the_middle += usize::from(!drawn.contains(&CauseId(2)));
        }
        let share = f64::from(u32::try_from(without_the_middle).unwrap()) / 4000.0;
        assert!((share - 0.084 / 0.1145).abs() < 0.03, "{share}");
    }
}
