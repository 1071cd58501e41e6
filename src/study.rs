//! What can be practised: graded sets and lessons, as the trees' practice files give them, and how hard an engine is
//! made.
//!
//! Owns what they are. Must not know how an engine is dealt, nor how they are written.

use serde::{Deserialize, Serialize};

use crate::model::{Model, SiteKind};

/// How hard an engine is made.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default, Serialize, Deserialize, schemars::JsonSchema,
)]
#[serde(rename_all = "kebab-case")]
pub enum Level {
    /// One fault that is always awake.
    Awake,
    /// One fault that comes and goes, and sleeps when work begins.
    Asleep,
    /// Two faults that both had a part in the report.
    Two,
    /// What looks like ignition and is not.
    LookAlike,
    /// One fault whose first correction does not cure it.
    NotCured,
    /// As they come in: one, two or three faults, by the tree's own rates.
    #[default]
    Any,
}

impl Level {
    /// All, from the easiest.
    pub const ALL: [Self; 6] = [Self::Awake, Self::Asleep, Self::LookAlike, Self::NotCured, Self::Two, Self::Any];

    /// Its name in files and on the command line.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Awake => "awake",
            Self::Asleep => "asleep",
            Self::Two => "two",
            Self::LookAlike => "look-alike",
            Self::NotCured => "not-cured",
            Self::Any => "any",
        }
    }

    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Awake => "one fault, always awake",
            Self::Asleep => "one fault, asleep when work begins",
            Self::Two => "two faults at once",
            Self::LookAlike => "looks like ignition and is not",
            Self::NotCured => "a correction that does not cure",
            Self::Any => "as they come in",
        }
    }

    /// The level of this name.
    #[must_use]
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|level| level.name() == name)
    }
}

/// The kind of ignition system a fault is wanted on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, schemars::JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum System {
    /// A magneto of any kind.
    Magneto,
    /// An electronic system.
    Electronic,
}

/// All sets and lessons of a tree, in the order in which they are to be taken.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Study {
    /// Graded sets, the easiest first.
    pub sets: Vec<Set>,
    /// Lessons, the first first.
    pub lessons: Vec<Lesson>,
}

impl Study {
    /// The set of this name.
    #[must_use]
    pub fn set(&self, name: &str) -> Option<&Set> {
        self.sets.iter().find(|set| set.name == name)
    }

    /// The lesson of this name.
    #[must_use]
    pub fn lesson(&self, name: &str) -> Option<&Lesson> {
        self.lessons.iter().find(|lesson| lesson.name == name)
    }
}

/// Some jobs of one difficulty.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Set {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it trains.
    pub about: String,
    /// The layouts its jobs are on, in turn.
    pub layouts: Vec<String>,
    /// How hard.
    pub level: Level,
    /// On which kind of system.
    pub on: Option<System>,
    /// How many jobs.
    pub jobs: u64,
    /// The seed of the first; the others follow.
    pub first_seed: u64,
}

impl Set {
    /// The jobs of the set: layout and seed of each.
    pub fn each(&self) -> impl Iterator<Item = (&str, u64)> + '_ {
        let seeds = (0..self.jobs).map(|at| self.first_seed + at);
        self.layouts.iter().map(String::as_str).cycle().zip(seeds)
    }
}

/// One idea, explained by a short job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Lesson {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// The idea, a paragraph each.
    pub idea: Vec<String>,
    /// The layout.
    pub layout: String,
    /// The complaint's name.
    pub complaint: String,
    /// Where.
    pub at: crate::model::Site,
    /// What is at fault: name of a cause, and where.
    pub faults: Vec<(String, crate::model::Site)>,
    /// How hard: what of the fault is asleep, or not cured at first.
    pub level: Level,
    /// The number it is dealt by.
    pub seed: u64,
    /// What shows that the idea was taken in.
    pub learnt_when: Vec<Rule>,
}

/// What is looked for in a worked lesson.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "rule")]
pub enum Rule {
    /// The first check was made at a place of this kind.
    FirstAt {
        /// The kind.
        kind: SiteKind,
    },
    /// One of these checks was made before anything was put right.
    MadeBefore {
        /// Names of checks.
        checks: Vec<String>,
    },
    /// Before the first check of what fails now, it was made to show: seen to show, or provoked.
    ShownFirst,
    /// The proof run was made with this condition at this level.
    ProvenAt {
        /// Name of the condition.
        condition: String,
        /// The level.
        level: String,
    },
    /// Nothing good was thrown away.
    NoGoodPart,
    /// It was cured.
    Cured,
}

impl Rule {
    /// In words, as something that was done.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        match self {
            Self::FirstAt { kind } => {
                let kind = match kind {
                    SiteKind::Engine => "of the whole engine",
                    SiteKind::Side => "of a whole side",
                    SiteKind::Coil => "of a coil",
                    SiteKind::Cylinder => "of a cylinder",
                    SiteKind::Plug => "of a plug and its lead",
                };
                format!("The first check was one {kind}")
            }
            Self::MadeBefore { checks } => {
                let title = |name: &String| {
                    model.checks.iter().find(|c| c.name == *name).map_or(name.clone(), |c| c.title.clone())
                };
                let titles: Vec<String> = checks.iter().map(title).collect();
                format!("Before anything was put right: {}", titles.join(", or "))
            }
            Self::ShownFirst => "It was made to show before anything was measured".to_owned(),
            Self::ProvenAt { condition, level } => format!("The cure was proven with {condition} at {level}"),
            Self::NoGoodPart => "No good part was thrown away".to_owned(),
            Self::Cured => "The complaint is cured".to_owned(),
        }
    }
}
