//! roughrun
pub mod belief;
pub mod measure;
pub mod model;
