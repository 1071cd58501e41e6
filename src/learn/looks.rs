//! How well checks show causes, and how often they are abnormal for no reason, from answers in jobs whose truth is known.
//!
//! An answer counts only where the truth stands without it: otherwise a check that finds faults would be judged by the faults it found.
//! A check that sees only what is awake counts only where the one fault was awake: where it always is, or where the complaint showed.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::case::{Case, Found};
use crate::model::{Alarm, CauseId, CheckId, Seen, Sees, Shown};
use crate::spread::Spread;

/// Weight of the tree's figure: as many trials.
pub(super) const TRIALS_OF_A_TREE: f64 = 20.0;
/// Trials, each counted by how well its job was confirmed, below which a figure is left as it is.
const LEAST_TRIALS: f64 = 5.0;
/// The least share of the tree's chance that is left.
const FLOOR: f64 = 0.2;
/// A tree's chance is taken to be at least this far from nought and from one, so that experience can move it.
const LEAST_DOUBT: f64 = 0.005;

/// How well an outcome shows a cause.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ShowLesson {
    /// Name of the check.
    pub check: String,
    /// Name of its outcome.
    pub outcome: String,
    /// Name of the cause.
    pub cause: String,
    /// The tree's chance; the interval is that of the prior.
    pub was: Spread,
    /// The chance learnt.
    pub now: Spread,
    /// Times it could have shown it, each counted by how well the job was confirmed.
    pub trials: f64,
    /// Times it did.
    pub shown: f64,
    /// Jobs they are from.
    pub jobs: usize,
}

/// How often an outcome is there with no such fault.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct AlarmLesson {
    /// Name of the check.
    pub check: String,
    /// Name of its outcome.
    pub outcome: String,
    /// The tree's chance; the interval is that of the prior.
    pub was: Spread,
    /// The chance learnt.
    pub now: Spread,
    /// Times it was looked for with no such fault there, each counted by how well the job was confirmed.
    pub trials: f64,
    /// Times it was seen.
    pub alarms: f64,
    /// Jobs they are from.
    pub jobs: usize,
}

/// Trials of one figure.
#[derive(Debug, Clone, Copy, Default)]
struct Count {
    trials: f64,
    hits: f64,
    /// The tree's chance at each trial, summed.
    was: f64,
    jobs: usize,
}

impl Count {
    fn add(&mut self, weight: f64, hit: f64, was: f64) {
        self.trials += weight;
        self.hits += weight * hit;
        self.was += weight * was;
    }

    fn join(&mut self, other: &Self) {
        self.trials += other.trials;
        self.hits += other.hits;
        self.was += other.was;
        self.jobs += 1;
    }

    /// The tree's chance and the chance learnt, where there are trials enough.
    fn learnt(&self) -> Option<(Spread, Spread)> {
        if self.trials < LEAST_TRIALS {
            return None;
        }
        let was = self.was / self.trials;
        let taken = was.clamp(LEAST_DOUBT, 1.0 - LEAST_DOUBT);
        let (hits, misses) = (TRIALS_OF_A_TREE * taken, TRIALS_OF_A_TREE * (1.0 - taken));
        let mut before = Spread::beta(hits, misses);
        before.mean = was;
        let mut now = Spread::beta(hits + self.hits, misses + self.trials - self.hits);
        now.mean = now.mean.max(FLOOR * was);
        now.high = now.high.max(now.mean);
        Some((before, now))
    }
}

/// What one case says of checks.
#[derive(Debug, Clone, Default)]
pub(super) struct Looks {
    shows: BTreeMap<Shown, Count>,
    alarms: BTreeMap<Alarm, Count>,
}

impl Looks {
    pub(super) fn of(case: &Case) -> Self {
        let mut looks = Self::default();
        // A case with a fault that is not told apart from others says nothing sure about any check.
        if case.found.iter().all(Found::is_told_apart) {
            looks.answers(case);
        }
        looks
    }

