//! A job and the engine it is about, side by side: an action is carried out on the engine and entered in the job.

use std::collections::BTreeSet;
use std::sync::{Arc, OnceLock};

use crate::analysis::Analysis;
use crate::job::{Ending, Entry, Job, Levels, Logged, Opening, Refusal};
use crate::model::{AccessId, CauseId, CheckId, ComplaintId, Conditions, Model};
use crate::work::{Action, grounding_checks};

use super::engine::Engine;
use super::play::{end, enter, step};
use super::policy::Policy;

/// What a job closed too early costs before work goes on: the flight, the report and the way back. Placeholder.
pub const COME_BACK_MINUTES: f64 = 120.0;
/// So many come-backs, and the owner goes elsewhere: the job is unresolved.
pub const MOST_COME_BACKS: usize = 6;
/// So many steps (checks, runs, provocations, corrections), and the job is unresolved.
pub const MOST_STEPS: usize = 240;
/// What an unresolved job is charged beside its minutes so far. Placeholder.
pub const UNRESOLVED_MINUTES: f64 = 300.0;

/// A job at work on an engine.
#[derive(Debug)]
pub struct Stand<'m> {
    job: Job,
    /// The job worked out, where somebody asked since the last action.
    analysis: OnceLock<Analysis>,
    engine: Engine<'m>,
    come_backs: usize,
    /// Minutes beside those of the job's own work.
    beside: f64,
    steps: usize,
    checks: usize,
    good_parts: usize,
    written_off: BTreeSet<CauseId>,
    /// Whether the job is over, and whether it was resolved.
    over: Option<bool>,
}

/// How a job went.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Score {
    /// Minutes to a proven cure, come-backs included; for an unresolved job, with its charge.
    pub minutes: f64,
    /// Checks made, runs to see whether the complaint shows included, proof runs not.
    pub checks: usize,
    /// Parts replaced, overhauled or exchanged with nothing at fault in them.
    pub good_parts: usize,
    /// Times the job was closed with the complaint still to come back.
    pub come_backs: usize,
    /// Whether it ended in a cure.
    pub resolved: bool,
    /// Faults of the engine.
    pub faults: usize,
    /// Faults that were held written off at any time while they were there.
    pub written_off: usize,
}

impl<'m> Stand<'m> {
    /// Opens a job on an engine, under the conditions usual for the complaint.
    ///
    /// # Errors
    /// An opening that does not fit the model.
    pub fn open(model: &'m Arc<Model>, complaint: ComplaintId, engine: Engine<'m>) -> Result<Self, Refusal> {
        let opening = open_entry(model, complaint);
        let first = Logged { number: 1, when: String::new(), entry: opening };
        let job = Job::replay(Arc::clone(model), vec![first]).map_err(|(_, refusal)| refusal)?;
        Ok(Self {
            job,
            analysis: OnceLock::new(),
            engine,
            come_backs: 0,
            beside: 0.0,
            steps: 0,
            checks: 0,
            good_parts: 0,
            written_off: BTreeSet::new(),
            over: None,
        })
    }

    /// The job: it and [`Stand::analysis`] are all that a policy may look at.
    #[must_use]
    pub fn job(&self) -> &Job {
        &self.job
    }

    /// The job worked out; once for each action, however often it is asked for.
    #[must_use]
    pub fn analysis(&self) -> &Analysis {
        self.analysis.get_or_init(|| Analysis::of(self.job.clone()))
    }

    /// Whether the job is over.
    #[must_use]
    pub fn is_over(&self) -> bool {
        self.over.is_some()
    }

