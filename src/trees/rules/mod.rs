//! What may be wrong with a tree that reads well: names that lead nowhere, figures out of range or without a source, gates
//! over nothing, causes that nothing sees or cures.
//!
//! Looks at the declarations as they are written, by kind of site. What can only be told in one layout is told there. Must
//! change nothing.

mod checks;
mod fields;
mod gates;
mod ground;
mod manner;
mod recent_work;
mod tree;

use std::collections::BTreeSet;

use super::craft::CODES;
use super::declared::{Decl, Declared, Section, good_name};
use super::diagnostic::Diagnostic;
use super::faults::{Faults, code};
use super::layouts::EngineLayout;
use super::lower::MARKS;
use super::node::Place;
use super::shapes::Cite;
use crate::model::{Layout, SystemKind};

/// Looks at a whole tree. `complete` says that all its files could be read, so that what is missing is missing indeed.
pub(super) fn look(declared: &Declared, layouts: &[EngineLayout], complete: bool, faults: &mut Faults) {
    let before = faults.count();
    let mut look = Look { declared, tags: tags(layouts), complete, faults };
    super::limits::look(declared, look.faults);
    look.ground();
    look.modes();
    look.causes();
    look.effects();
    look.complaints();
    look.checks();
    look.work();
    look.recent_work();
    look.rings();
    look.exceptions();
    if complete && look.faults.count() == before {
        look.coverage();
        look.gates(layouts);
    }
}

/// The tags that `only:` may name; nothing where there are no layouts to know them from.
fn tags(layouts: &[EngineLayout]) -> Option<BTreeSet<String>> {
    if layouts.is_empty() {
        return None;
    }
    let kinds = SystemKind::ALL.iter().flat_map(|kind| kind.tags());
    let mut tags: BTreeSet<String> = kinds.chain(&Layout::DERIVED_TAGS).map(|tag| (*tag).to_string()).collect();
    for layout in layouts.iter().map(|l| &l.layout) {
        tags.extend(layout.tags.iter().chain(&layout.left.tags).chain(&layout.right.tags).cloned());
    }
    Some(tags)
}

/// One look at a tree.
struct Look<'a> {
    declared: &'a Declared,
    tags: Option<BTreeSet<String>>,
    /// Whether all files could be read.
    complete: bool,
    faults: &'a mut Faults,
}

impl<'a> Look<'a> {
    fn fault(&mut self, code: &'static str, place: Place, message: impl Into<String>, mend: impl Into<String>) {
        self.faults.add(code, place, message, mend);
    }

    /// Something that no file says, where all could be read. The first cause is pointed at, if there is any.
    fn missing(&mut self, code: &'static str, message: &str, mend: &str) {
        if !self.complete {
            return;
        }
        match self.declared.causes.items.first() {
            Some(cause) => self.fault(code, cause.place(), message, mend),
            None => self.faults.add_unread(Diagnostic::whole(code, "", message, mend)),
        }
    }

