//! On the screens: what is said, the exit code, and what is on the disk.

use std::path::Path;
use std::time::Duration;

use rustix::process::Signal;

use crate::plain::ALL_IS_KEPT;
use crate::pty_support::{Seat, started};
use crate::ways::{Way, notes_on_disk};

/// Writes a note, which is entered at any time.
fn note(seat: &mut Seat, words: &str) {
    // A second press of the same key is taken for a bounce when it comes too soon.
    std::thread::sleep(Duration::from_millis(400));
    seat.press("N").sees("A note for the record").press(&format!("{words}\r"));
}

/// A job with two notes, to which it then happens.
fn lost(way: Way, records: &Path) -> Seat {
    std::fs::create_dir_all(records).unwrap();
    let mut seat = started(records);
    note(&mut seat, "first");
    seat.sees("Saved as entry 2");
    way.prepare(records);
    note(&mut seat, "second");
    seat.sees("Saved as entry 3");
    way.happen(records);
    seat
}

fn code(seat: &mut Seat) -> u32 {
    let (took, status) = seat.end();
    assert!(took < Duration::from_secs(3), "{took:?}");
    status.exit_code()
}

#[test]
fn a_record_taken_away_or_replaced_is_noticed_and_written_anew() {
    for way in Way::NAME_LOST {
        let dir = tempfile::tempdir().unwrap();
        let records = dir.path().join("records");
        let mut seat = lost(way, &records);
        note(&mut seat, "third");
        seat.sees("could not be gone on with");
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
        seat.press("Q");
        assert_eq!(code(&mut seat), 0, "{way:?}: {}", seat.text());
        assert!(seat.text().contains(ALL_IS_KEPT), "{way:?}: {}", seat.text());
        seat.is_given_back();
    }
}

/// The screens look twice a minute.
#[test]
fn a_loss_is_noticed_and_mended_while_nobody_enters_anything() {
    let dir = tempfile::tempdir().unwrap();
    let lose = |(at, way): (usize, &Way)| {
        let records = dir.path().join(at.to_string());
        (lost(*way, &records), *way, records)
    };
    let ways = [&Way::NAME_LOST[..], &Way::HURT].concat();
    let lost: Vec<_> = ways.iter().enumerate().map(lose).collect();
    std::thread::sleep(Duration::from_secs(25));
    for (mut seat, way, records) in lost {
        seat.until("that it was written anew", |screen| {
            let words: Vec<String> = screen.contents().split_whitespace().map(str::to_owned).collect();
            words.join(" ").contains("could not be gone on with") && words.join(" ").contains("was written anew")
        });
        assert_eq!(notes_on_disk(&records, way), ["first", "second"], "{way:?}");
        note(&mut seat, "third");
        // A line of the record itself may stand between, that says where it was moved to.
        seat.sees("Note: third").settles();
        assert!(
            seat.text().contains("Saved as entry") && !seat.text().contains("NOT SAVED"),
            "{way:?}: {}",
            seat.text()
        );
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
    }
}

#[test]
fn a_loss_that_cannot_be_mended_is_said_while_nobody_enters_anything() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let mut seat = lost(Way::FolderBlocked, &records);
    seat.press("N").sees("A note for the record").press("half a wo");
    std::thread::sleep(Duration::from_secs(25));
    seat.sees("NOT SAVED").settles();
    // What is being typed stays in front.
    seat.press("rd").sees("half a word").sees("NOT SAVED: the record is not in its place");
    seat.press("\r").sees("save somewhere else");
}

#[test]
fn a_loss_that_nobody_entered_anything_after_is_mended_before_the_job_is_left() {
    for way in [&Way::NAME_LOST[..], &Way::HURT].concat() {
        let dir = tempfile::tempdir().unwrap();
        let records = dir.path().join("records");
        let mut seat = lost(way, &records);
        seat.press("Q");
        assert_eq!(code(&mut seat), 0, "{way:?}: {}", seat.text());
        assert!(seat.text().contains(ALL_IS_KEPT), "{way:?}: {}", seat.text());
        assert_eq!(notes_on_disk(&records, way), ["first", "second"], "{way:?}");
    }
}

