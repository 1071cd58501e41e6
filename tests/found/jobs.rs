//! Draws random jobs and writes, as JSON lines, what each says was found, put right unseen and shown good, what is known of the parts that came
//! off, and how it can end, beside the
//! facts of the engine and the entries, for `check.py` to count again.
//!
//! `cargo run --profile test --example found_jobs [JOBS] [SEED]`: of ten jobs nine are on the small trees of the tests, one on a shipped engine.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../laws_support/mod.rs"]
mod laws_support;

use std::io::Write as _;
use std::path::Path;
use std::sync::Arc;

use laws_support::{Draw, engines, entries, numbered};
use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use rayon::prelude::*;
use roughrun::analysis::{Analysis, Finding, Found, STILL_LIKELY, Standing, replaced};
use roughrun::job::{Answer, Ending, Entry, Given, Job, Logged};
use roughrun::model::{CauseId, CorrectionKind, Mode, Model, Sees, Site, Trigger};
use roughrun::trees::Library;
use serde_json::{Value, json};

/// Figures typed at random: open, none, and every few powers of ten.
const TYPED: [&str; 9] = ["OL", "0", "0.2", "1", "8", "70", "900", "12000", "5000000"];

fn main() -> std::io::Result<()> {
    let mut arguments = std::env::args().skip(1).map(|a| a.parse::<usize>().expect("a number"));
    let jobs = arguments.next().unwrap_or(10_000);
    let seed = arguments.next().unwrap_or(1) as u64;
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/plain");
    let small = Library::load(&folder).expect("the trees of the tests are sound");
    let small = small.layouts().iter().map(|l| (l.layout.name.clone(), Arc::new(small.expand(l).expect("expands"))));
    let small: Vec<(String, Arc<Model>)> = small.collect();
    let shipped = engines();
    let models: Vec<&(String, Arc<Model>)> = small.iter().chain(&shipped).collect();
    let mut out = std::io::BufWriter::new(std::io::stdout().lock());
    for (number, (name, model)) in models.iter().enumerate() {
        writeln!(out, "{}", facts(number, name, model))?;
    }
    let draw = |at: usize| {
        let mut rng = ChaCha8Rng::seed_from_u64(seed.wrapping_mul(1_000_003) + at as u64);
        let number = if at % 10 == 9 { small.len() + at / 10 % shipped.len() } else { at % small.len() };
        let job = random_job(&mut rng, &models[number].1);
        told(number, &Analysis::of(job)).to_string()
    };
    for from in (0..jobs).step_by(500) {
        let lines: Vec<String> = (from..(from + 500).min(jobs)).into_par_iter().map(draw).collect();
        for line in lines {
            writeln!(out, "{line}")?;
        }
    }
    out.flush()
}

/// A job of a few entries; where a check takes a reading, half of its answers are readings.
fn random_job(rng: &mut ChaCha8Rng, model: &Arc<Model>) -> Job {
    let count = rng.random_range(2..=14);
    let draws: Vec<Draw> = (0..count).map(|_| (rng.random(), rng.random(), rng.random())).collect();
    let all = entries(model, rng.random_range(0..1000), &draws, 45);
    let mut log: Vec<Logged> = Vec::new();
    // By the rule of today half of the time: then work can bring what was shown good.
    let follows = rng.random_bool(0.5);
    for Logged { number, when, mut entry } in numbered(all) {
        if let Entry::Opened(opening) = &mut entry {
            opening.follows_engine = follows;
        }
        if let Entry::Answer(answer) = &mut entry {
            answer.looks_so = rng.random_bool(0.1);
        }
        let read = reading(rng, model, &entry).map(|entry| Logged { number, when: when.clone(), entry });
        let with = |logged: Logged| log.iter().cloned().chain([logged]).collect::<Vec<_>>();
        let read = read.map(with).filter(|log| Job::replay(Arc::clone(model), log.clone()).is_ok());
        log = read.unwrap_or_else(|| with(Logged { number, when, entry }));
    }
    Job::replay(Arc::clone(model), log).unwrap_or_else(|(n, why)| panic!("entry {n}: {why}"))
}

fn reading(rng: &mut impl Rng, model: &Model, entry: &Entry) -> Option<Entry> {
    let Entry::Answer(answer) = entry else { return None };
    let id = model.find_check(&answer.check, answer.at)?;
    model[id].limit?;
    let typed = rng.random_bool(0.5).then(|| TYPED[rng.random_range(0..TYPED.len())])?;
    let as_typed = rng.random_bool(0.5);
    Some(Entry::Answer(Answer { as_typed, ..Answer::reading(&answer.check, answer.at, typed) }))
}

fn ids(causes: &[CauseId]) -> Vec<usize> {
    causes.iter().map(|id| id.0).collect()
}

