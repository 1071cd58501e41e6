//! From what a check or complaint shows to a noisy-or of causes and gates.

use std::collections::BTreeMap;

use super::declared::Declared;
use super::gates::{Effects, Members, take_apart};
use super::ground::Ground;
use super::twin::ShowTwin;
use crate::model::{CauseId, Event, Formula, Site};

/// The leak where the tree gives none.
pub(super) const LEAK: f64 = 0.01;
/// The least leak: nothing read is ever quite impossible.
pub(super) const LEAST_LEAK: f64 = 1e-6;

/// The leak of what leaves no doubt: less than the chance of any cause, so that it is none to speak of, and still no division by nought.
pub(super) const CERTAIN_LEAK: f64 = 1e-12;

/// What brings an outcome or a complaint at a site. An effect's chance holds for each of its causes; where several effects
/// name one cause the larger chance counts, and a cause named by itself overrides them.
pub(super) fn event(
    declared: &Declared,
    ground: &Ground<'_>,
    members: &Members,
    effects: &Effects,
    site: Site,
    shows: &[ShowTwin],
    leak: Option<f64>,
) -> Event {
    let mut through: BTreeMap<CauseId, f64> = BTreeMap::new();
    let mut own: BTreeMap<CauseId, f64> = BTreeMap::new();
    let mut gates: Vec<(Formula, f64)> = Vec::new();
    for show in shows {
        for id in show.effect.iter().flat_map(|name| members.effects(declared, ground, name, site)) {
            let (causes, found) = take_apart(std::iter::once(effects.list[id.0].formula.clone()));
            for cause in causes {
                raise(&mut through, cause, show.chance);
            }
            for gate in found {
                match gates.iter_mut().find(|(g, _)| *g == gate) {
                    Some((_, chance)) => *chance = chance.max(show.chance),
                    None => gates.push((gate, show.chance)),
                }
            }
        }
        for cause in show.cause.iter().flat_map(|name| members.causes(declared, ground, name, site)) {
            raise(&mut own, cause, show.chance);
        }
    }
    through.extend(own);
    Event {
        causes: through.into_iter().filter(|(_, chance)| *chance > 0.0).collect(),
        gates: gates.into_iter().filter(|(_, chance)| *chance > 0.0).collect(),
        leak: leak.unwrap_or(LEAK).max(LEAST_LEAK),
    }
}

fn raise(chances: &mut BTreeMap<CauseId, f64>, cause: CauseId, chance: f64) {
    let known = chances.entry(cause).or_insert(chance);
    *known = known.max(chance);
}

/// Whether nothing but the leak brings it.
pub(super) fn is_empty(event: &Event) -> bool {
    event.causes.is_empty() && event.gates.is_empty()
}
