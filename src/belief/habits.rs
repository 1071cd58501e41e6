//! The habits of one cause, those taken together that everything looked at so far cannot tell apart.

use crate::model::Sees;

use super::findings::Touch;
use super::problem::{CauseInput, Comes};

/// Habits that are one as far as anything was looked at.
#[derive(Debug, Clone)]
pub(super) struct Alike<'a> {
    /// How likely it is one of them.
    pub(super) weight: f64,
    /// How they all come and go.
    pub(super) comes: &'a Comes,
    /// Which they are, each with its share of the weight.
    members: Vec<(usize, f64)>,
}

/// The habits of a cause by what can tell them apart: the chance of being awake in each spell with a look that depends on it, and in the
/// spell it is now.
pub(super) fn alike<'a>(cause: &'a CauseInput, spells: usize, touches: &[Touch]) -> Vec<Alike<'a>> {
    let depends = |touch: &&Touch| touch.sees == Sees::Awake;
    let mut told: Vec<usize> = touches.iter().filter(depends).map(|t| t.spell).chain(spells.checked_sub(1)).collect();
    told.sort_unstable();
    told.dedup();
    let endless = touches.iter().filter(depends).all(|t| t.minutes.is_infinite());
    let signature = |comes: &Comes| match comes {
        Comes::Spells(awake) => {
            let at = |spell: &usize| awake.get(*spell).copied().unwrap_or(1.0).to_bits();
            (0, told.iter().map(at).collect())
        }
        // Looks without end meet every moment, so that it is awake whenever it was looked at.
        Comes::Moments(each) if endless || *each >= 1.0 => (0, vec![1.0_f64.to_bits(); told.len()]),
        Comes::Moments(each) => (1, vec![each.to_bits()]),
    };
    let mut found: Vec<((u8, Vec<u64>), Alike<'a>)> = Vec::new();
    for (at, habit) in cause.habits.iter().enumerate().filter(|(_, habit)| habit.weight > 0.0) {
        let key = signature(&habit.comes);
        if let Some((_, same)) = found.iter_mut().find(|(known, _)| *known == key) {
            same.weight += habit.weight;
            same.members.push((at, habit.weight));
        } else {
            let members = vec![(at, habit.weight)];
            found.push((key, Alike { weight: habit.weight, comes: &habit.comes, members }));
        }
    }
    found.into_iter().map(|(_, alike)| alike).collect()
}

/// The probability of each of `habits` habits, from the weight that each set of alike ones has; as before anything was seen where no set
/// has any.
pub(super) fn shared_out(alike: &[Alike<'_>], weights: &[f64], habits: usize) -> Vec<f64> {
    let whole: f64 = weights.iter().sum();
    let mut shares = vec![0.0; habits];
    for (at, set) in alike.iter().enumerate() {
        let weight = if whole > 0.0 { weights.get(at).copied().unwrap_or(0.0) / whole } else { set.weight };
        for (habit, own) in &set.members {
            shares[*habit] = weight * own / set.weight;
        }
    }
    shares
}
