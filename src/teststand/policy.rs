//! The ways of working a job that are compared: what each does next, and what each holds written off.

use std::collections::BTreeSet;

use crate::job::{Origin, State};
use crate::model::{CauseId, Model, Seen};
use crate::plan::{Action, Advice};

use super::stand::Stand;
use super::{chart, clears, probable};

/// A way of working a job.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Policy {
    /// What the planner says first.
    Planner,
    /// The complaint's printed order of checks.
    FixedOrder,
    /// Always the most probable cause: the check that confirms it best, or its correction.
    MostProbableFirst,
    /// The planner's choice, believing that a pass of a check clears what that check mostly shows.
    PassClears,
}

/// A check that shows a cause at least this often clears it by a pass, for those who believe so.
const CLEARS: f64 = 0.8;

impl Policy {
    /// All, the planner first.
    pub const ALL: [Self; 4] = [Self::Planner, Self::FixedOrder, Self::MostProbableFirst, Self::PassClears];

    /// Its name for programs.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Planner => "planner",
            Self::FixedOrder => "fixed-order",
            Self::MostProbableFirst => "most-probable-first",
            Self::PassClears => "pass-clears",
        }
    }

    /// What it does next: one action, or a provocation with the look it is made for.
    #[must_use]
    pub fn next(self, stand: &Stand<'_>) -> Vec<Action> {
        match self {
            Self::Planner => first(stand.analysis().advice()),
            Self::FixedOrder => vec![chart::next(stand.job())],
            Self::MostProbableFirst => vec![probable::next(stand.analysis())],
            Self::PassClears => clears::next(stand.job()),
        }
    }

    /// What it holds written off.
    pub fn written_off(self, stand: &Stand<'_>) -> impl Fn(CauseId) -> bool {
        let cleared = match self {
            Self::Planner | Self::MostProbableFirst => None,
            Self::FixedOrder | Self::PassClears => Some(cleared(stand.job().model(), stand.job().state())),
        };
        move |cause| match &cleared {
            Some(cleared) => cleared.contains(&cause),
            None => stand.analysis().written_off(cause),
        }
    }
}

/// What advice says first, whole: a provocation is followed by what it is made for.
pub(super) fn first(advice: &Advice) -> Vec<Action> {
    let Some(suggestion) = advice.first() else { return vec![Action::CloseNotFound] };
    match suggestion.action {
        Action::Provoke(_) => {
            vec![suggestion.action, suggestion.then.map_or(Action::SeeWhetherItShows, Action::Check)]
        }
        action => vec![action],
    }
}

/// The first spell of this round: the chart starts over, with everything open, at each proof run in which it showed.
pub(super) fn round(state: &State) -> usize {
    state.spells.iter().rposition(|s| s.origin == Origin::Proof && s.showing == Some(true)).unwrap_or(0)
}

/// The causes cleared by a pass in this round.
pub(super) fn cleared(model: &Model, state: &State) -> BTreeSet<CauseId> {
    let round = round(state);
    let passes = state.given.iter().filter(|g| g.spell >= round && g.seen() == Some(Seen::Normal));
    passes
        .flat_map(|g| {
            let check = &model[g.check];
            let shown = check.outcomes.iter().flat_map(|o| &o.event.causes).map(|(cause, _)| *cause);
            shown.filter(|cause| check.shows(*cause) >= CLEARS)
        })
        .collect()
}
