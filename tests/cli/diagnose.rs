//! Evidence in, ranked causes out.

use crate::bench::Bench;
use serde_json::Value;

const ASLEEP: &str = r"
layout: four-magneto
complaint: rough-one-side at left
reported: {heat: hot}
spells:
  - conditions: {heat: cold, damp: dry}
    showing: no
    checks:
      - {check: lead-ohms, at: left 3, outcome: normal}
      - {check: plug-look, at: left 1, outcome: normal}
";

fn diagnose(bench: &Bench, evidence: &str) -> Value {
    let path = bench.file("evidence.yaml", evidence);
    bench.run(&["diagnose", &path, "--json"]).code(0).plainly().json()
}

fn cause<'a>(found: &'a Value, name: &str, at: &str) -> &'a Value {
    let causes = found["causes"].as_array().unwrap();
    causes.iter().find(|c| c["cause"] == name && c["at"] == at).unwrap()
}

fn keys(value: &Value) -> Vec<&str> {
    value.as_object().unwrap().keys().map(String::as_str).collect()
}

fn has_keys(value: &Value, wanted: &[&str]) {
    let found = keys(value);
    wanted.iter().for_each(|key| assert!(found.contains(key), "no {key} in {found:?}"));
}

#[test]
fn the_json_keeps_its_contract() {
    let bench = Bench::new();
    let found = diagnose(&bench, ASLEEP);
    let mut top = keys(&found);
    top.sort_unstable();
    assert_eq!(top, ["alike", "causes", "cautions", "left_out", "misfits", "next", "sets"]);
    let causes = found["causes"].as_array().unwrap();
    assert_eq!(causes.len(), 23, "every cause is listed");
    causes.iter().for_each(|c| has_keys(c, &["cause", "at", "title", "probability", "standing", "shown_good_by"]));
    let probabilities: Vec<f64> = causes.iter().map(|c| c["probability"].as_f64().unwrap()).collect();
    assert!(probabilities.is_sorted_by(|a, b| a >= b), "{probabilities:?}");
    assert!(cause(&found, "unknown", "engine")["probability"].as_f64().unwrap() > 0.0);
    for set in found["sets"].as_array().unwrap() {
        has_keys(set, &["causes", "probability"]);
    }
    let actions = [
        "check",
        "see-whether-it-shows",
        "provoke",
        "correct",
        "proof-run",
        "close-cured",
        "close-handed-over",
        "close-not-found",
    ];
    let next = found["next"].as_array().unwrap();
    assert!(!next.is_empty());
    for action in next {
        has_keys(action, &["action", "check", "at", "minutes", "expected_minutes", "why", "outcomes", "instead"]);
        assert!(actions.contains(&action["action"].as_str().unwrap()));
        if action["action"] == "provoke" {
            assert_eq!(action["provocation"], "warm-up");
        }
        let outcomes = action["outcomes"].as_array().unwrap();
        outcomes.iter().for_each(|o| has_keys(o, &["outcome", "probability", "then"]));
        let sum: f64 = outcomes.iter().map(|o| o["probability"].as_f64().unwrap()).sum();
        assert!(outcomes.is_empty() || (sum - 1.0).abs() < 1e-6, "{sum}");
    }
}

#[test]
fn a_pass_while_asleep_says_little_and_one_while_showing_much() {
    let bench = Bench::new();
    let asleep = diagnose(&bench, ASLEEP);
    let awake =
        diagnose(&bench, &ASLEEP.replace("cold, damp: dry", "hot, damp: dry").replace("showing: no", "showing: yes"));
    let lead = |found: &Value| cause(found, "lead-open", "left 3")["probability"].as_f64().unwrap();
    assert!(lead(&awake) < 0.6 * lead(&asleep), "{} {}", lead(&awake), lead(&asleep));
    let plug = cause(&asleep, "plug-fouled", "left 1");
    assert_eq!(plug["standing"], "shown good");
    assert_eq!(plug["shown_good_by"][0], "plug-look at left 1");
    assert_eq!(cause(&asleep, "lead-open", "left 3")["shown_good_by"].as_array().unwrap().len(), 0);
}

