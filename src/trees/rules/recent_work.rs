//! Rules for the kinds of work done before a job.

use std::collections::BTreeSet;

use super::super::declared::Decl;
use super::super::faults::code;
use super::super::recent_work_twin::RecentWorkTwin;
use super::Look;

/// Words that answer the question for recent work by themselves.
const ANSWERS: [&str; 2] = ["nothing", "not-known"];

impl Look<'_> {
    pub(super) fn recent_work(&mut self) {
        let declared = self.declared;
        for kind in &declared.recent_work.items {
            let twin = &kind.twin;
            if ANSWERS.contains(&kind.name.as_str()) {
                self.reserved(&kind.name, kind.place(), "it is an answer of its own to what was worked on");
            }
            self.text(&twin.title, kind, "title");
            self.only(&twin.only, kind);
            self.source(twin.source.as_ref(), kind, "source");
            self.parts(&twin.renews, kind, "renews");
            self.parts(&twin.of_parts, kind, "of-parts");
            self.brought(kind);
        }
    }

    fn brought(&mut self, kind: &Decl<RecentWorkTwin>) {
        let declared = self.declared;
        let twin = &kind.twin;
        if twin.brings.is_empty() && twin.infant.is_empty() {
            let message = format!("The kind of work \"{}\" brings nothing.", kind.name);
            let mend = "Name under brings: the causes that such work can bring, each with its chance, or delete it.";
            self.fault(code::EMPTY_GATE, kind.at("brings"), message, mend);
        }
        let mut seen = BTreeSet::new();
        for (path, infant, brought) in twin.all() {
            let place = kind.at(&format!("{path}/cause"));
            let cause = self.name_in(&declared.causes, "cause", &brought.cause, place);
            if !seen.insert((infant, &brought.cause)) {
                let message = format!("\"{}\" stands twice in the list.", brought.cause);
                self.fault(code::DUPLICATE_NAME, place, message, "Delete one of the two.");
            }
            self.chance(brought.chance, kind.at(&format!("{path}/chance")));
            self.source(brought.source.as_ref(), kind, &format!("{path}/source"));
            if let Some(cause) = cause.filter(|cause| infant && !twin.renews.contains(&cause.twin.part)) {
                let message = format!(
                    "\"{}\" is of the part \"{}\", which this work does not renew.",
                    cause.name, cause.twin.part
                );
                let mend = "Name the part under renews:, or the cause under brings: where the work itself brings it.";
                self.fault(code::BAD_VALUE, place, message, mend);
            }
        }
    }

    /// Parts that causes have, each named once.
    fn parts(&mut self, parts: &[String], kind: &Decl<RecentWorkTwin>, path: &str) {
        let causes = &self.declared.causes;
        let known: BTreeSet<&str> = causes.items.iter().map(|cause| cause.twin.part.as_str()).collect();
        for (at, part) in parts.iter().enumerate() {
            if !known.contains(part.as_str()) && !causes.has_broken() {
                self.faults.unknown("part of a cause", part, kind.at(&format!("{path}/{at}")), known.iter().copied());
            }
        }
        self.once(parts, kind, path);
    }
}
