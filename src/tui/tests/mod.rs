//! The screens, played with keys and drawn on a buffer.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod faults;
mod fuzz;
mod lead;
mod looks;
mod one_way;
mod play;
mod proof;
pub(in crate::tui) mod pty;
mod report;
mod screens;
mod script;
mod sizes;
mod small;
