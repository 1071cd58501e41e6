//! What surrounds a check: conditions, access and hazards.

use super::{AccessId, CauseId, CheckId, HazardId, Mode, Site, Warning};

/// A kind of condition that can wake a fault, with its levels.
#[derive(Debug, Clone, PartialEq)]
pub struct Condition {
    /// Its name in the tree: `heat`.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// Its levels; the first is the resting one.
    pub levels: Vec<String>,
    /// For each level, the minutes of running from the resting level until it is reached; none where running does not bring it.
    pub rises_running: Vec<Option<f64>>,
    /// For each level, the minutes at rest after which it falls to the one before; none where it stays.
    pub falls_at_rest: Vec<Option<f64>>,
    /// For each level, the minutes of running after which it falls to the one before; none where it stays.
    pub falls_running: Vec<Option<f64>>,
}

impl Condition {
    /// Whether running the engine brings a level of it.
    #[must_use]
    pub fn rises(&self) -> bool {
        self.rises_running.iter().any(Option::is_some)
    }
}

/// The level of each condition, by the model's order of conditions.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct Conditions(pub Vec<usize>);

impl Conditions {
    /// All at rest.
    #[must_use]
    pub fn resting(kinds: &[Condition]) -> Self {
        Self(vec![0; kinds.len()])
    }

    /// The same with some levels set.
    #[must_use]
    pub fn with(&self, sets: &[(usize, usize)]) -> Self {
        let mut conditions = self.clone();
        for (condition, level) in sets {
            if let Some(at) = conditions.0.get_mut(*condition) {
                *at = *level;
            }
        }
        conditions
    }

    /// In words: "hot, dry, still".
    #[must_use]
    pub fn words(&self, kinds: &[Condition]) -> String {
        let names: Vec<&str> =
            kinds.iter().zip(&self.0).filter_map(|(kind, level)| kind.levels.get(*level).map(String::as_str)).collect();
        names.join(", ")
    }

    /// With the name of each condition: "heat hot, damp dry".
    #[must_use]
    pub fn named(&self, kinds: &[Condition]) -> String {
        let level = |(kind, level): (&Condition, &usize)| Some(format!("{} {}", kind.name, kind.levels.get(*level)?));
        kinds.iter().zip(&self.0).filter_map(level).collect::<Vec<_>>().join(", ")
    }
}

/// A state of the engine that a check needs open or closed: cowling off, plug out at left 3, engine running.
#[derive(Debug, Clone, PartialEq)]
pub struct Access {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// What closing it is, as an instruction without the site.
    pub closing: Option<String>,
    /// Minutes to open it.
    pub open: f64,
    /// Minutes to close it again.
    pub close: f64,
    /// What must be open first.
    pub needs: Vec<AccessId>,
    /// What must be closed while it is open.
    pub not_with: Vec<AccessId>,
    /// What the engine may do while it is open, beside standing.
    pub stays_open_in: Vec<Mode>,
    /// Causes that having had it open can bring.
    pub upsets: Vec<CauseId>,
    /// Checks that have to be made after it was open, before the job can end.
    pub owes: Vec<CheckId>,
    /// Checks that have to be made after it was open, before the engine is started.
    pub owes_before_run: Vec<CheckId>,
    /// Hazards of work with it open.
    pub hazards: Vec<HazardId>,
    /// The warning that stands while it is open.
    pub warning: Option<Warning>,
}

/// The access states that are open now, sorted.
#[derive(Debug, Clone, PartialEq, Eq, Hash, Default)]
pub struct AccessSet(Vec<AccessId>);

impl AccessSet {
    /// Whether a state is open.
    #[must_use]
    pub fn has(&self, id: AccessId) -> bool {
        self.0.binary_search(&id).is_ok()
    }

    /// Opens a state.
    pub fn open(&mut self, id: AccessId) {
        if let Err(at) = self.0.binary_search(&id) {
            self.0.insert(at, id);
        }
    }

    /// Closes a state.
    pub fn close(&mut self, id: AccessId) {
        if let Ok(at) = self.0.binary_search(&id) {
            self.0.remove(at);
        }
    }

    /// The open states.
    pub fn iter(&self) -> impl Iterator<Item = AccessId> + '_ {
        self.0.iter().copied()
    }

    /// Whether nothing is open.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

/// How long an acknowledged caution holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Until the access state changes.
    OncePerAccess,
    /// Until the P-leads of both sides are proven grounded, and again after work that could change that.
    UntilGrounded,
}

/// A hazard of a check.
#[derive(Debug, Clone, PartialEq)]
pub struct Hazard {
    /// Its name in the tree.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// The caution, in full sentences.
    pub caution: String,
    /// How long an acknowledgement holds.
    pub standing: Standing,
    /// What it comes with, where that is touched.
    pub of_parts: Vec<String>,
    /// The minutes after a run within which it comes with all work that has something open.
    pub after_run: Option<f64>,
}
