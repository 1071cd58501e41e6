//! What doing one thing takes, and how it leaves the aircraft.

use crate::model::{AccessId, ComplaintId, Conditions, HazardId, Manner, Mode, Model, Side, Site};

use super::Action;
use super::ledger::Ledger;
use super::setting::{Setting, way_from_rest};
use super::taken::Work;

/// What a minute of waiting counts: nobody stands beside an engine that cools or dries. Placeholder.
pub const WAITING_COUNTS: f64 = 0.25;

/// What an action asks for.
struct Asked<'a> {
    engine: Mode,
    alone: Option<Side>,
    stops: bool,
    open: &'a [AccessId],
    closed: &'a [AccessId],
    minutes: f64,
    waiting: f64,
    /// Whether its minutes include the start.
    starts_in_it: bool,
    sets: &'a [(usize, usize)],
    /// Whether it is looked at right after the start.
    at_once: bool,
}

impl<'a> Asked<'a> {
    const NOTHING: Self = Self {
        engine: Mode::AtRest,
        alone: None,
        stops: false,
        open: &[],
        closed: &[],
        minutes: 0.0,
        waiting: 0.0,
        starts_in_it: false,
        sets: &[],
        at_once: false,
    };

    fn done(manner: &Manner, open: &'a [AccessId], minutes: f64) -> Self {
        Self { engine: manner.engine, stops: manner.stops, open, minutes, waiting: manner.waiting, ..Self::NOTHING }
    }

    fn of(model: &'a Model, complaint: ComplaintId, action: Action) -> Option<Self> {
        Some(match action {
            Action::Check(id) => {
                let check = &model[id];
                let asked = Self::done(&check.manner, &check.open, check.minutes);
                // After a swap it is always run anew.
                let alone = check.site.side().filter(|_| !matches!(check.site, Site::Pair(_)));
                Self { alone, closed: &check.closed, ..asked }
            }
            Action::Provoke(id) => {
                let provocation = &model[id];
                let asked = Self::done(&provocation.manner, &provocation.open, provocation.minutes);
                Self { sets: &provocation.sets, ..asked }
            }
            Action::Correct(id) => {
                let correction = &model[id];
                let asked = Self::done(&correction.manner, &correction.open, correction.minutes);
                Self { alone: correction.site.side(), ..asked }
            }
            Action::SeeWhetherItShows | Action::ProofRun => {
                let proof = &model[complaint].proof;
                Self { engine: proof.engine, minutes: proof.minutes, starts_in_it: true, ..Self::NOTHING }
            }
            Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => return None,
        })
    }
}

/// A moment of a job, as far as work goes.
#[derive(Debug, Clone, Copy)]
pub struct Now<'a> {
    /// The engine's model.
    pub model: &'a Model,
    /// The complaint, whose proof run is made.
    pub complaint: ComplaintId,
    /// How the aircraft stands.
    pub setting: &'a Setting,
    /// Conditions when it was reported. What was reported of a cold engine is looked at right after the start; else the engine is warmed
    /// up first, as run-ups ask.
    pub reported: Option<&'a Conditions>,
    /// What work has left behind; none where something else was done since, so that no last look counts.
    pub ledger: Option<&'a Ledger>,
}

impl<'a> Now<'a> {
    /// The same job with the aircraft standing otherwise, after something else was done.
    #[must_use]
    pub fn at(self, setting: &'a Setting) -> Self {
        Self { setting, ledger: None, ..self }
    }

    /// What doing this takes from here. Closing the job takes nothing.
    #[must_use]
    pub fn work(&self, action: Action) -> Work {
        let Some(mut asked) = Asked::of(self.model, self.complaint, action) else {
            return perform(self.model, self.setting, &Asked { engine: self.setting.engine, ..Asked::NOTHING });
        };
        asked.at_once = self.looks_at_once(action);
        let same_look = |id| self.ledger.is_some_and(|ledger| ledger.is_same_look(id));
        if matches!(action, Action::Check(id) if same_look(id)) {
            let again = perform(self.model, self.setting, &Asked { minutes: 0.0, waiting: 0.0, ..asked });
            if again.moving <= 0.0 && again.opens.is_empty() && again.closes.is_empty() {
                return Work { same_look: true, ..again };
            }
        }
        perform(self.model, self.setting, &asked)
    }

