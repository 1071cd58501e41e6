//! Graded sets and lessons, as the trees' practice files give them.

use serde::Serialize;

use crate::model::{Model, SiteKind};
use crate::teststand::{Level, System};

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
