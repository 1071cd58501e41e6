//! Playing a job to its end against an engine that answers, doing what the planner says.

use crate::analysis::Analysis;
use crate::job::{Answer, Ending, Entry, Job, Levels, Logged, Refusal};
use crate::model::{CauseId, Model};
use crate::plan::Action;

use super::engine::Engine;
use super::hidden::Hidden;

/// How a played job went.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Played {
    /// It was closed, in this way.
    Closed(Ending),
    /// It ran into the limit of steps.
    GaveUp,
}

/// Does what the planner suggests first, step by step, answering from the engine, until the job is closed or `most` steps
/// are done. Cautions are acknowledged as they come.
///
/// # Errors
/// An entry that the job refuses, which would be a fault of the planner.
pub fn play(job: &mut Job, engine: &mut Engine<'_>, most: usize) -> Result<Played, Refusal> {
    for _ in 0..most {
        if let Some(how) = job.state().ended {
            return Ok(Played::Closed(how));
        }
        let advised = Analysis::of(job.clone());
        let Some(action) = advised.advice().first().map(|s| s.action) else { return Ok(Played::GaveUp) };
        step(job, engine, action)?;
    }
    Ok(job.state().ended.map_or(Played::GaveUp, Played::Closed))
}

/// As [`play`], on an engine for practice: a provocation is followed by the look it is made for, and a job that was closed too early stays
/// closed.
///
/// # Errors
/// An entry that the job refuses, which would be a fault of the planner.
pub fn play_hidden(job: &mut Job, hidden: &Hidden, most: usize) -> Result<Played, Refusal> {
    for _ in 0..most {
        let advised = Analysis::of(job.clone());
        let Some(suggestion) = advised.advice().first() else { return Ok(Played::GaveUp) };
        let then = suggestion.then.map(Action::Check).filter(|_| matches!(suggestion.action, Action::Provoke(_)));
        for action in std::iter::once(suggestion.action).chain(then) {
            do_hidden(job, hidden, action)?;
            if let Some(how) = job.state().ended {
                return Ok(Played::Closed(how));
            }
        }
    }
    Ok(Played::GaveUp)
}

/// Carries an action out on an engine for practice and enters it, its cautions acknowledged.
///
/// # Errors
/// An entry that the job refuses.
pub fn do_hidden(job: &mut Job, hidden: &Hidden, action: Action) -> Result<(), Refusal> {
    acknowledge(job, action)?;
    let entry = hidden.answer(job, action, &Levels::default());
    let how = match action {
        Action::CloseCured => Ending::CuredProven,
        Action::CloseHandedOver => Ending::HandedOver,
        _ => Ending::NotFound,
    };
    let entry = entry.unwrap_or_else(|| end(job, how));
    enter(job, entry)
}

/// Takes an entry.
pub(super) fn enter(job: &mut Job, entry: Entry) -> Result<(), Refusal> {
    job.enter(Logged { number: job.next_number(), when: String::new(), entry })
}

/// Carries an action out on the engine and enters it in the job. The engine begins a spell wherever the job does.
pub(super) fn step(job: &mut Job, engine: &mut Engine<'_>, action: Action) -> Result<(), Refusal> {
    let shared = job.shared_model();
    let model: &Model = &shared;
    acknowledge(job, action)?;
    let during = job.state().work(model, action).during;
    match action {
        Action::Check(id) if job.state().begins_a_spell(model, id, &during) => engine.begin(&during),
        Action::SeeWhetherItShows if !job.state().is_under(&during) => {
            engine.begin(&during);
        }
        Action::ProofRun => engine.begin(job.state().proof_under()),
        Action::Correct(id) => engine.correct(id),
        _ => {}
    }
    let entry = match action {
        Action::Check(id) => Entry::Answer(Answer::seen(&model[id], engine.look(id))),
        Action::SeeWhetherItShows => Entry::Showing { showing: Some(engine.showing()), ran: true },
        Action::Provoke(id) => Entry::Provoked { provocation: model[id].name.clone() },
        Action::Correct(id) => Entry::Corrected { correction: model[id].name.clone(), at: model[id].site },
        Action::ProofRun => job.state().proof_run(model, engine.showing()),
        Action::CloseCured => return close(job, Ending::CuredProven),
        Action::CloseHandedOver => return close(job, Ending::HandedOver),
        Action::CloseNotFound => return close(job, Ending::NotFound),
    };
    enter(job, entry)?;
    // Work begins a spell of its own.
    if matches!(action, Action::Provoke(_) | Action::Correct(_)) {
        engine.begin(&job.state().conditions());
    }
    Ok(())
}

fn acknowledge(job: &mut Job, action: Action) -> Result<(), Refusal> {
    for hazard in job.state().cautions(job.model(), action) {
        let name = job.model()[hazard].name.clone();
        enter(job, Entry::Acknowledged { hazard: name })?;
    }
    Ok(())
}

fn close(job: &mut Job, how: Ending) -> Result<(), Refusal> {
    let entry = end(job, how);
    enter(job, entry)
}

/// The end of a job: what its record bears out where it is wanted so, or where something is left standing as stopped, with what that is.
pub(super) fn end(job: &Job, how: Ending) -> Entry {
    let (model, state) = (job.model(), job.state());
    let keeps_open = state.keeps_open(model);
    let how = match state.borne_out(model, how) {
        how if how.is_lost() && !keeps_open.is_empty() => Ending::Stopped,
        how => how,
    };
    let missing = || state.missing(model).into_iter().map(|missing| missing.words).collect();
    let reasons: Vec<String> = if how == Ending::CorrectedNotProven { missing() } else { keeps_open };
    Entry::closed(how, reasons.join("; "))
}

/// Number of checks made in a job.
#[must_use]
pub fn checks_made(job: &Job) -> usize {
    job.state().given.len()
}

/// Causes of the engine that are still there.
#[must_use]
pub fn left(engine: &Engine<'_>) -> Vec<CauseId> {
    engine.faults().iter().filter(|f| f.there).map(|f| f.cause).collect()
}
