//! The least expected minutes to a proven cure, by dynamic programming over what can be known.

use std::collections::HashMap;

use super::{MOST_CAUSES, MOST_CHECKS, SmallTree, abnormal, cured_by, worlds};

/// The least expected minutes from the report to the end of the proof run that passes. Each check is made once at most. None for a tree
/// with more than [`MOST_CAUSES`] causes or [`MOST_CHECKS`] checks, or with a cause that nothing cures.
#[must_use]
pub fn optimum(tree: &SmallTree) -> Option<f64> {
    if tree.causes.len() > MOST_CAUSES || tree.checks.len() > MOST_CHECKS {
        return None;
    }
    let every = (1u32 << tree.causes.len()) - 1;
    if tree.corrections.iter().fold(0, |set, c| set | cured_by(c)) != every {
        return None;
    }
    let mut left = vec![0.0; 1 << tree.causes.len()];
    worlds(tree).into_iter().for_each(|(set, p)| left[set as usize] = p);
    let least = [false, true].map(|cowl_off| least_repairs(tree, every, cowl_off));
    let mut search = Search { tree, least, found: HashMap::new() };
    Some(search.value(&Known { left, made: 0, cowl_off: false }, f64::INFINITY))
}

/// All that what is to come depends on.
#[derive(Debug, Clone)]
struct Known {
    /// The probability of each set of causes to be what is left; they add up to 1.
    left: Vec<f64>,
    /// Checks made, bit by bit.
    made: u32,
    cowl_off: bool,
}

impl Known {
    /// Two ways that lead here have the same to come. Probabilities are told apart to a few parts in 10^13.
    fn key(&self) -> (Vec<u64>, u32, bool) {
        let whole = 2f64.powi(41);
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 0 to 2^41")]
        let parts = self.left.iter().map(|p| (p * whole).round() as u64).collect();
        (parts, self.made, self.cowl_off)
    }

    /// The probability of what was seen, and what is left after it.
    fn given(&self, chance: impl Fn(u32) -> f64) -> (f64, Vec<f64>) {
        let after: Vec<f64> =
            (0u32..).zip(&self.left).map(|(set, p)| if *p > 0.0 { p * chance(set) } else { 0.0 }).collect();
        let whole: f64 = after.iter().sum();
        (whole, after.into_iter().map(|p| p / whole.max(f64::MIN_POSITIVE)).collect())
    }

    /// What is left once these causes are cured.
    fn without(&self, cured: u32) -> Vec<f64> {
        let mut left = vec![0.0; self.left.len()];
        (0u32..).zip(&self.left).for_each(|(set, p)| left[(set & !cured) as usize] += p);
        left
    }
}

/// For each set of causes, the least minutes of corrections that cure all of them, the cowling and the proof run included.
fn least_repairs(tree: &SmallTree, every: u32, cowl_off: bool) -> Vec<f64> {
    let choices = 0..1usize << tree.corrections.len();
    let costs: Vec<(u32, f64)> = choices
        .map(|choice| {
            let chosen = || tree.corrections.iter().enumerate().filter(|(at, _)| choice >> at & 1 == 1).map(|(_, c)| c);
            let needs = chosen().any(|c| c.cowl_off);
            let opening = if needs && !cowl_off { tree.cowl.0 } else { 0.0 };
            let closing = if needs || cowl_off { tree.cowl.1 } else { 0.0 };
            let cures = chosen().fold(0, |set, c| set | cured_by(c));
            (cures, opening + closing + tree.proof + chosen().map(|c| c.minutes).sum::<f64>())
        })
        .collect();
    (0..=every)
        .map(|set| costs.iter().filter(|(cures, _)| set & !cures == 0).map(|(_, c)| *c).fold(f64::INFINITY, f64::min))
        .collect()
}