    /// Whether a running engine is looked at before it has warmed up.
    fn looks_at_once(&self, action: Action) -> bool {
        let looks = matches!(action, Action::Check(_) | Action::SeeWhetherItShows | Action::ProofRun);
        let kinds = self.model.conditions.iter().enumerate();
        let mut rising = kinds.filter(|(_, kind)| kind.rises());
        looks && self.reported.is_some_and(|reported| rising.all(|(at, _)| reported.0.get(at) == Some(&0)))
    }

    /// The cautions that belong to doing this from here: its own, those of the engine's mode, of what it opens, of what it touches, and
    /// of what is still hot. Each once.
    #[must_use]
    pub fn cautions(&self, action: Action) -> Vec<HazardId> {
        let model = self.model;
        let nothing: (&[HazardId], &[AccessId], &[String]) = (&[], &[], &[]);
        let (own, open, touches) = match action {
            Action::Check(id) => (&*model[id].hazards, &*model[id].open, &*model[id].manner.touches),
            Action::Provoke(id) => (&*model[id].hazards, &*model[id].open, &*model[id].manner.touches),
            Action::Correct(id) => (&*model[id].hazards, &*model[id].open, &*model[id].manner.touches),
            Action::SeeWhetherItShows | Action::ProofRun => {
                (&*model[self.complaint].proof.hazards, nothing.1, nothing.2)
            }
            Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => nothing,
        };
        let work = self.work(action);
        let mut found: Vec<HazardId> = Vec::new();
        let mut add = |hazard: &HazardId| {
            if !found.contains(hazard) {
                found.push(*hazard);
            }
        };
        own.iter().for_each(&mut add);
        let modes = way_from_rest(model, work.engine);
        modes.iter().rev().flat_map(|mode| &model[*mode].hazards).for_each(&mut add);
        let opened: Vec<AccessId> = open.iter().chain(&model[work.engine].open).chain(&work.opens).copied().collect();
        opened.iter().flat_map(|id| &model[*id].hazards).for_each(&mut add);
        let just_ran = (work.engine == Mode::RunAlone).then_some(0.0);
        let since_run = just_ran.or(self.setting.since_run());
        // It can be hot from the flight in, or because somebody says so.
        let kinds = model.conditions.iter().zip(&self.setting.conditions.0);
        let mut rising = kinds.filter(|(kind, _)| kind.rises());
        let hot = rising.any(|(kind, level)| *level > 0 && level + 1 == kind.levels.len());
        let by_hand = !opened.is_empty() && !work.engine.lasts();
        for (at, hazard) in model.hazards.iter().enumerate() {
            let touched = hazard.of_parts.iter().any(|part| touches.contains(part));
            let still_hot =
                hazard.after_run.is_some_and(|within| hot || since_run.is_some_and(|since| since <= within));
            if touched || still_hot && by_hand {
                add(&HazardId(at));
            }
        }
        found
    }

    /// What getting the engine into a mode takes, or stopping it: with everything closed that may not stay open in it.
    #[must_use]
    pub fn change_engine(&self, engine: Mode) -> Work {
        perform(self.model, self.setting, &Asked { engine, ..Asked::NOTHING })
    }
}

/// What opening and closing takes from a setting on.
#[must_use]
pub fn reach(model: &Model, setting: &Setting, open: &[AccessId], closed: &[AccessId]) -> Work {
    let moves = closed.iter().any(|id| setting.open.has(*id)) || open.iter().any(|id| !setting.open.has(*id));
    let engine = if moves { Mode::AtRest } else { setting.engine };
    perform(model, setting, &Asked { engine, open, closed, ..Asked::NOTHING })
}

