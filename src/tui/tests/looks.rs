//! The engine, the tree, the grid, the palette and what else is looked at, played with keys and the mouse.

use super::play::Play;
use crate::analysis::{Analysis, course};
use crate::job::Entry;
use crate::model::{Side, Site};
use crate::tui::app::Screen;
use crate::tui::input::Input;

fn answers(play: &Play) -> Vec<(String, Option<String>, Option<String>)> {
    let all = play.desk.log().into_iter();
    all.filter_map(|e| match e {
        Entry::Answer(a) => Some((a.at.to_string(), a.reading, a.outcome)),
        _ => None,
    })
    .collect()
}

#[test]
fn the_engine_shows_what_is_known_of_a_site_and_picks_one_for_a_check() {
    let mut play = Play::on_walk();
    play.keys("a n M");
    play.sees("The engine from above");
    play.sees("fired by the left");
    let Screen::Engine(view) = play.app.top().clone() else { panic!("no engine") };
    assert!(matches!(view.at, Site::Plug(Side::Left, _)), "the mark stands where the check in front is: {}", view.at);
    play.keys("enter");
    play.sees("At left");
    play.keys("esc esc / tab right enter");
    let front = play.app.front().and_then(|f| f.check()).unwrap();
    let job = play.app.job().cloned().unwrap();
    assert!(matches!(job.model()[front].site, Site::Plug(..)));
    assert!(play.app.walk().chosen.is_some());
}

#[test]
fn readings_are_typed_down_the_column_judged_and_entered_one_by_one() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a a G");
    play.sees("bare numbers are");
    play.keys("8 0 enter O L enter");
    play.sees("good");
    play.sees("! Open");
    let before = play.desk.log().len();
    assert!(answers(&play).is_empty(), "nothing is entered while it is typed");
    play.keys("enter enter enter");
    assert_eq!(play.desk.log().len(), before + 2);
    let typed = |at: &str, reading: &str| (at.to_owned(), Some(reading.to_owned()), None);
    assert_eq!(answers(&play), [typed("left 1", "80"), typed("left 2", "OL")]);
    play.sees("2 answers saved");
}

#[test]
fn a_run_of_readings_is_pasted_and_the_odd_one_out_is_named() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a a G");
    play.input(Input::Paste("80\n85\n82\n900\n".into()));
    play.sees("ODD ONE OUT");
    let Screen::Grid(grid) = play.app.top().clone() else { panic!("no grid") };
    assert_eq!(grid.values().len(), 4);
    assert!(grid.on_last());
    play.keys("enter");
    assert_eq!(answers(&play).len(), 4);
}

#[test]
fn letters_answer_in_the_grid_and_what_cannot_be_read_is_not_entered() {
    let mut play = Play::on_walk();
    play.keys("a G n enter f enter ? enter");
    let before = play.desk.log().len();
    play.keys("up");
    play.sees("only the letter of an outcome");
    play.keys("down down down down enter");
    play.sees("cannot be taken");
    assert_eq!(play.desk.log().len(), before);
    play.keys("up up back down down down enter");
    let outcomes: Vec<Option<String>> = answers(&play).into_iter().map(|(_, _, outcome)| outcome).collect();
    assert_eq!(outcomes, [Some("normal".to_owned()), Some("fouled".to_owned())]);
}

#[test]
fn a_full_disk_keeps_what_is_in_the_grid() {
    let mut play = Play::on_walk();
    play.keys("/ \"continuity_left_1 enter a a G 8 0 enter 9 0 enter");
    play.desk.full = true;
    play.keys("down down down enter");
    play.sees("not saved");
    play.keys("\"/stick enter");
    assert_eq!(answers(&play).len(), 1);
    let Screen::Grid(grid) = play.app.top().clone() else { panic!("the grid is gone: {:?}", play.app.top()) };
    assert_eq!(grid.entries(play.app.job().unwrap().model()).unwrap().len(), 1);
}

#[test]
fn the_palette_finds_commands_checks_causes_and_sites() {
    let mut play = Play::on_walk();
    play.keys("a : \"note enter \"word enter");
    assert!(matches!(play.desk.log().last(), Some(Entry::Note { text }) if text == "word"));
    play.keys(": \"lead_open_left_2 enter");
    play.sees("lead open, left 2");
    play.keys("esc : \"right_1 enter");
    play.sees("The engine from above");
    play.keys("esc : \"continuity_all_at_once enter a a");
    play.sees("bare numbers are");
}

#[test]
fn a_wrong_answer_in_the_middle_is_put_right_and_what_changed_is_shown() {
    let mut play = Play::on_walk();
    play.keys("a f n n T home down down");
    play.sees("spell");
    play.sees("Fouled");
    play.keys("enter a n");
    let log = play.desk.log();
    assert!(matches!(log.last(), Some(Entry::Amend { of: 3, .. })), "{log:?}");
    play.sees("What the last entry changed");
    play.keys("esc T");
    play.sees("put right later");
}

