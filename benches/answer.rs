//! What a mechanic waits for: from one answer to a fresh ranking, from one answer to a fresh recommendation, and the first frame.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs)]

use std::hint::black_box;
use std::path::Path;
use std::sync::Arc;

use criterion::{BatchSize, Criterion, criterion_group, criterion_main};
use roughrun::analysis::{Analysis, Ranked};
use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::shop::Shop;
use roughrun::trees::Library;
use roughrun::tui::{self, Begin, Options, Theme};

/// A job on the largest shipped layout, some answers in.
fn job() -> Job {
    let library = Library::embedded().unwrap_or_else(|d| panic!("{d:?}"));
    let layout = library.layout("six-two-electronic").unwrap_or_else(|d| panic!("{d:?}"));
    let model = Arc::new(library.expand(&layout).unwrap_or_else(|d| panic!("{d:?}")));
    let opening = Opening::of(&layout.layout.name, "rough-one-side", "left".parse().unwrap());
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(model, vec![first]).unwrap();
    for (check, at, outcome) in [("run-up-drop", "left", "too-much-rough"), ("run-up-drop", "right", "normal")] {
        enter(&mut job, check, at, outcome);
    }
    job
}

fn enter(job: &mut Job, check: &str, at: &str, outcome: &str) {
    let answer = Answer::outcome(check, at.parse().unwrap(), outcome);
    job.enter(Logged { number: job.next_number(), when: String::new(), entry: Entry::Answer(answer) }).unwrap();
}

fn answers(c: &mut Criterion) {
    let job = job();
    let answered = |mut job: Job| {
        enter(&mut job, "alike-check", "engine", "differs");
        job
    };
    c.bench_function("an answer to a fresh ranking", |b| {
        b.iter_batched(|| job.clone(), |job| black_box(Ranked::of(answered(job)).ranking()), BatchSize::SmallInput);
    });
    c.bench_function("an answer to a fresh recommendation", |b| {
        b.iter_batched(
            || job.clone(),
            |job| black_box(Analysis::of(answered(job)).advice().next.len()),
            BatchSize::SmallInput,
        );
    });
    let unanswered = Job::replay(job.shared_model(), job.log()[..1].to_vec()).unwrap();
    c.bench_function("the first ranking of a job", |b| {
        b.iter_batched(
            || Job::replay(unanswered.shared_model(), unanswered.log().to_vec()).unwrap(),
            |job| black_box(Ranked::of(job).ranking()),
            BatchSize::SmallInput,
        );
    });
}

fn first_frame(c: &mut Criterion) {
    let records = tempfile::tempdir().unwrap();
    c.bench_function("trees read, records listed and the first frame drawn", |b| {
        b.iter(|| {
            let shop = Shop::open(None, Some(Path::new(records.path()))).unwrap();
            let theme = Theme::from_environment(|_| None);
            let options = Options { theme, big: false, mouse: true, tour: None, begin: Begin::Bench };
            black_box(tui::first_frame(shop, options, 160, 50))
        });
    });
}

criterion_group!(benches, answers, first_frame);
criterion_main!(benches);
