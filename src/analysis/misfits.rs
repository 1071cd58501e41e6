//! Answers that do not fit: each held against all the others, since every answer can be a slip of the eye, the hand or the pen.
//!
//! A slip is as likely to have put down one wrong outcome as another, so by Bayes' rule the odds that an answer is one are the odds of a slip
//! over the number of other outcomes, over the chance of the answer by all the others. What somebody saw beyond doubt and was asked about is
//! seldom one. Must not change what is believed.

use std::sync::Arc;

use crate::belief::{Extent, Posterior, infer};
use crate::job::{Job, State};
use crate::model::{CauseId, CheckId, Model, Seen};
use crate::plan::Doubt;

use super::evidence::problem;
use super::ranked::Ranked;

/// One answer in so many is a slip. Placeholder.
const SLIPS: f64 = 0.01;
/// The same of what leaves no doubt: whoever enters it was asked, or read it far outside the limit. Placeholder.
const SURE_SLIPS: f64 = 0.000_1;
/// From this probability on that it is a slip, an answer does not fit. Set by simulation: of 200 jobs without a slip four are then accused.
const DOES_NOT_FIT: f64 = 0.3;
/// Another outcome has to be at least so likely by all other answers; else nothing in the tree fits better.
const RATHER: f64 = 0.5;
/// The answers that are pointed at. By the same simulation the one that is a slip is among the first two in 179 of 200 jobs.
const POINTED_AT: usize = 2;
/// The answers that are held against the others, the newest: in a long job each costs tens of milliseconds.
const MOST_HELD: usize = 30;
/// Causes are ranked, and nothing is listed.
const NO_LIST: Extent = Extent { most: 1, share: 0.0 };

/// An answer that fits the others least.
#[derive(Debug, Clone, PartialEq)]
pub struct Misfit {
    /// Number of its entry.
    pub number: u64,
    /// The check.
    pub check: CheckId,
    /// What was answered.
    pub seen: Seen,
    /// Probability that it is a slip, 0 to 1.
    pub slip: f64,
    /// What the others let expect in its place, with the chance of that by all others, 0 to 1.
    pub rather: (Seen, f64),
    /// The likeliest cause without it.
    pub leads: Option<CauseId>,
    /// For each cause, the probability that it is there by all others.
    without: Arc<[f64]>,
    /// Whether it can be looked at again: what it showed was not worked on since.
    pub is_there: bool,
}

impl Misfit {
    /// Whether it does not fit: likely enough a slip, another outcome fits well, and it can be looked at again.
    #[must_use]
    pub fn does_not_fit(&self) -> bool {
        self.slip >= DOES_NOT_FIT && self.rather.1 >= RATHER && self.is_there
    }

    /// Whether it can be looked at again as things stand: the check makes sense now, and what it shows would stand for both.
    #[must_use]
    pub fn can_look_again(&self, job: &Job) -> bool {
        let (model, state) = (job.model(), job.state());
        let given = state.given.iter().find(|given| given.number == self.number);
        let stands = given.is_some_and(|given| state.would_look_again(model, given));
        let refused = state.not_possible.contains(&self.check) || state.skipped.contains(&self.check);
        state.ended.is_none() && stands && !refused && state.ready(model, self.check).is_ok()
    }

    /// What it is to the planner, where it does not fit and can be looked at again.
    pub(super) fn doubt(&self, job: &Job) -> Option<Doubt> {
        let doubted = self.does_not_fit() && self.can_look_again(job);
        doubted.then(|| Doubt { check: self.check, slip: self.slip, without: Arc::clone(&self.without) })
    }

