//! The planner's expected minutes on a small tree: every outcome of everything it does, each with its probability.

use std::sync::Arc;

use crate::analysis::Analysis;
use crate::job::{Answer, Entry, Job, Levels, Logged, Refusal};
use crate::model::{ComplaintId, Seen};
use crate::plan::Action;

use super::super::stand::{MOST_STEPS, UNRESOLVED_MINUTES, open_entry};
use super::{SmallTree, abnormal, cured_by, worlds};

/// The planner's expected minutes from the report to the end of the proof run that passes; where it closes with something left, with
/// the charge of an unresolved job.
///
/// # Errors
/// An entry that the job refuses, which would be a fault of the planner.
pub fn followed(tree: &SmallTree) -> Result<f64, Refusal> {
    let model = Arc::new(tree.model());
    let first = Logged { number: 1, when: String::new(), entry: open_entry(&model, ComplaintId(0)) };
    let job = Job::replay(model, vec![first]).map_err(|(_, refusal)| refusal)?;
    follow(tree, &job, &worlds(tree), 0, MOST_STEPS)
}

/// Weight times minutes of all that can come of a job, its worlds weighted by the probability of getting here.
fn follow(tree: &SmallTree, job: &Job, worlds: &[(u32, f64)], cured: u32, steps: usize) -> Result<f64, Refusal> {
    let weight: f64 = worlds.iter().map(|(_, p)| p).sum();
    let minutes = job.state().minutes;
    let left: f64 = worlds.iter().filter(|(set, _)| set & !cured != 0).map(|(_, p)| p).sum();
    let action = Analysis::of(job.clone()).advice().first().map_or(Action::CloseNotFound, |s| s.action);
    let after = |entry: Entry| {
        let mut job = job.clone();
        job.enter(Logged { number: job.next_number(), when: String::new(), entry }).map(|()| job)
    };
    let split = |chance: &dyn Fn(u32) -> f64| -> Vec<(u32, f64)> {
        worlds.iter().map(|(set, p)| (*set, p * chance(*set))).filter(|(_, p)| *p > 1e-12).collect()
    };
    let showing = |showing: bool| split(&|set| if (set & !cured != 0) == showing { 1.0 } else { 0.0 });
    if steps == 0 {
        return Ok(weight * (minutes + UNRESOLVED_MINUTES));
    }
    let mut total = 0.0;
    match action {
        Action::Check(id) => {
            let check = &job.model()[id];
            for seen in [Seen::Normal, Seen::Abnormal(0)] {
                let then = split(&|set| {
                    let chance = abnormal(&tree.checks[id.0], set & !cured);
                    if seen == Seen::Normal { 1.0 - chance } else { chance }
                });
                if then.is_empty() {
                    continue;
                }
                let answer = Entry::Answer(Answer::seen(check, seen));
                total += follow(tree, &after(answer)?, &then, cured, steps - 1)?;
            }
        }
        Action::Correct(id) => {
            let correction = &job.model()[id];
            let job = after(Entry::Corrected { correction: correction.name.clone(), at: correction.site })?;
            total += follow(tree, &job, worlds, cured | cured_by(&tree.corrections[id.0]), steps - 1)?;
        }
        Action::ProofRun | Action::SeeWhetherItShows => {
            for shows in [false, true] {
                let then = showing(shows);
                if then.is_empty() {
                    continue;
                }
                let entry = if action == Action::ProofRun {
                    Entry::ProofRun { showing: shows, levels: Levels::default() }
                } else {
                    Entry::Showing { showing: Some(shows), ran: true }
                };
                total += follow(tree, &after(entry)?, &then, cured, steps - 1)?;
            }
        }
        // A small tree has no provocations.
        Action::Provoke(_) | Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound => {
            total += weight * minutes + left * UNRESOLVED_MINUTES;
        }
    }
    Ok(total)
}
