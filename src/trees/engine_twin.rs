//! Twins of layouts and aircraft cards, field by field.
//!
//! They exist only to be deserialised, and only here. Must not know whether such an engine can be.

use std::collections::BTreeMap;

use serde::Deserialize;

use super::shapes::Ordered;
use super::twin::LimitTwin;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SystemTwin {
    MagnetoImpulse,
    MagnetoRetard,
    MagnetoPlain,
    Electronic,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct SideTwin {
    pub kind: SystemTwin,
    #[serde(default)]
    pub tags: Vec<String>,
    pub upper: Vec<u8>,
    #[serde(default)]
    pub coils: Ordered<Vec<u8>>,
    #[serde(default)]
    pub lead_feet: BTreeMap<u8, f64>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RowsTwin {
    #[serde(default)]
    pub left: Vec<u8>,
    #[serde(default)]
    pub right: Vec<u8>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct LayoutTwin {
    #[serde(rename = "format")]
    pub _format: String,
    pub name: String,
    pub title: String,
    pub cylinders: u8,
    pub firing_order: Vec<u8>,
    pub rows: Option<RowsTwin>,
    #[serde(default)]
    pub tags: Vec<String>,
    pub left: SideTwin,
    pub right: SideTwin,
    #[serde(default)]
    pub limits: Ordered<LimitTwin>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct FittedTwin {
    pub part: String,
    pub at: String,
    pub fitted_hours: Option<f64>,
    pub fitted: Option<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct AircraftTwin {
    #[serde(rename = "format")]
    pub _format: String,
    pub registration: String,
    #[serde(default)]
    pub title: String,
    pub layout: String,
    pub engine_hours: f64,
    #[serde(default)]
    pub parts: Vec<FittedTwin>,
    #[serde(default)]
    pub limits: Ordered<LimitTwin>,
}
