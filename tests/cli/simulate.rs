//! `tree simulate`: the figures it prints, the same for the same seed.

use serde_json::Value;

use super::bench::Bench;

const SIMULATE: [&str; 8] = ["tree", "simulate", "--jobs", "12", "--seed", "3", "--layout", "four-magneto"];

#[test]
fn figures_for_programs_are_the_same_for_the_same_seed() {
    let bench = Bench::new();
    let args: Vec<&str> = SIMULATE.into_iter().chain(["--json"]).collect();
    let first = bench.run(&args).code(0);
    assert_eq!(first.err, "", "no progress bar where standard error is no terminal");
    let value: Value = serde_json::from_str(&first.out).unwrap();
    assert_eq!(value["jobs"], 12);
    for policy in ["planner", "fixed-order", "most-probable-first", "pass-clears"] {
        let figures = &value["policies"][policy];
        for key in ["minutes_mean", "minutes_median", "minutes_p90", "checks_mean", "good_parts"] {
            assert!(figures[key].as_f64().unwrap() >= 0.0, "{policy} {key}");
        }
        for key in ["unresolved", "written_off_wrongly"] {
            assert!((0.0..=1.0).contains(&figures[key].as_f64().unwrap()), "{policy} {key}");
        }
    }
    assert!(value["small_trees"]["trees"].as_u64().unwrap() >= 100);
    assert!(value["small_trees"]["ratio_mean"].as_f64().unwrap() >= 1.0);
    assert_eq!(bench.run(&args).code(0).out, first.out);
}

#[test]
fn each_job_is_written_where_asked() {
    let bench = Bench::new();
    let args: Vec<&str> = SIMULATE.into_iter().chain(["--each", "jobs.jsonl"]).collect();
    let run = bench.run(&args).code(0);
    assert!(run.out.contains("12 jobs, seed 3, on four-magneto"), "{}", run.out);
    let text = std::fs::read_to_string(bench.folder.path().join("jobs.jsonl")).unwrap();
    let jobs: Vec<Value> = text.lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert_eq!(jobs.len(), 12);
    assert!(jobs.iter().all(|job| !job["faults"].as_array().unwrap().is_empty()));
}

#[test]
fn wrong_use_says_what_to_do() {
    let bench = Bench::new();
    let args = ["tree", "simulate", "--jobs", "1", "--complaint", "rough-one-sde"];
    let run = bench.run(&args).code(2);
    assert!(run.err.contains("Did you mean \"rough-one-side\"?"), "{}", run.err);
    bench.run(&["tree", "simulate", "--jobs", "0"]).code(2);
    bench.run(&["tree", "simulate", "--jobs", "1", "--layout", "no-such"]).code(2);
}
