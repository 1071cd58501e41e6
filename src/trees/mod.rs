//! Trees as people write them: YAML in, a model out.
//!
//! Owns the files' format (`trees/FORMAT.md`), the fence around YAML, what may be wrong with a tree and how it is said, and
//! the expansion of a tree over the sites of a layout. Everything of a tree that leaves this room is safe to show. Must not
//! know a screen, a command or a record, nor how likely anything is.

mod declared;
mod diagnostic;
mod embedded;
mod event;
mod expand;
mod faults;
mod fence;
mod folder;
mod gates;
mod ground;
mod layouts;
mod library;
mod limits;
mod lower;
mod node;
mod parse;
mod reach;
mod shapes;
mod suggest;
mod text;
mod twin;

pub use diagnostic::{Diagnostic, render_all};
pub use layouts::EngineLayout;
pub use library::Library;
