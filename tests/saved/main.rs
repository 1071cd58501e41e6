//! What the program says of what was entered, held against what is on the disk: for each way in which a record can be
//! lost under an open job, line by line and on the screens, with a further entry and without one, and where the
//! program is ended from outside.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../proof/namespace.rs"]
#[allow(dead_code)]
mod namespace;
mod plain;
#[path = "../pty_support/mod.rs"]
mod pty_support;
mod screens;
mod signals;
mod ways;
mod words;
