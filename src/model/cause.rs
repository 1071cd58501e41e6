//! Causes: the ways one part at one site fails.

use super::{Cited, Site};

/// Index of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CauseId(pub usize);

/// The window taken where nobody knows since when an engine ran well, in engine hours (between inspections of 50 hours: common
/// practice).
pub const ORDINARY_WINDOW_HOURS: f64 = 50.0;

/// The name of what the tree does not list, and how the names of all such causes begin.
pub const UNLISTED: &str = "unknown";

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

/// What wakes a fault: drawn once for a fault that is there, and kept.
#[derive(Debug, Clone, PartialEq)]
pub enum Trigger {
    /// Nothing: it is always awake.
    Steady,
    /// A condition: it is awake in most spells at these levels of it, and hardly ever in others.
    Level {
        /// Index of the condition.
        condition: usize,
        /// The levels at which it is awake, sorted.
        levels: Vec<usize>,
    },
    /// Luck: it is awake in each spell with this chance, whatever the conditions.
    AtTimes(f64),
    /// It shows for moments in every spell: the chance that one minute of looking meets one.
    Moments(f64),
}

impl Trigger {
    /// How often a fault with a level for its trigger is awake in a spell at that level. Our placeholder.
    pub const WHERE_IT_HOLDS: f64 = 0.9;
    /// And in a spell at any other level. Our placeholder.
    pub const WHERE_NOT: f64 = 0.03;
    /// Chances of a spell mixed over where it wakes at times, each as likely. Our placeholders.
    pub const CHANCES: [f64; 3] = [0.05, 0.3, 0.7];
    /// Chances of a minute mixed over where it shows for moments, each as likely. Our placeholders.
    pub const CHANCES_OF_A_MINUTE: [f64; 2] = [0.05, 0.3];

    /// The chance of being awake in a spell, given the level of each condition.
    #[must_use]
    pub fn awake(&self, conditions: &[usize]) -> f64 {
        match self {
            Self::Steady | Self::Moments(_) => 1.0,
            Self::Level { condition, levels } => match conditions.get(*condition) {
                Some(level) if levels.contains(level) => Self::WHERE_IT_HOLDS,
                _ => Self::WHERE_NOT,
            },
            Self::AtTimes(chance) => *chance,
        }
    }

    /// The chance that a look of so many minutes meets it in a spell in which it is awake.
    #[must_use]
    pub fn met(&self, minutes: f64) -> f64 {
        match self {
            Self::Moments(each_minute) => met(*each_minute, minutes),
            _ => 1.0,
        }
    }
}

/// The chance that a look of so many minutes meets a fault that shows for moments, by the chance of a minute: 1 - (1 - d)^minutes.
#[must_use]
pub fn met(each_minute: f64, minutes: f64) -> f64 {
    1.0 - (1.0 - each_minute).powf(minutes)
}

/// What can wake a cause, each with its chance; they add up to 1.
#[derive(Debug, Clone, PartialEq)]
pub struct Waking(Vec<(Trigger, f64)>);

impl Waking {
    /// A hard fault: always awake.
    #[must_use]
    pub fn always() -> Self {
        Self(vec![(Trigger::Steady, 1.0)])
    }

    /// These triggers by weight: each 0 or more, of any sum. A hard fault where none has any.
    #[must_use]
    pub fn of(weighed: impl IntoIterator<Item = (Trigger, f64)>) -> Self {
        let mut triggers: Vec<(Trigger, f64)> = weighed.into_iter().filter(|(_, weight)| *weight > 0.0).collect();
        let whole: f64 = triggers.iter().map(|(_, weight)| weight).sum();
        triggers.iter_mut().for_each(|(_, weight)| *weight /= whole);
        if triggers.is_empty() { Self::always() } else { Self(triggers) }
    }

    /// The triggers, each with its chance.
    #[must_use]
    pub fn triggers(&self) -> &[(Trigger, f64)] {
        &self.0
    }

    /// The chance that a look of so many minutes meets it awake, at the level of each condition, before anything was seen.
    #[must_use]
    pub fn meets(&self, conditions: &[usize], minutes: f64) -> f64 {
        self.0.iter().map(|(trigger, weight)| weight * trigger.awake(conditions) * trigger.met(minutes)).sum()
    }

    /// Whether it can sleep, or go for moments, at all.
    #[must_use]
    pub fn can_sleep(&self) -> bool {
        self.0.iter().any(|(trigger, _)| *trigger != Trigger::Steady)
    }
}
