//! roughrun walks a mechanic through tracing intermittent ignition faults on piston aircraft engines with two ignition systems.
//!
//! # The rooms
//! Pure rooms name no terminal, file, environment, clock, thread or unseeded chance, so they cannot fail on any:
//! [`text`] foreign text made harmless; [`spread`] the interval a figure lies in; [`measure`] what a typed reading means; [`model`] what we reason about; [`work`]
//! what doing a thing takes and leaves behind; [`study`] what can be practised; [`upkeep`] parts by their lives; [`job`]
//! the closed list of entries and the fold that makes a job's state; [`guide`] what a person is told of one action;
//! [`belief`] how likely each cause is; [`plan`] what to do next; [`analysis`] what a job's entries come to; [`teststand`]
//! an engine that answers; [`learn`] rates, chances and calibration from closed jobs; [`tables`] a job as rows of plain
//! tables; [`figures`] a shop's jobs counted.
//!
//! Edges: [`trees`] YAML in, faults with place and mend out; [`record`] the journal on disk; [`shop`] trees, records and the
//! open job together; [`review`] what many jobs teach, for the lead; [`diagnose`] evidence without questions;
//! [`practise`] hidden faults, debriefs and progress; [`lint`] faults of trees that only rooms above them can see;
//! [`report`] a job written up; [`plain`] a job line by line; [`tui`] the screens; [`cli`] the command line, the only place
//! that prints.
//!
//! # The layer rule
//! Rooms stand in rows, and each knows only rooms of lower rows. A test parses the sources and holds them to it
//! (`tests/layers`), row by row.

pub mod analysis;
pub mod belief;
pub mod cli;
pub mod diagnose;
pub mod figures;
pub mod guide;
pub mod job;
pub mod learn;
pub mod lint;
pub mod measure;
pub mod model;
pub mod plain;
pub mod plan;
pub mod practise;
pub mod record;
pub mod report;
pub mod review;
pub mod shop;
pub mod spread;
pub mod study;
pub mod tables;
pub mod teststand;
pub mod text;
pub mod trees;
pub mod tui;
pub mod upkeep;
pub mod work;
