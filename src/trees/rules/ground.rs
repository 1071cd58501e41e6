//! Rules for what a tree stands on: sources, conditions, hazards, access, provocations and the unknown cause.

use std::collections::BTreeMap;

use petgraph::algo::kosaraju_scc;
use petgraph::graph::DiGraph;

use super::super::declared::Decl;
use super::super::faults::code;
use super::super::lower::MARKS;
use super::super::node::Place;
use super::super::shapes::Ordered;
use super::super::twin::{AccessTwin, ConditionTwin};
use super::super::work_twin::EngineTwin;
use super::Look;
use crate::model::Mode;

impl Look<'_> {
    pub(super) fn ground(&mut self) {
        let declared = self.declared;
        for source in &declared.sources.items {
            if MARKS.contains(&source.name.as_str()) {
                self.reserved(&source.name, source.place(), "common and placeholder need no declaration");
            }
            self.text(&source.twin.document, source, "document");
            self.text(&source.twin.edition, source, "edition");
        }
        self.conditions();
        for hazard in &declared.hazards.items {
            if hazard.twin.title.trim().is_empty() || hazard.twin.caution.trim().is_empty() {
                let message = format!("The hazard \"{}\" has no words to warn with.", hazard.name);
                let field = if hazard.twin.caution.trim().is_empty() { "caution" } else { "title" };
                self.fault(
                    code::HAZARD_WORDS,
                    hazard.at(field),
                    message,
                    "Write the title and the caution in full sentences.",
                );
            }
        }
        for hazard in &declared.hazards.items {
            self.texts(&hazard.twin.of_parts, false, hazard, "of-parts");
            self.once(&hazard.twin.of_parts, hazard, "of-parts");
            if let Some(minutes) = hazard.twin.after_run {
                self.minutes(minutes, hazard.at("after-run"));
            }
        }
        self.access();
        for provocation in &declared.provocations.items {
            let twin = &provocation.twin;
            self.text(&twin.title, provocation, "title");
            self.minutes(twin.minutes, provocation.at("minutes"));
            self.texts(&twin.steps, false, provocation, "steps");
            self.levels(&twin.sets, provocation, "sets");
            if twin.sets.0.is_empty() {
                let message = format!("The provocation \"{}\" sets no condition.", provocation.name);
                self.fault(
                    code::EMPTY_TEXT,
                    provocation.at("sets"),
                    message,
                    "Say what it changes, such as sets: {heat: hot}.",
                );
            }
            self.names(&declared.hazards, "hazard", &twin.hazards, provocation, "hazards");
            self.names(&declared.access, "access state", &twin.access.open, provocation, "access/open");
            self.manner(provocation, &twin.into());
            self.source(twin.source.as_ref(), provocation, "source");
        }
    }

    fn conditions(&mut self) {
        // The level alone must tell the condition: "hot, wet, still".
        let mut seen: BTreeMap<&str, &str> = BTreeMap::new();
        for condition in &self.declared.conditions.items {
            if ["base", "steady", "at-times", "moments", "source"].contains(&condition.name.as_str()) {
                self.reserved(&condition.name, condition.place(), "it has a meaning of its own under wakes");
            }
            self.text(&condition.twin.title, condition, "title");
            self.course(condition);
            if condition.twin.levels.len() < 2 {
                let message = format!("The condition \"{}\" needs at least two levels.", condition.name);
                self.fault(
                    code::EMPTY_TEXT,
                    condition.at("levels"),
                    message,
                    "Name the resting level first, then the others.",
                );
            }
            for (i, level) in condition.twin.levels.iter().enumerate() {
                let place = condition.at(&format!("levels/{i}"));
                self.good("level", level, place);
                if let Some(other) = seen.insert(level, &condition.name) {
                    let message = format!("The level \"{level}\" is one of \"{other}\" already.");
                    self.fault(code::DUPLICATE_NAME, place, message, "Give each level a name that no other level has.");
                }
            }
        }
    }

    /// Minutes in which a condition's levels come and go: of levels it has, above the resting one, and rising with them.
    fn course(&mut self, condition: &Decl<ConditionTwin>) {
        let twin = &condition.twin;
        let courses = [
            (&twin.rises_running, "rises-running"),
            (&twin.falls_at_rest, "falls-at-rest"),
            (&twin.falls_running, "falls-running"),
        ];
        for (course, field) in courses {
            let mut reached: Vec<(usize, f64, &str)> = Vec::new();
            for (level, minutes) in &course.0 {
                let path = format!("{field}/{level}");
                self.number(*minutes, 0.1..=10_000.0, "the minutes of a level", condition.at(&path));
                let Some(i) = twin.levels.iter().position(|l| l == level) else {
                    let message = format!("\"{}\" has no level \"{level}\".", condition.name);
                    let mend = format!("Its levels are: {}.", twin.levels.join(", "));
                    self.fault(code::UNKNOWN_LEVEL, condition.at_key(&path), message, mend);
                    continue;
                };
                if i == 0 {
                    let message = format!("\"{level}\" is the resting level: it is neither risen to nor fallen from.");
                    self.fault(code::BAD_VALUE, condition.at_key(&path), message, "Name the levels above it.");
                }
                reached.push((i, *minutes, level));
            }
            reached.sort_by_key(|(i, _, _)| *i);
            for pair in reached.windows(2).filter(|pair| field == "rises-running" && pair[0].1 >= pair[1].1) {
                let message = format!("\"{}\" is reached no later than \"{}\", the lower level.", pair[1].2, pair[0].2);
                let mend = "The minutes count from the start; write more for the higher level.";
                self.fault(code::BAD_NUMBER, condition.at(&format!("{field}/{}", pair[1].2)), message, mend);
            }
        }
        let timed = courses.iter().any(|(course, _)| !course.0.is_empty());
        if timed || twin.source.is_some() {
            self.source(twin.source.as_ref(), condition, "source");
        }
    }

    /// The modes in which an access state may stay open, each once.
    fn stays(&mut self, state: &Decl<AccessTwin>) {
        let modes = &state.twin.stays_open_in;
        for (i, mode) in modes.iter().enumerate() {
            let place = state.at(&format!("stays-open-in/{i}"));
            let name = Mode::from(*mode).name();
            if *mode == EngineTwin::AtRest {
                let message = "Everything may stay open with the engine at rest.";
                self.fault(code::BAD_VALUE, place, message, "Delete at-rest here.");
            } else if modes[..i].contains(mode) {
                let message = format!("\"{name}\" stands twice in the list.");
                self.fault(code::DUPLICATE_NAME, place, message, "Delete one of the two.");
            }
        }
    }

    /// Levels of conditions by name.
    pub(super) fn levels<U>(&mut self, levels: &Ordered<String>, decl: &Decl<U>, path: &str) {
        for (condition, level) in &levels.0 {
            let path = format!("{path}/{condition}");
            self.level(condition, level, decl.at_key(&path), decl.at(&path));
        }
    }

    /// A level of a condition, with where each of the two names stands.
    pub(super) fn level(&mut self, condition: &str, level: &str, condition_at: Place, level_at: Place) {
        let declared = self.declared;
        let Some(known) = self.name_in(&declared.conditions, "condition", condition, condition_at) else { return };
        if !known.twin.levels.iter().any(|l| l == level) {
            let message = format!("\"{condition}\" has no level \"{level}\".");
            let mend = format!("Its levels are: {}.", known.twin.levels.join(", "));
            self.fault(code::UNKNOWN_LEVEL, level_at, message, mend);
        }
    }

    fn access(&mut self) {
        let declared = self.declared;
        let mut graph: DiGraph<usize, ()> = DiGraph::new();
        let nodes: Vec<_> = (0..declared.access.items.len()).map(|i| graph.add_node(i)).collect();
        for (i, state) in declared.access.items.iter().enumerate() {
            let twin = &state.twin;
            self.text(&twin.title, state, "title");
            self.minutes(twin.open, state.at("open"));
            self.minutes(twin.close, state.at("close"));
            self.only(&twin.only, state);
            self.names(&declared.access, "access state", &twin.needs, state, "needs");
            self.names(&declared.access, "access state", &twin.not_with, state, "not-with");
            self.names(&declared.hazards, "hazard", &twin.hazards, state, "hazards");
            self.names(&declared.causes, "cause", &twin.upsets, state, "upsets");
            self.owed(state, &twin.owes, &twin.owes_before_run);
            self.stays(state);
            for (levels, field) in [(&twin.opens_with, "opens-with"), (&twin.closes_with, "closes-with")] {
                if !levels.0.is_empty() {
                    let message = format!("There is no field \"{field}\" here.");
                    let mend = "What the engine does brings conditions: name it under modes: with sets: and leaves:.";
                    self.fault(code::UNKNOWN_FIELD, state.at_key(field), message, mend);
                }
            }
            for need in &twin.needs {
                if let Some(j) = declared.access.position(need) {
                    graph.update_edge(nodes[i], nodes[j], ());
                }
            }
        }
        for ring in kosaraju_scc(&graph) {
            if ring.len() > 1 || graph.contains_edge(ring[0], ring[0]) {
                let state = &declared.access.items[graph[ring[0]]];
                let message = format!("The access state \"{}\" needs itself in the end.", state.name);
                self.fault(
                    code::CYCLE,
                    state.at("needs"),
                    message,
                    "Take the name that leads back to it out of needs.",
                );
            }
        }
    }
}
