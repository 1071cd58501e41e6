//! What is hidden in an engine for practice, and what it shows to what is done.
//!
//! All chance comes from the root and from what is asked, so the engine can be built anew at any moment of the job from the job alone:
//! going on after a pause, or looking back, meets the same engine.

use super::engine::Engine;
use super::reading::{Measured, measure};
use crate::job::{Answer, Entry, Job, Levels, Logged, State};
use crate::model::{AccessId, AccessSet, CauseId, CheckId, Conditions, Model, Seen};
use crate::plan::Action;

/// The faults of an engine, and what its chance comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hidden {
    /// What is at fault.
    pub causes: Vec<CauseId>,
    /// The root of all chance.
    pub root: u64,
    /// Whether the first correction of each fault does not cure it, where the tree says that this can be.
    pub stubborn: bool,
}

impl Hidden {
    /// The engine as it stands at a state of the job.
    #[must_use]
    pub fn engine<'m>(&self, model: &'m Model, state: &State) -> Engine<'m> {
        let mut engine = Engine::keyed(model, state.complaint, &self.causes, self.root, self.stubborn);
        let mut done = state.done.iter().peekable();
        for (number, spell) in state.spells.iter().enumerate() {
            while let Some(next) = done.next_if(|d| d.from <= number) {
                engine.correct(next.correction);
            }
            engine.begin_as(number, &spell.conditions);
            if number == 0 {
                engine.note_sleepers();
            }
            if spell.showing == Some(true) {
                engine.showing();
            }
        }
        done.for_each(|d| engine.correct(d.correction));
        engine
    }

    /// Whether the engine goes in every spell of a state as the state says it went.
    #[must_use]
    pub fn fits(&self, model: &Model, state: &State) -> bool {
        let mut engine = Engine::keyed(model, state.complaint, &self.causes, self.root, self.stubborn);
        state.spells.iter().enumerate().all(|(number, spell)| {
            engine.begin_as(number, &spell.conditions);
            spell.showing.is_none_or(|showing| engine.showing() == showing)
        })
    }

    /// Whether the complaint is cured: what is left of the faults that had a part in it cannot bring it.
    #[must_use]
    pub fn cured(&self, job: &Job) -> bool {
        self.engine(job.model(), job.state()).cured()
    }

    /// The entry that an action leads to: what is done, with what the engine shows to it. `run_levels` are the conditions of a proof run that
    /// differ from the reported ones. None for a closing, which is nobody's but the mechanic's.
    #[must_use]
    pub fn answer(&self, job: &Job, action: Action, run_levels: &Levels) -> Option<Entry> {
        let (model, state) = (job.model(), job.state());
        Some(match action {
            Action::Check(id) => self.check(job, id),
            Action::SeeWhetherItShows => {
                let mut engine = self.engine(model, state);
                settle(&mut engine, model, state, &running(model, &state.access));
                Entry::Showing { showing: Some(engine.showing()), ran: true }
            }
            Action::ProofRun => {
                let mut engine = self.engine(model, state);
                engine.begin_as(state.spells.len(), &with_levels(model, &state.reported, run_levels));
                Entry::ProofRun { showing: engine.showing(), levels: run_levels.clone() }
            }
            Action::Provoke(id) => Entry::Provoked { provocation: model[id].name.clone() },
            Action::Correct(id) => Entry::Corrected { correction: model[id].name.clone(), at: model[id].site },
            Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => return None,
        })
    }

    /// What a check shows, and what is measured in it. The spell is the one the check is made in.
    #[must_use]
    pub fn look(&self, job: &Job, id: CheckId) -> (Seen, Option<Measured>) {
        let (model, state) = (job.model(), job.state());
        let check = &model[id];
        let mut engine = self.engine(model, state);
        let reached = model.reach(&state.access, &check.open, &check.closed).0;
        let (spell, conditions) = settle(&mut engine, model, state, &reached);
        let seen = engine.look(id);
        (seen, measure(model, id, seen, &conditions, self.root, spell))
    }

    fn check(&self, job: &Job, id: CheckId) -> Entry {
        let check = &job.model()[id];
        let (seen, measured) = self.look(job, id);
        let named = Some(check.outcome_name(seen).to_owned());
        let answer = Answer { check: check.name.clone(), at: check.site, outcome: named, reading: None, celsius: None };
        let Some(measured) = measured else { return Entry::Answer(answer) };
        let answer = Answer { reading: Some(measured.typed), celsius: measured.celsius, ..answer };
        let alone = Answer { outcome: None, ..answer.clone() };
        // The eye says what the number cannot: where it cannot be judged yet, or its like are not sound.
        let tells = !measured.seen_beside && says_nothing_else(job, &alone, seen);
        Entry::Answer(if tells { alone } else { answer })
    }
}

/// Whether a reading alone can be judged, and says what is seen or is too close to call.
fn says_nothing_else(job: &Job, answer: &Answer, seen: Seen) -> bool {
    let mut trial = job.clone();
    let number = trial.next_number();
    if trial.enter(Logged { number, when: String::new(), entry: Entry::Answer(answer.clone()) }).is_err() {
        return false;
    }
    let given = trial.state().given.iter().find(|g| g.number == number);
    given.is_some_and(|given| !given.weights.is_empty() && given.seen().is_none_or(|read| read == seen))
}

/// Begins a spell on the engine where the job will: where getting to another access changes the conditions. The spell it is then, with its
/// conditions.
fn settle(engine: &mut Engine<'_>, model: &Model, state: &State, reached: &AccessSet) -> (usize, Conditions) {
    let now = state.conditions();
    let conditions = model.conditions_after(&state.access, reached, &now);
    if conditions == now {
        return (state.now(), now);
    }
    engine.begin_as(state.spells.len(), &conditions);
    (state.spells.len(), conditions)
}

/// The access state of an engine that is closed up and run.
pub(super) fn running(model: &Model, access: &AccessSet) -> AccessSet {
    let running = model.running();
    let others: Vec<AccessId> = access.iter().filter(|id| !running.contains(id)).collect();
    let (closed, _) = model.reach(access, &[], &others);
    model.reach(&closed, &running, &[]).0
}

/// Conditions with some levels changed by name; names that are not known are passed over, as the job refuses them.
fn with_levels(model: &Model, from: &Conditions, levels: &Levels) -> Conditions {
    let sets: Vec<(usize, usize)> = levels
        .iter()
        .filter_map(|(name, level)| {
            let (at, kind) = model.conditions.iter().enumerate().find(|(_, c)| c.name == *name)?;
            Some((at, kind.levels.iter().position(|l| l == level)?))
        })
        .collect();
    from.with(&sets)
}
