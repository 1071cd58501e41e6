//! Outcomes that are said to prove more than they do: by the chances of the tree itself, or by a limit that is a guess.

use super::Findings;
use crate::model::{CauseId, Check, Model, Outcome};
use crate::trees::declared::Declared;
use crate::trees::faults::code;
use crate::trees::lint::Above;

/// What proves its cause leaves it at least so likely where nothing but the chances of the tree speaks.
const PROVES: f64 = 0.9;

pub(super) fn look(declared: &Declared, models: &[Model], above: &Above<'_>, found: &mut Findings) {
    for decl in &declared.checks.items {
        let (name, twin) = (decl.name.as_str(), &decl.twin);
        let limit = twin.reading.as_ref().and_then(|reading| declared.limits.get(&reading.limit));
        let guessed = limit.is_some_and(|limit| limit.twin.source.as_ref().is_some_and(|s| s.name == "placeholder"));
        for (outcome, told) in twin.outcomes.0.iter().filter(|(_, told)| told.proves && told.sight.is_none()) {
            let place = || decl.at(&format!("outcomes/{outcome}/proves"));
            let about = [name];
            if guessed {
                let message = format!(
                    "\"{outcome}\" of \"{name}\" cannot prove anything: the limit that a reading is judged by is a placeholder."
                );
                found.add(
                    code::PROVES_LITTLE,
                    about,
                    place(),
                    message,
                    "Leave out proves, or give the limit a source.",
                );
                continue;
            }
            let checks = models.iter().flat_map(|model| model.checks.iter().map(move |check| (model, check)));
            let here = checks.filter(|(_, check)| check.name == name);
            let shares = here.filter_map(|(model, check)| share(model, check, outcome, above));
            let Some(least) = shares.min_by(f64::total_cmp).filter(|least| *least < PROVES) else { continue };
            let message = format!(
                "\"{outcome}\" of \"{}\" is said to prove its cause, and by the chances of the tree alone it leaves it at {:.0} % in one engine.",
                told.title.trim(),
                100.0 * least
            );
            let mend = "Leave out proves; or, where whoever sees it can be in no doubt, write sight: certain.";
            found.add(code::PROVES_LITTLE, about, place(), message, mend);
        }
    }
}

/// How likely the likeliest cause of an outcome is where that outcome is seen and nothing else is known.
fn share(model: &Model, check: &Check, name: &str, above: &Above<'_>) -> Option<f64> {
    let Outcome { event, .. } = check.outcomes.iter().find(|outcome| outcome.name == name)?;
    let brings = |(id, chance): &(CauseId, f64)| (above.prior)(&model[*id]) * chance;
    let quiet = event.causes.iter().fold(1.0 - event.leak, |quiet, cause| quiet * (1.0 - brings(cause)));
    let best = event.causes.iter().map(brings).fold(0.0, f64::max);
    Some(best / (1.0 - quiet))
}
