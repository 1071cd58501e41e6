//! One practice job and the engine behind it.

use std::sync::Arc;

use crate::analysis::{Ranked, Standing};
use crate::job::{Answer, Entry, Job, Levels, NoWork, Opening, RecentWork};
use crate::model::{CauseId, CheckId, ComplaintId, Conditions, Model, Seen};
use crate::plan::Action;
use crate::study::Lesson;
use crate::teststand::{Hidden, Played, Wanted, deal, play_hidden, root_for};

use super::terms::Terms;

/// Why there is nothing to practise on.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoBout {
    /// No such faults on this engine.
    #[error("The layout {layout} has no faults of this kind ({kind}). Choose another layout or level.")]
    NoFault {
        /// The layout.
        layout: String,
        /// What was asked for.
        kind: String,
    },
    /// A lesson that does not go on this tree.
    #[error(
        "The lesson {0} does not go on these trees: its fault hardly ever brings its complaint. Use the trees it came with."
    )]
    Lesson(String),
    /// A record with nothing proven in it.
    #[error(
        "In job {0} no fault was proven or put right, so there is nothing to hide. Choose a closed job whose fault was found."
    )]
    NothingProven(String),
    /// A record whose faults do not bring its report.
    #[error(
        "What was put right in job {0} hardly ever brings its report by these trees, so no engine can be made of it. Choose another job."
    )]
    NotBrought(String),
    /// The job it was made from is not at hand.
    #[error(
        "The job {0} that this practice plays again is not in the records folder, so its engine cannot be made anew."
    )]
    NoSource(String),
}

/// What a mechanic met in the job that is played again.
#[derive(Debug, Clone, PartialEq)]
struct Met {
    conditions: Conditions,
    /// The faults that were there then.
    there: Vec<CauseId>,
    what: What,
}

#[derive(Debug, Clone, PartialEq)]
enum What {
    Check(CheckId, Seen, Answer),
    Showing(bool),
}

/// A practice job's hidden side.
#[derive(Debug, Clone, PartialEq)]
pub struct Bout {
    /// How it was dealt.
    pub terms: Terms,
    hidden: Hidden,
    met: Vec<Met>,
}

/// The most steps the planner is let to take for its par.
const MOST_STEPS: usize = 240;

impl Bout {
    /// Deals a job by its terms: the complaint, and the engine behind it.
    ///
    /// # Errors
    /// No such faults on this engine.
    pub fn deal(model: &Arc<Model>, terms: Terms) -> Result<(ComplaintId, Self), NoBout> {
        let wanted = Wanted { level: terms.level, on: terms.on, complaint: terms.complaint.as_deref() };
        let kind = terms.words();
        let (complaint, hidden) = deal(model, wanted, terms.seed)
            .ok_or_else(|| NoBout::NoFault { layout: model.layout.name.clone(), kind })?;
        Ok((complaint, Self { terms, hidden, met: Vec::new() }))
    }

    /// The engine of a lesson, for a job that was opened as the lesson says.
    ///
    /// # Errors
    /// A lesson that does not go on this tree.
    pub fn of_lesson(opened: &Job, lesson: &Lesson, terms: Terms) -> Result<Self, NoBout> {
        let fault = || NoBout::Lesson(lesson.name.clone());
        let model = opened.model();
        let causes: Option<Vec<CauseId>> = lesson.faults.iter().map(|(name, at)| model.find_cause(name, *at)).collect();
        let causes = causes.filter(|causes| !causes.is_empty()).ok_or_else(fault)?;
        let hidden = root_for(model, &causes, opened.state(), lesson.level, lesson.seed).ok_or_else(fault)?;
        Ok(Self { terms, hidden, met: Vec::new() })
    }

    /// The engine of a job that was closed, as the mechanic met it: what was proven or put right is hidden, and what was seen then is
    /// seen again wherever the same is looked at under the same conditions; the rest is drawn.
    ///
    /// # Errors
    /// Nothing proven in it, or nothing that brings its report.
    pub fn of_record(opened: &Job, source: &Job, terms: Terms) -> Result<Self, NoBout> {
        let id = terms.from.clone().unwrap_or_default();
        let model = opened.model();
        let source = Ranked::of(source.clone());
        let known = |c: &CauseId| !model.is_unlisted(*c);
        let found = |c: &CauseId| {
            source.state().confirmed.contains(c) || matches!(source.standing(*c), Standing::Proven | Standing::PutRight)
        };
        let causes: Vec<CauseId> = (0..model.causes.len()).map(CauseId).filter(known).filter(found).collect();
        if causes.is_empty() {
            return Err(NoBout::NothingProven(id));
        }
        let start = opened.state();
        let hidden = root_for(model, &causes, start, terms.level, terms.seed).ok_or(NoBout::NotBrought(id))?;
        Ok(Self { terms, met: met(&source, &causes), hidden })
    }

