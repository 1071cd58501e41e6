//! Doubt of an answer that was given.

use std::sync::Arc;

use crate::model::CheckId;

/// An answer that does not fit the others, and that can be looked at again.
#[derive(Debug, Clone, PartialEq)]
pub struct Doubt {
    /// The check it is of.
    pub check: CheckId,
    /// Probability that it is a slip, 0 to 1.
    pub slip: f64,
    /// For each cause, the probability that it is there by all other answers.
    pub without: Arc<[f64]>,
}
