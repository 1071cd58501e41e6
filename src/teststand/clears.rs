//! The planner's choice of check by somebody who believes that a pass clears.

use crate::analysis::{EXTENT, problem, situation};
use crate::belief::infer;
use crate::job::Job;
use crate::plan::{Action, advise};

use super::policy::{cleared, first, round};

/// What the planner says first when the causes cleared in this round are set aside, and all answers from before it.
pub(super) fn next(job: &Job) -> Vec<Action> {
    let (model, state) = (job.model(), job.state());
    let round = round(state);
    let mut known = state.clone();
    known.given.retain(|g| g.spell >= round);
    let mut question = problem(model, &known);
    for cause in cleared(model, state) {
        question.causes[cause.0].prior = 0.0;
    }
    let posterior = infer(&question, EXTENT);
    let mut situation = situation(job, &posterior);
    situation.answered = known.given.iter().map(|g| (g.check, g.spell == state.now())).collect();
    first(&advise(&situation))
}
