//! The rule that chooses the next action.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use crate::model::{AccessSet, CauseId, CheckId, Conditions, CorrectionId, CorrectionKind, Model, ProvocationId, Sees};

use super::Situation;
use super::advice::{Action, Advice, Suggestion};
use super::forecast::{Look, Moment, Prospect, waking};
use super::hypotheses::{Hypotheses, cheapest_cures};
use super::value::{minutes_of_doubt, minutes_to_come, remedy_minutes};

/// Probability from which a correction that spends a part is carried out.
const SURE_ENOUGH_TO_SPEND: f64 = 0.9;
/// Probability from which one that spends none is.
const SURE_ENOUGH_TO_TRY: f64 = 0.75;
/// Below this probability that anything is left, a passed proof run ends the job.
const LITTLE_LEFT: f64 = 0.05;
/// What a minute has to save in minutes of doubt to pay, when as little is left as [`LITTLE_LEFT`]; the more is left, the less.
const PAYS: f64 = 1.0;
/// Up to this probability that anything is left, a correction is followed by its proof run.
const WORTH_PROVING: f64 = 0.5;
/// The share of newly opened access that one check is charged with; the rest is for those that follow it there.
const OWN_SHARE_OF_ACCESS: f64 = 0.6;
/// The share of a provocation that the first check in it is charged with.
const OWN_SHARE_OF_PROVOCATION: f64 = 0.5;
/// What an earlier miss of the same check leaves of its chance to show, where the cause may have slept then.
const FRESH_AFTER_A_MISS: f64 = 0.5;
/// Suggestions that are worked out in full.
const IN_FULL: usize = 12;
/// Information below which a check is not worth suggesting, in nats.
const NOTHING_TO_LEARN: f64 = 1e-4;

/// A way to go on, with its worth.
struct Candidate {
    action: Action,
    then: Option<CheckId>,
    minutes: f64,
    /// Minutes charged to it when worths are compared.
    charged: f64,
    prospect: Prospect,
}

impl Candidate {
    /// Minutes of doubt saved per minute charged.
    fn worth(&self) -> f64 {
        minutes_of_doubt(self.prospect.nats) / self.charged.max(0.5)
    }
}

/// What to do next.
#[must_use]
pub fn advise(situation: &Situation<'_>) -> Advice {
    let model = situation.model;
    let hypotheses = Hypotheses::of(situation);
    let minutes: Vec<f64> = hypotheses.remedies.iter().map(|r| remedy_minutes(situation, r)).collect();
    let to_come = minutes_to_come(&hypotheses, &minutes);
    let something_left = hypotheses.something_left();
    let mut candidates = candidates(situation, &hypotheses);
    candidates.sort_by(|a, b| b.worth().total_cmp(&a.worth()).then(a.action.cmp(&b.action)));
    let best_pays = candidates.first().is_some_and(|c| c.worth() * something_left > PAYS * LITTLE_LEFT);

    let mut next = Vec::new();
    if let Some(ending) = ending(situation, something_left, best_pays) {
        next.push(plain(ending, 0.0, 0.0, why_end(ending, something_left)));
    }
    let top = top_correction(situation, &hypotheses);
    if situation.awaits_proof && something_left <= WORTH_PROVING {
        next.push(proof_run(situation, &hypotheses, to_come));
    }
    if let Some((id, probability)) = top {
        let sure = if model[id].kind.spends_part() { SURE_ENOUGH_TO_SPEND } else { SURE_ENOUGH_TO_TRY };
        if next.is_empty() && (probability >= sure * something_left.max(0.5) || !best_pays && probability >= 0.3) {
            next.push(correct(situation, id, probability, to_come));
        }
    }
    for candidate in candidates.iter().take(IN_FULL) {
        next.push(in_full(situation, &hypotheses, candidate, to_come));
    }
    if let Some((id, probability)) = top
        && !next.iter().any(|s| s.action == Action::Correct(id))
    {
        next.push(correct(situation, id, probability, to_come));
    }
    if next.is_empty() {
        next.push(plain(Action::CloseNotFound, 0.0, 0.0, why_end(Action::CloseNotFound, something_left)));
    }
    Advice { next, expected_minutes: to_come, something_left, not_in_tree: hypotheses.of_cause(model.unknown()) }
}

fn ending(situation: &Situation<'_>, something_left: f64, best_pays: bool) -> Option<Action> {
    if situation.handed_over {
        return Some(Action::CloseHandedOver);
    }
    if situation.proof_passed && (something_left <= LITTLE_LEFT || !best_pays) {
        return Some(Action::CloseCured);
    }
    None
}

