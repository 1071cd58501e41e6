//! Causes: the ways one part at one site fails.

use super::{Cited, Site};

/// Index of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CauseId(pub usize);

/// The window taken where nobody knows since when an engine ran well, in engine hours (between inspections of 50 hours: common
/// practice).
pub const ORDINARY_WINDOW_HOURS: f64 = 50.0;

/// One way one part at one site fails: a basic event of the fault tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Cause {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// The part it is of; causes of one part at one site share its age.
    pub part: String,
    /// Failures per 1,000 engine hours at this site, 0 or more.
    pub rate: f64,
    /// Where the rate comes from.
    pub rate_source: Cited,
    /// How it wears, where it does.
    pub life: Option<Life>,
    /// When it is awake.
    pub waking: Waking,
    /// Whether it lies outside the ignition and ends in a hand-over.
    pub not_ignition: bool,
    /// The name of the one check that tells it from ignition, of a cause that is not ignition.
    pub told_by: Option<String>,
    /// What it can do to somebody while it is not found, as a clause, where the tree says so.
    pub hurts: Option<String>,
    /// How it fails and how it looks.
    pub how: String,
}

/// A part's life, for wear.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// Engine hours, where counted.
    pub hours: Option<f64>,
    /// Years, where counted.
    pub years: Option<f64>,
    /// Shape of the wear: 1 is none, 2 to 4 wears out.
    pub shape: f64,
    /// Where the life comes from.
    pub source: Cited,
}

/// The chance that a present cause is awake in a quiet spell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Base {
    /// Known: 0 to 1. A hard fault has 1.
    Known(f64),
    /// Not known: mixed over 0.05, 0.2 and 0.6 alike.
    Unknown,
}

/// What wakes a cause: 1 - awake = (1 - base) x product of (1 - added) over the conditions that match.
#[derive(Debug, Clone, PartialEq)]
pub struct Waking {
    /// The chance in a quiet spell.
    pub base: Base,
    /// (condition, level, what it adds from 0 to 1).
    pub adds: Vec<(usize, usize, f64)>,
}

impl Waking {
    /// Bases mixed over where the tree does not know, each equally likely (methods: a three-point grid).
    pub const UNKNOWN_BASES: [f64; 3] = [0.05, 0.2, 0.6];

    /// A hard fault: always awake.
    #[must_use]
    pub fn always() -> Self {
        Self { base: Base::Known(1.0), adds: Vec::new() }
    }

    /// The bases to mix over, each with the same weight.
    #[must_use]
    pub fn bases(&self) -> &[f64] {
        match &self.base {
            Base::Known(base) => std::slice::from_ref(base),
            Base::Unknown => &Self::UNKNOWN_BASES,
        }
    }

    /// The chance of being awake, given a base and the level of each condition.
    #[must_use]
    pub fn awake(&self, base: f64, levels: &[usize]) -> f64 {
        let asleep = self
            .adds
            .iter()
            .filter(|(condition, level, _)| levels.get(*condition) == Some(level))
            .fold(1.0 - base, |asleep, (_, _, added)| asleep * (1.0 - added));
        1.0 - asleep
    }

    /// The chance of being awake at the level of each condition, over the bases to mix.
    #[must_use]
    pub fn mean(&self, levels: &[usize]) -> f64 {
        let bases = self.bases();
        bases.iter().map(|base| self.awake(*base, levels)).sum::<f64>() / bases.len() as f64
    }

    /// Whether it can sleep at all.
    #[must_use]
    pub fn can_sleep(&self) -> bool {
        self.base != Base::Known(1.0)
    }
}