    /// The engine, for scoring and for tests.
    #[must_use]
    pub fn engine(&self) -> &Engine<'m> {
        &self.engine
    }

    /// Notes which of the faults that are there a policy holds written off now.
    pub fn note_written_off(&mut self, policy: Policy) {
        let written_off = policy.written_off(self);
        let faults = self.engine.faults().iter();
        let held: Vec<CauseId> = faults.filter(|f| f.there && written_off(f.cause)).map(|f| f.cause).collect();
        drop(written_off);
        self.written_off.extend(held);
    }

    /// How the job went so far.
    #[must_use]
    pub fn score(&self) -> Score {
        let resolved = self.over == Some(true);
        let charge = if resolved { 0.0 } else { UNRESOLVED_MINUTES };
        Score {
            minutes: self.job.state().minutes + self.beside + charge,
            checks: self.checks,
            good_parts: self.good_parts,
            come_backs: self.come_backs,
            resolved,
            faults: self.engine.faults().len(),
            written_off: self.written_off.len(),
        }
    }

    /// Carries out an action. Closing ends the job where the complaint is cured; else it comes back. Cautions are acknowledged as
    /// they come.
    ///
    /// # Errors
    /// An entry that the job refuses, which would be a fault of whoever chose the action.
    pub fn carry_out(&mut self, action: Action) -> Result<(), Refusal> {
        if self.over.is_some() {
            return Err(Refusal::Closed);
        }
        self.steps += 1;
        self.analysis.take();
        match action {
            Action::CloseCured => self.close(Ending::CuredProven)?,
            Action::CloseHandedOver => self.close(Ending::HandedOver)?,
            Action::CloseNotFound => self.close(Ending::NotFound)?,
            work => {
                if let Action::Correct(id) = work {
                    let spends = self.job.model()[id].kind.spends_part();
                    self.good_parts += usize::from(spends && !self.engine.needs(id));
                }
                self.checks += usize::from(matches!(work, Action::Check(_) | Action::SeeWhetherItShows));
                step(&mut self.job, &mut self.engine, work)?;
            }
        }
        if self.over.is_none() && (self.steps >= MOST_STEPS || self.come_backs >= MOST_COME_BACKS) {
            self.over = Some(false);
        }
        Ok(())
    }

    /// Makes the checks that are owed, and those that prove a side grounded, before a job is closed: whoever works it has to.
    fn make_good(&mut self) -> Result<(), Refusal> {
        let shared = self.job.shared_model();
        let model: &Model = &shared;
        let state = self.job.state();
        let owed = state.ledger.owed().into_iter().map(|(id, _)| id);
        let coming = state.ledger.owed_once_closed(model, state.setting.open.iter()).into_iter().map(|(id, _)| id);
        let proving = state.ledger.live().iter().filter_map(|side| grounding_checks(model, *side).next());
        let all: Vec<CheckId> = owed.chain(coming).chain(proving).collect();
        for id in all {
            self.checks += 1;
            step(&mut self.job, &mut self.engine, Action::Check(id))?;
        }
        Ok(())
    }

    fn close(&mut self, how: Ending) -> Result<(), Refusal> {
        let shared = self.job.shared_model();
        let model: &Model = &shared;
        self.make_good()?;
        if self.engine.cured() {
            self.over = Some(true);
            let end = end(&self.job, how);
            return enter(&mut self.job, end);
        }
        // To the job a come-back is a proof run in which it showed. Then the engine stands again, closed up and at rest.
        let before = self.job.state().minutes;
        let reported = self.job.state().reported.clone();
        self.engine.come_back(&reported);
        enter(&mut self.job, Entry::ProofRun { showing: true, levels: Levels::default() })?;
        let open: Vec<AccessId> = self.job.state().setting.open.iter().collect();
        for id in open {
            let access = &model[id];
            enter(&mut self.job, Entry::Access { access: access.name.clone(), at: access.site, open: false })?;
        }
        let resting = Conditions::resting(&model.conditions);
        let levels = model.conditions.iter().filter_map(|c| Some((c.name.clone(), c.levels.first()?.clone())));
        enter(&mut self.job, Entry::Conditions { levels: levels.collect() })?;
        self.engine.begin(&resting);
        self.beside += COME_BACK_MINUTES - (self.job.state().minutes - before);
        self.come_backs += 1;
        Ok(())
    }
}

/// The entry that opens a job about a complaint under its usual conditions.
pub(super) fn open_entry(model: &Model, complaint: ComplaintId) -> Entry {
    let complaint = &model[complaint];
    Entry::Opened(Box::new(Opening::of(&model.layout.name, &complaint.name, complaint.site)))
}
