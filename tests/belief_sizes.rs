//! Jobs with more findings than can be weighed in full: what is kept must be what explains them, what is left out must be owned up to,
//! and a listing must never come out empty, which would read as "nothing is wrong".
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::time::{Duration, Instant};

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::belief::{CauseInput, Event, Extent, Habit, Observation, Posterior, Problem, infer};
use roughrun::model::{CauseId, Sees};

const EXTENT: Extent = Extent { most: 240, share: 0.985 };

fn hard(prior: f64) -> CauseInput {
    CauseInput { prior, habits: Habit::only(vec![1.0]), corrections: Vec::new(), arrivals: Vec::new() }
}

fn finding(spell: usize, key: usize, causes: Vec<(CauseId, f64)>, leak: f64) -> Observation {
    Observation::clear(spell, Sees::Awake, key, vec![Event { causes, gates: Vec::new(), leak }], Some(0))
}

/// One cause that shows in each of `count` findings with a chance of 0.3, and false alarms of 0.01.
fn many_of_one(count: usize, prior: f64) -> Posterior {
    let observations = (0..count).map(|key| finding(0, key, vec![(CauseId(0), 0.3)], 0.01)).collect();
    infer(&Problem { spells: 1, causes: vec![hard(prior)], observations }, EXTENT)
}

#[test]
fn a_cause_of_many_findings_is_still_found() {
    for count in [3, 9, 10, 14, 20, 30] {
        for prior in [1e-6, 1e-3, 0.2] {
            let found = many_of_one(count, prior);
            let power = i32::try_from(count).unwrap();
            let (there, absent) = (prior * (1.0f64 - 0.7 * 0.99).powi(power), (1.0 - prior) * 0.01f64.powi(power));
            let (exact, evidence) = (there / (there + absent), there + absent);
            let ours = found.log_evidence.exp();
            assert!((found.causes[0].present - exact).abs() < 1e-3, "{count} of {prior}: {:?}", found.causes[0]);
            assert!(ours <= evidence * (1.0 + 1e-9), "what is counted is there");
            let left = 1.0 - ours / evidence;
            assert!(left <= found.error + 1e-9, "{count} of {prior}: {left} left out, {} said", found.error);
            assert!(left < 0.2, "{count} of {prior}: {left} left out");
        }
    }
}

/// `causes` that are each in doubt for all of `findings`, spread over spells.
fn tangle(causes: usize, findings: usize, spells: usize) -> Problem {
    let mut rng = ChaCha8Rng::seed_from_u64(7);
    let mut draw = || rng.random::<f64>();
    let inputs = (0..causes)
        .map(|_| CauseInput {
            prior: 1e-3 + 0.05 * draw(),
            habits: Habit::only(vec![0.5; spells]),
            corrections: Vec::new(),
            arrivals: Vec::new(),
        })
        .collect();
    let observations = (0..findings)
        .map(|key| {
            let seen = (0..causes).map(|c| (CauseId(c), 0.1 + 0.8 * draw())).collect();
            finding(key % spells, key, seen, 0.01)
        })
        .collect();
    Problem { spells, causes: inputs, observations }
}

#[test]
fn a_tangle_ends_soon_and_lists_something() {
    for (causes, findings, spells) in [(40, 24, 1), (30, 30, 3), (40, 50, 25)] {
        let start = Instant::now();
        let found = infer(&tangle(causes, findings, spells), EXTENT);
        assert!(start.elapsed() < Duration::from_secs(20), "{causes} causes took {:?}", start.elapsed());
        assert!(found.log_evidence.is_finite());
        assert!(found.causes.iter().all(|b| (0.0..=1.0).contains(&b.present) && b.awake <= b.present + 1e-12));
        assert!(found.error > 0.0 && found.error <= 1.0);
        assert!(!found.explanations.is_empty(), "{causes} causes: nothing listed");
        for e in &found.explanations {
            let parts: f64 = e.now.iter().map(|(_, p)| p).sum();
            assert!((parts - e.probability).abs() < 1e-9 && e.probability > 0.0);
        }
        let mut sets: Vec<_> = found.explanations.iter().map(|e| &e.causes).collect();
        sets.sort();
        sets.dedup();
        assert_eq!(sets.len(), found.explanations.len(), "no set comes twice");
    }
}
