//! Rules for how work is done: modes of the engine, what may stay open in them, what work spends, owes and needs.

use super::super::declared::Decl;
use super::super::faults::code;
use super::super::lower;
use super::super::twin::CheckTwin;
use super::super::work::{Work, with_needs};
use super::super::work_twin::{Fact, ModeTwin};
use super::Look;
use crate::model::Mode;

impl<'a> Look<'a> {
    pub(super) fn modes(&mut self) {
        let declared = self.declared;
        for decl in &declared.modes.items {
            let twin = &decl.twin;
            self.text(&twin.title, decl, "title");
            self.minutes(twin.there, decl.at("there"));
            self.minutes(twin.back, decl.at("back"));
            self.names(&declared.access, "access state", &twin.open, decl, "open");
            self.names(&declared.hazards, "hazard", &twin.hazards, decl, "hazards");
            self.levels(&twin.sets, decl, "sets");
            self.levels(&twin.leaves, decl, "leaves");
            self.once(&twin.formerly, decl, "formerly");
            for (i, name) in twin.formerly.iter().enumerate() {
                self.good("access state", name, decl.at(&format!("formerly/{i}")));
                if declared.access.knows(name) {
                    let message = format!("\"{name}\" is an access state of this tree, so it is not a former one.");
                    self.fault(
                        code::BAD_VALUE,
                        decl.at(&format!("formerly/{i}")),
                        message,
                        "Delete it here, or the access state.",
                    );
                }
            }
            if let Some(mode) = Mode::named(&decl.name) {
                self.mode(decl, mode);
            } else {
                let message = format!("There is no mode named \"{}\".", decl.name);
                let mend = format!("The modes are: {}.", Mode::ALL.map(Mode::name).join(", "));
                self.fault(code::UNKNOWN_NAME, decl.place(), message, mend);
            }
        }
    }

    fn mode(&mut self, decl: &Decl<ModeTwin>, mode: Mode) {
        let twin = &decl.twin;
        if mode == Mode::AtRest {
            let given = [
                ("from", twin.from.is_some()),
                ("there", twin.there != 0.0),
                ("back", twin.back != 0.0),
                ("open", !twin.open.is_empty()),
                ("sets", !twin.sets.0.is_empty()),
                ("leaves", !twin.leaves.0.is_empty()),
            ];
            for (field, _) in given.into_iter().filter(|(_, given)| *given) {
                let message = format!("Nothing leads to at-rest, so it has no {field}.");
                self.fault(code::BAD_VALUE, decl.at(field), message, "Say it of the modes that are left for it.");
            }
            return;
        }
        let from: Mode = twin.from.map_or_else(|| lower::reached_from(mode), Into::into);
        if from != Mode::AtRest && !from.lasts() {
            let message = format!("The engine is at rest again after {}, so no mode is reached from it.", from.name());
            self.fault(code::BAD_VALUE, decl.at("from"), message, "Write at-rest, run, run-at-power or flown.");
        } else if self.goes_round(mode) {
            let message = format!("The mode \"{}\" is reached from itself in the end.", decl.name);
            self.fault(code::CYCLE, decl.at("from"), message, "Let from: lead back to at-rest.");
        }
        self.may_stay(decl, &twin.open, mode, "open");
    }

    /// Whether the way back from a mode never ends at rest.
    fn goes_round(&self, mode: Mode) -> bool {
        let mut at = mode;
        for _ in Mode::ALL {
            if at == Mode::AtRest {
                return false;
            }
            let said = self.declared.modes.get(at.name()).and_then(|decl| decl.twin.from);
            at = said.map_or_else(|| lower::reached_from(at), Into::into);
        }
        true
    }

    /// Rules for how an action is done.
    pub(super) fn manner<U>(&mut self, decl: &Decl<U>, work: &Work<'_>) {
        self.number(work.waiting, 0.0..=work.minutes.max(0.0), "the minutes of waiting", decl.at("waiting"));
        self.texts(work.touches, false, decl, "touches");
        self.once(work.touches, decl, "touches");
        self.may_stay(decl, work.open, work.engine, "access/open");
    }

