//! The one habit to work on next, by what it cost in this job.

use serde::Serialize;

use super::bout::Bout;
use super::debrief::Pace;
use super::points::Work;
use super::walk::work as work_of;
use crate::job::{Ending, Job};
use crate::model::{CauseId, CheckId, Model};
use crate::plan::Action;

/// What a good part thrown away counts, in minutes; the planner's own figure.
const GOOD_PART: f64 = 120.0;
/// What a complaint that comes back counts, in minutes; that of the simulation.
const COME_BACK: f64 = 120.0;
/// Below this many minutes nothing is worth a word.
const WORTH_A_WORD: f64 = 4.0;

/// A habit that costs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Habit {
    /// Work was begun with a caution not acknowledged.
    Cautions,
    /// It was closed before a run under the reported conditions had proven the cure.
    Proof,
    /// Parts were thrown away that were good.
    GoodParts,
    /// Passes were trusted while the fault slept.
    Asleep,
    /// Checks were made that could not change anything.
    Idle,
    /// What had been open was opened a second time.
    Access,
    /// Checks were made that cost more for what they tell than another.
    Order,
    /// What was said to be suspected was too sure.
    Sureness,
}

impl Habit {
    /// Its name on a page.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Cautions => "Read each caution before the work",
            Self::Proof => "Prove the cure under the reported conditions",
            Self::GoodParts => "Measure before you replace",
            Self::Asleep => "Make it show before you measure",
            Self::Idle => "Ask of a check what each answer would change",
            Self::Access => "Do all there is to do while it is open",
            Self::Order => "Begin with the check that clears the most for its minutes",
            Self::Sureness => "Say how sure you are, not how much you hope",
        }
    }
}

/// A habit to work on, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ToWorkOn {
    /// The habit.
    pub habit: Habit,
    /// What of this job shows it, in a sentence or two.
    pub words: String,
    /// What it cost, in minutes; that of good parts and come-backs by the planner's own figures.
    pub minutes: f64,
    /// Entries that show it.
    pub entries: Vec<u64>,
    /// The card of the check that is worth reading.
    pub card: Option<Card>,
}

/// What is worth knowing of a check, from its card.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Card {
    /// Its name in the tree, for `roughrun tree show`.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it separates.
    pub purpose: String,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// Common mistakes.
    pub mistakes: Vec<String>,
}

impl Card {
    fn of(model: &Model, id: CheckId) -> Self {
        let check = &model[id];
        Self {
            name: check.name.clone(),
            title: check.title.clone(),
            purpose: check.purpose.clone(),
            steps: check.steps.clone(),
            mistakes: check.mistakes.clone(),
        }
    }

    /// The card as lines of text.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let first = format!("{}: {}", self.title, self.purpose);
        let steps = self.steps.iter().enumerate().map(|(at, step)| format!("{}. {step}", at + 1));
        let mistakes = self.mistakes.iter().map(|m| format!("Mistake to avoid: {m}"));
        let whole = format!("The whole of it: roughrun tree show {}", self.name);
        std::iter::once(first).chain(steps).chain(mistakes).chain([whole]).collect()
    }
}

