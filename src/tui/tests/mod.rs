//! The screens, played with keys and drawn on a buffer.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod fuzz;
mod lead;
mod looks;
mod play;
mod screens;
mod script;
mod sizes;
mod small;
