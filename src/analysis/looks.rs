//! What somebody saw or measured, by the entries alone: which answers find a part at fault, and which looks show one good.
//!
//! Owns the rule of what counts as a finding and what as a look that acquits. Must not know a belief.

use std::collections::BTreeSet;

use serde::Serialize;

use crate::job::{Done, Given, State};
use crate::model::{CauseId, Check, CheckId, CorrectionKind, Mode, Model, Seen, Sees, Site, Warning};

/// An outcome names a cause that it shows at least this often; below it the cause is one of many that could look so.
pub const NAMES: f64 = 0.3;
/// A normal look shows a cause good where it would have shown the cause at least this often under the conditions of that look.
pub const SHOWS_GOOD: f64 = 0.8;

/// How somebody came to know of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum By {
    /// An outcome chosen by eye, or a cause confirmed by eye.
    Seen,
    /// A reading that was typed and judged abnormal.
    Measured,
}

impl By {
    /// In a word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Seen => "seen",
            Self::Measured => "measured",
        }
    }
}

/// Something at fault that somebody saw or measured.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// Number of the entry that says so.
    pub number: u64,
    /// How it is known.
    pub by: By,
    /// The check and its abnormal outcome; none where the cause itself was confirmed.
    pub outcome: Option<(CheckId, usize)>,
    /// The causes that it names: one where it is certain which, several where the look leaves it open, none where the tree names no
    /// likely one.
    pub causes: Vec<CauseId>,
}

/// The causes that an abnormal outcome names, where it is a finding of a part; none where it only says in which place to look: a swap, a
/// trial or a run whose outcome several parts can bring.
#[must_use]
pub fn named(model: &Model, check: &Check, outcome: usize) -> Option<Vec<CauseId>> {
    let shown = check.outcomes.get(outcome)?;
    let named = shown.event.causes.iter().filter(|(_, chance)| *chance >= NAMES).map(|(id, _)| *id).collect::<Vec<_>>();
    if matches!(check.site, Site::Pair(_)) {
        return None;
    }
    if shown.proves {
        return Some(named);
    }
    let at_the_part = matches!(check.manner.engine, Mode::AtRest | Mode::Turned);
    let of_the_part = || !named.is_empty() && named.iter().all(|id| model[*id].site == check.site);
    let plain = shown.event.gates.is_empty();
    (at_the_part && plain && (check.limit.is_some() || of_the_part())).then_some(named)
}

/// The finding that an answer is, where it is one.
#[must_use]
pub(super) fn finding(model: &Model, given: &Given) -> Option<Finding> {
    let at = given.found()?;
    let causes = named(model, &model[given.check], at)?;
    // An outcome chosen against what the reading says is the eye's word.
    let judged = given.judged.iter().flatten().flat_map(|judged| &judged.weights);
    let check = &model[given.check];
    let reading_says = judged.into_iter().any(|(name, weight)| *weight > 0.0 && check.seen(name) == given.seen());
    let by = if reading_says { By::Measured } else { By::Seen };
    Some(Finding { number: given.number, by, outcome: Some((given.check, at)), causes })
}

/// Whether an abnormal look, or a word of the mechanic, names this cause.
pub(super) fn is_found(model: &Model, state: &State, id: CauseId) -> bool {
    let by_a_look = |given: &Given| finding(model, given).is_some_and(|found| found.causes.contains(&id));
    state.confirmed.contains(&id) || state.given.iter().any(by_a_look)
}

/// How often a look would have shown a cause that is there, 0 to 1, under the conditions that it was made in.
#[must_use]
pub fn would_show(model: &Model, state: &State, given: &Given, id: CauseId) -> f64 {
    let check = &model[given.check];
    let shows = check.shows(id);
    if shows == 0.0 || check.sees == Sees::Present {
        return shows;
    }
    let Some(spell) = state.spells.get(given.spell) else { return 0.0 };
    shows * model[id].waking.meets(&spell.conditions.0, check.minutes)
}

