//! What is said of evidence, in the shape that is printed as JSON.

use serde::Serialize;

use crate::analysis::{Alike, Analysis, Contribution, Misfit, SAME_CHANCE, Standing};
use crate::belief::Explanation;
use crate::job::Given;
use crate::model::{CauseId, Model};
use crate::plan::{Action, Forecast, Suggestion};

/// The most sets listed.
const MOST_SETS: usize = 20;

/// Everything that is said of a job's evidence.
#[derive(Debug, Clone, Serialize)]
pub struct Findings {
    /// All causes, most probable first; the one that stands for what the tree does not list is `unknown` at `engine`.
    pub causes: Vec<CauseFound>,
    /// Which causes together brought what was found, most probable first.
    pub sets: Vec<SetFound>,
    /// How far a probability can be off, 0 to 1, where there are more findings than can be followed at once; 0 when exact.
    pub left_out: f64,
    /// Suspects that no check left can tell apart, most probable first.
    pub alike: Vec<AlikeFound>,
    /// The answers that fit the others least, the least fitting first, at most two.
    pub misfits: Vec<MisfitFound>,
    /// What can be done next, best first.
    pub next: Vec<NextAction>,
    /// Standing warnings, and cautions to acknowledge before the first action.
    pub cautions: Vec<Caution>,
}

/// A cause.
#[derive(Debug, Clone, Serialize)]
pub struct CauseFound {
    /// Its name in the tree.
    pub cause: String,
    /// Where.
    pub at: String,
    /// Title for people.
    pub title: String,
    /// Probability that it is there now, 0 to 1.
    pub probability: f64,
    /// Probability that it was there at first, corrected since or not.
    pub at_first: f64,
    /// `in play`, `unlikely`, `shown good`, `proven` or `put right`.
    pub standing: &'static str,
    /// The normal look that shows it good, the surest where there are several: `NAME at SITE`. Empty for causes of other standing.
    pub shown_good_by: Vec<String>,
    /// What moved its odds, the strongest first.
    pub because: Vec<Reason>,
}

/// What one entry did to the odds of a cause.
#[derive(Debug, Clone, Serialize)]
pub struct Reason {
    /// Number of the entry.
    pub entry: u64,
    /// The entry in words, and what it did: "6.0 times less likely".
    pub says: String,
    /// Odds after it over odds before it.
    pub factor: f64,
}

/// Causes that together brought what was found.
#[derive(Debug, Clone, Serialize)]
pub struct SetFound {
    /// The causes: `NAME at SITE`. Empty: what was found were false alarms only.
    pub causes: Vec<String>,
    /// Probability, 0 to 1.
    pub probability: f64,
}

/// Suspects that look the same under every check that can still be made.
#[derive(Debug, Clone, Serialize)]
pub struct AlikeFound {
    /// The causes: `NAME at SITE`.
    pub causes: Vec<String>,
    /// Probability of one of them or another.
    pub probability: f64,
    /// Chances that differ by no more than this count as the same.
    pub within: f64,
    /// The corrections that between them cure all, the cheapest first: `NAME at SITE`.
    pub corrections: Vec<String>,
    /// What to do, in words.
    pub advice: String,
}

/// An answer that fits the others least.
#[derive(Debug, Clone, Serialize)]
pub struct MisfitFound {
    /// Number of its entry.
    pub entry: u64,
    /// The check.
    pub check: String,
    /// Where.
    pub at: String,
    /// The outcome that was given.
    pub outcome: String,
    /// The outcome that all other answers let expect.
    pub rather: String,
    /// Probability that it is a slip, 0 to 1.
    pub slip: f64,
    /// Whether it fits; where it does not, it is said without being asked for.
    pub fits: bool,
    /// In words, where it does not fit.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub says: Option<String>,
}

/// What could be done in the place of an action.
#[derive(Debug, Clone, Serialize)]
pub struct Instead {
    /// Kind of action, as in [`NextAction`].
    pub action: &'static str,
    /// Title for people, with its site.
    pub title: String,
    /// Minutes it takes, access included.
    pub minutes: f64,
    /// Minutes still expected to a proven cure if this is done.
    pub expected_minutes: f64,
    /// Money of parts.
    pub parts_cost: f64,
}

