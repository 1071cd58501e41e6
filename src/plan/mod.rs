//! What to do next: the check, provocation, correction or proof run that brings a proven cure closest for the minutes it takes.
//!
//! It owns costs and the value of a belief. It must not know entries, files or screens; it is given a [`Situation`].
//!
//! The rule: information per minute over the corrections that could be needed, with the minutes still to come as the value
//! of a belief, handing over to a correction once it is likelier to be right than the looks that could still tell.

mod advice;
mod advise;
mod again;
mod candidate;
mod candidates;
mod corrections;
mod doubt;
mod entropy;
mod first;
mod forecast;
mod hypotheses;
mod instead;
mod look;
mod rounds;
mod situation;
mod value;
mod waking;

pub use crate::work::Action;
pub use advice::{Advice, Forecast, Round, Suggestion};
pub use advise::{advise, appraise, expected_minutes};
pub use doubt::Doubt;
pub use situation::Situation;
