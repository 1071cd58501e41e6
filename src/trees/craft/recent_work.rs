//! Kinds of work done before a job whose chances can be but hardly are.

use std::ops::RangeInclusive;

use super::Findings;
use crate::model::Model;
use crate::trees::declared::Declared;
use crate::trees::faults::code;

/// Chance that one job of work at one site brings one cause: below, it says nothing; above, the work would be done over.
/// Placeholder.
const ONE: RangeInclusive<f64> = 0.0002..=0.1;
/// The same of all causes together. Placeholder: where one place in four came back at fault, nobody would work so.
const ALL: RangeInclusive<f64> = 0.002..=0.25;

pub(super) fn look(declared: &Declared, models: &[Model], found: &mut Findings) {
    const MEND: &str =
        "Look for a slip of the decimal point; where the figure is right, say why under allow with its name.";
    for kind in &declared.recent_work.items {
        for (path, _, brought) in kind.twin.all().filter(|(_, _, brought)| !ONE.contains(&brought.chance)) {
            let message = format!(
                "{} is an odd chance that one job of \"{}\" brings \"{}\": ordinary are {} to {}.",
                brought.chance,
                kind.name,
                brought.cause,
                ONE.start(),
                ONE.end()
            );
            let about = [kind.name.as_str(), &brought.cause];
            found.add(code::ODD_CHANCE, about, kind.at(&format!("{path}/chance")), message, MEND);
        }
        let works = models.iter().flat_map(|model| &model.recent_work).filter(|work| work.name == kind.name);
        let sums = works.map(|work| work.brings.iter().map(|brought| brought.chance).sum::<f64>());
        // One layout can have more that it reaches than another; the oddest is said, once.
        let odd = sums.filter(|sum| !ALL.contains(sum)).max_by(f64::total_cmp);
        if let Some(sum) = odd {
            let message = format!(
                "What one job of \"{}\" can bring sums to {}, which is odd: ordinary are {} to {}.",
                kind.name,
                (sum * 1e6).round() / 1e6,
                ALL.start(),
                ALL.end()
            );
            found.add(code::ODD_CHANCE, [kind.name.as_str()], kind.place(), message, MEND);
        }
    }
}
