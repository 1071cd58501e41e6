//! Faults of the program itself: a thread that panics while it works something out.

use std::sync::Arc;
use std::time::Duration;

use super::play::Play;
use super::pty;
use crate::analysis::Analysis;
use crate::job::Job;
use crate::tui::held::Held;
use crate::tui::message::Message;
use crate::tui::think::{Task, Thinker, Told};
use crate::tui::{ExitKind, Outside, Terminal, turn};

/// Panics with the first job it gets, and works out the others.
fn fails_once() -> impl FnMut(&Task) -> Arc<Analysis> + Send {
    let mut failed = false;
    move |task| {
        assert!(std::mem::replace(&mut failed, true), "on purpose, for {} entries", task.job.log().len());
        task.ranked()
    }
}

fn idle(_: &Arc<Analysis>, _: &dyn Fn()) {}

fn next(thinker: &Thinker) -> Told {
    (0..2_000)
        .find_map(|_| {
            std::thread::sleep(Duration::from_millis(5));
            thinker.heard().into_iter().next()
        })
        .expect("it never said anything")
}

#[test]
fn a_thread_that_panics_says_so_and_works_out_the_next() {
    let mut play = Play::on_walk();
    let thinker = Thinker::of(Box::new(fails_once()), Box::new(idle), Box::new(idle)).unwrap();
    let first = play.app.job().cloned().unwrap();
    thinker.ask(play.app.to_work_out().unwrap());
    let Told::Failed(failure) = next(&thinker) else { panic!("it was worked out") };
    assert!(Arc::ptr_eq(&failure.job, &first));
    assert!(failure.why.contains("on purpose, for 1 entries"), "{}", failure.why);
    play.tell(Message::Thought(Told::Failed(failure)));
    assert!(play.app.failure().is_some() && !play.app.is_thinking());
    play.keys("a");
    assert!(play.app.failure().is_none(), "that was the entry before");
    thinker.ask(play.app.to_work_out().unwrap());
    assert!(matches!(next(&thinker), Told::Ranked(_)));
}

#[test]
fn what_failed_before_an_entry_is_not_said_after_it() {
    let mut play = Play::on_walk();
    let before = play.app.job().cloned().unwrap();
    play.keys("a");
    let late = crate::tui::think::Failure { job: before, why: "late".into() };
    play.tell(Message::Thought(Told::Failed(late)));
    assert!(play.app.failure().is_none());
    play.sees_not("fault of this program");
}

/// The screen goes on, says what it could not do, takes an entry, and leaves the terminal as it was.
#[test]
fn the_screen_goes_on_where_a_thread_panics() {
    if pty::plays() {
        let mut play = Play::on_walk();
        // As the screen stands before anything is worked out.
        let log = play.app.job().unwrap().log().to_vec();
        let fresh = Job::replay(super::small::model(), log).unwrap();
        *play.app.mode.held_mut().unwrap() = Held::new(Arc::new(fresh));
        let outside = Outside::watch().unwrap();
        let thinker = Thinker::of(Box::new(fails_once()), Box::new(idle), Box::new(idle)).unwrap();
        let mut terminal = Terminal::take(false).unwrap();
        let ended = turn(&mut play.app, &mut play.desk, &mut terminal, &outside, &thinker);
        outside.ended();
        drop(terminal);
        assert_eq!(ended.unwrap(), ExitKind::Left);
        return;
    }
    let steps = [
        // With why, for whoever looks after the program.
        ("on purpose, for 1 entries", ""),
        ("What to do next could not be worked out", "N"),
        ("A note for the record", "written all the same\r"),
        ("Note: written all the same", "Q"),
    ];
    let played = pty::again("tui::tests::faults::the_screen_goes_on_where_a_thread_panics", &steps);
    assert!(played.succeeded, "{}", played.screen.screen().contents());
    played.is_given_back();
}