    /// That what is named open, with all that it needs, may stay open in a mode.
    fn may_stay<U>(&mut self, decl: &Decl<U>, names: &[String], mode: Mode, path: &str) {
        if mode == Mode::AtRest {
            return;
        }
        for (i, name) in names.iter().enumerate() {
            for state in with_needs(self.declared, name) {
                let Some(access) = self.declared.access.get(state) else { continue };
                if access.twin.stays_open_in.iter().any(|stays| Mode::from(*stays) == mode) {
                    continue;
                }
                let message = format!(
                    "\"{}\" needs \"{state}\" open with the engine in {}, where it may not stay open.",
                    decl.name,
                    mode.name()
                );
                let mend = format!("Take it out, or add {} to stays-open-in of \"{state}\".", mode.name());
                self.fault(code::ROUND_TRIP, decl.at(&format!("{path}/{i}")), message, mend);
            }
        }
    }

    /// Checks that are owed after work.
    pub(super) fn owed<U>(&mut self, decl: &Decl<U>, owes: &[String], owes_before_run: &[String]) {
        self.names(&self.declared.checks, "check", owes, decl, "owes");
        self.names(&self.declared.checks, "check", owes_before_run, decl, "owes-before-run");
    }

    /// What takes away what a check looks at, what it needs to make sense, and what its look answers beside it.
    pub(super) fn bonds(&mut self, check: &Decl<CheckTwin>) {
        let declared = self.declared;
        let twin = &check.twin;
        for (i, name) in twin.gone_after.iter().enumerate() {
            if !declared.access.knows(name) && !declared.corrections.knows(name) {
                let known = declared.access.names().chain(declared.corrections.names());
                let place = check.at(&format!("gone-after/{i}"));
                self.faults.unknown("access state or correction", name, place, known);
            }
        }
        self.once(&twin.gone_after, check, "gone-after");
        self.names(&declared.access, "access state", &twin.gone_while, check, "gone-while");
        self.names(&declared.checks, "check", &twin.same_look_as, check, "same-look-as");
        for (i, need) in twin.needs.iter().enumerate() {
            let path = format!("needs/{i}");
            match need.fact() {
                Some(fact) => self.fact(check, fact, &path),
                None => self.fault(
                    code::MISSING_FIELD,
                    check.at(&path),
                    "One fact is wanted here.",
                    "Write shows-now, {answered: CHECK}, {not-seen: CHECK, outcome: OUTCOME}, {not-complaint: [COMPLAINT]} \
                     or {gauge: WORDS}.",
                ),
            }
        }
    }

    fn fact(&mut self, check: &Decl<CheckTwin>, fact: Fact<'_>, path: &str) {
        let declared = self.declared;
        match fact {
            Fact::ShowsNow => {}
            Fact::Answered(name) => {
                let place = check.at(&format!("{path}/answered"));
                self.other_check(check, name, place);
            }
            Fact::NotSeen(name, outcome) => {
                let place = check.at(&format!("{path}/not-seen"));
                let Some(other) = self.other_check(check, name, place) else { return };
                let swap = other.twin.swap.iter().flat_map(|_| super::super::swap::OUTCOMES).map(|(name, _)| name);
                let known: Vec<&str> =
                    other.twin.outcomes.0.iter().map(|(name, _)| name.as_str()).chain(swap).collect();
                if !known.contains(&outcome) {
                    let place = check.at(&format!("{path}/outcome"));
                    self.faults.unknown(&format!("abnormal outcome of \"{name}\""), outcome, place, known.into_iter());
                }
            }
            Fact::NotComplaint(names) => {
                let path = format!("{path}/not-complaint");
                if names.is_empty() {
                    self.fault(
                        code::EMPTY_TEXT,
                        check.at(&path),
                        "No complaint is named.",
                        "Name one, or delete the fact.",
                    );
                }
                self.names(&declared.complaints, "complaint", names, check, &path);
            }
            Fact::Gauge(gauge) => self.text(gauge, check, &format!("{path}/gauge")),
        }
    }

    /// A check that is named by another as one that comes first.
    fn other_check(&mut self, check: &Decl<CheckTwin>, name: &str, place: super::Place) -> Option<&'a Decl<CheckTwin>> {
        let declared = self.declared;
        if name == check.name {
            let message = format!("\"{name}\" cannot wait for itself.");
            self.fault(code::CYCLE, place, message, "Name another check, or delete the fact.");
        }
        self.name_in(&declared.checks, "check", name, place)
    }
}
