//! JSON Schemas of the files that people write, made from the twins that read them, so that editors complete and check them.
//!
//! A schema knows shapes, not names: what leads nowhere only `lint` finds. `trees/schema` holds them; a test keeps them current.

use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator, json_schema};
use serde_json::{Map, Value, json};

use super::cards::AIRCRAFT_FORMAT;
use super::craft::CODES;
use super::declared::TREE_FORMAT;
use super::engine_twin::{AircraftTwin, LayoutTwin, ShopTwin};
use super::layouts::LAYOUT_FORMAT;
use super::overlay::{LEARNT_FORMAT, OverlayTwin};
use super::practice::{PRACTICE_FORMAT, PracticeTwin};
use super::prices::SHOP_FORMAT;
use super::recent_work_twin::RecentWorkTwin;
use super::shapes::{Cite, Figure, Names, Ordered};
use super::twin::{
    AccessTwin, AllowTwin, CauseTwin, CheckTwin, ComplaintTwin, ConditionTwin, CorrectionTwin, EffectTwin, HazardTwin,
    LimitTwin, ProvocationTwin, SourceTwin, UnknownTwin,
};
use super::wakes::{WakesTwin, Weight};
use super::work_twin::{FactTwin, ModeTwin, NeedTwin};
use crate::model::Mode;

/// A kind of file that people write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// A part of a fault tree.
    Tree,
    /// A layout of an engine.
    Layout,
    /// An aircraft card.
    Aircraft,
    /// A shop file.
    Shop,
    /// An overlay of learnt figures.
    Learnt,
    /// Graded sets and lessons.
    Practice,
}

impl FileKind {
    /// All kinds.
    pub const ALL: [Self; 6] = [Self::Tree, Self::Layout, Self::Aircraft, Self::Shop, Self::Learnt, Self::Practice];

    /// Its name on the command line and in the name of its schema.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Tree => "tree",
            Self::Layout => "layout",
            Self::Aircraft => "aircraft",
            Self::Shop => "shop",
            Self::Learnt => "learnt",
            Self::Practice => "practice",
        }
    }

    fn format(self) -> &'static str {
        match self {
            Self::Tree => TREE_FORMAT,
            Self::Layout => LAYOUT_FORMAT,
            Self::Aircraft => AIRCRAFT_FORMAT,
            Self::Shop => SHOP_FORMAT,
            Self::Learnt => LEARNT_FORMAT,
            Self::Practice => PRACTICE_FORMAT,
        }
    }
}

/// The JSON Schema of a kind of file (draft 2020-12), as indented text that ends in a line end.
#[must_use]
pub fn schema(kind: FileKind) -> String {
    let mut generator = SchemaSettings::draft2020_12().into_generator();
    let mut root = match kind {
        FileKind::Tree => tree(&mut generator),
        FileKind::Layout => LayoutTwin::json_schema(&mut generator),
        FileKind::Aircraft => AircraftTwin::json_schema(&mut generator),
        FileKind::Shop => ShopTwin::json_schema(&mut generator),
        FileKind::Learnt => OverlayTwin::json_schema(&mut generator),
        FileKind::Practice => PracticeTwin::json_schema(&mut generator),
    };
    if let Some(Value::Object(properties)) = root.get_mut("properties") {
        properties
            .insert("format".to_owned(), json!({"const": kind.format(), "description": "The format of this file."}));
    }
    root.insert("$schema".to_owned(), json!("https://json-schema.org/draft/2020-12/schema"));
    root.insert("title".to_owned(), json!(format!("roughrun {} file", kind.name())));
    root.insert("$defs".to_owned(), Value::Object(generator.take_definitions(true)));
    // A schema is made of maps, lists, texts and numbers, all of which have a form in JSON.
    serde_json::to_string_pretty(&root).unwrap_or_default() + "\n"
}

/// The file as a whole has no twin: its sections are read one by one.
fn tree(generator: &mut SchemaGenerator) -> Schema {
    let mut properties = Map::new();
    properties.insert("format".to_owned(), Value::Null);
    let mut section = |name: &str, schema: Schema, says: &str| {
        properties.insert(name.to_owned(), json!({"allOf": [schema], "description": says}));
    };
    section("sources", named::<SourceTwin>(generator), "Where figures come from.");
    section("conditions", named::<ConditionTwin>(generator), "What can wake a sleeping fault.");
    section("hazards", named::<HazardTwin>(generator), "Hazards with their cautions.");
    section("modes", modes(generator), "What the engine does during work.");
    section("access", named::<AccessTwin>(generator), "What work needs open or closed.");
    let mut limits = named::<LimitTwin>(generator);
    if let Some(each) = limits.get("additionalProperties").cloned() {
        let whole = json!({"allOf": [each, {"required": ["title", "unit", "bands", "source"]}]});
        limits.insert("additionalProperties".to_owned(), whole);
    }
    section("limits", limits, "What readings are judged by.");
    section("causes", named::<CauseTwin>(generator), "The ways parts fail.");
    section("effects", named::<EffectTwin>(generator), "Events between causes and complaints.");
    section("complaints", named::<ComplaintTwin>(generator), "What the pilot reports.");
    section("checks", named::<CheckTwin>(generator), "What the mechanic does and sees.");
    section("corrections", named::<CorrectionTwin>(generator), "What puts causes right.");
    section("provocations", named::<ProvocationTwin>(generator), "Ways to change the conditions on purpose.");
    section(
        "recent-work",
        named::<RecentWorkTwin>(generator),
        "Work done before a job, by kind, and what it can bring.",
    );
    section("unknown", generator.subschema_for::<UnknownTwin>(), "What is not in the tree; exactly one file says it.");
    section("allow", generator.subschema_for::<Vec<AllowTwin>>(), "Exceptions from warnings, each with its reason.");
    json_schema!({
        "type": "object",
        "description": "A part of a fault tree; the parts in a folder are joined by name.",
        "properties": properties,
        "required": ["format"],
        "additionalProperties": false,
    })
}

