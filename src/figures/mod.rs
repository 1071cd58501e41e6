//! A shop's jobs counted: what fails where and at what age, what comes back, which checks earn their time, minutes against the planner's.
//!
//! Counts rows, job by job, so that any number of them can be gone through. Must not know records, files or how figures are drawn.
//! Practice and demonstrations are no work: they count only where they are asked for.

mod causes;
mod checks;
mod mechanics;
mod minutes;
mod parts;
mod repeats;
mod share;
mod spent;

use std::collections::BTreeMap;

use serde::Serialize;

pub use causes::{AGES, CauseFigure};
pub use checks::{CheckFigure, WORTH_NAMING};
pub use mechanics::MechanicFigure;
pub use minutes::{AgainstPlan, Minutes, Quartiles};
pub use parts::{GoodParts, PartFigure, Parts};
pub use repeats::{REPEAT_HOURS, Repeat, Repeats};
pub use spent::Spent;

use share::share;

use crate::spread::Spread;
use crate::tables::Sheet;

/// Below so many, what was counted says little of what is to be expected: pages name it, and every share stands with its interval.
pub const FEW: usize = 30;

/// Which jobs were asked for, and how many were left aside for that.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct Filter {
    /// The first day, or the beginning of one, that counts: `2026-11-05`, `2026-11`.
    pub from: Option<String>,
    /// The last day that counts, or the beginning of one.
    pub to: Option<String>,
    /// Registrations of the aircraft; empty for all.
    pub aircraft: Vec<String>,
    /// Jobs that did not fit.
    pub left_aside: usize,
}

impl Filter {
    /// Whether it lets all jobs through.
    #[must_use]
    pub fn is_all(&self) -> bool {
        self.from.is_none() && self.to.is_none() && self.aircraft.is_empty()
    }

    /// What it asks for and left aside, as a sentence; none where it asks for all.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        let from = self.from.iter().map(|from| format!("begun on or after {from}"));
        let to = self.to.iter().map(|to| format!("begun on or before {to}"));
        let aircraft = (!self.aircraft.is_empty()).then(|| format!("on {}", self.aircraft.join(" or ")));
        let asked: Vec<String> = from.chain(to).chain(aircraft).collect();
        let aside = match self.left_aside {
            1 => "1 other job is left aside".to_owned(),
            jobs => format!("{jobs} other jobs are left aside"),
        };
        (!self.is_all()).then(|| format!("Only jobs {}; {aside}.", asked.join(" and ")))
    }
}

/// The figures of a shop.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Figures {
    /// Which jobs were asked for.
    pub filter: Filter,
    /// Jobs by how they stand: `open`, the name of an end, or `unread`.
    pub states: BTreeMap<String, usize>,
    /// The share of each of all jobs.
    pub state_shares: BTreeMap<String, Spread>,
    /// Practice and demonstration jobs that were left out.
    pub left_out: usize,
    /// Jobs by the month they were begun in, `2026-11`; months without any between the first and the last are there too.
    pub months: BTreeMap<String, usize>,
    /// What was found, the commonest first.
    pub causes: Vec<CauseFigure>,
    /// The same complaint on the same aircraft again.
    pub repeats: Repeats,
    /// The checks, those that took most minutes first.
    pub checks: Vec<CheckFigure>,
    /// Minutes against what the planner expected.
    pub minutes: Minutes,
    /// Parts measured and replaced.
    pub parts: Parts,
    /// Minutes of work by what they went on.
    pub spent: Spent,
    /// By mechanic, where that was asked for; by name.
    pub mechanics: Option<Vec<MechanicFigure>>,
}

/// What is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked {
    /// Practice and demonstrations too.
    pub practice: bool,
    /// By mechanic too.
    pub by_mechanic: bool,
}

/// Counts jobs one by one.
#[derive(Debug, Default)]
pub struct Counter {
    asked: Asked,
    filter: Filter,
    parts: parts::Counts,
    spent: Spent,
    states: BTreeMap<String, usize>,
    left_out: usize,
    months: BTreeMap<String, usize>,
    causes: causes::Causes,
    checks: checks::Checks,
    minutes: minutes::ByComplaint,
    jobs: Vec<repeats::Seen>,
    mechanics: mechanics::Mechanics,
}

