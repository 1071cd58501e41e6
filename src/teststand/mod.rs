//! An engine that answers: faults drawn or given, outcomes and readings as that engine would show them.
//!
//! It holds the truth that a job has to find. It must not look at what the job believes, and draws all chance from
//! a seed it is given, so that the same seed gives the same engine.

mod draw;
mod engine;
mod play;

pub use draw::draw_causes;
pub use engine::{Engine, Fault};
pub use play::{Played, checks_made, left, play};
