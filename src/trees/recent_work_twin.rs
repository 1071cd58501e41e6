//! Twins of work done before a job: its kinds, and what each can bring.
//!
//! They exist only to be deserialised; their docs are the descriptions in the schema. Must not know whether a name is known.

use schemars::JsonSchema;
use serde::Deserialize;

use super::shapes::Cite;
use crate::model::SiteKind;

/// A kind of work that can have been done since the engine last ran well.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct RecentWorkTwin {
    /// Title without the site, as a mechanic says it was done.
    pub title: String,
    /// Its kind of site; said of a site that encloses several, it was done at each of them.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// Causes that the work itself can bring.
    #[serde(default)]
    pub brings: Vec<BroughtTwin>,
    /// Parts that are new after it, as causes name them: their age counts from it.
    #[serde(default)]
    pub renews: Vec<String>,
    /// Causes that a part fitted new can have from the start; each is of a part under `renews`.
    #[serde(default)]
    pub infant: Vec<BroughtTwin>,
    /// Parts it is work on, as causes name them: how evidence that names a part alone is understood.
    #[serde(default)]
    pub of_parts: Vec<String>,
    /// Where the choice of causes and the size of all their chances together come from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

/// A cause with the chance that one job of this work brings it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct BroughtTwin {
    /// Name of the cause; it is meant at the sites that references mean.
    pub cause: String,
    /// The chance that one job of this work, at one of its sites, brings it.
    #[schemars(range(min = 0, max = 1))]
    pub chance: f64,
    /// Where the chance comes from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

impl RecentWorkTwin {
    /// All that it can bring, with the path of each and whether it comes with a new part.
    pub(super) fn all(&self) -> impl Iterator<Item = (String, bool, &BroughtTwin)> {
        let of = |list: &'static str, infant: bool| {
            move |(at, brought)| -> (String, bool, &BroughtTwin) { (format!("{list}/{at}"), infant, brought) }
        };
        let work = self.brings.iter().enumerate().map(of("brings", false));
        work.chain(self.infant.iter().enumerate().map(of("infant", true)))
    }
}
