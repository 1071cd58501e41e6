//! How the aircraft stands: what the engine does, what is open, and conditions that follow the engine and the clock.

use crate::model::{AccessSet, Condition, Conditions, Mode, Model, Side};

/// Minutes after a shut-down on one side alone within which the cylinders still tell which of them fired. Placeholder.
const TELLS_WHICH_FIRED: f64 = 20.0;
/// Minutes without an entry after which a running engine is taken to have been shut down. Placeholder.
const SHUT_DOWN_BY_NOW: f64 = 60.0;

/// How the aircraft stands at a moment of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct Setting {
    /// What the engine does: at rest, or a mode that lasts.
    pub engine: Mode,
    /// What is open.
    pub open: AccessSet,
    /// Conditions now.
    pub conditions: Conditions,
    /// The side it was last run on alone and shut down on, and the conditions of that run.
    alone: Option<(Side, Conditions)>,
    /// Minutes since it last ran; none where it was not run in this job.
    since_run: Option<f64>,
    /// For each condition, minutes of running that count towards its next level.
    risen: Vec<f64>,
    /// For each condition, the share of the way to the level before, below 1.
    fallen: Vec<f64>,
    /// Whether conditions follow the engine and the clock. In records of the first rule they change only where an entry says so.
    follows: bool,
}

impl Setting {
    /// All closed, the engine at rest and cold.
    #[must_use]
    pub fn resting(model: &Model, follows: bool) -> Self {
        let kinds = model.conditions.len();
        Self {
            engine: Mode::AtRest,
            open: AccessSet::default(),
            conditions: Conditions::resting(&model.conditions),
            alone: None,
            since_run: None,
            risen: vec![0.0; kinds],
            fallen: vec![0.0; kinds],
            follows,
        }
    }

    /// Minutes since the engine last ran; none where it was not run in this job.
    #[must_use]
    pub fn since_run(&self) -> Option<f64> {
        self.since_run
    }

    /// The conditions of the run that has just been made on this side alone: warmth still tells which cylinders fired in it.
    #[must_use]
    pub fn just_ran_alone(&self, side: Option<Side>) -> Option<&Conditions> {
        let (ran, conditions) = self.alone.as_ref()?;
        let tells = side == Some(*ran) && self.since_run.is_some_and(|m| m <= TELLS_WHICH_FIRED);
        tells.then_some(conditions)
    }

    /// The same under conditions that somebody says there are.
    #[must_use]
    pub fn under(mut self, model: &Model, conditions: &Conditions) -> Self {
        for (condition, level) in conditions.0.iter().enumerate() {
            if self.conditions.0.get(condition) != Some(level) {
                self.set(model, condition, *level);
            }
        }
        self
    }

    /// The same after so many minutes in which nothing was entered.
    #[must_use]
    pub fn after_a_pause(mut self, model: &Model, minutes: f64) -> Self {
        if self.engine != Mode::AtRest && minutes > SHUT_DOWN_BY_NOW {
            self.change(model, Mode::AtRest, false);
        }
        self.pass(model, minutes);
        self
    }

    /// Lets minutes pass in what the engine does now.
    pub(super) fn pass(&mut self, model: &Model, minutes: f64) {
        self.pass_in(model, self.engine, minutes);
    }

    /// Lets minutes pass in a mode.
    pub(super) fn pass_in(&mut self, model: &Model, mode: Mode, minutes: f64) {
        if minutes <= 0.0 {
            return;
        }
        if mode.runs() {
            self.since_run = Some(0.0);
            self.alone = None;
        } else if let Some(since) = &mut self.since_run {
            *since += minutes;
        }
        if self.follows {
            for condition in 0..model.conditions.len() {
                if mode.runs() {
                    self.runs_for(model, condition, minutes);
                } else {
                    self.rests_for(model, condition, minutes);
                }
            }
        }
    }

    /// Remembers on which side alone it was run before it was shut down, and under which conditions.
    pub(super) fn ran_alone(&mut self, side: Option<Side>, conditions: Conditions) {
        self.alone = side.map(|side| (side, conditions));
    }

