//! Rules for checks and for what they show.

use std::collections::BTreeMap;

use super::super::declared::Decl;
use super::super::faults::code;
use super::super::twin::{CheckTwin, OutcomeTwin, ShowTwin, SwapTwin};
use super::super::work::Work;
use super::Look;
use crate::model::SiteKind;

impl<'a> Look<'a> {
    pub(super) fn checks(&mut self) {
        let declared = self.declared;
        for check in &declared.checks.items {
            let twin = &check.twin;
            for (text, path) in [
                (&twin.title, "title"),
                (&twin.purpose, "purpose"),
                (&twin.expected, "expected"),
                (&twin.normal, "normal"),
            ] {
                self.text(text, check, path);
            }
            self.only(&twin.only, check);
            self.minutes(twin.minutes, check.at("minutes"));
            self.texts(&twin.tools, false, check, "tools");
            self.texts(&twin.steps, true, check, "steps");
            self.texts(&twin.mistakes, false, check, "mistakes");
            self.names(&declared.hazards, "hazard", &twin.hazards, check, "hazards");
            for (list, path) in [(&twin.access.open, "access/open"), (&twin.access.closed, "access/closed")] {
                self.names(&declared.access, "access state", list, check, path);
            }
            self.manner(check, &twin.into());
            self.bonds(check);
            self.beside(check);
            self.source(twin.source.as_ref(), check, "source");
            match &twin.swap {
                Some(swap) => self.swap(check, swap),
                None => self.outcomes(check),
            }
            if let Some(reading) = &twin.reading {
                self.reading(check, &reading.limit);
            }
        }
    }

    /// What is answered beside a check has rows like its own, and needs no caution that was not read for it.
    fn beside(&mut self, check: &'a Decl<CheckTwin>) {
        let declared = self.declared;
        self.names(&declared.checks, "check", &check.twin.beside, check, "beside");
        let brought = |twin: &'a CheckTwin| Work::from(twin).brings(declared);
        let rows = |kind: SiteKind| if kind == SiteKind::Plug { SiteKind::Cylinder } else { kind };
        for (i, name) in check.twin.beside.iter().enumerate() {
            let Some(other) = declared.checks.items.iter().find(|other| other.name == *name) else { continue };
            let place = check.at(&format!("beside/{i}"));
            let (own, its) = (rows(check.twin.at), rows(other.twin.at));
            if own != its || other.name == check.name || own == SiteKind::Engine {
                let message = format!("\"{name}\" cannot stand beside \"{}\": its rows are others.", check.name);
                self.fault(
                    code::BAD_VALUE,
                    place,
                    message,
                    "Name a check at the same cylinders, coils or sides, or delete it.",
                );
            } else if let Some(hazard) = brought(&other.twin).difference(&brought(&check.twin)).next() {
                let message = format!("\"{name}\" brings the hazard \"{hazard}\", which \"{}\" does not.", check.name);
                self.fault(
                    code::BAD_VALUE,
                    place,
                    message,
                    format!("Add {hazard} to the hazards of \"{}\".", check.name),
                );
            }
        }
    }

    /// A swap brings its own outcomes; what changes places must be a part that sits at the two sites.
    fn swap(&mut self, check: &Decl<CheckTwin>, swap: &SwapTwin) {
        let declared = self.declared;
        let own = [("outcomes", !check.twin.outcomes.0.is_empty()), ("reading", check.twin.reading.is_some())];
        for (field, _) in own.iter().filter(|(_, given)| *given) {
            let message = format!("A swap has no {field} of its own; \"{}\" gives some.", check.name);
            self.fault(code::BAD_VALUE, check.at_key(field), message, format!("Delete {field}: or delete swap:."));
        }
        if check.twin.at == SiteKind::Engine {
            let message = "Nothing of the whole engine can be swapped between two sites of it.";
            self.fault(code::BAD_VALUE, check.at("at"), message, "Write side, coil, cylinder or plug.");
        }
        self.text(&swap.seen, check, "swap/seen");
        self.shows(check, &swap.misses, "swap/misses");
        if let Some(leak) = swap.leak {
            self.number(leak, 0.0..=0.99, "a leak", check.at("swap/leak"));
        }
        if swap.parts.is_empty() {
            let message = format!("The swap \"{}\" names no part that changes places.", check.name);
            self.fault(
                code::EMPTY_GATE,
                check.at("swap/parts"),
                message,
                "Name a part, as causes name it under part:.",
            );
        }
        self.once(&swap.parts, check, "swap/parts");
        for (i, part) in swap.parts.iter().enumerate() {
            let known = || declared.causes.items.iter().map(|cause| cause.twin.part.as_str());
            if !known().any(|known| known == part) {
                self.faults.unknown("part of a cause", part, check.at(&format!("swap/parts/{i}")), known());
            }
        }
    }

