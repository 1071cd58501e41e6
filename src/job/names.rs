//! From the tree's names to ids, with a refusal that says what there is instead.

use crate::model::{
    AccessId, CauseId, Check, CheckId, ComplaintId, Conditions, CorrectionId, HazardId, Mode, Model, ProvocationId,
    RecentWorkId, Site,
};
use crate::work::Action;

use super::entry::{Ending, Entry, Levels};
use super::refusal::Refusal;

/// Something declared by name at a site.
trait Named {
    fn name(&self) -> &str;
    fn site(&self) -> Site;
}

macro_rules! named {
    ($($item:ty),*) => {
        $(impl Named for $item {
            fn name(&self) -> &str { &self.name }
            fn site(&self) -> Site { self.site }
        })*
    };
}
named!(Check, crate::model::Cause, crate::model::Complaint, crate::model::Correction, crate::model::Access);

fn find<T: Named>(what: &'static str, list: &[T], name: &str, at: Site) -> Result<usize, Refusal> {
    if let Some(found) = list.iter().position(|item| item.name() == name && item.site() == at) {
        return Ok(found);
    }
    let sites: Vec<String> =
        list.iter().filter(|item| item.name() == name).map(|item| item.site().to_string()).collect();
    if sites.is_empty() {
        return Err(unknown(what, name, list.iter().map(Named::name)));
    }
    Err(Refusal::NotThere { what, name: name.to_owned(), at, known: sites.join(", ") })
}

fn unknown<'a>(what: &'static str, name: &str, known: impl Iterator<Item = &'a str>) -> Refusal {
    let nearest = known.min_by_key(|other| distance(name, other)).filter(|other| distance(name, other) <= 3);
    let mend = match nearest {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => "`roughrun tree show` lists its names".to_owned(),
    };
    Refusal::Unknown { what, name: name.chars().take(64).collect(), mend }
}

/// How many letters have to change to get from one word to the other.
fn distance(a: &str, b: &str) -> usize {
    let b: Vec<char> = b.chars().collect();
    let mut row: Vec<usize> = (0..=b.len()).collect();
    for (i, x) in a.chars().take(64).enumerate() {
        let mut corner = row[0];
        row[0] = i + 1;
        for (j, y) in b.iter().enumerate() {
            let next = (corner + usize::from(x != *y)).min(row[j] + 1).min(row[j + 1] + 1);
            corner = row[j + 1];
            row[j + 1] = next;
        }
    }
    row[b.len()]
}

pub(super) fn check(model: &Model, name: &str, at: Site) -> Result<CheckId, Refusal> {
    find("check", &model.checks, name, at).map(CheckId)
}

pub(super) fn cause(model: &Model, name: &str, at: Site) -> Result<CauseId, Refusal> {
    find("cause", &model.causes, name, at).map(CauseId)
}

pub(super) fn complaint(model: &Model, name: &str, at: Site) -> Result<ComplaintId, Refusal> {
    find("complaint", &model.complaints, name, at).map(ComplaintId)
}

pub(super) fn correction(model: &Model, name: &str, at: Site) -> Result<CorrectionId, Refusal> {
    find("correction", &model.corrections, name, at).map(CorrectionId)
}

/// What an access entry names: an access state, or a mode of the engine that older trees had as an access state.
pub(super) enum AccessOrMode {
    Access(AccessId),
    Mode(Mode),
}

pub(super) fn access_or_mode(model: &Model, name: &str, at: Site) -> Result<AccessOrMode, Refusal> {
    let formerly = |mode: &Mode| model[*mode].formerly.iter().any(|old| old == name);
    match find("access state", &model.access, name, at) {
        Ok(id) => Ok(AccessOrMode::Access(AccessId(id))),
        Err(refusal) => {
            let mode = Mode::named(name).or_else(|| Mode::ALL.into_iter().find(formerly));
            mode.map(AccessOrMode::Mode).ok_or(refusal)
        }
    }
}

/// Conditions by the names of their levels.
#[must_use]
pub fn levels_of(model: &Model, conditions: &Conditions) -> Levels {
    let levels = model.conditions.iter().zip(&conditions.0);
    levels.filter_map(|(kind, level)| Some((kind.name.clone(), kind.levels.get(*level)?.clone()))).collect()
}