impl Counter {
    /// A counter of what is asked for.
    #[must_use]
    pub fn new(asked: Asked) -> Self {
        Self { asked, ..Self::default() }
    }

    /// Says which jobs are given: those that did not fit are left aside already.
    pub fn filtered(&mut self, filter: Filter) {
        self.filter = filter;
    }

    /// Counts practice and demonstration jobs that are not even looked at.
    pub fn leave_out(&mut self, jobs: usize) {
        self.left_out += jobs;
    }

    /// Counts a job. Each is given once, in any order.
    pub fn add(&mut self, sheet: &Sheet) {
        let job = &sheet.job;
        if job.purpose != "work" && !self.asked.practice {
            self.left_out += 1;
            return;
        }
        *self.states.entry(job.state.clone()).or_default() += 1;
        if let Some(month) = job.opened.get(..7) {
            *self.months.entry(month.to_owned()).or_default() += 1;
        }
        self.causes.add(&sheet.causes);
        self.checks.add(&sheet.readings);
        self.minutes.add(job);
        self.parts.add(&sheet.parts, &sheet.replaced);
        self.spent.add(job);
        self.jobs.extend(repeats::Seen::of(job));
        if self.asked.by_mechanic {
            self.mechanics.add(job);
        }
    }

    /// The figures of all jobs counted.
    #[must_use]
    pub fn figures(mut self) -> Figures {
        let repeats = repeats::find(&mut self.jobs);
        let mechanics = self.asked.by_mechanic.then(|| self.mechanics.figures(&repeats.found));
        let all = self.states.values().sum();
        Figures {
            filter: self.filter,
            state_shares: self
                .states
                .iter()
                .filter_map(|(state, jobs)| Some((state.clone(), share(*jobs, all)?)))
                .collect(),
            states: self.states,
            left_out: self.left_out,
            months: with_empty(self.months),
            causes: self.causes.figures(),
            repeats,
            checks: self.checks.figures(),
            minutes: self.minutes.figures(),
            parts: self.parts.figures(),
            spent: self.spent,
            mechanics,
        }
    }
}

impl Figures {
    /// All jobs counted.
    #[must_use]
    pub fn jobs(&self) -> usize {
        self.states.values().sum()
    }

    /// Jobs that stand so.
    #[must_use]
    pub fn in_state(&self, state: &str) -> usize {
        self.states.get(state).copied().unwrap_or(0)
    }

    /// Faults by what `key` says of each cause, the most first.
    #[must_use]
    pub fn faults_by<'a>(&'a self, key: impl Fn(&'a CauseFigure) -> &'a str) -> Vec<(&'a str, f64)> {
        let mut sums: BTreeMap<&str, f64> = BTreeMap::new();
        for cause in &self.causes {
            *sums.entry(key(cause)).or_default() += cause.faults;
        }
        let mut sums: Vec<(&str, f64)> = sums.into_iter().collect();
        sums.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(b.0)));
        sums
    }
}

/// Fifty years. A clock that is wrong by more would fill a page with empty months.
const MOST_MONTHS: usize = 600;

/// The same with the months between the first and the last that had none.
fn with_empty(mut months: BTreeMap<String, usize>) -> BTreeMap<String, usize> {
    let read = |month: &str| Some((month.get(..4)?.parse::<u32>().ok()?, month.get(5..7)?.parse::<u32>().ok()?));
    let ends = months.keys().next().zip(months.keys().next_back());
    let Some(((year, month), last)) = ends.and_then(|(first, last)| Some((read(first)?, read(last)?))) else {
        return months;
    };
    let (mut year, mut month) = (year, month);
    for _ in 0..MOST_MONTHS {
        if (year, month) >= last {
            break;
        }
        months.entry(format!("{year:04}-{month:02}")).or_default();
        (year, month) = if month >= 12 { (year + 1, 1) } else { (year, month + 1) };
    }
    months
}
