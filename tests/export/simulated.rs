//! A shop's many jobs as exported tables, and its figures beside them:
//! `cargo run --profile test --example simulated_tables DIR JOBS [WORKED] [entries]`.
//!
//! What is simulated: so many jobs (`WORKED`, 48) are worked to their end on engines of the test stand, one in five by a printed order of
//! checks and the others by the planner, and become rows as any job does. Each of `JOBS` jobs is one of them with a name, time, aircraft,
//! engine hours, mechanic, ages and prices of parts of its own, drawn from a seed: invented all of them. One in twenty comes back to the
//! same aircraft within 80 hours; three in a hundred are practice, one a demonstration. The tables are written by the code of
//! `review export`, as CSV; the entries are left out unless asked for, since they are half of the bytes.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::print_stdout, clippy::cast_possible_truncation)]

#[path = "../listing/records.rs"]
#[allow(dead_code)]
mod records;

use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use chrono::{DateTime, Months, NaiveDate, SecondsFormat, TimeDelta, Utc};
use rand::{Rng, RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use roughrun::analysis::Analysis;
use roughrun::figures::{Asked, Counter};
use roughrun::job::Job;
use roughrun::review::{Forms, Tables, figures_json, worked_sheet};
use roughrun::tables::{JobRow, Sheet, WAS};
use roughrun::teststand::{Field, Policy, Stand};
use roughrun::trees::Library;

const SEED: u64 = 20;
const LAYOUTS: [&str; 3] = ["four-two-magnetos", "four-magneto-electronic", "four-two-electronic"];
const MONTHS: u32 = 60;
const AIRCRAFT: usize = 4_000;
const MECHANICS: usize = 40;
/// Jobs of more entries than this are left out.
const MOST_ENTRIES: usize = 60;

fn worked(field: &Field, number: u64) -> Option<Job> {
    let policy = if number.is_multiple_of(5) { Policy::FixedOrder } else { Policy::Planner };
    let (complaint, engine) = field.deal(SEED, number)?;
    let mut stand = Stand::open(field.model(), complaint, engine).unwrap();
    while !stand.is_over() {
        // The answers of a long job cost so much that a few of them would take all the time; a year's tables have enough without.
        if stand.job().log().len() > MOST_ENTRIES {
            return None;
        }
        for action in policy.next(&stand) {
            if !stand.is_over() {
                stand.carry_out(action).unwrap();
            }
        }
    }
    Some(stand.job().clone())
}

/// Worked jobs as rows, by the layout of their engine.
fn patterns(many: u64) -> Vec<Vec<Sheet>> {
    let library = Library::embedded().unwrap();
    let of_layout = |(at, layout): (u64, &&str)| {
        let model = Arc::new(library.expand(&library.layout(layout).unwrap()).unwrap());
        let field = Field::of(model, None).unwrap();
        let numbers = 0..many.div_ceil(LAYOUTS.len() as u64);
        let jobs = numbers.into_par_iter().filter_map(|n| worked(&field, n * LAYOUTS.len() as u64 + at));
        jobs.map(|job| worked_sheet(JobRow::default(), &Analysis::of(job))).collect::<Vec<_>>()
    };
    (0..).zip(&LAYOUTS).map(of_layout).collect()
}

/// A job that is to be: which pattern it follows, and what is its own.
#[derive(Clone)]
struct Plan<'p> {
    pattern: &'p Sheet,
    aircraft: usize,
    hours: f64,
    at: DateTime<Utc>,
    number: u64,
}

fn plans<'p>(patterns: &'p [Vec<Sheet>], month: u32, jobs: u64, first: u64) -> Vec<Plan<'p>> {
    let mut rng = ChaCha8Rng::seed_from_u64(SEED);
    rng.set_stream(u64::from(month));
    let begin = NaiveDate::from_ymd_opt(2021, 1, 1).unwrap() + Months::new(month);
    let begin = begin.and_hms_opt(7, 0, 0).unwrap().and_utc();
    let step = TimeDelta::seconds(i64::try_from(27 * 86_400 / jobs.max(1)).unwrap());
    let mut plans: Vec<Plan<'p>> = Vec::new();
    for n in 0..jobs {
        let at = begin + step * i32::try_from(n).unwrap();
        let again = plans.last().filter(|_| rng.random::<f64>() < 0.05);
        let plan = if let Some(before) = again {
            Plan { hours: before.hours + 80.0 * rng.random::<f64>(), at, number: first + n, ..before.clone() }
        } else {
            let aircraft = rng.random_range(0..AIRCRAFT);
            let of_layout = &patterns[aircraft % patterns.len()];
            let pattern = &of_layout[rng.random_range(0..of_layout.len())];
            let days = f64::from(month) * 30.4 + (at - begin).num_seconds() as f64 / 86_400.0;
            let hours = 200.0 + (aircraft % 1_700) as f64 + days * (0.2 + (aircraft % 7) as f64 * 0.1);
            Plan { pattern, aircraft, hours, at, number: first + n }
        };
        plans.push(plan);
    }
    plans
}

