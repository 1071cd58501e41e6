//! Going for the most probable cause: by the exact belief, but with no thought of what a check tells about all the others.

use crate::analysis::Ranked;
use crate::belief::Now;
use crate::model::{CauseId, Check, CheckId, Model, Sees};
use crate::plan::Action;

/// From this probability on the most probable cause is put right without a further look: where that spends a part, and where not.
const SURE: (f64, f64) = (0.9, 0.75);
/// With at most this probability that anything is left, a passed proof run is the end.
const SATISFIED: f64 = 0.1;
/// A check that shows the cause less often than this, now, is no look at it.
const WORTH_LOOKING: f64 = 0.1;
/// What each earlier look leaves of a check's chance to show: what it missed it may miss again.
const AGAIN: f64 = 0.5;

pub(super) fn next(job: &Ranked) -> Action {
    let (model, state) = (job.model(), job.state());
    if state.awaits_proof() {
        return Action::ProofRun;
    }
    let left = something_left(job);
    // What the tree does not list has neither check nor correction.
    let top = job.ranking().into_iter().find(|c| !model.is_unlisted(*c) && !model.cures(*c).is_empty());
    let Some((top, correction)) = top.and_then(|c| Some((c, *model.cures(c).first()?))) else {
        return if state.proof_passed() { Action::CloseCured } else { Action::CloseNotFound };
    };
    let present = job.belief(top).present;
    if state.proof_passed() && (left <= SATISFIED || present <= SATISFIED) {
        return Action::CloseCured;
    }
    let sure = if model[correction].kind.spends_part() { SURE.0 } else { SURE.1 };
    if present < sure
        && let Some(check) = best_look(job, top)
    {
        return Action::Check(check);
    }
    Action::Correct(correction)
}

/// Probability that anything is left, of the explanations that are listed.
fn something_left(job: &Ranked) -> f64 {
    let listed = job.posterior().explanations.iter().flat_map(|e| &e.now);
    let (whole, left) = listed.fold((0.0, 0.0), |(whole, left), (now, p)| {
        let any = now.iter().any(|n| *n != Now::Gone);
        (whole + p, if any { left + p } else { left })
    });
    if whole > 0.0 { left / whole } else { 1.0 }
}

/// The check not yet made that confirms a cause best for its minutes: its chance to show the cause, times how sure it would be then.
fn best_look(job: &Ranked, cause: CauseId) -> Option<CheckId> {
    let model = job.model();
    let state = job.state();
    let ready = state.all_ready(model);
    let worth = |id: &CheckId| {
        let check = &model[*id];
        let work = state.work(model, Action::Check(*id));
        let moves = !state.is_under(&work.during);
        let again =
            |g: &crate::job::Given| g.check == *id && (check.sees == Sees::Present || g.spell == state.now() && !moves);
        if ready(*id).is_err() || state.not_possible.contains(id) || state.given.iter().any(again) {
            return None;
        }
        let (shows, sure) = confirms(job, check, cause, moves)?;
        let before = state.given.iter().filter(|g| g.check == *id).count();
        let shows = shows * AGAIN.powi(i32::try_from(before).unwrap_or(i32::MAX));
        if shows < WORTH_LOOKING {
            return None;
        }
        Some(shows * sure / work.minutes.max(0.5))
    };
    let looks = (0..model.checks.len()).map(CheckId).filter_map(|id| Some((id, worth(&id)?)));
    looks.max_by(|a, b| a.1.total_cmp(&b.1).then(b.0.cmp(&a.0))).map(|(id, _)| id)
}

/// The chance that a check shows a cause that is there, and the probability of the cause once it has, by the best of its outcomes.
fn confirms(job: &Ranked, check: &Check, cause: CauseId, new_spell: bool) -> Option<(f64, f64)> {
    let model = job.model();
    let seen = |id: CauseId| {
        let belief = job.belief(id);
        match check.sees {
            Sees::Present => belief.present,
            Sees::Awake if new_spell => belief.present * ordinary(model, job, id, check.minutes),
            Sees::Awake => belief.awake,
        }
    };
    let present = job.belief(cause).present.max(f64::MIN_POSITIVE);
    let of = check.outcomes.iter().filter_map(|outcome| {
        let chance = outcome.event.causes.iter().find(|(c, _)| *c == cause)?.1;
        let by_it = chance * seen(cause);
        let quiet = outcome.event.causes.iter().fold(1.0 - outcome.event.leak, |q, (c, s)| q * (1.0 - s * seen(*c)));
        Some((by_it / present, (by_it / (1.0 - quiet).max(by_it)).min(1.0)))
    });
    of.max_by(|a, b| (a.0 * a.1).total_cmp(&(b.0 * b.1)))
}

/// The chance that a look of so many minutes meets a cause in a new spell under today's conditions.
fn ordinary(model: &Model, job: &Ranked, cause: CauseId, minutes: f64) -> f64 {
    model[cause].waking.meets(&job.state().setting.conditions.0, minutes)
}