/// The modes of the engine, whose names are fixed.
fn modes(generator: &mut SchemaGenerator) -> Schema {
    let mut modes = named::<ModeTwin>(generator);
    modes.insert("propertyNames".to_owned(), json!({"enum": Mode::ALL.map(Mode::name)}));
    modes
}

/// A map of declarations under names.
fn named<T: JsonSchema>(generator: &mut SchemaGenerator) -> Schema {
    let each = generator.subschema_for::<T>();
    json_schema!({
        "type": ["object", "null"],
        "propertyNames": {"pattern": "^[a-z0-9-]{1,64}$"},
        "additionalProperties": each,
    })
}

/// The schema of a shape that is read in its own way.
macro_rules! shape {
    ($twin:ty, $name:literal, |$generator:ident| $schema:expr) => {
        impl JsonSchema for $twin {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                $name.into()
            }

            fn json_schema($generator: &mut SchemaGenerator) -> Schema {
                $schema
            }
        }
    };
}

shape!(Cite, "Cite", |_generator| json_schema!({
    "description": "A declared source, common (common practice) or placeholder (our guess); with the place in it, where there is one.",
    "anyOf": [
        {"type": "string"},
        {
            "type": "object",
            "properties": {"name": {"type": "string"}, "place": {"type": "string"}},
            "required": ["name"],
            "additionalProperties": false,
        },
    ],
}));
shape!(Figure, "Figure", |_generator| json_schema!({
    "description": "A plain number, or a text with a unit: \"8.2 kohm\".",
    "type": ["number", "string"],
}));
shape!(Names, "Names", |_generator| json_schema!({
    "description": "A name, or a list of names.",
    "anyOf": [{"type": "string"}, {"type": "array", "items": {"type": "string"}}],
}));
shape!(NeedTwin, "NeedTwin", |generator| json_schema!({
    "description": "A fact without which a check makes no sense: that the complaint is known to show now, or one other.",
    "anyOf": [{"const": "shows-now"}, generator.subschema_for::<FactTwin>()],
}));
shape!(WakesTwin, "WakesTwin", |generator| json_schema!({
    "description": "What wakes a cause: weights of triggers, one of which is drawn for a fault and kept.",
    "type": "object",
    "properties": {
        "steady": generator.subschema_for::<Weight>(),
        "at-times": generator.subschema_for::<Weight>(),
        "moments": generator.subschema_for::<Weight>(),
        "base": {
            "description": "The older form: the chance in a quiet spell, to which levels add. `tree lint` says what to write.",
            "deprecated": true,
            "anyOf": [{"type": "number", "minimum": 0, "maximum": 1}, {"const": "unknown"}],
        },
        "source": generator.subschema_for::<Cite>(),
    },
    "required": ["source"],
    "additionalProperties": {
        "description": "The weight of each level of a condition.",
        "type": "object",
        "additionalProperties": generator.subschema_for::<Weight>(),
    },
}));
shape!(Weight, "Weight", |generator| json_schema!({
    "description": "A weight from 0 to 1, with a source of its own where it has one.",
    "anyOf": [
        {"type": "number", "minimum": 0, "maximum": 1},
        {
            "type": "object",
            "properties": {
                "weight": {"type": "number", "minimum": 0, "maximum": 1},
                "source": generator.subschema_for::<Cite>(),
            },
            "required": ["weight"],
            "additionalProperties": false,
        },
    ],
}));

impl<T: JsonSchema> JsonSchema for Ordered<T> {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("Named{}", T::schema_name()).into()
    }

    fn json_schema(generator: &mut SchemaGenerator) -> Schema {
        let each = generator.subschema_for::<T>();
        json_schema!({"type": ["object", "null"], "additionalProperties": each})
    }
}

/// The codes that may be excepted.
pub(super) fn warning_codes(_: &mut SchemaGenerator) -> Schema {
    json_schema!({"enum": CODES})
}
