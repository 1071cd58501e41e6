//! roughrun

pub mod record;
pub mod text;
