//! A shop's records as plain tables, for engines that are not ours.
//!
//! Owns the folder that is written: `csv/TABLE/year=YYYY/month=MM/` and the same under `jsonl/`, each month by itself, so that no more than
//! a month is held at a time. Must not know what a row is made of.

mod folder;
mod schema;
mod views;
mod write;

pub use folder::{ExportError, Exported, Forms, Tables, export};
pub use schema::schema;
