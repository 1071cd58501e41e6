//! What a person is told before doing one thing, and how the aircraft stands: the same words on every surface.
//!
//! Owns what is said of the work; plain mode, the screens and the reports lay it out. It must not know any of them, nor what is believed.

mod asked;
mod complaints;
mod ends;
mod recent_work;
mod stands;
mod told;

pub use asked::{SIGHT_ANSWERS, SIGHT_QUESTION, asks_sight, only_looks_so, read_as, slip};
pub use complaints::{other_complaints, something_else};
pub use ends::{End, ends};
pub use recent_work::{RECENT_WORK_QUESTION, came_with};
pub use stands::{Stands, Step};
pub use told::Told;

use crate::model::{AccessId, CheckId, Model, Site};
use crate::plan::Round;

/// An access state with its place; the engine as a place goes without saying.
pub(crate) fn access_words(model: &Model, id: AccessId) -> String {
    match model[id].site {
        Site::Engine => model[id].title.clone(),
        site => format!("{}, {}", model[id].title, model.site_words(site)),
    }
}

/// What closing an access state is, as an instruction with its place: "put the plug back in, left 2 lower".
pub(crate) fn closing_words(model: &Model, id: AccessId) -> String {
    match (&model[id].closing, model[id].site) {
        (None, _) => format!("close: {}", access_words(model, id)),
        (Some(closing), Site::Engine) => closing.clone(),
        (Some(closing), site) => format!("{closing}, {}", model.site_words(site)),
    }
}

/// A check with its place.
pub(crate) fn check_words(model: &Model, id: CheckId) -> String {
    format!("{}, {}", model[id].title, model.site_words(model[id].site))
}

/// A round in words: "a round with left 2 lower, left 3 upper: 34 min in all". The sites after the first are named.
#[must_use]
pub fn round_words(model: &Model, round: &Round) -> String {
    let others: Vec<String> = round.checks.iter().skip(1).map(|id| model.site_words(model[*id].site)).collect();
    format!("a round with {}: {:.0} min in all", others.join(", "), round.minutes)
}
