//! Keys in, screens and entries out.

use super::play::Play;
use crate::job::{Ending, Entry, NoWork, RecentWork, WorkDone};
use crate::tui::effect::Then;
use crate::tui::input::{Input, Key};

#[test]
fn from_the_bench_to_the_first_check_in_five_keys() {
    let mut play = Play::new();
    play.keys("1 1 1 1 enter");
    assert!(matches!(play.desk.log().as_slice(), [Entry::Opened(_)]));
    play.sees("CAUTION");
    play.keys("a");
    play.sees("answer");
    play.sees("Look at the plug");
}

#[test]
fn a_letter_answers_and_undo_takes_it_back_exactly() {
    let mut play = Play::on_walk();
    play.keys("a");
    let before = play.app.ranked().unwrap().posterior().clone();
    play.keys("f");
    play.sees("Saved as entry 3");
    play.sees("proven");
    play.keys("U");
    play.sees("Taken back: entry 3");
    assert_eq!(play.app.ranked().unwrap().posterior(), &before);
    assert!(matches!(play.desk.log().last(), Some(Entry::Undo { of: 3 })));
}

#[test]
fn a_caution_waits_for_its_key_and_is_kept() {
    let mut play = Play::on_walk();
    play.keys("n f enter 8 d");
    assert_eq!(play.desk.log().len(), 1, "nothing is answered behind a caution");
    play.keys("a");
    assert!(matches!(play.desk.log().last(), Some(Entry::Acknowledged { hazard }) if hazard == "live-propeller"));
}

#[test]
fn a_reading_is_judged_before_it_is_entered() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a");
    play.keys("8 0 enter");
    play.sees("GOOD: Continuous, within limits");
    let before = play.desk.log().len();
    play.keys("esc back back 9 k enter");
    play.sees("NOT GOOD: Higher than it should be");
    assert_eq!(play.desk.log().len(), before, "nothing is entered yet");
    play.keys("enter");
    let Some(Entry::Answer(answer)) = play.desk.log().last().cloned() else { panic!("no answer") };
    assert_eq!((answer.reading.as_deref(), answer.outcome), (Some("9k"), None));
}

#[test]
fn a_reading_that_fits_several_outcomes_asks_which() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a 2 0 0 enter");
    play.sees("WHICH?");
    // The letter of an outcome that the reading cannot mean does nothing.
    play.keys("o");
    play.sees("WHICH?");
    play.keys("t");
    let Some(Entry::Answer(answer)) = play.desk.log().last().cloned() else { panic!("no answer") };
    assert_eq!((answer.reading.as_deref(), answer.outcome.as_deref()), (Some("200"), Some("high")));
}

#[test]
fn a_reading_nobody_can_take_is_refused_with_its_reason() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a - 5 enter");
    play.sees("reading  -5");
    let before = play.desk.log().len();
    play.keys("enter");
    assert_eq!(play.desk.log().len(), before);
    play.keys("back back n");
    assert_eq!(play.desk.log().len(), before + 1, "with the field empty, letters are answers again");
}

#[test]
fn a_digit_where_no_reading_is_taken_says_so() {
    let mut play = Play::on_walk();
    play.keys("a 5");
    play.sees("takes no reading");
}

