//! The value of a belief: the minutes still to come to a proven cure.

use std::cell::RefCell;
use std::collections::BTreeMap;

use crate::model::{AccessId, Mode};
use crate::work::{Action, Setting};

use super::entropy::entropy;
use super::hypotheses::{Hypotheses, Remedy};
use super::situation::Situation;

/// Up to this probability that anything is left, a correction is followed by its proof run.
pub(super) const WORTH_PROVING: f64 = 0.5;

/// Minutes that finding out costs per nat of doubt about the remedy. Set by simulation: 30 to 120 are alike within noise.
const MINUTES_PER_NAT: f64 = 40.0;

/// Minutes taken for what no correction of the tree puts right: handing over to somebody who can look further. Placeholder.
const MINUTES_TO_HAND_OVER: f64 = 90.0;

/// Minutes of a remedy from a setting on: its corrections, the access they need, closing up and the proof run.
pub(super) fn remedy_minutes(situation: &Situation<'_>, from: &Setting, remedy: &Remedy) -> f64 {
    if remedy.0.is_empty() {
        return 0.0;
    }
    let mut minutes = 0.0;
    let mut setting = None;
    for correction in &remedy.0 {
        match correction {
            Some(id) => {
                let work = situation.now.at(setting.as_ref().unwrap_or(from)).work(Action::Correct(*id));
                minutes += work.minutes;
                setting = Some(work.after);
            }
            None => minutes += MINUTES_TO_HAND_OVER,
        }
    }
    minutes + situation.now.at(setting.as_ref().unwrap_or(from)).work(Action::ProofRun).minutes
}

/// What a change of access costs on the way to a cure: its own minutes, and what it adds to the minutes of the remedies that follow,
/// or takes off them.
pub(super) struct Detours<'a> {
    situation: &'a Situation<'a>,
    hypotheses: &'a Hypotheses,
    /// The likeliest remedies, with their minutes from where things stand.
    likeliest: Vec<(usize, f64)>,
    known: RefCell<BTreeMap<(Mode, Vec<AccessId>), f64>>,
}

/// The remedies that a detour is reckoned by.
const REMEDIES: usize = 24;

impl<'a> Detours<'a> {
    /// From where things stand.
    pub(super) fn new(situation: &'a Situation<'a>, hypotheses: &'a Hypotheses) -> Self {
        let weight = |r: &usize| hypotheses.remedy_weight[*r];
        let mut likeliest: Vec<usize> = (0..hypotheses.remedies.len()).collect();
        likeliest.sort_by(|a, b| weight(b).total_cmp(&weight(a)));
        likeliest.truncate(REMEDIES);
        let from_here = |r: usize| (r, remedy_minutes(situation, situation.now.setting, &hypotheses.remedies[r]));
        let likeliest = likeliest.into_iter().map(from_here).collect();
        Self { situation, hypotheses, likeliest, known: RefCell::default() }
    }

    /// Minutes that coming to this setting adds, `moving` for getting there.
    pub(super) fn minutes(&self, setting: &Setting, moving: f64) -> f64 {
        let here = self.situation.now.setting;
        if setting.open == here.open && setting.engine == here.engine {
            return moving;
        }
        let mut known = self.known.borrow_mut();
        let added = known.entry((setting.engine, setting.open.iter().collect())).or_insert_with(|| {
            let added = |(r, from_here): &(usize, f64)| {
                let from_there = remedy_minutes(self.situation, setting, &self.hypotheses.remedies[*r]);
                self.hypotheses.remedy_weight[*r] * (from_there - from_here)
            };
            self.likeliest.iter().map(added).sum()
        });
        (moving + *added).max(0.0)
    }
}

/// Expected minutes to a proven cure: what the remedies take, and what telling them apart takes.
pub(super) fn minutes_to_come(remedy_weight: &[f64], remedy_minutes: &[f64]) -> f64 {
    let work: f64 = remedy_weight.iter().zip(remedy_minutes).map(|(w, m)| w * m).sum();
    let whole: f64 = remedy_weight.iter().sum();
    let doubt = entropy(remedy_weight) + if whole > 0.0 { whole * whole.ln() } else { 0.0 };
    work + MINUTES_PER_NAT * doubt.max(0.0)
}

/// Minutes that so many nats of doubt cost.
pub(super) fn minutes_of_doubt(nats: f64) -> f64 {
    MINUTES_PER_NAT * nats
}
