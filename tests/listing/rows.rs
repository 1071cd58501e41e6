//! What a row says of its record.

use roughrun::job::Ending;
use roughrun::review::listing::{Soundness, State};
use roughrun::shop::Purpose;
use serde_json::json;

use super::{Bench, at, cure, id, job, only, records};

#[test]
fn a_row_says_what_its_record_says() {
    let bench = Bench::new();
    let name = id(1);
    bench.write(&format!("2026/11/{name}.bench.jsonl"), job(&name, &cure()).0);
    let listing = bench.list();
    let row = only(&listing);
    assert_eq!(
        (row.id.as_str(), row.aircraft.as_str(), row.layout.as_str()),
        (name.as_str(), "ZZ-ABC", "four-magneto")
    );
    assert_eq!((row.complaint.as_str(), row.at.as_str(), row.mechanic.as_str()), ("Rough on one side", "left", "Kim"));
    assert_eq!(
        (row.state, row.soundness, row.purpose),
        (State::Closed(Ending::CuredProven), Soundness::Whole, Purpose::Work)
    );
    assert_eq!((row.opened.as_str(), row.last.as_str(), row.entries), (at(0).as_str(), at(5).as_str(), 5));
    assert_eq!(row.clock_minutes, Some(5.0));
    assert_eq!(row.seen, ["lead-open, left 3"]);
    assert_eq!(row.put_right, ["replace-lead, left 3"]);
    assert_eq!(row.came_of_it(), ("seen", row.seen.as_slice()));
    assert!(row.trouble.is_none() && row.reviewed.is_none() && row.worked.is_none());
}

#[test]
fn what_was_taken_back_does_not_count() {
    let bench = Bench::new();
    let mut entries = cure();
    // The closing, then the confirmation, are taken back; the correction turns out to have been another.
    entries.push(("undo", json!({"of": 5})));
    entries.push(("undo", json!({"of": 2})));
    let other = json!({"kind": "corrected", "body": {"correction": "clean-plug", "at": "left 2 top"}});
    entries.push(("amend", json!({"of": 3, "by": other})));
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &entries).0);
    let listing = bench.list();
    let row = only(&listing);
    assert_eq!(row.state, State::Open);
    assert!(row.seen.is_empty());
    assert_eq!(row.put_right, ["clean-plug, left 2 top"]);
}

#[test]
fn a_correction_that_did_not_hold_is_not_put_right() {
    let bench = Bench::new();
    let mut entries = cure();
    entries.truncate(3);
    entries.push(("proof-run", json!({"showing": true})));
    entries.push(("closed", json!({"how": "not-found", "note": ""})));
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &entries).0);
    let listing = bench.list();
    let row = only(&listing);
    assert_eq!(row.state, State::Closed(Ending::NotFound));
    assert!(row.state.is_not_cured() && row.put_right.is_empty());
}

#[test]
fn a_review_mark_tells_whether_the_job_changed_after_it() {
    let bench = Bench::new();
    let mut entries = cure();
    entries.push(("remark", json!({"by": "Lee", "text": "well done", "of": 2})));
    entries.push(("reviewed", json!({"by": "Lee"})));
    entries.push(("remark", json!({"by": "Lee", "text": "see the next one"})));
    bench.write(&format!("{}.bench.jsonl", id(1)), job(&id(1), &entries).0);
    entries.push(("note", json!({"text": "leads ordered"})));
    bench.write(&format!("{}.bench.jsonl", id(2)), job(&id(2), &entries).0);
    entries.push(("undo", json!({"of": 7})));
    bench.write(&format!("{}.bench.jsonl", id(3)), job(&id(3), &entries).0);
    let rows = bench.list().rows;
    assert_eq!(rows.iter().map(|r| r.remarks).collect::<Vec<_>>(), [2, 2, 2]);
    assert!(rows[0].reviewed.is_none());
    assert!(rows[1].reviewed.as_ref().unwrap().before_changes);
    let mark = rows[2].reviewed.as_ref().unwrap();
    assert_eq!((mark.by.as_str(), mark.when.as_str(), mark.before_changes), ("Lee", at(7).as_str(), false));
    assert!(rows[2].words.contains("well done"));
}

