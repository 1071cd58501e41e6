//! One job in several files and folders.

use std::fs;

use roughrun::review::listing::{Soundness, list};
use serde_json::json;

use super::{Bench, cure, id, job, only, write};

#[test]
fn copies_alike_are_one_row_that_says_so() {
    let bench = Bench::new();
    let (text, _) = job(&id(1), &cure());
    let name = format!("{}.bench.jsonl", id(1));
    bench.write(&name, &text);
    let stick = bench.top.path().join("stick");
    write(&stick.join(&name), text.as_bytes());
    let listing = list(&[bench.records(), stick.clone()], Some(&bench.cache())).unwrap();
    let row = only(&listing);
    assert_eq!((row.soundness, row.files.len(), row.entries), (Soundness::Whole, 2, 5));
    assert!(row.notes.iter().any(|note| note.contains("in 2 folders, alike")), "{:?}", row.notes);
    // One folder named twice is no copy, nor is one in the other.
    let listing = list(&[bench.records(), bench.top.path().join("records/../records")], None).unwrap();
    assert!(only(&listing).notes.is_empty());
    let listing = list(&[bench.top.path().to_owned(), stick], None).unwrap();
    assert!(!only(&listing).notes.iter().any(|note| note.contains("alike: ")) || only(&listing).files.len() == 2);
}

#[test]
fn a_copy_that_lags_behind_is_named() {
    let bench = Bench::new();
    let name = format!("{}.bench.jsonl", id(1));
    bench.write(&name, job(&id(1), &cure()[..2]).0);
    let stick = bench.top.path().join("stick");
    write(&stick.join(&name), job(&id(1), &cure()).0.as_bytes());
    for folders in [[bench.records(), stick.clone()], [stick.clone(), bench.records()]] {
        let listing = list(&folders, Some(&bench.cache())).unwrap();
        let row = only(&listing);
        assert_eq!((row.soundness, row.entries), (Soundness::Whole, 5));
        assert!(row.notes.iter().any(|n| n.contains("records lacks the last 2 entries")), "{:?}", row.notes);
    }
}

#[test]
fn a_job_worked_on_two_laptops_from_the_same_line_is_shown_as_parted() {
    let bench = Bench::new();
    let name = format!("{}.bench.jsonl", id(1));
    let (mut here, mut there) = (cure(), cure());
    here.truncate(2);
    there.truncate(1);
    there.push(("note", json!({"text": "on the other laptop"})));
    bench.write(&name, job(&id(1), &here).0);
    let stick = bench.top.path().join("stick");
    write(&stick.join(&name), job(&id(1), &there).0.as_bytes());
    let listing = list(&[bench.records(), stick.clone()], Some(&bench.cache())).unwrap();
    let row = only(&listing);
    assert_eq!((row.soundness, row.ends.len(), row.entries), (Soundness::Parted, 2, 4));
    assert!(row.trouble.is_some() && row.notes.iter().any(|n| n.contains("Nothing was mixed")), "{row:?}");
    // Brought together in one folder, as a copy or a merge leaves them, it is the same.
    fs::copy(stick.join(&name), bench.records().join(format!("{}.other.jsonl", id(1)))).unwrap();
    let listing = bench.list();
    let row = only(&listing);
    assert_eq!((row.soundness, row.ends.len(), row.entries), (Soundness::Parted, 2, 4));
    assert!(row.words.contains("on the other laptop"));
}

#[test]
fn a_damaged_copy_and_a_whole_one_make_a_whole_job_that_names_the_damage() {
    let bench = Bench::new();
    let name = format!("{}.bench.jsonl", id(1));
    bench.write(&name, job(&id(1), &cure()).0.replace("lead-open", "lead-openn"));
    let stick = bench.top.path().join("stick");
    write(&stick.join(&name), job(&id(1), &cure()).0.as_bytes());
    let listing = list(&[bench.records(), stick], None).unwrap();
    let row = only(&listing);
    assert_eq!((row.soundness, row.entries), (Soundness::Damaged, 5));
    assert!(row.trouble.as_ref().unwrap().contains("does not match its own hash"), "{row:?}");
}

#[test]
fn a_folder_that_is_not_there_stops_the_others_only_where_there_is_no_other() {
    let bench = Bench::new();
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &[]).0);
    let nowhere = bench.top.path().join("nowhere");
    let listing = list(&[nowhere.clone(), bench.records()], None).unwrap();
    assert_eq!((listing.rows.len(), listing.skipped.len()), (1, 1));
    assert!(listing.skipped[0].contains("nowhere"), "{:?}", listing.skipped);
    assert!(list(&[nowhere], None).is_err());
    let empty = bench.top.path().join("empty");
    fs::create_dir(&empty).unwrap();
    assert!(list(&[empty], None).unwrap().rows.is_empty());
}

#[test]
fn a_link_is_said_and_not_followed() {
    let bench = Bench::new();
    let away = bench.top.path().join(format!("{}.bench.jsonl", id(1)));
    write(&away, job(&id(1), &[]).0.as_bytes());
    std::os::unix::fs::symlink(&away, bench.records().join(format!("{}.bench.jsonl", id(1)))).unwrap();
    let listing = bench.list();
    assert!(listing.rows.is_empty());
    assert!(listing.skipped[0].contains("symbolic link"), "{:?}", listing.skipped);
}
