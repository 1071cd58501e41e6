//! What an experienced eye would question in a tree that reads well: causes that nothing tells apart, checks that decide nothing,
//! complaints that do not add up, hazards left unsaid, sleepers that nothing wakes, odd figures, names that nothing uses.
//!
//! Each is a warning. An `allow:` of the tree excepts it with a reason; one that excepts nothing is a warning too. Must change nothing.

mod alike;
mod asleep;
mod figures;
mod hazards;
mod idle;
mod modes;
mod older;
mod proof;
mod recent_work;
mod shown;
mod sums;
mod unused;
mod words;

use std::collections::BTreeSet;

use super::declared::{Declared, Exception};
use super::diagnostic::{Diagnostic, Severity};
use super::faults::code;
use super::library::Library;
use super::lint::Above;
use super::node::Place;
use super::work::Work;
use crate::model::Model;

/// The codes that an `allow:` may except.
pub(super) const CODES: [&str; 13] = [
    code::ALIKE_CAUSES,
    code::IDLE_CHECK,
    code::OUTDONE_CHECK,
    code::COMPLAINT_SUM,
    code::HAZARD_MISSING,
    code::MODE_MISSING,
    code::NOTHING_WAKES,
    code::ODD_CHANCE,
    code::ODD_MINUTES,
    code::ODD_RATE,
    code::NEVER_USED,
    code::OLD_WAKES,
    code::PROVES_LITTLE,
];

/// One warning, not yet drawn.
struct Finding {
    code: &'static str,
    /// The declarations it is about, sorted.
    about: BTreeSet<String>,
    place: Place,
    message: String,
    mend: String,
}

/// The warnings so far, each once: what is found in several layouts is said of the first.
#[derive(Default)]
struct Findings(Vec<Finding>);

impl Findings {
    fn add<'a>(
        &mut self,
        code: &'static str,
        about: impl IntoIterator<Item = &'a str>,
        place: Place,
        message: String,
        mend: &str,
    ) {
        let about: BTreeSet<String> = about.into_iter().map(str::to_owned).collect();
        let known = self.0.iter().any(|f| f.code == code && f.about == about && f.place == place);
        if !known {
            self.0.push(Finding { code, about, place, message, mend: mend.to_owned() });
        }
    }
}

/// Name, where what a path leads to stands, and what it says, of a piece of work.
type Named<'a> = (&'a str, Box<dyn Fn(&str) -> Place + 'a>, Work<'a>);

/// All work of a tree; paths are those of the declaration, and of a complaint's proof run.
fn works(declared: &Declared) -> Vec<Named<'_>> {
    let mut all: Vec<Named<'_>> = Vec::new();
    for d in &declared.checks.items {
        all.push((&d.name, Box::new(|path| d.at(path)), (&d.twin).into()));
    }
    for d in &declared.corrections.items {
        all.push((&d.name, Box::new(|path| d.at(path)), (&d.twin).into()));
    }
    for d in &declared.provocations.items {
        all.push((&d.name, Box::new(|path| d.at(path)), (&d.twin).into()));
    }
    for d in &declared.complaints.items {
        all.push((&d.name, Box::new(|path| d.at(&format!("proof/{path}"))), (&d.twin.proof).into()));
    }
    all
}

/// The warnings of a tree without faults. `models` are the tree over each of its layouts.
pub(super) fn look(library: &Library, models: &[Model], above: &Above<'_>) -> Vec<Diagnostic> {
    let declared = &library.declared;
    let mut found = Findings::default();
    figures::look(declared, &mut found);
    recent_work::look(declared, models, &mut found);
    hazards::look(declared, &mut found);
    modes::look(declared, &mut found);
    older::look(declared, &mut found);
    asleep::look(declared, models, &mut found);
    sums::look(declared, models, above, &mut found);
    proof::look(declared, models, above, &mut found);
    alike::look(declared, models, &mut found);
    idle::look(declared, models, &mut found);
    unused::look(library, &mut found);
    let mut left = except(declared, found.0);
    left.sort_by(|a, b| (a.place.file, a.place.start, a.code).cmp(&(b.place.file, b.place.start, b.code)));
    let drawn = left.iter().filter_map(|finding| {
        let file = library.files.0.get(finding.place.file)?;
        let mut warning = Diagnostic::at(finding.code, file, finding.place, &finding.message, &finding.mend);
        warning.severity = Severity::Warning;
        Some(warning)
    });
    drawn.collect()
}

/// What no exception covers, and the exceptions that cover nothing.
fn except(declared: &Declared, found: Vec<Finding>) -> Vec<Finding> {
    let covers = |exception: &Exception, finding: &Finding| {
        exception.twin.warning == finding.code && finding.about.iter().all(|name| exception.twin.of.0.contains(name))
    };
    let unused = declared.allow.iter().filter(|exception| !found.iter().any(|finding| covers(exception, finding)));
    let unused: Vec<Finding> = unused
        .map(|exception| Finding {
            code: code::UNUSED_EXCEPTION,
            about: BTreeSet::new(),
            place: exception.place,
            message: format!(
                "This exception excepts nothing: there is no warning {} of {}.",
                exception.twin.warning,
                exception.twin.of.0.join(" and ")
            ),
            mend: "Delete it, or correct the names.".to_owned(),
        })
        .collect();
    let mut left: Vec<Finding> = found
        .into_iter()
        .filter(|finding| !declared.allow.iter().any(|exception| covers(exception, finding)))
        .collect();
    left.extend(unused);
    left
}
