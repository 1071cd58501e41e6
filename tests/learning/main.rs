//! Learning from the records of a simulated shop whose engines fail by other rates than the tree says: what is learnt forecasts and works
//! held-out jobs closer to how the true rates would.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod guards;
mod records;
mod shop;
mod small;

use std::collections::BTreeMap;
use std::sync::Arc;

use roughrun::job::Job;
use roughrun::learn::{Cases, Lessons, learn};
use roughrun::model::Model;
use roughrun::teststand::Field;

const LOG_SD: f64 = 0.7;
const SEED: u64 = 7;
const JOBS: u64 = 500;
const HELD_OUT: u64 = 400;

/// What a shop with the tree learns from its jobs on engines that fail by other rates.
fn learnt_from(tree: &Arc<Model>, engines: &Field, seed: u64, jobs: u64) -> Lessons {
    use rayon::prelude::*;
    let records: Vec<(Job, bool)> = (0..jobs)
        .into_par_iter()
        .filter_map(|n| shop::work(engines, tree, seed, n).map(|w| (shop::recorded(&w, seed, n), false)))
        .collect();
    assert!(records.len() as u64 >= jobs * 95 / 100, "{} jobs were drawn", records.len());
    learn(&Cases::of(records, &BTreeMap::new()))
}

#[test]
fn what_is_learnt_comes_closer_to_the_truth_in_brier_score_log_score_and_minutes() {
    let tree = small::model();
    let truth = shop::with_other_rates(&tree, LOG_SD, SEED);
    let engines = Field::of(Arc::clone(&truth), None).unwrap();
    let lessons = learnt_from(&tree, &engines, SEED, JOBS);
    assert!(lessons.rates_trial.adopted, "{:?}", lessons.rates_trial);
    let learnt = Arc::new(Model::clone(&tree).with_learnt(&lessons.learnt("records", "today")));
    let held_out = shop::held_out(&engines, &[tree, learnt, truth], SEED + 1_000_000, HELD_OUT);
    let [by_tree, by_learnt, by_truth] = [0, 1, 2].map(|at| shop::outcome(&held_out, at));
    let figures = format!("tree {by_tree:?}\nlearnt {by_learnt:?}\ntruth {by_truth:?} over {} jobs", held_out.len());
    // That the true rates are better at all: else closer to them would mean nothing.
    assert!(by_truth.brier < by_tree.brier && by_truth.log_score > by_tree.log_score, "{figures}");
    assert!(by_truth.minutes < by_tree.minutes, "{figures}");
    let closer = |figure: fn(&shop::Outcome) -> f64| {
        (figure(&by_learnt) - figure(&by_truth)).abs() < 0.5 * (figure(&by_tree) - figure(&by_truth)).abs()
    };
    assert!(closer(|o| o.brier), "Brier score\n{figures}");
    assert!(closer(|o| o.log_score), "log score\n{figures}");
    assert!(closer(|o| o.minutes), "minutes\n{figures}");
}

/// Where the tree is right there is nothing to gain, and nothing is adopted.
#[test]
fn a_tree_that_is_right_is_left_alone() {
    let tree = small::model();
    let engines = Field::of(Arc::clone(&tree), None).unwrap();
    let lessons = learnt_from(&tree, &engines, SEED + 1, 200);
    assert!(lessons.jobs > 150);
    assert!(!lessons.rates_trial.adopted && !lessons.checks_trial.adopted, "{lessons:?}");
    assert!(lessons.learnt("records", "today").is_empty());
}
