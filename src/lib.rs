//! roughrun
