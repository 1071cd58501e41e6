//! A record walked again, entry by entry: what was known, what was recommended, what was done in its place, and what that cost or saved.
//!
//! Owns the comparison with the planner and the marks for talking over. The planner's word is worked out anew of what was known at
//! the time; nothing of what came later goes into it. Must not know screens, files or the command line. A long job takes a second or
//! more, so steps come one by one ([`steps`]) and whoever walks can stop.

mod marks;
mod page;
mod step;

use serde::Serialize;

use crate::analysis::Ranked;
use crate::job::{Entry, Job, Logged, tell};
use crate::plan::{Action, appraise, expected_minutes};
use crate::text::{safe_lines, safe_text};

pub use marks::{Mark, MarkKind};
pub use page::page;
pub use step::{Choice, Said, Step, Suggested, Suspect};

use step::{is_ending, suspects};

/// A job walked to its end.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Replay {
    /// Each entry, in order.
    pub steps: Vec<Step>,
    /// What they come to.
    pub totals: Totals,
}

/// What the steps of a job come to. What was taken back is counted in the minutes only: time was spent on it.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Totals {
    /// Minutes of work, by the tree's figures.
    pub minutes: f64,
    /// Times that something was chosen to be done next.
    pub choices: usize,
    /// Times that it was what the planner put first.
    pub as_recommended: usize,
    /// Minutes that the other choices cost by what was known at the time; below nought where they saved some.
    pub over: f64,
    /// Marks for talking over.
    pub marks: usize,
}

impl Totals {
    /// In a few words.
    #[must_use]
    pub fn short(&self) -> String {
        let over = match self.over {
            over if over >= 0.5 => format!(", the others cost {over:.0} min"),
            over if over <= -0.5 => format!(", the others saved {:.0} min", -over),
            _ => String::new(),
        };
        format!("{} of {} as the planner{over}; {} to talk over", self.as_recommended, self.choices, self.marks)
    }

    /// In a sentence or two.
    #[must_use]
    pub fn words(&self) -> String {
        let over = match self.over {
            over if over >= 0.5 => format!(" Doing otherwise cost about {over:.0} min by what was known at the time."),
            over if over <= -0.5 => {
                format!(" Doing otherwise saved about {:.0} min by what was known at the time.", -over)
            }
            _ => String::new(),
        };
        let marks = match self.marks {
            0 => "Nothing is marked for talking over.".to_owned(),
            1 => "One thing is marked for talking over.".to_owned(),
            n => format!("{n} things are marked for talking over."),
        };
        format!(
            "{:.0} min of work. {} of {} choices were what the planner put first.{over} {marks}",
            self.minutes, self.as_recommended, self.choices
        )
    }
}

impl Replay {
    /// Walks a job to its end.
    #[must_use]
    pub fn of(job: &Job) -> Self {
        Self::from_steps(steps(job).collect())
    }

    /// Adds up steps that were walked.
    #[must_use]
    pub fn from_steps(steps: Vec<Step>) -> Self {
        let mut totals = Totals { minutes: steps.last().map_or(0.0, |s| s.minutes_so_far), ..Totals::default() };
        for step in steps.iter().filter(|s| s.taken_back_by.is_none()) {
            totals.marks += step.marks.len();
            let Some(choice) = &step.choice else { continue };
            totals.choices += 1;
            totals.as_recommended += usize::from(choice.as_recommended);
            totals.over += choice.over.unwrap_or(0.0);
        }
        Self { steps, totals }
    }
}

/// Walks a job, one step an entry of its record; what was taken back is walked too, since it was done.
#[must_use]
pub fn steps(job: &Job) -> Steps {
    Steps { whole: Ranked::of(job.clone()), at: 0, now: None, expected: 0.0 }
}

/// The steps of a job, each worked out when it is asked for.
#[derive(Debug, Clone)]
pub struct Steps {
    whole: Ranked,
    at: usize,
    /// The job as it was after the entry before.
    now: Option<Ranked>,
    expected: f64,
}

impl Iterator for Steps {
    type Item = Step;

    fn next(&mut self) -> Option<Step> {
        let logged = self.whole.log().get(self.at)?.clone();
        let so_far = Job::replay(self.whole.shared_model(), self.whole.log()[..=self.at].to_vec());
        self.at += 1;
        let Some(before) = self.now.take() else {
            let after = Ranked::of(so_far.ok()?);
            self.expected = expected_minutes(&after.situation());
            let step = self.told(&logged, &after, &after, None);
            self.now = Some(after);
            return Some(step);
        };
        // An entry that did not fit when it was made, and was taken back later, changed nothing then.
        let after = so_far.map_or_else(|_| before.clone(), |after| Ranked::after(after, &before));
        let choice = logged.entry.action(before.model()).and_then(|action| judged(&before, &after, action));
        let step = self.told(&logged, &before, &after, choice);
        self.expected = step.expected_after;
        self.now = Some(after);
        Some(step)
    }

    fn size_hint(&self) -> (usize, Option<usize>) {
        let left = self.whole.log().len() - self.at;
        (left, Some(left))
    }
}

impl ExactSizeIterator for Steps {}

impl Steps {
    fn told(&self, logged: &Logged, before: &Ranked, after: &Ranked, choice: Option<Choice>) -> Step {
        let model = before.model();
        let same = before.state() == after.state();
        let remarks = self.whole.remarks().into_iter().filter(|r| r.of == Some(logged.number));
        let taken_back_by = self.whole.log().iter().find_map(|l| match l.entry {
            Entry::Undo { of } if of == logged.number => Some(l.number),
            _ => None,
        });
        let marks = match taken_back_by {
            None => marks::of(&self.whole, before, logged, choice.as_ref()),
            Some(_) => Vec::new(),
        };
        Step {
            number: logged.number,
            when: safe_text(&logged.when).into_owned(),
            words: safe_lines(&tell(model, &logged.entry)).into_owned(),
            taken_back_by,
            conditions: safe_text(&before.state().conditions().named(&model.conditions)).into_owned(),
            showing: before.state().showing(model),
            minutes: (after.state().minutes - before.state().minutes).max(0.0),
            minutes_so_far: after.state().minutes,
            expected_before: self.expected,
            expected_after: if same { self.expected } else { expected_minutes(&after.situation()) },
            suspects: suspects(before, after),
            choice,
            marks,
            remarks: remarks.map(Said::from).collect(),
        }
    }
}

/// What was done, held against what was recommended.
fn judged(before: &Ranked, after: &Job, action: Action) -> Option<Choice> {
    let (advice, done) = appraise(&before.situation(), action);
    let first = advice.first()?;
    let as_recommended = first.action == action;
    let minutes = after.state().minutes - before.state().minutes;
    let model = before.model();
    // What tells nothing leaves things as they were, and takes its minutes.
    let expected = done.as_ref().map_or(advice.expected_minutes + minutes, |done| done.expected_minutes);
    // To stop and to go on are no two ways to the same end: there are no minutes between them.
    let comparable = !is_ending(action) && !is_ending(first.action);
    Some(Choice {
        action,
        as_recommended,
        recommended: Suggested::of(model, first),
        place: advice.next.iter().position(|s| s.action == action).map(|at| at + 1),
        expected_minutes: expected,
        over: (comparable && !as_recommended).then_some(expected - first.expected_minutes),
    })
}
