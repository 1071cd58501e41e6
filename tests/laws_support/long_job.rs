//! Measures a long job: how long the fold, the posterior and the advice take as random entries pile up, and what is left out.
//! Arguments: number of entries, share of abnormal answers in percent, number of jobs.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

#[path = "mod.rs"]
mod laws_support;

use std::time::Instant;

use laws_support::{Draw, engines, entries, job};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::analysis::Analysis;

fn main() {
    let mut arguments = std::env::args().skip(1).map(|a| a.parse::<usize>().expect("a number"));
    let count = arguments.next().unwrap_or(500);
    let abnormal = u32::try_from(arguments.next().unwrap_or(20)).expect("a percentage");
    let jobs = arguments.next().unwrap_or(4);
    let engines = engines();
    println!("layout                  entries spells answers abnormal   fold s  posterior s  advice s  left out");
    for seed in 0..jobs {
        let (name, model) = &engines[seed % engines.len()];
        let mut rng = ChaCha8Rng::seed_from_u64(seed as u64);
        let draws: Vec<Draw> = (0..count).map(|_| (rng.random(), rng.random(), rng.random())).collect();
        let all = entries(model, rng.random_range(0..1000), &draws, abnormal);
        for share in [8, 4, 2, 1] {
            let some = all[..=count / share].to_vec();
            let start = Instant::now();
            let job = job(model, some);
            let fold = start.elapsed().as_secs_f64();
            let start = Instant::now();
            let job = Analysis::of(job);
            let posterior = job.posterior();
            assert!(posterior.log_evidence.is_finite(), "evidence {}", posterior.log_evidence);
            let left_out = posterior.error;
            let posterior = start.elapsed().as_secs_f64();
            let start = Instant::now();
            let _ = job.advice();
            let advice = start.elapsed().as_secs_f64();
            let state = job.state();
            let bad = state.given.iter().filter(|g| g.seen() != Some(roughrun::model::Seen::Normal)).count();
            println!(
                "{name:24}{:7}{:7}{:8}{bad:9}{fold:9.3}{posterior:13.3}{advice:10.3}  {left_out:.2e}",
                count / share,
                state.spells.len(),
                state.given.len(),
            );
        }
    }
}