    /// A name that a section must have.
    fn name_in<T>(&mut self, section: &'a Section<T>, what: &str, name: &str, place: Place) -> Option<&'a Decl<T>> {
        if !section.knows(name) {
            self.faults.unknown(what, name, place, section.names());
        }
        section.get(name)
    }

    /// A list of names, each there and named once, without regard to where they are.
    fn names<T, U>(&mut self, section: &'a Section<T>, what: &str, names: &[String], decl: &Decl<U>, path: &str) {
        for (i, name) in names.iter().enumerate() {
            self.name_in(section, what, name, decl.at(&format!("{path}/{i}")));
        }
        self.once(names, decl, path);
    }

    /// That no name stands twice in a list.
    fn once<U>(&mut self, names: &[String], decl: &Decl<U>, path: &str) {
        let mut seen = BTreeSet::new();
        for (i, name) in names.iter().enumerate() {
            if !seen.insert(name) {
                let message = format!("\"{name}\" stands twice in the list.");
                self.fault(code::DUPLICATE_NAME, decl.at(&format!("{path}/{i}")), message, "Delete one of the two.");
            }
        }
    }

    /// Tags that some layout has.
    fn only<U>(&mut self, only: &[String], decl: &Decl<U>) {
        for (i, tag) in only.iter().enumerate() {
            let place = decl.at(&format!("only/{i}"));
            if let Some(tags) = &self.tags
                && !tags.contains(tag)
            {
                self.faults.unknown("tag of a layout", tag, place, tags.iter().map(String::as_str));
            }
        }
        self.once(only, decl, "only");
    }

    /// A source that is given and there.
    fn source<U>(&mut self, cite: Option<&Cite>, decl: &Decl<U>, path: &str) {
        let place = decl.at(path);
        match cite {
            None => {
                let field = path.rsplit('/').next().unwrap_or(path);
                let mend = format!(
                    "Add {field}: with the name of a source, or common (common practice) or placeholder (our guess)."
                );
                self.fault(code::NO_SOURCE, place, format!("The figures of \"{}\" have no source.", decl.name), mend);
            }
            Some(cite) if !MARKS.contains(&cite.name.as_str()) && !self.declared.sources.knows(&cite.name) => {
                let place = decl.at(&format!("{path}/name"));
                let known = MARKS.into_iter().chain(self.declared.sources.names());
                self.faults.unknown("source", &cite.name, place, known);
            }
            Some(_) => {}
        }
    }

    /// A number within a range; NaN and infinities are in none.
    fn number(&mut self, value: f64, range: std::ops::RangeInclusive<f64>, what: &str, place: Place) {
        if !range.contains(&value) {
            let message = format!("{value} cannot be {what}.");
            let mend = format!("Write a number from {} to {}.", range.start(), range.end());
            self.fault(code::BAD_NUMBER, place, message, mend);
        }
    }

    fn chance(&mut self, value: f64, place: Place) {
        self.number(value, 0.0..=1.0, "a chance", place);
    }

    fn minutes(&mut self, value: f64, place: Place) {
        self.number(value, 0.0..=10_000.0, "a time in minutes", place);
    }

    /// A text that says something.
    fn text<U>(&mut self, text: &str, decl: &Decl<U>, path: &str) {
        if text.trim().is_empty() {
            let message = format!("\"{}\" has an empty text here.", decl.name);
            self.fault(
                code::EMPTY_TEXT,
                decl.at(path),
                message,
                "Write the text, or delete the field where it is optional.",
            );
        } else if path.ends_with("title") && text.trim().contains('\n') {
            self.fault(code::BAD_VALUE, decl.at(path), "The title has more than one line.", "Shorten it to one line.");
        }
    }

    /// A list of texts that each say something, and at least one of them.
    fn texts<U>(&mut self, texts: &[String], at_least_one: bool, decl: &Decl<U>, path: &str) {
        if at_least_one && texts.is_empty() {
            let message = format!("\"{}\" has an empty list here.", decl.name);
            self.fault(code::EMPTY_TEXT, decl.at(path), message, "Write at least one sentence.");
        }
        for (i, text) in texts.iter().enumerate() {
            self.text(text, decl, &format!("{path}/{i}"));
        }
    }

    /// That exceptions name warnings there are, and say why.
    fn exceptions(&mut self) {
        for exception in &self.declared.allow {
            if !CODES.contains(&exception.twin.warning.as_str()) {
                self.faults.unknown("warning", &exception.twin.warning, exception.at("warning"), CODES.into_iter());
            }
            if exception.twin.because.trim().is_empty() {
                let message = "The exception gives no reason.";
                let mend = "Say under because: why the tree is right as it is.";
                self.fault(code::EMPTY_TEXT, exception.at("because"), message, mend);
            }
        }
    }

    /// A name given inside a declaration.
    fn good(&mut self, what: &str, name: &str, place: Place) {
        good_name(what, name, place, self.faults);
    }

    fn reserved(&mut self, name: &str, place: Place, why: &str) {
        self.fault(code::RESERVED_NAME, place, format!("The name \"{name}\" is taken: {why}."), "Choose another name.");
    }
}