/// To a tenth, as a card has them.
fn tenths(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

fn sheet(plan: &Plan<'_>, with_entries: bool) -> Sheet {
    let mut rng = ChaCha8Rng::seed_from_u64(SEED + 1);
    rng.set_stream(plan.number);
    let id = records::id(plan.at.timestamp_millis().cast_unsigned(), plan.number);
    let wall = |minutes: f64| {
        let seconds = TimeDelta::milliseconds((minutes * 60_000.0) as i64);
        (plan.at + seconds).to_rfc3339_opts(SecondsFormat::Secs, false)
    };
    let pattern = plan.pattern;
    let clock = pattern.job.minutes.unwrap() * (1.0 + 0.6 * rng.random::<f64>());
    let purpose = match rng.random::<f64>() {
        share if share < 0.03 => "practice",
        share if share < 0.04 => "demo",
        _ => "work",
    };
    let mut sheet = Sheet {
        job: JobRow {
            job: id.clone(),
            purpose: purpose.to_owned(),
            opened: wall(0.0),
            closed: if pattern.job.state == "open" { String::new() } else { wall(clock) },
            aircraft: format!("ZZ-{:04}", plan.aircraft),
            mechanic: mechanic(&mut rng),
            engine_hours: Some(tenths(plan.hours)),
            clock_minutes: Some(tenths(clock)),
            entries: Some(pattern.entries.len() as u64),
            head: records::sha256(id.as_bytes()),
            ..pattern.job.clone()
        },
        entries: if with_entries { pattern.entries.clone() } else { Vec::new() },
        readings: pattern.readings.clone(),
        causes: pattern.causes.clone(),
        parts: pattern.parts.clone(),
        replaced: pattern.replaced.clone(),
    };
    let entries = pattern.entries.len().max(1) as f64;
    let time = |entry: Option<u64>| wall(clock * entry.unwrap_or(0) as f64 / entries);
    for row in &mut sheet.entries {
        (row.job, row.time) = (id.clone(), time(row.entry));
    }
    for row in &mut sheet.readings {
        (row.job, row.time) = (id.clone(), time(row.entry));
    }
    sheet.parts.iter_mut().for_each(|row| row.job.clone_from(&id));
    for row in &mut sheet.replaced {
        (row.job, row.time) = (id.clone(), time(row.entry));
        // Two in three have a price; few patterns hold good parts, so some are drawn.
        if rng.random::<f64>() < 0.66 {
            row.parts_money = Some(tenths(20.0 + 400.0 * rng.random::<f64>()));
            "EUR".clone_into(&mut row.currency);
        }
        if rng.random::<f64>() < 0.2 {
            WAS[rng.random_range(0..WAS.len())].clone_into(&mut row.was);
        }
    }
    for row in &mut sheet.causes {
        row.job.clone_from(&id);
        row.by_eye = Some(row.by_eye == Some(true) || rng.random::<f64>() < 0.4);
        if row.by_eye == Some(true) && row.found_by.is_empty() {
            "seen".clone_into(&mut row.found_by);
        }
        if rng.random::<f64>() < 0.8 {
            row.life_spent = Some(rng.random::<f64>().powi(2) * 1.5);
            row.age_hours = Some(tenths(row.life_spent.unwrap() * 500.0));
        }
    }
    sheet
}

/// One in forty has a name that a spreadsheet would run.
fn mechanic(rng: &mut impl Rng) -> String {
    match rng.random_range(0..MECHANICS) {
        0 => "=M. \"0\", or so".to_owned(),
        number => format!("M. {number}"),
    }
}

fn main() {
    let args: Vec<String> = std::env::args().skip(1).collect();
    let with_entries = args.iter().any(|arg| arg == "entries");
    let number = |at: usize, otherwise: u64| args.get(at).and_then(|text| text.parse().ok()).unwrap_or(otherwise);
    let folder = Path::new(args.first().expect("name a folder"));
    let (jobs, many) = (number(1, 100_000), number(2, 48));

    let start = Instant::now();
    let patterns = patterns(many);
    let counts: Vec<usize> = patterns.iter().map(Vec::len).collect();
    println!(
        "{} jobs worked on the test stand in {:.1} s",
        counts.iter().sum::<usize>(),
        start.elapsed().as_secs_f64()
    );

    let start = Instant::now();
    let tables = Tables::begin(&[], folder, Forms::Csv).unwrap();
    let counter = Mutex::new(Counter::new(Asked { practice: false, by_mechanic: true }));
    (0..MONTHS).into_par_iter().for_each(|month| {
        let before = |month: u32| jobs * u64::from(month) / u64::from(MONTHS);
        let plans = plans(&patterns, month, before(month + 1) - before(month), before(month));
        let sheets: Vec<Sheet> = plans.par_iter().map(|plan| sheet(plan, with_entries)).collect();
        tables.month(2021 + month.cast_signed() / 12, 1 + month % 12, &sheets).unwrap();
        let mut counter = counter.lock().unwrap();
        sheets.iter().for_each(|sheet| counter.add(sheet));
    });
    tables.finish().unwrap();
    let figures = counter.into_inner().unwrap().figures();
    let beside: PathBuf = folder.with_extension("figures.json");
    std::fs::write(&beside, figures_json(&figures).to_string()).unwrap();
    println!("{jobs} simulated jobs written and counted in {:.1} s", start.elapsed().as_secs_f64());
}
