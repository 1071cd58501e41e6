//! The ends that a job can have now, and what keeps it from a better one.

use crate::job::{Ending, Job};

/// One end of a job, as it is offered or held back.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// The end.
    pub how: Ending,
    /// What is missing for it; nothing where the job can end so.
    pub missing: Vec<String>,
    /// Minutes that what is missing takes from here, as far as it is known what brings it.
    pub minutes: f64,
    /// Whether a reason is asked for.
    pub wants_reason: bool,
}

impl End {
    /// What is missing and how long it takes, as a clause.
    #[must_use]
    pub fn words(&self) -> String {
        let missing = self.missing.join("; ");
        if self.minutes > 0.0 { format!("{missing} (about {:.0} min)", self.minutes) } else { missing }
    }
}

/// The ends that the job can have as its record stands, the best first, and those that it cannot have yet.
#[must_use]
pub fn ends(job: &Job) -> (Vec<End>, Vec<End>) {
    let (model, state) = (job.model(), job.state());
    let keeps_open = state.keeps_open(model);
    let end = |how: Ending| {
        let (missing, minutes) = match how {
            Ending::CuredProven => {
                let missing = state.missing(model);
                let minutes = missing.iter().map(|m| m.minutes).sum();
                (missing.into_iter().map(|m| m.words).collect(), minutes)
            }
            how if how.is_lost() => (keeps_open.clone(), 0.0),
            _ => (Vec::new(), 0.0),
        };
        End { how, missing, minutes, wants_reason: state.wants_reason(model, how) }
    };
    // What the record does not bear out is not among them, but the cure that is still to be proven.
    let borne_out = |how: &Ending| *how == Ending::CuredProven || state.borne_out(model, *how) == *how;
    Ending::ALL.into_iter().filter(borne_out).map(end).partition(|end| end.missing.is_empty())
}
