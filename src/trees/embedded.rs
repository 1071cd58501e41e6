//! The trees that are shipped inside the program.

/// Every `.yaml` file of the `trees` folder, by its path in it, sorted.
pub(super) const FILES: &[(&str, &str)] = &[];
