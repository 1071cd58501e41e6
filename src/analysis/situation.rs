//! From a job's state to what the planner is asked.

use crate::belief::Posterior;
use crate::job::{Entry, Job, Logged};
use crate::model::CorrectionKind;
use crate::plan::Situation;

/// The planner's view of a job by a belief.
#[must_use]
pub fn situation<'a>(job: &'a Job, posterior: &'a Posterior) -> Situation<'a> {
    let (model, state) = (job.model(), job.state());
    // Where it has shown since, handing it over was not the end of it.
    let shown_since = |from: usize| state.spells[from..].iter().any(|s| s.showing == Some(true));
    Situation {
        model,
        complaint: state.complaint,
        posterior,
        access: &state.access,
        conditions: state.conditions(),
        reported: &state.reported,
        showing: state.showing(),
        just_provoked: just_provoked(job),
        answered: state.given.iter().map(|g| (g.check, g.spell == state.now())).collect(),
        barred: state.not_possible.iter().chain(&state.skipped).copied().collect(),
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
    let state = job.state();
    let began = state.spells.last().map(|spell| spell.number);
    let provoked = |l: &Logged| Some(l.number) == began && matches!(l.entry, Entry::Provoked { .. });
    job.log().iter().rev().any(provoked)
        && state.showing().is_none()
        && !state.given.iter().any(|given| given.spell == state.now())
}
