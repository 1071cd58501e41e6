//! One step of a replay, as data. All texts are safe to show.

use serde::Serialize;

use super::Mark;
use crate::analysis::Ranked;
use crate::job::Remark;
use crate::model::{CauseId, Model};
use crate::plan::{Action, Suggestion};
use crate::text::{safe_lines, safe_text};

/// Suspects that are named before an entry.
const LEADING: usize = 4;
/// Suspects that are named because they lead after it.
const RISEN: usize = 2;
/// Suspects that are named because it moved them most.
const MOVED: usize = 2;
/// Below this probability nothing is a suspect.
const SUSPECT: f64 = 0.005;

/// One entry, and how things stood before and after it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Step {
    /// Its number in the record.
    pub number: u64,
    /// Wall time.
    pub when: String,
    /// What it says.
    pub words: String,
    /// Number of the entry that took it back, where one did.
    pub taken_back_by: Option<u64>,
    /// Conditions before it.
    pub conditions: String,
    /// Whether the complaint showed before it, where known.
    pub showing: Option<bool>,
    /// Minutes it took, access included, by the tree's figures.
    pub minutes: f64,
    /// Minutes of work up to and with it.
    pub minutes_so_far: f64,
    /// Minutes of work that were expected to a proven cure before it.
    pub expected_before: f64,
    /// The same after it.
    pub expected_after: f64,
    /// What was suspected: the leading causes before it, what leads after it, and what it moved most.
    pub suspects: Vec<Suspect>,
    /// What was chosen to be done, held against what was recommended; none where nothing was chosen.
    pub choice: Option<Choice>,
    /// What to talk over.
    pub marks: Vec<Mark>,
    /// What shop leads said of it.
    pub remarks: Vec<Said>,
}

impl Step {
    /// Minutes that it brought the cure closer by more than it took; below nought where it set the work back. It holds luck as well as
    /// choice: [`Choice::over`] is what was in the mechanic's hand.
    #[must_use]
    pub fn gained(&self) -> f64 {
        self.expected_before - self.expected_after - self.minutes
    }

    /// What it did to the minutes still expected, in words.
    #[must_use]
    pub fn to_go_words(&self) -> String {
        let gained = match self.gained() {
            gained if gained >= 0.5 => format!("{gained:.0} min closer than it took"),
            gained if gained <= -0.5 => format!("{:.0} min further off for what it took", -gained),
            _ => "as far as it took".to_owned(),
        };
        format!("about {:.0} min before, {:.0} after: the cure is {gained}", self.expected_before, self.expected_after)
    }

    /// Whether something else was done than recommended.
    #[must_use]
    pub fn is_otherwise(&self) -> bool {
        self.choice.as_ref().is_some_and(|c| !c.as_recommended)
    }
}

/// A cause that was suspected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suspect {
    /// The cause in its model.
    #[serde(skip)]
    pub id: CauseId,
    /// Name in the tree.
    pub cause: String,
    /// Where.
    pub at: String,
    /// Title with site.
    pub title: String,
    /// Probability that it was there before the entry, 0 to 1.
    pub before: f64,
    /// The same after it.
    pub after: f64,
}

/// What was chosen, and what the planner would have had.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Choice {
    /// What was done.
    #[serde(skip)]
    pub action: Action,
    /// Whether the planner put it first.
    pub as_recommended: bool,
    /// What the planner put first.
    pub recommended: Suggested,
    /// Its place among what was suggested, from 1; none where it was not suggested.
    pub place: Option<usize>,
    /// Minutes to a proven cure that were to be expected of what was done, by what was known before it.
    pub expected_minutes: f64,
    /// By how many minutes that is more than of what was recommended; below nought where it was less. None where it was what was
    /// recommended, or where one of the two is to end the job.
    pub over: Option<f64>,
}

impl Choice {
    /// What choosing otherwise cost or saved, in words; empty where it was as recommended, or cannot be said in minutes.
    #[must_use]
    pub fn over_words(&self) -> String {
        match self.over {
            None => String::new(),
            Some(over) if over >= 0.5 => format!("cost about {over:.0} min by what was known"),
            Some(over) if over <= -0.5 => format!("saved about {:.0} min by what was known", -over),
            Some(_) => "was as good by what was known".to_owned(),
        }
    }
}

/// What the planner put first.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Suggested {
    /// What it was.
    #[serde(skip)]
    pub action: Action,
    /// In words.
    pub title: String,
    /// Minutes it would have taken, access included.
    pub minutes: f64,
    /// Minutes to a proven cure that were to be expected of it.
    pub expected_minutes: f64,
    /// Why it came first.
    pub why: String,
}

impl Suggested {
    pub(super) fn of(model: &Model, suggestion: &Suggestion) -> Self {
        let then = suggestion.then.map(|id| format!(", then {}", Action::Check(id).title(model))).unwrap_or_default();
        Self {
            action: suggestion.action,
            title: safe_text(&format!("{}{then}", suggestion.action.title(model))).into_owned(),
            minutes: suggestion.minutes,
            expected_minutes: suggestion.expected_minutes,
            why: safe_text(&suggestion.why).into_owned(),
        }
    }
}

/// What a shop lead said.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Said {
    /// Number of its own entry.
    pub number: u64,
    /// Who said it.
    pub by: String,
    /// Wall time.
    pub when: String,
    /// The words.
    pub text: String,
}

impl From<Remark> for Said {
    fn from(remark: Remark) -> Self {
        Self {
            number: remark.number,
            by: safe_text(remark.by.trim()).into_owned(),
            when: safe_text(&remark.when).into_owned(),
            text: safe_lines(remark.text.trim()).into_owned(),
        }
    }
}

/// Whether it ends the job.
pub(super) fn is_ending(action: Action) -> bool {
    matches!(action, Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound)
}

/// A cause in words, safe to show.
pub(super) fn cause_words(model: &Model, id: CauseId) -> String {
    let title = format!("{}, {}", model[id].title, model.site_words(model[id].site));
    safe_text(if id == model.unknown() { &model[id].title } else { &title }).into_owned()
}

/// The leading causes before an entry, what leads after it, and what it moved most.
pub(super) fn suspects(before: &Ranked, after: &Ranked) -> Vec<Suspect> {
    let model = before.model();
    let leading = |job: &Ranked, most: usize| -> Vec<CauseId> {
        job.ranking().into_iter().take(most).filter(|id| job.belief(*id).present >= SUSPECT).collect()
    };
    let mut named = leading(before, LEADING);
    let moved = |id: &CauseId| (after.belief(*id).present - before.belief(*id).present).abs();
    let mut movers: Vec<CauseId> = (0..model.causes.len()).map(CauseId).filter(|id| moved(id) >= SUSPECT).collect();
    movers.sort_by(|a, b| moved(b).total_cmp(&moved(a)).then(a.cmp(b)));
    movers.truncate(MOVED);
    for id in leading(after, RISEN).into_iter().chain(movers) {
        if !named.contains(&id) {
            named.push(id);
        }
    }
    let suspect = |id: CauseId| Suspect {
        id,
        cause: safe_text(&model[id].name).into_owned(),
        at: model[id].site.to_string(),
        title: cause_words(model, id),
        before: before.belief(id).present,
        after: after.belief(id).present,
    };
    named.into_iter().map(suspect).collect()
}