/// The normal look that shows a cause good, the surest where there are several: it was made before the cause was worked on and after
/// anything that could have brought it, and nobody found the cause. A swap shows nothing good.
pub(super) fn shows_good<'a>(model: &Model, state: &'a State, id: CauseId) -> Option<&'a Given> {
    let corrected = state.done.iter().find(|done| model[done.correction].cures.contains(&id)).map(|done| done.number);
    let brought = state.upset.iter().filter(|(_, cause)| *cause == id).map(|(from, _)| *from).max();
    let counts = |given: &&Given| {
        given.seen() == Some(Seen::Normal)
            && !matches!(model[given.check].site, Site::Pair(_))
            && corrected.is_none_or(|number| given.number < number)
            && brought.is_none_or(|from| given.spell >= from)
            && would_show(model, state, given, id) >= SHOWS_GOOD
    };
    let surest = |a: &&Given, b: &&Given| would_show(model, state, a, id).total_cmp(&would_show(model, state, b, id));
    let look = state.given.iter().filter(counts).max_by(surest)?;
    (!model.is_unlisted(id) && !is_found(model, state, id)).then_some(look)
}

/// Whether somebody looked for this cause, whatever came of it: a clear answer of a check that can find it, or that proves the whole way
/// from the switch to the side grounded.
pub(super) fn looked_at(model: &Model, state: &State, id: CauseId) -> bool {
    let can_find = |given: &Given| {
        let check = &model[given.check];
        let names = |at: usize| named(model, check, at).is_some_and(|causes| causes.contains(&id));
        let lives = check.outcomes.iter().filter(|outcome| outcome.warning == Some(Warning::SideLive));
        let mut live = lives.flat_map(|outcome| &outcome.event.causes);
        given.seen().is_some()
            && ((0..check.outcomes.len()).any(names) || live.any(|(cause, chance)| *cause == id && *chance >= NAMES))
    };
    state.given.iter().any(can_find)
}

/// Corrections whose cause nobody had seen or measured since it was last worked on. Handing over is none.
pub(super) fn unseen(model: &Model, state: &State, found: &[Finding]) -> Vec<Done> {
    let unanswered = |done: &&Done| answering(model, state, found, done).is_none();
    state.done.iter().filter(|done| is_ours(model, done)).filter(unanswered).cloned().collect()
}

/// Whether a correction was carried out here, and not handed over.
pub(super) fn is_ours(model: &Model, done: &Done) -> bool {
    model[done.correction].kind != CorrectionKind::HandOver
}

/// The finding that a correction answers, the surest where there are several: it names a cause that the correction cures, before it, and since
/// that cause was last worked on.
pub(super) fn answering<'f>(model: &Model, state: &State, found: &'f [Finding], done: &Done) -> Option<&'f Finding> {
    let cures = |done: &Done, id: &CauseId| model[done.correction].cures.contains(id);
    let answers = |finding: &&Finding| {
        let between = |earlier: &&Done| finding.number < earlier.number && earlier.number < done.number;
        let ours = || state.done.iter().filter(|done| is_ours(model, done));
        let open = |id: &&CauseId| !ours().filter(between).any(|earlier| cures(earlier, id));
        finding.number < done.number && finding.causes.iter().filter(|id| cures(done, id)).any(|id| open(&id))
    };
    found.iter().filter(answers).max_by_key(|finding| finding.by)
}

/// The parts, each at its place, of which a check says by its outcomes alone whether they are at fault.
#[must_use]
pub fn tells_of<'m>(model: &'m Model, check: &Check) -> BTreeSet<(&'m str, Site)> {
    let outcomes = 0..check.outcomes.len();
    let causes = outcomes.filter_map(|at| named(model, check, at)).flatten();
    causes.map(|id| (model[id].part.as_str(), model[id].site)).collect()
}