#[test]
fn the_newest_is_first_by_time_and_not_by_file() {
    let bench = Bench::new();
    for (n, when) in
        [(1, "2026-11-25T12:00:00+00:00"), (2, "2026-11-25T12:30:00+05:00"), (3, "2026-11-25T12:00:00+00:00")]
    {
        let text = records::renamed(&job(&id(n), &[]).0, &id(n), when, |_, _| {});
        bench.write(&format!("{}.bench.jsonl", id(n)), text);
    }
    let ids: Vec<String> = bench.list().rows.into_iter().map(|row| row.id).collect();
    assert_eq!(ids, [id(3), id(1), id(2)]);
}

#[test]
fn damage_is_named_and_stops_nothing() {
    let bench = Bench::new();
    let changed = job(&id(1), &cure()).0.replace("lead-open", "lead-openn");
    bench.write(&format!("{}.bench.jsonl", id(1)), changed);
    bench.write(&format!("{}.bench.jsonl", id(2)), job(&id(2), &cure()).0);
    // Conflict markers of a merge: both sides' lines find their places again.
    let (text, _) = job(&id(3), &cure());
    let at = text.lines().take(4).map(|line| line.len() + 1).sum::<usize>();
    let marked = format!("{}<<<<<<< HEAD\n=======\n{}>>>>>>> other\n", &text[..at], &text[at..]);
    bench.write(&format!("{}.bench.jsonl", id(3)), marked);
    bench.write(&format!("{}.bench.jsonl", id(4)), b"\xff\xfe\x00nothing\n{}\n");
    bench.write("left over.jsonl", "{}");
    bench.write(&format!("{}.bench.jsonl", id(5)), "");
    let rows = bench.list().rows;
    assert_eq!(rows.len(), 6, "{rows:?}");
    let of = |n: u64| rows.iter().find(|row| row.id == id(n)).unwrap();
    assert_eq!(of(1).soundness, Soundness::Damaged);
    assert_eq!((of(1).entries, of(1).aircraft.as_str(), of(1).state), (1, "ZZ-ABC", State::Open));
    assert!(of(1).trouble.as_ref().unwrap().contains("Line 3"), "{:?}", of(1).trouble);
    assert_eq!((of(2).soundness, of(2).state), (Soundness::Whole, State::Closed(Ending::CuredProven)));
    assert_eq!(
        (of(3).soundness, of(3).state, of(3).entries),
        (Soundness::Damaged, State::Closed(Ending::CuredProven), 5)
    );
    assert_eq!((of(4).soundness, of(4).state), (Soundness::Damaged, State::Unread));
    assert_eq!((of(5).soundness, of(5).state), (Soundness::Torn, State::Unread));
    assert!(of(5).trouble.as_ref().unwrap().contains("is empty"));
    let nameless = rows.last().unwrap();
    assert!(nameless.id.is_empty() && nameless.trouble.as_ref().unwrap().contains("not named"));
}

#[test]
fn hostile_texts_are_shown_and_steer_nothing() {
    let bench = Bench::new();
    let hostile = "\u{1b}]0;x\u{7}\u{202e}=cmd";
    let text = records::renamed(&job(&id(1), &[("note", json!({"text": hostile}))]).0, &id(1), &at(0), |kind, body| {
        if kind == "header" {
            for field in ["aircraft", "mechanic", "complaint", "at", "layout"] {
                body["extra"][field] = json!(hostile);
            }
        }
    });
    bench.write(&format!("{}.bench.jsonl", id(1)), text);
    let listing = bench.list();
    let shown = format!("{:?}", serde_json::to_value(only(&listing)).unwrap());
    assert!(shown.contains("<U+001B>]0;x<U+0007><U+202E>=cmd"), "{shown}");
    assert!(!shown.chars().any(roughrun::text::is_hidden));
}

#[test]
fn practice_and_demo_are_told_from_work() {
    let bench = Bench::new();
    let practice = records::renamed(&job(&id(1), &[]).0, &id(1), &at(0), |kind, body| {
        if kind == "header" {
            body["extra"]["practice"] = json!(true);
        }
    });
    bench.write(&format!("{}.bench.jsonl", id(1)), practice);
    let (name, demo) = &records::demos()[0];
    bench.write(&format!("demo/{name}"), demo);
    let purposes: Vec<Purpose> = bench.list().rows.iter().map(|row| row.purpose).collect();
    assert!(purposes.contains(&Purpose::Practice) && purposes.contains(&Purpose::Demo), "{purposes:?}");
}
