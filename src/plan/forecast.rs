//! What a check would show, and what it would leave: probabilities of its outcomes and the information they bring.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::model::{CauseId, Event, Model, Seen, Sees};

use super::advice::Forecast;
use super::hypotheses::Hypotheses;
use super::value::entropy;

/// Something to look at: the events of a check or of the complaint.
pub(super) struct Look<'a> {
    pub(super) sees: Sees,
    pub(super) events: Vec<&'a Event>,
    /// How much of its chance to show each cause an earlier miss has left: 1 where it was not made before.
    pub(super) fresh: f64,
}

/// When the look is made.
#[derive(Clone)]
pub(super) enum Moment {
    /// In the spell it is now.
    Now,
    /// In a new spell, in which each cause is awake with the chance given.
    New(Rc<[f64]>),
}

/// What a look would bring.
pub(super) struct Prospect {
    /// Probability of each abnormal outcome in order, then of normal.
    pub(super) outcomes: Vec<f64>,
    /// Expected information about the remedy, in nats.
    pub(super) nats: f64,
    /// For each hypothesis that the look concerns, its likelihood of each outcome.
    concerned: BTreeMap<usize, Vec<f64>>,
    /// Likelihood of each outcome for all the others.
    otherwise: Vec<f64>,
}

impl Prospect {
    pub(super) fn of(hypotheses: &Hypotheses, look: &Look<'_>, moment: &Moment) -> Self {
        let otherwise = outcome_chances(look, &|_| 0.0);
        let mut concerned: BTreeMap<usize, Vec<f64>> = BTreeMap::new();
        for cause in look.events.iter().flat_map(|e| causes(e)) {
            for at in hypotheses.with.get(&cause).into_iter().flatten() {
                concerned.entry(*at).or_insert_with(|| {
                    let hypothesis = &hypotheses.all[*at];
                    outcome_chances(look, &|cause| {
                        hypothesis.members.iter().find(|(c, _)| *c == cause).map_or(0.0, |(_, awake)| {
                            match (look.sees, moment) {
                                (Sees::Present, _) => 1.0,
                                (Sees::Awake, Moment::Now) => f64::from(u8::from(*awake)),
                                (Sees::Awake, Moment::New(chances)) => chances[cause.0],
                            }
                        })
                    })
                });
            }
        }
        let outcomes = (0..otherwise.len())
            .map(|o| {
                let shift: f64 = concerned
                    .iter()
                    .map(|(at, chances)| hypotheses.all[*at].weight * (chances[o] - otherwise[o]))
                    .sum();
                (otherwise[o] + shift).max(0.0)
            })
            .collect();
        let mut prospect = Self { outcomes, nats: 0.0, concerned, otherwise };
        prospect.nats = prospect.information(hypotheses);
        prospect
    }

    /// Mutual information between the remedy and the outcome.
    fn information(&self, hypotheses: &Hypotheses) -> f64 {
        // Only remedies of concerned hypotheses move by anything but a common factor.
        let mut moved: BTreeMap<usize, f64> = BTreeMap::new();
        for at in self.concerned.keys() {
            let h = &hypotheses.all[*at];
            *moved.entry(h.remedy).or_default() += h.weight;
        }
        let all: f64 = hypotheses.remedy_weight.iter().sum();
        let still_entropy: f64 = hypotheses
            .remedy_weight
            .iter()
            .enumerate()
            .filter(|(r, w)| **w > 0.0 && !moved.contains_key(r))
            .map(|(_, w)| -w * w.ln())
            .sum();
        let still: f64 = all - moved.keys().map(|r| hypotheses.remedy_weight[*r]).sum::<f64>();
        let mut expected = 0.0;
        for (o, p) in self.outcomes.iter().enumerate().filter(|(_, p)| **p > 0.0) {
            let mut joint: BTreeMap<usize, f64> = moved
                .iter()
                .map(|(r, concerned)| (*r, (hypotheses.remedy_weight[*r] - concerned).max(0.0) * self.otherwise[o]))
                .collect();
            for (at, chances) in &self.concerned {
                let h = &hypotheses.all[*at];
                *joint.entry(h.remedy).or_default() += h.weight * chances[o];
            }
            // Entropy of the remedies given the outcome, times its probability.
            let spread: f64 = joint.values().filter(|w| **w > 0.0).map(|w| -w * w.ln()).sum();
            let q = self.otherwise[o];
            let rest = if q > 0.0 { q * still_entropy - still * q * q.ln() } else { 0.0 };
            expected += spread + rest + p * p.ln();
        }
        (entropy(&hypotheses.remedy_weight) - expected).max(0.0)
    }

