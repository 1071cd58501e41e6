//! What each check of a model shows of each cause that is there by itself: the chances of its outcomes.

use crate::model::{CauseId, Check, Conditions, Model, Sees};

/// From this share of cases on in which a check reads differently for two causes, it tells them apart.
pub(super) const TELLS: f64 = 0.2;

/// A check, with the chances of its outcomes (normal last) for nothing and for each cause by itself, awake.
pub(super) struct Shown<'a> {
    pub(super) check: &'a Check,
    nothing: Vec<f64>,
    by: Vec<(CauseId, Vec<f64>)>,
}

impl<'a> Shown<'a> {
    fn of(check: &'a Check) -> Self {
        let events = check.outcomes.iter().map(|outcome| &outcome.event);
        let mut causes: Vec<CauseId> = events.clone().flat_map(|e| e.causes.iter().map(|(id, _)| *id)).collect();
        causes.extend(events.flat_map(|e| e.gates.iter().flat_map(|(gate, _)| gate.causes())));
        causes.sort_unstable();
        causes.dedup();
        let by = causes.into_iter().map(|id| (id, outcomes(check, Some(id)))).collect();
        Self { check, nothing: outcomes(check, None), by }
    }

    /// The causes that it shows at all.
    pub(super) fn causes(&self) -> impl Iterator<Item = CauseId> + '_ {
        self.by.iter().map(|(id, _)| *id)
    }

    /// The chances of its outcomes where this cause alone is there, awake with this chance.
    fn chances(&self, cause: CauseId, awake: f64) -> Vec<f64> {
        let awake = if self.check.sees == Sees::Present { 1.0 } else { awake };
        match self.by.binary_search_by_key(&cause, |(id, _)| *id) {
            Ok(at) => self.by[at].1.iter().zip(&self.nothing).map(|(s, n)| awake * s + (1.0 - awake) * n).collect(),
            Err(_) => self.nothing.clone(),
        }
    }

    /// The share of cases in which it reads differently for one cause than for nothing, under the conditions that wake it best.
    pub(super) fn strength(&self, spells: &Spells, cause: CauseId) -> f64 {
        apart(&self.chances(cause, spells.best[cause.0].1), &self.nothing)
    }

    /// The greatest share of cases in which it reads differently for two causes, over the conditions that wake either best.
    pub(super) fn tells(&self, spells: &Spells, model: &Model, one: CauseId, two: CauseId) -> f64 {
        let levels = [&spells.best[one.0].0, &spells.best[two.0].0, &spells.rest];
        let under = |levels: &Vec<usize>| {
            let one = self.chances(one, model[one].waking.meets(levels, self.check.minutes));
            apart(&one, &self.chances(two, model[two].waking.meets(levels, self.check.minutes)))
        };
        levels.into_iter().map(under).fold(0.0, f64::max)
    }
}

/// Half the sum of differences: the share of cases in which two readings differ.
fn apart(one: &[f64], two: &[f64]) -> f64 {
    one.iter().zip(two).map(|(a, b)| (a - b).abs()).sum::<f64>() / 2.0
}

fn outcomes(check: &Check, cause: Option<CauseId>) -> Vec<f64> {
    let (mut chances, mut none_yet) = (Vec::with_capacity(check.outcomes.len() + 1), 1.0);
    for outcome in &check.outcomes {
        let event = &outcome.event;
        let mut quiet = 1.0 - event.leak;
        if let Some(cause) = cause {
            quiet *= event.causes.iter().find(|(id, _)| *id == cause).map_or(1.0, |(_, chance)| 1.0 - chance);
            for (_, chance) in event.gates.iter().filter(|(gate, _)| gate.holds(&|id| id == cause)) {
                quiet *= 1.0 - chance;
            }
        }
        chances.push(none_yet * (1.0 - quiet));
        none_yet *= quiet;
    }
    chances.push(none_yet);
    chances
}

/// For each cause, the conditions that wake it best of those that can be brought, and its chance of being awake then.
pub(super) struct Spells {
    best: Vec<(Vec<usize>, f64)>,
    rest: Vec<usize>,
}

impl Spells {
    fn of(model: &Model) -> Self {
        let rest = Conditions::resting(&model.conditions).0;
        let modes = model.modes.iter().flat_map(|mode| mode.sets.iter().chain(&mode.leaves));
        let courses = model.conditions.iter().enumerate().flat_map(|(i, condition)| {
            let risen = condition.rises_running.iter().enumerate().filter(|(_, minutes)| minutes.is_some());
            risen.map(move |(level, _)| (i, level))
        });
        let provoked = model.provocations.iter().flat_map(|p| &p.sets);
        let reached: Vec<(usize, usize)> = provoked.chain(modes).copied().chain(courses).collect();
        let best = model.causes.iter().map(|cause| {
            let mut levels = rest.clone();
            for (condition, level) in &reached {
                let mut other = levels.clone();
                if let Some(at) = other.get_mut(*condition) {
                    *at = *level;
                }
                if cause.waking.meets(&other, f64::INFINITY) > cause.waking.meets(&levels, f64::INFINITY) {
                    levels = other;
                }
            }
            let chance = cause.waking.meets(&levels, f64::INFINITY);
            (levels, chance)
        });
        Self { best: best.collect(), rest }
    }
}

/// What every check of a model shows.
pub(super) fn all(model: &Model) -> (Vec<Shown<'_>>, Spells) {
    (model.checks.iter().map(Shown::of).collect(), Spells::of(model))
}
