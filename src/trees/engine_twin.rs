//! Twins of layouts and aircraft cards, field by field.
//!
//! They exist only to be deserialised, and only here; their docs are the descriptions in the schema. Must not know whether such an engine can be.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::Deserialize;

use super::shapes::Ordered;
use super::twin::LimitTwin;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SystemTwin {
    MagnetoImpulse,
    MagnetoRetard,
    MagnetoPlain,
    MagnetoDual,
    Electronic,
}

/// One of the two ignition systems.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SideTwin {
    pub kind: SystemTwin,
    /// Tags of its own, for `only:`.
    #[serde(default)]
    pub tags: Vec<String>,
    /// Cylinders whose upper plug it fires; it fires the lower plug of the others.
    pub upper: Vec<u8>,
    /// Of an electronic side: by a capital letter, the cylinders that each coil fires.
    #[serde(default)]
    pub coils: Ordered<Vec<u8>>,
    /// Length of the lead to each cylinder, in feet.
    #[serde(default)]
    pub lead_feet: BTreeMap<u8, f64>,
}

/// The two rows of cylinders.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RowsTwin {
    /// The row on the left.
    #[serde(default)]
    pub left: Vec<u8>,
    /// The row on the right.
    #[serde(default)]
    pub right: Vec<u8>,
}

/// How an engine's ignition is put together.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct LayoutTwin {
    #[serde(rename = "format")]
    pub _format: String,
    /// Its name: lower-case words joined by hyphens.
    #[schemars(regex(pattern = "^[a-z0-9-]{1,64}$"))]
    pub name: String,
    /// What engine this is, in a line.
    pub title: String,
    #[schemars(range(min = 2, max = 9))]
    pub cylinders: u8,
    /// Each cylinder once, in the order they fire.
    pub firing_order: Vec<u8>,
    /// Where the cylinders stand, seen from above with the nose up; each row from front to rear.
    pub rows: Option<RowsTwin>,
    /// Free tags of the engine, for `only:`.
    #[serde(default)]
    pub tags: Vec<String>,
    /// The left system.
    pub left: SideTwin,
    /// The right system.
    pub right: SideTwin,
    /// Limits that this engine overrides, by name: any of their fields.
    #[serde(default)]
    pub limits: Ordered<LimitTwin>,
}

/// When a part was fitted.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(extend("anyOf" = [{"required": ["fitted-hours"]}, {"required": ["fitted"]}]))]
pub(super) struct FittedTwin {
    /// The part, as causes name it.
    pub part: String,
    /// Its site, or one that encloses it: engine, left, left coil A, cylinder 3, left 3.
    #[schemars(regex(pattern = "^(engine|left|right|(left|right) coil [A-Z]|cylinder [1-9]|(left|right) [1-9])$"))]
    pub at: String,
    /// The engine's hours then.
    #[schemars(range(min = 0))]
    pub fitted_hours: Option<f64>,
    /// The day, as year-month-day.
    #[schemars(regex(pattern = "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"))]
    pub fitted: Option<String>,
}

/// One aircraft: its layout, hours, and when its parts were fitted.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct AircraftTwin {
    #[serde(rename = "format")]
    pub _format: String,
    /// The registration marks.
    #[schemars(length(min = 1, max = 20))]
    pub registration: String,
    /// A line about it.
    #[serde(default)]
    pub title: String,
    /// Name of a layout, or the path of a layout file from the folder of the card.
    pub layout: String,
    /// The engine's hours now.
    #[schemars(range(min = 0, max = 100_000))]
    pub engine_hours: f64,
    /// When parts were fitted; the first entry that matches counts.
    #[serde(default)]
    pub parts: Vec<FittedTwin>,
    /// Equipment that it does not have, as checks name it under gauge and tools.
    #[serde(default)]
    pub lacks: Vec<String>,
    /// Limits that this aircraft overrides, by name: any of their fields.
    #[serde(default)]
    pub limits: Ordered<LimitTwin>,
}

/// What the shop knows better than the tree of one correction.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct PriceTwin {
    /// Money of parts, or of the overhaul or exchange.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub parts: Option<f64>,
    /// Minutes of work without access.
    #[schemars(range(min = 0, max = 10_000))]
    pub minutes: Option<f64>,
    /// Engine hours that what it fits lasts.
    #[schemars(range(min = 1, max = 100_000))]
    pub hours: Option<f64>,
}

/// A shop's labour rate and prices.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ShopTwin {
    #[serde(rename = "format")]
    pub _format: String,
    /// What stands beside the figures, such as EUR.
    #[schemars(regex(pattern = "^\\S{1,12}$"))]
    pub currency: String,
    /// Money for an hour of work.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub labour_rate: f64,
    /// Engine hours that its aircraft run in a year: turns years left into hours left.
    #[schemars(range(min = 1, max = 8760))]
    pub hours_per_year: Option<f64>,
    /// By the name of a correction.
    #[serde(default)]
    pub prices: Ordered<PriceTwin>,
}
