//! Checks: what the mechanic does and sees.

use super::{AccessId, CauseId, CheckId, Cited, ComplaintId, CorrectionId, Formula, HazardId, Manner, Site};

/// What a check can see of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sees {
    /// Only what is failing now: a spark, a run-up, a resistance that opens hot.
    Awake,
    /// What is there, asleep or not: a crack, a worn cam.
    Present,
}

/// A look, a reading, a swap or a run-up at one site.
#[derive(Debug, Clone, PartialEq)]
pub struct Check {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// What it separates, in one sentence.
    pub purpose: String,
    /// What it can see.
    pub sees: Sees,
    /// Minutes, without access.
    pub minutes: f64,
    /// Access that must be open, with what that needs in turn.
    pub open: Vec<AccessId>,
    /// Access that must be closed.
    pub closed: Vec<AccessId>,
    /// How it is done.
    pub manner: Manner,
    /// Work after which what it looks at is gone for good.
    pub gone_after: Vec<Spends>,
    /// Access while which is open there is nothing to look at.
    pub gone_while: Vec<AccessId>,
    /// What must hold for it to make sense.
    pub needs: Vec<Need>,
    /// Checks that the same look answers, itself not among them.
    pub same_look: Vec<CheckId>,
    /// Tools.
    pub tools: Vec<String>,
    /// Hazards to acknowledge before it.
    pub hazards: Vec<HazardId>,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// What is expected when all is well.
    pub expected: String,
    /// Common mistakes.
    pub mistakes: Vec<String>,
    /// Names of checks that are answered beside it where all sites are answered at once. They bring no hazard that it does not.
    pub beside: Vec<String>,
    /// Where method and limits come from.
    pub source: Cited,
    /// The limit a typed reading is judged by: an index into the model's limits.
    pub limit: Option<usize>,
    /// Title of the normal outcome.
    pub normal: String,
    /// Abnormal outcomes, tried in order: the first that is true is what is there to see.
    pub outcomes: Vec<Outcome>,
}

/// Work that takes away what a check looks at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Spends {
    /// This was open.
    Opened(AccessId),
    /// This was carried out.
    Corrected(CorrectionId),
}

/// A fact without which a check makes no sense.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Need {
    /// The complaint is known to show now.
    ShowsNow,
    /// Each of these checks has been answered.
    Answered(Vec<CheckId>),
    /// None of these outcomes stands.
    NotSeen(Vec<(CheckId, usize)>),
    /// It is none of these complaints.
    NotComplaint(Vec<ComplaintId>),
    /// The aircraft has this gauge.
    Gauge(String),
}

/// An abnormal outcome of a check.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Its name in the tree; never `normal`.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// A key of its own, where the tree gives one.
    pub key: Option<char>,
    /// What brings it.
    pub event: Event,
    /// Whether seeing it proves the cause it shows.
    pub proves: bool,
    /// Where seeing it leaves no doubt that a cause it shows is there: the chance of it with no such fault there when it only looks so,
    /// above 0 and below 1. The leak of its event is then next to nothing.
    pub looks_so: Option<f64>,
    /// A standing warning it raises or lifts.
    pub warning: Option<Warning>,
    /// The name that an outcome had in older trees which is several now, this among them.
    pub formerly: Option<String>,
}

/// A standing warning about a side whose spark cannot be switched off.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Warning {
    /// The side is not grounded by the switch: the propeller is live.
    SideLive,
    /// The other side is not grounded by the switch: no drop on this one means that the other went on firing.
    OtherSideLive,
    /// The side is proven grounded: the warning is lifted.
    SideGrounded,
    /// The side did not fire in a run on it alone, so that stopping the engine proves nothing of its grounding. Every other outcome of the
    /// check says that it fires.
    SideSilent,
}

/// What brings an abnormal outcome: a noisy-or of causes and gates, and a leak.
#[derive(Debug, Clone, PartialEq)]
pub struct Event {
    /// Causes, each once, with the chance that the check shows them, above 0 and up to 1.
    pub causes: Vec<(CauseId, f64)>,
    /// Gates that are more than a plain "any", each with the chance that the check shows it.
    pub gates: Vec<(Formula, f64)>,
    /// The chance of this outcome with no such fault there, above 0 and below 1.
    pub leak: f64,
}

/// What was seen of a check.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Seen {
    /// The normal outcome.
    Normal,
    /// An abnormal outcome, by its index.
    Abnormal(usize),
}

impl Check {
    /// The outcome of this name; `normal` is the normal one.
    #[must_use]
    pub fn seen(&self, name: &str) -> Option<Seen> {
        if name == "normal" {
            return Some(Seen::Normal);
        }
        self.outcomes.iter().position(|o| o.name == name).map(Seen::Abnormal)
    }

    /// The outcomes, by their indices, that older trees had as one of this name.
    #[must_use]
    pub fn formerly(&self, name: &str) -> Vec<usize> {
        let were = self.outcomes.iter().enumerate().filter(|(_, o)| o.formerly.as_deref() == Some(name));
        were.map(|(at, _)| at).collect()
    }

    /// The name of an outcome.
    #[must_use]
    pub fn outcome_name(&self, seen: Seen) -> &str {
        match seen {
            Seen::Normal => "normal",
            Seen::Abnormal(i) => &self.outcomes[i].name,
        }
    }

    /// The title of an outcome.
    #[must_use]
    pub fn outcome_title(&self, seen: Seen) -> &str {
        match seen {
            Seen::Normal => &self.normal,
            Seen::Abnormal(i) => &self.outcomes[i].title,
        }
    }

    /// The place of an outcome among weights: the abnormal ones in order, the normal one last.
    #[must_use]
    pub fn place(&self, seen: Seen) -> usize {
        match seen {
            Seen::Normal => self.outcomes.len(),
            Seen::Abnormal(at) => at,
        }
    }

    /// The weights where it is clear what was seen.
    #[must_use]
    pub fn clear(&self, seen: Seen) -> Vec<f64> {
        let mut weights = vec![0.0; self.outcomes.len() + 1];
        weights[self.place(seen)] = 1.0;
        weights
    }

    /// Tools and gauges that it asks for.
    #[must_use]
    pub fn equipment(&self) -> Vec<String> {
        let gauges = self.needs.iter().filter_map(|need| match need {
            Need::Gauge(gauge) => Some(gauge.clone()),
            _ => None,
        });
        self.tools.iter().cloned().chain(gauges).collect()
    }

    /// All outcomes, the normal one first.
    pub fn all_seen(&self) -> impl Iterator<Item = Seen> + use<> {
        std::iter::once(Seen::Normal).chain((0..self.outcomes.len()).map(Seen::Abnormal))
    }

    /// The best chance that any abnormal outcome shows this cause.
    #[must_use]
    pub fn shows(&self, cause: CauseId) -> f64 {
        let missed = self
            .outcomes
            .iter()
            .flat_map(|o| o.event.causes.iter())
            .filter(|(c, _)| *c == cause)
            .fold(1.0, |missed, (_, chance)| missed * (1.0 - chance));
        1.0 - missed
    }
}
