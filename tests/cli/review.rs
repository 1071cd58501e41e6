//! `roughrun review list` and `roughrun review figures` on real records.

use std::path::Path;

use serde_json::Value;

use super::bench::{Bench, Run};

/// Runs a command on the shipped demo records, with the shipped trees.
fn on_demos(bench: &Bench, args: &[&str]) -> Run {
    let sessions = Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions");
    let mut args = args.to_vec();
    args.push(sessions.to_str().unwrap());
    let output = bench.command(&args).env_remove("ROUGHRUN_TREES").output().unwrap();
    Run::of(&args, &output)
}

#[test]
fn records_are_listed_searched_and_worked_out() {
    let bench = Bench::new();
    on_demos(&bench, &["review", "list"]).code(0).plainly().says("3 records.").says("ZZ-TRY: Rough on one side, left");
    on_demos(&bench, &["review", "list", "--state", "not-cured"]).code(0).says("1 of 3 records.").says("handed over");
    on_demos(&bench, &["review", "list", "--search", "mechanic:\"b. demo\""]).code(0).says("1 of 3 records.");
    let run = on_demos(&bench, &["review", "list", "--worked", "--json", "--search", "cause:lead-open,lead"]).code(0);
    let list: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!((list["format"].as_str(), list["records"].as_u64()), (Some("roughrun-list-1"), Some(3)));
    let row = &list["rows"][0];
    assert_eq!((row["state"].as_str(), row["purpose"].as_str()), (Some("cured-proven"), Some("demo")));
    let minutes = row["worked"]["minutes"].as_f64().unwrap();
    assert!(minutes > 0.0);
    let proven = row["worked"]["proven"][0].as_str().unwrap();
    assert!(proven.starts_with("lead open, left"), "{proven}");
    // The index has it now: nothing is worked out anew.
    on_demos(&bench, &["review", "list"]).code(0).says("inferred: lead open").says(&format!("{minutes:.0} min"));
    on_demos(&bench, &["review", "list", "--state", "curd"]).code(2).complains("cured");
    on_demos(&bench, &["review", "list", "--search", "minutes:soon"]).code(2).complains(">120");
}

#[test]
fn figures_list_and_export_keep_to_days_and_aircraft_and_say_so() {
    let bench = Bench::new();
    let aside = "other jobs are left aside.";
    on_demos(&bench, &["review", "list", "--aircraft", "zz-try"])
        .code(0)
        .says("1 of 3 records.")
        .says("Only jobs on zz-try; 2 other jobs are left aside.");
    // A part of a registration is none.
    on_demos(&bench, &["review", "list", "--aircraft", "ZZ"]).code(0).says("0 of 3 records.");
    let run = on_demos(&bench, &["review", "list", "--json", "--aircraft", "ZZ-TRY,ZZ-OWL"]).code(0);
    let list: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!((list["rows"].as_array().unwrap().len(), list["filter"]["left_aside"].as_u64()), (2, Some(1)));
    // The days of the demo records, as the list has them.
    let run = on_demos(&bench, &["review", "list", "--json"]).code(0);
    let list: Value = serde_json::from_str(&run.out).unwrap();
    let opened: Vec<String> =
        list["rows"].as_array().unwrap().iter().map(|r| r["opened"].as_str().unwrap()[..10].into()).collect();
    for day in &opened {
        for (flag, wanted) in [
            ("--from", opened.iter().filter(|o| *o >= day).count()),
            ("--to", opened.iter().filter(|o| *o <= day).count()),
        ] {
            let args = ["review", "figures", "--practice", "--format", "json", flag, day];
            let json: Value = serde_json::from_str(&on_demos(&bench, &args).code(0).out).unwrap();
            let left = json["figures"]["filter"]["left_aside"].as_u64().unwrap();
            assert_eq!((json["jobs"].as_u64().unwrap(), left), (wanted as u64, 3 - wanted as u64), "{flag} {day}");
        }
    }
    on_demos(&bench, &["review", "figures", "--practice", "--to", "2020"]).code(0).says("0 jobs.").says(aside);
    // Jobs of no purpose that was asked for are not counted as left aside.
    on_demos(&bench, &["review", "figures", "--to", "2020"]).code(0).says("0 other jobs are left aside.");
    let to = bench.folder.path().join("tables");
    on_demos(&bench, &["review", "export", "--practice", "--aircraft", "ZZ-GNU", to.to_str().unwrap()])
        .code(0)
        .says("1 job of 1 month is in")
        .says("Only jobs on ZZ-GNU; 2 other jobs are left aside.");
    for (args, says) in [
        (["--from", "2026-13"], "--from 2026-13 is not a date"),
        (["--to", "2026-02-30"], "--to 2026-02-30 is not a date"),
        (["--from", "soon"], "2026-11-25"),
    ] {
        for command in ["list", "figures"] {
            on_demos(&bench, &["review", command, args[0], args[1]]).code(2).complains(says);
        }
    }
    on_demos(&bench, &["review", "list", "--from", "2026-11", "--to", "2026-10-31"]).code(2).complains("comes after");
    on_demos(&bench, &["review", "list", "--from", "2026-11-30", "--to", "2026-11"]).code(0);
}

