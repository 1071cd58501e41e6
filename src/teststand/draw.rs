//! Drawing the faults of an engine from its tree.

use rand::{Rng, RngExt};

use crate::belief::{Exposure, ORDINARY_WINDOW_HOURS, prior};
use crate::model::{CauseId, ComplaintId, Model};

/// Draws `count` different causes that could have brought a complaint, the commoner the likelier: the first by its prior times its
/// chance to bring the complaint while awake, the others likewise. None where fewer can bring it.
#[must_use]
pub fn draw_causes(model: &Model, complaint: ComplaintId, count: usize, rng: &mut impl Rng) -> Option<Vec<CauseId>> {
    let exposure = Exposure { window_hours: ORDINARY_WINDOW_HOURS, age: None, disturbed: false };
    // The unknown cause has no part to mend, so a job about it has no proven cure to time.
    let event = &model[complaint].event;
    let gated = event.gates.iter().flat_map(|(formula, chance)| formula.causes().into_iter().map(|c| (c, *chance)));
    let mut pool: Vec<(CauseId, f64)> = event
        .causes
        .iter()
        .copied()
        .chain(gated)
        .filter(|(id, _)| *id != model.unknown())
        .map(|(id, chance)| (id, chance * prior(&model[id], &exposure)))
        .filter(|(_, weight)| *weight > 0.0)
        .collect();
    pool.sort_by_key(|(id, _)| *id);
    pool.dedup_by_key(|(id, _)| *id);
    let mut drawn = Vec::with_capacity(count);
    while drawn.len() < count {
        let whole: f64 = pool.iter().map(|(_, w)| w).sum();
        let mut at = rng.random::<f64>() * whole;
        let index = pool.iter().position(|(_, weight)| {
            at -= weight;
            at < 0.0
        });
        drawn.push(pool.remove(index.or(pool.len().checked_sub(1))?).0);
    }
    drawn.sort_unstable();
    Some(drawn)
}
