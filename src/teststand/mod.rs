//! An engine that answers: faults drawn or given, outcomes as that engine would show them, and ways of working a job played against it.
//!
//! The engine holds the truth that a job has to find, must not look at what the job believes, and draws all chance from a seed it is
//! given, so that the same seed gives the same engine. A policy sees the job only, never the engine.
//!
//! How a simulated job is scored:
//! - A job is resolved when it is closed and the complaint is cured: what is left of the faults that had a part in the complaint
//!   whenever it showed (at the report, in a run, at a come-back) cannot bring it. A further fault that slept through all of these is
//!   no part of the complaint, and leaving it is no failure.
//! - Closing before that is a come-back: 120 minutes, the complaint shows again under the reported conditions, the engine stands closed
//!   up and at rest, and the job goes on.
//! - After 6 come-backs or 240 steps the job is unresolved and charged 300 minutes more.
//! - A good part is one replaced, overhauled or exchanged with nothing at fault in it.
//! - A true cause is wrongly written off when a policy held it written off at any time while it was there: by the belief (at most a
//!   twentieth of what it was, and below 1 in 100), or, for those who believe so, by a pass that cleared it.

mod case;
mod chart;
mod clears;
mod deal;
mod draw;
mod engine;
mod hidden;
mod play;
mod policy;
mod probable;
mod reading;
pub mod small;
mod stand;
mod tally;
#[cfg(test)]
mod tests;

pub use case::{CaseKind, Field, Worked, run, work};
pub use deal::{Wanted, deal, root_for};
pub use draw::Ways;
pub use engine::{Engine, Fault};
pub use hidden::Hidden;
pub use play::{Played, checks_made, do_hidden, left, play, play_hidden};
pub use policy::Policy;
pub use reading::Measured;
pub use stand::{COME_BACK_MINUTES, MOST_COME_BACKS, MOST_STEPS, Score, Stand, UNRESOLVED_MINUTES};
pub use tally::{Tally, share_at};
