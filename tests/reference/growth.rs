//! How time and memory of inference grow with the tree: generated trees of 200 to 2,000 causes with 40 observations.
//!
//! Prints a table; each size is measured in a process of its own, so that its peak memory is its own. With a size as argument it measures
//! that size alone; with a second argument 1 it infers once, for counting instructions:
//! `valgrind --tool=callgrind --toggle-collect='*belief*posterior*infer*' target/release/examples/growth 2000 1`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use std::hint::black_box;
use std::process::Command;
use std::time::Instant;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::belief::{CauseInput, Comes, Event, Extent, Habit, Observation, Problem, infer};
use roughrun::model::{CauseId, Sees};

const OBSERVATIONS: usize = 40;
const SPELLS: usize = 4;
const EXTENT: Extent = Extent { most: 120, share: 0.985 };

/// A tree with the shape of a real one: twelve sites of parts; some checks see a whole side, most see one place; two causes are there, and what
/// is seen is drawn from them. Four of the observations are that the complaint shows.
fn generated(causes: usize) -> Problem {
    let mut rng = ChaCha8Rng::seed_from_u64(40);
    let inputs: Vec<CauseInput> = (0..causes)
        .map(|_| {
            let sleeps = rng.random_bool(0.4);
            let habit = |a: f64| (0..SPELLS).map(|spell| if spell == 0 { a } else { (a * 1.5).min(1.0) }).collect();
            let mixed =
                || [0.05, 0.2, 0.6].map(|base| Habit { weight: 1.0 / 3.0, comes: Comes::Spells(habit(base)) }).to_vec();
            let habits = if sleeps { mixed() } else { Habit::only(vec![1.0; SPELLS]) };
            CauseInput {
                prior: 5e-4 + 5e-3 * rng.random::<f64>(),
                habits,
                corrections: Vec::new(),
                arrivals: Vec::new(),
            }
        })
        .collect();
    let there = [rng.random_range(0..causes), rng.random_range(0..causes)];
    let mut observations = Vec::new();
    for key in 0..OBSERVATIONS {
        let spell = key * SPELLS / OBSERVATIONS;
        let (scope, leak): (Vec<usize>, f64) = match key % 10 {
            0 => ((0..causes).collect(), 1e-6),
            1 | 2 => ((0..causes).filter(|c| c % 2 == key % 2).collect(), 0.02),
            _ => {
                let place = rng.random_range(0..24);
                ((0..causes).filter(|c| c % 24 == place).collect(), 0.02)
            }
        };
        let shows: Vec<(CauseId, f64)> =
            scope.iter().map(|c| (CauseId(*c), 0.5 + 0.45 * rng.random::<f64>())).collect();
        let abnormal = key % 10 == 0 || there.iter().any(|c| scope.contains(c)) && rng.random_bool(0.7);
        let event = Event { causes: shows, gates: Vec::new(), leak };
        observations.push(Observation::clear(spell, Sees::Awake, key, vec![event], abnormal.then_some(0)));
    }
    Problem { spells: SPELLS, causes: inputs, observations }
}

/// Peak memory of this process in MiB, where the system tells.
fn peak() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn measure(causes: usize, times: usize) {
    let problem = generated(causes);
    let before = peak().unwrap_or(0.0);
    let mut taken = Vec::new();
    let mut left_out = 0.0;
    for _ in 0..times {
        let start = Instant::now();
        left_out = black_box(infer(&problem, EXTENT)).error;
        taken.push(start.elapsed().as_secs_f64() * 1e3);
    }
    taken.sort_by(f64::total_cmp);
    let abnormal = problem.observations.iter().filter(|o| o.weights.last() != Some(&1.0)).count();
    let memory = peak().unwrap_or(0.0) - before;
    println!(
        "{causes:>6} {abnormal:>9} {:>10.2} {:>10.2} {memory:>8.1} {left_out:>10.1e}",
        taken[times / 2],
        taken[times - 1]
    );
}

fn main() {
    let arguments: Vec<usize> = std::env::args().skip(1).map(|a| a.parse().expect("a number")).collect();
    match arguments[..] {
        [causes] => measure(causes, 21),
        [causes, times] => measure(causes, times.max(1)),
        _ => {
            println!("{OBSERVATIONS} observations in {SPELLS} spells");
            println!("causes  abnormal  median ms    most ms      MiB   left out");
            for causes in [200, 500, 1000, 2000] {
                let this = std::env::current_exe().expect("a program");
                let done = Command::new(this).arg(causes.to_string()).status().expect("a process");
                assert!(done.success());
            }
        }
    }
}
