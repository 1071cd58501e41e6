//! From a job's state to the question inference is asked.

use crate::belief::{
    Arrival, CauseInput, Comes, Corrected, Event, Exposure, Habit, Observation, Problem, prior, with_work,
};
use crate::model::{Cause, CauseId, Model, Outcome, Sees, Trigger, age_of};

use crate::job::State;

/// The question: what is at fault, given everything entered so far.
#[must_use]
pub fn problem(model: &Model, state: &State) -> Problem {
    let causes = (0..model.causes.len()).map(|i| cause_input(model, state, CauseId(i))).collect();
    // Showing or not is one more observation of each spell, by the event of the complaint that is looked for.
    let showing_key = model.checks.len();
    let showing = state.spells.iter().enumerate().filter_map(|(spell, s)| {
        let outcome = if s.showing? { Some(0) } else { None };
        let event = model[s.complaint].event.clone();
        let key = showing_key + s.complaint.0;
        Some(Observation { minutes: s.looked, ..Observation::clear(spell, Sees::Awake, key, vec![event], outcome) })
    });
    let checks = state.given.iter().filter(|g| !g.weights.is_empty()).map(|g| {
        let check = &model[g.check];
        let certain = g.is_certain(model);
        let event = |o: &Outcome| match o.looks_so {
            Some(leak) if !certain => Event { leak, ..o.event.clone() },
            _ => o.event.clone(),
        };
        Observation {
            spell: g.spell,
            sees: check.sees,
            key: g.check.0,
            minutes: check.minutes,
            events: check.outcomes.iter().map(event).collect(),
            weights: g.weights.clone(),
        }
    });
    Problem { spells: state.spells.len(), causes, observations: showing.chain(checks).collect() }
}

fn cause_input(model: &Model, state: &State, id: CauseId) -> CauseInput {
    let cause = &model[id];
    let habit = |(trigger, weight): &(Trigger, f64)| Habit {
        weight: *weight,
        comes: match trigger {
            Trigger::Moments(each_minute) => Comes::Moments(*each_minute),
            _ => Comes::Spells(state.spells.iter().map(|s| trigger.awake(&s.conditions.0)).collect()),
        },
    };
    let corrections = state.done.iter().filter(|d| model[d.correction].cures.contains(&id));
    let exposure = exposure(model, state, cause);
    // Work in the job that can bring a cause makes it likelier by the factor that old records have for a part worked on.
    let brings = || {
        let undisturbed = prior(cause, &Exposure { disturbed: false, ..exposure });
        prior(cause, &Exposure { disturbed: true, ..exposure }) - undisturbed
    };
    let brought = state.upset.iter().filter(|(from, cause)| *cause == id && *from < state.spells.len());
    CauseInput {
        prior: if state.confirmed.contains(&id) { 1.0 } else { before(model, state, id, prior(cause, &exposure)) },
        habits: cause.waking.triggers().iter().map(habit).collect(),
        corrections: corrections.map(|d| Corrected { from: d.from, fails: model[d.correction].fails }).collect(),
        arrivals: brought.map(|(from, _)| Arrival { from: *from, chance: brings() }).collect(),
    }
}

/// The chance that a cause was there when the job began, by that of its rate and by work before the job.
fn before(model: &Model, state: &State, id: CauseId, of_rate: f64) -> f64 {
    with_work(of_rate, state.recently_brought(model, id).map(|(_, chance)| chance))
}

/// How much of the chance that a cause was there comes of its rate, 0 to 1: the rest comes of work before the job.
#[must_use]
pub fn share_of_rate(model: &Model, state: &State, id: CauseId) -> f64 {
    let of_rate = prior(&model[id], &exposure(model, state, &model[id]));
    let all = before(model, state, id, of_rate);
    if all > 0.0 { of_rate / all } else { 1.0 }
}

fn exposure<'a>(model: &Model, state: &'a State, cause: &Cause) -> Exposure<'a> {
    let touched = |(what, at): &(String, crate::model::Site)| {
        (*what == cause.part || *what == cause.name) && model.layout.encloses(*at, cause.site)
    };
    Exposure {
        window_hours: state.window_hours,
        age: age_of(&state.ages, &model.layout, &cause.part, cause.site),
        disturbed: state.disturbed.iter().any(touched),
    }
}
