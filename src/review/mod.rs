//! What the shop lead does with many jobs, without a screen: what they teach, as a page, as JSON and as an overlay of figures.
//!
//! Owns the words and tables. Must not know how anything is learnt, nor a screen or the command line.

mod page;
pub mod replay;

pub use page::{overlay, page};