fn perform(model: &Model, setting: &Setting, asked: &Asked<'_>) -> Work {
    let mut after = setting.clone();
    let (mut access, mut changing) = (0.0, 0.0);
    let (mut closes, mut opens) = (Vec::new(), Vec::new());
    // Just run on this side and shut down on it: the cylinders are looked at, and nothing is run again.
    let just_ran = setting.just_ran_alone(asked.alone).filter(|_| asked.engine == Mode::RunAlone);
    let engine = if just_ran.is_some() { Mode::AtRest } else { asked.engine };
    // What is looked at after a run on one side is opened after it.
    let opened_before: Vec<AccessId> = match engine {
        Mode::RunAlone => Vec::new(),
        mode => model[mode].open.iter().chain(asked.open).copied().collect(),
    };
    let shut = to_shut(model, &after, engine, &opened_before, asked.closed);
    let (stopping, handling) = rearrange(model, &mut after, &shut, &opened_before, &mut closes, &mut opens);
    (changing, access) = (changing + stopping, access + handling);
    if after.engine != engine {
        let (back, there) = after.change(model, engine, asked.at_once && engine != Mode::RunAlone);
        changing += back + if asked.starts_in_it { 0.0 } else { there };
    }
    let mut in_the_run = just_ran.cloned();
    if engine == Mode::RunAlone {
        let ran = after.conditions.clone();
        after.change(model, Mode::AtRest, false);
        after.ran_alone(asked.alone, ran.clone());
        in_the_run = Some(ran);
        let shut = to_shut(model, &after, Mode::AtRest, asked.open, asked.closed);
        let (stopping, handling) = rearrange(model, &mut after, &shut, asked.open, &mut closes, &mut opens);
        (changing, access) = (changing + stopping, access + handling);
    }
    // What is looked at after a run on one side is what that run left.
    let mut during = in_the_run.unwrap_or_else(|| after.conditions.clone());
    let attended = asked.minutes - asked.waiting;
    after.pass(model, attended);
    if asked.stops || !after.engine.lasts() {
        changing += after.change(model, Mode::AtRest, false).0;
    }
    after.pass(model, asked.waiting);
    for (condition, level) in asked.sets {
        if engine.runs() {
            after.raise(model, *condition, *level);
        } else {
            after.set(model, *condition, *level);
        }
    }
    if !asked.sets.is_empty() {
        during = after.conditions.clone();
    }
    let moving = access + changing;
    Work {
        minutes: moving + attended + WAITING_COUNTS * asked.waiting,
        moving,
        access,
        waiting: asked.waiting,
        same_look: false,
        engine: asked.engine,
        closes,
        opens,
        during,
        after,
    }
}

/// What has to be shut: what may not stay open in the mode, what is asked to be closed, and what clashes with what is opened.
fn to_shut(model: &Model, setting: &Setting, engine: Mode, open: &[AccessId], closed: &[AccessId]) -> Vec<AccessId> {
    if setting.open.is_empty() {
        return Vec::new();
    }
    let may_stay = |id: &AccessId| {
        cfg!(broken = "left-open") || engine == Mode::AtRest || model[*id].stays_open_in.contains(&engine)
    };
    let clashes = |id: &AccessId| {
        open.iter().any(|o| o != id && (model[*o].not_with.contains(id) || model[*id].not_with.contains(o)))
    };
    setting.open.iter().filter(|id| !may_stay(id) || closed.contains(id) || clashes(id)).collect()
}

/// Closes and opens, with the engine at rest. The minutes that stopping the engine takes, and those of closing and opening.
fn rearrange(
    model: &Model,
    setting: &mut Setting,
    shut: &[AccessId],
    open: &[AccessId],
    closes: &mut Vec<AccessId>,
    opens: &mut Vec<AccessId>,
) -> (f64, f64) {
    if shut.is_empty() && open.iter().all(|id| setting.open.has(*id)) {
        return (0.0, 0.0);
    }
    let stopping = setting.change(model, Mode::AtRest, false).0;
    let mut minutes = 0.0;
    for id in shut {
        close(model, setting, *id, closes, &mut minutes);
    }
    for id in open {
        unclose(model, setting, *id, opens, &mut minutes, model.access.len());
    }
    setting.pass(model, minutes);
    (stopping, minutes)
}

/// Closes a state after all that needs it.
fn close(model: &Model, setting: &mut Setting, id: AccessId, closes: &mut Vec<AccessId>, minutes: &mut f64) {
    if !setting.open.has(id) {
        return;
    }
    setting.open.close(id);
    let depending: Vec<AccessId> = setting.open.iter().filter(|other| model[*other].needs.contains(&id)).collect();
    for other in depending {
        close(model, setting, other, closes, minutes);
    }
    closes.push(id);
    *minutes += model[id].close;
}

/// Opens a state after all that it needs; `depth` guards against a ring of needs.
fn unclose(
    model: &Model,
    setting: &mut Setting,
    id: AccessId,
    opens: &mut Vec<AccessId>,
    minutes: &mut f64,
    depth: usize,
) {
    if depth == 0 || setting.open.has(id) {
        return;
    }
    for need in &model[id].needs {
        unclose(model, setting, *need, opens, minutes, depth - 1);
    }
    setting.open.open(id);
    opens.push(id);
    *minutes += model[id].open;
}