/// One check over several sites in one go.
#[derive(Debug, Clone, Serialize)]
pub struct RoundOf {
    /// Where, in order.
    pub at: Vec<String>,
    /// Minutes of all of it, the way paid once.
    pub minutes: f64,
}

/// An action.
#[derive(Debug, Clone, Serialize)]
pub struct NextAction {
    /// One of `check`, `see-whether-it-shows`, `provoke`, `correct`, `proof-run`, `close-cured`, `close-handed-over`, `close-not-found`.
    pub action: &'static str,
    /// The check: of this action, or the one to follow a provocation.
    pub check: Option<String>,
    /// Where the check or correction is made.
    pub at: Option<String>,
    /// Title for people.
    pub title: String,
    /// Whether the check was answered already, and is to be looked at again since that answer does not fit.
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    pub again: bool,
    /// The provocation's name, for `provoke`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub provocation: Option<String>,
    /// The correction's name, for `correct`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub correction: Option<String>,
    /// Minutes it counts, access included; a quarter of those spent waiting.
    pub minutes: f64,
    /// The sites of the round that it is the first of, where it is one, and the minutes of the whole.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub round: Option<RoundOf>,
    /// Minutes still expected to a proven cure if this is done next.
    pub expected_minutes: f64,
    /// Why.
    pub why: String,
    /// What each outcome would mean, likeliest first.
    pub outcomes: Vec<WhatIf>,
    /// The best that could be done in its place, at most two.
    pub instead: Vec<Instead>,
}

/// What an outcome would mean.
#[derive(Debug, Clone, Serialize)]
pub struct WhatIf {
    /// Its name; `showing` and `not-showing` where the complaint itself is looked at.
    pub outcome: String,
    /// How likely it is.
    pub probability: f64,
    /// The leading causes after it.
    pub then: Vec<Then>,
}

/// A cause after an outcome.
#[derive(Debug, Clone, Serialize)]
pub struct Then {
    /// Its name.
    pub cause: String,
    /// Where.
    pub at: String,
    /// Probability.
    pub probability: f64,
}

/// A warning or caution.
#[derive(Debug, Clone, Serialize)]
pub struct Caution {
    /// The tree's name of the hazard; `side-live` for a standing warning.
    pub hazard: String,
    /// Full sentences.
    pub caution: String,
}

impl Findings {
    /// Works out what is said of a job.
    #[must_use]
    pub fn of(job: &Analysis) -> Self {
        let model = job.model();
        let next: Vec<NextAction> = job.advice_with_doubts().next.iter().map(|s| action(job, s)).collect();
        Self {
            causes: job.ranking().into_iter().map(|id| cause(job, id)).collect(),
            sets: job.posterior().explanations.iter().take(MOST_SETS).map(|e| set(model, e)).collect(),
            left_out: job.posterior().error,
            alike: job.alike().iter().map(|set| alike(model, set)).collect(),
            misfits: job.misfits().iter().map(|of| misfit(job, of)).collect(),
            cautions: cautions(job),
            next,
        }
    }
}

fn cause(job: &Analysis, id: CauseId) -> CauseFound {
    let model = job.model();
    let (standing, belief) = (job.standing(id), job.belief(id));
    let look = job.shown_good_by(id).filter(|_| standing == Standing::ShownGood);
    let by = |given: &Given| format!("{} at {}", model[given.check].name, model[given.check].site);
    CauseFound {
        cause: model[id].name.clone(),
        at: model[id].site.to_string(),
        title: model[id].title.clone(),
        probability: belief.present,
        at_first: belief.ever,
        standing: standing.words(),
        shown_good_by: look.map(by).into_iter().collect(),
        because: job.because(id).into_iter().map(|(c, says)| reason(c, &says)).collect(),
    }
}

fn reason(contribution: Contribution, says: &str) -> Reason {
    Reason {
        entry: contribution.number,
        says: format!("{says}: {}", contribution.words()),
        factor: contribution.factor,
    }
}

