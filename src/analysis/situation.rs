//! From a job's state to what the planner is asked.

use crate::belief::Posterior;
use crate::job::{Entry, Job, Logged, Origin};
use crate::model::{CheckId, CorrectionKind, Seen};
use crate::plan::Situation;

/// The planner's view of a job by a belief.
#[must_use]
pub fn situation<'a>(job: &'a Job, posterior: &'a Posterior) -> Situation<'a> {
    let (model, state) = (job.model(), job.state());
    // Where it has shown since, handing it over was not the end of it.
    let shown_since = |from: usize| state.spells[from..].iter().any(|s| s.showing == Some(true));
    Situation {
        model,
        complaint: state.in_hand().0,
        posterior,
        now: state.now_for_work(model),
        reported: state.in_hand().1,
        proof_under: state.proof_under(),
        quiet: state.spells.iter().find(|spell| spell.origin == Origin::ReportedQuiet).map(|spell| &spell.conditions),
        spell: state.spells.last().map_or(&state.setting.conditions, |spell| &spell.conditions),
        showing: state.showing(model),
        just_provoked: just_provoked(job),
        answered: state.given.iter().map(|g| (g.check, g.spell == state.now())).collect(),
        seen_since_corrected: seen_since_corrected(job),
        barred: barred(job),
        doubts: Vec::new(),
        awaits_proof: state.awaits_proof(),
        proof_passed: state.proof_passed(),
        confirmed: state.confirmed.iter().copied().collect(),
        handed_over: state
            .done
            .iter()
            .any(|d| model[d.correction].kind == CorrectionKind::HandOver && !shown_since(d.from)),
        corrected: state.done.iter().map(|d| d.correction).collect(),
    }
}

/// Whether this spell was begun by a provocation, and nothing was seen in it yet.
fn just_provoked(job: &Job) -> bool {
    let (model, state) = (job.model(), job.state());
    let began = state.spells.last().map(|spell| spell.number);
    let provoked = |l: &Logged| Some(l.number) == began && matches!(l.entry, Entry::Provoked { .. });
    job.log().iter().rev().any(provoked)
        && state.showing(model).is_none()
        && !state.given.iter().any(|given| given.spell == state.now())
}

/// Checks that are not to be suggested: not possible here, passed over, or without sense now.
fn barred(job: &Job) -> Vec<CheckId> {
    let (model, state) = (job.model(), job.state());
    let ready = state.all_ready(model);
    let barred = |id: &CheckId| state.not_possible.contains(id) || state.skipped.contains(id) || ready(*id).is_err();
    (0..model.checks.len()).map(CheckId).filter(barred).collect()
}

/// What each check showed since the last correction.
fn seen_since_corrected(job: &Job) -> Vec<(CheckId, Option<Seen>)> {
    let state = job.state();
    let from = state.done.last().map_or(0, |done| done.from);
    state.given.iter().filter(|given| given.spell >= from).map(|given| (given.check, given.seen())).collect()
}