#[test]
fn a_cause_is_proven_corrected_and_put_right() {
    let bench = Bench::new();
    let open = ASLEEP
        .replace("    showing: no\n", "")
        .replace("outcome: normal}\n      - {check: plug-look", "reading: OL}\n      - {check: plug-look");
    let open =
        format!("{open}  - conditions: {{heat: hot}}\n    checks: [{{check: lead-ohms, at: left 3, outcome: open}}]\n");
    let found = diagnose(&bench, &open);
    assert_eq!(cause(&found, "lead-open", "left 3")["standing"], "proven");
    assert_eq!(found["next"][0]["action"], "correct", "{}", found["next"][0]);
    assert!(found["next"][0]["correction"].is_string());
    let corrected = format!("{open}    corrections:\n      - {{cause: lead-open, at: left 3}}\n");
    let found = diagnose(&bench, &corrected);
    assert!(cause(&found, "lead-open", "left 3")["probability"].as_f64().unwrap() < 0.05);
    let proven = format!("{corrected}    proof-run: {{showing: no}}\n");
    let found = diagnose(&bench, &proven);
    assert_eq!(cause(&found, "lead-open", "left 3")["standing"], "put right");
    assert_eq!(found["next"][0]["action"], "close-cured");
}

#[test]
fn a_confirmed_cause_is_certain() {
    let bench = Bench::new();
    let found = diagnose(&bench, &format!("{ASLEEP}    confirmed: [{{cause: lead-open, at: left 2}}]\n"));
    assert_eq!(found["causes"][0]["at"], "left 2");
    assert_eq!(found["causes"][0]["standing"], "proven");
}

#[test]
fn order_of_checks_does_not_matter() {
    let bench = Bench::new();
    let turned = ASLEEP
        .replace("{check: lead-ohms, at: left 3", "{check: X")
        .replace("{check: plug-look, at: left 1", "{check: lead-ohms, at: left 3");
    let turned = turned.replace("{check: X", "{check: plug-look, at: left 1");
    let (one, other) = (diagnose(&bench, ASLEEP), diagnose(&bench, &turned));
    for found in one["causes"].as_array().unwrap() {
        let same = cause(&other, found["cause"].as_str().unwrap(), found["at"].as_str().unwrap());
        let gap = found["probability"].as_f64().unwrap() - same["probability"].as_f64().unwrap();
        assert!(gap.abs() < 1e-12, "{found} {same}");
    }
}

#[test]
fn people_get_a_table() {
    let bench = Bench::new();
    let path = bench.file("evidence.yaml", ASLEEP);
    bench
        .run(&["diagnose", &path])
        .code(0)
        .says("Rough on one side, left")
        .says("Causes, the most probable first")
        .says("What to do next")
        .says("authorised")
        .never_says("airworthy")
        .plainly();
}

#[test]
fn mistakes_in_evidence_are_shown_in_their_place() {
    let bench = Bench::new();
    let replaced = |from: &str, to: &str| ASLEEP.replacen(from, to, 1);
    for (evidence, place, words) in [
        (replaced("lead-ohms", "lead-omhs"), ":9:17", "did you mean \"lead-ohms\""),
        (replaced("at: left 3", "at: left 9"), ":9:32", "left 4"),
        (replaced("at: left 3", "at: upstairs"), ":9:32", "not a site"),
        (replaced("outcome: normal", "outcome: broken"), ":9:49", "no outcome \"broken\""),
        (replaced("outcome: normal", "reading: 8.2 V"), ":9:49", "Voltage"),
        (replaced("outcome: normal", "reading: \"-4 ohm\""), ":9:49", "cannot be right"),
        (replaced("outcome: normal", "reading: [85]"), ":9:", "wrong type"),
        (replaced("left 1, outcome: normal", "left 1, reading: 85 ohm"), ":10:", "takes no reading"),
        (replaced(", outcome: normal", ""), ":9:", "neither an outcome nor a reading"),
        (replaced("showing: no", "showing: perhaps"), ":7:14", "yes, no or unknown"),
        (replaced("heat: cold", "heat: tepid"), ":6:", "cold or hot"),
        (replaced("{heat: hot}", "{heat: boiling}"), ":4:", "cold or hot"),
        (replaced("rough-one-side at left", "rough-one-side"), ":3:12", "several sites"),
        (replaced("rough-one-side at left", "rough-one-sied at left"), ":3:12", "rough-one-side"),
        (replaced("layout: four-magneto", "layout: four-magnetos"), ":2:9", "four-magneto"),
        (replaced("layout: four-magneto\n", ""), ":2:", "names no layout"),
        (replaced("spells:", "spels:"), ":5:1", "spells"),
        (replaced("reported:", "window-hours: -3\nreported:"), ":4:15", "outside 0 to 5,000"),
        (replaced("reported:", "disturbed: [horn at left 2]\nreported:"), ":4:", "no part or cause \"horn\""),
        (replaced("reported:", "aircraft: nowhere.yaml\nreported:"), ":4:11", "cannot be read"),
        (format!("{ASLEEP}    corrections: [{{cause: lead-opne, at: left 3}}]\n"), ":11:27", "lead-open"),
        (format!("{ASLEEP}    corrections: [{{at: left 3}}]\n"), ":11:", "either a cause or a correction"),
        (format!("{ASLEEP}    proof-run: {{showing: unknown}}\n"), ":11:26", "yes if the complaint showed"),
        (format!("{ASLEEP}layout: six-mixed\n"), ":11:1", "twice"),
        ("layout: &a x\n".to_owned(), ":1:", "anchor"),
        ("[\n".to_owned(), "", "not YAML"),
        (String::new(), "", "empty"),
    ] {
        let path = bench.file("evidence.yaml", &evidence);
        let run = bench.run(&["diagnose", &path, "--json"]).plainly();
        assert_eq!(run.code, Some(1), "{evidence}\n{run:#?}");
        assert!(run.out.is_empty(), "{run:?}");
        let lower = run.err.to_lowercase();
        assert!(run.err.contains(&format!("evidence.yaml{place}")), "{place} for\n{evidence}\n{}", run.err);
        assert!(lower.contains(&words.to_lowercase()), "{words} for\n{evidence}\n{}", run.err);
        assert!(place.is_empty() || run.err.contains("help: "), "{}", run.err);
    }
    bench.run(&["diagnose", "nowhere.yaml"]).code(1).complains("cannot be read");
    bench.run(&["diagnose", "."]).code(1).complains("not an ordinary file");
}