    fn runs_for(&mut self, model: &Model, condition: usize, minutes: f64) {
        let kind = &model.conditions[condition];
        let level = self.conditions.0[condition];
        if kind.rises() {
            let reached_at = kind.rises_running.get(level).copied().flatten().unwrap_or(0.0);
            self.risen[condition] = self.risen[condition].max(reached_at) + minutes;
            self.fallen[condition] = 0.0;
            let reached = |at: &Option<f64>| at.is_some_and(|at| at <= self.risen[condition]);
            let highest = kind.rises_running.iter().rposition(reached).unwrap_or(0);
            self.conditions.0[condition] = highest.max(level);
        }
        self.falls(condition, &kind.falls_running, &kind.rises_running, minutes);
    }

    fn rests_for(&mut self, model: &Model, condition: usize, minutes: f64) {
        let kind = &model.conditions[condition];
        self.falls(condition, &kind.falls_at_rest, &kind.rises_running, minutes);
    }

    /// Falls from level to level while the minutes last.
    fn falls(&mut self, condition: usize, lasts: &[Option<f64>], rises: &[Option<f64>], minutes: f64) {
        let mut left = minutes;
        loop {
            let level = self.conditions.0[condition];
            let Some(lasts) = lasts.get(level).copied().flatten().filter(|_| level > 0) else { return };
            let rest_of_it = (1.0 - self.fallen[condition]) * lasts;
            if left < rest_of_it {
                self.fallen[condition] += left / lasts;
                return;
            }
            left -= rest_of_it;
            self.conditions.0[condition] = level - 1;
            self.fallen[condition] = 0.0;
            self.risen[condition] = rises.get(level - 1).copied().flatten().unwrap_or(0.0);
        }
    }

    /// Sets the level of a condition.
    pub(super) fn set(&mut self, model: &Model, condition: usize, level: usize) {
        let Some(now) = self.conditions.0.get_mut(condition) else { return };
        *now = level;
        self.fallen[condition] = 0.0;
        let kind = &model.conditions[condition];
        self.risen[condition] = kind.rises_running.get(level).copied().flatten().unwrap_or(0.0);
    }

    /// Sets the level of a condition that running raises no lower than it is.
    pub(super) fn raise(&mut self, model: &Model, condition: usize, level: usize) {
        let rises = model.conditions.get(condition).is_some_and(Condition::rises);
        let now = self.conditions.0.get(condition).copied().unwrap_or(0);
        if !(rises && self.follows) || level >= now {
            self.set(model, condition, level);
        }
    }

    /// Takes the engine from what it does to a mode, by the mode that they have in common. The minutes of going back and of getting there.
    /// Where something is looked at `at_once`, getting there warms nothing yet.
    pub(super) fn change(&mut self, model: &Model, to: Mode, at_once: bool) -> (f64, f64) {
        let (mut back, mut there) = (0.0, 0.0);
        let way = way_from_rest(model, to);
        while !way.contains(&self.engine) {
            let facts = &model[self.engine];
            self.engine = facts.from;
            back += facts.back;
            for (condition, level) in &facts.leaves {
                self.set(model, *condition, *level);
            }
        }
        self.pass_in(model, self.engine, back);
        let from = way.iter().position(|mode| *mode == self.engine).map_or(0, |at| at + 1);
        for mode in &way[from..] {
            let facts = &model[*mode];
            self.engine = *mode;
            there += facts.there;
            for (condition, level) in &facts.sets {
                self.raise(model, *condition, *level);
            }
            self.pass_in(model, if at_once { Mode::AtRest } else { *mode }, facts.there);
        }
        (back, there)
    }
}

/// The level of a condition that getting into a mode brings; none where no mode on the way sets it.
#[must_use]
pub fn level_in(model: &Model, mode: Mode, condition: usize) -> Option<usize> {
    let way = way_from_rest(model, mode);
    let mut sets = way.iter().flat_map(|mode| &model[*mode].sets);
    sets.rfind(|(set, _)| *set == condition).map(|(_, level)| *level)
}

/// The modes passed through from rest to a mode, both among them.
pub(super) fn way_from_rest(model: &Model, to: Mode) -> Vec<Mode> {
    let mut way = vec![to];
    let mut at = to;
    // A tree cannot make a ring of them: each is reached from one before it.
    while at != Mode::AtRest {
        at = model[at].from.min(at);
        if way.last() == Some(&at) {
            at = Mode::AtRest;
        }
        way.push(at);
    }
    way.reverse();
    way
}
