//! Plays many seeded practice jobs by the planner, all levels and layouts in turn, and prints how they end.
//!
//! `cargo run --release --example practice_jobs [JOBS] [SEED]`

#![allow(clippy::unwrap_used, clippy::print_stdout)]

use std::collections::BTreeMap;
use std::sync::Arc;
use std::time::Instant;

use rayon::prelude::*;
use roughrun::job::{Entry, Job, Logged, Opening};
use roughrun::study::Level;
use roughrun::teststand::{Played, Wanted, deal, play_hidden};
use roughrun::trees::Library;

fn main() {
    let mut args = std::env::args().skip(1).map(|a| a.parse::<u64>().unwrap());
    let (jobs, seed) = (args.next().unwrap_or(1_000), args.next().unwrap_or(1));
    let library = Library::open(None, None).unwrap();
    let names = library.layout_names();
    let models: Vec<_> = names.iter().map(|n| Arc::new(library.expand(&library.layout(n).unwrap()).unwrap())).collect();
    let started = Instant::now();
    let played: Vec<(Level, String, f64)> = (0..jobs)
        .into_par_iter()
        .map(|number| {
            let at = usize::try_from(number).unwrap();
            let (model, level) = (&models[at % models.len()], Level::ALL[at / models.len() % Level::ALL.len()]);
            let Some((complaint, hidden)) = deal(model, Wanted { level, ..Wanted::default() }, seed + number) else {
                return (level, format!("none on {}", model.layout.name), 0.0);
            };
            let of = &model[complaint];
            let opening = Entry::Opened(Box::new(Opening::of(&model.layout.name, &of.name, of.site)));
            let first = Logged { number: 1, when: String::new(), entry: opening };
            let mut job = Job::replay(Arc::clone(model), vec![first]).unwrap();
            let how = match play_hidden(&mut job, &hidden, 400).unwrap() {
                Played::Closed(_) if hidden.cured(&job) => "cured".to_owned(),
                Played::Closed(how) => format!("{how:?}, comes back"),
                Played::GaveUp => format!("no end: seed {}, {}", seed + number, model.layout.name),
            };
            (level, how, job.state().minutes)
        })
        .collect();
    let mut table: BTreeMap<(Level, &str), (usize, f64)> = BTreeMap::new();
    for (level, how, minutes) in &played {
        let cell = table.entry((*level, how)).or_default();
        cell.0 += 1;
        cell.1 += minutes;
    }
    for ((level, how), (count, minutes)) in &table {
        println!("{:<11} {count:>5}  {:>6.0} minutes  {how}", level.name(), minutes / *count as f64);
    }
    println!("{jobs} jobs in {:.1} s", started.elapsed().as_secs_f64());
}
