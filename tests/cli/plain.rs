//! A job by numbered questions, through pipes.

use crate::bench::{Bench, USUAL};

/// Chooses the lead check at left 3, acknowledges, reads an open circuit; and again hot.
const FIND: &str = "other lead-ohms left 3\n1\nyes\nOL\nconditions heat=hot\nother lead-ohms left 3\n1\nyes\nOL\n";

#[test]
fn a_job_is_played_from_complaint_to_close() {
    let bench = Bench::new();
    let run = bench
        .trace(&format!("{FIND}1\n1\n1\n"))
        .code(0)
        .says("CAUTION before: Resistance of the lead, left 3")
        .says("Caution acknowledged: High voltage")
        .says("Mistake to avoid: Touching the probes")
        .says("Step 1: Take the lead off.")
        .says("Expected: Under 60 ohm per foot.")
        .says("Source: A handbook, 1999, page 3.")
        .says("read OL")
        .says("Proof run, conditions as reported: the complaint did not show")
        .says("Closed: cured and proven.")
        .never_says("airworthy")
        .plainly();
    let id = run.job();
    bench.run(&["report", &id, "--whole"]).code(0).says("put right").says("Closed");
    bench.typed(&["resume", &id, "--plain"], "").code(0).says("Closed: cured");
    bench.run(&["resume", "--plain"]).code(2).complains("no open job");
}

#[test]
fn what_is_missing_is_asked() {
    let bench = Bench::new();
    bench
        .typed(&["trace", "--plain"], "nine\nfour-magneto\n3\nwarm\ncold\n2\nIt just stops.\nJo\nquit\n")
        .code(0)
        .says("Which engine?")
        .says("not understood")
        .says("Type one of: cold, hot; or quit.")
        .says("Engine stops, engine");
    let report =
        bench.run(&["report", "last", "--whole"]).code(0).says("It just stops.").says("Jo").says("heat cold, damp wet");
    assert!(report.out.contains("Engine stops"));
}

#[test]
fn input_that_ends_before_the_job_begins_saves_nothing() {
    let bench = Bench::new();
    bench.typed(&["trace", "--plain"], "1\n").code(0).complains("nothing was saved");
    assert!(bench.record_files().is_empty());
}

#[test]
fn the_end_of_input_says_how_to_go_on() {
    let bench = Bench::new();
    let run = bench.trace("note chafed\n").code(0).says("Saved as entry 2: Note: chafed.");
    run.says("--plain").never_says("panicked");
    bench.typed(&["resume", "--plain"], "quit\n").code(0).says("Rough on one side, left");
}

#[test]
fn every_command_word_is_taken() {
    let bench = Bench::new();
    bench.trace("help\n").code(0).says("not possible WHY").says("conditions heat=hot");
    bench.trace("why\n").code(0).says("likely): then").says("Instead: ").says("in all to a proven cure");
    bench.trace("ranking\n").code(0).says("in play (plug-fouled at left");
    bench.trace("because lead-open at left 3\n").code(0).says("No answer has moved its odds");
    bench.trace("because nothing at left 3\n").code(0).never_says("panicked");
    bench.trace(&format!("{FIND}because lead-open at left 3\n")).code(0).says("times more likely");
    bench
        .trace("other lead-ohms left 3\n1\nyes\nnormal\nbecause lead-open at left 3\n")
        .code(0)
        .says("times less likely");
    bench.trace("conditions heat=hot damp=wet\n").code(0).says("Conditions now: damp wet, heat hot");
    bench.trace("showing yes\n").code(0).says("The complaint is showing");
    bench.trace("showing yes\nundo\n").code(0).says("Taken back: The complaint is showing");
    bench.trace("undo\n").code(0).says("nothing to take back");
    bench.trace("skip\n").code(0).never_says("not understood");
    bench
        .trace("other plug-look left 3\n1\nnot possible no spanner\n")
        .code(0)
        .says("Not possible: Look at the plug, left 3");
    bench.trace("other plug-look left 3\n1\nskip\n").code(0).says("Passed over for now: Look at the plug, left 3");
    bench.trace("other zebra\n").code(0).says("Nothing has \"zebra\"");
    bench.trace("proof no\n").code(0).says("the complaint did not show");
    bench.trace("confirm lead-open at left 2\n").code(0).says("Found for certain: lead open, left 2");
    bench.trace("confirm lead-open\n").code(0).says("at several sites");
    bench.trace("correct replace-lead at left 2\n").code(0).says("Corrected: ").says("left 2");
    bench.trace("close not-found ran out of time\n").code(0).says("Closed: not reproduced (ran out of time)");
    bench
        .trace("close cured\nclose stopped\n\nclose stopped No time left.\n")
        .code(0)
        .says("it is not proven cured")
        .says("nothing was put right")
        .says("not yet proven gone by a run")
        .says("say in the closing remark why")
        .says("Closed: stopped (No time left.)");
    bench
        .trace("close\n3\nno time\n")
        .code(0)
        .says("It cannot end as \"cured and proven\" yet: nothing was put right")
        .says("Closed: stopped (no time)");
    bench.trace("quit\nnote late\n").code(0).never_says("late");
}