fn set(model: &Model, explanation: &Explanation) -> SetFound {
    let name = |at: &usize| format!("{} at {}", model[CauseId(*at)].name, model[CauseId(*at)].site);
    SetFound { causes: explanation.causes.iter().map(name).collect(), probability: explanation.probability }
}

fn alike(model: &Model, set: &Alike) -> AlikeFound {
    AlikeFound {
        causes: set.causes.iter().map(|id| format!("{} at {}", model[*id].name, model[*id].site)).collect(),
        probability: set.probability,
        within: SAME_CHANCE,
        corrections: set.mends.iter().map(|(id, _)| format!("{} at {}", model[*id].name, model[*id].site)).collect(),
        advice: set.advice(model),
    }
}

fn misfit(job: &Analysis, of: &Misfit) -> MisfitFound {
    let model = job.model();
    let check = &model[of.check];
    MisfitFound {
        entry: of.number,
        check: check.name.clone(),
        at: check.site.to_string(),
        outcome: check.outcome_name(of.seen).to_owned(),
        rather: check.outcome_name(of.rather.0).to_owned(),
        slip: of.slip,
        fits: !of.does_not_fit(),
        says: of.does_not_fit().then(|| of.told(job)),
    }
}

fn instead(model: &Model, suggestion: &Suggestion) -> Instead {
    Instead {
        action: suggestion.action.name(),
        title: suggestion.title(model),
        minutes: suggestion.minutes,
        expected_minutes: suggestion.expected_minutes,
        parts_cost: match suggestion.action {
            Action::Correct(id) => model[id].cost,
            _ => 0.0,
        },
    }
}

fn action(job: &Analysis, suggestion: &Suggestion) -> NextAction {
    let model = job.model();
    let check = match suggestion.action {
        Action::Check(id) => Some(id),
        _ => suggestion.then,
    };
    let mut next = NextAction {
        action: suggestion.action.name(),
        check: check.map(|id| model[id].name.clone()),
        at: check.map(|id| model[id].site.to_string()),
        title: suggestion.title(model),
        again: suggestion.again,
        provocation: None,
        correction: None,
        minutes: suggestion.minutes,
        round: suggestion.round.as_ref().map(|round| RoundOf {
            at: round.checks.iter().map(|id| model[*id].site.to_string()).collect(),
            minutes: round.minutes,
        }),
        expected_minutes: suggestion.expected_minutes,
        why: suggestion.why.clone(),
        outcomes: suggestion.forecasts.iter().map(|f| what_if(model, suggestion, f)).collect(),
        instead: job
            .advice_with_doubts()
            .instead_of(model, suggestion.action)
            .into_iter()
            .map(|s| instead(model, s))
            .collect(),
    };
    match suggestion.action {
        Action::Provoke(id) => next.provocation = Some(model[id].name.clone()),
        Action::Correct(id) => {
            next.correction = Some(model[id].name.clone());
            next.at = Some(model[id].site.to_string());
        }
        _ => {}
    }
    next
}

fn what_if(model: &Model, suggestion: &Suggestion, forecast: &Forecast) -> WhatIf {
    let check = match suggestion.action {
        Action::Check(id) => Some(id),
        _ => suggestion.then,
    };
    let outcome = match (check, forecast.seen) {
        (Some(id), seen) => model[id].outcome_name(seen).to_owned(),
        (None, crate::model::Seen::Normal) => "not-showing".to_owned(),
        (None, crate::model::Seen::Abnormal(_)) => "showing".to_owned(),
    };
    let then = |(id, probability): &(CauseId, f64)| Then {
        cause: model[*id].name.clone(),
        at: model[*id].site.to_string(),
        probability: *probability,
    };
    WhatIf { outcome, probability: forecast.probability, then: forecast.then.iter().map(then).collect() }
}

fn cautions(job: &Analysis) -> Vec<Caution> {
    let model = job.model();
    let standing = job.warnings().into_iter().map(|caution| Caution { hazard: "side-live".to_owned(), caution });
    let first = job.advice_with_doubts().first().map(|s| job.state().cautions(model, s.action)).unwrap_or_default();
    let before =
        first.into_iter().map(|id| Caution { hazard: model[id].name.clone(), caution: model[id].caution.clone() });
    standing.chain(before).collect()
}
