//! The screens, one file each: what of the state is shown, and where.
//!
//! They draw from the state and change nothing.

pub(crate) mod card;
pub(crate) mod caution;
pub(crate) mod help;
pub(crate) mod intake;
pub(crate) mod levels;
pub(crate) mod list;
mod list_detail;
pub(crate) mod report;
pub(crate) mod suspects;
pub(crate) mod walk;
pub(crate) mod write;
