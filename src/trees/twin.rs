//! Twins of tree files: what each section may hold, field by field.
//!
//! They exist only to be deserialised, and only here. Must not know what a value means or whether a name is known.

use serde::Deserialize;

use super::shapes::{Cite, Figure, Names, Ordered, WakesTwin};
use crate::model::SiteKind;

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SourceTwin {
    pub document: String,
    pub edition: String,
    pub read: bool,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ConditionTwin {
    pub title: String,
    pub levels: Vec<String>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum StandsTwin {
    #[default]
    OncePerAccess,
    UntilGrounded,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct HazardTwin {
    pub title: String,
    pub caution: String,
    #[serde(default)]
    pub stands: StandsTwin,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct AccessTwin {
    pub title: String,
    pub at: SiteKind,
    #[serde(default)]
    pub only: Vec<String>,
    pub open: f64,
    pub close: f64,
    #[serde(default)]
    pub needs: Vec<String>,
    #[serde(default)]
    pub not_with: Vec<String>,
    #[serde(default)]
    pub hazards: Vec<String>,
    #[serde(default)]
    pub opens_with: Ordered<String>,
    #[serde(default)]
    pub closes_with: Ordered<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum BasisTwin {
    Absolute,
    PerFoot,
    RatioToPeers,
    DifferenceToOtherSide,
    ChangeFromBefore,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct BandTwin {
    pub below: Option<Figure>,
    pub up_to: Option<Figure>,
    pub is: Names,
}

/// A limit, or an override of one: any subset of its fields.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct LimitTwin {
    pub title: Option<String>,
    pub unit: Option<String>,
    pub basis: Option<BasisTwin>,
    pub at_temperature: Option<Figure>,
    pub bands: Option<Vec<BandTwin>>,
    pub open: Option<Names>,
    pub source: Option<Cite>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct LifeTwin {
    pub hours: Option<f64>,
    pub years: Option<f64>,
    pub shape: f64,
    pub source: Option<Cite>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CauseTwin {
    pub title: String,
    pub at: SiteKind,
    pub part: String,
    #[serde(default)]
    pub only: Vec<String>,
    pub rate: f64,
    pub rate_source: Option<Cite>,
    pub life: Option<LifeTwin>,
    pub wakes: Option<WakesTwin>,
    #[serde(default)]
    pub not_ignition: bool,
    pub how: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CountTwin {
    pub count: usize,
    pub of: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct EffectTwin {
    pub title: String,
    pub at: SiteKind,
    #[serde(default)]
    pub only: Vec<String>,
    pub any: Option<Vec<String>>,
    pub all: Option<Vec<String>>,
    pub at_least: Option<CountTwin>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShowTwin {
    pub cause: Option<String>,
    pub effect: Option<String>,
    pub chance: f64,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProofTwin {
    pub minutes: f64,
    pub steps: Vec<String>,
    #[serde(default)]
    pub hazards: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ComplaintTwin {
    pub title: String,
    pub at: SiteKind,
    #[serde(default)]
    pub only: Vec<String>,
    pub shows: Vec<ShowTwin>,
    pub leak: Option<f64>,
    #[serde(default)]
    pub usual: Ordered<String>,
    pub quiet: Option<Ordered<String>>,
    pub proof: ProofTwin,
    #[serde(default)]
    pub first_order: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SeesTwin {
    Awake,
    Present,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum WarnsTwin {
    SideLive,
    OtherSideLive,
    SideGrounded,
}

/// Access that must be open and closed.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReachTwin {
    #[serde(default)]
    pub open: Vec<String>,
    #[serde(default)]
    pub closed: Vec<String>,
}

/// Access that must be open.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OpenTwin {
    #[serde(default)]
    pub open: Vec<String>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ReadingTwin {
    pub limit: String,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct OutcomeTwin {
    pub title: String,
    pub key: Option<String>,
    pub shows: Vec<ShowTwin>,
    pub leak: Option<f64>,
    #[serde(default)]
    pub proves: bool,
    pub warns: Option<WarnsTwin>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CheckTwin {
    pub title: String,
    pub at: SiteKind,
    #[serde(default)]
    pub only: Vec<String>,
    pub purpose: String,
    pub sees: SeesTwin,
    pub minutes: f64,
    #[serde(default)]
    pub access: ReachTwin,
    #[serde(default)]
    pub tools: Vec<String>,
    #[serde(default)]
    pub hazards: Vec<String>,
    pub steps: Vec<String>,
    pub expected: String,
    #[serde(default)]
    pub mistakes: Vec<String>,
    pub source: Option<Cite>,
    pub reading: Option<ReadingTwin>,
    pub normal: String,
    #[serde(default)]
    pub outcomes: Ordered<OutcomeTwin>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub(super) enum KindTwin {
    Clean,
    Adjust,
    Replace,
    Overhaul,
    Exchange,
    HandOver,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CorrectionTwin {
    pub title: String,
    pub kind: KindTwin,
    pub at: SiteKind,
    #[serde(default)]
    pub only: Vec<String>,
    pub cures: Vec<String>,
    #[serde(default)]
    pub fails: f64,
    pub minutes: f64,
    pub cost: f64,
    #[serde(default)]
    pub access: OpenTwin,
    #[serde(default)]
    pub steps: Vec<String>,
    #[serde(default)]
    pub disturbs: Vec<String>,
    #[serde(default)]
    pub hazards: Vec<String>,
    pub source: Option<Cite>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ProvocationTwin {
    pub title: String,
    pub sets: Ordered<String>,
    pub minutes: f64,
    #[serde(default)]
    pub hazards: Vec<String>,
    #[serde(default)]
    pub access: OpenTwin,
    #[serde(default)]
    pub steps: Vec<String>,
    pub source: Option<Cite>,
}

#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct UnknownTwin {
    pub title: String,
    pub rate: f64,
    pub source: Option<Cite>,
}

/// An exception from a warning.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct AllowTwin {
    pub warning: String,
    pub of: Names,
    pub because: String,
}
