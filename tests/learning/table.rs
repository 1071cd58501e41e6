//! Prints how far learning gets: `cargo run --release --example learning_table [LAYOUT] [JOBS] [HELD_OUT] [SEED]`.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod shop;

use std::sync::Arc;

use rayon::prelude::*;
use roughrun::job::Job;
use roughrun::learn::{Cases, learn};
use roughrun::model::Model;
use roughrun::teststand::Field;
use roughrun::trees::Library;

/// The shipped tree over a layout.
fn shipped(layout: &str) -> Arc<Model> {
    let library = Library::embedded().unwrap();
    Arc::new(library.expand(&library.layout(layout).unwrap()).unwrap())
}

fn main() {
    let mut args = std::env::args().skip(1);
    let layout = args.next().unwrap_or_else(|| "four-two-magnetos".into());
    let mut number = |otherwise: u64| args.next().map_or(otherwise, |text| text.parse().unwrap());
    let (jobs, held_out, seed) = (number(500), number(1000), number(1));
    let shipped = shipped(&layout);
    let other = shop::with_other_rates(&shipped, 0.7, seed);
    let field = Field::of(other.clone(), None).unwrap();
    let records: Vec<(Job, bool)> = (0..jobs)
        .into_par_iter()
        .filter_map(|n| shop::work(&field, &shipped, seed, n).map(|w| (shop::recorded(&w, seed, n), false)))
        .collect();
    println!("{} records", records.len());
    let cases = Cases::of(records, &std::collections::BTreeMap::new());
    let lessons = learn(&cases);
    println!("learnt from {} jobs ({:?}), left out {:?}", lessons.jobs, lessons.confirmed, lessons.left_out);
    for (name, trial) in [("rates", lessons.rates_trial), ("checks", lessons.checks_trial)] {
        let (gain, error) = (trial.gain, trial.error);
        println!(
            "{name}: gain in log score {gain:+.4} +- {error:.4} over {} jobs, adopted: {}",
            trial.jobs, trial.adopted
        );
    }
    let log_error = |learnt: bool| {
        let of = lessons.rates.iter().map(|l| {
            let truth = other.causes.iter().find(|c| c.name == l.cause).map_or(l.was.mean, |c| c.rate);
            ((if learnt { l.now.mean } else { l.was.mean }) / truth).ln().powi(2)
        });
        (of.sum::<f64>() / lessons.rates.len() as f64).sqrt()
    };
    println!("rates are off by log-sd {:.2} as shipped, {:.2} as learnt", log_error(false), log_error(true));
    let learnt = Arc::new(Model::clone(&shipped).with_learnt(&lessons.learnt("records", "")));
    let found = shop::held_out(&field, &[shipped, learnt, other], seed + 1_000_000, held_out);
    println!("{:<10}{:>14}{:>10}{:>12}", "rates", "mean minutes", "Brier", "log score");
    for (at, name) in ["shipped", "learnt", "true"].into_iter().enumerate() {
        let o = shop::outcome(&found, at);
        println!("{name:<10}{:>14.1}{:>10.4}{:>12.4}", o.minutes, o.brier, o.log_score);
    }
    let differences = |a: usize, b: usize| {
        let all: Vec<f64> = found.iter().map(|by| by[a].0 - by[b].0).collect();
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        let spread = all.iter().map(|d| (d - mean).powi(2)).sum::<f64>() / (all.len() - 1) as f64;
        (mean, (spread / all.len() as f64).sqrt())
    };
    let (cost, error) = differences(0, 2);
    println!("minutes of shipped minus true: {cost:.1} +- {error:.1} (standard error), over {} jobs", found.len());
    let (cost, error) = differences(1, 2);
    println!("minutes of learnt minus true: {cost:.1} +- {error:.1}");
}
