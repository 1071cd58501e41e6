//! What is hidden in an engine for practice, and what it shows to what is done.
//!
//! All chance comes from the root and from what is asked, so the engine can be built anew at any moment of the job from the job alone:
//! going on after a pause, or looking back, meets the same engine.

use super::engine::Engine;
use super::reading::{Measured, measure};
use crate::job::{Answer, Entry, Job, Levels, Logged, State, with_levels};
use crate::model::{CauseId, CheckId, Conditions, Model, Seen};
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
    /// differ from the reported ones; where none are given, of the one that comes next. None for a closing, which is nobody's but the mechanic's.
    #[must_use]
    pub fn answer(&self, job: &Job, action: Action, run_levels: &Levels) -> Option<Entry> {
        let (model, state) = (job.model(), job.state());
        Some(match action {
            Action::Check(id) => self.check(job, id),
            Action::SeeWhetherItShows => {
                let mut engine = self.engine(model, state);
                let during = state.work(model, action).during;
                if !state.is_under(&during) {
                    engine.begin_as(state.next_spell(), &during);
                }
                Entry::Showing { showing: Some(engine.showing()), ran: true }
            }
            Action::ProofRun => {
                let mut engine = self.engine(model, state);
                let due = state.proof_levels(model);
                let levels = if run_levels.is_empty() { &due } else { run_levels };
                engine.begin_as(state.next_spell(), &conditions_of_run(model, state, levels));
                Entry::ProofRun { showing: engine.showing(), levels: levels.clone() }
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
        let mut engine = self.engine(model, state);
        let conditions = state.work(model, Action::Check(id)).during;
        let begins = state.begins_a_spell(model, id, &conditions);
        let spell = if begins { state.next_spell() } else { state.now() };
        if begins {
            engine.begin_as(spell, &conditions);
        }
        let seen = engine.look(id);
        (seen, measure(model, id, seen, &conditions, self.root, spell))
    }

    fn check(&self, job: &Job, id: CheckId) -> Entry {
        let check = &job.model()[id];
        let (seen, measured) = self.look(job, id);
        let answer = Answer::seen(check, seen);
        let Some(measured) = measured else { return Entry::Answer(answer) };
        let answer = Answer { reading: Some(measured.typed), celsius: measured.celsius, as_typed: true, ..answer };
        let alone = Answer { outcome: None, ..answer.clone() };
        // The eye says what the number cannot: where it cannot be judged yet, or its like are not sound.
        // So it does of a reading that was too close to call before: nobody measures it for ever.
        let undecided = job.state().given.iter().any(|given| given.check == id && given.seen().is_none());
        let tells = !measured.seen_beside && !undecided && says_nothing_else(job, &alone, seen);
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

/// The conditions of a proof run; levels that are not known are passed over, as the job refuses them.
fn conditions_of_run(model: &Model, state: &State, levels: &Levels) -> Conditions {
    let reported = state.in_hand().1;
    with_levels(model, reported, levels).unwrap_or_else(|_| reported.clone())
}
