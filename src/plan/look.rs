//! Something to look at, in the shape that forecasting wants: for each cause, which outcome shows it and how well.

use crate::model::{CauseId, Event, Formula, Sees};

/// The events of a check or of the complaint.
pub(super) struct Look<'a> {
    pub(super) sees: Sees,
    /// How long is looked, in minutes.
    pub(super) minutes: f64,
    /// How much of its chance to show each cause an earlier miss has left: 1 where it was not made before.
    fresh: f64,
    /// Leak of each outcome, in order.
    leaks: Vec<f64>,
    /// (cause, outcome, chance), sorted by cause.
    shows: Vec<(CauseId, usize, f64)>,
    /// (outcome, gate, chance).
    gates: Vec<(usize, &'a Formula, f64)>,
    /// Every cause that it concerns, sorted, each once.
    pub(super) concerns: Vec<CauseId>,
}

impl<'a> Look<'a> {
    pub(super) fn new(sees: Sees, minutes: f64, events: impl Iterator<Item = &'a Event>, fresh: f64) -> Self {
        let mut look = Self {
            sees,
            minutes,
            fresh,
            leaks: Vec::new(),
            shows: Vec::new(),
            gates: Vec::new(),
            concerns: Vec::new(),
        };
        for (at, event) in events.enumerate() {
            look.leaks.push(event.leak);
            look.shows.extend(event.causes.iter().map(|(cause, chance)| (*cause, at, *chance)));
            look.gates.extend(event.gates.iter().map(|(formula, chance)| (at, formula, *chance)));
        }
        look.shows.sort_unstable_by_key(|(cause, at, _)| (*cause, *at));
        look.concerns = look.shows.iter().map(|(cause, _, _)| *cause).collect();
        for (_, formula, _) in &look.gates {
            look.concerns.extend(formula.causes());
        }
        look.concerns.sort_unstable();
        look.concerns.dedup();
        look
    }

    /// Number of outcomes, normal included.
    pub(super) fn outcomes(&self) -> usize {
        self.leaks.len() + 1
    }

    /// Probability of each abnormal outcome in order, then of normal, when these causes are there to be seen with these chances.
    pub(super) fn chances(&self, there: &[(CauseId, f64)], into: &mut Vec<f64>) {
        let start = into.len();
        into.extend(self.leaks.iter().map(|leak| 1.0 - leak));
        let quiet = &mut into[start..];
        for (cause, chance_there) in there.iter().filter(|(_, chance)| *chance > 0.0) {
            let from = self.shows.partition_point(|(c, _, _)| c < cause);
            for (_, at, chance) in self.shows[from..].iter().take_while(|(c, _, _)| c == cause) {
                quiet[*at] *= 1.0 - chance * chance_there * self.fresh;
            }
        }
        for (at, formula, chance) in &self.gates {
            if formula.holds(&|c| there.iter().any(|(cause, chance)| *cause == c && *chance > 0.5)) {
                quiet[*at] *= 1.0 - chance * self.fresh;
            }
        }
        let mut none_yet = 1.0;
        for quiet in quiet {
            let stays = *quiet;
            *quiet = none_yet * (1.0 - stays);
            none_yet *= stays;
        }
        into.push(none_yet);
    }
}
