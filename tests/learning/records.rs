//! `review learn` on real records: what is printed, what is written, and that practice and the trees are left alone.

use std::path::Path;
use std::process::{Command, Output};

use roughrun::job::{Entry, Job};
use roughrun::lint::lint;
use roughrun::shop::{self as rooms, Shop};
use roughrun::teststand::Field;
use roughrun::trees::Library;
use serde_json::Value;

use super::{shop, small};

const JOBS: u64 = 70;

/// Writes jobs as records.
fn keep(shop: &Shop, jobs: &[Job]) {
    for job in jobs {
        let mut entries = job.log().iter().map(|l| l.entry.clone());
        let Some(Entry::Opened(opening)) = entries.next() else { panic!("no opening") };
        let mut open = shop.start(*opening, None).unwrap();
        entries.for_each(|entry| drop(open.enter(entry).unwrap()));
    }
}

fn run(trees: &Path, records: &Path, more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_roughrun"))
        .env_remove("ROUGHRUN_LEARNT")
        .args(["--trees", trees.to_str().unwrap(), "--records", records.to_str().unwrap(), "review", "learn"])
        .args(more)
        .output()
        .unwrap()
}

#[test]
fn records_become_an_overlay_that_is_read_back() {
    let folder = tempfile::tempdir().unwrap();
    let (trees, records) = (folder.path().join("trees"), folder.path().join("records"));
    std::fs::create_dir_all(trees.join("layouts")).unwrap();
    std::fs::write(trees.join("tree.yaml"), small::text()).unwrap();
    std::fs::write(trees.join("layouts/four-magneto.yaml"), small::LAYOUT).unwrap();
    let tree = small::model();
    // Rates far off, so that few records are enough.
    let engines = Field::of(shop::with_other_rates(&tree, 1.5, 3), None).unwrap();
    let jobs: Vec<Job> =
        (0..JOBS).filter_map(|n| Some(shop::recorded(&shop::work(&engines, &tree, 3, n)?, 3, n))).collect();
    let shop = Shop::with(rooms::library(Some(&trees), None).unwrap(), Some(&records)).unwrap();
    keep(&shop, &jobs);

    // Printed, and nothing written.
    let before = std::fs::read_to_string(trees.join("tree.yaml")).unwrap();
    let printed = run(&trees, &records, &[]);
    assert!(printed.status.success(), "{}", String::from_utf8_lossy(&printed.stderr));
    let page = String::from_utf8(printed.stdout).unwrap();
    for words in ["Learnt from", "Counts:", "fault-", "Brier", "gain in log score", ": adopted"] {
        assert!(page.contains(words), "{words} is not in\n{page}");
    }
    let mut left: Vec<_> = std::fs::read_dir(folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    left.sort();
    assert_eq!(left, ["records", "trees"]);

    // The same for programs.
    let json = run(&trees, &records, &["--json"]);
    let lessons: Value = serde_json::from_slice(&json.stdout).unwrap();
    assert_eq!(lessons["exposure"]["jobs_counted"], lessons["jobs"]);
    assert_eq!(lessons["rates_trial"]["adopted"], true);

    // Written where asked, good by the lint, and laid over the tree.
    let file = folder.path().join("learnt.yaml");
    let written = run(&trees, &records, &["--write", file.to_str().unwrap()]);
    assert!(written.status.success(), "{}", String::from_utf8_lossy(&written.stderr));
    let plain = Library::load(&trees).unwrap();
    assert_eq!(lint(std::slice::from_ref(&file), Some(&plain), (2026, 11, 25)), []);
    let with = Library::open(Some(&trees), Some(&file)).unwrap();
    let model = with.expand(&with.layout(small::LAYOUT_NAME).unwrap()).unwrap();
    for lesson in lessons["rates"].as_array().unwrap() {
        let cause = model.causes.iter().find(|c| c.name == lesson["cause"].as_str().unwrap()).unwrap();
        let now = lesson["now"]["mean"].as_f64().unwrap();
        assert!((cause.rate / now - 1.0).abs() < 1e-3, "{}: {} and {now}", cause.name, cause.rate);
        assert!(model.cited_words(&cause.rate_source).starts_with("learnt from "), "{}", cause.name);
    }
    assert_ne!(with.digest(), plain.digest(), "a record says which figures it was worked on");
    assert_eq!(std::fs::read_to_string(trees.join("tree.yaml")).unwrap(), before, "the tree is never changed");

    // What was learnt over one tree is not laid over another.
    std::fs::write(trees.join("tree.yaml"), before.replace("rate: 0.35", "rate: 0.36")).unwrap();
    let faults = Library::open(Some(&trees), Some(&file)).unwrap_err();
    assert!(faults.iter().all(|f| f.message.contains("learnt over another")), "{faults:?}");
    assert_eq!(faults.len(), 3);
}

#[test]
fn demo_records_teach_nothing() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("learnt.yaml");
    let run = Command::new(env!("CARGO_BIN_EXE_roughrun"))
        .env_remove("ROUGHRUN_TREES")
        .env_remove("ROUGHRUN_LEARNT")
        .args(["review", "learn", root.join("sessions").to_str().unwrap(), "--write", file.to_str().unwrap()])
        .output()
        .unwrap();
    let page = String::from_utf8(run.stdout).unwrap();
    assert!(page.contains("Learnt from 0 jobs") && page.contains("3 practice or demonstration"), "{page}");
    assert_eq!(run.status.code(), Some(1));
    assert!(!file.exists());
}
