//! The leading explanations as planning sees them: which causes are still there, awake or asleep, and which correction each asks for.

use std::collections::BTreeMap;

use crate::belief::Now;
use crate::model::{CauseId, CorrectionId, Model};

use super::entropy::entropy;
use super::situation::Situation;

/// Causes that are there together, with the weight of that.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Hypothesis {
    /// What is still there, and whether it is awake now.
    pub(super) members: Vec<(CauseId, bool)>,
    /// Probability.
    pub(super) weight: f64,
    /// Which remedy it asks for: an index into the remedies.
    pub(super) remedy: usize,
}

/// What a hypothesis asks for: the corrections that cure all its members. Empty: nothing is left.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Remedy(pub(super) Vec<Option<CorrectionId>>);

/// The belief, cut to what planning needs. Weights add up to 1.
#[derive(Debug, Clone)]
pub(super) struct Hypotheses {
    pub(super) all: Vec<Hypothesis>,
    pub(super) remedies: Vec<Remedy>,
    /// For each cause, the hypotheses that hold it.
    with: Vec<Vec<usize>>,
    /// For each remedy, its probability.
    pub(super) remedy_weight: Vec<f64>,
    /// The share of probability that was listed at all.
    listed: f64,
    /// Doubt about the remedy, in nats.
    pub(super) remedy_entropy: f64,
}

impl Hypotheses {
    pub(super) fn of(situation: &Situation<'_>) -> Self {
        let mut sums: BTreeMap<Vec<(CauseId, bool)>, f64> = BTreeMap::new();
        let mut whole = 0.0;
        for explanation in &situation.posterior.explanations {
            for (standing, probability) in &explanation.now {
                let members: Vec<(CauseId, bool)> = explanation
                    .causes
                    .iter()
                    .zip(standing)
                    .filter(|(_, now)| **now != Now::Gone)
                    .map(|(cause, now)| (CauseId(*cause), *now == Now::Awake))
                    .collect();
                *sums.entry(members).or_default() += probability;
                whole += probability;
            }
        }
        let cure = cheapest_cures(situation.model);
        let mut remedies: Vec<Remedy> = Vec::new();
        let mut remedy_weight: Vec<f64> = Vec::new();
        let mut index: BTreeMap<Remedy, usize> = BTreeMap::new();
        let mut with: Vec<Vec<usize>> = vec![Vec::new(); situation.model.causes.len()];
        let mut all = Vec::with_capacity(sums.len());
        for (members, weight) in sums {
            let weight = if whole > 0.0 { weight / whole } else { 0.0 };
            let mut asked: Vec<Option<CorrectionId>> = members.iter().map(|(c, _)| cure[c.0]).collect();
            asked.sort_unstable();
            asked.dedup();
            let asked = Remedy(asked);
            let remedy = *index.entry(asked.clone()).or_insert_with(|| {
                remedies.push(asked);
                remedy_weight.push(0.0);
                remedies.len() - 1
            });
            remedy_weight[remedy] += weight;
            members.iter().for_each(|(c, _)| with[c.0].push(all.len()));
            all.push(Hypothesis { members, weight, remedy });
        }
        let remedy_entropy = entropy(&remedy_weight);
        Self { all, remedies, with, remedy_weight, listed: whole.min(1.0), remedy_entropy }
    }

    /// The hypotheses that hold a cause.
    pub(super) fn holding(&self, cause: CauseId) -> &[usize] {
        self.with.get(cause.0).map_or(&[], Vec::as_slice)
    }

    /// Probability that anything is left. What was not listed counts as left, so that a cut list never ends a job.
    pub(super) fn something_left(&self) -> f64 {
        let nothing: f64 = self.all.iter().filter(|h| h.members.is_empty()).map(|h| h.weight).sum();
        1.0 - nothing * self.listed
    }

    /// Probability that any of these causes is among what is left.
    pub(super) fn of_any(&self, is_one: impl Fn(CauseId) -> bool) -> f64 {
        let holds = |h: &&Hypothesis| h.members.iter().any(|(cause, _)| is_one(*cause));
        self.all.iter().filter(holds).map(|h| h.weight).sum()
    }

    /// Probability that a cause is among what is left.
    pub(super) fn of_cause(&self, cause: CauseId) -> f64 {
        self.holding(cause).iter().map(|i| self.all[*i].weight).sum()
    }
}

/// For each cause, the cheapest correction that cures it; the one with the widest group where minutes are alike.
pub(super) fn cheapest_cures(model: &Model) -> Vec<Option<CorrectionId>> {
    let mut cure: Vec<Option<CorrectionId>> = vec![None; model.causes.len()];
    for (at, correction) in model.corrections.iter().enumerate() {
        for cause in &correction.cures {
            let better = cure[cause.0].is_none_or(|known| {
                let known = &model[known];
                let key = |c: &crate::model::Correction| (c.minutes, std::cmp::Reverse(c.cures.len()));
                key(correction).partial_cmp(&key(known)) == Some(std::cmp::Ordering::Less)
            });
            if better {
                cure[cause.0] = Some(CorrectionId(at));
            }
        }
    }
    cure
}