/// The habit that cost the most in a job; safety comes before minutes.
pub(super) fn to_work_on(bout: &Bout, job: &Job, work: &Work, paces: &[Pace]) -> Option<ToWorkOn> {
    let model = job.model();
    let of = |number: u64| paces.iter().find(|p| p.step.number == number);
    let minutes_of = |entries: &[u64]| entries.iter().filter_map(|n| of(*n)).map(|p| p.step.minutes).sum::<f64>();
    let check_of = |number: &u64| match action(job, *number)? {
        Action::Check(id) => Some(id),
        _ => None,
    };
    let mut found: Vec<ToWorkOn> = Vec::new();
    let mut add = |habit, minutes, entries: Vec<u64>, check: Option<CheckId>, words: String| {
        let card = check.map(|id| Card::of(model, id));
        found.push(ToWorkOn { habit, words, minutes, entries, card });
    };
    let count = |n: usize, one: &str, many: &str| if n == 1 { format!("1 {one}") } else { format!("{n} {many}") };
    if !work.cautions.is_empty() {
        let words = format!(
            "{} begun with a caution not acknowledged.",
            count(work.cautions.len(), "piece of work was", "pieces of work were")
        );
        // Nothing that costs minutes comes before what can cost a hand.
        add(Habit::Cautions, f64::INFINITY, work.cautions.clone(), work.cautions.first().and_then(check_of), words);
    }
    let closed = work.ended.is_some_and(|how| how == Ending::CuredProven);
    if closed && (!work.cured || !work.proven) {
        let minutes = if work.cured { COME_BACK / 2.0 } else { COME_BACK };
        let comes = if work.cured { "This time it holds." } else { "It comes back." };
        let words = format!(
            "It was closed as cured without a passed run under the reported conditions after the last correction, or with a fault that slept through it. {comes}"
        );
        add(Habit::Proof, minutes, Vec::new(), None, words);
    }
    if !work.good_parts.is_empty() {
        let words = format!(
            "{} with nothing at fault in it.",
            count(work.good_parts.len(), "part was thrown away", "parts were thrown away")
        );
        let check = bout.faults().iter().find_map(|cause| telling(model, *cause));
        add(Habit::GoodParts, GOOD_PART * work.good_parts.len() as f64, work.good_parts.clone(), check, words);
    }
    if !work.slept_through.is_empty() {
        let words = format!(
            "{} while the fault slept and not made again when it was awake.",
            count(work.slept_through.len(), "pass was taken", "passes were taken")
        );
        let check = work.slept_through.first().and_then(check_of);
        // What it leads to is a wrong way, not the minutes of the check alone.
        add(Habit::Asleep, 2.0 * minutes_of(&work.slept_through), work.slept_through.clone(), check, words);
    }
    let idle: Vec<u64> = paces.iter().filter(|p| p.idle).map(|p| p.step.number).collect();
    if !idle.is_empty() {
        let words = format!(
            "{} that could not change what to do next.",
            count(idle.len(), "check was made", "checks were made")
        );
        add(Habit::Idle, minutes_of(&idle), idle.clone(), idle.first().and_then(check_of), words);
    }
    if !work.access_again.is_empty() {
        let entries: Vec<u64> = work.access_again.iter().map(|(n, _)| *n).collect();
        let minutes = work.access_again.iter().map(|(_, m)| m).sum();
        let words = format!(
            "What had been open was closed and opened again {}.",
            if entries.len() == 1 { "once".to_owned() } else { format!("{} times", entries.len()) }
        );
        add(Habit::Access, minutes, entries.clone(), entries.first().and_then(check_of), words);
    }
    let over = |p: &&Pace| !p.idle && p.step.choice.as_ref().and_then(|c| c.over).is_some_and(|over| over > 0.0);
    let dear: Vec<&Pace> = paces.iter().filter(over).collect();
    let cost = |p: &&Pace| p.step.choice.as_ref().and_then(|c| c.over).unwrap_or(0.0);
    if let Some(worst) = dear.iter().max_by(|a, b| cost(a).total_cmp(&cost(b))) {
        let better = worst.step.choice.as_ref().map(|c| c.recommended.clone());
        let title = better.as_ref().map(|b| b.title.clone()).unwrap_or_default();
        let words = format!(
            "At entry {} \"{title}\" was to be expected to take {:.0} minutes less to a proven cure.",
            worst.step.number,
            cost(worst)
        );
        let check = match better.map(|b| b.action) {
            Some(Action::Check(id)) => Some(id),
            _ => None,
        };
        add(Habit::Order, dear.iter().map(cost).sum(), dear.iter().map(|p| p.step.number).collect(), check, words);
    }
    if let Some(judgement) = work.judgement().filter(|j| *j < 0.0) {
        let wrong: Vec<u64> = work.said.iter().filter(|s| !s.right && s.sure >= 0.5).map(|s| s.number).collect();
        let words = format!(
            "{} with a sureness of half or more and was not at fault.",
            count(wrong.len(), "part was suspected", "parts were suspected")
        );
        add(Habit::Sureness, -60.0 * judgement, wrong, None, words);
    }
    found.retain(|f| f.minutes >= WORTH_A_WORD);
    found.sort_by(|a, b| b.minutes.total_cmp(&a.minutes).then(a.habit.cmp(&b.habit)));
    found.into_iter().next()
}

fn action(job: &Job, number: u64) -> Option<Action> {
    let logged = job.log().iter().find(|l| l.number == number)?;
    work_of(job.model(), &logged.entry)
}

/// The check that shows a cause best.
fn telling(model: &Model, cause: CauseId) -> Option<CheckId> {
    let shows = |id: &CheckId| model[*id].shows(cause);
    let ids = (0..model.checks.len()).map(CheckId).filter(|id| shows(id) > 0.0);
    ids.max_by(|a, b| shows(a).total_cmp(&shows(b)).then(b.cmp(a)))
}