    /// The same engine under other terms: those with its par.
    #[must_use]
    pub fn with_terms(self, terms: Terms) -> Self {
        Self { terms, ..self }
    }

    /// How the job of a seed is opened: what is dealt comes of running alone, and nothing was worked on before.
    #[must_use]
    pub fn opening(model: &Model, complaint: ComplaintId, by: &str) -> Opening {
        let complaint = &model[complaint];
        let nothing = RecentWork::Said(NoWork::Nothing);
        Opening {
            mechanic: by.to_owned(),
            recent_work: (!model.recent_work.is_empty()).then_some(nothing),
            ..Opening::of(&model.layout.name, &complaint.name, complaint.site)
        }
    }

    /// What is done, with what the engine shows to it. None for what the engine has no part in: a closing.
    #[must_use]
    pub fn answer(&self, job: &Job, action: Action, run_levels: &Levels) -> Option<Entry> {
        let entry = self.hidden.answer(job, action, run_levels)?;
        let (model, state) = (job.model(), job.state());
        let there = self.there(job);
        let alike = |met: &&Met, conditions: &Conditions| met.there == there && met.conditions == *conditions;
        match (&entry, action) {
            (Entry::Answer(_), Action::Check(id)) => {
                let conditions = state.work(model, action).during;
                let met = self.met.iter().filter(|met| alike(met, &conditions)).find_map(|met| match &met.what {
                    What::Check(of, _, answer) if *of == id => Some(answer.clone()),
                    _ => None,
                });
                Some(met.map_or(entry, Entry::Answer))
            }
            (Entry::ProofRun { levels, .. }, Action::ProofRun) if levels.is_empty() => {
                let met = self.met.iter().filter(|met| alike(met, &state.reported)).find_map(|met| match met.what {
                    What::Showing(showing) => Some(showing),
                    What::Check(..) => None,
                });
                Some(met.map_or(entry.clone(), |showing| Entry::ProofRun { showing, levels: levels.clone() }))
            }
            _ => Some(entry),
        }
    }

    /// The faults, in the order of the tree; for what is said at the end.
    #[must_use]
    pub fn faults(&self) -> &[CauseId] {
        &self.hidden.causes
    }

    /// The engine as it stands at a job, for what is said at the end.
    #[must_use]
    pub fn engine<'m>(&self, job: &'m Job) -> crate::teststand::Engine<'m> {
        self.hidden.engine(job.model(), job.state())
    }

    /// The faults that are there at a moment of the job.
    #[must_use]
    pub fn there(&self, job: &Job) -> Vec<CauseId> {
        self.engine(job).faults().iter().filter(|f| f.there).map(|f| f.cause).collect()
    }

    /// Whether the complaint is cured.
    #[must_use]
    pub fn cured(&self, job: &Job) -> bool {
        self.hidden.cured(job)
    }

    /// The same engine worked by the planner from the same opening, to its end.
    #[must_use]
    pub fn by_planner(&self, opened: &Job) -> Option<Job> {
        let first = opened.log().first()?.clone();
        let mut job = Job::replay(opened.shared_model(), vec![first]).ok()?;
        match play_hidden(&mut job, &self.hidden, MOST_STEPS) {
            Ok(Played::Closed(_)) => Some(job),
            Ok(Played::GaveUp) | Err(_) => None,
        }
    }

    /// Minutes that the planner takes on the same engine; none where it does not cure it.
    #[must_use]
    pub fn par(&self, opened: &Job) -> Option<f64> {
        let job = self.by_planner(opened)?;
        self.cured(&job).then(|| job.state().minutes)
    }
}

/// What was seen in a job, with the conditions and the faults that were there then.
fn met(source: &Job, causes: &[CauseId]) -> Vec<Met> {
    let (model, state) = (source.model(), source.state());
    // What was put right by the end counts as there until the correction that ended it.
    let there = |spell: usize| -> Vec<CauseId> {
        let mended = |c: &&CauseId| {
            let last = state.done.iter().rfind(|d| model[d.correction].cures.contains(c));
            last.is_some_and(|d| d.from <= spell)
        };
        causes.iter().filter(|c| !mended(c)).copied().collect()
    };
    let standing = source.standing_entries();
    let checks = state.given.iter().filter_map(|given| {
        let (_, entry) = standing.iter().find(|(number, _)| *number == given.number)?;
        let Entry::Answer(answer) = entry else { return None };
        let conditions = state.spells.get(given.spell)?.conditions.clone();
        let what = What::Check(given.check, given.seen()?, answer.clone());
        Some(Met { conditions, there: there(given.spell), what })
    });
    let runs = state.spells.iter().enumerate().filter_map(|(number, spell)| {
        let proof = spell.origin == crate::job::Origin::Proof;
        let what = What::Showing(spell.showing.filter(|_| proof)?);
        Some(Met { conditions: spell.conditions.clone(), there: there(number), what })
    });
    checks.chain(runs).collect()
}
