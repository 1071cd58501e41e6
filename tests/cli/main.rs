//! The program as people and scripts use it: the real binary, real files, pipes.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod bench;
mod commands;
mod diagnose;
mod export;
mod faults;
mod hostile;
mod plain;
mod report;
mod simulate;
mod sudden;
mod upkeep;
