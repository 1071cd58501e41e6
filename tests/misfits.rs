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
    let tried: Vec<(bool, bool, bool)> = jobs
        .par_iter()
        .map(|(n, job)| {
            let accused = misfits(job.clone()).iter().any(Misfit::does_not_fit);
            let mut rng = rand_chacha::ChaCha8Rng::seed_from_u64(*n);
            let given = &job.state().given[rng.random_range(0..job.state().given.len())];
            let check = &job.model()[given.check];
            let others: Vec<_> = check.all_seen().filter(|seen| given.seen() != Some(*seen)).collect();
            let seen = others[rng.random_range(0..others.len())];
            let by = Box::new(Entry::Answer(Answer::seen(check, seen)));
            let entry = Entry::Amend { of: given.number, by };
            let of = given.number;
            let mut slipped = job.clone();
            slipped.enter(Logged { number: job.next_number(), when: String::new(), entry }).unwrap();
            let found = misfits(slipped);
            let said = found.iter().any(|misfit| misfit.number == of && misfit.does_not_fit());
            (accused, found.iter().any(|misfit| misfit.number == of), said)
        })
        .collect();
    let count = |of: fn(&(bool, bool, bool)) -> bool| tried.iter().filter(|t| of(t)).count();
    let (accused, pointed, said) = (count(|t| t.0), count(|t| t.1), count(|t| t.2));
    println!(
        "{} jobs; without a slip accused {accused}; with one pointed at {pointed}, said unasked {said}",
        tried.len()
    );
    assert_eq!(tried.len(), 200);
    assert!(accused * 20 <= tried.len(), "{accused} of {} jobs without a slip are accused", tried.len());
    assert!(pointed * 5 >= tried.len() * 4, "the slip is pointed at in {pointed} of {} jobs", tried.len());
    assert!(said > accused, "{said} slips are said, {accused} clean answers");
}

/// A rare fault that somebody saw beyond doubt fits badly with all that was known before, and is no slip for that.
#[test]
fn a_rare_fault_that_was_seen_is_not_taken_for_a_slip() {
    let library = Library::embedded().unwrap();
    let model = Arc::new(library.expand(&library.layout("four-two-magnetos").unwrap()).unwrap());
    let left = "left".parse().unwrap();
    let opening = Opening::of("four-two-magnetos", "rough-one-side", left);
    let seen = Entry::Answer(Answer::outcome("gear-look", left, "teeth"));
    let mend = Entry::Corrected { correction: "exchange-magneto".into(), at: left };
    let all = [Entry::Opened(Box::new(opening)), seen, mend];
    let log: Vec<Logged> =
        (1..).zip(all).map(|(number, entry)| Logged { number, when: String::new(), entry }).collect();
    for until in [2, 3] {
        let job = Job::replay(Arc::clone(&model), log[..until].to_vec()).unwrap();
        let misfits = misfits(job);
        assert!(misfits[0].number == 2 && !misfits[0].does_not_fit(), "after {until}: {misfits:?}");
    }
}
