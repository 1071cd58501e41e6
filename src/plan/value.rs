//! The value of a belief: the minutes still to come to a proven cure.

use super::Situation;
use super::hypotheses::Remedy;

/// Minutes that finding out costs per nat of doubt about the remedy. Set by simulation: 30 to 120 are alike within noise.
const MINUTES_PER_NAT: f64 = 40.0;

/// Minutes taken for what no correction of the tree puts right: handing over to somebody who can look further. Placeholder.
const MINUTES_TO_HAND_OVER: f64 = 90.0;

/// Minutes of each remedy, its access and the proof run included.
pub(super) fn remedy_minutes(situation: &Situation<'_>, remedy: &Remedy) -> f64 {
    if remedy.0.is_empty() {
        return 0.0;
    }
    let model = situation.model;
    let mut access = situation.access.clone();
    let mut minutes = model[situation.complaint].proof.minutes;
    for correction in &remedy.0 {
        match correction {
            Some(id) => {
                let (reached, moving) = model.reach(&access, &model[*id].open, &[]);
                access = reached;
                minutes += moving + model[*id].minutes;
            }
            None => minutes += MINUTES_TO_HAND_OVER,
        }
    }
    minutes
}

/// Expected minutes to a proven cure: what the remedies take, and what telling them apart takes.
pub(super) fn minutes_to_come(remedy_weight: &[f64], remedy_minutes: &[f64]) -> f64 {
    let work: f64 = remedy_weight.iter().zip(remedy_minutes).map(|(w, m)| w * m).sum();
    work + MINUTES_PER_NAT * entropy(remedy_weight)
}

/// Minutes that so many nats of doubt cost.
pub(super) fn minutes_of_doubt(nats: f64) -> f64 {
    MINUTES_PER_NAT * nats
}

/// Entropy in nats.
pub(super) fn entropy(weights: &[f64]) -> f64 {
    -weights.iter().filter(|w| **w > 0.0).map(|w| w * w.ln()).sum::<f64>()
}
