//! What was learnt, figure by figure, for a lead to accept or not.

use crate::learn::Lessons;
use crate::model::{Alarm, Shown};
use crate::spread::Spread;
use crate::trees::Overlay;

/// Which figure of the trees it is.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Key {
    /// The rate of a cause, by name.
    Rate(String),
    /// A chance that an outcome shows a cause.
    Shows(Shown),
    /// The chance of an outcome with no such fault there.
    Alarm(Alarm),
}

/// A figure that was learnt.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// Which figure.
    pub key: Key,
    /// What it is, in words.
    pub title: String,
    /// The tree's figure.
    pub was: Spread,
    /// The learnt one.
    pub now: Spread,
    /// Faults or trials it was learnt from, each counted by how well it was confirmed.
    pub from: f64,
    /// Jobs it was learnt from.
    pub jobs: usize,
    /// Whether it may be accepted: figures of its kind have forecast the later jobs better than the tree's.
    pub may: bool,
}

impl Proposal {
    /// How far it has moved: learnt over the tree's.
    #[must_use]
    pub fn moved(&self) -> f64 {
        self.now.mean / self.was.mean.max(f64::MIN_POSITIVE)
    }

    /// What kind of figure it is, in words.
    #[must_use]
    pub fn kind(&self) -> &'static str {
        match self.key {
            Key::Rate(_) => "rate",
            Key::Shows(_) => "shows",
            Key::Alarm(_) => "false alarm",
        }
    }

    /// What the figures are of, in words.
    #[must_use]
    pub fn unit(&self) -> &'static str {
        match self.key {
            Key::Rate(_) => "at each site in 1,000 engine hours",
            Key::Shows(_) => "of the times the cause is there",
            Key::Alarm(_) => "of the times no such fault is there",
        }
    }
}

/// Every figure that jobs have something to say of: rates, then what outcomes show, then false alarms, those that moved most first.
#[must_use]
pub fn proposals(lessons: &Lessons) -> Vec<Proposal> {
    let rates = lessons.rates.iter().filter(|l| l.events > 0.0 || l.expected >= 0.5).map(|l| Proposal {
        key: Key::Rate(l.cause.clone()),
        title: l.title.clone(),
        was: l.was,
        now: l.now,
        from: l.events,
        jobs: l.jobs,
        may: lessons.rates_trial.adopted,
    });
    let shows = lessons.shows.iter().map(|l| Proposal {
        key: Key::Shows(Shown { check: l.check.clone(), outcome: l.outcome.clone(), cause: l.cause.clone() }),
        title: format!("{} {} shows {}", l.check, l.outcome, l.cause),
        was: l.was,
        now: l.now,
        from: l.trials,
        jobs: l.jobs,
        may: lessons.checks_trial.adopted,
    });
    let alarms = lessons.alarms.iter().map(|l| Proposal {
        key: Key::Alarm(Alarm { check: l.check.clone(), outcome: l.outcome.clone() }),
        title: format!("{} {} for no reason", l.check, l.outcome),
        was: l.was,
        now: l.now,
        from: l.trials,
        jobs: l.jobs,
        may: lessons.checks_trial.adopted,
    });
    let by_move = |mut of: Vec<Proposal>| {
        of.sort_by(|a, b| b.moved().ln().abs().total_cmp(&a.moved().ln().abs()).then_with(|| a.key.cmp(&b.key)));
        of
    };
    [by_move(rates.collect()), by_move(shows.collect()), by_move(alarms.collect())].concat()
}

/// The overlay with the figures that are accepted, of those that may be.
#[must_use]
pub fn accepted(mut overlay: Overlay, accepts: impl Fn(&Key) -> bool) -> Overlay {
    overlay.rates.retain(|(cause, _)| accepts(&Key::Rate(cause.clone())));
    overlay.shows.retain(|(shown, _)| accepts(&Key::Shows(shown.clone())));
    overlay.alarms.retain(|(alarm, _)| accepts(&Key::Alarm(alarm.clone())));
    overlay
}
