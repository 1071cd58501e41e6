//! Writes small random models with our posterior of each as JSON lines, for `check.py` to work out again with a general-purpose
//! Bayesian-network library. Every feature of the model occurs: gates of every kind, shared effects, several outcomes tried
//! in order, spells with waking causes, habits of several kinds mixed over, moments that a look can miss, corrections that may not cure, repeated checks, and readings too
//! close to call. Then the same for the shipped trees, with a complaint and a few answers.

use std::io::Write;
use std::sync::Arc;

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::analysis::problem;
use roughrun::belief::{Arrival, CauseInput, Comes, Corrected, Event, Extent, Habit, Observation, Problem, infer};
use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::model::{CauseId, Formula, Sees};
use roughrun::teststand::{Engine, play};
use roughrun::trees::Library;
use serde_json::{Value, json};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let models: u64 = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(240);
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for seed in 0..models {
        write(&mut out, &format!("random model {seed}"), &draw(&mut ChaCha8Rng::seed_from_u64(seed), seed))?;
    }
    for (layout, complaint, at, truth, site) in SHIPPED {
        for (name, problem) in shipped(layout, complaint, at, truth, site)? {
            write(&mut out, &name, &problem)?;
        }
    }
    for (layout, complaint, at, answer) in SWAPS {
        let mut problem = swapped(layout, complaint, at, answer)?;
        // Moments that a look can miss make tables of the outside library that fit into no memory; the random models have them.
        problem.observations.iter_mut().for_each(|o| o.minutes = f64::INFINITY);
        write(&mut out, &format!("{layout}, {} {}", answer[0], answer[2]), &problem)?;
    }
    out.flush()?;
    Ok(())
}

/// Swaps on the shipped trees: layout, complaint, its site, and the answer's check, pair of sites and outcome. One to a question:
/// the outside library joins the gates of several into tables that do not fit into memory.
const SWAPS: [(&str, &str, &str, [&str; 3]); 2] = [
    ("four-two-magnetos", "rough-one-side", "left", ["swap-plug", "left 1 with left 3", "at-second"]),
    ("four-two-magnetos", "rough-one-side", "left", ["swap-magneto-lead", "left 1 with left 3", "at-both"]),
];

/// The question that a job asks after a swap.
fn swapped(
    layout: &str,
    complaint: &str,
    at: &str,
    [check, pair, outcome]: [&str; 3],
) -> Result<Problem, Box<dyn std::error::Error>> {
    let library = Library::embedded().map_err(|_| "the shipped trees have faults")?;
    let engine_layout = library.layout(layout).map_err(|_| "no such layout")?;
    let model = Arc::new(library.expand(&engine_layout).map_err(|_| "it does not expand")?);
    let answer = Answer::outcome(check, pair.parse()?, outcome);
    let entries = [Entry::Opened(Box::new(Opening::of(layout, complaint, at.parse()?))), Entry::Answer(answer)];
    let log = (1..).zip(entries).map(|(number, entry)| Logged { number, when: String::new(), entry }).collect();
    let job = Job::replay(Arc::clone(&model), log).map_err(|(_, refusal)| refusal)?;
    Ok(problem(&model, job.state()))
}

fn write(out: &mut impl Write, name: &str, problem: &Problem) -> std::io::Result<()> {
    let start = std::time::Instant::now();
    let found = infer(problem, Extent { most: 1, share: 0.0 });
    let seconds = start.elapsed().as_secs_f64();
    let beliefs: Vec<Value> = found.causes.iter().map(|b| json!([b.present, b.awake, b.ever])).collect();
    let habits = &found.habits;
    let line = json!({
        "name": name, "problem": as_json(problem), "log_evidence": found.log_evidence, "beliefs": beliefs, "habits": habits,
        "left_out": found.error, "seconds": seconds,
    });
    writeln!(out, "{line}")
}

