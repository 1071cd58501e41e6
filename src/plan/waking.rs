//! How likely each cause is awake in a spell that is to come, by what is believed of its trigger so far.

use crate::model::{CauseId, Trigger, met};

use super::situation::Situation;

/// The chance of each cause to be awake, and to be met by a look, under some conditions.
pub(super) struct Waking {
    /// For each cause, the chance to be awake throughout.
    throughout: Vec<f64>,
    /// (chance that it shows for moments, which of `each_minute`), those of each cause together.
    moments: Vec<(f64, usize)>,
    /// The different chances that one minute meets a moment: few, so that a look works out once what it makes of each.
    each_minute: Vec<f64>,
    /// For each cause, where its moments begin; one more at the end.
    from: Vec<usize>,
}

impl Waking {
    /// Of causes that are there, in a new spell under these conditions.
    pub(super) fn under(situation: &Situation<'_>, levels: &[usize]) -> Self {
        let causes = &situation.model.causes;
        let (mut throughout, mut moments, mut from) = (Vec::with_capacity(causes.len()), Vec::new(), vec![0]);
        let mut each_minute: Vec<f64> = Vec::new();
        for (at, cause) in causes.iter().enumerate() {
            let believed = situation.posterior.habits.get(at);
            let mut awake = 0.0;
            for (of, (trigger, weight)) in cause.waking.triggers().iter().enumerate() {
                let weight = believed.and_then(|habits| habits.get(of)).unwrap_or(weight);
                match trigger {
                    Trigger::Moments(each) => {
                        let known = each_minute.iter().position(|known| known.to_bits() == each.to_bits());
                        moments.push((*weight, known.unwrap_or(each_minute.len())));
                        if known.is_none() {
                            each_minute.push(*each);
                        }
                    }
                    _ => awake += weight * trigger.awake(levels),
                }
            }
            throughout.push(awake);
            from.push(moments.len());
        }
        Self { throughout, moments, each_minute, from }
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

    /// How a look of so many minutes finds causes awake.
    pub(super) fn looked(&self, minutes: f64) -> Looked<'_> {
        Looked { waking: self, met: self.each_minute.iter().map(|each| met(*each, minutes)).collect() }
    }
}

/// A look at causes that wake so.
pub(super) struct Looked<'a> {
    waking: &'a Waking,
    /// The chance that it meets one, for each chance of a minute.
    met: Vec<f64>,
}

impl Looked<'_> {
    /// The chance that it finds a cause awake.
    pub(super) fn finds(&self, cause: CauseId) -> f64 {
        let Waking { throughout, moments, from, .. } = self.waking;
        let moments = &moments[from[cause.0]..from[cause.0 + 1]];
        throughout[cause.0] + moments.iter().map(|(weight, of)| weight * self.met[*of]).sum::<f64>()
    }
}
