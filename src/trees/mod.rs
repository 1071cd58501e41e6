//! Trees as people write them: YAML in, a model out.
//!
//! Owns the files' format (`trees/FORMAT.md`), the fence around YAML, what may be wrong with a tree and how it is said, and
//! the expansion of a tree over the sites of a layout. Everything of a tree that leaves this room is safe to show. Must not
//! know a screen, a command or a record, nor how likely anything is.

mod bonds;
mod card;
mod card_text;
mod cards;
mod craft;
mod declared;
mod diagnostic;
mod draw;
mod embedded;
mod engine_twin;
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
mod lint;
mod lower;
mod node;
mod overlay;
mod parse;
mod practice;
mod prices;
mod reach;
mod recent_work;
mod recent_work_twin;
mod rules;
mod schema;
mod shapes;
mod show;
mod sources;
mod strict;
mod suggest;
mod swap;
mod text;
mod twin;
mod unlisted;
mod wakes;
mod weave;
mod work;
mod work_twin;

pub use card::{Card, CauseCard, CheckCard, CorrectionCard, LimitCard, OutcomeCard, RecentWorkCard, Sourced};
pub use cards::{Day, is_card};
pub use diagnostic::{Diagnostic, Severity, render_all};
pub use draw::Drawing;
pub use layouts::EngineLayout;
pub use library::Library;
pub use lint::{Above, lint};
pub use overlay::{Figure, Overlay};
pub use schema::{FileKind, schema};
pub use show::{Named, Said, Sheet, Summary};
pub use sources::{SourceRow, Use, sources_page};
pub use strict::Strict;
pub use suggest::nearest;
