//! Shares of what was counted.

use crate::spread::Spread;

/// A share with its 95 % interval; none of none.
pub(super) fn share(part: usize, of: usize) -> Option<Spread> {
    (of > 0).then(|| Spread::wilson(part as f64, of as f64))
}