/// Jobs on the shipped trees: layout, complaint, its site, the true cause, its site.
const SHIPPED: [(&str, &str, &str, &str, &str); 3] = [
    ("four-two-magnetos", "rough-one-side", "left", "lead-open", "left 3"),
    ("six-retard-electronic", "side-dead", "right", "el-supply-wire", "right"),
    ("four-two-electronic", "both-dead", "engine", "shared-ground-bad", "engine"),
];

/// The question that a job asks after its opening and after a few answers.
fn shipped(
    layout: &str,
    complaint: &str,
    at: &str,
    truth: &str,
    site: &str,
) -> Result<Vec<(String, Problem)>, Box<dyn std::error::Error>> {
    let library = Library::embedded().map_err(|_| "the shipped trees have faults")?;
    let engine_layout = library.layout(layout).map_err(|_| "no such layout")?;
    let model = Arc::new(library.expand(&engine_layout).map_err(|_| "it does not expand")?);
    let opening = Opening::of(layout, complaint, at.parse()?);
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(Arc::clone(&model), vec![first]).map_err(|(_, refusal)| refusal)?;
    let cause = model.find_cause(truth, site.parse()?).ok_or("no such cause")?;
    let (complaint, reported) = (job.state().complaint, job.state().reported.clone());
    let mut engine = Engine::typical(&model, complaint, &reported, &[cause]).ok_or("never reported")?;
    let mut found = vec![(format!("{layout}, opened"), problem(&model, job.state()))];
    play(&mut job, &mut engine, 1)?;
    found.push((format!("{layout}, {} answers", job.state().given.len()), problem(&model, job.state())));
    Ok(found)
}

fn draw(rng: &mut impl Rng, seed: u64) -> Problem {
    let spells = 1 + (seed % 3) as usize;
    let n = 2 + rng.random_range(0..4);
    let chance = |rng: &mut dyn FnMut() -> f64| if rng() < 0.2 { 1.0 } else { 0.05 + 0.9 * rng() };
    let causes = (0..n)
        .map(|_| {
            let count = [1, 1, 3, 5][rng.random_range(0..4usize)];
            let mut weights: Vec<f64> = (0..count).map(|_| 0.1 + rng.random::<f64>()).collect();
            let whole: f64 = weights.iter().sum();
            weights.iter_mut().for_each(|weight| *weight /= whole);
            let mut of_weight = |weight: f64| {
                let comes = if rng.random::<f64>() < 0.3 {
                    Comes::Moments(0.02 + 0.5 * rng.random::<f64>())
                } else {
                    Comes::Spells((0..spells).map(|_| chance(&mut || rng.random())).collect())
                };
                Habit { weight, comes }
            };
            let habits: Vec<Habit> = weights.into_iter().map(&mut of_weight).collect();
            CauseInput {
                prior: 0.01 + 0.5 * rng.random::<f64>(),
                habits,
                corrections: (0..rng.random_range(0..3usize).min(spells - 1))
                    .map(|_| Corrected { from: rng.random_range(1..spells), fails: 0.5 * rng.random::<f64>() })
                    .collect(),
                arrivals: (0..rng.random_range(0..3usize).min(spells - 1))
                    .map(|_| Arrival { from: rng.random_range(1..spells), chance: 0.3 * rng.random::<f64>() })
                    .collect(),
            }
        })
        .map(|mut c| {
            c.corrections.sort_by_key(|c| c.from);
            c.arrivals.sort_by_key(|a| a.from);
            c
        })
        .collect();
    let checks: Vec<(Sees, Vec<Event>)> = (0..3)
        .map(|_| {
            let sees = if rng.random::<f64>() < 0.7 { Sees::Awake } else { Sees::Present };
            (sees, (0..=rng.random_range(0..3usize)).map(|_| event(rng, n)).collect())
        })
        .collect();
    let mut observations = Vec::new();
    for spell in 0..spells {
        for (key, (sees, events)) in checks.iter().enumerate() {
            if rng.random::<f64>() < 0.35 {
                continue;
            }
            let outcome = rng.random_range(0..=events.len());
            let mut o = Observation::clear(spell, *sees, key, events.clone(), None);
            o.minutes = if rng.random::<f64>() < 0.2 { f64::INFINITY } else { 12.0 * rng.random::<f64>() };
            o.weights.fill(0.0);
            o.weights[outcome] = 1.0;
            if rng.random::<f64>() < 0.3 {
                let q = rng.random::<f64>();
                o.weights[outcome] = q;
                let other = (outcome + 1) % o.weights.len();
                o.weights[other] = 1.0 - q;
            }
            observations.push(o);
        }
    }
    Problem { spells, causes, observations }
}

