//! roughrun walks a mechanic through tracing intermittent ignition faults on piston aircraft engines with two ignition systems.
//!
//! # The rooms
//! Pure rooms name no terminal, file, environment, clock, thread or unseeded chance, so they cannot fail on any:
//! [`model`] what we reason about; [`work`] what doing a thing takes and leaves behind; [`measure`] what a typed reading means; [`belief`] how likely each cause is;
//! [`plan`] what to do next; [`job`] the closed list of entries and the fold that makes a job's state;
//! [`analysis`] what a job's entries come to: belief, advice, course;
//! [`learn`] rates, chances and calibration from closed jobs; [`tables`] a job as rows of plain tables; [`figures`] a shop's
//! jobs counted; [`upkeep`] parts by their lives; [`teststand`] an engine that answers;
//! [`text`] foreign text made harmless.
//!
//! Edges: [`trees`] YAML in, faults with place and mend out; [`record`] the journal on disk; [`shop`] trees, records and the
//! open job together; [`practise`] hidden faults, debriefs and progress; [`report`] a job written up; [`diagnose`] evidence without questions; [`plain`] a job line by line;
//! [`review`] what many jobs teach, for the lead; [`tui`] the screens; [`cli`] the command line, the only place that prints.
//!
//! # The layer rule
//! Pure rooms know only pure rooms; `trees` and `record` know neither screens nor the command line. A test reads the sources
//! and holds them to it (`tests/layers.rs`).

pub mod analysis;
pub mod belief;
pub mod cli;
pub mod diagnose;
pub mod figures;
pub mod guide;
pub mod job;
pub mod learn;
pub mod measure;
pub mod model;
pub mod plain;
pub mod plan;
pub mod practise;
pub mod record;
pub mod report;
pub mod review;
pub mod shop;
pub mod tables;
pub mod teststand;
pub mod text;
pub mod trees;
pub mod tui;
pub mod upkeep;
pub mod work;
