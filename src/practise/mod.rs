//! Practice: a job worked against an engine whose faults are hidden, what is said of it afterwards, and how one gets
//! on.
//!
//! Owns what is dealt, what the record of such a job says of it, points, debrief, habits, progress.
//! The engine's answers are the test stand's. Must not know a screen, a file or the command line.
//!
//! A practice job is an ordinary job: the same entries, the same fold. Its record's header says `practice: true` and
//! how it was dealt, never what is hidden: that is worked out anew from the deal and the trees.

mod begin;
mod bout;
mod debrief;
mod habit;
mod points;
mod progress;
mod terms;
mod walk;

pub use begin::{Bouts, NoPractice, Order, PastBout};
pub use bout::{Bout, NoBout};
pub use debrief::{Debrief, Fault, Pace, PlannerStep};
pub use habit::{Card, Habit, ToWorkOn};
pub use points::{Points, Said, Work, quadratic};
pub use progress::{Group, Progress, Row};
pub use terms::Terms;
