//! A record walked again: the planner's own job has nothing to talk over, and each thing worth talking over is found in a job that was
//! worked as it should not be.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::sync::Arc;

use roughrun::analysis::course;
use roughrun::job::{Answer, Disturbed, Ending, Entry, Job, Levels, Logged, Opening};
use roughrun::model::Model;
use roughrun::review::replay::{MarkKind, Replay, Step, steps};
use roughrun::teststand::{Engine, play};
use roughrun::trees::Library;
use roughrun::work::Action;

fn model() -> Arc<Model> {
    let library = Library::embedded().unwrap_or_else(|d| panic!("{d:?}"));
    let layout = library.layout("four-two-magnetos").unwrap_or_else(|d| panic!("{d:?}"));
    Arc::new(library.expand(&layout).unwrap_or_else(|d| panic!("{d:?}")))
}

fn opened(model: &Arc<Model>) -> Job {
    let worked_on = Disturbed { what: "lead".into(), at: "left 3".parse().unwrap() };
    let opening = Opening {
        disturbed: vec![worked_on],
        ..Opening::of("four-two-magnetos", "rough-one-side", "left".parse().unwrap())
    };
    let entry = Entry::Opened(Box::new(opening));
    Job::replay(Arc::clone(model), vec![Logged { number: 1, when: "2026-11-25T09:00:00+01:00".into(), entry }]).unwrap()
}

fn enter(job: &mut Job, entry: Entry) -> u64 {
    let number = job.next_number();
    job.enter(Logged { number, when: "2026-11-25T09:30:00+01:00".into(), entry }).unwrap();
    number
}

fn look(check: &str, at: &str, outcome: &str) -> Entry {
    Entry::Answer(Answer::outcome(check, at.parse().unwrap(), outcome))
}

fn corrected(correction: &str, at: &str) -> Entry {
    Entry::Corrected { correction: correction.into(), at: at.parse().unwrap() }
}

fn closed(how: Ending) -> Entry {
    Entry::closed(how, String::new())
}

/// Acknowledges whatever the next piece of work asks for, as the screens would.
fn caution(job: &mut Job, entry: &Entry) {
    let model = job.shared_model();
    let action = entry.action(&model).unwrap_or(Action::ProofRun);
    for hazard in job.state().cautions(&model, action) {
        enter(job, Entry::Acknowledged { hazard: model[hazard].name.clone() });
    }
}

fn kinds(step: &Step) -> Vec<MarkKind> {
    step.marks.iter().map(|m| m.kind).collect()
}

fn step_of(replay: &Replay, number: u64) -> &Step {
    replay.steps.iter().find(|s| s.number == number).unwrap()
}

#[test]
fn a_job_worked_as_the_planner_says_has_nothing_to_talk_over() {
    let model = model();
    let mut job = opened(&model);
    let cause = model.find_cause("lead-open", "left 3".parse().unwrap()).unwrap();
    let reported = job.state().reported.clone();
    let mut engine = Engine::typical(&model, job.state().complaint, &reported, &[cause]).unwrap();
    play(&mut job, &mut engine, 150).unwrap();
    let replay = Replay::of(&job);
    assert_eq!(replay.steps.len(), job.log().len());
    assert!(replay.totals.choices > 5, "{:?}", replay.totals);
    assert_eq!(replay.totals.as_recommended, replay.totals.choices);
    assert_eq!((replay.totals.over, replay.totals.marks), (0.0, 0));
    assert!((replay.totals.minutes - job.state().minutes).abs() < 1e-9);
    let spent: f64 = replay.steps.iter().map(|s| s.minutes).sum();
    assert!((spent - job.state().minutes).abs() < 1e-9, "the minutes of the steps are those of the job");
    for (one, next) in replay.steps.iter().zip(&replay.steps[1..]) {
        assert!((one.expected_after - next.expected_before).abs() < 1e-9, "entry {}", next.number);
    }
    // What the job itself says after each telling entry is what the replay says.
    for moment in course(&job) {
        let step = step_of(&replay, moment.number);
        assert!((step.expected_after - moment.expected).abs() < 1e-6, "entry {}", moment.number);
        for suspect in &step.suspects {
            assert!((suspect.after - moment.causes[suspect.id.0].present).abs() < 1e-6);
        }
    }
}

#[test]
fn what_was_left_out_is_marked() {
    let model = model();
    let mut job = opened(&model);
    // A pass on a lead at rest, with no caution read, is taken for an all-clear: the magneto is exchanged in its place.
    let bare = enter(&mut job, look("lead-continuity", "left 3", "normal"));
    let round = enter(&mut job, look("lead-continuity", "left 1", "normal"));
    let mend = corrected("exchange-magneto", "left");
    caution(&mut job, &mend);
    let mend = enter(&mut job, mend);
    // What the work made necessary is done, but nobody runs it under what was reported.
    enter(&mut job, look("timing-to-engine-reading", "left", "normal"));
    enter(&mut job, look("off-test", "engine", "normal"));
    // In a record of old it could be closed as cured all the same; then that is asked about too.
    let number = job.next_number();
    let mut old = job.log().to_vec();
    old.push(Logged { number, when: "2026-11-25T09:30:00+01:00".into(), entry: closed(Ending::CuredProven) });
    let old = Replay::of(&Job::replay(Arc::clone(&model), old).unwrap());
    assert_eq!(kinds(step_of(&old, number)), [MarkKind::NoProofRun]);
    assert!(
        step_of(&old, number).marks[0].words.contains("corrected, not proven"),
        "{:?}",
        step_of(&old, number).marks
    );
    let end = enter(&mut job, Entry::closed(Ending::CorrectedNotProven, "No time left.".into()));
    let replay = Replay::of(&job);
    assert_eq!(kinds(step_of(&replay, bare)), [MarkKind::CautionSkipped]);
    assert_eq!(kinds(step_of(&replay, round)), [], "one round is one piece of work");
    assert_eq!(kinds(step_of(&replay, mend)), []);
    assert_eq!(kinds(step_of(&replay, end)), [MarkKind::NoProofRun]);
    assert_eq!(step_of(&replay, end).marks[0].entries, [mend]);
    assert!(step_of(&replay, mend).choice.as_ref().unwrap().over.unwrap() > 20.0, "an exchange in vain costs");
}