    /// The belief after an outcome, with all that is left awake.
    pub(super) fn given(&self, hypotheses: &Hypotheses, outcome: usize) -> Hypotheses {
        let mut after = hypotheses.clone();
        let whole = self.outcomes[outcome];
        for (at, h) in after.all.iter_mut().enumerate() {
            let chance = self.concerned.get(&at).map_or(self.otherwise[outcome], |c| c[outcome]);
            h.weight = if whole > 0.0 { h.weight * chance / whole } else { 0.0 };
            h.members.iter_mut().for_each(|(_, awake)| *awake = true);
        }
        after.remedy_weight.fill(0.0);
        for h in &after.all {
            after.remedy_weight[h.remedy] += h.weight;
        }
        after
    }

    /// What each outcome would mean, the likeliest first.
    pub(super) fn forecasts(&self, hypotheses: &Hypotheses, most: usize) -> Vec<Forecast> {
        let last = self.outcomes.len() - 1;
        let mut found: Vec<Forecast> = self
            .outcomes
            .iter()
            .enumerate()
            .map(|(o, probability)| Forecast {
                seen: if o == last { Seen::Normal } else { Seen::Abnormal(o) },
                probability: *probability,
                then: self.causes_after(hypotheses, o, most),
            })
            .collect();
        found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        found
    }

    fn causes_after(&self, hypotheses: &Hypotheses, outcome: usize, most: usize) -> Vec<(CauseId, f64)> {
        let mut sums: BTreeMap<CauseId, f64> = BTreeMap::new();
        let mut whole = 0.0;
        for (at, h) in hypotheses.all.iter().enumerate() {
            let chance = self.concerned.get(&at).map_or(self.otherwise[outcome], |c| c[outcome]);
            let weight = h.weight * chance;
            whole += weight;
            h.members.iter().for_each(|(c, _)| *sums.entry(*c).or_default() += weight);
        }
        if whole <= 0.0 {
            return Vec::new();
        }
        let mut ranked: Vec<(CauseId, f64)> = sums.into_iter().map(|(c, w)| (c, w / whole)).collect();
        ranked.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
        ranked.truncate(most);
        ranked
    }
}

/// Every cause an event can concern.
fn causes(event: &Event) -> impl Iterator<Item = CauseId> + '_ {
    let direct = event.causes.iter().map(|(c, _)| *c);
    direct.chain(event.gates.iter().flat_map(|(formula, _)| formula.causes()))
}

/// Probability of each outcome when each cause is there to be seen with the chance given.
fn outcome_chances(look: &Look<'_>, there: &impl Fn(CauseId) -> f64) -> Vec<f64> {
    let mut none_yet = 1.0;
    let mut chances = Vec::with_capacity(look.events.len() + 1);
    for event in &look.events {
        let mut quiet = 1.0 - event.leak;
        for (cause, chance) in &event.causes {
            let there = there(*cause);
            if there > 0.0 {
                quiet *= 1.0 - chance * there * look.fresh;
            }
        }
        for (formula, chance) in &event.gates {
            if formula.holds(&|c| there(c) > 0.5) {
                quiet *= 1.0 - chance * look.fresh;
            }
        }
        chances.push(none_yet * (1.0 - quiet));
        none_yet *= quiet;
    }
    chances.push(none_yet);
    chances
}

/// The chance of each cause to be awake in a new spell under these conditions.
pub(super) fn waking(model: &Model, levels: &[usize]) -> Vec<f64> {
    model
        .causes
        .iter()
        .map(|cause| {
            let bases = cause.waking.bases();
            bases.iter().map(|b| cause.waking.awake(*b, levels)).sum::<f64>() / bases.len() as f64
        })
        .collect()
}
