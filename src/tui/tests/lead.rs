//! The lead's screens, played with keys: the list, a record walked again, what is said of it, and what the records teach.

use super::play::Play;
use crate::job::Entry;
use crate::learn::RateLesson;
use crate::spread::Spread;
use crate::tui::app::Screen;
use crate::tui::input::Input;
use crate::tui::message::Message;
use crate::tui::work::News;

/// A job with two answers, put away, and the list of records open.
fn at_the_records() -> Play {
    let mut play = Play::on_walk();
    play.keys("a n n esc R");
    play
}

#[test]
fn the_list_is_searched_as_it_is_typed_and_narrowed() {
    let mut play = at_the_records();
    play.sees("1 of 1");
    play.keys("\"state:closed");
    play.sees("0 of 1");
    play.sees("No record fits");
    play.keys("esc");
    play.sees("1 of 1");
    // Half a word is no fault that hides the list, and a wrong one says what there is.
    play.keys("\"state:gone");
    play.sees("give one of open");
    play.keys("esc tab");
    play.sees("Narrow the list by");
    play.sees("state:open");
    play.keys("enter");
    let Screen::Review(view) = play.app.top() else { panic!("no list") };
    assert_eq!(view.search.text(), "state:open");
    assert_eq!(view.found.len(), 1);
    // Of one kind there is one word: another takes its place.
    play.keys("tab \"reviewed:no enter tab \"state:open enter");
    let Screen::Review(view) = play.app.top() else { panic!("no list") };
    assert_eq!(view.search.text(), "reviewed:no state:open");
    play.keys("esc esc");
    play.sees("The bench");
}

#[test]
fn a_record_is_walked_with_the_arrows_and_says_what_was_recommended() {
    let mut play = at_the_records();
    play.keys("enter");
    play.sees("Walked again");
    play.sees("Opened");
    let log = play.app.job().cloned().unwrap().log().len();
    assert_eq!(play.app.walked().unwrap().steps.len(), log);
    assert!(play.app.walked().unwrap().totals.is_some());
    let answered = play.app.walked().unwrap().steps.iter().position(|s| s.choice.is_some()).unwrap();
    for _ in 0..answered {
        play.keys("right");
    }
    play.sees("planner");
    play.sees("to go");
    play.keys("left home end j k h l l l pgdn");
    let Screen::Replay(view) = play.app.top().clone() else { panic!("no replay") };
    assert!(view.at + 1 == log, "{view:?}");
    // What is looked at from here comes back here.
    play.keys("M esc O esc T esc H esc D esc L esc");
    assert!(matches!(play.app.top(), Screen::Replay(_)), "{:?}", play.app.top());
    play.keys("esc");
    play.sees("1 of 1");
}

#[test]
fn a_remark_and_a_review_mark_are_entries_by_name_and_can_be_taken_back() {
    let mut play = at_the_records();
    play.keys("enter down down r");
    play.sees("Who looks at this record?");
    play.keys("\"L._Lead enter \"Why_so? enter");
    let entries = play.desk.all().remove(0);
    let number = play.app.step().unwrap().number;
    let said = Entry::Remark { by: "L. Lead".into(), text: "Why so?".into(), of: Some(number) };
    assert_eq!(entries.last(), Some(&said));
    play.sees("Why so?");
    play.keys("v");
    assert_eq!(play.desk.all()[0].last(), Some(&Entry::Reviewed { by: "L. Lead".into() }));
    play.sees("reviewed by L. Lead");
    // Once more changes nothing, and says so.
    let count = play.desk.all()[0].len();
    play.keys("v");
    assert_eq!(play.desk.all()[0].len(), count);
    play.sees("already");
    // A mechanic's entry is not taken back from here; the lead's own word is.
    play.keys("home U");
    assert_eq!(play.desk.all()[0].len(), count);
    play.keys("end U");
    assert!(matches!(play.desk.all()[0].last(), Some(Entry::Undo { .. })));
    play.keys("esc");
    play.sees("remarks  1");
}

#[test]
fn a_remark_that_cannot_be_saved_is_said_and_stays_to_be_tried_again() {
    let mut play = at_the_records();
    play.desk.full = true;
    play.keys("enter R \"L._Lead enter \"So? enter");
    play.sees("The disk is full");
    play.sees("So?");
    play.desk.full = false;
    play.keys("enter");
    assert!(matches!(play.desk.all()[0].last(), Some(Entry::Remark { of: None, .. })));
}

#[test]
fn a_row_of_the_list_is_marked_and_then_taken_with_the_mouse() {
    let mut play = Play::on_walk();
    play.keys("a n esc 1 1 1 1 enter a esc R");
    play.sees("2 of 2");
    let screen = play.screen(80, 24);
    let row = screen.lines().collect::<Vec<_>>().iter().rposition(|line| line.contains("Rough on one")).unwrap();
    let press = Input::Press(20, u16::try_from(row).unwrap());
    play.input(press.clone());
    assert!(matches!(play.app.top(), Screen::Review(view) if view.cursor == 1), "{:?}", play.app.top());
    play.input(press);
    assert!(matches!(play.app.top(), Screen::Replay(_)));
}

#[test]
fn what_the_records_teach_is_shown_and_what_may_not_be_accepted_is_not_written() {
    let mut play = Play::on_walk();
    play.keys("a n n esc L");
    play.sees("What the records teach");
    play.keys("enter A w");
    assert!(play.app.learn().unwrap().accepted.is_empty());
    assert!(play.desk.written.is_none());
    play.keys("esc");
    play.sees("The bench");
}

#[test]
fn figures_that_may_be_are_accepted_row_by_row_and_only_these_are_written() {
    let mut play = Play::on_walk();
    play.keys("a n n esc L");
    let mut lessons = play.app.learn().unwrap().learnt.as_ref().unwrap().lessons.clone();
    let spread = |mean: f64| Spread { mean, low: mean / 2.0, high: mean * 2.0 };
    let rate = |cause: &str, now: f64| RateLesson {
        cause: cause.into(),
        title: cause.replace('-', " "),
        was: spread(0.1),
        now: spread(now),
        events: 9.0,
        expected: 3.0,
        jobs: 9,
    };
    lessons.rates = vec![rate("plug-fouled", 0.2), rate("lead-open", 0.5)];
    lessons.rates_trial.adopted = true;
    play.tell(Message::News(News::Learnt(Box::new(lessons), Vec::new())));
    // What moved most stands first.
    play.sees("lead open");
    play.keys("enter down enter down enter");
    assert_eq!(play.app.learn().unwrap().accepted.len(), 1, "the first was taken back when the mark came round to it");
    play.keys("A");
    assert_eq!(play.app.learn().unwrap().accepted.len(), 2);
    play.keys("up space w enter");
    let (path, text) = play.desk.written.clone().unwrap();
    assert_eq!(path, "learnt.yaml");
    assert!(text.contains("lead-open: {rate: 0.5") && !text.contains("plug-fouled"), "{text}");
    play.sees("1 figure written to learnt.yaml");
}
