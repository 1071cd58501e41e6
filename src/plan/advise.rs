//! The rule that chooses the next action.

use crate::model::{CauseId, Model};
use crate::work::Action;

use super::advice::{Advice, Suggestion};
use super::again::look_again;
use super::candidate::Candidate;
use super::candidates::{candidates, showing};
use super::corrections::{corrections, otherwise};
use super::first;
use super::forecast::{Moment, Prospect};
use super::hypotheses::Hypotheses;
use super::situation::Situation;
use super::value::{WORTH_PROVING, minutes_of_doubt, minutes_to_come, remedy_minutes};
use super::waking::Waking;

/// Below this probability that anything is left, a passed proof run ends the job.
const LITTLE_LEFT: f64 = 0.05;
/// Minutes that a minute has to save to pay, when as little is left as [`LITTLE_LEFT`]; the more is left, the less.
const PAYS: f64 = 0.2;
/// The same once a proof run has passed: what is left sleeps well, and a come-back is the price of stopping.
const PAYS_AFTER_PROOF: f64 = 1.0;
/// Suggestions that are worked out in full.
const IN_FULL: usize = 12;

/// Minutes of work still expected to a proven cure, without working out what to do.
#[must_use]
pub fn expected_minutes(situation: &Situation<'_>) -> f64 {
    from_here(situation, &Hypotheses::of(situation))
}

fn from_here(situation: &Situation<'_>, hypotheses: &Hypotheses) -> f64 {
    let minutes = |remedy| remedy_minutes(situation, situation.now.setting, remedy);
    let each: Vec<f64> = hypotheses.remedies.iter().map(minutes).collect();
    minutes_to_come(&hypotheses.remedy_weight, &each)
}

/// What to do next.
#[must_use]
pub fn advise(situation: &Situation<'_>) -> Advice {
    weigh(situation, None).0
}

/// What to do next, and beside it what doing this would bring, however far down the list it is. None for it where it tells nothing about
/// the remedy, or where its worth was never worked out.
#[must_use]
pub fn appraise(situation: &Situation<'_>, done: Action) -> (Advice, Option<Suggestion>) {
    weigh(situation, Some(done))
}

fn weigh(situation: &Situation<'_>, done: Option<Action>) -> (Advice, Option<Suggestion>) {
    let hypotheses = Hypotheses::of(situation);
    let to_come = from_here(situation, &hypotheses);
    let something_left = hypotheses.something_left();
    let mut looks = candidates(situation, &hypotheses);
    looks.sort_by(|a, b| b.worth().total_cmp(&a.worth()).then(a.action.cmp(&b.action)));
    let mends = corrections(situation, &hypotheses, to_come);
    let again = look_again(situation, to_come);
    let worths = looks.iter().map(Candidate::worth).chain(mends.iter().map(|m| m.worth));
    let best = worths.chain(again.iter().map(|(worth, _)| *worth)).fold(0.0, f64::max);
    let pays = |least: f64| best * something_left > least * LITTLE_LEFT;

    let mut next: Vec<Suggestion> = Vec::new();
    if let Some(ending) = ending(situation, something_left, pays) {
        next.push(Suggestion::plain(ending, &situation.now.work(ending), 0.0, why_end(ending, something_left)));
    }
    // What waits for its proof run gets it, too, where nothing else is worth its minutes.
    if situation.awaits_proof && (something_left <= WORTH_PROVING || !pays(PAYS)) {
        next.push(proof_run(situation, &hypotheses, to_come));
    }
    let mut ranked: Vec<(f64, Suggestion)> =
        mends.into_iter().map(|m| (m.worth, m.suggestion(situation, to_come))).collect();
    for look in looks.iter().take(IN_FULL) {
        ranked.push((look.worth(), in_full(situation, &hypotheses, look, to_come)));
    }
    ranked.retain(|(_, s)| !again.iter().any(|(_, again)| again.action == s.action));
    ranked.extend(again);
    ranked.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut ranked: Vec<Suggestion> = ranked.into_iter().map(|(_, suggestion)| suggestion).collect();
    if let Some(Action::Correct(id)) = ranked.first().map(|s| s.action) {
        let others = otherwise(situation, &hypotheses, to_come, id);
        ranked.retain(|s| !others.iter().any(|o| o.action == s.action));
        ranked.splice(1..1, others);
    }
    next.extend(ranked);
    let next = first::put_first(situation, next, to_come);
    let listed = |action| next.iter().find(|s| s.action == action).cloned();
    let further = |action| match action {
        Action::ProofRun => Some(proof_run(situation, &hypotheses, to_come)),
        _ => looks.iter().find(|l| l.action == action).map(|l| in_full(situation, &hypotheses, l, to_come)),
    };
    let done = done.and_then(|action| listed(action).or_else(|| further(action)));
    // What is owed, and the proof run, are to come even where nothing is left in doubt.
    let expected_minutes = match next.first() {
        Some(first) if first.action.closes() => 0.0,
        Some(first) => first.minutes.max(to_come),
        None => to_come,
    };
    let not_in_tree = hypotheses.of_any(|id| situation.model.is_unlisted(id));
    let advice = Advice { next, expected_minutes, something_left, not_in_tree };
    (advice, done)
}

fn ending(situation: &Situation<'_>, something_left: f64, pays: impl Fn(f64) -> bool) -> Option<Action> {
    if situation.handed_over && something_left <= WORTH_PROVING {
        Some(Action::CloseHandedOver)
    } else if situation.proof_passed && (something_left <= LITTLE_LEFT || !pays(PAYS_AFTER_PROOF)) {
        Some(Action::CloseCured)
    } else if !pays(PAYS) && situation.handed_over {
        Some(Action::CloseHandedOver)
    } else if !pays(PAYS) && !situation.awaits_proof {
        Some(Action::CloseNotFound)
    } else {
        None
    }
}

fn proof_run(situation: &Situation<'_>, hypotheses: &Hypotheses, to_come: f64) -> Suggestion {
    let waking = Waking::under(situation, &situation.proof_under.0);
    let prospect = Prospect::of(hypotheses, &showing(situation), &Moment::New(waking.into()));
    let work = situation.now.work(Action::ProofRun);
    Suggestion {
        action: Action::ProofRun,
        again: false,
        then: None,
        minutes: work.minutes,
        waiting: work.waiting,
        then_minutes: 0.0,
        round: None,
        expected_minutes: work.minutes.max(to_come),
        bits: prospect.nats / std::f64::consts::LN_2,
        forecasts: prospect.forecasts(hypotheses, 3),
        why: why_proof(situation).into(),
    }
}

fn why_proof(situation: &Situation<'_>) -> &'static str {
    if situation.proof_under == situation.reported {
        "A correction is only proven by a run under the conditions that brought the complaint."
    } else {
        "It showed here under other conditions than it was reported under, and is gone only where it is gone under them too."
    }
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
        again: false,
        then: candidate.then,
        minutes: candidate.minutes,
        waiting: candidate.waiting,
        then_minutes: candidate.then_minutes,
        round: candidate.as_round().cloned(),
        expected_minutes: (to_come - minutes_of_doubt(candidate.prospect.nats)).max(0.0)
            + candidate.minutes
            + candidate.then_minutes,
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
    let start = match (candidate.action, candidate.then) {
        (Action::Check(id), _) => format!("{} It", model[id].purpose),
        (Action::Provoke(_), Some(id)) => format!("Wakes what sleeps now; then \"{}\"", model[id].title),
        (Action::Provoke(_), None) => "Wakes what sleeps now, if it shows then: it".to_owned(),
        _ => "It".to_owned(),
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
