//! What a person is told before doing one thing.

use crate::job::{Job, State, levels_words};
use crate::model::{HazardId, Model};
use crate::text::rounded;
use crate::work::{Action, Work};

use super::{access_words, check_words};

/// What a person is told before doing one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// What to do, with its site.
    pub title: String,
    /// What it takes.
    pub work: Work,
    /// Why it is not suggested now, where it makes no sense as things stand.
    pub not_now: Option<String>,
    /// What is closed first, in order.
    pub closes: Vec<String>,
    /// What is then opened, in order.
    pub opens: Vec<String>,
    /// What the engine does, or that it is shut down first; none where it stands.
    pub engine: Option<String>,
    /// Conditions that it is done in, where they are others than those of now.
    pub brings: Option<String>,
    /// Checks owed before the engine may be started, where this starts it.
    pub owed_first: Vec<String>,
    /// Tools.
    pub tools: Vec<String>,
    /// What to do, step by step.
    pub steps: Vec<String>,
    /// What is expected when all is well; empty where nothing is looked for.
    pub expected: String,
    /// Common mistakes.
    pub mistakes: Vec<String>,
    /// Where method and limits come from; empty where that is nowhere.
    pub source: String,
    /// Every caution that belongs to it, read already or not.
    pub cautions: Vec<HazardId>,
}

impl Told {
    /// Of an action from where a job stands.
    #[must_use]
    pub fn of(job: &Job, action: Action) -> Self {
        let (model, state) = (job.model(), job.state());
        let work = state.work(model, action);
        let check = match action {
            Action::Check(id) => Some(&model[id]),
            _ => None,
        };
        let source = match action {
            Action::Check(id) => model.cited_words(&model[id].source),
            Action::Provoke(id) => model.cited_words(&model[id].source),
            Action::Correct(id) => model.cited_words(&model[id].source),
            _ => String::new(),
        };
        let owed = state.ledger.owed().into_iter().filter(|(id, owed)| owed.before_run && action != Action::Check(*id));
        let owed = owed.filter(|_| work.engine.runs()).map(|(id, _)| check_words(model, id));
        Self {
            title: title(model, state, action),
            not_now: match action {
                Action::Check(id) => state.ready(model, id).err().map(|why| why.words(model)),
                _ => None,
            },
            closes: work.closes.iter().map(|id| access_words(model, *id)).collect(),
            opens: work.opens.iter().map(|id| access_words(model, *id)).collect(),
            engine: match (work.engine.turns(), state.setting.engine.turns()) {
                _ if action.closes() => None,
                (true, _) => Some(model[work.engine].title.clone()),
                (false, true) => Some("shut down first".to_owned()),
                (false, false) => None,
            },
            brings: {
                let other = action == Action::ProofRun && state.proof_under() != state.in_hand().1;
                let during = if other { state.proof_under() } else { &work.during };
                (*during != state.conditions()).then(|| during.words(&model.conditions))
            },
            owed_first: owed.collect(),
            tools: check.map(|c| c.tools.clone()).unwrap_or_default(),
            steps: action.steps(model, &model[state.in_hand().0].proof.steps).to_vec(),
            expected: check.map(|c| c.expected.clone()).unwrap_or_default(),
            mistakes: check.map(|c| c.mistakes.clone()).unwrap_or_default(),
            source,
            cautions: state.now_for_work(model).cautions(action),
            work,
        }
    }

    /// What it takes, in a sentence; none where it takes nothing.
    #[must_use]
    pub fn takes(&self) -> Option<String> {
        let Work { minutes, moving, waiting, same_look, .. } = &self.work;
        if *same_look {
            return Some("Takes no time of its own: the last look answers it.".to_owned());
        }
        if *minutes <= 0.0 {
            return None;
        }
        let waits = if *waiting > 0.0 {
            format!("; {} of waiting count as a quarter", rounded(*waiting, "minute"))
        } else {
            String::new()
        };
        let takes = rounded(*minutes, "minute");
        let of_them = if takes.ends_with('s') { "of them" } else { "of it" };
        Some(format!("Takes {takes}, {moving:.0} {of_them} for access and the engine{waits}."))
    }

    /// What access says: what has to be closed and opened first; none where nothing is asked of it.
    #[must_use]
    pub fn access(&self) -> Option<String> {
        let mut words = Vec::new();
        if !self.closes.is_empty() {
            words.push(format!("undo {}", self.closes.join(", ")));
        }
        if !self.opens.is_empty() {
            words.push(format!("{} {}", if words.is_empty() { "first" } else { "then" }, self.opens.join(", ")));
        }
        (!words.is_empty()).then(|| words.join("; "))
    }
}

/// What to do, with its site; a proof run says under which conditions.
fn title(model: &Model, state: &State, action: Action) -> String {
    let elsewhere = (action == Action::ProofRun).then(|| state.proof_levels(model)).filter(|levels| !levels.is_empty());
    match elsewhere {
        Some(levels) => format!("Proof run under conditions in which it showed here ({})", levels_words(&levels)),
        None => action.title(model),
    }
}
