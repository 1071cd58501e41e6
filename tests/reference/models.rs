//! Writes small random models with our posterior of each as JSON lines, for `check.py` to work out again with a general-purpose
//! Bayesian-network library. Every feature of the model occurs: gates of every kind, shared effects, several outcomes tried
//! in order, spells with waking causes, habits mixed over, corrections that may not cure, repeated checks, and readings too
//! close to call.

use std::io::Write;

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::belief::{CauseInput, Corrected, Event, Extent, Observation, Problem, infer};
use roughrun::model::{CauseId, Formula, Sees};
use serde_json::{Value, json};

fn main() -> std::io::Result<()> {
    let models: u64 = std::env::args().nth(1).and_then(|n| n.parse().ok()).unwrap_or(240);
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for seed in 0..models {
        let problem = draw(&mut ChaCha8Rng::seed_from_u64(seed), seed);
        let found = infer(&problem, Extent { most: 4000, share: 1.0 });
        let beliefs: Vec<Value> = found.causes.iter().map(|b| json!([b.present, b.awake, b.ever])).collect();
        let line = json!({
            "seed": seed, "problem": as_json(&problem), "log_evidence": found.log_evidence, "beliefs": beliefs,
            "left_out": found.left_out,
        });
        writeln!(out, "{line}")?;
    }
    out.flush()
}

fn draw(rng: &mut impl Rng, seed: u64) -> Problem {
    let spells = 1 + (seed % 3) as usize;
    let n = 2 + rng.random_range(0..4);
    let chance = |rng: &mut dyn FnMut() -> f64| if rng() < 0.2 { 1.0 } else { 0.05 + 0.9 * rng() };
    let causes = (0..n)
        .map(|_| {
            let habits = 1 + rng.random_range(0..3usize) / 2 * 2;
            CauseInput {
                prior: 0.01 + 0.5 * rng.random::<f64>(),
                habits: (0..habits).map(|_| (0..spells).map(|_| chance(&mut || rng.random())).collect()).collect(),
                corrections: (0..rng.random_range(0..3usize).min(spells - 1))
                    .map(|_| Corrected { from: rng.random_range(1..spells), fails: 0.5 * rng.random::<f64>() })
                    .collect(),
            }
        })
        .map(|mut c| {
            c.corrections.sort_by_key(|c| c.from);
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
            json!({"prior": c.prior, "habits": c.habits, "corrections": corrections})
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
            json!({"spell": o.spell, "present": o.sees == Sees::Present, "key": o.key, "events": events, "weights": o.weights})
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
