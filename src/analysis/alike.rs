//! Suspects that no check left in the tree can tell apart.

use std::collections::{BTreeMap, BTreeSet};

use crate::belief::Posterior;
use crate::job::State;
use crate::model::{CauseId, CheckId, CorrectionId, Event, Formula, Model, Sees, Trigger};
use crate::work::Action;

/// Two chances that differ by no more than this are the same to a mechanic: it would take hundreds of repeats to tell
/// them apart.
pub const SAME_CHANCE: f64 = 0.05;
/// Below this probability a cause is no suspect.
const SUSPECT: f64 = 0.02;

/// Suspects that look the same under every check that can still be made, and under the complaint itself, to within
/// [`SAME_CHANCE`].
#[derive(Debug, Clone, PartialEq)]
pub struct Alike {
    /// The suspects, the likeliest first; two or more.
    pub causes: Vec<CauseId>,
    /// Probability of one of them or another, taken one at a time: the sum of theirs, at most 1.
    pub probability: f64,
    /// What puts them right, each with its minutes from here, the cheapest first. Between them they cure all of the
    /// suspects.
    pub mends: Vec<(CorrectionId, f64)>,
}

impl Alike {
    /// Whether the cheapest correction cures all of them, so that they need not be told apart.
    #[must_use]
    pub fn one_cures_all(&self, model: &Model) -> bool {
        self.mends.first().is_some_and(|(id, _)| self.causes.iter().all(|c| model[*id].cures.contains(c)))
    }

    /// What to do, in a sentence or two.
    #[must_use]
    pub fn advice(&self, model: &Model) -> String {
        let mend = |(id, minutes): &(CorrectionId, f64)| {
            let correction = &model[*id];
            let parts =
                if correction.cost > 0.0 { format!(", parts about {:.0}", correction.cost) } else { String::new() };
            format!("{}, {} ({minutes:.0} min{parts})", correction.title, model.site_words(correction.site))
        };
        let named: Vec<String> = self.mends.iter().map(mend).collect();
        match named.split_first() {
            Some((first, _)) if self.one_cures_all(model) => {
                format!("No check left tells them apart, and none need: one correction cures them all. {first}.")
            }
            Some((first, rest)) if !rest.is_empty() => format!(
                "No check left tells them apart. Treat them as one: do the cheapest first and run the proof after it. First {first}; then {}.",
                rest.join("; then ")
            ),
            _ => "No check left tells them apart. Treat them as one.".to_owned(),
        }
    }
}

/// What a cause does to every look that can still be made.
struct Signature<'m> {
    cause: CauseId,
    /// (look, outcome) -> chance; the complaint is the look without a check.
    shows: BTreeMap<(Option<CheckId>, usize), f64>,
    /// The gates in those looks.
    gates: &'m [(Option<CheckId>, usize, &'m Formula)],
    /// Whether any of those looks sees only what is awake.
    by_waking: bool,
}

/// The sets of suspects that cannot be told apart, the likeliest first.
pub(super) fn alike(model: &Model, state: &State, posterior: &Posterior) -> Vec<Alike> {
    let present = |id: CauseId| posterior.causes.get(id.0).map_or(0.0, |b| b.present);
    let mut suspects: Vec<CauseId> = (0..model.causes.len())
        .map(CauseId)
        .filter(|id| !model.is_unlisted(*id) && !state.confirmed.contains(id) && present(*id) >= SUSPECT)
        .collect();
    suspects.sort_by(|a, b| present(*b).total_cmp(&present(*a)).then(a.cmp(b)));
    let looks = looks(model, state);
    let gates: Vec<(Option<CheckId>, usize, &Formula)> = looks
        .iter()
        .flat_map(|(look, at, event, _)| event.gates.iter().map(move |(formula, _)| (*look, *at, formula)))
        .collect();
    let mut sets: Vec<Vec<Signature<'_>>> = Vec::new();
    for cause in suspects {
        let signature = Signature::of(cause, &looks, &gates);
        match sets.iter_mut().find(|set| set.iter().all(|other| other.is_like(model, &signature))) {
            Some(set) => set.push(signature),
            None => sets.push(vec![signature]),
        }
    }
    let several = sets.into_iter().filter(|set| set.len() > 1);
    let mut found: Vec<Alike> = several
        .map(|set| {
            let causes: Vec<CauseId> = set.iter().map(|s| s.cause).collect();
            let probability = causes.iter().map(|c| present(*c)).sum::<f64>().min(1.0);
            Alike { mends: mends(model, state, &causes), causes, probability }
        })
        .collect();
    found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
    found
}

