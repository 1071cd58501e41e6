//! The evidence file: its fields, and the files it points at.

use std::collections::BTreeMap;
use std::fmt;
use std::path::Path;

use serde::Deserialize;
use serde::de::value::SeqAccessDeserializer;
use serde::de::{self, Deserializer, SeqAccess, Visitor};

use crate::shop::{Card, ShopError, read_card};
use crate::trees::{Library, Strict};

/// What an evidence file says. Names are the tree's own.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct Evidence {
    /// Name of the layout, or path of a layout file; may be left out where an aircraft's card names it.
    pub layout: Option<String>,
    /// Name of the complaint, with ` at SITE` where it can be at several.
    pub complaint: String,
    /// Engine hours since it last ran well.
    pub window_hours: Option<f64>,
    /// Path of the aircraft's card.
    pub aircraft: Option<String>,
    /// Conditions when the pilot saw it.
    #[serde(default)]
    pub reported: BTreeMap<String, String>,
    /// Conditions under which it is said not to show; an empty map takes the complaint's own word away.
    pub quiet: Option<BTreeMap<String, String>>,
    /// What was worked on since it last ran well: kinds of work, `nothing`, or `not-known`.
    pub recent_work: Option<WorkSaid>,
    /// The same in files of the first rule: parts or causes, `lead at left 3`. A part that the tree has kinds of work on
    /// is taken for those; any other, and a cause, counts five times.
    #[serde(default)]
    pub disturbed: Vec<String>,
    /// What the pilot said.
    #[serde(default)]
    pub words: String,
    /// Spells of work, in order.
    #[serde(default)]
    pub spells: Vec<SpellEvidence>,
    /// The causes that turned out to be at fault, `NAME at SITE`, where that is known. Written down for whoever checks the
    /// answer; nothing is worked out from it.
    #[serde(default)]
    pub truth: Vec<String>,
}

/// What is said of recent work.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum WorkSaid {
    /// A word.
    Word(String),
    /// Kinds of work.
    Done(Vec<WorkAt>),
}

/// A kind of work at a site.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WorkAt {
    /// Name of the kind.
    pub work: String,
    /// Where; said of a site that encloses several, it was done at each of them.
    pub at: String,
}

struct WorkVisitor;

impl<'de> Visitor<'de> for WorkVisitor {
    type Value = WorkSaid;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("nothing, not-known, or a list such as [{work: plugs-out, at: left 3}]")
    }

    fn visit_str<E: de::Error>(self, word: &str) -> Result<WorkSaid, E> {
        Ok(WorkSaid::Word(word.to_owned()))
    }

    fn visit_seq<A: SeqAccess<'de>>(self, list: A) -> Result<WorkSaid, A::Error> {
        Vec::deserialize(SeqAccessDeserializer::new(list)).map(WorkSaid::Done)
    }
}

// By hand, so that a fault inside the list is told where it is.
impl<'de> Deserialize<'de> for WorkSaid {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(WorkVisitor)
    }
}

/// A spell of work.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct SpellEvidence {
    /// Conditions; those not named are as in the spell before, at rest in the first.
    #[serde(default)]
    pub conditions: BTreeMap<String, String>,
    /// Whether the complaint showed: `yes`, `no` or `unknown`.
    pub showing: Option<Said>,
    /// Checks made, in order.
    #[serde(default)]
    pub checks: Vec<CheckEvidence>,
    /// Causes found for certain.
    #[serde(default)]
    pub confirmed: Vec<CauseAt>,
    /// Corrections carried out after the checks.
    #[serde(default)]
    pub corrections: Vec<CorrectionEvidence>,
    /// The proof run made after the corrections.
    pub proof_run: Option<ProofEvidence>,
}

/// Yes, no or unknown, as a word or as a truth value.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(untagged)]
pub enum Said {
    /// `true` or `false`.
    Truth(bool),
    /// A word.
    Word(String),
}

impl Said {
    /// Whether it showed, or that this is not known.
    ///
    /// # Errors
    /// Another word.
    pub(super) fn meaning(&self) -> Result<Option<bool>, ()> {
        match self {
            Self::Truth(truth) => Ok(Some(*truth)),
            Self::Word(word) => match word.to_ascii_lowercase().as_str() {
                "yes" => Ok(Some(true)),
                "no" => Ok(Some(false)),
                "unknown" => Ok(None),
                _ => Err(()),
            },
        }
    }
}

/// A check that was made.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub struct CheckEvidence {
    /// Name of the check.
    pub check: String,
    /// Where.
    pub at: String,
    /// Name of the outcome; `normal` is the normal one.
    pub outcome: Option<String>,
    /// The reading, as typed.
    pub reading: Option<String>,
    /// Temperature of the part in degrees Celsius.
    pub celsius: Option<f64>,
    /// Whether the reading is as typed, though a slip of its unit would make it ordinary.
    #[serde(default)]
    pub as_typed: bool,
    /// Whether it only looks so.
    #[serde(default)]
    pub looks_so: bool,
}

/// A cause at a site.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CauseAt {
    /// Name of the cause.
    pub cause: String,
    /// Where.
    pub at: String,
}

/// A correction, by its own name or by that of the cause it was done for.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CorrectionEvidence {
    /// Name of the cause it was done for: the tree's cheapest correction of it is taken.
    pub cause: Option<String>,
    /// Name of the correction.
    pub correction: Option<String>,
    /// Where.
    pub at: String,
}

/// A proof run.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProofEvidence {
    /// Whether the complaint showed: `yes` or `no`.
    pub showing: Said,
    /// Conditions; those not named are as reported.
    #[serde(default)]
    pub conditions: BTreeMap<String, String>,
}

/// The aircraft's card that the file points at.
pub(super) fn card(library: &Library, evidence: &Strict<Evidence>, folder: &Path) -> Result<Option<Card>, ShopError> {
    let Some(path) = &evidence.value.aircraft else { return Ok(None) };
    match crate::shop::read_card_file(&folder.join(path)) {
        Ok(text) => read_card(library, &text).map(Some),
        Err(why) => {
            let mend = "Give the path of an aircraft's card, from the folder of this file.";
            Err(ShopError::Trees(vec![evidence.fault("aircraft", &why, mend)]))
        }
    }
}

/// The layout: a name of the trees, a path from the folder of the file, or the card's.
pub(super) fn layout(
    library: &Library,
    evidence: &Strict<Evidence>,
    folder: &Path,
    card: Option<&Card>,
) -> Result<String, ShopError> {
    match (&evidence.value.layout, card) {
        (Some(named), _) if library.layout_names().contains(&named.as_str()) => Ok(named.clone()),
        (Some(path), _) if path.contains(['/', '.']) => Ok(folder.join(path).to_string_lossy().into_owned()),
        (Some(name), _) => match library.layout(name) {
            Ok(_) => Ok(name.clone()),
            Err(faults) => {
                let fault = faults.first();
                let (message, mend) = fault.map_or(("There is no such layout.", ""), |f| (&f.message, &f.mend));
                Err(ShopError::Trees(vec![evidence.fault("layout", message, mend)]))
            }
        },
        (None, Some(card)) => Ok(card.layout.clone()),
        (None, None) => {
            let names = library.layout_names().join(", ");
            let mend = format!("Add layout: with one of {names}, or aircraft: with the path of a card that names one.");
            Err(ShopError::Trees(vec![evidence.fault("complaint", "The file names no layout.", &mend)]))
        }
    }
}
