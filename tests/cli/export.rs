//! `roughrun review export`: the tables of real records, hostile texts among them, and folders that are left alone.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::bench::{Bench, Run};

const TABLES: [&str; 6] = ["jobs", "entries", "readings", "causes", "parts", "replaced"];
const HOSTILE: &str = "=HYPERLINK(\"http://x\"),\u{202e}\u{7}";

/// A job with a look that finds it, a cure and its proof run; the mechanic's name is hostile.
fn worked(bench: &Bench) -> String {
    let args = [
        "trace",
        "--plain",
        "--layout",
        "four-magneto",
        "--complaint",
        "rough-one-side",
        "--at",
        "left",
        "--mechanic",
        HOSTILE,
    ];
    // Conditions by Enter; the pilot's words.
    bench.typed(&args, "\n\n@rough \"hot\"\nnote -1+1\nundo\nquit\n").job()
}

fn files(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    let mut open = vec![folder.to_owned()];
    while let Some(at) = open.pop() {
        for item in std::fs::read_dir(&at).into_iter().flatten().flatten() {
            if item.path().is_dir() { open.push(item.path()) } else { found.push(item.path()) }
        }
    }
    found.sort();
    found
}

/// The rows of a table, over all months, as each of the two forms has them.
fn rows(folder: &Path, table: &str) -> (Vec<BTreeMap<String, String>>, Vec<Value>) {
    let (mut sheet, mut lines) = (Vec::new(), Vec::new());
    for path in files(folder) {
        match path.file_name().unwrap().to_str().unwrap() {
            name if name == format!("{table}.csv") => {
                let mut reader = csv::Reader::from_path(&path).unwrap();
                sheet.extend(reader.deserialize().map(Result::unwrap));
            }
            name if name == format!("{table}.jsonl") => {
                let text = std::fs::read_to_string(&path).unwrap();
                lines.extend(text.lines().map(|line| serde_json::from_str::<Value>(line).unwrap()));
            }
            _ => {}
        }
    }
    (sheet, lines)
}

#[test]
fn records_become_tables_by_month() {
    let bench = Bench::new();
    let id = worked(&bench);
    let to = bench.folder.path().join("tables");
    bench.run(&["review", "export", to.to_str().unwrap()]).code(0).plainly().says("1 job of 1 month is in");
    let found = files(&to);
    // Beside the tables, the schema and the views of two engines.
    assert_eq!(found.len(), 2 * TABLES.len() + 3, "{found:?}");
    for table in TABLES {
        for form in ["csv", "jsonl"] {
            let place = found.iter().find(|p| p.ends_with(format!("{table}.{form}"))).unwrap();
            let inside = place.strip_prefix(&to).unwrap().to_str().unwrap().to_owned();
            let parts: Vec<&str> = inside.split('/').collect();
            assert_eq!(parts[..2], [form, table]);
            assert!(
                parts[2].starts_with("year=20") && parts[3].starts_with("month=") && parts[3].len() == 8,
                "{inside}"
            );
        }
        // Both forms hold the same rows.
        let (sheet, lines) = rows(&to, table);
        assert_eq!(sheet.len(), lines.len(), "{table}");
        for (cells, values) in sheet.iter().zip(&lines) {
            for (column, cell) in cells {
                let value = match &values[column.as_str()] {
                    Value::Null => String::new(),
                    Value::String(text) => text.clone(),
                    other => other.to_string(),
                };
                let cell = cell.strip_prefix('\'').unwrap_or(cell);
                let same = cell == value
                    || cell
                        .parse::<f64>()
                        .ok()
                        .zip(value.parse::<f64>().ok())
                        .is_some_and(|(a, b)| (a - b).abs() <= f64::EPSILON * a.abs());
                assert!(same, "{table}.{column}: {cell} and {value}");
            }
        }
    }
    let (jobs, _) = rows(&to, "jobs");
    assert_eq!((jobs[0]["job"].as_str(), jobs[0]["purpose"].as_str()), (id.as_str(), "work"));
    assert_eq!(jobs[0]["complaint_at"], "left");
    let planned: f64 = jobs[0]["planned_minutes"].parse().unwrap();
    assert!(planned > 0.0);
}

#[test]
fn nothing_in_the_tables_runs_or_steers() {
    let bench = Bench::new();
    worked(&bench);
    let to = bench.folder.path().join("tables");
    bench.run(&["review", "export", to.to_str().unwrap()]).code(0).plainly();
    let (jobs, lines) = rows(&to, "jobs");
    assert!(jobs[0]["mechanic"].starts_with("'=HYPERLINK"), "{:?}", jobs[0]);
    assert!(lines[0]["mechanic"].as_str().unwrap().starts_with("=HYPERLINK"));
    for path in files(&to) {
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(!text.chars().any(|c| roughrun::text::is_hidden(c) && c != '\n'), "{}", path.display());
    }
    for table in TABLES {
        for cell in rows(&to, table).0.iter().flat_map(BTreeMap::values) {
            let runs = cell.trim_start().starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
            assert!(!runs, "{table}: {cell}");
        }
    }
}