#[test]
fn a_folder_that_is_not_there_is_said() {
    let bench = Bench::new();
    for command in ["list", "figures"] {
        bench.run(&["review", command, "/not/there"]).code(3).complains("/not/there");
        let empty = bench.folder.path().join("empty");
        std::fs::create_dir_all(&empty).unwrap();
        bench.run(&["review", command, empty.to_str().unwrap()]).code(0).plainly();
    }
}

#[test]
fn figures_leave_practice_out_unless_asked() {
    let bench = Bench::new();
    on_demos(&bench, &["review", "figures"])
        .code(0)
        .plainly()
        .says("0 jobs.")
        .says("3 practice and demonstration jobs");
    let run = on_demos(&bench, &["review", "figures", "--practice"]).code(0).plainly();
    let run = run.says("3 jobs.").says("lead open").says("Never changed anything");
    assert!(!run.out.contains("By mechanic"), "{}", run.out);
    assert!(run.out.lines().all(|line| line.chars().count() <= 80), "{}", run.out);
    let plain = on_demos(&bench, &["review", "figures", "--practice", "--by-mechanic", "--ascii"]).code(0);
    assert!(plain.says("By mechanic").says("A. Demo").out.is_ascii());
    let run = on_demos(&bench, &["review", "figures", "--practice", "--format", "json"]).code(0);
    let json: Value = serde_json::from_str(&run.out).unwrap();
    assert_eq!((json["jobs"].as_u64(), json["figures"]["states"]["cured-proven"].as_u64()), (Some(3), Some(2)));
    assert!(json["figures"]["mechanics"].is_null());
}

#[test]
fn the_page_of_figures_is_written_whole() {
    let bench = Bench::new();
    let page = bench.folder.path().join("figures.html");
    let args = ["review", "figures", "--practice", "--by-mechanic", "--format", "html", "-o", page.to_str().unwrap()];
    on_demos(&bench, &args).code(0);
    let html = std::fs::read_to_string(&page).unwrap();
    assert!(html.starts_with("<!DOCTYPE html>") && html.ends_with("</html>\n"));
    assert!(html.matches("<svg ").count() >= 4 && html.matches("<svg ").count() == html.matches("</svg>").count());
    let lower = html.to_lowercase();
    for outside in ["<script", "javascript:", " onload", " onclick", "https://", "<link", "<img", "url(", "@import"] {
        assert!(!lower.contains(outside), "{outside}");
    }
    // The name of the drawings' own language is the only address.
    assert_eq!(lower.matches("http://").count(), lower.matches("http://www.w3.org/2000/svg").count());
    on_demos(&bench, &["review", "figures", "--format", "html", "-o", "/not/there/x.html"])
        .code(3)
        .complains("cannot be written");
}