/// The correction likeliest to be needed, with the probability that one of its causes is there.
fn top_correction(situation: &Situation<'_>, hypotheses: &Hypotheses) -> Option<(CorrectionId, f64)> {
    let cure = cheapest_cures(situation.model);
    let mut sums = vec![0.0; situation.model.corrections.len()];
    for h in &hypotheses.all {
        let mut asked: Vec<CorrectionId> = h.members.iter().filter_map(|(c, _)| cure[c.0]).collect();
        asked.sort_unstable();
        asked.dedup();
        asked.iter().for_each(|id| sums[id.0] += h.weight);
    }
    let best = (0..sums.len()).max_by(|a, b| sums[*a].total_cmp(&sums[*b]))?;
    (sums[best] > 0.0).then_some((CorrectionId(best), sums[best]))
}

fn candidates(situation: &Situation<'_>, hypotheses: &Hypotheses) -> Vec<Candidate> {
    let model = situation.model;
    let mut found = Vec::new();
    let looks: Vec<(CheckId, Look<'_>)> = (0..model.checks.len())
        .map(CheckId)
        .filter(|id| !situation.barred.contains(id))
        .map(|id| (id, look(situation, id)))
        .collect();
    let spells = Spells::new(situation);
    for (id, look) in &looks {
        let check = &model[*id];
        let (access, moving) = model.reach(situation.access, &check.open, &check.closed);
        let conditions = model.conditions_after(situation.access, &access, &situation.conditions);
        let stays = conditions == situation.conditions;
        let answered = |(other, now): &(CheckId, bool)| other == id && (*now && stays || look.sees == Sees::Present);
        if situation.answered.iter().any(answered) {
            continue;
        }
        found.push(Candidate {
            action: Action::Check(*id),
            then: None,
            minutes: check.minutes + moving,
            charged: check.minutes + OWN_SHARE_OF_ACCESS * moving,
            prospect: Prospect::of(hypotheses, look, &spells.moment(&conditions)),
        });
    }
    let (run, minutes) = run(situation, situation.access, &situation.conditions);
    if situation.showing.is_none() || run != situation.conditions {
        let prospect = Prospect::of(hypotheses, &showing(situation), &spells.moment(&run));
        found.push(Candidate { action: Action::SeeWhetherItShows, then: None, minutes, charged: minutes, prospect });
    }
    for id in (0..model.provocations.len()).map(ProvocationId) {
        found.extend(best_in_provocation(situation, hypotheses, &looks, &spells, id));
    }
    found.retain(|c| c.prospect.nats > NOTHING_TO_LEARN);
    found
}

/// The chance of each cause to be awake, for every set of conditions that the next step can reach.
struct Spells<'a> {
    situation: &'a Situation<'a>,
    chances: RefCell<BTreeMap<Vec<usize>, Rc<[f64]>>>,
}

impl<'a> Spells<'a> {
    fn new(situation: &'a Situation<'a>) -> Self {
        Self { situation, chances: RefCell::default() }
    }

    /// The moment of a look under conditions: now where they are as they are, else a new spell.
    fn moment(&self, conditions: &Conditions) -> Moment {
        if *conditions == self.situation.conditions {
            return Moment::Now;
        }
        let mut chances = self.chances.borrow_mut();
        let known = chances.entry(conditions.0.clone());
        Moment::New(Rc::clone(known.or_insert_with(|| waking(self.situation.model, &conditions.0).into())))
    }
}

/// The best check in the spell that a provocation would begin.
fn best_in_provocation(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    looks: &[(CheckId, Look<'_>)],
    spells: &Spells<'_>,
    id: ProvocationId,
) -> Option<Candidate> {
    let model = situation.model;
    let provocation = &model[id];
    let (access, opening) = model.reach(situation.access, &provocation.open, &[]);
    let conditions = model.conditions_after(situation.access, &access, &situation.conditions).with(&provocation.sets);
    if conditions == situation.conditions {
        return None;
    }
    let before = opening + provocation.minutes;
    let in_it = |then: Option<CheckId>, look: &Look<'_>, conditions: &Conditions, moving: f64, own: f64| Candidate {
        action: Action::Provoke(id),
        then,
        minutes: before + moving + own,
        charged: OWN_SHARE_OF_PROVOCATION * before + OWN_SHARE_OF_ACCESS * moving + own,
        prospect: Prospect::of(hypotheses, look, &spells.moment(conditions)),
    };
    let checks = looks.iter().filter(|(_, look)| look.sees == Sees::Awake).map(|(check, look)| {
        let (reached, moving) = model.reach(&access, &model[*check].open, &model[*check].closed);
        let conditions = model.conditions_after(&access, &reached, &conditions);
        in_it(Some(*check), look, &conditions, moving, model[*check].minutes)
    });
    let (running, minutes) = run(situation, &access, &conditions);
    let shows = in_it(None, &showing(situation), &running, 0.0, minutes);
    checks.chain([shows]).max_by(|a, b| a.worth().total_cmp(&b.worth()))
}

fn look<'a>(situation: &Situation<'a>, id: CheckId) -> Look<'a> {
    let check = &situation.model[id];
    let before = situation.answered.iter().filter(|(c, now)| *c == id && !now).count();
    Look {
        sees: check.sees,
        events: check.outcomes.iter().map(|o| &o.event).collect(),
        fresh: FRESH_AFTER_A_MISS.powi(i32::try_from(before).unwrap_or(i32::MAX)),
    }
}

