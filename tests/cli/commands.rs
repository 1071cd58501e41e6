//! Each command that asks nothing.

use crate::bench::{Bench, trees};
use std::process::Stdio;

#[test]
fn help_version_completions_and_man_are_printed() {
    let bench = Bench::new();
    bench.run(&["--help"]).code(0).says("trace").says("diagnose").says("ROUGHRUN_TREES").plainly();
    bench.run(&["--version"]).code(0).says("roughrun ");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        bench.run(&["completions", shell]).code(0).says("diagnose");
    }
    bench.run(&["man"]).code(0).says(".TH roughrun").says("resume");
    bench.run(&["man", "diagnose"]).code(0).says("evidence");
    bench.run(&["man", "juggle"]).code(2).complains("no command \"juggle\"");
}

#[test]
fn wrong_use_is_exit_code_2() {
    let bench = Bench::new();
    for args in [
        &["juggle"][..],
        &["report"],
        &["report", "X", "--format", "docx"],
        &["trace", "--at", "middle"],
        &["resume", "--plain"],
    ] {
        let run = bench.run(args).code(2).plainly();
        assert!(!run.err.is_empty() && run.out.is_empty(), "{run:?}");
    }
    bench.run(&["report", "last"]).code(2).complains("no job \"last\"");
    bench.run(&["report", "01ABC"]).code(2).complains("no job \"01ABC\"");
    bench.run(&["report", "\u{1b}[31mred"]).code(2).plainly();
}

#[test]
fn trees_are_linted() {
    let bench = Bench::new();
    bench.run(&["tree", "lint"]).code(0).says("No faults");
    bench.run(&["tree", "lint", trees().to_str().unwrap()]).code(0).says("No faults");
    let bad = bench.file("bad.yaml", "format: roughrun-tree-1\ncauses:\n  x: {titel: X}\n");
    bench.run(&["tree", "lint", &bad]).code(1).says("titel").says("bad.yaml:3:").plainly();
    let faults = bench.run(&["tree", "lint", "--json", &bad]).code(1).json();
    assert!(
        faults
            .as_array()
            .unwrap()
            .iter()
            .any(|f| f["line"] == 3 && f["mend"].as_str().is_some_and(|m| m.contains("title")))
    );
    bench.run(&["tree", "lint", "nowhere.yaml"]).code(1).says("cannot be read");
}

#[test]
fn trees_are_shown_and_drawn() {
    let bench = Bench::new();
    bench.run(&["tree", "show"]).code(0).says("four-magneto").says("lead-ohms").says("plug-fouled");
    bench.run(&["tree", "show", "lead-open"]).code(0).says("breaks inside");
    bench.run(&["tree", "show", "lead-ohms"]).code(0).says("purpose").says("take").says("mistakes").says("limit from");
    let card = bench.run(&["tree", "show", "lead-ohms", "--json"]).code(0).json();
    assert_eq!(card[0]["card"]["steps"][0], "Take the lead off.");
    assert_eq!(card[0]["card"]["source"]["mark"], "read");
    bench.run(&["tree", "sources"]).code(0).says("# Sources of the trees").says("page 3").says("Placeholders");
    let sources = bench.run(&["tree", "sources", "--json"]).code(0).json();
    assert_eq!(sources[0]["name"], "handbook");
    bench.run(&["tree", "show", "lead-opne"]).code(2).complains("Did you mean \"lead-open\"?");
    bench.run(&["tree", "show", "four-magneto"]).code(0).says("firing order");
    bench
        .run(&["tree", "show", "--layout", "six-mixed", "coil-dead"])
        .code(0)
        .says("coil-dead at ")
        .never_says("lead-open at");
    bench.run(&["tree", "show", "--layout", "five"]).code(2).complains("five");
    let summary = bench.run(&["tree", "show", "--json"]).code(0).json();
    assert!(summary["causes"].as_array().unwrap().iter().any(|c| c["name"] == "lead-open"));
    let placed = bench.run(&["tree", "show", "--layout", "four-magneto", "--json"]).code(0).json();
    assert_eq!(placed["cylinders"], 4);
    bench.run(&["tree", "graph", "--layout", "four-magneto"]).code(0).says("digraph").says("->");
    bench.run(&["tree", "graph", "--layout", "four-magneto", "--format", "svg"]).code(0).says("<svg ").says("</svg>");
    bench.run(&["tree", "graph", "--complaint", "engine-stop"]).code(2).complains("Did you mean \"engine-stops\"?");
    for (kind, format) in [
        ("tree", "roughrun-tree-1"),
        ("layout", "roughrun-layout-1"),
        ("aircraft", "roughrun-aircraft-1"),
        ("shop", "roughrun-shop-1"),
    ] {
        let schema = bench.run(&["tree", "schema", kind]).code(0).json();
        assert_eq!(schema["properties"]["format"]["const"], format);
    }
}

#[test]
fn a_reader_that_goes_away_is_no_fault() {
    let bench = Bench::new();
    let mut child = bench.command(&["tree", "graph"]).spawn().unwrap();
    drop(child.stdout.take());
    let output = child.wait_with_output().unwrap();
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}

#[cfg(target_os = "linux")]
#[test]
fn an_output_that_is_full_is_said() {
    let bench = Bench::new();
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = bench.command(&["tree", "show"]).stdout(Stdio::from(full)).output().unwrap();
    assert_eq!(output.status.code(), Some(3));
    assert!(String::from_utf8_lossy(&output.stderr).contains("could not be written"));
}

#[test]
fn folders_can_be_named_on_the_line_too() {
    let bench = Bench::new();
    let trees = trees();
    let output =
        bench.command(&["--trees", trees.to_str().unwrap(), "tree", "lint"]).env_remove("ROUGHRUN_TREES").output();
    assert_eq!(output.unwrap().status.code(), Some(0));
    bench.run(&["tree", "show", "--trees", "nowhere"]).code(1).complains("nowhere");
}

#[test]
fn the_trees_inside_the_program_work_without_any_folder() {
    let bench = Bench::new();
    let inside = |args: &[&str]| bench.command(args).env_remove("ROUGHRUN_TREES").output().unwrap();
    let linted = inside(&["tree", "lint"]);
    assert_eq!(linted.status.code(), Some(0), "{}", String::from_utf8_lossy(&linted.stdout));
    let shown = String::from_utf8(inside(&["tree", "show", "--json"]).stdout).unwrap();
    let summary: serde_json::Value = serde_json::from_str(&shown).unwrap();
    let evidence = format!("layout: {}\ncomplaint: rough-hot\n", summary["layouts"][0]["name"].as_str().unwrap());
    let path = bench.file("evidence.yaml", &evidence);
    let found = inside(&["diagnose", &path, "--json"]);
    assert_eq!(found.status.code(), Some(0), "{}", String::from_utf8_lossy(&found.stderr));
}
