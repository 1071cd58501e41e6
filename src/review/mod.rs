//! What the shop lead does with many jobs, without a screen: what they teach, the records as a list and as plain tables, and one of
//! them walked again.
//!
//! Owns the words, tables and files of that. Must not know how anything is learnt, nor a screen or the command line.

mod adopt;
mod export;
mod figures;
pub mod listing;
mod page;
pub mod replay;
mod sheet;

pub use adopt::{Key, Proposal, accepted, proposals};
pub use export::{ExportError, Exported, Forms, Tables, export, schema};
pub use figures::{Style, figures_html, figures_json, figures_text};
pub use page::{overlay, page};
pub use sheet::{sheet, worked_sheet};