fn showing<'a>(situation: &Situation<'a>) -> Look<'a> {
    Look { sees: Sees::Awake, events: vec![&situation.model[situation.complaint].event], fresh: 1.0 }
}

/// The conditions and minutes of running the engine, from an access state, to see whether the complaint shows.
fn run(situation: &Situation<'_>, access: &AccessSet, conditions: &Conditions) -> (Conditions, f64) {
    let model = situation.model;
    let running = model.running();
    let others: Vec<_> = access.iter().filter(|id| !running.contains(id)).collect();
    let (closed, closing) = model.reach(access, &[], &others);
    let (reached, _) = model.reach(&closed, &running, &[]);
    (model.conditions_after(access, &reached, conditions), closing + model[situation.complaint].proof.minutes)
}

fn proof_run(situation: &Situation<'_>, hypotheses: &Hypotheses, to_come: f64) -> Suggestion {
    let chances = waking(situation.model, &situation.reported.0);
    let prospect = Prospect::of(hypotheses, &showing(situation), &Moment::New(chances.into()));
    let (_, minutes) = run(situation, situation.access, &situation.conditions);
    Suggestion {
        action: Action::ProofRun,
        then: None,
        minutes,
        expected_minutes: minutes.max(to_come),
        bits: prospect.nats / std::f64::consts::LN_2,
        forecasts: prospect.forecasts(hypotheses, 3),
        why: "A correction is only proven by a run under the conditions that brought the complaint.".into(),
    }
}

fn correct(situation: &Situation<'_>, id: CorrectionId, probability: f64, to_come: f64) -> Suggestion {
    let model = situation.model;
    let correction = &model[id];
    let (_, moving) = model.reach(situation.access, &correction.open, &[]);
    let why = if correction.kind == CorrectionKind::HandOver {
        format!("{:.0} % likely to be what is wrong, and it is not ignition.", 100.0 * probability)
    } else {
        format!("{:.0} % likely to be needed; no look left is worth its minutes before it.", 100.0 * probability)
    };
    let minutes = correction.minutes + moving;
    plain(Action::Correct(id), minutes, to_come.max(minutes), why)
}

fn plain(action: Action, minutes: f64, expected_minutes: f64, why: String) -> Suggestion {
    Suggestion { action, then: None, minutes, expected_minutes, bits: 0.0, forecasts: Vec::new(), why }
}

fn why_end(action: Action, something_left: f64) -> String {
    let left = 100.0 * something_left;
    match action {
        Action::CloseHandedOver => "What was found is not ignition and was handed over.".into(),
        Action::CloseCured => format!("The proof run passed; {left:.0} % is left for a fault that slept through it."),
        _ => format!("No check left is worth its minutes; {left:.0} % is left for a fault that was not found."),
    }
}

fn in_full(situation: &Situation<'_>, hypotheses: &Hypotheses, candidate: &Candidate, to_come: f64) -> Suggestion {
    let forecasts = candidate.prospect.forecasts(hypotheses, 3);
    Suggestion {
        action: candidate.action,
        then: candidate.then,
        minutes: candidate.minutes,
        expected_minutes: (to_come - minutes_of_doubt(candidate.prospect.nats)).max(0.0) + candidate.minutes,
        bits: candidate.prospect.nats / std::f64::consts::LN_2,
        why: why(situation.model, hypotheses, candidate, &forecasts),
        forecasts,
    }
}

/// Which leading causes the look tells from which.
fn why(model: &Model, hypotheses: &Hypotheses, candidate: &Candidate, forecasts: &[super::Forecast]) -> String {
    let abnormal = forecasts.iter().filter(|f| f.seen != crate::model::Seen::Normal);
    let Some(telling) = abnormal.max_by(|a, b| a.probability.total_cmp(&b.probability)) else {
        return String::new();
    };
    let name = |id: CauseId| format!("{}, {}", model[id].title, model[id].site);
    let raised = telling
        .then
        .iter()
        .filter(|(id, after)| *after > hypotheses.of_cause(*id))
        .max_by(|a, b| (a.1 - hypotheses.of_cause(a.0)).total_cmp(&(b.1 - hypotheses.of_cause(b.0))));
    let start = match candidate.action {
        Action::Provoke(_) => "Wakes what sleeps now; then it",
        _ => "It",
    };
    match raised {
        Some((id, after)) => format!(
            "{start} brings {} from {:.0} % to {:.0} % if abnormal ({:.0} % likely).",
            name(*id),
            100.0 * hypotheses.of_cause(*id),
            100.0 * after,
            100.0 * telling.probability
        ),
        None => {
            format!("{start} tells what is left apart by {:.2} bit.", candidate.prospect.nats / std::f64::consts::LN_2)
        }
    }
}
