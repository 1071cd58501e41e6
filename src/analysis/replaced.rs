//! What became known of each part that was fitted anew: that the old one was bad, that it was good, or nothing.
//!
//! Owns that rule. What counts as a finding and as a look that shows good is in `looks`; what is believed comes with the job.

use super::looks::{self, By, Finding};
use super::standing::STILL_LIKELY;
use super::{Ranked, Standing, findings};
use crate::job::{Done, Origin, Spell};
use crate::model::{CauseId, Model};
use crate::tables::WAS;

/// A part of which the chance that it was at fault stays below this, after all that was entered, is taken as good where the complaint
/// still showed without it and another cause was proven. Placeholder.
const GOOD_BELOW: f64 = 0.5;

/// What is known of a part that was replaced, overhauled or exchanged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Was {
    /// Somebody saw or measured it at fault before, by this entry.
    FoundBad(By, u64),
    /// Nobody had, and with this correction alone every complaint was gone in a proof run. A fault that sleeps can pass one too.
    ProvenByRun,
    /// A look before it shows one of its faults good, by this entry; nothing else makes the part suspect.
    ShownGood(u64),
    /// The complaint still showed after it, and another cause was proven, seen or measured, or went in a run with its correction alone.
    StillShowed,
    /// Nothing tells.
    NotKnown,
}

impl Was {
    /// Its name in tables.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::FoundBad(By::Measured, _) => WAS[0],
            Self::FoundBad(By::Seen, _) => WAS[1],
            Self::ProvenByRun => WAS[2],
            Self::ShownGood(_) => WAS[3],
            Self::StillShowed => WAS[4],
            Self::NotKnown => WAS[5],
        }
    }

    /// Whether a good part was replaced, by what is recorded.
    #[must_use]
    pub fn is_good(self) -> bool {
        matches!(self, Self::ShownGood(_) | Self::StillShowed)
    }

    /// The entry that says so, where one does.
    #[must_use]
    pub fn entry(self) -> Option<u64> {
        match self {
            Self::FoundBad(_, number) | Self::ShownGood(number) => Some(number),
            Self::ProvenByRun | Self::StillShowed | Self::NotKnown => None,
        }
    }
}

/// A part, or a unit of several, that was replaced, overhauled or exchanged.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replaced {
    /// The correction.
    pub done: Done,
    /// What is known of what came off.
    pub was: Was,
}

/// The parts that were replaced, overhauled or exchanged, in order.
#[must_use]
pub fn replaced(job: &Ranked) -> Vec<Replaced> {
    let found = findings(job);
    let spent = job.state().done.iter().filter(|done| job.model()[done.correction].kind.spends_part());
    spent.map(|done| Replaced { done: done.clone(), was: was(job, &found, done) }).collect()
}

fn was(job: &Ranked, found: &[Finding], done: &Done) -> Was {
    let (model, state) = (job.model(), job.state());
    let cures = &model[done.correction].cures;
    if let Some(finding) = looks::answering(model, state, found, done) {
        return Was::FoundBad(finding.by, finding.number);
    }
    let chance = 1.0 - cures.iter().map(|id| 1.0 - job.belief(*id).ever).product::<f64>();
    let shown_good = cures.iter().filter_map(|id| good_before(job, done, *id)).max();
    let shown_good = shown_good.filter(|_| chance < STILL_LIKELY);
    if went_with_it_alone(job, done) {
        // A look that says one thing and a run that says another leave it open.
        return if shown_good.is_none() { Was::ProvenByRun } else { Was::NotKnown };
    }
    let settled = |id: &CauseId| matches!(job.standing(*id), Standing::Proven | Standing::PutRight);
    if cures.iter().any(settled) || found.iter().any(|f| f.causes.iter().any(|id| cures.contains(id))) {
        return Was::NotKnown;
    }
    if let Some(entry) = shown_good {
        return Was::ShownGood(entry);
    }
    let proven = (0..model.causes.len()).map(CauseId).any(|id| !cures.contains(&id) && settled(&id));
    let by_a_run = || state.done.iter().any(|other| other.number != done.number && went_with_it_alone(job, other));
    let other = proven || found.iter().any(|f| !f.causes.is_empty()) || by_a_run();
    if other && chance < GOOD_BELOW && still_showed(job, done) { Was::StillShowed } else { Was::NotKnown }
}

/// The look that shows a cause good, where it was made before this correction, which was the first to work on the cause.
fn good_before(job: &Ranked, done: &Done, id: CauseId) -> Option<u64> {
    let (model, state) = (job.model(), job.state());
    let first = state.done.iter().find(|earlier| model[earlier.correction].cures.contains(&id))?;
    let look = job.shown_good_by(id).filter(|_| job.standing(id) == Standing::ShownGood)?;
    (first.number == done.number).then_some(look.number)
}

/// Whether every complaint went in a proof run, and this is the only correction since one of them last showed.
fn went_with_it_alone(job: &Ranked, done: &Done) -> bool {
    let (model, state) = (job.model(), job.state());
    let last = (0..state.spells.len()).rev().find(|at| shows_in(job, *at)).unwrap_or(0);
    let since = |other: &&Done| other.from > last && looks::is_ours(model, other);
    state.proof_passed()
        && done.from > last
        && looks::is_ours(model, done)
        && state.done.iter().filter(since).count() == 1
}

/// Whether a complaint that was there before a correction showed after it.
fn still_showed(job: &Ranked, done: &Done) -> bool {
    let state = job.state();
    let known = |spell: &Spell| {
        let came = state.also.iter().filter(|a| a.complaint == spell.complaint).map(|a| a.spell).min();
        spell.complaint == state.complaint || came.is_some_and(|came| came < done.from)
    };
    (done.from..state.spells.len())
        .any(|at| state.spells[at].origin != Origin::Reported && known(&state.spells[at]) && shows_in(job, at))
}

/// Whether a complaint was there in a spell: reported, said so, or seen by a check on the running engine.
fn shows_in(job: &Ranked, at: usize) -> bool {
    let state = job.state();
    let model: &Model = job.model();
    state.spells[at].showing == Some(true)
        || state.shown_in.contains(&at)
        || state.given.iter().any(|given| given.spell == at && given.is_abnormal_run(model))
}