#[test]
fn wrong_input_says_what_is_accepted_and_enters_nothing() {
    let bench = Bench::new();
    let check = "other lead-ohms left 3\n1\nyes\n";
    for (typed, words) in [
        ("banana\n", "Not entered"),
        ("8.2 V\n", "is a voltage"),
        ("-4 ohm\n", "cannot be right"),
        ("90000 rpm\n", "Not entered"),
        ("1\nwhat\n", "Nothing was entered"),
        ("\n", "Type a number from 1 to 3"),
        ("showing maybe\n", "showing yes, showing no or showing unknown"),
        ("conditions heat=tepid\n", "cold or hot"),
        ("conditions\n", "NAME=LEVEL"),
        ("correct banana at left 3\n", "no correction \"banana\""),
        ("correct replace-lead at upstairs\n", "not a site"),
        ("proof\n", "proof yes if"),
        ("note\n", "note and then the words"),
        ("80 ohm at 900 C\n", "outside -60 to 400 C"),
    ] {
        let run = bench.trace(&format!("{check}{typed}")).code(0).says(words).plainly();
        let report = bench.run(&["report", &run.job(), "--format", "json"]).code(0).json();
        assert_eq!(report["checks"].as_array().unwrap().len(), 0, "{typed}");
    }
}

#[test]
fn a_caution_comes_before_any_answer() {
    let bench = Bench::new();
    let run = bench.trace("other lead-ohms left 3\n1\n2\nopen\nskip\n").code(0).says("The caution comes first");
    let report = bench.run(&["report", &run.job(), "--format", "json"]).json();
    assert_eq!(report["checks"].as_array().unwrap().len(), 0);
}

#[test]
fn a_number_that_can_be_a_reading_is_asked_about() {
    let bench = Bench::new();
    let check = "other lead-ohms left 3\n1\nyes\n";
    bench
        .trace(&format!("{check}2\n1\n1\n"))
        .code(0)
        .says("A reading of 2 ohm")
        .says("Resistance of the lead, left 3 upper: Open.");
    bench.trace(&format!("{check}2\n2\n")).code(0).says("read 2");
    bench.trace(&format!("{check}o\n1\n")).code(0).says("left 3 upper: Open.");
    bench.trace(&format!("{check}Open\n1\n")).code(0).says("left 3 upper: Open.");
}

#[test]
fn what_leaves_no_doubt_is_asked_about_before_it_is_saved() {
    let bench = Bench::new();
    let check = "other lead-ohms left 3\n1\nyes\n";
    let seen = bench.trace(&format!("{check}o\n1\n")).code(0).says("Seen with your own eyes?");
    seen.says("left 3 upper: Open.").never_says("only looks so.");
    bench.trace(&format!("{check}o\n2\n")).code(0).says("Open, only looks so.");
    bench.trace(&format!("{check}o\nperhaps\n")).code(0).says("Nothing was entered").never_says("left 3 upper: Open.");
    // A reading that leaves no doubt speaks for itself.
    bench.trace(&format!("{check}OL\n")).code(0).never_says("Seen with your own eyes?");
}

#[test]
fn a_reading_that_cannot_tell_outcomes_apart_is_asked_about() {
    let bench = Bench::new();
    let check = "other lead-ohms left 3\n1\nyes\n900 kohm\n";
    let run = bench.trace(&format!("{check}1\n")).code(0).says("The reading alone does not tell").says("put right");
    let report = bench.run(&["report", &run.job(), "--format", "json"]).json();
    assert_eq!(report["checks"][0]["reading"], "900 kohm");
    assert_eq!(report["checks"][0]["outcome"], "High");
    bench.trace(&format!("{check}3\n")).code(0).says("counts for each of them alike");
}

