//! Rules for causes and for the work that puts them right.

use std::collections::BTreeSet;

use super::super::declared::Decl;
use super::super::faults::code;
use super::super::twin::{CauseTwin, LifeTwin};
use super::super::wakes::{Named, WakesTwin};
use super::Look;
use crate::model::UNLISTED;

impl Look<'_> {
    pub(super) fn causes(&mut self) {
        let declared = self.declared;
        for cause in &declared.causes.items {
            let twin = &cause.twin;
            if cause.name.starts_with(UNLISTED) {
                self.reserved(&cause.name, cause.place(), "it stands for what is not in the tree");
            }
            self.text(&twin.title, cause, "title");
            self.text(&twin.how, cause, "how");
            self.good("part", &twin.part, cause.at("part"));
            self.only(&twin.only, cause);
            self.number(twin.rate, 0.0..=1_000.0, "a rate per 1,000 engine hours", cause.at("rate"));
            self.source(twin.rate_source.as_ref(), cause, "rate-source");
            if let Some(life) = &twin.life {
                self.life(life, cause);
            }
            if let Some(wakes) = &twin.wakes {
                self.wakes(wakes, cause);
            }
            if let Some(check) = &twin.told_by {
                self.told_by(check, cause);
            }
        }
        match declared.unknown.items.first() {
            Some(unknown) => {
                self.text(&unknown.twin.title, unknown, "title");
                let twin = &unknown.twin;
                let rates = [("side", twin.side), ("cylinder", twin.cylinder), ("not-ignition", twin.not_ignition)];
                for (field, rate) in rates.into_iter().chain([("rate", Some(twin.rate))]) {
                    let Some(rate) = rate else { continue };
                    self.number(rate, 0.0..=1_000.0, "a rate per 1,000 engine hours", unknown.at(field));
                }
                self.source(unknown.twin.source.as_ref(), unknown, "source");
            }
            None if declared.unknown.has_broken() => {}
            None => {
                let mend =
                    "Add to one file: unknown: {title: something not in this tree, rate: 0.4, source: placeholder}";
                self.missing(code::NO_UNKNOWN, "No file says what is not in the tree.", mend);
            }
        }
    }

    /// The check that tells a look-alike from ignition: one that shows it by its own name.
    fn told_by(&mut self, name: &str, cause: &Decl<CauseTwin>) {
        let declared = self.declared;
        let place = cause.at("told-by");
        if !cause.twin.not_ignition {
            let message = format!("\"{}\" is an ignition fault, so nothing tells it from one.", cause.name);
            self.fault(code::BAD_VALUE, place, message, "Delete told-by:, or add not-ignition: true.");
        }
        if let Some(check) = self.name_in(&declared.checks, "check", name, place)
            && !check.twin.shown().any(|(_, show)| show.cause.as_ref() == Some(&cause.name))
        {
            let message = format!("The check \"{name}\" does not show the cause \"{}\".", cause.name);
            self.fault(code::UNSEEN_CAUSE, place, message, "Name a check with an outcome that shows it by its name.");
        }
    }

    fn life(&mut self, life: &LifeTwin, cause: &Decl<CauseTwin>) {
        if life.hours.is_none() && life.years.is_none() {
            let message = format!("The life of \"{}\" has neither hours nor years.", cause.name);
            self.fault(code::MISSING_FIELD, cause.at("life"), message, "Add hours: or years:, or delete life:.");
        }
        for (value, field, most) in [(life.hours, "hours", 100_000.0), (life.years, "years", 200.0)] {
            if let Some(value) = value {
                self.number(value, 0.1..=most, &format!("a life in {field}"), cause.at(&format!("life/{field}")));
            }
        }
        self.number(life.shape, 0.1..=10.0, "the shape of wear", cause.at("life/shape"));
        self.source(life.source.as_ref(), cause, "life/source");
    }

    fn wakes(&mut self, wakes: &WakesTwin, cause: &Decl<CauseTwin>) {
        for (condition, levels) in &wakes.levels.0 {
            let key = cause.at_key(&format!("wakes/{condition}"));
            if levels.0.is_empty() {
                self.level(condition, "", key, key);
            }
            for (level, weight) in &levels.0 {
                let path = format!("wakes/{condition}/{level}");
                self.level(condition, level, key, cause.at_key(&path));
                self.chance(weight.weight, cause.at(&path));
            }
        }
        if let Some(base) = wakes.base {
            self.chance(base.chance(), cause.at("wakes/base"));
        }
        let weights = wakes.weights();
        for (named, weight) in &weights {
            let path = match named {
                Named::Steady => "wakes/steady",
                Named::AtTimes => "wakes/at-times",
                Named::Moments => "wakes/moments",
                Named::Level(..) => continue,
            };
            self.chance(*weight, cause.at(path));
        }
        let own = [&wakes.steady, &wakes.at_times, &wakes.moments];
        if wakes.base.is_some() && own.iter().any(|weight| weight.is_some()) {
            self.fault(
                code::OLD_WAKES,
                cause.at("wakes/base"),
                "A base beside weights: base belongs to the older form of wakes.".to_owned(),
                "Leave base out.",
            );
        } else if weights.iter().map(|(_, weight)| weight).sum::<f64>() <= 0.0 {
            self.fault(
                code::BAD_NUMBER,
                cause.at("wakes"),
                "Nothing wakes this cause: all weights are 0.".to_owned(),
                "Give steady, at-times, moments or a level of a condition a weight.",
            );
        }
        if wakes.source.is_none() {
            self.source(None, cause, "wakes/source");
        }
        for cite in wakes.sources() {
            self.source(Some(cite), cause, "wakes/source");
        }
    }

    /// Rules for corrections.
    pub(super) fn work(&mut self) {
        let declared = self.declared;
        for correction in &declared.corrections.items {
            let twin = &correction.twin;
            self.text(&twin.title, correction, "title");
            self.only(&twin.only, correction);
            self.minutes(twin.minutes, correction.at("minutes"));
            self.number(twin.cost, 0.0..=1_000_000.0, "a cost", correction.at("cost"));
            self.number(twin.fails, 0.0..=0.99, "the chance that it does not cure", correction.at("fails"));
            self.texts(&twin.steps, false, correction, "steps");
            self.texts(&twin.parts, false, correction, "parts");
            if let Some(proof) = &twin.proof {
                self.text(proof, correction, "proof");
            }
            self.source(twin.source.as_ref(), correction, "source");
            self.names(&declared.hazards, "hazard", &twin.hazards, correction, "hazards");
            self.names(&declared.access, "access state", &twin.access.open, correction, "access/open");
            self.manner(correction, &twin.into());
            self.owed(correction, &twin.owes, &twin.owes_before_run);
            if twin.cures.is_empty() {
                let message = format!("The correction \"{}\" cures nothing.", correction.name);
                self.fault(code::EMPTY_GATE, correction.at("cures"), message, "Name the causes that it puts right.");
            }
            for (list, path) in [(&twin.cures, "cures"), (&twin.disturbs, "disturbs")] {
                self.names(&declared.causes, "cause", list, correction, path);
            }
        }
    }

    /// That each cause can be seen by some check and cured by some correction.
    pub(super) fn coverage(&mut self) {
        let declared = self.declared;
        let shown = |decl: &Decl<super::super::twin::CheckTwin>| -> Vec<String> {
            let shows = decl.twin.shown().map(|(_, show)| show).filter(|show| show.chance > 0.0);
            shows.flat_map(|show| show.cause.iter().chain(&show.effect)).cloned().collect()
        };
        let mut seen: BTreeSet<String> = declared.checks.items.iter().flat_map(shown).collect();
        // What makes up a seen effect is seen too.
        let mut waiting: Vec<String> = seen.iter().cloned().collect();
        while let Some(name) = waiting.pop() {
            let Some(effect) = declared.effects.get(&name) else { continue };
            for member in effect.twin.gate().1 {
                if seen.insert(member.clone()) {
                    waiting.push(member.clone());
                }
            }
        }
        let cured: BTreeSet<&String> = declared.corrections.items.iter().flat_map(|c| &c.twin.cures).collect();
        for cause in &declared.causes.items {
            if !seen.contains(&cause.name) {
                let message = format!("No check can see the cause \"{}\".", cause.name);
                self.fault(
                    code::UNSEEN_CAUSE,
                    cause.place(),
                    message,
                    "Name it under shows: in an outcome of a check, or delete it.",
                );
            }
            if !cured.contains(&cause.name) {
                let message = format!("No correction cures the cause \"{}\".", cause.name);
                self.fault(
                    code::UNCURED_CAUSE,
                    cause.place(),
                    message,
                    "Name it under cures: of a correction; for a look-alike of the kind hand-over.",
                );
            }
        }
    }
}
