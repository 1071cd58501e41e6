//! What the shop lead does with many jobs, without a screen: what they teach, the records as a list and as plain tables, and one of
//! them walked again.
//!
//! Owns the words, tables and files of that. Must not know how anything is learnt, nor a screen or the command line.

mod adopt;
mod export;
pub mod listing;
mod page;
pub mod replay;
pub mod rows;

pub use adopt::{Key, Proposal, accepted, proposals};
pub use export::{ExportError, Exported, export, schema};
pub use page::{overlay, page};
