//! Dealing an engine for practice: faults of a chosen difficulty, drawn from the tree by a number.

use std::sync::Arc;

use rand::{Rng as _, RngExt as _, SeedableRng};
use rand_chacha::ChaCha8Rng;

use super::case::FAULTS_AT_ONCE;
use super::draw::{Ways, pick};
use super::hidden::Hidden;
use super::stand::open_entry;
use crate::job::{Job, Logged, State};
use crate::model::{CauseId, ComplaintId, Model, SystemKind};
use crate::study::{Level, System};

/// What is wanted of an engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Wanted<'a> {
    /// How hard.
    pub level: Level,
    /// On which kind of system, where that matters. What is not ignition is on none.
    pub on: Option<System>,
    /// The complaint's name, where it matters.
    pub complaint: Option<&'a str>,
}

/// Draws of causes before an engine is given up.
const MOST_DRAWS: usize = 4_000;
/// Roots tried for the same causes.
const MOST_ROOTS: usize = 60;

/// Deals the engine of this number: the complaint it is reported with, and what is hidden in it. The same number, wish and tree give the same
/// engine on any machine. None where this engine cannot have such faults.
#[must_use]
pub fn deal(model: &Arc<Model>, wanted: Wanted<'_>, seed: u64) -> Option<(ComplaintId, Hidden)> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    rng.set_stream(wanted.level as u64);
    let ways: Vec<(ComplaintId, Ways<'_>)> = (0..model.complaints.len())
        .map(ComplaintId)
        .filter(|id| wanted.complaint.is_none_or(|name| model[*id].name == name))
        .map(|id| (id, Ways::of(model, id, &model[id].usual)))
        .collect();
    let weights: Vec<f64> = ways.iter().map(|(_, ways)| ways.weight()).collect();
    for _ in 0..MOST_DRAWS {
        let (complaint, of) = ways.get(pick(weights.iter().copied(), &mut rng)?)?;
        let count = match wanted.level {
            Level::Two => 2,
            Level::Any => 1 + pick(FAULTS_AT_ONCE.into_iter(), &mut rng)?,
            _ => 1,
        };
        let Some(causes) = of.draw(count, &mut rng) else { continue };
        if !suits(model, wanted, *complaint, &causes, count) {
            continue;
        }
        let first = Logged { number: 1, when: String::new(), entry: open_entry(model, *complaint) };
        let Ok(job) = Job::replay(Arc::clone(model), vec![first]) else { continue };
        for _ in 0..MOST_ROOTS {
            let stubborn = wanted.level == Level::NotCured;
            let hidden = Hidden { causes: causes.clone(), root: rng.next_u64(), stubborn };
            if goes_so(model, wanted.level, &hidden, job.state()) {
                return Some((*complaint, hidden));
            }
        }
    }
    None
}

/// Finds a root by which these faults go as a job was opened. None where they hardly ever do.
#[must_use]
pub fn root_for(model: &Model, causes: &[CauseId], opened: &State, level: Level, seed: u64) -> Option<Hidden> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    (0..MOST_DRAWS)
        .map(|_| Hidden { causes: causes.to_vec(), root: rng.random(), stubborn: level == Level::NotCured })
        .find(|hidden| goes_so(model, level, hidden, opened))
}

/// A correction that does not cure is only met where the complaint then shows again at least this often.
const SHOWS_AGAIN: f64 = 0.8;

/// Whether these causes are of the wanted difficulty for a complaint under its usual conditions.
fn suits(model: &Model, wanted: Wanted<'_>, complaint: ComplaintId, causes: &[CauseId], count: usize) -> bool {
    let mends = |cause: CauseId| model.cures(cause).first().copied();
    if causes.len() != count || causes.iter().any(|c| mends(*c).is_none()) {
        return false;
    }
    let all = |fits: &dyn Fn(CauseId) -> bool| causes.iter().all(|c| fits(*c));
    let ignition = |c: CauseId| !model[c].not_ignition;
    let right = match wanted.level {
        Level::Any => true,
        Level::Awake => all(&|c| ignition(c) && !model[c].waking.can_sleep()),
        Level::Asleep => all(&|c| ignition(c) && model[c].waking.can_sleep()),
        Level::Two => all(&ignition),
        Level::LookAlike => !all(&ignition),
        Level::NotCured => all(&|c| {
            let again = model[c].waking.meets(&model[complaint].usual.0, model[complaint].proof.minutes);
            let can_fail = mends(c).is_some_and(|id| model[id].fails > 0.0);
            ignition(c) && can_fail && again >= SHOWS_AGAIN
        }),
    };
    let electronic = |c: CauseId| {
        let side = model[c].site.side()?;
        Some(model.layout.side(side).kind == SystemKind::Electronic)
    };
    let on = |system: System| {
        let one = causes.iter().filter_map(|c| electronic(*c)).any(|e| e == (system == System::Electronic));
        let other = causes.iter().filter_map(|c| electronic(*c)).any(|e| e != (system == System::Electronic));
        one && !other
    };
    right && (wanted.level == Level::LookAlike || wanted.on.is_none_or(on))
}

/// Whether an engine goes as the job was opened, and as its difficulty says.
fn goes_so(model: &Model, level: Level, hidden: &Hidden, opened: &State) -> bool {
    if !hidden.fits(model, opened) {
        return false;
    }
    let engine = hidden.engine(model, opened);
    match level {
        Level::Asleep => engine.faults().iter().all(|f| !f.awake),
        Level::Two => engine.faults().iter().all(|f| f.brought),
        _ => true,
    }
}
