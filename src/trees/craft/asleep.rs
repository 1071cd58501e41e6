//! Sleeping causes that no provocation wakes: a job on them ends in waiting for luck.

use super::Findings;
use crate::model::{Cause, ComplaintId, Model, ProvocationId};
use crate::trees::declared::Declared;
use crate::trees::faults::code;
use crate::work::{Action, Now, Setting};

/// From this chance on in a quiet spell a cause is caught by looking again; no provocation is needed.
const WAKES_BY_ITSELF: f64 = 0.5;
/// A provocation that adds less than this to the chance does not wake the cause.
const WAKES: f64 = 0.1;

pub(super) fn look(declared: &Declared, models: &[Model], found: &mut Findings) {
    for model in models {
        let spells = provoked(model);
        let rest = vec![0; model.conditions.len()];
        for cause in model.causes.iter().filter(|cause| cause.waking.can_sleep()) {
            let Some(decl) = declared.causes.get(&cause.name) else { continue };
            let quiet = awake(cause, &rest);
            let best = spells.iter().map(|levels| awake(cause, levels)).fold(quiet, f64::max);
            if quiet < WAKES_BY_ITSELF && best < quiet + WAKES {
                found.add(
                    code::NOTHING_WAKES,
                    [cause.name.as_str()],
                    decl.at("wakes"),
                    format!(
                        "No provocation wakes \"{}\": it is awake in {:.0} % of quiet spells and in {:.0} % at best.",
                        cause.name,
                        100.0 * quiet,
                        100.0 * best
                    ),
                    "Add what wakes it under wakes:, or a provocation that sets it; where nothing can, say so under allow.",
                );
            }
        }
    }
}

/// The chance that a look as long as it takes shows a cause.
fn awake(cause: &Cause, levels: &[usize]) -> f64 {
    cause.waking.meets(levels, f64::INFINITY)
}

/// The conditions that each provocation brings from rest, by what the engine does in it and by what is set.
fn provoked(model: &Model) -> Vec<Vec<usize>> {
    let rest = Setting::resting(model, true);
    let now = Now { model, complaint: ComplaintId(0), setting: &rest, reported: None, ledger: None };
    let ids = (0..model.provocations.len()).map(ProvocationId);
    ids.map(|id| now.work(Action::Provoke(id)).during.0).collect()
}
