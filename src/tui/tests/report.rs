//! The write-up on the screen: one page with the rest folded, headings, search, a file, the clipboard.

use super::play::Play;
use crate::tui::app::{App, Screen};
use crate::tui::effect::Then;
use crate::tui::input::{Input, Key};
use crate::tui::report::ReportView;

/// A job with an answer and a note, its report open.
fn at_the_report() -> Play {
    let mut play = Play::on_walk();
    play.keys("a n N \"chocked_at_the_tail enter O");
    play
}

fn view(app: &App) -> &ReportView {
    let Screen::Report(view) = app.top() else { panic!("no report") };
    view
}

#[test]
fn the_page_comes_first_and_one_key_unfolds_the_rest() {
    let mut play = at_the_report();
    assert!(view(&play.app).text.lines().count() <= 60);
    assert!(!view(&play.app).text.contains("chocked at the tail"), "a note is behind the page");
    play.keys("O");
    assert!(view(&play.app).text.contains("chocked at the tail"));
    play.keys("O");
    assert!(!view(&play.app).text.contains("chocked at the tail"));
}

/// The list counts headings over both forms: it must find the page's in the whole at the same places.
#[test]
fn the_headings_of_the_page_are_the_first_of_the_whole() {
    let play = at_the_report();
    let (page, whole) = (&view(&play.app).text, &view(&play.app).folded);
    let (page, whole) = (crate::report::headings(page), crate::report::headings(whole));
    assert!(page.len() > 8 && whole.len() > page.len() + 6, "{page:?} {whole:?}");
    assert_eq!(page, whole[..page.len()]);
}

#[test]
fn tab_goes_from_heading_to_heading_and_back() {
    let mut play = at_the_report();
    play.keys("O");
    play.screen(80, 24);
    let mut seen = Vec::new();
    let count = crate::report::headings(&view(&play.app).text).len();
    for _ in 0..count {
        play.keys("tab");
        seen.push(view(&play.app).scroll);
    }
    assert!(seen.windows(2).all(|pair| pair[0] <= pair[1]), "{seen:?}");
    play.sees("on the screen");
    for _ in 0..count {
        play.keys("backtab");
    }
    assert_eq!(view(&play.app).scroll, 0);
    play.keys("backtab");
    play.sees("no heading further up");
}

#[test]
fn a_heading_of_the_list_is_gone_to_and_what_is_folded_unfolds() {
    let mut play = at_the_report();
    play.keys("G");
    play.sees("Headings of the report");
    play.keys("\"not_signed enter");
    assert!(view(&play.app).text.contains("chocked at the tail"), "it is unfolded");
    let set = view(&play.app).set(78).0;
    let top = &set[view(&play.app).scroll].words;
    assert!(top.to_lowercase().contains("not signed"), "{top}");
    play.keys("O G \"done enter");
    assert!(!view(&play.app).text.contains("chocked at the tail"), "it is on the page");
}

#[test]
fn what_is_searched_is_counted_marked_and_gone_through() {
    let mut play = at_the_report();
    play.keys("/ \"PLUG");
    play.sees("search PLUG");
    let count = view(&play.app).set(78).1.len();
    assert!(count > 2, "{count}");
    play.sees(&format!("1 of {count} found"));
    play.keys("enter n");
    play.sees(&format!("2 of {count} found"));
    play.keys("b b");
    play.sees(&format!("{count} of {count} found"));
    let marked = |play: &mut Play| {
        let buffer = play.buffer(80, 24);
        let reversed = |cell: &&ratatui::buffer::Cell| cell.modifier.contains(ratatui::style::Modifier::REVERSED);
        buffer.content.iter().filter(reversed).map(|cell| cell.symbol().to_owned()).collect::<String>()
    };
    assert_eq!(
        marked(&mut play).to_lowercase(),
        "plug",
        "the place in front, and it alone, is on the screen and marked"
    );
    play.keys("esc");
    play.sees_not("found");
    assert_eq!(marked(&mut play), "");
    play.keys("/ \"chocked");
    play.sees("not here; 2 in the other form, by O");
    play.keys("back back back back back back back \"zzz");
    play.sees("not found");
    play.keys("esc esc");
    assert!(matches!(play.app.top(), Screen::Walk));
}

#[test]
fn a_search_over_the_end_of_a_row_marks_both_pieces() {
    let mut play = at_the_report();
    let (lines, _) = view(&play.app).set(38);
    let at = lines.iter().position(|line| line.goes_on && line.words.trim().contains(' ')).unwrap();
    let last = lines[at - 1].words.split_whitespace().next_back().unwrap().to_owned();
    let next = lines[at].words.split_whitespace().next().unwrap().to_owned();
    play.screen(40, 24);
    play.keys("/");
    format!("{last} {next}").chars().for_each(|c| drop(play.input(Input::Key(Key::Char(c)))));
    let found = view(&play.app).set(38).1;
    assert!(found.iter().any(|place| place.len() == 2), "{last} {next}: {found:?}");
}

#[test]
fn it_is_written_as_it_is_shown_and_only_then_said() {
    let mut play = at_the_report();
    play.keys("S");
    play.sees("Write the report to a file");
    play.sees("job-1.txt");
    play.desk.full = true;
    play.keys("enter");
    play.sees("cannot be written");
    play.sees_not("Written to");
    play.desk.full = false;
    play.keys("enter");
    play.sees("Written to /here/job-1.txt");
    play.sees("what is behind it is");
    let (path, text) = play.desk.written.clone().unwrap();
    assert_eq!((path.as_str(), text.as_str()), ("job-1.txt", view(&play.app).text.as_str()));
    play.keys("O S enter");
    play.sees("Written to");
    play.sees_not("what is behind it");
    assert!(play.desk.written.clone().unwrap().1.contains("chocked at the tail"));
}

#[test]
fn a_copy_is_the_text_as_it_is_shown_and_too_much_is_refused() {
    let mut play = at_the_report();
    let then = play.input(Input::Key(Key::Char('C')));
    assert_eq!(then, Then::Copy(view(&play.app).text.clone()));
    play.sees("Whether it takes them");
    if let Some(Screen::Report(view)) = play.app.stack.last_mut() {
        view.text = "plug\u{1b}]52;c;eA==\u{7}\n".into();
    }
    let Then::Copy(text) = play.input(Input::Key(Key::Char('C'))) else { panic!("nothing copied") };
    assert_eq!(text, "plug<U+001B>]52;c;eA==<U+0007>\n");
    if let Some(Screen::Report(view)) = play.app.stack.last_mut() {
        view.text = "a line of it\n".repeat(8000);
    }
    assert_eq!(play.input(Input::Key(Key::Char('C'))), Then::GoOn);
    play.sees("Not copied: it has 104000 bytes");
}
