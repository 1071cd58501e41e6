//! The promises of the record under faults that are made to happen: sudden death, power cuts, system calls that fail, disks that
//! are full, read-only or gone.
//!
//! Every test shows that its fault fired, and writes its figures where `tests/proof/table` finds them. `tests/proof/run` runs all of them
//! in full; `cargo test` runs a seeded part. What a machine cannot do (it takes root, strace or loop devices) is written down as not
//! run; `tests/proof/run` takes that for a failure.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod cut;
mod figures;
mod kill;
mod limits;
mod listing;
mod namespace;
mod program;
mod small_disk;
mod strace;
mod syscalls;
