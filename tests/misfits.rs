//! Answers that do not fit are pointed at, and answers that fit are let alone: 200 simulated jobs, each with and without a slip.

#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout)]

use std::sync::Arc;

use rand::{RngExt as _, SeedableRng as _};
use rayon::prelude::*;
use roughrun::analysis::{Analysis, Misfit};
use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::model::Model;
use roughrun::teststand::{Field, play};
use roughrun::trees::Library;

const ANSWERS: usize = 12;

/// A job of about a dozen answers on a dealt engine, as the planner works it, corrections left out.
fn worked(kind: &Field, number: u64) -> Option<Job> {
    let model = kind.model();
    let (complaint, mut engine) = kind.deal(7, number)?;
    let opening = Opening::of(&model.layout.name, &model[complaint].name, model[complaint].site);
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(Arc::clone(model), vec![first]).unwrap();
    for _ in 0..40 {
        if job.state().given.len() >= ANSWERS || job.state().ended.is_some() {
            break;
        }
        play(&mut job, &mut engine, 1).unwrap();
    }
    (job.state().given.len() >= ANSWERS).then_some(job)
}

fn misfits(job: Job) -> Vec<Misfit> {
    Analysis::of(job).misfits().to_vec()
}

#[test]
fn a_slip_is_pointed_at_and_a_clean_job_is_not_accused() {
    let library = Library::embedded().unwrap();
    let models: Vec<Arc<Model>> = library
        .layout_names()
        .into_iter()
        .map(|name| Arc::new(library.expand(&library.layout(name).unwrap()).unwrap()))
        .collect();
    let kinds: Vec<Field> = models.iter().filter_map(|model| Field::of(Arc::clone(model), None)).collect();
    let jobs: Vec<(u64, Job)> = (0..320_u64)
        .into_par_iter()
        .filter_map(|n| Some((n, worked(&kinds[usize::try_from(n).unwrap() % kinds.len()], n)?)))
        .collect();
    let jobs = &jobs[..jobs.len().min(200)];
    let tried: Vec<(bool, bool, f64)> = jobs
        .par_iter()
        .map(|(n, job)| {
            let accused = !misfits(job.clone()).is_empty();
            let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(*n);
            let given = &job.state().given[rng.random_range(0..job.state().given.len())];
            let check = &job.model()[given.check];
            let others: Vec<_> = check.all_seen().filter(|seen| given.seen() != Some(*seen)).collect();
            let outcome = Some(check.outcome_name(others[rng.random_range(0..others.len())]).to_owned());
            let (name, at) = (check.name.clone(), check.site);
            let by =
                Answer { check: name, at, outcome, reading: None, celsius: None, looks_so: false, as_typed: false };
            let by = Box::new(Entry::Answer(by));
            let entry = Entry::Amend { of: given.number, by };
            let of = given.number;
            let mut slipped = job.clone();
            slipped.enter(Logged { number: job.next_number(), when: String::new(), entry }).unwrap();
            let before = Analysis::of(job.clone());
            let after = Analysis::of(slipped.clone());
            let moved = (0..job.model().causes.len())
                .map(roughrun::model::CauseId)
                .map(|id| (before.belief(id).present - after.belief(id).present).abs())
                .fold(0.0, f64::max);
            let pointed = misfits(slipped).iter().take(2).any(|misfit| misfit.number == of);
            (accused, pointed, moved)
        })
        .collect();
    let accused = tried.iter().filter(|(accused, ..)| *accused).count();
    let pointed = tried.iter().filter(|(_, pointed, _)| *pointed).count();
    let harm: Vec<_> = tried.iter().filter(|(.., moved)| *moved > 0.1).collect();
    let of_harm = harm.iter().filter(|(_, pointed, _)| *pointed).count();
    println!(
        "{} jobs; accused without a slip {accused}; slip pointed at {pointed}; of {} that moved a cause by more than 0.1, {of_harm}",
        tried.len(),
        harm.len()
    );
    assert!(tried.len() >= 100, "{}", tried.len());
    assert!(accused * 20 <= tried.len(), "{accused} of {} clean jobs are accused", tried.len());
    assert!(of_harm * 5 >= harm.len() * 4, "{of_harm} of {} harmful slips are pointed at", harm.len());
}
