//! The program as people and scripts use it: the real binary, real files, pipes.
#![allow(
    clippy::format_push_string,
    clippy::format_collect,
    clippy::print_stdout,
    clippy::explicit_counter_loop,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic
)]

mod bench;
mod commands;
mod diagnose;
mod export;
mod faults;
mod hostile;
mod lead;
mod path;
mod plain;
mod practise;
mod put;
mod report;
mod review;
mod simulate;
mod sudden;
mod upkeep;
