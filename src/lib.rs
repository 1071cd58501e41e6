//! roughrun

pub mod measure;
