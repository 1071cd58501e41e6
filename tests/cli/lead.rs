//! A lead goes through a record: walks it again, remarks on it, marks it, and the record stays whole.

use crate::bench::Bench;

const WORK: &str = "other lead-ohms left 3\n1\nyes\nOL\nother plug-look left 1\n1\n1\ncorrect replace-lead at left 3\nyes\nproof no\nclose cured\n";

fn worked() -> (Bench, String) {
    let bench = Bench::new();
    let id = bench.trace(WORK).code(0).says("Closed: cured and proven").job();
    (bench, id)
}

#[test]
fn a_record_is_walked_again_entry_by_entry() {
    let (bench, id) = worked();
    let page = bench.run(&["review", "replay", &id]).code(0).plainly();
    for words in
        ["Opened: Rough on one side", "The planner put first", "to go", "choices were what the planner put first"]
    {
        assert!(page.out.contains(words), "no \"{words}\" in\n{}", page.out);
    }
    let json = bench.run(&["review", "replay", &id, "--json"]).code(0).json();
    let steps = json["steps"].as_array().unwrap();
    assert_eq!(json["format"], "roughrun-replay-1");
    let spent: f64 = steps.iter().map(|step| step["minutes"].as_f64().unwrap()).sum();
    assert!((spent - json["totals"]["minutes"].as_f64().unwrap()).abs() < 1e-9);
    let otherwise = steps.iter().find(|step| step["choice"]["as_recommended"] == false).unwrap();
    assert!(otherwise["choice"]["recommended"]["title"].is_string(), "{otherwise}");
}

#[test]
fn a_leads_word_goes_into_the_record_and_nothing_is_overwritten() {
    let (bench, id) = worked();
    let before = bench.run(&["report", &id, "--format", "json"]).json()["head"].clone();
    bench.run(&["review", "remark", &id, "--of", "2", "--by", "L. Lead", "Why", "this", "one?"]).code(0).says("entry");
    bench.run(&["review", "mark", &id, "--by", "L. Lead"]).code(0).says("Saved as entry");
    let json = bench.run(&["review", "replay", &id, "--json"]).code(0).json();
    let step = json["steps"].as_array().unwrap().iter().find(|step| step["number"] == 2).unwrap().clone();
    assert_eq!(step["remarks"][0]["text"], "Why this one?");
    assert_eq!((&json["reviewed"]["by"], &json["reviewed"]["since"]), (&"L. Lead".into(), &0.into()));
    assert_ne!(json["head"], before);
    bench.run(&["verify"]).code(0).says("0 damaged");
    bench.run(&["report", &id]).code(0).says("Reviewed by L. Lead");
    bench.run(&["review", "list"]).code(0).says("reviewed by L. Lead").says("cured");
}

#[test]
fn what_cannot_be_said_is_refused_and_nothing_is_written() {
    let (bench, id) = worked();
    let head = || bench.run(&["review", "replay", &id, "--json"]).json()["head"].clone();
    let before = head();
    bench.run(&["review", "mark", &id, "--by", " "]).code(2).complains("needs the name");
    bench.run(&["review", "remark", &id, "--of", "99", "--by", "L. Lead", "So?"]).code(2).complains("no entry 99");
    bench.run(&["review", "remark", &id, "--by", "L. Lead"]).code(2).complains("needs words");
    assert_eq!(head(), before);
}
