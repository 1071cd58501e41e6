//! What a check would show, and what it would leave: probabilities of its outcomes and the information they bring.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::model::{CauseId, Seen, Sees};

use super::advice::Forecast;
use super::entropy::entropy;
use super::hypotheses::Hypotheses;
use super::look::Look;
use super::waking::Waking;

/// When the look is made.
#[derive(Clone)]
pub(super) enum Moment {
    /// In the spell it is now, in which what is awake is met with these chances.
    Now(Rc<Waking>),
    /// In a new spell, in which each cause is met with these chances.
    New(Rc<Waking>),
    /// With all that is there awake, and met.
    AllAwake,
}

/// What a look would bring.
pub(super) struct Prospect {
    /// Probability of each abnormal outcome in order, then of normal.
    pub(super) outcomes: Vec<f64>,
    /// Expected information about the remedy, in nats.
    pub(super) nats: f64,
    /// The hypotheses that the look concerns, sorted.
    concerned: Vec<usize>,
    /// Their likelihoods of each outcome, one row a hypothesis.
    likelihoods: Vec<f64>,
    /// Likelihood of each outcome for all the others.
    otherwise: Vec<f64>,
}

impl Prospect {
    pub(super) fn of(hypotheses: &Hypotheses, look: &Look<'_>, moment: &Moment) -> Self {
        let mut otherwise = Vec::new();
        look.chances(&[], &mut otherwise);
        let mut concerned: Vec<usize> =
            look.concerns.iter().flat_map(|cause| hypotheses.holding(*cause)).copied().collect();
        concerned.sort_unstable();
        concerned.dedup();
        let mut likelihoods = Vec::with_capacity(concerned.len() * look.outcomes());
        let mut there = Vec::new();
        let looked = match moment {
            Moment::Now(waking) | Moment::New(waking) => Some(waking.looked(look.minutes)),
            Moment::AllAwake => None,
        };
        for at in &concerned {
            there.clear();
            there.extend(hypotheses.all[*at].members.iter().map(|(cause, awake)| {
                let chance = match &looked {
                    Some(looked) if look.sees == Sees::Awake => match moment {
                        Moment::Now(_) if !awake => 0.0,
                        _ => looked.finds(*cause),
                    },
                    _ => 1.0,
                };
                (*cause, chance)
            }));
            look.chances(&there, &mut likelihoods);
        }
        let mut outcomes = otherwise.clone();
        for (at, row) in concerned.iter().zip(likelihoods.chunks_exact(look.outcomes())) {
            for ((outcome, chance), other) in outcomes.iter_mut().zip(row).zip(&otherwise) {
                *outcome += hypotheses.all[*at].weight * (chance - other);
            }
        }
        outcomes.iter_mut().for_each(|o| *o = o.max(0.0));
        let mut prospect = Self { outcomes, nats: 0.0, concerned, likelihoods, otherwise };
        prospect.nats = prospect.information(hypotheses);
        prospect
    }

    /// Likelihood of an outcome for a hypothesis.
    fn likelihood(&self, hypothesis: usize, outcome: usize) -> f64 {
        match self.concerned.binary_search(&hypothesis) {
            Ok(row) => self.likelihoods[row * self.otherwise.len() + outcome],
            Err(_) => self.otherwise[outcome],
        }
    }

    /// Mutual information between the remedy and the outcome.
    fn information(&self, hypotheses: &Hypotheses) -> f64 {
        // Only remedies of concerned hypotheses move by anything but a common factor.
        let mut moved: Vec<usize> = self.concerned.iter().map(|at| hypotheses.all[*at].remedy).collect();
        moved.sort_unstable();
        moved.dedup();
        let place = |at: &usize| moved.binary_search(&hypotheses.all[*at].remedy).unwrap_or(0);
        let places: Vec<usize> = self.concerned.iter().map(place).collect();
        let mut concerned_weight = vec![0.0; moved.len()];
        for (at, place) in self.concerned.iter().zip(&places) {
            concerned_weight[*place] += hypotheses.all[*at].weight;
        }
        let weight = |r: &usize| hypotheses.remedy_weight[*r];
        let still_entropy = hypotheses.remedy_entropy - entropy(&moved.iter().map(weight).collect::<Vec<_>>());
        let still = 1.0 - moved.iter().map(weight).sum::<f64>();
        let n = self.otherwise.len();
        let mut expected = 0.0;
        let mut joint = vec![0.0; moved.len()];
        for (o, p) in self.outcomes.iter().enumerate().filter(|(_, p)| **p > 0.0) {
            let q = self.otherwise[o];
            for ((joint, remedy), concerned) in joint.iter_mut().zip(&moved).zip(&concerned_weight) {
                *joint = (weight(remedy) - concerned).max(0.0) * q;
            }
            for (row, (at, place)) in self.concerned.iter().zip(&places).enumerate() {
                joint[*place] += hypotheses.all[*at].weight * self.likelihoods[row * n + o];
            }
            // Entropy of the remedies given the outcome, times its probability.
            let rest = if q > 0.0 { q * still_entropy - still.max(0.0) * q * q.ln() } else { 0.0 };
            expected += entropy(&joint) + rest + p * p.ln();
        }
        (hypotheses.remedy_entropy - expected).max(0.0)
    }

    /// The belief after an outcome, with all that is left awake.
    pub(super) fn given(&self, hypotheses: &Hypotheses, outcome: usize) -> Hypotheses {
        let mut after = hypotheses.clone();
        let whole = self.outcomes[outcome];
        for (at, h) in after.all.iter_mut().enumerate() {
            let chance = self.likelihood(at, outcome);
            h.weight = if whole > 0.0 { h.weight * chance / whole } else { 0.0 };
            h.members.iter_mut().for_each(|(_, awake)| *awake = true);
        }
        after.remedy_weight.fill(0.0);
        for h in &after.all {
            after.remedy_weight[h.remedy] += h.weight;
        }
        after.remedy_entropy = entropy(&after.remedy_weight);
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
            let chance = self.likelihood(at, outcome);
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
