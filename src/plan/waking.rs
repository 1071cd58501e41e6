//! How likely each cause is awake in a spell that is to come, by what is believed of its trigger so far.

use crate::model::{CauseId, Trigger, met};

use super::situation::Situation;

/// The chance of each cause to be awake, and to be met by a look, under some conditions.
pub(super) struct Waking {
    /// For each cause, the chance to be awake throughout.
    throughout: Vec<f64>,
    /// (chance that it shows for moments, chance that one minute meets one), those of each cause together.
    moments: Vec<(f64, f64)>,
    /// For each cause, where its moments begin; one more at the end.
    from: Vec<usize>,
}

impl Waking {
    /// Of causes that are there, in a new spell under these conditions.
    pub(super) fn under(situation: &Situation<'_>, levels: &[usize]) -> Self {
        let causes = &situation.model.causes;
        let (mut throughout, mut moments, mut from) = (Vec::with_capacity(causes.len()), Vec::new(), vec![0]);
        for (at, cause) in causes.iter().enumerate() {
            let believed = situation.posterior.habits.get(at);
            let mut awake = 0.0;
            for (of, (trigger, weight)) in cause.waking.triggers().iter().enumerate() {
                let weight = believed.and_then(|habits| habits.get(of)).unwrap_or(weight);
                match trigger {
                    Trigger::Moments(each_minute) => moments.push((*weight, *each_minute)),
                    _ => awake += weight * trigger.awake(levels),
                }
            }
            throughout.push(awake);
            from.push(moments.len());
        }
        Self { throughout, moments, from }
    }

    /// Of causes that are known to be awake under these conditions.
    pub(super) fn of_awake(situation: &Situation<'_>, levels: &[usize]) -> Self {
        let mut waking = Self::under(situation, levels);
        for at in 0..waking.throughout.len() {
            let moments = &mut waking.moments[waking.from[at]..waking.from[at + 1]];
            let whole = waking.throughout[at] + moments.iter().map(|(weight, _)| weight).sum::<f64>();
            if whole > 0.0 {
                waking.throughout[at] /= whole;
                moments.iter_mut().for_each(|(weight, _)| *weight /= whole);
            }
        }
        waking
    }

    /// The chance that a look of so many minutes finds a cause awake.
    pub(super) fn met(&self, cause: CauseId, minutes: f64) -> f64 {
        let moments = &self.moments[self.from[cause.0]..self.from[cause.0 + 1]];
        self.throughout[cause.0] + moments.iter().map(|(weight, each)| weight * met(*each, minutes)).sum::<f64>()
    }
}