#[test]
fn the_tree_folds_and_strikes_what_is_shown_good() {
    let mut play = Play::on_walk();
    play.keys("a f D");
    play.sees("The fault tree");
    play.sees("Rough on one side, left");
    let open = play.screen(80, 24);
    play.keys("home left");
    let folded = play.screen(80, 24);
    assert!(folded.lines().filter(|l| l.contains(" %")).count() < open.lines().filter(|l| l.contains(" %")).count());
    play.keys("right");
    assert_eq!(play.screen(80, 24), open);
}

#[test]
fn the_mouse_marks_first_and_takes_then() {
    let mut play = Play::on_walk();
    play.keys("a");
    let screen = play.screen(80, 24);
    let row = screen.lines().position(|l| l.contains("Fouled")).unwrap();
    let row = u16::try_from(row).unwrap();
    let before = play.desk.log().len();
    play.input(Input::Press(20, row));
    assert_eq!(play.desk.log().len(), before);
    play.input(Input::Press(20, row));
    assert!(matches!(play.desk.log().last(), Some(Entry::Answer(a)) if a.outcome.as_deref() == Some("fouled")));
    // A hint does what its key does.
    let screen = play.screen(80, 24);
    let row = screen.lines().position(|l| l.contains("? help")).unwrap();
    let column = screen.lines().nth(row).unwrap().find("? help").unwrap();
    play.input(Input::Press(u16::try_from(column).unwrap(), u16::try_from(row).unwrap()));
    play.sees("The walk");
    play.input(Input::Wheel(true));
    play.input(Input::Press(500, 500));
}

#[test]
fn the_tour_goes_on_by_one_key_and_is_kept_as_seen() {
    let mut play = Play::new();
    play.app.show(Screen::Tour);
    play.sees("Seven keys");
    play.keys("enter");
    play.sees("The bench");
    assert!(play.desk.tour_seen);
}

#[test]
fn the_demo_names_the_key_until_the_cure_is_proven() {
    let mut play = Play::new();
    play.keys("2 a");
    for _ in 0..40 {
        let screen = play.screen(100, 40);
        if play.app.job().unwrap().state().ended.is_some() {
            break;
        }
        if screen.contains("CAUTION") {
            play.keys("a");
            continue;
        }
        let key = screen.split("Press ").nth(1).and_then(|s| s.chars().next());
        match (key, play.app.top()) {
            (Some(key), Screen::Walk) => play.keys(&key.to_string()),
            (_, Screen::Write(..)) => play.keys("enter"),
            _ => play.keys("1"),
        };
    }
    let job = play.app.job().cloned().unwrap();
    assert_eq!(job.state().ended, Some(crate::job::Ending::CuredProven), "{:?}", play.desk.log());
}

#[test]
fn nothing_is_answered_while_the_next_thing_is_worked_out() {
    let mut play = Play::on_walk();
    play.keys("a");
    // As it stands between an entry and its recommendation: nothing is worked out of the job yet.
    play.press(Input::Key(crate::tui::input::Key::Char('n')));
    play.sees("Working out what to do next");
    play.sees("as they stood before");
    let before = play.desk.log().len();
    play.press(Input::Key(crate::tui::input::Key::Char('n')));
    assert_eq!(play.desk.log().len(), before);
    play.work_out();
    play.keys("n");
    assert_eq!(play.desk.log().len(), before + 1);
}

#[test]
fn a_note_and_a_caution_keep_the_recommendation() {
    let mut play = Play::on_walk();
    play.keys("N \"word");
    play.press(Input::Key(crate::tui::input::Key::Enter));
    assert!(play.app.advice_now().is_some());
    play.press(Input::Key(crate::tui::input::Key::Char('a')));
    let job = play.app.job().cloned().unwrap();
    assert!(matches!(job.log().last().unwrap().entry, Entry::Acknowledged { .. }));
    assert!(play.app.advice_now().is_some());
    // And it is the one that would be worked out anew.
    let fresh = Analysis::of(job);
    assert_eq!(play.app.advice_now().unwrap(), fresh.advice());
}

#[test]
fn a_course_taken_over_is_the_course_worked_out() {
    let mut play = Play::on_walk();
    play.keys("a f n n");
    let earlier = play.app.course_now().unwrap().to_vec();
    play.keys("T home down down enter a n esc U n U");
    let job = play.app.job().cloned().unwrap();
    let fresh = course(&job);
    assert_eq!(play.app.course_now().unwrap(), fresh);
    assert_ne!(earlier, fresh);
}

#[test]
fn what_is_typed_in_the_grid_is_not_forgotten_by_one_key() {
    let mut play = Play::on_walk();
    play.keys("a G n esc");
    play.sees("not entered");
    play.keys("esc");
    assert!(matches!(play.app.top(), Screen::Walk));
    assert!(answers(&play).is_empty());
}
