//! Answers that do not fit: each held against all the others, since every answer can be a slip of the eye, the hand or the pen.
//!
//! A slip is as likely to have put down one wrong outcome as another, so by Bayes' rule the odds that an answer is one are the odds of a slip
//! over the number of other outcomes, over the chance of the answer by all the others. Must not change what is believed.

use crate::belief::{Extent, infer};
use crate::job::{Given, State};
use crate::model::{CauseId, CheckId, Model, Seen};

use super::evidence::problem;
use super::ranked::Ranked;

/// One answer in so many is a slip. Placeholder.
const SLIPS: f64 = 0.01;
/// From this probability on that it is a slip, an answer does not fit.
pub const DOES_NOT_FIT: f64 = 0.5;
/// Another outcome has to be at least so likely by all other answers; else nothing in the tree fits better.
const RATHER: f64 = 0.5;
/// Causes are ranked, and nothing is listed.
const NO_LIST: Extent = Extent { most: 1, share: 0.0 };

/// An answer that does not fit the others.
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
    /// What the others let expect in its place.
    pub rather: Seen,
    /// The likeliest cause without it.
    pub leads: Option<CauseId>,
}

impl Misfit {
    /// In sentences.
    #[must_use]
    pub fn words(&self, model: &Model) -> String {
        let check = &model[self.check];
        let leads = self.leads.map(|id| format!("{}, {}", model[id].title, model.site_words(model[id].site)));
        let leads = leads.map_or_else(String::new, |leads| format!(" Without it {leads} leads."));
        format!(
            "Entry {} does not fit the others: {}, {}: {}. By all else it is rather \"{}\". Look again.{leads}",
            self.number,
            check.title,
            model.site_words(check.site),
            check.outcome_title(self.seen),
            check.outcome_title(self.rather),
        )
    }
}

/// The answers that do not fit, the least fitting first. One inference an answer.
#[must_use]
pub(super) fn misfits(job: &Ranked) -> Vec<Misfit> {
    let mut found: Vec<Misfit> = (0..job.state().given.len())
        .filter_map(|at| misfit(job.model(), job.state(), job.posterior().log_evidence, at))
        .collect();
    found.sort_by(|a, b| b.slip.total_cmp(&a.slip).then(a.number.cmp(&b.number)));
    found
}

/// Whether an answer does not fit. `all` is the log of the probability of everything observed.
fn misfit(model: &Model, state: &State, all: f64, at: usize) -> Option<Misfit> {
    let given = &state.given[at];
    let (seen, check) = (given.seen()?, &model[given.check]);
    let with = |weights: Vec<f64>| {
        let mut state = state.clone();
        state.given[at] = Given { weights, ..given.clone() };
        infer(&problem(model, &state), NO_LIST)
    };
    let without = with(Vec::new());
    let others: Vec<Seen> = check.all_seen().filter(|other| *other != seen).collect();
    let slipped = SLIPS / (1.0 - SLIPS) / others.len() as f64;
    let odds = slipped / (all - without.log_evidence).exp();
    let slip = odds / (1.0 + odds);
    if slip.is_nan() || slip < DOES_NOT_FIT {
        return None;
    }
    let clear = |other: Seen| {
        let place = match other {
            Seen::Normal => check.outcomes.len(),
            Seen::Abnormal(at) => at,
        };
        (0..=check.outcomes.len()).map(|at| if at == place { 1.0 } else { 0.0 }).collect()
    };
    let expected =
        others.into_iter().map(|other| (other, (with(clear(other)).log_evidence - without.log_evidence).exp()));
    let (rather, _) = expected.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, chance)| *chance >= RATHER)?;
    let leads = (0..model.causes.len()).map(CauseId).filter(|id| *id != model.unknown());
    let leads = leads.max_by(|a, b| without.causes[a.0].present.total_cmp(&without.causes[b.0].present));
    Some(Misfit { number: given.number, check: given.check, seen, slip, rather, leads })
}
