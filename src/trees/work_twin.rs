//! Twins of how work is done: what the engine does meanwhile, and what a check needs to make sense.
//!
//! They exist only to be deserialised; their docs are the descriptions in the schema. Must not know whether a name is known.

use std::fmt;

use schemars::JsonSchema;
use serde::Deserialize;
use serde::de::value::MapAccessDeserializer;
use serde::de::{self, Deserializer, MapAccess, Visitor};

use super::shapes::Ordered;
use crate::model::{Mode, Warning};

/// What the engine does during an action.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum EngineTwin {
    /// It stands.
    #[default]
    AtRest,
    /// The propeller is turned by hand.
    Turned,
    /// The starter turns it, and it must not start.
    Cranked,
    /// It is started, watched, and stopped again.
    Started,
    /// It is run on one side alone and shut down on it.
    RunAlone,
    /// It runs.
    Run,
    /// It runs at power.
    RunAtPower,
    /// It is flown.
    Flown,
}

impl From<EngineTwin> for Mode {
    fn from(twin: EngineTwin) -> Self {
        match twin {
            EngineTwin::AtRest => Self::AtRest,
            EngineTwin::Turned => Self::Turned,
            EngineTwin::Cranked => Self::Cranked,
            EngineTwin::Started => Self::Started,
            EngineTwin::RunAlone => Self::RunAlone,
            EngineTwin::Run => Self::Run,
            EngineTwin::RunAtPower => Self::RunAtPower,
            EngineTwin::Flown => Self::Flown,
        }
    }
}

/// How an action leaves the engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum LeavesTwin {
    /// Stopped.
    AtRest,
}

/// A mode of the engine: what getting into it and back takes, needs and brings.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ModeTwin {
    /// Title for people.
    pub title: String,
    /// The mode it is reached from; at rest where left out, and running for run-at-power and flown.
    pub from: Option<EngineTwin>,
    /// Minutes to get into it from there.
    #[serde(default)]
    #[schemars(range(min = 0, max = 10_000))]
    pub there: f64,
    /// Minutes to get back.
    #[serde(default)]
    #[schemars(range(min = 0, max = 10_000))]
    pub back: f64,
    /// States that must be open in it.
    #[serde(default)]
    pub open: Vec<String>,
    /// Hazards that it brings to all work done in it.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// Levels of conditions that getting into it brings.
    #[serde(default)]
    pub sets: Ordered<String>,
    /// Levels of conditions that getting back brings.
    #[serde(default)]
    pub leaves: Ordered<String>,
    /// Access states of older trees that meant this mode, so that records that opened or closed them still read.
    #[serde(default)]
    pub formerly: Vec<String>,
}

/// A standing warning that a complaint raises as soon as it is reported, or access while it is open.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum ReportWarnsTwin {
    /// Its side, or both sides at the engine, may not be grounded by the switch.
    SideLive,
    /// The other side may not be.
    OtherSideLive,
}

impl From<ReportWarnsTwin> for Warning {
    fn from(twin: ReportWarnsTwin) -> Self {
        match twin {
            ReportWarnsTwin::SideLive => Self::SideLive,
            ReportWarnsTwin::OtherSideLive => Self::OtherSideLive,
        }
    }
}

/// A fact without which a check makes no sense: `shows-now`, or a map with one fact in it.
#[derive(Debug, Clone)]
pub(super) enum NeedTwin {
    /// `shows-now`.
    ShowsNow,
    /// A map; the rules look at which fields it has.
    Fact(FactTwin),
}

/// One fact.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(extend("oneOf" = [
    {"required": ["answered"]}, {"required": ["not-seen", "outcome"]}, {"required": ["not-complaint"]}, {"required": ["gauge"]}
]))]
pub(super) struct FactTwin {
    /// A check that has been answered.
    pub answered: Option<String>,
    /// A check of which no such outcome stands.
    pub not_seen: Option<String>,
    /// The outcome that does not stand.
    pub outcome: Option<String>,
    /// Complaints, none of which is the one reported.
    pub not_complaint: Option<Vec<String>>,
    /// Equipment that the aircraft has, in a few words.
    pub gauge: Option<String>,
}

/// A fact that holds together.
#[derive(Debug, Clone, Copy)]
pub(super) enum Fact<'a> {
    ShowsNow,
    Answered(&'a str),
    NotSeen(&'a str, &'a str),
    NotComplaint(&'a [String]),
    Gauge(&'a str),
}

impl NeedTwin {
    /// The one fact that it says; none where it says none, or several.
    pub(super) fn fact(&self) -> Option<Fact<'_>> {
        let Self::Fact(twin) = self else { return Some(Fact::ShowsNow) };
        match twin {
            FactTwin { answered: Some(check), not_seen: None, outcome: None, not_complaint: None, gauge: None } => {
                Some(Fact::Answered(check))
            }
            FactTwin {
                answered: None,
                not_seen: Some(check),
                outcome: Some(outcome),
                not_complaint: None,
                gauge: None,
            } => Some(Fact::NotSeen(check, outcome)),
            FactTwin { answered: None, not_seen: None, outcome: None, not_complaint: Some(names), gauge: None } => {
                Some(Fact::NotComplaint(names))
            }
            FactTwin { answered: None, not_seen: None, outcome: None, not_complaint: None, gauge: Some(gauge) } => {
                Some(Fact::Gauge(gauge))
            }
            _ => None,
        }
    }
}

struct NeedVisitor;

impl<'de> Visitor<'de> for NeedVisitor {
    type Value = NeedTwin;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("shows-now, or a map such as {answered: CHECK}")
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<NeedTwin, E> {
        match word {
            "shows-now" => Ok(NeedTwin::ShowsNow),
            _ => Err(E::unknown_variant(word, &["shows-now"])),
        }
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<NeedTwin, A::Error> {
        FactTwin::deserialize(MapAccessDeserializer::new(map)).map(NeedTwin::Fact)
    }
}

impl<'de> Deserialize<'de> for NeedTwin {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NeedVisitor)
    }
}
