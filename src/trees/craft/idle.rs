//! Checks that never change a decision: those that show nothing that brings a complaint, and those that another check outdoes.

use std::collections::{BTreeMap, BTreeSet};

use super::Findings;
use super::shown::{self, Shown, TELLS};
use crate::model::{CauseId, Check, Event, Mode, Model};
use crate::trees::declared::Declared;
use crate::trees::faults::code;

pub(super) fn look(declared: &Declared, models: &[Model], found: &mut Findings) {
    // A check is idle only where it is so in every layout and at every site that has it.
    let mut busy: BTreeSet<&str> = BTreeSet::new();
    let mut outdone: BTreeMap<&str, Option<BTreeSet<&str>>> = BTreeMap::new();
    for model in models {
        let (checks, spells) = shown::all(model);
        let asked = asked(model);
        for shown in &checks {
            if shown.causes().any(|id| asked.contains(&id) && shown.strength(&spells, id) >= TELLS) {
                busy.insert(&shown.check.name);
            }
            let better = checks.iter().filter(|other| outdoes(other.check, shown.check));
            let better: BTreeSet<&str> = better.map(|other: &Shown<'_>| other.check.name.as_str()).collect();
            let so_far = outdone.entry(&shown.check.name).or_insert(None);
            *so_far = Some(match so_far.take() {
                Some(known) => known.intersection(&better).copied().collect(),
                None => better,
            });
        }
    }
    for check in &declared.checks.items {
        let name = check.name.as_str();
        if outdone.contains_key(name) && !busy.contains(name) {
            found.add(
                code::IDLE_CHECK,
                [name],
                check.at("outcomes"),
                format!(
                    "\"{name}\" never changes a decision: of no cause that brings a complaint does it show more than {:.0} % beyond its false alarms.",
                    100.0 * TELLS
                ),
                "Raise its chances, lower its leaks, let it show a cause that brings a complaint, or delete it.",
            );
        }
        if let Some(better) = outdone.get(name).and_then(|better| better.as_ref()?.first()) {
            found.add(
                code::OUTDONE_CHECK,
                [name, better],
                check.place(),
                format!(
                    "\"{name}\" never changes a decision: \"{better}\" shows all that it shows at least as well, in no more time and with no more opened."
                ),
                "Delete it, or say what it shows better or saves.",
            );
        }
    }
}

/// The causes that bring some complaint of the engine.
fn asked(model: &Model) -> BTreeSet<CauseId> {
    let events = model.complaints.iter().map(|complaint| &complaint.event);
    let causes = events.clone().flat_map(|e| e.causes.iter().map(|(id, _)| *id));
    causes.chain(events.flat_map(|e| e.gates.iter().flat_map(|(gate, _)| gate.causes()))).collect()
}

/// Whether nothing is lost by making `better` in place of `check` at the same site. Of two that are alike the one that comes
/// later in the alphabet is outdone.
fn outdoes(better: &Check, check: &Check) -> bool {
    let cheaper = better.site == check.site
        && better.name != check.name
        && better.sees == check.sees
        && [check.manner.engine, Mode::AtRest].contains(&better.manner.engine)
        && better.minutes <= check.minutes
        && better.minutes - better.manner.waiting <= check.minutes - check.manner.waiting
        && better.gone_after.iter().all(|work| check.gone_after.contains(work))
        && better.gone_while.iter().all(|id| check.gone_while.contains(id))
        && better.needs.iter().all(|need| check.needs.contains(need))
        && better.open.iter().all(|id| check.open.contains(id))
        && better.closed.iter().all(|id| check.closed.contains(id))
        && better.tools.iter().all(|tool| check.tools.contains(tool));
    cheaper
        && refines(better, check)
        && (better.minutes < check.minutes || !refines(check, better) || better.name < check.name)
}

/// Whether each outcome of `check` has one of its own in `better` that shows the same causes at least as well.
fn refines(better: &Check, check: &Check) -> bool {
    let mut taken = BTreeSet::new();
    check.outcomes.iter().all(|outcome| {
        let fits = |other: &Event| {
            let event = &outcome.event;
            other.leak <= event.leak
                && other.gates == event.gates
                && other.causes.len() == event.causes.len()
                && other.causes.iter().zip(&event.causes).all(|(o, e)| o.0 == e.0 && o.1 >= e.1)
        };
        let found = better.outcomes.iter().enumerate().find(|(at, other)| !taken.contains(at) && fits(&other.event));
        found.is_some_and(|(at, _)| taken.insert(at))
    })
}