impl Entry {
    /// What it says was done; none where nothing was: a caution read, a note, a fact told.
    #[must_use]
    pub fn action(&self, model: &Model) -> Option<Action> {
        match self {
            Self::Answer(answer) => check(model, &answer.check, answer.at).ok().map(Action::Check),
            Self::Showing { ran: true, .. } => Some(Action::SeeWhetherItShows),
            Self::Provoked { provocation } => model.find_provocation(provocation).map(Action::Provoke),
            Self::Corrected { correction, at } => model.find_correction(correction, *at).map(Action::Correct),
            Self::ProofRun { .. } => Some(Action::ProofRun),
            Self::Closed { how: Ending::CuredProven, .. } => Some(Action::CloseCured),
            Self::Closed { how: Ending::HandedOver, .. } => Some(Action::CloseHandedOver),
            Self::Closed { how: Ending::NotFound | Ending::NotReproduced, .. } => Some(Action::CloseNotFound),
            _ => None,
        }
    }
}

pub(super) fn provocation(model: &Model, name: &str) -> Result<ProvocationId, Refusal> {
    let known = model.provocations.iter().map(|p| p.name.as_str());
    model.find_provocation(name).ok_or_else(|| unknown("provocation", name, known))
}

pub(super) fn hazard(model: &Model, name: &str) -> Result<HazardId, Refusal> {
    let known = model.hazards.iter().map(|h| h.name.as_str());
    model.find_hazard(name).ok_or_else(|| unknown("hazard", name, known))
}

/// A part or a cause of this name somewhere within the site.
pub(super) fn part_or_cause(model: &Model, name: &str, at: Site) -> Result<(), Refusal> {
    let here = |c: &&crate::model::Cause| model.layout.encloses(at, c.site);
    if model.causes.iter().filter(here).any(|c| c.part == name || c.name == name) {
        return Ok(());
    }
    let known = model.causes.iter().filter(here).flat_map(|c| [c.part.as_str(), c.name.as_str()]);
    Err(unknown("part or cause", name, known))
}

/// What a refusal calls a kind of work.
pub const KIND_OF_WORK: &str = "kind of work";

/// The work of this kind that is meant by a site: there, and at all that it encloses.
pub(super) fn recent_work(model: &Model, name: &str, at: Site) -> Result<Vec<RecentWorkId>, Refusal> {
    let meant = model.recent_work_at(name, at);
    if !meant.is_empty() {
        return Ok(meant);
    }
    let known: Vec<String> = model.recent_work_sites(name).iter().map(ToString::to_string).collect();
    if known.is_empty() {
        return Err(unknown(KIND_OF_WORK, name, model.recent_kinds().into_iter().map(|(name, _)| name)));
    }
    Err(Refusal::NotThere { what: KIND_OF_WORK, name: name.to_owned(), at, known: known.join(", ") })
}

pub(super) fn no_outcome(check: &Check, outcome: &str) -> Refusal {
    let known: Vec<&str> = check.all_seen().map(|s| check.outcome_name(s)).collect();
    Refusal::NoOutcome {
        check: check.name.clone(),
        outcome: outcome.chars().take(64).collect(),
        known: known.join(", "),
    }
}

pub(super) fn no_condition(model: &Model, name: &str, level: &str) -> Refusal {
    let known: Vec<String> =
        model.conditions.iter().map(|c| format!("{}: {}", c.name, c.levels.join(" or "))).collect();
    let short = |text: &str| text.chars().take(64).collect();
    Refusal::NoCondition { name: short(name), level: short(level), known: known.join("; ") }
}

/// Conditions with some levels changed by name.
///
/// # Errors
/// A condition or level that the model does not have.
pub fn with_levels(model: &Model, from: &Conditions, levels: &Levels) -> Result<Conditions, Refusal> {
    let mut conditions = from.clone();
    for (name, level) in levels {
        let found = model.conditions.iter().enumerate().find(|(_, c)| c.name == *name).and_then(|(at, c)| {
            let level = c.levels.iter().position(|l| l == level)?;
            Some((at, level))
        });
        let (at, level) = found.ok_or_else(|| no_condition(model, name, level))?;
        conditions.0[at] = level;
    }
    Ok(conditions)
}
