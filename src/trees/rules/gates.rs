//! Rules for effects: what they are made of, and that no gate stands over nothing.

use std::collections::BTreeSet;

use super::super::declared::Decl;
use super::super::faults::{Faults, code};
use super::super::gates::{self, Gate, Members};
use super::super::ground::Ground;
use super::super::layouts::EngineLayout;
use super::super::twin::EffectTwin;
use super::Look;
use crate::model::CauseId;

impl Look<'_> {
    pub(super) fn effects(&mut self) {
        let declared = self.declared;
        for effect in &declared.effects.items {
            self.text(&effect.twin.title, effect, "title");
            self.only(&effect.twin.only, effect);
            if let Some(cause) = declared.causes.get(&effect.name) {
                self.faults.add_twice("name", &effect.name, effect.place(), cause.place());
            }
            let twin = &effect.twin;
            let gates = [twin.any.is_some(), twin.all.is_some(), twin.at_least.is_some()];
            if gates.iter().filter(|there| **there).count() != 1 {
                let message = format!("The effect \"{}\" must have one gate.", effect.name);
                self.fault(code::EMPTY_GATE, effect.place(), message, "Write one of any:, all: and at-least:.");
                continue;
            }
            self.members(effect);
        }
    }

    fn members(&mut self, effect: &Decl<EffectTwin>) {
        let declared = self.declared;
        let (gate, names, path) = effect.twin.gate();
        if names.is_empty() || gate == Gate::AtLeast(0) {
            let message = format!("The gate of \"{}\" stands over nothing.", effect.name);
            self.fault(
                code::EMPTY_GATE,
                effect.at(path),
                message,
                "Name the causes and effects it is made of, and a count of 1 or more.",
            );
        }
        self.once(names, effect, path);
        for (i, name) in names.iter().enumerate() {
            let place = effect.at(&format!("{path}/{i}"));
            if !declared.causes.knows(name) && !declared.effects.knows(name) {
                self.faults.unknown(
                    "cause or effect",
                    name,
                    place,
                    declared.causes.names().chain(declared.effects.names()),
                );
            }
        }
    }

    /// That no effect is made of itself.
    pub(super) fn rings(&mut self) {
        let declared = self.declared;
        if let Err(ring) = gates::in_order(declared)
            && let Some(effect) = ring.first().and_then(|name| declared.effects.get(name))
        {
            let message = format!("The effect \"{}\" is made of itself: {}.", effect.name, ring.join(" and "));
            let (_, _, path) = effect.twin.gate();
            self.fault(code::CYCLE, effect.at(path), message, "Take the name that leads back to it out of the gate.");
        }
    }

    /// That each effect which has a site in some layout can be true in some layout.
    pub(super) fn gates(&mut self, layouts: &[EngineLayout]) {
        let declared = self.declared;
        let (mut placed, mut made): (BTreeSet<&str>, BTreeSet<String>) = (BTreeSet::new(), BTreeSet::new());
        for layout in layouts {
            let ground = Ground::of(&layout.layout);
            let mut members = Members::default();
            let mut count = 0;
            for (i, cause) in declared.causes.items.iter().enumerate() {
                for site in ground.places(cause.twin.at, &cause.twin.only) {
                    members.add_cause(i, site, CauseId(count));
                    count += 1;
                }
            }
            let effects = gates::expand(declared, &ground, &mut members, &mut Faults::default());
            made.extend(effects.list.into_iter().map(|effect| effect.name));
            for effect in &declared.effects.items {
                if !ground.places(effect.twin.at, &effect.twin.only).is_empty() {
                    placed.insert(&effect.name);
                }
            }
        }
        for effect in &declared.effects.items {
            if placed.contains(effect.name.as_str()) && !made.contains(&effect.name) {
                let message = format!(
                    "The effect \"{}\" can be true in no layout: its gate wants more than there is.",
                    effect.name
                );
                let (_, _, path) = effect.twin.gate();
                self.fault(
                    code::EMPTY_GATE,
                    effect.at(path),
                    message,
                    "Lower its count, name more members, or look at the only: of its members.",
                );
            }
        }
    }
}
