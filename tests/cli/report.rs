//! A job written up.

use crate::bench::Bench;

const WORK: &str = "other lead-ohms left 3\n1\nyes\nOL\nconditions heat=hot\nother lead-ohms left 3\n1\nyes\nOL\nother plug-look left 1\n1\n1\nother plug-look left 3\n1\n2\nundo\nnote <script>alert(1)</script> & \"x\"\ncorrect replace-lead at left 3\nyes\nproof no\nclose cured\n";

fn worked() -> (Bench, String) {
    let bench = Bench::new();
    let id = bench.trace(WORK).code(0).says("Closed: cured").job();
    (bench, id)
}

#[test]
fn text_has_everything_and_promises_nothing() {
    let (bench, id) = worked();
    let run = bench.run(&["report", &id, "--whole"]).code(0).plainly();
    for words in [
        "Working notes and a draft entry.",
        "Rough on one side, left",
        "[TAKEN BACK BY ENTRY",
        "Reading   OL",
        "open circuit",
        "Source    A handbook, 1999, page 3",
        "lead open, left 3",
        "put right",
        "Looked at and normal: Look at the plug (left 1)",
        "lead open, left 3 upper - measured, OL (Resistance of the lead: open; entries 3 and 5)",
        "Caution acknowledged",
        "Certificate ____",
        "only a person authorised",
    ] {
        let flat = run.out.split_whitespace().collect::<Vec<_>>().join(" ");
        let wanted = words.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(flat.contains(&wanted), "no \"{words}\" in\n{}", run.out);
    }
    let head = run.out.split("Record head").nth(1).unwrap().split_whitespace().next().unwrap();
    assert_eq!(head.len(), 16);
    bench.run(&["verify"]).code(0).says(head).says("Whole means that").says("They are no signature");
    run.never_says("airworthy");
}

#[test]
fn an_id_may_be_cut_short() {
    let (bench, id) = worked();
    let whole = bench.run(&["report", &id, "--format", "json"]).json();
    for short in [&id[..20], &id.to_lowercase(), "last"] {
        assert_eq!(bench.run(&["report", short, "--format", "json"]).code(0).json()["head"], whole["head"]);
    }
    bench.trace("");
    bench.run(&["report", "0"]).code(2).complains("beginning of 2 jobs");
}

#[test]
fn html_loads_nothing_and_runs_nothing() {
    let (bench, id) = worked();
    let page = bench.run(&["report", &id, "--format", "html", "--whole"]).code(0).plainly();
    let page = page.says("<!DOCTYPE html>").says("Content-Security-Policy").says("default-src 'none'");
    let page = page
        .says("&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;x&quot;")
        .never_says("<script")
        .never_says("airworthy");
    for outside in ["http://", "https://", "src=", "href=", "url(", "@import"] {
        assert!(!page.out.contains(outside), "{outside}");
    }
    for tag in ["table", "tr", "td", "h2", "ul", "p", "div", "span", "svg", "text"] {
        let opened = page.out.matches(&format!("<{tag}>")).count() + page.out.matches(&format!("<{tag} ")).count();
        assert_eq!(opened, page.out.matches(&format!("</{tag}>")).count(), "{tag}");
    }
}

#[test]
fn json_marks_what_does_not_stand() {
    let (bench, id) = worked();
    let report = bench.run(&["report", &id, "--format", "json"]).code(0).json();
    assert_eq!(report["job"], id.as_str());
    let marks: Vec<&str> = report["course"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|s| s["entries"].as_array().unwrap())
        .filter_map(|e| e["mark"].as_str())
        .collect();
    assert_eq!(marks.len(), 1, "{marks:?}");
    assert!(marks[0].starts_with("taken back by entry"));
    assert_eq!(report["checks"].as_array().unwrap().len(), 3);
    assert_eq!(report["proven"][0]["standing"], "put right");
    assert_eq!(report["closed"]["how"], "cured and proven");
}

/// Each reader gets what concerns them, and the draft entry has the items of 14 CFR 43.9(a): the description of the work, the date of
/// completion, the name of who did it, and the signature with number and kind of certificate, all of them open.
#[test]
fn each_reader_gets_their_own() {
    let (bench, id) = worked();
    let owner = bench.run(&["report", &id, "--for", "owner"]).code(0);
    let owner = owner.says("LETTER TO THE OWNER").says("By measuring we found: lead open, left 3 upper.");
    let owner = owner.says("That run is why we believe it cured.");
    for never in [" %", "shake", "T0", "+00:00", "airworthy", "entry 3"] {
        assert!(!owner.out.contains(never), "{never} in\n{}", owner.out);
    }
    let behind = bench.run(&["report", &id, "--for", "owner", "--whole"]).code(0).says("THE ENGINE FROM ABOVE");
    assert!(!behind.out.contains("CAUTIONS ACKNOWLEDGED") && !behind.out.contains("COURSE OF THE WORK"));
    let record = bench.run(&["report", &id, "--for", "record"]).code(0).says("not signed").never_says("airworthy");
    let flat = record.out.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    let items =
        ["1 work done reported: rough on one side", "2 completed", "3 done by", "4 signature ____", "certificate ____"];
    let found: Vec<usize> =
        items.iter().map(|item| flat.find(item).unwrap_or_else(|| panic!("no {item} in\n{flat}"))).collect();
    assert!(found.is_sorted(), "{found:?}");
    assert!(flat.contains("14 cfr 43.9(a)") && flat.contains("number and kind"));
    bench.run(&["report", &id, "--for", "everyone"]).code(2).complains("owner");
}

/// The drawing and the course say what the rest of the report says.
#[test]
fn the_drawings_agree_with_the_causes() {
    let (bench, id) = worked();
    let report = bench.run(&["report", &id, "--format", "json"]).code(0).json();
    let lead = report["proven"].as_array().unwrap().iter().find(|c| c["cause"] == "lead-open").unwrap();
    assert_eq!(lead["at"], "left 3");
    let spots: Vec<&serde_json::Value> = report["plan"]["rows"]
        .as_array()
        .unwrap()
        .iter()
        .flat_map(|row| row.as_array().unwrap())
        .flat_map(|spot| [&spot["upper"], &spot["lower"]])
        .filter(|spot| spot["at"] == "left 3")
        .collect();
    assert_eq!(spots.len(), 1, "one place for each plug");
    assert_eq!(spots[0]["mark"], lead["standing"]);
    assert!(spots[0]["was"].as_f64().unwrap() >= lead["was"].as_f64().unwrap() - 1e-12);
    let course = &report["suspicion"];
    let first = &course["causes"][0];
    let last = first["was"].as_array().unwrap().last().unwrap().as_f64().unwrap();
    assert!(first["title"].as_str().unwrap().starts_with("lead open"), "{first}");
    assert!((last - lead["was"].as_f64().unwrap()).abs() < 1e-9, "{last} {}", lead["was"]);
    assert_eq!(first["was"].as_array().unwrap().len(), course["moments"].as_array().unwrap().len());
}
