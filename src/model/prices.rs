//! What work and parts cost in one shop.

use std::collections::BTreeMap;

use super::Correction;

/// A shop's labour rate and prices.
#[derive(Debug, Clone, PartialEq)]
pub struct Prices {
    /// How its money is called: `EUR`.
    pub currency: String,
    /// Money for an hour of work, 0 or more.
    pub labour: f64,
    /// Engine hours that its aircraft run in a year, above 0, where it says so: turns years left into hours left.
    pub hours_per_year: Option<f64>,
    /// By the name of a correction.
    pub of: BTreeMap<String, Price>,
}

impl Prices {
    /// What the shop knows of a correction; nothing where it gives no price of it.
    #[must_use]
    pub fn price_of(&self, correction: &Correction) -> Price {
        self.of.get(&correction.name).copied().unwrap_or_default()
    }
}

/// What a shop knows better than the tree of one correction.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Price {
    /// Money of parts, or of the overhaul or exchange; the tree's figure where none is given.
    pub parts: Option<f64>,
    /// Minutes of work without access; the tree's figure where none are given.
    pub minutes: Option<f64>,
    /// Engine hours that what it fits lasts; the tree's life of the part where none are given.
    pub hours: Option<f64>,
}

impl Price {
    /// Money of the parts of a correction.
    #[must_use]
    pub fn parts_of(&self, correction: &Correction) -> f64 {
        self.parts.unwrap_or(correction.cost)
    }
}