#[test]
fn enter_marks_first_and_enters_second() {
    let mut play = Play::on_walk();
    play.keys("a enter");
    assert_eq!(play.desk.log().len(), 2);
    play.keys("enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::Answer(a)) if a.outcome.as_deref() == Some("normal")));
}

#[test]
fn a_side_that_keeps_firing_warns_on_every_screen() {
    let mut play = Play::on_walk();
    play.keys("/ \"switch_check,_left enter a a");
    play.sees("Keeps firing on OFF");
    play.keys("f");
    play.sees("WARNING: The left side may be live");
    for way in ["T", "esc L", "esc ?", "esc N", "esc C", "esc O"] {
        play.keys(way);
        play.sees("WARNING: The left side may be live");
    }
    play.keys("esc U");
    play.sees_not("WARNING");
}

#[test]
fn a_job_from_complaint_to_cured() {
    let mut play = Play::on_walk();
    // The first plug is fouled; it is cleaned, and the proof run shows nothing.
    play.keys("a f");
    play.keys("F \"clean_left_1 enter d");
    assert!(matches!(play.desk.log().last(), Some(Entry::Corrected { correction, .. }) if correction == "clean-plug"));
    play.keys("R a n");
    assert!(matches!(play.desk.log().last(), Some(Entry::ProofRun { showing: false, .. })));
    play.sees("put right");
    play.keys("E 1");
    play.keys("\"cleaned,_runs_well enter");
    let Some(Entry::Closed { how, note, .. }) = play.desk.log().last().cloned() else { panic!("not closed") };
    assert_eq!((how, note.as_str()), (Ending::CuredProven, "cleaned, runs well"));
    play.sees("ROUGHRUN JOB REPORT");
    play.keys("esc");
    play.sees("The bench");
    play.sees("closed");
    // A closed record is looked at and not changed.
    play.keys("2");
    let entries = play.app.job().unwrap().log().len();
    play.sees("ROUGHRUN JOB REPORT");
    play.keys("U X");
    play.keys("T");
    play.sees_not("take back");
    play.keys("enter U");
    assert_eq!(play.app.job().unwrap().log().len(), entries);
}

#[test]
fn a_closing_can_be_taken_back() {
    let mut play = Play::on_walk();
    // Stopped without a word why is asked again.
    play.keys("a E 3 enter");
    play.sees("say in the closing remark why");
    play.keys("\"no_time enter U");
    play.sees("Taken back");
    play.keys("K esc n");
    assert!(matches!(play.desk.log().last(), Some(Entry::Answer(_))));
}

#[test]
fn conditions_begin_a_new_spell_and_the_run_has_its_own() {
    let mut play = Play::on_walk();
    play.keys("a C right right enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::Conditions { levels }) if levels["heat"] == "hot"));
    play.sees("now hot, dry");
    play.keys("C enter");
    play.sees("Nothing was changed");
    play.keys("R a C down right enter");
    play.sees("conditions of the run");
    play.keys("y");
    let Some(Entry::ProofRun { showing: true, levels }) = play.desk.log().last().cloned() else { panic!("no run") };
    assert_eq!(levels["damp"], "wet");
}

#[test]
fn showing_provoking_skipping_noting_and_not_possible_are_entered() {
    let mut play = Play::on_walk();
    play.keys("a W 1");
    assert!(matches!(play.desk.log().last(), Some(Entry::Showing { showing: Some(true), ran: false })));
    play.sees("showing yes");
    play.keys("S");
    assert!(matches!(play.desk.log().last(), Some(Entry::Skipped { .. })));
    play.keys("N \"soot_at_port enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::Note { text }) if text == "soot at port"));
    play.keys("X \"seized enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::NotPossible { why, .. }) if why == "seized"));
    play.keys("P 1 a");
    play.sees("Warm-up");
    play.keys("d");
    assert!(matches!(play.desk.log().last(), Some(Entry::Provoked { provocation }) if provocation == "warm-up-run"));
}

#[test]
fn an_answer_is_put_right_from_the_entries() {
    let mut play = Play::on_walk();
    play.keys("a n T enter a");
    play.sees("puts #3 right");
    play.keys("f");
    let last = play.desk.log().last().cloned();
    assert!(matches!(&last, Some(Entry::Amend { of: 3, .. })), "{last:?}");
    play.sees("proven");
    play.keys("T up U");
    play.sees("Taken back");
}

#[test]
fn a_cause_found_by_eye_is_proven() {
    let mut play = Play::on_walk();
    play.keys("a L \"lead_open_left_1 enter 3");
    assert!(matches!(play.desk.log().last(), Some(Entry::Confirmed { cause, .. }) if cause == "lead-open"));
}

#[test]
fn a_full_disk_offers_another_folder_and_loses_nothing() {
    let mut play = Play::on_walk();
    play.keys("a");
    play.desk.full = true;
    play.keys("f");
    play.sees("not saved");
    play.sees("save somewhere else");
    play.sees("Fouled");
    assert_eq!(play.desk.log().len(), 2);
    play.keys("\"/nowhere enter");
    play.sees("cannot be written");
    (0..8).for_each(|_| drop(play.keys("back").app.notice.clone()));
    play.keys("\"/stick enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::Answer(_))));
    play.sees("Saved as entry 3");
    play.sees("kept in /stick now");
}

#[test]
fn a_full_disk_can_be_tried_again_once_there_is_room() {
    let mut play = Play::on_walk();
    play.keys("a");
    play.desk.full = true;
    play.keys("f enter");
    play.sees("Free some space");
    assert_eq!(play.desk.log().len(), 2);
    play.desk.full = false;
    play.keys("enter");
    assert_eq!(play.desk.log().len(), 3);
    play.sees("Saved as entry 3");
    play.sees_not("kept in");
}

#[test]
fn what_is_not_saved_stands_on_the_screen_and_is_not_left_by_one_press() {
    let mut play = Play::on_walk();
    play.keys("a");
    play.desk.full = true;
    play.keys("f esc down");
    play.sees("NOT SAVED: an entry waits");
    // Another answer is not taken, and brings back the page with the one that waits.
    play.keys("esc n");
    play.sees("this one was not taken");
    play.sees("Fouled");
    play.keys("esc");
    for way in ["esc", "Q"] {
        play.keys(way);
        play.sees("One entry is not saved");
        play.keys("esc down esc");
    }
    assert_eq!(play.input(Input::Key(Key::Ctrl('c'))), Then::GoOn);
    assert_eq!(play.input(Input::Key(Key::Ctrl('c'))), Then::Quit);
    play.keys("\"/stick enter");
    play.sees("Saved as entry 3");
    play.sees_not("NOT SAVED");
    assert_eq!(play.input(Input::Key(Key::Char('Q'))), Then::Quit);
}

#[test]
fn a_job_that_cannot_be_begun_is_begun_elsewhere() {
    // Found out before the first question, and at the last.
    for before in [true, false] {
        let mut play = Play::new();
        play.desk.full = before;
        play.keys("1 1");
        if before {
            play.sees("save somewhere else");
            play.keys("\"/stick enter 1 1 enter");
        } else {
            play.keys("1 1");
            play.desk.full = true;
            play.keys("enter");
            play.sees("save somewhere else");
            play.keys("esc enter enter");
            play.sees("Free some space");
            play.keys("\"/stick enter");
            play.sees("begun and saved. Records are kept in /stick now");
        }
        assert!(matches!(play.desk.log().as_slice(), [Entry::Opened(_)]), "{before}");
    }
}

#[test]
fn an_aircraft_card_brings_its_engine() {
    let mut play = Play::new();
    play.keys("1 2 \"wrong.yaml enter");
    play.sees("Mend the path");
    (0..10).for_each(|_| drop(play.keys("back").app.notice.clone()));
    play.keys("\"card.yaml enter 1 2");
    play.sees("X-RUFF");
    play.keys("enter a a");
    play.sees("X-RUFF");
}

#[test]
fn the_intake_takes_what_is_known_and_refuses_what_cannot_be() {
    let mut play = Play::new();
    play.keys("1 1 1 1 up \"misses_in_the_climb up \"Kim");
    play.keys("up space \"leads enter \"left_1 enter esc esc");
    play.sees("leads off and refitted, left 1 upper");
    play.keys("up \"9x enter");
    play.sees("give a number");
    play.keys("back back \"120 enter");
    let Some(Entry::Opened(opening)) = play.desk.log().first().cloned() else { panic!("not opened") };
    assert_eq!(opening.window_hours, Some(120.0));
    assert_eq!((opening.mechanic.as_str(), opening.words.as_str()), ("Kim", "misses in the climb"));
    let one = WorkDone { work: "leads-off".into(), at: "left 1".parse().unwrap() };
    assert_eq!(opening.recent_work, Some(RecentWork::Done(vec![one])));
    assert!(opening.disturbed.is_empty());
}

/// The answer to what was worked on that a job was opened with after these keys on its row.
fn worked_on(keys: &str) -> Option<RecentWork> {
    let mut play = Play::new();
    play.keys("1 1 1 1 up up up space");
    play.sees("What was worked on since it last ran well?");
    play.keys(keys);
    play.keys("enter");
    let Some(Entry::Opened(opening)) = play.desk.log().first().cloned() else { panic!("not opened") };
    opening.recent_work
}

#[test]
fn every_answer_to_what_was_worked_on_is_kept_apart() {
    let done = |list: &[(&str, &str)]| {
        let one = |(work, at): &(&str, &str)| WorkDone { work: (*work).into(), at: at.parse().unwrap() };
        Some(RecentWork::Done(list.iter().map(one).collect()))
    };
    assert_eq!(worked_on("esc"), Some(RecentWork::Said(NoWork::NotKnown)), "left as it was");
    assert_eq!(worked_on("enter"), Some(RecentWork::Said(NoWork::NotKnown)));
    assert_eq!(worked_on("down enter"), Some(RecentWork::Said(NoWork::Nothing)));
    assert_eq!(worked_on("\"switch enter esc"), done(&[("switch-wiring", "engine")]), "one place only, so not asked");
    let both = "\"leads enter enter \"right enter esc \"switch enter esc";
    assert_eq!(worked_on(both), done(&[("leads-off", "engine"), ("leads-off", "right"), ("switch-wiring", "engine")]));
    assert_eq!(worked_on("\"switch enter enter esc"), Some(RecentWork::Said(NoWork::NotKnown)), "marked and unmarked");
    assert_eq!(worked_on("\"switch enter \"nothing enter"), Some(RecentWork::Said(NoWork::Nothing)), "takes it back");
    assert_eq!(worked_on("down enter space \"switch enter esc"), done(&[("switch-wiring", "engine")]));
}

#[test]
fn a_paste_with_control_characters_is_shown_and_steers_nothing() {
    let mut play = Play::on_walk();
    play.keys("a N");
    play.input(Input::Paste("hot\u{1b}[2J\u{202e}start\nsecond".into()));
    play.keys("enter");
    let screen = play.screen(80, 24);
    assert!(!screen.contains('\u{1b}') && !screen.contains('\u{202e}'));
    let Some(Entry::Note { text }) = play.desk.log().last().cloned() else { panic!("no note") };
    assert!(text.contains("start second"), "{text}");
}

#[test]
fn leaving_and_suspending_are_the_loop_s() {
    let mut play = Play::on_walk();
    assert_eq!(play.input(Input::Key(Key::Ctrl('z'))), Then::Suspend);
    assert_eq!(play.input(Input::Key(Key::Char('Q'))), Then::Quit);
    play.keys("a N");
    assert_eq!(play.input(Input::Key(Key::Char('Q'))), Then::GoOn, "in a text Q is a letter");
    assert_eq!(play.input(Input::Key(Key::Ctrl('c'))), Then::Quit);
}

#[test]
fn after_a_night_one_key_says_that_it_is_still_hot() {
    let mut play = Play::on_walk();
    play.keys("a a a C right right enter");
    assert!(play.screen(100, 30).contains("hot"));
    play.desk.next_day = true;
    play.keys("N \"back enter");
    let asked = play.screen(100, 30);
    assert!(asked.contains("Or is it still hot") && asked.contains("now cold"), "{asked}");
    play.keys("Y");
    let still = play.screen(100, 30);
    assert!(still.contains("now hot") && !still.contains("Or is it still"), "{still}");
}

#[test]
fn every_action_of_the_table_is_handled() {
    use crate::tui::action::Context;
    use crate::tui::commands::offered;
    use crate::tui::table::TABLE;
    // Every key offered somewhere changes the screen, the job or the program's course.
    let idle = [
        "up",
        "down",
        "caret left",
        "caret right",
        "start",
        "end",
        "page up",
        "page down",
        "take away",
        "redraw",
        "left",
        "right",
        "cell before",
        "scroll up",
        "scroll down",
    ];
    let mut handled = std::collections::BTreeSet::new();
    for (_, way) in super::sizes::WAYS {
        let mut here = Play::on_walk();
        here.keys(way);
        let context = here.app.context();
        let keys: Vec<(&str, Key)> = offered(&here.app, context).map(|(row, key)| (row.name, key)).collect();
        for (name, key) in keys {
            let mut play = Play::on_walk();
            play.keys(way);
            play.app.notice = None;
            let before = (play.screen(80, 24), play.desk.log().len());
            let then = play.input(Input::Key(key));
            let after = (play.screen(80, 24), play.desk.log().len());
            if then != Then::GoOn || before != after {
                handled.insert(name);
            }
        }
    }
    handled.extend(idle);
    // These are met on the bench and in the intake only.
    handled.extend(["begin the job", "next row", "row before", "go on", "review", "learn", "practise"]);
    // The one wants a night between two entries, the other an answer that does not fit.
    handled.extend(["still so", "look again"]);
    // These want figures that may be accepted, and work that goes on: both are played with the lead's screens.
    handled.extend(["accept", "accept all", "write", "stop"]);
    for row in TABLE {
        assert!(handled.contains(row.name), "{} does nothing on any screen", row.name);
    }
    assert_eq!(Context::ALL.len(), 23);
}
