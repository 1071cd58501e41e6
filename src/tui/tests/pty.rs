//! A test of this program again, on a terminal of its own, with keys pressed from outside.

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::sync::mpsc::channel;
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

/// Set while the test runs on the terminal: it then plays the program.
const PART: &str = "ROUGHRUN_TEST_ON_TERMINAL";
const PATIENCE: Duration = Duration::from_secs(60);

/// Whether this is the run on the terminal.
pub(in crate::tui) fn plays() -> bool {
    std::env::var_os(PART).is_some()
}

/// How a run on the terminal came out.
pub(in crate::tui) struct Played {
    pub(in crate::tui) succeeded: bool,
    /// All that was written.
    pub(in crate::tui) written: String,
    /// What is on the terminal at the end.
    pub(in crate::tui) screen: vt100::Parser,
}

impl Played {
    /// The terminal is as it was, and it had been taken once.
    pub(in crate::tui) fn is_given_back(&self) {
        let screen = self.screen.screen();
        assert!(!screen.alternate_screen() && !screen.hide_cursor() && !screen.bracketed_paste());
        for mark in ["\u{1b}[?1049h", "\u{1b}[?1049l"] {
            assert_eq!(self.written.matches(mark).count(), 1, "{mark:?} in {}", self.written);
        }
    }
}

/// Runs the test of this name again on a terminal; whenever the words of a step are on the screen, its keys are pressed.
pub(in crate::tui) fn again(test: &str, steps: &[(&str, &str)]) -> Played {
    let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
    let pair = native_pty_system().openpty(size).unwrap();
    let settings = || format!("{:?}", pair.master.get_termios().unwrap());
    let first = settings();
    let mut command = CommandBuilder::new(std::env::current_exe().unwrap());
    command.args(["--exact", test, "--nocapture"]);
    command.env(PART, "1");
    // A backtrace would scroll the message off.
    command.env("RUST_BACKTRACE", "0");
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut hands = pair.master.take_writer().unwrap();
    let mut child = pair.slave.spawn_command(command).unwrap();
    let (sender, seen) = channel();
    std::thread::spawn(move || {
        let mut buffer = [0; 4096];
        while let Ok(count @ 1..) = reader.read(&mut buffer) {
            let _ = sender.send(buffer[..count].to_vec());
        }
    });
    let mut screen = vt100::Parser::new(NonZero::new(24).unwrap(), NonZero::new(80).unwrap(), 0);
    let mut bytes = Vec::new();
    let mut look = |screen: &mut vt100::Parser, wait: u64| {
        let more = seen.recv_timeout(Duration::from_millis(wait));
        more.map(|more| (screen.process(&more), bytes.extend(more))).is_ok()
    };
    for (words, keys) in steps {
        let start = Instant::now();
        while !screen.screen().contents().contains(words) {
            look(&mut screen, 50);
            assert!(start.elapsed() < PATIENCE, "waited for {words}:\n{}", screen.screen().contents());
        }
        hands.write_all(keys.as_bytes()).unwrap();
        hands.flush().unwrap();
    }
    let succeeded = child.wait().unwrap().success();
    while look(&mut screen, 300) {}
    assert_eq!(settings(), first, "the settings of the terminal differ");
    Played { succeeded, written: String::from_utf8_lossy(&bytes).into_owned(), screen }
}