#[test]
fn after_a_failed_write_the_screen_says_so_and_leaving_tries_once_more() {
    for way in Way::HURT {
        let dir = tempfile::tempdir().unwrap();
        let records = dir.path().join("records");
        let mut seat = lost(way, &records);
        note(&mut seat, "third");
        seat.sees("NOT SAVED").sees("save somewhere else").settles();
        assert!(!seat.text().contains(ALL_IS_KEPT) && !seat.text().contains("Saved as"), "{}", seat.text());
        seat.press("\u{3}").sees("One entry is not saved");
        std::thread::sleep(Duration::from_millis(400));
        seat.press("\u{3}");
        assert_eq!(code(&mut seat), 0, "{way:?}: {}", seat.text());
        assert!(seat.text().contains(ALL_IS_KEPT), "{way:?}: {}", seat.text());
        assert_eq!(notes_on_disk(&records, way), ["first", "second", "third"], "{way:?}");
    }
}

#[test]
fn what_cannot_be_written_anywhere_is_said_and_ends_with_three() {
    for waits in [false, true] {
        let dir = tempfile::tempdir().unwrap();
        let records = dir.path().join("records");
        let mut seat = lost(Way::FolderBlocked, &records);
        if waits {
            note(&mut seat, "third");
            seat.sees("NOT SAVED");
            std::thread::sleep(Duration::from_millis(400));
            seat.press("\u{3}").sees("One entry is not saved");
            std::thread::sleep(Duration::from_millis(400));
        }
        seat.press("\u{3}");
        assert_eq!(code(&mut seat), 3, "{}", seat.text());
        assert!(!seat.text().contains(ALL_IS_KEPT), "{}", seat.text());
        assert_eq!(seat.text().contains("this entry is lost now: Note: third"), waits, "{}", seat.text());
        seat.is_given_back();
    }
}

#[test]
fn a_job_that_is_not_in_its_place_is_not_put_away() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let mut seat = lost(Way::FolderBlocked, &records);
    seat.press("\u{1b}").sees("save somewhere else").sees("all of the job");
    let stick = dir.path().join("s");
    std::thread::sleep(Duration::from_millis(400));
    seat.press(&format!("{}\r", stick.display())).sees("Records are kept in");
    assert_eq!(notes_on_disk(&stick, Way::FolderBlocked), ["first", "second"]);
    seat.press("Q");
    assert_eq!(code(&mut seat), 0, "{}", seat.text());
    assert!(seat.text().contains(ALL_IS_KEPT), "{}", seat.text());
}

#[test]
fn a_signal_tries_once_more_and_then_says() {
    for (signal, number) in [(Signal::TERM, 143), (Signal::HUP, 129)] {
        for way in [Way::Truncated, Way::Unlinked, Way::StashedAndPopped, Way::FolderBlocked] {
            let dir = tempfile::tempdir().unwrap();
            let records = dir.path().join("records");
            let mut seat = lost(way, &records);
            let waits = matches!(way, Way::Truncated | Way::FolderBlocked);
            if waits {
                note(&mut seat, "third");
                seat.sees("NOT SAVED");
            }
            seat.signal(signal);
            let can = way != Way::FolderBlocked;
            assert_eq!(code(&mut seat), if can { number } else { 3 }, "{way:?}: {}", seat.text());
            assert_eq!(seat.text().contains(ALL_IS_KEPT), can, "{way:?}: {}", seat.text());
            if can {
                let all = if waits { &["first", "second", "third"][..] } else { &["first", "second"] };
                assert_eq!(notes_on_disk(&records, way), all, "{way:?}");
            }
            seat.is_given_back();
        }
    }
}

/// Nobody is left to tell, but what waits is tried all the same.
#[test]
fn a_terminal_that_goes_away_with_an_entry_that_waits_loses_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let mut seat = lost(Way::Truncated, &records);
    note(&mut seat, "third");
    seat.sees("NOT SAVED");
    seat.goes_away();
    seat.end();
    assert_eq!(notes_on_disk(&records, Way::Truncated), ["first", "second", "third"]);
}

#[test]
fn a_sudden_death_leaves_what_was_shown_as_saved() {
    let dir = tempfile::tempdir().unwrap();
    let records = dir.path().join("records");
    let mut seat = lost(Way::SameOver, &records);
    seat.signal(Signal::KILL);
    seat.end();
    assert_eq!(notes_on_disk(&records, Way::SameOver), ["first", "second"]);
}
