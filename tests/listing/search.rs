//! Searching the rows.

use roughrun::review::listing::{Listing, Query, Worked};
use serde_json::json;

use super::{Bench, at, cure, id, job, records};

/// Three jobs: 1 cured by Kim on ZZ-ABC; 2 open, by Lee on ZZ-XYZ, reviewed; 3 damaged, by Kim.
fn listing() -> (Bench, Listing) {
    let bench = Bench::new();
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &cure()).0);
    let lees = job(&id(2), &[("note", json!({"text": "Plug gaps wide"})), ("reviewed", json!({"by": "Lead"}))]).0;
    let lees = records::renamed(&lees, &id(2), "2026-10-03T09:00:00+01:00", |kind, body| {
        if kind == "header" {
            body["extra"]["mechanic"] = json!("Lee");
            body["extra"]["aircraft"] = json!("ZZ-XYZ");
        }
    });
    bench.write(&format!("{}.bench.jsonl", id(2)), lees);
    bench.write(&format!("{}.bench.jsonl", id(3)), job(&id(3), &cure()).0.replace("lead-open", "lead-openn"));
    let mut listing = bench.list();
    let first = listing.rows.iter().position(|row| row.id == id(1)).unwrap();
    listing.take(first, Worked { minutes: Some(130.0), proven: vec!["Nozzle blocked".into()], ..Worked::default() });
    (bench, listing)
}

fn found(listing: &Listing, typed: &str) -> Vec<u64> {
    let rows = Query::parse(typed).unwrap().find(&listing.rows);
    let mut found: Vec<u64> = rows.iter().map(|at| (1..4).find(|n| id(*n) == listing.rows[*at].id).unwrap()).collect();
    found.sort_unstable();
    found
}

#[test]
fn each_place_is_searched_by_its_name_and_all_terms_count() {
    let (_bench, listing) = listing();
    for (typed, wanted) in [
        ("", vec![1, 2, 3]),
        ("  ", vec![1, 2, 3]),
        ("KIM", vec![1, 3]),
        ("kim cured", vec![1]),
        ("\"plug gaps\"", vec![2]),
        ("gaps plug", vec![2]),
        ("mechanic:lee", vec![2]),
        ("mechanic:lee,kim", vec![1, 2, 3]),
        ("aircraft:zz-a", vec![1, 3]),
        ("complaint:left", vec![1, 2, 3]),
        ("layout:six", vec![]),
        ("cause:lead-open", vec![1]),
        ("cause:nozzle", vec![1]),
        ("cause:\"nozzle blocked\"", vec![1]),
        ("state:cured", vec![1]),
        ("state:open", vec![2, 3]),
        ("state:closed", vec![1]),
        ("state:not-cured", vec![]),
        ("state:damaged", vec![3]),
        ("state:damaged,cured", vec![1, 3]),
        ("state:open state:whole", vec![2]),
        ("reviewed:yes", vec![2]),
        ("reviewed:no", vec![1, 3]),
        ("purpose:work", vec![1, 2, 3]),
        ("purpose:demo", vec![]),
        ("minutes:>120", vec![1]),
        ("minutes:120", vec![1]),
        ("minutes:<120", vec![]),
        ("clock:>4", vec![1]),
        ("since:2026-11", vec![1, 3]),
        ("until:2026-10", vec![2]),
        ("since:2026 until:2026-11-25", vec![1, 2, 3]),
        ("until:2025", vec![]),
        ("mechanic:", vec![1, 2, 3]),
        ("12:30", vec![]),
        ("id:01", vec![1, 2, 3]),
        ("rough hot", vec![1, 2, 3]),
    ] {
        assert_eq!(found(&listing, typed), wanted, "{typed:?}");
    }
    assert_eq!(at(0).len(), 25);
}

#[test]
fn what_cannot_be_searched_for_is_said_with_what_can() {
    for (typed, said) in [
        ("state:curd", "cured"),
        ("purpose:fun", "practice"),
        ("reviewed:maybe", "yes, no"),
        ("minutes:long", ">120"),
        ("minutes:>nan", ">120"),
        ("since:yesterday", "2026-11"),
        ("until:2026-1", "2026-11"),
        ("state:\u{1b}[2J", "<U+001B>"),
    ] {
        let fault = Query::parse(typed).unwrap_err().to_string();
        assert!(fault.contains(said) && !fault.contains('\u{1b}'), "{typed}: {fault}");
    }
}

#[test]
fn a_search_finds_no_row_that_a_wider_one_does_not() {
    let (_bench, listing) = listing();
    let terms = ["kim", "state:closed", "since:2026-11", "reviewed:no", "minutes:>1", "cause:lead"];
    for a in terms {
        for b in terms {
            let both = found(&listing, &format!("{a} {b}"));
            let (one, other) = (found(&listing, a), found(&listing, b));
            let expected: Vec<u64> = one.into_iter().filter(|n| other.contains(n)).collect();
            assert_eq!(both, expected, "{a} {b}");
        }
    }
}