/// What the recount has to know of an engine.
fn facts(number: usize, name: &str, model: &Model) -> Value {
    let checks: Vec<Value> = model.checks.iter().map(|check| {
        let outcomes: Vec<Value> = check.outcomes.iter().map(|outcome| {
            let causes: Vec<(usize, f64)> = outcome.event.causes.iter().map(|(id, chance)| (id.0, *chance)).collect();
            json!({"name": outcome.name, "causes": causes, "gates": outcome.event.gates.len(), "proves": outcome.proves})
        }).collect();
        json!({"name": check.name, "at": check.site.to_string(), "swap": matches!(check.site, Site::Pair(_)),
            "at_the_part": matches!(check.manner.engine, Mode::AtRest | Mode::Turned), "reads": check.limit.is_some(),
            "minutes": check.minutes, "present": check.sees == Sees::Present, "runs": check.manner.engine.runs(), "outcomes": outcomes})
    }).collect();
    let causes: Vec<Value> = model
        .causes
        .iter()
        .map(|cause| {
            let trigger = |(trigger, weight): &(Trigger, f64)| match trigger {
                Trigger::Steady => json!({"weight": weight, "steady": true}),
                Trigger::Level { condition, levels } => {
                    json!({"weight": weight, "condition": condition, "levels": levels})
                }
                Trigger::AtTimes(chance) => json!({"weight": weight, "at_times": chance}),
                Trigger::Moments(each_minute) => json!({"weight": weight, "each_minute": each_minute}),
            };
            let triggers: Vec<Value> = cause.waking.triggers().iter().map(trigger).collect();
            json!({"name": cause.name, "at": cause.site.to_string(), "triggers": triggers})
        })
        .collect();
    let corrections: Vec<Value> = model
        .corrections
        .iter()
        .map(|correction| {
            json!({"name": correction.name, "at": correction.site.to_string(), "cures": ids(&correction.cures),
            "hands_over": correction.kind == CorrectionKind::HandOver, "spends": correction.kind.spends_part()})
        })
        .collect();
    json!({"engine": number, "name": name, "checks": checks, "causes": causes, "corrections": corrections,
        "unknown": model.unknown().0})
}

/// A job: its entries, what the fold and the belief say of them, and what was found.
fn told(number: usize, job: &Analysis) -> Value {
    let (model, state) = (job.model(), job.state());
    let found = Found::of(job);
    let entries: Vec<Value> = job
        .log()
        .iter()
        .map(|l| {
            let entry = serde_json::to_value(&l.entry).expect("an entry is JSON");
            json!({"n": l.number, "kind": entry["kind"], "body": entry["body"]})
        })
        .collect();
    // What a limit says of a reading, and in which spell an answer was given, are facts of the fold.
    let answers: Vec<Value> = state
        .given
        .iter()
        .map(|given: &Given| {
            let judged = given.judged.as_ref().map(|judged| {
                let weights = judged.as_ref().map(|judged| judged.weights.clone()).unwrap_or_default();
                // Where its unit may have slipped, it may be ordinary too.
                let slipped = given.slip.map(|_| ("normal".to_owned(), 1.0));
                let may_be = weights.into_iter().chain(slipped).filter(|(_, weight)| *weight > 0.0);
                may_be.map(|(name, _)| name).collect::<Vec<_>>()
            });
            json!({"n": given.number, "spell": given.spell, "judged": judged})
        })
        .collect();
    let spells: Vec<&Vec<usize>> = state.spells.iter().map(|spell| &spell.conditions.0).collect();
    let upset: Vec<(usize, usize)> = state.upset.iter().map(|(from, id)| (*from, id.0)).collect();
    let all = || (0..model.causes.len()).map(CauseId);
    let settled = |id: &CauseId| matches!(job.standing(*id), Standing::Proven | Standing::PutRight);
    let faint = all().filter(|id| job.belief(*id).ever < STILL_LIKELY && !settled(id)).map(|id| id.0);
    let finding = |f: &Finding| json!({"entry": f.number, "by": f.by, "causes": ids(&f.causes)});
    let borne_out: serde_json::Map<String, Value> =
        Ending::ALL.into_iter().map(|how| (how.name().to_owned(), json!(state.borne_out(model, how).name()))).collect();
    let settled_at =
        |standing: &Standing| all().filter(|id| job.standing(*id) == *standing).map(|id| id.0).collect::<Vec<_>>();
    let ever: Vec<f64> = all().map(|id| job.belief(id).ever).collect();
    let off = replaced(job);
    let chance: Vec<f64> = off
        .iter()
        .map(|part| 1.0 - model[part.done.correction].cures.iter().map(|id| 1.0 - ever[id.0]).product::<f64>())
        .collect();
    let off: Vec<Value> = off
        .iter()
        .map(|part| json!({"entry": part.done.number, "was": part.was.name(), "by": part.was.entry()}))
        .collect();
    // What is owed and live is the work's own reckoning, which `work_laws` holds.
    let stands = !state.keeps_open(model).is_empty();
    let reported = roughrun::job::levels_of(model, &state.reported);
    let runs: Vec<_> =
        state.runs_to_make().into_iter().map(|(_, under)| roughrun::job::levels_of(model, under)).collect();
    json!({"job": number, "reported": reported, "runs": runs, "borne_out": borne_out, "stands": stands, "entries": entries, "answers": answers, "spells": spells, "upset": upset,
        "faint": faint.collect::<Vec<_>>(), "left_out": job.posterior().error,
        "settled": settled_at(&Standing::Proven), "put_right": settled_at(&Standing::PutRight), "passed": state.proof_passed(),
        "chance": chance, "replaced": off,
        "found": found.found.iter().map(finding).collect::<Vec<_>>(),
        "replaced_unseen": found.replaced_unseen.iter().map(|done| done.number).collect::<Vec<_>>(),
        "shown_good": found.shown_good.iter().map(|good| json!({"entry": good.number, "causes": ids(&good.causes)})).collect::<Vec<_>>()})
}
