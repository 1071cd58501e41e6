//! Seen, measured, inferred, replaced and shown good, kept apart: one value from a job's entries and what is believed of it.

use std::collections::BTreeMap;

use super::looks::{self, By, Finding};
use super::{Ranked, Standing};
use crate::job::{Done, Entry, Job};
use crate::model::{CauseId, CheckId, Model};

/// A normal look that shows causes good.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Good {
    /// Number of the entry.
    pub number: u64,
    /// The check.
    pub check: CheckId,
    /// The causes that it shows good; one or more.
    pub causes: Vec<CauseId>,
}

/// What is known of a job's faults, by how it is known.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Found {
    /// What somebody saw or measured at fault, in the order of the entries.
    pub found: Vec<Finding>,
    /// Corrections whose cause nobody saw or measured, in order.
    pub replaced_unseen: Vec<Done>,
    /// The looks that show causes good, in order. A cause stands at the surest of its looks.
    pub shown_good: Vec<Good>,
    /// Causes that other findings make less likely than they were, and that no look shows good; the likeliest first.
    pub unlikely: Vec<CauseId>,
    /// Causes that could bring a complaint of the job and can hurt somebody, that this job puts in question, and that nobody
    /// looked at, the likeliest first.
    pub not_looked_at: Vec<CauseId>,
}

/// What can hurt is named as not looked at where its kind stands at this or more (placeholder).
const WORTH_NAMING: f64 = 0.01;

impl Found {
    /// Of a job. Milliseconds.
    #[must_use]
    pub fn of(job: &Ranked) -> Self {
        let (model, state) = (job.model(), job.state());
        let found = findings(job);
        let mut shown_good: BTreeMap<(u64, CheckId), Vec<CauseId>> = BTreeMap::new();
        let mut unlikely = Vec::new();
        let mut not_looked_at = Vec::new();
        let could_bring = bringing(model, job);
        for id in job.ranking() {
            let standing = job.standing(id);
            let look = job.shown_good_by(id).filter(|_| standing == Standing::ShownGood);
            match look {
                Some(look) => shown_good.entry((look.number, look.check)).or_default().push(id),
                None if standing == Standing::Unlikely => unlikely.push(id),
                None => {}
            }
            let open = look.is_none() && !found.iter().any(|f| f.causes.contains(&id));
            let hurts = model[id].hurts.is_some() && could_bring.contains(&id) && is_in_question(job, id);
            let corrected = || state.done.iter().any(|done| model[done.correction].cures.contains(&id));
            if open && hurts && !corrected() && !looks::looked_at(model, state, id) {
                not_looked_at.push(id);
            }
        }
        let good = |((number, check), causes)| Good { number, check, causes };
        Self {
            replaced_unseen: looks::unseen(model, state, &found),
            shown_good: shown_good.into_iter().map(good).collect(),
            found,
            unlikely,
            not_looked_at,
        }
    }
}

/// What somebody saw or measured, in the order of the entries.
#[must_use]
pub fn findings(job: &Job) -> Vec<Finding> {
    let model = job.model();
    let mut found: Vec<Finding> = job.state().given.iter().filter_map(|given| looks::finding(model, given)).collect();
    for (number, entry) in job.standing_entries() {
        if let Entry::Confirmed { cause, at } = entry
            && let Some(id) = model.find_cause(&cause, at)
        {
            found.push(Finding { number, by: By::Seen, outcome: None, causes: vec![id] });
        }
    }
    found.sort_by_key(|f| f.number);
    found
}

/// Whether this job asks for a look at a cause: what is left of its kind over all sites is worth naming, or the work can
/// have brought it. Else every job would name what any engine can have, and nobody would read it.
fn is_in_question(job: &Ranked, id: CauseId) -> bool {
    let (model, state) = (job.model(), job.state());
    let kind = (0..model.causes.len()).map(CauseId).filter(|other| model[*other].name == model[id].name);
    let left: f64 = kind.map(|other| job.belief(other).present).sum();
    left >= WORTH_NAMING || state.upset.iter().any(|(_, cause)| *cause == id)
}

/// The causes that can bring a complaint of the job, alone or with others.
fn bringing(model: &Model, job: &Job) -> Vec<CauseId> {
    let events = || job.state().complaints().map(|(id, _)| &model[id].event);
    let with_others = events().flat_map(|event| &event.gates).flat_map(|(formula, _)| formula.causes());
    events().flat_map(|event| &event.causes).map(|(id, _)| *id).chain(with_others).collect()
}
