//! Practice line by line, and what is said of it afterwards.

use crate::bench::Bench;

/// Suspects something, makes one check, asks for a hint and closes the job.
const CLUMSY: &str =
    "suspect lead-open at left 3 80\nother run-up drop left\n1\ndo\nyes\nyes\nyes\ndo\nhint\nclose not-found\n";

#[test]
fn a_lesson_is_worked_debriefed_and_counted() {
    let bench = Bench::shipped();
    bench.run(&["practise", "--list"]).code(0).says("side-first").says("Ten jobs: magneto, cold and awake");
    let run = bench
        .typed(&["practise", "--lesson", "side-first", "--by", "R. Vance", "--plain"], CLUMSY)
        .code(0)
        .says("Side first, then cylinder, then part")
        .says("its fault is hidden")
        .says("Suspected: lead open, left 3")
        .says("The planner would:")
        .says("At fault: plug electrodes worn, left 2")
        .says("Not cured: the complaint comes back.")
        .says("Yes: The first check was one of a whole side.")
        .says("Work on next:")
        .never_says("airworthy")
        .plainly();
    let id = run.job();
    bench.run(&["practise", "debrief", &id]).code(0).says("The planner on the same engine");
    let json = bench.run(&["practise", "debrief", &id, "--json"]).code(0);
    let json: serde_json::Value = serde_json::from_str(&json.out).unwrap();
    assert_eq!(json["work"]["hints"], 1);
    assert_eq!(json["faults"][0]["cause"], "plug-worn");
    assert!(json["steps"].as_array().unwrap().len() > 4);
    bench.run(&["practise", "progress", "--by", "R. Vance"]).code(0).says("1 job").says("lesson side-first");
    bench.run(&["practise", "progress", "--by", "Nobody"]).code(0).says("No practice job was closed yet");
}

#[test]
fn what_cannot_be_practised_is_said() {
    let bench = Bench::shipped();
    bench.run(&["practise", "--lesson", "nothing", "--plain"]).code(2).complains("There are: side-first");
    bench.run(&["practise", "--level", "hardest"]).code(2).complains("the levels are awake");
    let run = bench.typed(&["practise", "--seed", "4", "--level", "awake", "--plain"], "why\nundo\nquit\n").code(0);
    let run = run.says("hidden in practice").says("what is done is done").says("Go on with: roughrun resume");
    let id = run.job();
    bench.run(&["practise", "debrief", &id]).code(2).complains("not closed yet");
    bench.typed(&["resume", &id, "--plain"], "quit\n").code(0).says("its fault is hidden");
}