#[test]
fn a_damaged_record_is_exported_as_far_as_it_can_be_read() {
    let bench = Bench::new();
    worked(&bench);
    let broken = &bench.record_files()[0];
    let text = std::fs::read_to_string(broken).unwrap();
    std::fs::write(broken, text.replace("rough-one-side", "rough-one-sidf")).unwrap();
    let whole = worked(&bench);
    let to = bench.folder.path().join("tables");
    let run = bench.run(&["review", "export", to.to_str().unwrap()]).code(0).plainly().says("2 jobs");
    assert!(!run.err.is_empty());
    let (_, jobs) = rows(&to, "jobs");
    let unread: Vec<&Value> = jobs.iter().filter(|j| j["state"] == "unread").collect();
    assert_eq!(unread.len(), 1);
    assert!(!unread[0]["trouble"].as_str().unwrap().is_empty());
    assert!(jobs.iter().any(|j| j["job"] == whole.as_str() && j["state"] == "open" && j["trouble"].is_null()));
}

#[test]
fn demo_jobs_are_marked() {
    let bench = Bench::new();
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let to = bench.folder.path().join("tables");
    let sessions = root.join("sessions");
    let without = bench.folder.path().join("without");
    let args = ["review", "export", without.to_str().unwrap(), sessions.to_str().unwrap()];
    let output = bench.command(&args).env_remove("ROUGHRUN_TREES").output().unwrap();
    Run::of(&args, &output).code(0).says("0 jobs of 0 months");
    let args = ["review", "export", "--practice", to.to_str().unwrap(), sessions.to_str().unwrap()];
    let output = bench.command(&args).env_remove("ROUGHRUN_TREES").output().unwrap();
    Run::of(&args, &output).code(0).says("3 jobs of 1 month are in");
    let (_, jobs) = rows(&to, "jobs");
    assert!(jobs.iter().all(|j| j["purpose"] == "demo" && j["trouble"].is_null()), "{jobs:?}");
    let states: Vec<&str> = jobs.iter().map(|j| j["state"].as_str().unwrap()).collect();
    assert_eq!(states, ["cured-proven", "cured-proven", "handed-over"]);
    let (_, causes) = rows(&to, "causes");
    let found = |cause: &str, standing: &str| causes.iter().any(|c| c["cause"] == cause && c["standing"] == standing);
    assert!(found("lead-open", "put right") && found("el-coil-open", "put right"), "{causes:?}");
    // Handed over on what falls away on both: nobody looked at a nozzle, so none is said to be found.
    assert!(!causes.iter().any(|c| c["cause"] == "nozzle-blocked"), "{causes:?}");
    // What one correction cured counts as one fault.
    let mut shares: BTreeMap<String, f64> = BTreeMap::new();
    for cause in causes.iter().filter(|c| !c["corrected_entry"].is_null()) {
        *shares.entry(format!("{} {}", cause["job"], cause["corrected_entry"])).or_default() +=
            cause["share"].as_f64().unwrap();
    }
    assert!(shares.len() >= 2 && shares.values().all(|sum| (sum - 1.0).abs() < 1e-9), "{shares:?}");
    let (_, readings) = rows(&to, "readings");
    assert!(readings.iter().all(|r| (0.0..=1.0).contains(&r["moved"].as_f64().unwrap())));
    assert!(readings.iter().any(|r| r["leader_changed"] == true));
}

#[test]
fn a_folder_with_something_in_it_is_left_alone() {
    let bench = Bench::new();
    worked(&bench);
    let to = bench.folder.path().join("tables");
    std::fs::create_dir(&to).unwrap();
    bench.run(&["review", "export", to.to_str().unwrap()]).code(0);
    let before = files(&to);
    bench.run(&["review", "export", to.to_str().unwrap()]).code(2).complains("not an empty folder");
    assert_eq!(files(&to), before);
    let nowhere = bench.folder.path().join("not/there/tables");
    std::fs::write(bench.folder.path().join("not"), "a file").unwrap();
    bench.run(&["review", "export", nowhere.to_str().unwrap()]).code(3);
    let inside = bench.records().join("tables");
    bench.run(&["review", "export", inside.to_str().unwrap()]).code(2).complains("among the records");
    let left: Vec<_> = std::fs::read_dir(bench.folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert!(!left.iter().any(|name| name.to_string_lossy().contains("unfinished")), "{left:?}");
}

#[test]
fn the_written_schema_is_the_tables_own() {
    let bench = Bench::new();
    let written = std::fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("EXPORT.md")).unwrap();
    let run = bench.run(&["review", "export", "--schema"]).code(0);
    assert_eq!(run.out, written, "write it anew: roughrun review export --schema > EXPORT.md");
}