/// Evidence of the engine with two magnetos, rough on the left, with these lines about work before the job.
fn worked_on(work: &str) -> String {
    format!("layout: four-two-magnetos\ncomplaint: rough-one-side at left\n{work}")
}

#[test]
fn work_before_the_job_counts_by_its_kind_in_new_evidence_and_in_old() {
    let bench = Bench::shipped();
    let of = |work: &str| diagnose(&bench, &worked_on(work));
    let probability = |found: &Value, name: &str, at: &str| cause(found, name, at)["probability"].as_f64().unwrap();
    let plain = of("");
    assert_eq!(of("recent-work: nothing\n")["causes"], plain["causes"]);
    assert_eq!(of("recent-work: not-known\n")["causes"], plain["causes"]);
    let leads = of("recent-work:\n  - {work: leads-off, at: left}\n");
    assert!(probability(&leads, "leads-crossed", "left") > 5.0 * probability(&plain, "leads-crossed", "left"));
    assert!(probability(&leads, "plug-glazed", "left 3") < probability(&plain, "plug-glazed", "left 3"));
    // A part is taken for the kinds of work on it; a cause, and a part without any, keeps the factor.
    assert_eq!(of("disturbed: [lead at left]\n")["causes"], leads["causes"]);
    let by_cause = of("disturbed: [leads-crossed at left]\n");
    let (before, after) =
        (probability(&plain, "leads-crossed", "left"), probability(&by_cause, "leads-crossed", "left"));
    assert!(after > 4.0 * before && after < 5.0 * before, "{before} {after}");
    let path = bench.file("evidence.yaml", &worked_on("recent-work: [{work: leads-off, at: left 3}]\n"));
    bench.run(&["diagnose", &path]).code(0).says("Worked on before: leads or harness off and refitted, left 3 upper");
}

#[test]
fn mistakes_about_work_before_the_job_are_shown_in_their_place() {
    let bench = Bench::shipped();
    for (work, place, words) in [
        ("recent-work: some\n", ":3:14", "does not say what was worked on"),
        ("recent-work: [{work: plugs-oot, at: left}]\n", ":3:22", "did you mean \"plugs-out\""),
        ("recent-work: [{work: points-set, at: cylinder 2}]\n", ":3:38", "it is at engine, left, right"),
        ("recent-work: [{work: points-set, at: aft}]\n", ":3:38", "not a site"),
        ("recent-work: [{work: points-set}]\n", ":3:", "\"at\" is missing"),
        ("recent-work: [{work: points-set, at: left, chance: 1}]\n", ":3:", "no field \"chance\""),
        ("recent-work: {work: points-set, at: left}\n", ":3:", "nothing, not-known, or a list"),
        ("recent-work: nothing\ndisturbed: [plug at left]\n", ":3:", "said twice"),
    ] {
        let path = bench.file("evidence.yaml", &worked_on(work));
        let run = bench.run(&["diagnose", &path, "--json"]).plainly();
        assert_eq!(run.code, Some(1), "{work}{run:#?}");
        assert!(run.err.contains(&format!("evidence.yaml{place}")), "{place} for\n{work}\n{}", run.err);
        assert!(run.err.contains(words), "{words} for\n{work}\n{}", run.err);
    }
}