    fn outcomes(&mut self, check: &Decl<CheckTwin>) {
        if check.twin.outcomes.0.is_empty() {
            let message = format!("The check \"{}\" has no abnormal outcome, so it can tell nothing.", check.name);
            self.fault(
                code::NO_OUTCOMES,
                check.at("outcomes"),
                message,
                "Add outcomes: with what can be seen, and what shows it.",
            );
        }
        let mut keys: BTreeMap<&str, &str> = BTreeMap::new();
        for (name, outcome) in &check.twin.outcomes.0 {
            let path = format!("outcomes/{name}");
            self.good("outcome", name, check.at(&path));
            if name == "normal" {
                self.reserved("normal", check.at(&path), "the normal outcome has a field of its own");
            }
            self.outcome(check, outcome, &path);
            if let Some(key) = &outcome.key {
                let place = check.at(&format!("{path}/key"));
                if !matches!(key.as_bytes(), [b'a'..=b'z']) {
                    self.fault(
                        code::BAD_VALUE,
                        place,
                        format!("\"{key}\" cannot be a key."),
                        "Use one small letter from a to z.",
                    );
                } else if let Some(other) = keys.insert(key, name) {
                    let message = format!("The key \"{key}\" is the one of \"{other}\" already.");
                    self.fault(code::DUPLICATE_NAME, place, message, "Choose another letter.");
                }
            }
        }
    }

    fn outcome(&mut self, check: &Decl<CheckTwin>, outcome: &OutcomeTwin, path: &str) {
        self.text(&outcome.title, check, &format!("{path}/title"));
        self.shows(check, &outcome.shows, &format!("{path}/shows"));
        if let Some(leak) = outcome.leak {
            self.number(leak, 0.0..=0.99, "a leak", check.at(&format!("{path}/leak")));
        }
    }

    /// What an outcome or a complaint shows: known causes and effects, each once, that can meet the site.
    pub(super) fn shows<U>(&mut self, decl: &Decl<U>, shows: &[ShowTwin], path: &str) {
        if shows.is_empty() {
            let message = format!("Here \"{}\" shows nothing.", decl.name);
            self.fault(
                code::EMPTY_GATE,
                decl.at(path),
                message,
                "Name the causes and effects that bring it, each with its chance.",
            );
        }
        let mut seen: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for (i, show) in shows.iter().enumerate() {
            self.chance(show.chance, decl.at(&format!("{path}/{i}/chance")));
            let (what, name) = match (&show.cause, &show.effect) {
                (Some(cause), None) => ("cause", cause),
                (None, Some(effect)) => ("effect", effect),
                _ => {
                    let message = "One cause or one effect is wanted here.";
                    self.fault(
                        code::MISSING_FIELD,
                        decl.at(&format!("{path}/{i}")),
                        message,
                        "Write {cause: NAME, chance: 0.9} or {effect: NAME, chance: 0.9}.",
                    );
                    continue;
                }
            };
            let place = decl.at(&format!("{path}/{i}/{what}"));
            if seen.insert((what, name), i).is_some() {
                let message = format!("\"{name}\" stands twice in the list.");
                self.fault(code::DUPLICATE_NAME, place, message, "Delete one of the two.");
            }
            self.name_of_other(what, name, place);
        }
    }

    /// A cause or effect, with a word to the one who took one for the other.
    fn name_of_other(&mut self, what: &str, name: &str, place: super::Place) {
        let declared = self.declared;
        let (here, there) = match what {
            "cause" => (declared.causes.knows(name), declared.effects.knows(name)),
            _ => (declared.effects.knows(name), declared.causes.knows(name)),
        };
        if !here && there {
            let other = if what == "cause" { "effect" } else { "cause" };
            let message = format!("\"{name}\" is no {what} but a declared {other}.");
            self.fault(code::UNKNOWN_NAME, place, message, format!("Write {other}: {name}."));
        } else if !here && what == "cause" {
            self.faults.unknown(what, name, place, declared.causes.names());
        } else if !here {
            self.faults.unknown(what, name, place, declared.effects.names());
        }
    }

    /// That the limit of a check is there and names outcomes of it.
    fn reading(&mut self, check: &Decl<CheckTwin>, name: &str) {
        let declared = self.declared;
        if let Some(limit) = self.name_in(&declared.limits, "limit", name, check.at("reading/limit")) {
            super::super::limits::fits(check, limit, &limit.twin, self.faults);
        }
    }
}