fn event(rng: &mut impl Rng, n: usize) -> Event {
    let mut causes: Vec<(CauseId, f64)> = Vec::new();
    for c in 0..n {
        if rng.random::<f64>() < 0.5 {
            let chance = if rng.random::<f64>() < 0.2 { 1.0 } else { 0.1 + 0.85 * rng.random::<f64>() };
            causes.push((CauseId(c), chance));
        }
    }
    let gates =
        if rng.random::<f64>() < 0.4 { vec![(gate(rng, n), 0.3 + 0.7 * rng.random::<f64>())] } else { Vec::new() };
    Event { causes, gates, leak: 0.001 + 0.1 * rng.random::<f64>() }
}

/// All, or at least k, of groups of causes; now and then with a gate inside.
fn gate(rng: &mut impl Rng, n: usize) -> Formula {
    let parts = 2 + rng.random_range(0..2usize);
    let of: Vec<Formula> = (0..parts)
        .map(|_| {
            let any: Vec<CauseId> = (0..n).filter(|_| rng.random::<f64>() < 0.4).map(CauseId).collect();
            let any = Formula::Any(if any.is_empty() { vec![CauseId(rng.random_range(0..n))] } else { any });
            if rng.random::<f64>() < 0.2 {
                let one = Formula::Any(vec![CauseId(rng.random_range(0..n))]);
                Formula::AtLeast { count: 2, of: vec![any, one] }
            } else {
                any
            }
        })
        .collect();
    let count = if rng.random::<f64>() < 0.5 { parts } else { 1 + rng.random_range(0..parts) };
    Formula::AtLeast { count, of }
}

fn as_json(problem: &Problem) -> Value {
    let causes: Vec<Value> = problem
        .causes
        .iter()
        .map(|c| {
            let corrections: Vec<Value> = c.corrections.iter().map(|c| json!([c.from, c.fails])).collect();
            let arrivals: Vec<Value> = c.arrivals.iter().map(|a| json!([a.from, a.chance])).collect();
            let habit = |habit: &Habit| match &habit.comes {
                Comes::Spells(awake) => json!({"weight": habit.weight, "awake": awake}),
                Comes::Moments(each_minute) => json!({"weight": habit.weight, "each_minute": each_minute}),
            };
            let habits: Vec<Value> = c.habits.iter().map(habit).collect();
            json!({"prior": c.prior, "habits": habits, "corrections": corrections, "arrivals": arrivals})
        })
        .collect();
    let observations: Vec<Value> = problem
        .observations
        .iter()
        .map(|o| {
            let events: Vec<Value> = o
                .events
                .iter()
                .map(|e| {
                    let causes: Vec<Value> = e.causes.iter().map(|(c, p)| json!([c.0, p])).collect();
                    let gates: Vec<Value> = e.gates.iter().map(|(f, p)| json!([formula(f), p])).collect();
                    json!({"causes": causes, "gates": gates, "leak": e.leak})
                })
                .collect();
            json!({"spell": o.spell, "present": o.sees == Sees::Present, "key": o.key, "minutes": o.minutes.is_finite().then_some(o.minutes), "events": events, "weights": o.weights})
        })
        .collect();
    json!({"spells": problem.spells, "causes": causes, "observations": observations})
}

fn formula(f: &Formula) -> Value {
    match f {
        Formula::Any(causes) => json!({"any": causes.iter().map(|c| c.0).collect::<Vec<_>>()}),
        Formula::AtLeast { count, of } => json!({"count": count, "of": of.iter().map(formula).collect::<Vec<_>>()}),
    }
}
