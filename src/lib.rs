//! roughrun
pub mod belief;
pub mod cli;
pub mod diagnose;
pub mod job;
pub mod measure;
pub mod model;
pub mod plain;
pub mod plan;
pub mod record;
pub mod report;
pub mod shop;
pub mod teststand;
pub mod text;
pub mod trees;
pub mod tui;