#[test]
fn hostile_lines_do_no_harm() {
    let bench = Bench::new();
    let long = "x".repeat(200_000);
    let run =
        bench.trace(&format!("note \u{1b}[2Jgone\u{202e}\n{long}\nnote after\n")).code(0).plainly().says("Note: after");
    bench.run(&["report", &run.job(), "--whole"]).code(0).plainly().says("<U+001B>");
    let page = bench.run(&["report", &run.job(), "--format", "html", "--whole"]).code(0).plainly();
    assert!(!page.out.contains("<U+001B>") && page.out.contains("&lt;U+001B&gt;"));
}

#[test]
fn what_does_not_fit_is_refused_before_the_first_question() {
    let bench = Bench::new();
    bench.typed(&["trace", "--plain", "--layout", "four"], USUAL).code(2).complains("four-magneto");
    let args = ["trace", "--plain", "--layout", "four-magneto", "--complaint"];
    bench.typed(&[&args[..], &["rough-one-sied"]].concat(), USUAL).code(2).complains("did you mean \"rough-one-side\"");
    bench.typed(&[&args[..], &["engine-stops", "--at", "left"]].concat(), USUAL).code(2).complains("it is at engine");
    bench.typed(&["trace", "--plain", "--aircraft", "nowhere.yaml"], USUAL).code(2).complains("cannot be read");
    assert!(bench.record_files().is_empty());
}

#[test]
fn an_aircrafts_card_brings_its_layout_and_stays_with_the_job() {
    let bench = Bench::new();
    let card = bench.file(
        "card.yaml",
        "format: roughrun-aircraft-1\nregistration: X-TEST\ntitle: Invented\nlayout: four-magneto\nengine-hours: 812\nparts:\n  - {part: lead, at: left 3, fitted-hours: 100}\n",
    );
    let args = ["trace", "--plain", "--aircraft", &card, "--complaint", "rough-one-side", "--at", "left"];
    let run = bench.typed(&args, &format!("{USUAL}ranking\n")).code(0);
    std::fs::remove_file(&card).unwrap();
    bench.run(&["report", &run.job()]).code(0).says("X-TEST, Invented, 812 engine hours");
    bench.typed(&["resume", "--plain"], "quit\n").code(0).never_says("differ");
}

#[test]
fn what_was_worked_on_is_asked_and_every_answer_kept_apart() {
    let args = ["trace", "--plain", "--layout", "four-two-magnetos", "--complaint", "rough-one-side", "--at", "left"];
    for (typed, kept) in [
        ("\n", r#""recent-work":"not-known""#),
        ("nothing\n", r#""recent-work":"nothing""#),
        ("leads-off left\nnothing\n", r#""recent-work":"nothing""#),
        ("plugs-out left 3\n\n", r#""recent-work":[{"at":"left 3","work":"plugs-out"}]"#),
        (
            "3 at left 3\nswitch-wiring\n3 left 3\n\n",
            r#"[{"at":"left 3","work":"plugs-out"},{"at":"engine","work":"switch-wiring"}]"#,
        ),
    ] {
        let bench = Bench::shipped();
        // Five conditions by Enter, then what was worked on, no words and no name.
        let run = bench.typed(&args, &format!("\n\n\n\n\n{typed}\n\nquit\n")).code(0).plainly();
        run.says("What was worked on since it last ran well?")
            .says("plugs out and refitted, cleaned or not (plugs-out)");
        let record = std::fs::read_to_string(&bench.record_files()[0]).unwrap();
        assert!(record.contains(kept), "{kept} for {typed:?}\n{record}");
    }
    let bench = Bench::shipped();
    let wrong = "plugs-oot left\n99 left\nplugs-out\nplugs-out aft\npoints-set cylinder 2\nleads-off left\n\n";
    bench
        .typed(&args, &format!("\n\n\n\n\n{wrong}\n\nquit\n"))
        .code(0)
        .says("There is no kind of work \"plugs-oot\". Did you mean plugs-out?")
        .says("Type a number from 1 to")
        .says("Say where as well: plugs out and refitted, cleaned or not can be at engine, left, right,")
        .says("\"aft\" is no place here")
        .says("breaker points set, cleaned or changed cannot be at cylinder 2 in this engine; it can be at engine, left, right.")
        .says("Worked on: leads or harness off and refitted, left.");
    bench.run(&["report", "last"]).code(0).says("Work before").says("leads or harness off and refitted, left");
}
