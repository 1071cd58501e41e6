//! How long it takes to list many records: `cargo run --release --example listing_speed [RECORDS]`.
//!
//! The records are the demo jobs over and over, each with a name, time, aircraft and mechanic of its own, in months as a shop keeps
//! them. They are in the system's own cache when they are listed: what is measured is the program.

#![allow(clippy::unwrap_used, clippy::print_stdout)]

mod records;

use std::fs;
use std::path::{Path, PathBuf};
use std::time::Instant;

use roughrun::review::listing::{Query, list};
use serde_json::json;

fn write_all(folder: &Path, many: u64) -> u64 {
    let demos: Vec<String> = records::demos().into_iter().map(|(_, text)| text).collect();
    let mut bytes = 0;
    for n in 0..many {
        // A job every five hours, from 2021 on.
        let ms = 1_609_495_200_000 + n * 5 * 3_600_000;
        let at = chrono::DateTime::from_timestamp_millis(ms.cast_signed()).unwrap();
        let id = records::id(ms, n);
        let demo = &demos[usize::try_from(n).unwrap() % demos.len()];
        let text = records::renamed(demo, &id, &at.to_rfc3339(), |kind, body| {
            if kind == "header" {
                body["device"] = json!("bench");
                body["extra"]["aircraft"] = json!(format!("ZZ-{:03}", n % 400));
                body["extra"]["mechanic"] = json!(format!("M. {}", n % 12));
            }
        });
        let month = folder.join(at.format("%Y/%m").to_string());
        fs::create_dir_all(&month).unwrap();
        fs::write(month.join(format!("{id}.bench.jsonl")), &text).unwrap();
        bytes += text.len() as u64;
    }
    bytes
}

fn main() {
    let many = std::env::args().nth(1).map_or(10_000, |text| text.parse().unwrap());
    let top = tempfile::tempdir().unwrap();
    let (records, cache) = (top.path().join("records"), top.path().join("cache"));
    let bytes = write_all(&records, many);
    println!("{many} records, {} MB, {} threads", bytes / 1_000_000, rayon::current_num_threads());
    // So that the index may trust the times of the files.
    std::thread::sleep(std::time::Duration::from_millis(2_100));
    let folders: Vec<PathBuf> = vec![records];
    for (name, with) in [("without an index", None), ("cold, index written", Some(&cache)), ("warm", Some(&cache))] {
        let mut took: Vec<f64> = Vec::new();
        let mut from_index = 0;
        for _ in 0..5 {
            if name.starts_with("cold") {
                let _ = fs::remove_dir_all(&cache);
            }
            let start = Instant::now();
            let listing = list(&folders, with.map(PathBuf::as_path)).unwrap();
            took.push(start.elapsed().as_secs_f64() * 1000.0);
            assert_eq!(listing.rows.len() as u64, many);
            assert!(listing.notes.is_empty(), "{:?}", listing.notes);
            from_index = listing.from_index;
        }
        took.sort_by(f64::total_cmp);
        println!(
            "{name:<22} median {:>7.0} ms (best {:.0}, worst {:.0}); {from_index} from the index",
            took[2], took[0], took[4]
        );
    }
    let listing = list(&folders, Some(&cache)).unwrap();
    for typed in ["cause:lead", "state:cured mechanic:\"m. 3\"", "nothing holds this"] {
        let start = Instant::now();
        let found = Query::parse(typed).unwrap().find(&listing.rows);
        println!("search {typed:<32} {:>6.1} ms, {} found", start.elapsed().as_secs_f64() * 1000.0, found.len());
    }
}