    fn answers(&mut self, case: &Case) {
        let (model, state) = (case.job.model(), case.job.state());
        let first_mend = case.found.iter().map(|f| f.until).min().unwrap_or(0);
        let mut told: BTreeSet<CheckId> = BTreeSet::new();
        for given in state.given.iter().filter(|g| g.spell < first_mend) {
            let Some(seen) = given.seen() else { continue };
            let check = &model[given.check];
            let showing = state.spells.get(given.spell).and_then(|s| s.showing) == Some(true);
            let awake = |cause: CauseId| {
                check.sees == Sees::Present || !model[cause].waking.can_sleep() || showing && case.found.len() == 1
            };
            let concerned: Vec<&Found> = case.found.iter().filter(|f| check.shows(f.cause) > 0.0).collect();
            // What a check misses once it misses again, so only its first answer about a fault tells anything.
            let of_use = concerned.iter().all(|f| awake(f.cause) && case.stands_without(f, given.check));
            if !of_use || !told.insert(given.check) {
                continue;
            }
            let weight = case.found.iter().map(|f| f.by.weight()).fold(1.0, f64::min);
            for (at, outcome) in check.outcomes.iter().enumerate() {
                let event = &outcome.event;
                let here: Vec<f64> = concerned
                    .iter()
                    .filter_map(|f| event.causes.iter().find(|(c, _)| *c == f.cause).map(|(_, chance)| *chance))
                    .collect();
                let cause = concerned.iter().find(|f| event.causes.iter().any(|(c, _)| *c == f.cause));
                let is_it = seen == Seen::Abnormal(at);
                let alarm = Alarm { check: check.name.clone(), outcome: outcome.name.clone() };
                let gated = case.found.iter().any(|f| event.gates.iter().any(|(g, _)| g.causes().contains(&f.cause)));
                match (here.as_slice(), cause) {
                    _ if gated => {}
                    ([], _) => {
                        self.alarms.entry(alarm).or_default().add(weight, f64::from(u8::from(is_it)), event.leak);
                    }
                    ([chance], Some(found)) => {
                        // A part of what is seen is by the false alarm alone.
                        let by_it = chance / (1.0 - (1.0 - chance) * (1.0 - event.leak));
                        let cause = model[found.cause].name.clone();
                        let shown = Shown { check: alarm.check, outcome: alarm.outcome, cause };
                        self.shows.entry(shown).or_default().add(weight, if is_it { by_it } else { 0.0 }, *chance);
                    }
                    _ => {}
                }
                // What comes after the outcome that was seen was never looked at.
                if is_it {
                    break;
                }
            }
        }
    }
}

/// Lessons from the looks of all cases.
pub(super) fn lessons<'a>(looks: impl Iterator<Item = &'a Looks>) -> (Vec<ShowLesson>, Vec<AlarmLesson>) {
    let mut all = Looks::default();
    for of in looks {
        of.shows.iter().for_each(|(key, count)| all.shows.entry(key.clone()).or_default().join(count));
        of.alarms.iter().for_each(|(key, count)| all.alarms.entry(key.clone()).or_default().join(count));
    }
    let shows = all.shows.into_iter().filter_map(|(Shown { check, outcome, cause }, count)| {
        let (was, now) = count.learnt()?;
        Some(ShowLesson { check, outcome, cause, was, now, trials: count.trials, shown: count.hits, jobs: count.jobs })
    });
    let alarms = all.alarms.into_iter().filter_map(|(Alarm { check, outcome }, count)| {
        let (was, now) = count.learnt()?;
        Some(AlarmLesson { check, outcome, was, now, trials: count.trials, alarms: count.hits, jobs: count.jobs })
    });
    (shows.collect(), alarms.collect())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    /// The example of our notes on methods: Beta(2, 18) and 3 of 20 give Beta(5, 35), of mean 0.125 and standard deviation 0.0516
    /// (worked out apart from this program: sqrt(5 x 35 / (40^2 x 41)) = 0.05164961690883359).
    #[test]
    fn three_in_twenty_over_a_tree_of_one_in_ten() {
        let mut count = Count::default();
        for hit in [1.0, 1.0, 1.0].into_iter().chain([0.0; 17]) {
            count.add(1.0, hit, 0.1);
        }
        let (was, now) = count.learnt().unwrap();
        assert!((was.mean - 0.1).abs() < 1e-12 && (now.mean - 0.125).abs() < 1e-12);
        // The interval of Beta(5, 35) by scipy 1.17.1.
        assert!((now.low - 0.042_968_343).abs() < 1e-8 && (now.high - 0.242_209_727).abs() < 1e-8);
    }

    #[test]
    fn few_trials_teach_nothing_and_no_trials_take_a_chance_below_a_fifth() {
        let mut count = Count::default();
        for _ in 0..4 {
            count.add(1.0, 0.0, 0.9);
        }
        assert!(count.learnt().is_none());
        for _ in 0..4000 {
            count.add(1.0, 0.0, 0.9);
        }
        assert!((count.learnt().unwrap().1.mean - 0.18).abs() < 1e-9);
    }
}
