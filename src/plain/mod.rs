//! The same job as numbered questions on standard input and output, for screen readers, pipes and scripts.
//!
//! Owns the questions and what is understood as an answer. Plain lines only: no colour, no cursor control. Must not know how
//! a record is kept, nor the screens; it is given where to read and write.

mod answer;
mod command;
mod console;
mod intake;
mod practise;
mod reply;
mod search;
mod session;
mod show;
mod walk;

pub use console::Console;
pub use intake::{Given, IntakeError, intake};
pub use practise::practise;
pub use walk::run;
