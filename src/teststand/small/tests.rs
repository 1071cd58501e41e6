#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use super::*;
use crate::teststand::share_at;

/// A tree about one fault at a time: chances so small that two at once do not count.
fn one_fault(shares: &[f64]) -> Vec<f64> {
    shares.iter().map(|share| share * 1e-7).collect()
}

/// Sequencing of perfect tests that tell which one state it is: every state has a remedy of its own, dear enough that
/// none is tried on suspicion, so that minutes beyond the remedy are those of the tests.
fn sequencing(priors: &[f64], shows: &[&[u8]], costs: &[f64]) -> SmallTree {
    let check = |(test, cost): (usize, &f64)| SmallCheck {
        minutes: *cost,
        cowl_off: false,
        shows: (0..priors.len()).filter(|state| shows[*state][test] == 1).map(|state| (state, 1.0)).collect(),
        leak: LEAST,
    };
    SmallTree {
        causes: one_fault(priors),
        checks: costs.iter().enumerate().map(check).collect(),
        corrections: (0..priors.len())
            .map(|state| SmallCorrection { minutes: REMEDY, cowl_off: false, cures: vec![state] })
            .collect(),
        cowl: (0.0, 0.0),
        proof: 0.0,
    }
}

const REMEDY: f64 = 100_000.0;

/// Source: own numbers; the theorem (by probability over cost) is Kadane and Simon 1977, so the order is published, the figures
/// own computed: of four things to mend, each proven at once, the best order costs 11.1.
#[test]
fn mending_in_the_best_order() {
    let (p, c) = ([0.5, 0.3, 0.15, 0.05], [10.0, 3.0, 6.0, 1.0]);
    let tree = SmallTree {
        causes: one_fault(&p),
        checks: Vec::new(),
        corrections: (0..4).map(|at| SmallCorrection { minutes: c[at], cowl_off: false, cures: vec![at] }).collect(),
        cowl: (0.0, 0.0),
        proof: 0.0,
    };
    let best = optimum(&tree).unwrap();
    assert!((best - 11.1).abs() < 1e-4, "{best}");
    // Index order is 12.75, the worst 15.75. The planner corrects the likeliest first (12.45), which is not by cost.
    let followed = followed(&tree).unwrap();
    assert!(followed > best - 1e-4 && followed < 12.76, "{followed}");
}

/// Source: own example, own computed by exhaustive search (the table once published under these priors was not found).
#[test]
fn five_states_and_five_tests() {
    let shows: [&[u8]; 5] = [&[0, 0, 0, 0, 0], &[0, 1, 0, 0, 1], &[0, 0, 1, 1, 0], &[1, 0, 0, 1, 1], &[1, 1, 0, 0, 0]];
    let tree = sequencing(&[0.7, 0.01, 0.02, 0.1, 0.17], &shows, &[1.0; 5]);
    let best = optimum(&tree).unwrap() - REMEDY;
    assert!((best - 2.12).abs() < 0.02, "{best}");
}

/// Source: own computation over random problems; this is the one on which greedy information does worst (3.97 against 2.52).
#[test]
fn the_worst_case_of_greedy_information() {
    let priors = [
        0.860_297_546_521_915_6,
        0.016_237_267_788_680_513,
        0.061_343_383_265_943_595,
        0.003_153_031_362_360_889_7,
        0.058_968_771_063_858_81,
    ];
    let shows: [&[u8]; 5] =
        [&[0, 1, 0, 0, 1, 1], &[0, 1, 0, 1, 0, 0], &[0, 1, 1, 1, 1, 0], &[1, 1, 0, 1, 1, 0], &[0, 0, 1, 1, 1, 0]];
    let tree = sequencing(&priors, &shows, &[2.0, 3.0, 1.0, 2.0, 1.0, 5.0]);
    let best = optimum(&tree).unwrap() - REMEDY;
    assert!((best - 2.519_231_342).abs() < 0.02, "{best}");
}

/// One cause, nothing to find out: cowling off, correction, cowling on, proof run.
#[test]
fn one_way_only() {
    let tree = SmallTree {
        causes: vec![0.01],
        checks: vec![SmallCheck { minutes: 1.0, cowl_off: false, shows: vec![(0, 1.0)], leak: LEAST }],
        corrections: vec![SmallCorrection { minutes: 20.0, cowl_off: true, cures: vec![0] }],
        cowl: (12.0, 10.0),
        proof: 8.0,
    };
    assert!((optimum(&tree).unwrap() - 50.0).abs() < 1e-9);
    assert!((followed(&tree).unwrap() - 50.0).abs() < 1e-6);
}

/// Two causes alike, a perfect check of one of them under the same cowling that both corrections need.
#[test]
fn a_check_that_pays() {
    let tree = SmallTree {
        causes: one_fault(&[0.5, 0.5]),
        checks: vec![SmallCheck { minutes: 3.0, cowl_off: true, shows: vec![(0, 1.0)], leak: LEAST }],
        corrections: (0..2).map(|at| SmallCorrection { minutes: 30.0, cowl_off: true, cures: vec![at] }).collect(),
        cowl: (12.0, 12.0),
        proof: 8.0,
    };
    // 12 + 3 + 30 + 12 + 8; without the check half of the jobs need 12 + 30 + 12 + 8 more.
    assert!((optimum(&tree).unwrap() - 65.0).abs() < 1e-3);
}

#[test]
fn what_is_too_large_or_cannot_be_cured_has_no_optimum() {
    let mut tree = SmallTree::draw(1, 1);
    tree.corrections.clear();
    assert_eq!(optimum(&tree), None);
    let mut tree = SmallTree::draw(1, 1);
    tree.causes = vec![0.01; MOST_CAUSES + 1];
    assert_eq!(optimum(&tree), None);
}

/// The planner on a hundred small trees: never better than the optimum, and on the mean not much worse.
#[test]
fn the_planner_against_the_optimum() {
    let mut ratios: Vec<f64> = (0..100)
        .map(|number| {
            let tree = SmallTree::draw(1, number);
            let (best, planner) = (optimum(&tree).unwrap(), followed(&tree).unwrap());
            assert!(planner >= best - 1e-4, "tree {number}: {planner} below the optimum {best}: {tree:?}");
            planner / best
        })
        .collect();
    ratios.sort_by(f64::total_cmp);
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    let most = ratios[99];
    let p90 = share_at(&ratios, 0.9).unwrap();
    assert!(mean < 1.05 && p90 < 1.15, "mean {mean}, 90th percentile {p90}, most {most}");
}