    /// That it does not fit, in sentences.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        let leads = self.leads.map(|id| format!("{}, {}", model[id].title, model.site_words(model[id].site)));
        let leads = leads.map_or_else(String::new, |leads| format!(" Without it this leads: {leads}."));
        format!("Entry {} does not fit the others: {}.{leads}", self.number, self.answer(model))
    }

    /// That it fits least though it fits, in a sentence.
    #[must_use]
    pub fn least(&self, model: &Model) -> String {
        format!(
            "Entry {} fits the others least: {}; {:.0} % likely a slip.",
            self.number,
            self.answer(model),
            100.0 * self.slip
        )
    }

    /// That it does not fit, while the job is worked on: with the word to look again where that can be done.
    #[must_use]
    pub fn told(&self, job: &Job) -> String {
        let given = job.state().given.iter().find(|given| given.number == self.number);
        let again = match given.and_then(|given| job.state().looked_again(given)) {
            Some(later) => {
                format!(" Entry {} looked again: take entry {} back if it was a slip.", later.number, self.number)
            }
            None if self.can_look_again(job) => " Look again.".to_owned(),
            None => String::new(),
        };
        format!("{}{again}", self.words(job.model()))
    }

    /// The check, what was answered, and what all else lets expect, as a clause.
    fn answer(&self, model: &Model) -> String {
        let check = &model[self.check];
        format!(
            "{}, {}: \"{}\"; by all else rather \"{}\"",
            check.title.trim_end_matches(['.', '?']),
            model.site_words(check.site),
            check.outcome_title(self.seen),
            check.outcome_title(self.rather.0),
        )
    }
}

/// The answers that fit least, the least fitting first, at most two, of the newest answers. One inference an
/// answer, and one for each outcome of these.
#[must_use]
pub(super) fn misfits(job: &Ranked) -> Vec<Misfit> {
    let (model, state, all) = (job.model(), job.state(), job.posterior().log_evidence);
    let newest = state.given.len().saturating_sub(MOST_HELD)..state.given.len();
    let mut slips: Vec<Slip> = newest.filter_map(|at| Slip::of(model, state, all, at)).collect();
    slips.sort_by(|a, b| b.odds.total_cmp(&a.odds).then(a.at.cmp(&b.at)));
    slips.truncate(POINTED_AT);
    slips.into_iter().filter_map(|slip| slip.misfit(model, state)).collect()
}

/// What is believed with other weights in the place of an answer's own; with none, it was not given.
fn with(model: &Model, state: &State, at: usize, weights: Vec<f64>) -> Posterior {
    let mut state = state.clone();
    state.given[at].weights = weights;
    infer(&problem(model, &state), NO_LIST)
}

/// An answer held against all the others.
struct Slip {
    /// Its place among those that stand.
    at: usize,
    /// What was answered.
    seen: Seen,
    /// How much better any slip would have brought it than all the other answers do: the chance of one outcome in so many over its own.
    odds: f64,
    /// What is believed without it.
    without: Posterior,
}

impl Slip {
    /// None where it is not clear what was answered. `all` is the log of the probability of everything observed.
    fn of(model: &Model, state: &State, all: f64, at: usize) -> Option<Self> {
        let given = &state.given[at];
        let seen = given.seen()?;
        let without = with(model, state, at, Vec::new());
        let others = model[given.check].outcomes.len();
        let odds = 1.0 / others as f64 / (all - without.log_evidence).exp();
        (others > 0 && !odds.is_nan()).then_some(Self { at, seen, odds, without })
    }

    /// What is said of it.
    fn misfit(self, model: &Model, state: &State) -> Option<Misfit> {
        let Self { at, seen, odds, without } = self;
        let given = &state.given[at];
        let check = &model[given.check];
        let slips = if given.is_certain(model) { SURE_SLIPS } else { SLIPS };
        let slip = 1.0 / (1.0 + (1.0 - slips) / (slips * odds));
        let shown = given.found().map(|at| &check.outcomes[at].event.causes);
        let shows = |id: &CauseId| shown.is_some_and(|causes| causes.iter().any(|(shown, _)| shown == id));
        let since = state.done.iter().filter(|done| done.number > given.number);
        let is_there = !since.flat_map(|done| &model[done.correction].cures).any(shows);
        let chance = |other| (with(model, state, at, check.clear(other)).log_evidence - without.log_evidence).exp();
        let others = check.all_seen().filter(|other| *other != seen);
        let rather = others.map(|other| (other, chance(other))).max_by(|a, b| a.1.total_cmp(&b.1))?;
        let leads = model.listed();
        let leads = leads.max_by(|a, b| without.causes[a.0].present.total_cmp(&without.causes[b.0].present));
        let without = without.causes.iter().map(|cause| cause.present).collect();
        Some(Misfit { number: given.number, check: given.check, seen, slip, rather, leads, without, is_there })
    }
}
