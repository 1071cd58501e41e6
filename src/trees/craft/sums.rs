//! Complaints whose causes' probabilities do not add up: far too often, never, or mostly by nothing the tree names.

use super::Findings;
use crate::model::{CauseId, Complaint, Formula, Model, ORDINARY_WINDOW_HOURS};
use crate::trees::declared::Declared;
use crate::trees::faults::code;
use crate::trees::lint::Above;

/// No engine brings one complaint at one site in more than half of the windows.
const OFTEN: f64 = 0.5;
/// From this share on a complaint is hardly brought by what the tree names.
const UNEXPLAINED: f64 = 0.75;
/// A complaint that the named causes bring less often than once in this many windows is never met.
const SELDOM: f64 = 1e-6;

pub(super) fn look(declared: &Declared, models: &[Model], above: &Above<'_>, found: &mut Findings) {
    for model in models {
        for complaint in &model.complaints {
            let Some(decl) = declared.complaints.get(&complaint.name) else { continue };
            let (named, other) = chances(model, complaint, above);
            let here = format!("in layout {}", model.layout.name);
            let mut odd = |message: String, mend: &str| {
                found.add(code::COMPLAINT_SUM, [complaint.name.as_str()], decl.at("shows"), message, mend);
            };
            let all = 1.0 - (1.0 - named) * (1.0 - other);
            if all > OFTEN {
                odd(
                    format!(
                        "By its causes' rates \"{}\" would show in {:.0} % of all {ORDINARY_WINDOW_HOURS:.0}-hour windows {here}.",
                        complaint.name,
                        100.0 * all
                    ),
                    "Look at the rates of its causes and at the chances of what it shows, first at the largest.",
                );
            } else if named < SELDOM {
                odd(
                    format!(
                        "By its causes' rates \"{}\" would show less than once in a million {ORDINARY_WINDOW_HOURS:.0}-hour windows {here}.",
                        complaint.name
                    ),
                    "Look at the rates of its causes, and whether its gate asks for too many faults at once.",
                );
            } else if other / (named + other) > UNEXPLAINED {
                odd(
                    format!(
                        "Of all times that \"{}\" shows {here}, {:.0} % come from its leak and the cause not listed.",
                        complaint.name,
                        100.0 * other / (named + other)
                    ),
                    "Add the causes that bring it, or lower its leak.",
                );
            }
        }
    }
}

/// The chance per ordinary window, under the complaint's usual conditions, that its named causes bring it; and that its leak or
/// what is not listed does.
fn chances(model: &Model, complaint: &Complaint, above: &Above<'_>) -> (f64, f64) {
    let there = |id: CauseId| (above.prior)(&model[id]) * model[id].waking.meets(&complaint.usual.0, f64::INFINITY);
    let event = &complaint.event;
    let (unlisted, causes): (Vec<_>, Vec<_>) = event.causes.iter().partition(|(id, _)| model.is_unlisted(*id));
    let quiet_of = |causes: Vec<&(CauseId, f64)>| {
        causes.into_iter().fold(1.0, |quiet, (id, chance)| quiet * (1.0 - chance * there(*id)))
    };
    let quiet = quiet_of(causes);
    let quiet = event.gates.iter().fold(quiet, |quiet, (gate, chance)| quiet * (1.0 - chance * holds(gate, &there)));
    (1.0 - quiet, 1.0 - (1.0 - event.leak) * quiet_of(unlisted))
}

/// The chance that a gate holds, its parts taken as independent.
fn holds(gate: &Formula, there: &impl Fn(CauseId) -> f64) -> f64 {
    match gate {
        Formula::Any(causes) => 1.0 - causes.iter().fold(1.0, |none, id| none * (1.0 - there(*id))),
        Formula::AtLeast { count, of } => {
            // The chance of each number of parts so far.
            let mut number = vec![1.0];
            for part in of {
                let p = holds(part, there);
                let mut next = vec![0.0; number.len() + 1];
                for (n, chance) in number.iter().enumerate() {
                    next[n] += chance * (1.0 - p);
                    next[n + 1] += chance * p;
                }
                number = next;
            }
            number.iter().skip(*count).sum()
        }
    }
}