fn cleared(replay: &Replay, number: u64) -> Option<Vec<u64>> {
    let marks = &step_of(replay, number).marks;
    marks.iter().find(|m| m.kind == MarkKind::SleepingFaultCleared).map(|m| m.entries.clone())
}

#[test]
fn a_sleeping_fault_cleared_on_one_pass_is_marked_and_one_tried_while_it_showed_is_not() {
    let model = model();
    let told = |showing: bool| {
        let mut job = opened(&model);
        let entry = look("lead-continuity", "left 3", "normal");
        caution(&mut job, &entry);
        // Where it opens the cowling a new spell begins: it is told whether it shows in that one.
        let pass = enter(&mut job, entry);
        enter(&mut job, Entry::Showing { showing: Some(showing), ran: false });
        let mend = corrected("exchange-magneto", "left");
        caution(&mut job, &mend);
        let mend = enter(&mut job, mend);
        let run = Entry::ProofRun { showing: true, levels: Levels::default() };
        caution(&mut job, &run);
        enter(&mut job, run);
        // It was the lead after all, found by eye.
        enter(&mut job, Entry::Confirmed { cause: "lead-open".into(), at: "left 3".parse().unwrap() });
        (pass, cleared(&Replay::of(&job), mend))
    };
    let (pass, asked) = told(false);
    assert_eq!(asked, Some(vec![pass]));
    assert_eq!(told(true).1, None);
}

#[test]
fn a_job_given_up_after_a_quiet_run_is_marked() {
    let model = model();
    let told = |showing: bool| {
        let mut job = opened(&model);
        let entry = look("run-up-drop", "left", "normal");
        caution(&mut job, &entry);
        let pass = enter(&mut job, entry);
        enter(&mut job, Entry::Showing { showing: Some(showing), ran: false });
        let end = enter(&mut job, closed(if showing { Ending::NotFound } else { Ending::NotReproduced }));
        (pass, cleared(&Replay::of(&job), end))
    };
    let (pass, asked) = told(false);
    assert_eq!(asked, Some(vec![pass]));
    assert_eq!(told(true).1, None);
}

#[test]
fn a_part_replaced_that_measured_good_is_marked_and_one_that_was_the_cure_is_not() {
    let model = model();
    let told = |outcome: &str| {
        let mut job = opened(&model);
        let entry = look("lead-continuity", "left 3", outcome);
        caution(&mut job, &entry);
        let pass = enter(&mut job, entry);
        let entry = corrected("replace-lead", "left 3");
        caution(&mut job, &entry);
        let mend = enter(&mut job, entry);
        let run = Entry::ProofRun { showing: outcome == "normal", levels: Levels::default() };
        caution(&mut job, &run);
        enter(&mut job, run);
        (pass, Replay::of(&job), mend)
    };
    let (pass, replay, mend) = told("normal");
    let marks = &step_of(&replay, mend).marks;
    let good = marks.iter().find(|m| m.kind == MarkKind::GoodPartReplaced).unwrap_or_else(|| panic!("{marks:?}"));
    assert_eq!(good.entries, [pass]);
    let (_, replay, mend) = told("open");
    assert_eq!(step_of(&replay, mend).marks, []);
}

#[test]
fn what_was_taken_back_is_walked_but_not_held_against_anybody() {
    let model = model();
    let mut job = opened(&model);
    let bare = enter(&mut job, look("lead-continuity", "left 3", "open"));
    let undo = enter(&mut job, Entry::Undo { of: bare });
    enter(&mut job, Entry::Remark { by: "L. Lead".into(), text: "A slip of the key?".into(), of: Some(bare) });
    enter(&mut job, Entry::Reviewed { by: "L. Lead".into() });
    let replay = Replay::of(&job);
    let step = step_of(&replay, bare);
    assert_eq!((step.taken_back_by, step.marks.len()), (Some(undo), 0));
    assert_eq!(step.remarks[0].text, "A slip of the key?");
    let open = step.suspects.iter().find(|s| s.cause == "lead-open" && s.at == "left 3").unwrap();
    assert!(open.after > 2.0 * open.before, "{open:?}");
    let back = step_of(&replay, undo);
    assert!((back.expected_after - step.expected_before).abs() < 1e-6, "taken back, things stand as before");
    assert_eq!(replay.totals.choices, 0);
    // Nothing is worked out of an entry before it is asked for.
    assert_eq!(steps(&job).len(), job.log().len());
}
