//! What a worked practice job counts for.
//!
//! A job is worth up to 100 points, by a rule of our own:
//! - 40 for a complaint that is cured and proven under the reported conditions, 20 for one that is cured and not proven so;
//! - up to 30 for time: the planner's minutes on the same engine over one's own, where it is cured;
//! - up to 30 for judgement, and as many below nought: the mean score of what was said to be suspected, over all checks made;
//! - less 5 for each hint, 10 for each good part thrown away, 10 for each caution passed over.
//!
//! What is suspected is scored by the quadratic rule, which is proper: nobody does better than by saying how sure they are (Brier 1950; Gneiting
//! and Raftery 2007, section 3.1). With a sureness p in one part, and the rest spread thinly over all others, it is 2p - p^2 where that part is at
//! fault and -p^2 where it is not. Naming the part held likeliest is best, and saying nothing is as good as a sureness of nought.

use std::collections::BTreeMap;

use serde::Serialize;

use super::bout::Bout;
use super::walk::{Pace, paces, work};
use crate::job::{Ending, Entry, Job};
use crate::model::{AccessId, CauseId};
use crate::plan::Action;

/// The quadratic score, from -1 to 1, of a sureness from 0 to 1.
#[must_use]
pub fn quadratic(sure: f64, right: bool) -> f64 {
    let won = if right { 2.0 * sure } else { 0.0 };
    won - sure * sure
}

/// Something that was said to be suspected.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Said {
    /// Number of its entry.
    pub number: u64,
    /// The cause.
    #[serde(skip)]
    pub cause: CauseId,
    /// How sure, from 0 to 1.
    pub sure: f64,
    /// Whether that part, at that place, was at fault then.
    pub right: bool,
    /// Its score, from -1 to 1.
    pub score: f64,
}

/// What was done in a practice job, counted without asking what anybody believed.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Work {
    /// Minutes, access included.
    pub minutes: f64,
    /// Checks and runs made.
    pub checks: usize,
    /// Hints taken.
    pub hints: usize,
    /// Entries by which a good part was thrown away.
    pub good_parts: Vec<u64>,
    /// Entries made with a caution not acknowledged.
    pub cautions: Vec<u64>,
    /// Entries that opened what had been open and closed before, with the minutes that cost.
    pub access_again: Vec<(u64, f64)>,
    /// Entries of checks that passed while a fault they could have shown slept, and were not made again before that was put right.
    pub slept_through: Vec<u64>,
    /// What was said to be suspected.
    pub said: Vec<Said>,
    /// Whether the complaint is cured.
    pub cured: bool,
    /// Whether the last word is a proof run that passed under the reported conditions.
    pub proven: bool,
    /// How it was closed, where it was.
    pub ended: Option<Ending>,
}

/// A check that would show an awake fault less often than this says little by passing.
const SHOWS: f64 = 0.3;

impl Work {
    /// Counts what was done.
    #[must_use]
    pub fn of(bout: &Bout, job: &Job) -> Self {
        let state = job.state();
        let under_report = state.last_proof().is_some_and(|p| p.conditions == state.reported);
        let mut work = Self {
            minutes: state.minutes,
            cured: bout.cured(job),
            proven: state.proof_passed() && under_report,
            ended: state.ended,
            ..Self::default()
        };
        let mut seen = Opened::default();
        let mut last: Option<Action> = None;
        for pace in paces(job) {
            work.count(bout, &pace, last);
            if let Some(minutes) = seen.again(&pace) {
                work.access_again.push((pace.logged.number, minutes));
            }
            last = self::work(job.model(), &pace.logged.entry).or(last);
        }
        work.slept_through = slept_through(bout, job);
        work
    }

    fn count(&mut self, bout: &Bout, pace: &Pace<'_>, last: Option<Action>) {
        let (model, number) = (pace.before.model(), pace.logged.number);
        match &pace.logged.entry {
            Entry::Hinted => self.hints += 1,
            Entry::Suspected { cause, at, sure, .. } => {
                let Some(cause) = model.find_cause(cause, *at) else { return };
                let there = bout.there(&pace.before);
                let same = |c: &CauseId| model[*c].part == model[cause].part && model[*c].site == model[cause].site;
                let right = there.iter().any(|c| *c == cause || same(c));
                self.said.push(Said { number, cause, sure: *sure, right, score: quadratic(*sure, right) });
            }
            _ => {}
        }
        let Some(action) = work(model, &pace.logged.entry) else { return };
        self.checks += usize::from(matches!(action, Action::Check(_) | Action::SeeWhetherItShows));
        if let Action::Correct(id) = action {
            let wasted = model[id].kind.spends_part() && !bout.engine(&pace.before).needs(id);
            self.good_parts.extend(wasted.then_some(number));
        }
        // One check at several places in a row is one piece of work: its cautions are read before it.
        let goes_on = match (last, action) {
            (Some(Action::Check(one)), Action::Check(other)) => model[one].name == model[other].name,
            _ => false,
        };
        let state = pace.before.state();
        let unread = state.cautions(model, action);
        self.cautions.extend((!goes_on && !unread.is_empty()).then_some(number));
    }

    /// The mean score of what was said, over all checks made: a check before which nothing was said counts nought. None without checks.
    #[must_use]
    pub fn judgement(&self) -> Option<f64> {
        let whole = self.checks.max(self.said.len());
        (whole > 0).then(|| self.said.iter().map(|s| s.score).sum::<f64>() / whole as f64)
    }

