//! One more complaint in a job: what is asked, and what is entered for it.

use crate::job::{Entry, Job, levels_of};
use crate::model::{ComplaintId, Conditions};
use crate::plan::Action;
use crate::work::Work;

/// The complaints that can still come to a job, with their places.
#[must_use]
pub fn other_complaints(job: &Job) -> Vec<(ComplaintId, String)> {
    let model = job.model();
    let all = (0..model.complaints.len()).map(ComplaintId);
    let new = all.filter(|id| job.state().complaints().all(|(known, _)| known != *id));
    new.map(|id| (id, format!("{}, {}", model[id].title, model.site_words(model[id].site)))).collect()
}

/// What is entered where a run does not show what is looked for but something else: the run, and one more complaint under its conditions.
/// Without a run it is one that was reported as well, under the conditions that are usual for it.
#[must_use]
pub fn something_else(job: &Job, run: Option<Entry>, complaint: ComplaintId) -> Vec<Entry> {
    let model = job.model();
    let under = |conditions: &Conditions| levels_of(model, conditions);
    let during = |Work { during, .. }: Work| under(&during);
    let reported = match &run {
        Some(Entry::ProofRun { levels, .. }) => {
            let mut reported = under(job.state().in_hand().1);
            reported.extend(levels.clone());
            reported
        }
        Some(_) => during(job.state().work(model, Action::SeeWhetherItShows)),
        None => crate::job::Levels::new(),
    };
    let complaint = &model[complaint];
    let also = Entry::Complained { complaint: complaint.name.clone(), at: complaint.site, reported };
    run.into_iter().chain([also]).collect()
}
