//! Looking for faults in trees and practice files, with what only rooms above them know.
//!
//! Owns what the lint of [`crate::trees`] asks for: the chance of a cause, and whether a lesson goes. Must not know
//! what the faults of a file are, nor how they are said.

use std::path::PathBuf;
use std::sync::Arc;

use crate::belief::{Exposure, prior};
use crate::job::{Entry, Job, Logged, Opening};
use crate::model::{Cause, Model, ORDINARY_WINDOW_HOURS};
use crate::practise::{Bout, Terms};
use crate::study::Lesson;
use crate::trees::{self, Above, Day, Diagnostic, Library};

const ABOVE: Above<'static> = Above { prior: &ordinary, goes: &goes };

/// All faults of a trees folder, or of files taken together, as [`trees::lint`] has them.
#[must_use]
pub fn lint(paths: &[PathBuf], tree: Option<&Library>, today: Day) -> Vec<Diagnostic> {
    trees::lint(paths, tree, today, &ABOVE)
}

/// What only shows in one of the layouts of a tree; where nothing does, the warnings.
#[must_use]
pub fn lint_library(library: &Library) -> Vec<Diagnostic> {
    library.lint(&ABOVE)
}

/// The chance of a cause per ordinary window.
fn ordinary(cause: &Cause) -> f64 {
    prior(cause, &Exposure { window_hours: ORDINARY_WINDOW_HOURS, ..Exposure::default() })
}

/// Whether the fault of a lesson is on its engine, and brings its complaint.
fn goes(model: Model, lesson: &Lesson) -> bool {
    let opening = Opening::of(&lesson.layout, &lesson.complaint, lesson.at);
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let opened = Job::replay(Arc::new(model), vec![first]);
    opened.is_ok_and(|opened| Bout::of_lesson(&opened, lesson, Terms::default()).is_ok())
}