struct Search<'a> {
    tree: &'a SmallTree,
    /// By whether the cowling is off now.
    least: [Vec<f64>; 2],
    /// What was worked out: the value, and whether it is exact or only a floor.
    found: HashMap<(Vec<u64>, u32, bool), (f64, bool)>,
}

/// Below this share of probability an outcome cannot happen.
const NEVER: f64 = 1e-12;

impl Search<'_> {
    /// No course is shorter than that of one who knows what is left.
    fn floor(&self, left: &[f64], cowl_off: bool) -> f64 {
        left.iter().zip(&self.least[usize::from(cowl_off)]).map(|(p, least)| p * least).sum()
    }

    /// Expected minutes to come: exact where they are below `limit`, else some number from `limit` up that they are not below.
    fn value(&mut self, known: &Known, limit: f64) -> f64 {
        let floor = self.floor(&known.left, known.cowl_off);
        if floor >= limit {
            return floor;
        }
        let key = known.key();
        match self.found.get(&key) {
            Some((value, exact)) if *exact || *value >= limit => return *value,
            _ => {}
        }
        let mut best = limit;
        let mut exact = false;
        let mut take = |value: f64, best: &mut f64| {
            if value < *best {
                *best = value;
                exact = true;
            }
        };
        let tree = self.tree;
        let opening = |cowl_off: bool| if cowl_off && !known.cowl_off { tree.cowl.0 } else { 0.0 };
        // Closing up and the proof run: it passes where nothing is left, and tells nothing while something must be.
        let something = 1.0 - known.left[0];
        if known.left[0] > NEVER {
            let cost = tree.proof + if known.cowl_off { tree.cowl.1 } else { 0.0 };
            if something <= NEVER {
                take(cost, &mut best);
            } else if cost < best {
                let (p, left) = known.given(|set| if set == 0 { 0.0 } else { 1.0 });
                let then = Known { left, made: known.made, cowl_off: false };
                take(cost + p * self.value(&then, (best - cost) / p), &mut best);
            }
        }
        for correction in &tree.corrections {
            let cures = cured_by(correction);
            let needed: f64 = (0u32..).zip(&known.left).filter(|(set, _)| set & cures != 0).map(|(_, p)| p).sum();
            let cost = correction.minutes + opening(correction.cowl_off);
            if needed > NEVER && cost < best {
                let cowl_off = known.cowl_off || correction.cowl_off;
                let then = Known { left: known.without(cures), made: known.made, cowl_off };
                take(cost + self.value(&then, best - cost), &mut best);
            }
        }
        for (at, check) in tree.checks.iter().enumerate().filter(|(at, _)| known.made >> at & 1 == 0) {
            let cost = check.minutes + opening(check.cowl_off);
            if cost < best {
                let value = self.look(known, at, cost, best);
                take(value, &mut best);
            }
        }
        self.found.insert(key, (best, exact));
        best
    }

    /// Expected minutes when this check is made next; some number from `limit` up where they are not below it.
    fn look(&mut self, known: &Known, at: usize, cost: f64, limit: f64) -> f64 {
        let check = &self.tree.checks[at];
        let cowl_off = known.cowl_off || check.cowl_off;
        let branches = [false, true].map(|reads| {
            let (p, left) = known.given(|set| {
                let chance = abnormal(check, set);
                if reads { chance } else { 1.0 - chance }
            });
            let floor = if p > NEVER { p * self.floor(&left, cowl_off) } else { 0.0 };
            (p, Known { left, made: known.made | 1 << at, cowl_off }, floor)
        });
        // What reads the same whatever is left is not worth its minutes.
        if branches.iter().any(|(p, ..)| *p <= NEVER) {
            return f64::INFINITY;
        }
        let mut expected = cost + branches.iter().map(|(_, _, floor)| floor).sum::<f64>();
        for (p, then, floor) in &branches {
            if expected >= limit {
                break;
            }
            expected -= floor;
            expected += p * self.value(then, (limit - expected) / p);
        }
        expected
    }
}
