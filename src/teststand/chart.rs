//! A printed chart, worked honestly: its order of checks, a pass clears, and what fails the proof run starts it over.
//!
//! The one who works it knows the tree's own rates and chances, thinks of one fault at a time, and never of faults that sleep.

use std::collections::BTreeMap;

use crate::belief::{Exposure, prior};
use crate::job::Job;
use crate::model::{CauseId, Check, CheckId, CorrectionId, Event, Model, ORDINARY_WINDOW_HOURS, Seen};
use crate::plan::Action;

use super::policy::{cleared, round};

/// An abnormal outcome points at a correction when that has at least this share of what is still open.
const POINTS: f64 = 0.5;
/// Once something was abnormal, a check that can only show less than this share of what is open is passed over.
const PASSED_OVER: f64 = 0.02;
/// What is left of a cause's share when it was put right before: nobody replaces a part twice without need.
const PUT_RIGHT_BEFORE: f64 = 0.02;

pub(super) fn next(job: &Job) -> Action {
    let (model, state) = (job.model(), job.state());
    if state.proof_passed() {
        return Action::CloseCured;
    }
    if state.awaits_proof() {
        return Action::ProofRun;
    }
    let open = open(job);
    let round = round(state);
    let here = || state.given.iter().filter(|g| g.spell >= round);
    let abnormal: Vec<(&Check, usize)> = here()
        .filter_map(|g| match g.seen()? {
            Seen::Abnormal(outcome) => Some((&model[g.check], outcome)),
            Seen::Normal => None,
        })
        .collect();
    let groups = groups(model, &open);
    if let Some((id, share)) = likeliest(&groups) {
        let pointed = share >= POINTS && !abnormal.is_empty();
        if pointed || open.len() == 1 {
            return Action::Correct(id);
        }
    }
    let proving = abnormal.iter().filter(|(check, outcome)| check.outcomes[*outcome].proves);
    for (check, outcome) in proving {
        // It proves what it shows: the likeliest of that which is not cleared.
        let shown = &check.outcomes[*outcome].event.causes;
        let these = open.iter().filter(|(c, _)| shown.iter().any(|(s, _)| s == *c)).map(|(c, w)| (*c, *w)).collect();
        if let Some((id, _)) = likeliest(&self::groups(model, &these)) {
            return Action::Correct(id);
        }
    }
    let whole: f64 = open.values().sum();
    let worth = |id: &CheckId| {
        let shown = shown(&model[*id]).filter_map(|cause| open.get(&cause)).sum::<f64>();
        shown > if abnormal.is_empty() { 0.0 } else { PASSED_OVER * whole }
    };
    let made = |id: &CheckId| here().any(|g| g.check == *id) || state.not_possible.contains(id);
    if let Some(id) = order(job).into_iter().find(|id| !made(id) && worth(id)) {
        return Action::Check(id);
    }
    match likeliest(&groups) {
        Some((id, _)) => Action::Correct(id),
        // The chart is through and everything on it passed: run it, and say that nothing was found where it does not show.
        None => Action::ProofRun,
    }
}

/// The checks of the chart at every site: line by line, the side of the complaint first, then what belongs to no side.
fn order(job: &Job) -> Vec<CheckId> {
    let model = job.model();
    let complaint = &model[job.state().complaint];
    let concerned = |id: &CheckId| shown(&model[*id]).any(|cause| chance(&complaint.event, cause) > 0.0);
    let mut found: Vec<(usize, u8, CheckId)> = (0..model.checks.len())
        .map(CheckId)
        .filter(concerned)
        .filter_map(|id| {
            let check = &model[id];
            let line = complaint.first_order.iter().position(|name| *name == check.name)?;
            let nearness = match (complaint.site.side(), check.site.side()) {
                (Some(ours), Some(its)) if ours != its => 2,
                (Some(_), None) => 1,
                _ => 0,
            };
            Some((line, nearness, id))
        })
        .collect();
    found.sort_unstable();
    found.into_iter().map(|(_, _, id)| id).collect()
}

/// What is not cleared, with how likely each is to be the one fault behind this round's answers, as a share not yet divided by the whole.
fn open(job: &Job) -> BTreeMap<CauseId, f64> {
    let (model, state) = (job.model(), job.state());
    let round = round(state);
    let cleared = cleared(model, state);
    let exposure = Exposure { window_hours: ORDINARY_WINDOW_HOURS, age: None, disturbed: false };
    let event = &model[state.complaint].event;
    let gated = event.gates.iter().flat_map(|(formula, _)| formula.causes());
    let causes = event.causes.iter().map(|(cause, _)| *cause).chain(gated);
    causes
        .filter(|cause| !model.is_unlisted(*cause) && !cleared.contains(cause) && !model.cures(*cause).is_empty())
        .map(|cause| {
            let before = state.done.iter().filter(|d| model[d.correction].cures.contains(&cause));
            let start = chance(event, cause) * prior(&model[cause], &exposure);
            let start = before.fold(start, |weight, _| weight * PUT_RIGHT_BEFORE);
            let answers = state.given.iter().filter(|g| g.spell >= round);
            let fit = answers.filter_map(|g| Some(likelihood(&model[g.check], g.seen()?, cause)));
            (cause, start * fit.product::<f64>())
        })
        .filter(|(_, weight)| *weight > 0.0)
        .collect()
}

/// The chance that an event comes of a cause; of a cause in a gate only, that of the gate.
fn chance(event: &Event, cause: CauseId) -> f64 {
    let direct = event.causes.iter().find(|(c, _)| *c == cause).map_or(0.0, |(_, chance)| *chance);
    let gated = event.gates.iter().filter(|(f, _)| f.causes().binary_search(&cause).is_ok()).map(|(_, chance)| *chance);
    gated.fold(direct, f64::max)
}

/// How likely an outcome is when this is the one fault.
fn likelihood(check: &Check, seen: Seen, cause: CauseId) -> f64 {
    let quiet = |outcome: usize| {
        let event = &check.outcomes[outcome].event;
        (1.0 - event.leak) * (1.0 - chance(event, cause))
    };
    match seen {
        Seen::Normal => (0..check.outcomes.len()).map(quiet).product(),
        Seen::Abnormal(outcome) => (0..outcome).map(quiet).product::<f64>() * (1.0 - quiet(outcome)),
    }
}

/// Every cause that a check can show.
fn shown(check: &Check) -> impl Iterator<Item = CauseId> + '_ {
    let events = check.outcomes.iter().map(|o| &o.event);
    events.flat_map(|e| {
        let gated = e.gates.iter().flat_map(|(formula, _)| formula.causes());
        e.causes.iter().map(|(cause, _)| *cause).chain(gated)
    })
}

/// The share of each correction, by the cheapest one of each cause.
fn groups(model: &Model, open: &BTreeMap<CauseId, f64>) -> BTreeMap<CorrectionId, f64> {
    let whole: f64 = open.values().sum();
    let mut groups = BTreeMap::new();
    for (cause, weight) in open {
        if let Some(id) = model.cures(*cause).first() {
            *groups.entry(*id).or_insert(0.0) += weight / whole;
        }
    }
    groups
}

fn likeliest(groups: &BTreeMap<CorrectionId, f64>) -> Option<(CorrectionId, f64)> {
    groups.iter().max_by(|a, b| a.1.total_cmp(b.1).then(b.0.cmp(a.0))).map(|(id, share)| (*id, *share))
}