/// Every outcome of every look that can still tell anything: (look, outcome, event, whether it sees only what is
/// awake).
fn looks<'m>(model: &'m Model, state: &State) -> Vec<(Option<CheckId>, usize, &'m Event, bool)> {
    // What is there does not change by itself, so such a check tells nothing new when it is made again.
    let made: BTreeSet<CheckId> = state.given.iter().map(|g| g.check).collect();
    let open = (0..model.checks.len())
        .map(CheckId)
        .filter(|id| !state.not_possible.contains(id) && (model[*id].sees == Sees::Awake || !made.contains(id)));
    let checks = open.flat_map(|id| {
        let check = &model[id];
        check.outcomes.iter().enumerate().map(move |(at, o)| (Some(id), at, &o.event, check.sees == Sees::Awake))
    });
    checks.chain([(None, 0, &model[state.in_hand().0].event, true)]).collect()
}

impl<'m> Signature<'m> {
    fn of(
        cause: CauseId,
        looks: &[(Option<CheckId>, usize, &'m Event, bool)],
        gates: &'m [(Option<CheckId>, usize, &'m Formula)],
    ) -> Self {
        let mut shows = BTreeMap::new();
        let mut by_waking = false;
        for (look, at, event, awake) in looks {
            if let Some((_, chance)) = event.causes.iter().find(|(c, _)| *c == cause) {
                shows.insert((*look, *at), *chance);
                by_waking |= awake;
            }
        }
        Self { cause, shows, gates, by_waking }
    }

    fn is_like(&self, model: &Model, other: &Self) -> bool {
        let chance = |of: &Self, key| of.shows.get(key).copied().unwrap_or(0.0);
        let mut keys = self.shows.keys().chain(other.shows.keys());
        keys.all(|key| (chance(self, key) - chance(other, key)).abs() <= SAME_CHANCE)
            && self.gates.iter().all(|(_, _, formula)| same_place(formula, self.cause, other.cause))
            && (!(self.by_waking || other.by_waking) || same_waking(model, self.cause, other.cause))
    }
}

/// Whether a gate cannot tell two causes apart.
fn same_place(formula: &Formula, one: CauseId, other: CauseId) -> bool {
    match formula {
        Formula::Any(causes) => causes.contains(&one) == causes.contains(&other),
        Formula::AtLeast { of, .. } => of.iter().all(|part| same_place(part, one, other)),
    }
}

/// Whether two causes wake alike under all conditions.
fn same_waking(model: &Model, one: CauseId, other: CauseId) -> bool {
    let weight = |of: CauseId, trigger: &Trigger| {
        let same = model[of].waking.triggers().iter().filter(|(known, _)| known == trigger);
        same.map(|(_, weight)| weight).sum::<f64>()
    };
    let triggers = |of: CauseId| model[of].waking.triggers().iter().map(|(trigger, _)| trigger);
    triggers(one).chain(triggers(other)).all(|t| (weight(one, t) - weight(other, t)).abs() <= SAME_CHANCE)
}

/// The corrections that between them cure all of these, the cheapest first: one alone where one does.
fn mends(model: &Model, state: &State, causes: &[CauseId]) -> Vec<(CorrectionId, f64)> {
    let minutes = |id: CorrectionId| state.work(model, Action::Correct(id)).minutes;
    let cheapest = |ids: Vec<CorrectionId>| {
        let key = |id: &CorrectionId| (minutes(*id), model[*id].cost);
        ids.into_iter().min_by(|a, b| {
            let (a, b) = (key(a), key(b));
            a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1))
        })
    };
    let all = (0..model.corrections.len()).map(CorrectionId);
    let of_all = all.filter(|id| causes.iter().all(|c| model[*id].cures.contains(c))).collect();
    let singly: BTreeSet<CorrectionId> = causes.iter().filter_map(|c| cheapest(model.cures(*c))).collect();
    let mut found: Vec<(CorrectionId, f64)> = singly.into_iter().map(|id| (id, minutes(id))).collect();
    if let Some(id) = cheapest(of_all) {
        // One that cures them all is better unless it takes longer than all the others together.
        if minutes(id) <= found.iter().map(|(_, minutes)| minutes).sum::<f64>() {
            found = vec![(id, minutes(id))];
        }
    }
    found.sort_by(|a, b| a.1.total_cmp(&b.1).then(model[a.0].cost.total_cmp(&model[b.0].cost)));
    found
}