    /// The points, with the planner's minutes on the same engine where it cured it.
    #[must_use]
    pub fn points(&self, par: Option<f64>) -> Points {
        let cure = match (self.cured, self.proven) {
            (true, true) => 40.0,
            (true, false) => 20.0,
            (false, _) => 0.0,
        };
        // Where the planner itself was beaten by luck, nobody is held to its time.
        let pace = par.map_or(1.0, |par| (par / self.minutes.max(1.0)).min(1.0));
        let time = if self.cured { 30.0 * pace } else { 0.0 };
        let judgement = 30.0 * self.judgement().unwrap_or(0.0);
        let less = 5.0 * self.hints as f64 + 10.0 * (self.good_parts.len() + self.cautions.len()) as f64;
        Points { cure, time, judgement, less, total: (cure + time + judgement - less).round() }
    }
}

/// Points by where they come from.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Points {
    /// For the cure: 0, 20 or 40.
    pub cure: f64,
    /// For time: 0 to 30.
    pub time: f64,
    /// For judgement: -30 to 30.
    pub judgement: f64,
    /// Taken off for hints, good parts and cautions.
    pub less: f64,
    /// All together, to a whole point.
    pub total: f64,
}

impl Points {
    /// Where they come from, in words: "cure 40 of 40, time 30 of 30, judgement +8 of 30, 5 taken off".
    #[must_use]
    pub fn words(&self) -> String {
        // A nought has no sign.
        let judgement = self.judgement.round() + 0.0;
        let sign = if judgement > 0.0 { "+" } else { "" };
        let off = if self.less > 0.0 { format!(", {:.0} taken off", self.less) } else { String::new() };
        format!("cure {:.0} of 40, time {:.0} of 30, judgement {sign}{judgement:.0} of 30{off}", self.cure, self.time)
    }
}

/// Access that was opened so far.
#[derive(Default)]
struct Opened {
    times: BTreeMap<AccessId, usize>,
}

impl Opened {
    /// Minutes spent on opening again what was open before, and on closing it in between; none where nothing was.
    fn again(&mut self, pace: &Pace<'_>) -> Option<f64> {
        let model = pace.before.model();
        let mut minutes = 0.0;
        let before = &pace.before.state().setting.open;
        for id in pace.after.state().setting.open.iter().filter(|id| !before.has(*id)) {
            let times = self.times.entry(id).or_default();
            if *times > 0 {
                minutes += model[id].open + model[id].close;
            }
            *times += 1;
        }
        (minutes > 0.0).then_some(minutes)
    }
}

/// Passes that were trusted while a fault slept.
fn slept_through(bout: &Bout, job: &Job) -> Vec<u64> {
    let model = job.model();
    let all: Vec<Pace<'_>> = paces(job).collect();
    let mut found = Vec::new();
    for (at, pace) in all.iter().enumerate() {
        let Some(Action::Check(id)) = work(model, &pace.logged.entry) else { continue };
        let passed = pace.after.state().given.iter().find(|g| g.number == pace.logged.number);
        if passed.and_then(crate::job::Given::seen) != Some(crate::model::Seen::Normal)
            || model[id].sees == crate::model::Sees::Present
        {
            continue;
        }
        let engine = bout.engine(&pace.after);
        let sleeping: Vec<CauseId> = engine
            .faults()
            .iter()
            .filter(|f| f.there && !f.awake && model[id].shows(f.cause) >= SHOWS)
            .map(|f| f.cause)
            .collect();
        if sleeping.is_empty() {
            continue;
        }
        let made_again = all[at + 1..]
            .iter()
            .take_while(|later| bout.there(&later.before).iter().any(|c| sleeping.contains(c)))
            .any(|later| work(model, &later.logged.entry) == Some(Action::Check(id)));
        if !made_again {
            found.push(pace.logged.number);
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_is_proper_and_naming_the_likeliest_is_best() {
        // Of a part that is at fault with chance q, the expected score is greatest where one says q, and is q squared there.
        for q in [0.0, 0.1, 0.35, 0.5, 0.8, 1.0] {
            let expected = |p: f64| q * quadratic(p, true) + (1.0 - q) * quadratic(p, false);
            assert!((expected(q) - q * q).abs() < 1e-12);
            for step in 0..=100 {
                let p = f64::from(step) / 100.0;
                assert!(expected(p) <= expected(q) + 1e-12, "saying {p} where {q} is true");
            }
        }
    }

    #[test]
    fn points_by_hand() {
        let said = |sure, right| Said { number: 2, cause: CauseId(0), sure, right, score: quadratic(sure, right) };
        let work = Work {
            minutes: 120.0,
            checks: 4,
            hints: 1,
            good_parts: vec![9],
            said: vec![said(0.5, true), said(0.6, false)],
            cured: true,
            proven: true,
            ..Work::default()
        };
        // (0.75 - 0.36) / 4, 60 of 120 minutes, 5 and 10 off.
        let points = work.points(Some(60.0));
        assert!((points.judgement - 30.0 * 0.0975).abs() < 1e-12 && (points.time - 15.0).abs() < 1e-12);
        assert!((points.total - (40.0_f64 + 15.0 + 2.925 - 15.0).round()).abs() < 1e-12);
        assert!(
            (Work { cured: false, ..work.clone() }.points(Some(60.0)).total - (2.925_f64 - 15.0).round()).abs() < 1e-12
        );
    }
}
