//! What the shop lead does with many jobs, without a screen: what they teach, and the records as plain tables.
//!
//! Owns the words, tables and files of that. Must not know how anything is learnt, nor a screen or the command line.

mod export;
pub mod listing;
mod page;
pub mod replay;
pub mod rows;

pub use export::{ExportError, Exported, export, schema};
pub use page::{overlay, page};
