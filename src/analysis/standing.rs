//! Where each cause stands, and which checks put it there.

use crate::belief::{Exposure, Posterior, prior};
use crate::job::{Given, State};
use crate::model::{CauseId, CheckId, Model, Outcome, Seen, Sees, age_of};

use super::looks;

/// What is known of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Standing {
    /// Nothing speaks clearly against it.
    InPlay,
    /// At most half as likely as before anything was looked at, because other things speak for other causes; nobody need have looked at it.
    Unlikely,
    /// A look that would have shown it was made when it would show, and was normal.
    ShownGood,
    /// Certain, or nearly so by a finding that shows it.
    Proven,
    /// Corrected, and a proof run has passed since.
    PutRight,
}

impl Standing {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::InPlay => "in play",
            Self::Unlikely => "unlikely",
            Self::ShownGood => "shown good",
            Self::Proven => "proven",
            Self::PutRight => "put right",
        }
    }
}

/// Probability from which a cause counts as proven when a finding shows that one cause by itself.
const PROVEN_BY_OWN_FINDING: f64 = 0.9;
/// The same when findings show it only among others.
const PROVEN_BY_ELIMINATION: f64 = 0.97;
/// The same when it was corrected and the complaint went with it in a proof run.
const PROVEN_BY_CURE: f64 = 0.5;
/// Below this probability a cause is not named among those that one correction cured.
const NAMED_IN_CURE: f64 = 0.02;
/// At most this share of its prior, a cause is unlikely.
const UNLIKELY_SHARE: f64 = 0.5;
/// From this probability on a normal look shows nothing good: all entries together speak louder than the one look.
pub const STILL_LIKELY: f64 = 0.1;
/// At most this share of its prior, and below [`WRITTEN_OFF_PROBABILITY`], a way of working that goes by belief alone writes a cause off.
const WRITTEN_OFF_SHARE: f64 = 0.05;
const WRITTEN_OFF_PROBABILITY: f64 = 0.01;

pub(super) fn standing(model: &Model, state: &State, posterior: &Posterior, id: CauseId) -> Standing {
    let belief = posterior.causes.get(id.0).copied().unwrap_or_default();
    let corrected = state.done.iter().any(|d| model[d.correction].cures.contains(&id));
    let proven = is_proven(model, state, posterior, id);
    if corrected && state.proof_passed() && (proven || proven_by_cure(model, state, posterior, id)) {
        return Standing::PutRight;
    }
    if proven {
        return Standing::Proven;
    }
    let acquits = belief.ever < STILL_LIKELY && posterior.error <= Posterior::TOO_UNSURE;
    if acquits && looks::shows_good(model, state, id).is_some() {
        Standing::ShownGood
    } else if belief.ever <= UNLIKELY_SHARE * before(model, state, id) {
        Standing::Unlikely
    } else {
        Standing::InPlay
    }
}

/// How likely a cause was before anything was looked at.
fn before(model: &Model, state: &State, id: CauseId) -> f64 {
    let cause = &model[id];
    let age = age_of(&state.ages, &model.layout, &cause.part, cause.site);
    prior(cause, &Exposure { window_hours: state.window_hours, age, disturbed: false })
}

/// Whether a way of working that goes by belief alone writes a cause off, looked at or not.
pub(super) fn written_off(model: &Model, state: &State, posterior: &Posterior, id: CauseId) -> bool {
    let ever = posterior.causes.get(id.0).map_or(0.0, |b| b.ever);
    ever <= WRITTEN_OFF_SHARE * before(model, state, id) && ever < WRITTEN_OFF_PROBABILITY
}

/// A complaint that goes with a correction proves that one of the causes it cures was there: the cure is a finding of
/// its own, and causes that one correction cures need not be told apart.
fn proven_by_cure(model: &Model, state: &State, posterior: &Posterior, id: CauseId) -> bool {
    let ever = |id: &CauseId| posterior.causes.get(id.0).map_or(0.0, |b| b.ever);
    let cures = state.done.iter().map(|d| &model[d.correction].cures).filter(|cures| cures.contains(&id));
    let none = |cures: &Vec<CauseId>| cures.iter().map(|c| 1.0 - ever(c)).product::<f64>();
    cures.map(none).any(|none| 1.0 - none >= PROVEN_BY_CURE) && ever(&id) >= NAMED_IN_CURE
}

fn is_proven(model: &Model, state: &State, posterior: &Posterior, id: CauseId) -> bool {
    let belief = posterior.causes.get(id.0).copied().unwrap_or_default();
    if state.confirmed.contains(&id) {
        return true;
    }
    let findings = state.given.iter().filter_map(|g| match g.seen()? {
        Seen::Abnormal(i) => Some((g, &model[g.check].outcomes[i])),
        Seen::Normal => None,
    });
    let names = |o: &Outcome| o.event.causes.iter().any(|(c, chance)| *c == id && *chance >= looks::NAMES);
    let mut shown = findings.filter(|(_, o)| names(o)).peekable();
    if shown.peek().is_none() {
        return false;
    }
    let sure = |g: &Given| posterior.error <= Posterior::TOO_UNSURE || g.is_certain(model);
    let own = shown.any(|(g, o)| o.proves && !g.looks_so && sure(g));
    if !own && posterior.error > Posterior::TOO_UNSURE {
        return false;
    }
    belief.ever >= if own { PROVEN_BY_OWN_FINDING } else { PROVEN_BY_ELIMINATION }
}

/// A check that speaks against a cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Against {
    /// Number of the entry.
    pub number: u64,
    /// The check.
    pub check: CheckId,
    /// How much less likely what was seen is with the cause awake (or present, where the check sees that) than without:
    /// 0 to 1.
    pub factor: f64,
}

/// The checks that speak against a cause, the strongest first.
pub(super) fn against(model: &Model, state: &State, id: CauseId) -> Vec<Against> {
    let mut found: Vec<Against> = state.given.iter().filter_map(|g| speaks_against(model, state, g, id)).collect();
    found.sort_by(|a, b| a.factor.total_cmp(&b.factor));
    found
}

/// Below this factor a check is worth naming.
const WORTH_NAMING: f64 = 0.75;

fn speaks_against(model: &Model, state: &State, given: &Given, id: CauseId) -> Option<Against> {
    let check = &model[given.check];
    let missed = |outcome: usize| {
        let chance = check.outcomes[outcome].event.causes.iter().find(|(c, _)| *c == id).map_or(0.0, |(_, p)| *p);
        1.0 - chance
    };
    let factor = match given.seen()? {
        Seen::Normal => (0..check.outcomes.len()).map(missed).product::<f64>(),
        // An abnormal outcome speaks against what would have shown as an earlier one.
        Seen::Abnormal(i) => (0..i).map(missed).product::<f64>(),
    };
    let awake = match check.sees {
        Sees::Present => 1.0,
        Sees::Awake => model[id].waking.meets(&state.spells.get(given.spell)?.conditions.0, check.minutes),
    };
    let factor = 1.0 - awake + awake * factor;
    (factor < WORTH_NAMING).then_some(Against { number: given.number, check: given.check, factor })
}
