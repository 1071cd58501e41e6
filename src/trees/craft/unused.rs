//! Declarations that nothing uses: a source that no figure cites, a hazard that no work names, a limit that no check reads.

use crate::trees::wakes::WakesTwin;
use std::collections::BTreeSet;

use super::{Findings, works};
use crate::trees::declared::{Declared, Section};
use crate::trees::faults::code;
use crate::trees::library::Library;
use crate::trees::shapes::Cite;
use crate::trees::twin::ShowTwin;

pub(super) fn look(library: &Library, found: &mut Findings) {
    let declared = &library.declared;
    never(found, &declared.sources, "source", "cites it", &sources(library));
    never(found, &declared.hazards, "hazard", "brings it", &hazards(declared));
    never(found, &declared.limits, "limit", "reads by it", &limits(declared));
    never(found, &declared.access, "access state", "needs it", &access(declared));
    never(found, &declared.effects, "effect", "shows it or is made of it", &effects(declared));
    touches(declared, found);
    never(found, &declared.conditions, "condition", "is woken by it", &conditions(declared));
}

fn never<T>(found: &mut Findings, section: &Section<T>, what: &str, use_: &str, used: &BTreeSet<&str>) {
    for decl in section.items.iter().filter(|decl| !used.contains(decl.name.as_str())) {
        found.add(
            code::NEVER_USED,
            [decl.name.as_str()],
            decl.place(),
            format!("Nothing {use_}: the {what} \"{}\" is never used.", decl.name),
            "Delete it, or name it where it belongs.",
        );
    }
}

/// What work touches without a hazard of it.
fn touches(declared: &Declared, found: &mut Findings) {
    let known: BTreeSet<&String> = declared.hazards.items.iter().flat_map(|d| &d.twin.of_parts).collect();
    for (name, at, work) in works(declared) {
        for (i, part) in work.touches.iter().enumerate().filter(|(_, part)| !known.contains(part)) {
            found.add(
                code::NEVER_USED,
                [name, part],
                at(&format!("touches/{i}")),
                format!("\"{name}\" touches \"{part}\", and no hazard is of that."),
                "Delete it, or name it under of-parts: of a hazard.",
            );
        }
    }
}

fn sources(library: &Library) -> BTreeSet<&str> {
    let declared = &library.declared;
    let overrides = library.layouts().iter().flat_map(|layout| &layout.overrides);
    let cites = declared.limits.items.iter().chain(overrides).map(|d| &d.twin.source);
    let cites = cites.chain(declared.causes.items.iter().map(|d| &d.twin.rate_source));
    let lives = declared.causes.items.iter().filter_map(|d| d.twin.life.as_ref()).map(|life| &life.source);
    let cites = cites.chain(lives);
    let cites = cites.chain(declared.checks.items.iter().map(|d| &d.twin.source));
    let cites = cites.chain(declared.corrections.items.iter().map(|d| &d.twin.source));
    let cites = cites.chain(declared.provocations.items.iter().map(|d| &d.twin.source));
    let cites = cites.chain(declared.conditions.items.iter().map(|d| &d.twin.source));
    let work = declared.recent_work.items.iter();
    let cites = cites.chain(work.clone().map(|d| &d.twin.source));
    let cites = cites.chain(work.flat_map(|d| d.twin.brings.iter().chain(&d.twin.infant)).map(|b| &b.source));
    let cites = cites.chain(declared.unknown.items.iter().map(|d| &d.twin.source));
    let wakes = declared.causes.items.iter().filter_map(|d| d.twin.wakes.as_ref()).flat_map(WakesTwin::sources);
    cites.flatten().chain(wakes).map(|cite: &Cite| cite.name.as_str()).collect()
}

fn hazards(declared: &Declared) -> BTreeSet<&str> {
    let after_runs = declared.hazards.items.iter().filter(|d| d.twin.after_run.is_some()).map(|d| d.name.as_str());
    works(declared).into_iter().flat_map(|(_, _, work)| work.brings(declared)).chain(after_runs).collect()
}

fn limits(declared: &Declared) -> BTreeSet<&str> {
    declared.checks.items.iter().filter_map(|d| d.twin.reading.as_ref()).map(|r| r.limit.as_str()).collect()
}

fn access(declared: &Declared) -> BTreeSet<&str> {
    let lists = declared.checks.items.iter().flat_map(|d| [&d.twin.access.open, &d.twin.access.closed]);
    let lists = lists.chain(declared.corrections.items.iter().map(|d| &d.twin.access.open));
    let lists = lists.chain(declared.provocations.items.iter().map(|d| &d.twin.access.open));
    let lists = lists.chain(declared.access.items.iter().map(|d| &d.twin.needs));
    let lists = lists.chain(declared.modes.items.iter().map(|d| &d.twin.open));
    lists.flatten().map(String::as_str).collect()
}

fn effects(declared: &Declared) -> BTreeSet<&str> {
    let shown = declared.checks.items.iter().flat_map(|d| d.twin.shown()).map(|(_, show)| show);
    let shown = shown.chain(declared.complaints.items.iter().flat_map(|d| &d.twin.shows));
    let shown = shown.filter_map(|show: &ShowTwin| show.effect.as_deref());
    shown.chain(declared.effects.items.iter().flat_map(|d| d.twin.gate().1).map(String::as_str)).collect()
}

fn conditions(declared: &Declared) -> BTreeSet<&str> {
    let wakes = declared.causes.items.iter().filter_map(|d| d.twin.wakes.as_ref());
    wakes.flat_map(|wakes| &wakes.levels.0).map(|(name, _)| name.as_str()).collect()
}
