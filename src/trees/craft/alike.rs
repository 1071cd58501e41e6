//! Causes that no check tells apart under any conditions, though they ask for different corrections.

use super::Findings;
use super::shown::{self, TELLS};
use crate::model::{CauseId, Model};
use crate::trees::declared::Declared;
use crate::trees::faults::code;

pub(super) fn look(declared: &Declared, models: &[Model], found: &mut Findings) {
    for model in models {
        let (checks, spells) = shown::all(model);
        let mut seen_by: Vec<Vec<usize>> = vec![Vec::new(); model.causes.len()];
        for (at, check) in checks.iter().enumerate() {
            check.causes().for_each(|id| seen_by[id.0].push(at));
        }
        let cures: Vec<_> = (0..model.causes.len()).map(|i| model.cures(CauseId(i))).collect();
        // The last is the unknown cause, which only the complaint and the proof run see.
        let known = model.causes.len().saturating_sub(1);
        for one in 0..known {
            for two in one + 1..known {
                if cures[one].iter().any(|cure| cures[two].contains(cure)) {
                    continue;
                }
                let mut best = (0.0, None);
                for at in seen_by[one].iter().chain(&seen_by[two]) {
                    let tells = checks[*at].tells(&spells, model, CauseId(one), CauseId(two));
                    if tells > best.0 {
                        best = (tells, Some(*at));
                    }
                    if tells >= TELLS {
                        break;
                    }
                }
                if best.0 >= TELLS {
                    continue;
                }
                let (a, b) = (&model.causes[one], &model.causes[two]);
                let Some(decl) = declared.causes.get(&a.name) else { continue };
                let closest = best.1.map_or(String::new(), |at| {
                    format!(
                        "; the best, \"{}\", reads differently in {:.0} % of cases",
                        checks[at].check.name,
                        100.0 * best.0
                    )
                });
                found.add(
                    code::ALIKE_CAUSES,
                    [a.name.as_str(), b.name.as_str()],
                    decl.place(),
                    format!(
                        "No check tells \"{}\" at {} from \"{}\" at {} in layout {}, though no one correction cures both{closest}.",
                        a.name, a.site, b.name, b.site, model.layout.name
                    ),
                    "Add a check, or an outcome, that shows the one and not the other; or a correction that cures both.",
                );
            }
        }
    }
}
