//! Rounds: the same check at several sites as one thing to do, so that what opens the way is paid once.
//!
//! One look at one plug seldom pays for taking the cowling off; a look at all of them can.

use std::collections::BTreeMap;

use crate::model::{CheckId, Site};
use crate::work::{Action, Setting, Work};

use super::advice::Round;
use super::candidate::{Candidate, worth};
use super::hypotheses::Hypotheses;
use super::situation::Situation;
use super::value::Detours;

/// For each check that can be made at several sites, which candidate tells most, and the best round that it begins with its worth.
/// `works` is what each candidate takes.
pub(super) fn rounds(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    detours: &Detours<'_>,
    candidates: &[Candidate],
    works: &[Work],
) -> Vec<(usize, f64, Round)> {
    let mut named: BTreeMap<&str, Vec<(usize, CheckId)>> = BTreeMap::new();
    for (at, candidate) in candidates.iter().enumerate() {
        // Swaps make no round: each moves what the next would move.
        if let Action::Check(id) = candidate.action
            && !matches!(situation.model[id].site, Site::Pair(_))
        {
            named.entry(&situation.model[id].name).or_default().push((at, id));
        }
    }
    let nats = |at: usize| candidates[at].prospect.nats;
    let of_one = |mut looks: Vec<(usize, CheckId)>| {
        looks.sort_by(|a, b| nats(b.0).total_cmp(&nats(a.0)));
        let first = looks[0].0;
        let work = &works[first];
        let begin = Reckoned::begin(situation, work, detours.minutes(&work.after, work.moving));
        let end = looks.iter().fold(begin, |round, (at, id)| round.with(*id, &candidates[*at], hypotheses));
        (first, end.best, end.round)
    };
    named.into_values().filter(|looks| looks.len() > 1).map(of_one).collect()
}

/// A round as far as it has been reckoned.
struct Reckoned<'a> {
    situation: &'a Situation<'a>,
    /// How the aircraft stands after its looks so far.
    setting: Setting,
    /// The checks made so far.
    made: Vec<CheckId>,
    minutes: f64,
    /// Information of its looks, each by itself, in nats.
    nats: f64,
    /// Chance that one of its looks is abnormal, if no two are.
    abnormal: f64,
    /// Entropy of its looks in nats: as if independent of each other, and as if no two could be abnormal.
    apart: f64,
    exclusive: f64,
    /// Minutes of its looks so far as a job is charged for them.
    charged: f64,
    /// The best worth of its first so many looks, and those looks.
    best: f64,
    round: Round,
}

impl<'a> Reckoned<'a> {
    fn begin(situation: &'a Situation<'a>, first: &Work, way: f64) -> Self {
        Self {
            situation,
            setting: first.after.clone(),
            made: Vec::new(),
            minutes: way,
            nats: 0.0,
            abnormal: 0.0,
            apart: 0.0,
            exclusive: 0.0,
            charged: 0.0,
            best: 0.0,
            round: Round { checks: Vec::new(), minutes: 0.0 },
        }
    }

    fn with(mut self, id: CheckId, candidate: &Candidate, hypotheses: &Hypotheses) -> Self {
        let check = &self.situation.model[id];
        if self.made.is_empty() {
            // The way of the first is paid already.
            self.minutes += check.minutes;
            self.charged += candidate.minutes;
        } else if !check.same_look.iter().any(|other| self.made.contains(other)) {
            let work = self.situation.now.at(&self.setting).work(Action::Check(id));
            self.minutes += work.minutes;
            self.charged += work.minutes;
            self.setting = work.after;
        }
        self.made.push(id);
        self.nats += candidate.prospect.nats;
        let abnormal = 1.0 - candidate.prospect.outcomes.last().copied().unwrap_or(1.0);
        self.abnormal = (self.abnormal + abnormal).min(1.0);
        self.exclusive += part(abnormal);
        self.apart += part(abnormal) + part(1.0 - abnormal);
        // One fault makes one look abnormal: what the looks tell overlaps by as much as their outcomes do.
        let overlap = if self.apart > 0.0 { (self.exclusive + part(1.0 - self.abnormal)) / self.apart } else { 1.0 };
        let told = (self.nats * overlap.min(1.0)).min(hypotheses.remedy_entropy);
        let worth = worth(told, self.minutes);
        if worth > self.best {
            self.best = worth;
            self.round = Round { checks: self.made.clone(), minutes: self.charged };
        }
        self
    }
}

/// One term of an entropy, in nats.
fn part(p: f64) -> f64 {
    if p > 0.0 { -p * p.ln() } else { 0.0 }
}
