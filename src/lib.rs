//! roughrun
pub mod measure;
pub mod model;
