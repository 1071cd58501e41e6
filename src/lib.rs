//! roughrun
pub mod belief;
pub mod job;
pub mod measure;
pub mod model;
pub mod plan;
pub mod record;
pub mod teststand;
pub mod text;
pub mod trees;
