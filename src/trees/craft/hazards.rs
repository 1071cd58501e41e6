//! Hazards that the access implies and the work does not name: the mechanic would meet them without a caution.

use std::collections::BTreeSet;

use super::Findings;
use crate::trees::declared::{Decl, Declared};
use crate::trees::faults::code;

pub(super) fn look(declared: &Declared, found: &mut Findings) {
    let need = |names: &[String]| implied(declared, names);
    for check in &declared.checks.items {
        compare(found, check, &need(&check.twin.access.open), &check.twin.hazards, "hazards");
    }
    for correction in &declared.corrections.items {
        compare(found, correction, &need(&correction.twin.access.open), &correction.twin.hazards, "hazards");
    }
    for provocation in &declared.provocations.items {
        compare(found, provocation, &need(&provocation.twin.access.open), &provocation.twin.hazards, "hazards");
    }
    // A proof run is made on the running engine: the states that need nothing first and bring conditions.
    let running: Vec<String> = declared
        .access
        .items
        .iter()
        .filter(|a| a.twin.at == crate::model::SiteKind::Engine && a.twin.needs.is_empty())
        .filter(|a| !a.twin.opens_with.0.is_empty())
        .map(|a| a.name.clone())
        .collect();
    let running = implied(declared, &running);
    for complaint in &declared.complaints.items {
        compare(found, complaint, &running, &complaint.twin.proof.hazards, "proof/hazards");
    }
}

/// (hazard, the access state that carries it) of states and of all that they need.
fn implied<'a>(declared: &'a Declared, names: &[String]) -> BTreeSet<(&'a str, &'a str)> {
    let mut waiting: Vec<&str> = names.iter().map(String::as_str).collect();
    let mut seen = BTreeSet::new();
    let mut hazards = BTreeSet::new();
    while let Some(state) = waiting.pop().and_then(|name| declared.access.get(name)) {
        if seen.insert(state.name.as_str()) {
            hazards.extend(state.twin.hazards.iter().map(|hazard| (hazard.as_str(), state.name.as_str())));
            waiting.extend(state.twin.needs.iter().map(String::as_str));
        }
    }
    hazards
}

fn compare<T>(found: &mut Findings, decl: &Decl<T>, implied: &BTreeSet<(&str, &str)>, named: &[String], path: &str) {
    for (hazard, state) in implied {
        if !named.iter().any(|name| name == hazard) {
            found.add(
                code::HAZARD_MISSING,
                [decl.name.as_str(), hazard],
                decl.at(path),
                format!("\"{}\" needs \"{state}\" open but does not name its hazard \"{hazard}\".", decl.name),
                "Add it to hazards:, so that its caution is shown first; where it cannot be met there, say why under allow.",
            );
        }
    }
}
