//! The real program on a pseudo-terminal: one job from bench to report, and every way a terminal can end.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::path::Path;
use std::process::{Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};

const PATIENCE: Duration = Duration::from_secs(20);

/// The program on a terminal of 80 by 24.
struct Seat {
    master: Option<Box<dyn MasterPty + Send>>,
    hands: Option<Box<dyn std::io::Write + Send>>,
    eyes: Receiver<Vec<u8>>,
    screen: vt100::Parser,
    child: Box<dyn Child + Send + Sync>,
}

impl Seat {
    fn take(records: &Path, args: &[&str]) -> Self {
        Self::take_reading(records, args, true)
    }

    /// `reads` is false for a terminal that takes nothing in.
    fn take_reading(records: &Path, args: &[&str], reads: bool) -> Self {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_roughrun"));
        command.args(args);
        command.arg("--records");
        command.arg(records);
        command.cwd(records);
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "en_GB.UTF-8"), ("LC_ALL", "en_GB.UTF-8")] {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let (sender, eyes) = channel();
        if reads {
            let mut reader = pair.master.try_clone_reader().unwrap();
            std::thread::spawn(move || {
                let mut buffer = [0; 4096];
                while let Ok(count @ 1..) = reader.read(&mut buffer) {
                    if sender.send(buffer[..count].to_vec()).is_err() {
                        break;
                    }
                }
            });
        }
        let hands = pair.master.take_writer().unwrap();
        let screen = vt100::Parser::new(NonZero::new(24).unwrap(), NonZero::new(80).unwrap(), 0);
        Self { master: Some(pair.master), hands: Some(hands), eyes, screen, child }
    }

    fn text(&self) -> String {
        self.screen.screen().contents()
    }

    /// Looks until the screen is as wanted.
    fn until(&mut self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) -> &mut Self {
        let start = Instant::now();
        while !wanted(self.screen.screen()) {
            if let Ok(bytes) = self.eyes.recv_timeout(Duration::from_millis(50)) {
                self.screen.process(&bytes);
            }
            assert!(start.elapsed() < PATIENCE, "waited for {what}; the screen is\n{}", self.text());
        }
        self
    }

    fn sees(&mut self, words: &str) -> &mut Self {
        self.until(words, |screen| screen.contents().contains(words))
    }

    fn press(&mut self, keys: &str) -> &mut Self {
        let hands = self.hands.as_mut().unwrap();
        hands.write_all(keys.as_bytes()).unwrap();
        hands.flush().unwrap();
        self
    }

    /// Takes the numbered row with these words.
    fn row(&mut self, words: &str) -> &mut Self {
        self.sees(words);
        let text = self.text();
        let row = text.lines().find(|l| l.contains(words)).unwrap();
        let number: String = row.trim_start().chars().take_while(char::is_ascii_digit).collect();
        self.press(&number)
    }

    fn signal(&self, signal: Signal) {
        let pid = i32::try_from(self.child.process_id().unwrap()).unwrap();
        kill_process(Pid::from_raw(pid).unwrap(), signal).unwrap();
    }

    /// Waits until the system says that the program is stopped.
    fn stopped(&self) {
        let stat = format!("/proc/{}/stat", self.child.process_id().unwrap());
        let start = Instant::now();
        while !std::fs::read_to_string(&stat).unwrap().contains(") T ") {
            assert!(start.elapsed() < PATIENCE, "it never stopped");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits for the end; how long it took and how it ended.
    fn end(&mut self) -> (Duration, ExitStatus) {
        let start = Instant::now();
        loop {
            while let Ok(bytes) = self.eyes.try_recv() {
                self.screen.process(&bytes);
            }
            if let Some(status) = self.child.try_wait().unwrap() {
                // What was written last may still be on its way.
                std::thread::sleep(Duration::from_millis(100));
                while let Ok(bytes) = self.eyes.try_recv() {
                    self.screen.process(&bytes);
                }
                return (start.elapsed(), status);
            }
            assert!(start.elapsed() < PATIENCE, "it did not end");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    fn is_given_back(&self) {
        assert!(!self.screen.screen().alternate_screen(), "the alternate screen is still on");
        assert!(!self.screen.screen().hide_cursor(), "the cursor is still hidden");
        assert!(!self.screen.screen().bracketed_paste(), "paste marks are still on");
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn records() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

fn started(records: &Path) -> Seat {
    let mut seat = Seat::take(
        records,
        &[
            "trace",
            "--layout",
            "four-two-magnetos",
            "--complaint",
            "rough-one-side",
            "--at",
            "left",
            "--mechanic",
            "Kim",
        ],
    );
    seat.sees("A new job").press("\r");
    seat.sees("begun and saved");
    seat
}

/// Acknowledges cautions until the answers are there.
fn read_cautions(seat: &mut Seat) {
    loop {
        seat.until("a caution or answers", |s| s.contents().contains("CAUTION") || s.contents().contains("answer "));
        if !seat.text().contains("CAUTION") {
            return;
        }
        let before = seat.text();
        // A second press of the same key is taken for a bounce when it comes too soon.
        std::thread::sleep(Duration::from_millis(400));
        seat.press("a").until("the next screen", |s| s.contents() != before);
    }
}

#[test]
fn one_job_from_the_bench_to_the_report() {
    let records = records();
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").press("1");
    seat.sees("Which engine?").row("Four cylinders, two magnetos");
    seat.sees("What is the complaint?").row("Rough on one side");
    seat.sees("where?").row("left");
    seat.sees("A new job").press("\r");
    seat.sees("begun and saved");
    read_cautions(&mut seat);
    seat.press("n").sees("Saved as entry");
    seat.press("U").sees("Taken back");
    seat.press("N").sees("A note").press("tail wheel chocked\r");
    seat.sees("Note: tail wheel chocked");
    seat.press("E").row("Not found");
    seat.sees("closing remark").press("come back hot\r");
    seat.sees("JOB REPORT");
    seat.press("Q");
    let (_, status) = seat.end();
    assert!(status.success());
    seat.is_given_back();
    let report = Command::new(env!("CARGO_BIN_EXE_roughrun"))
        .args(["report", "last", "--records"])
        .arg(records.path())
        .output()
        .unwrap();
    let report = String::from_utf8(report.stdout).unwrap();
    for words in ["tail wheel chocked", "come back hot", "Rough on one side, left"] {
        assert!(report.contains(words), "\"{words}\" is not in\n{report}");
    }
}

#[test]
fn a_job_is_gone_on_with_after_a_sudden_end() {
    let records = records();
    let mut seat = started(records.path());
    read_cautions(&mut seat);
    seat.press("n").sees("8 min so far");
    seat.signal(Signal::KILL);
    seat.end();
    let mut seat = Seat::take(records.path(), &["resume"]);
    seat.sees("Rough on one side, left").press("T");
    seat.sees("In limits and smooth");
}

#[test]
fn a_signal_ends_it_and_the_terminal_is_given_back() {
    for (signal, code) in [(Signal::TERM, 143), (Signal::HUP, 129), (Signal::INT, 130)] {
        let records = records();
        let mut seat = Seat::take(records.path(), &[]);
        seat.sees("The bench");
        seat.signal(signal);
        let (took, status) = seat.end();
        assert!(took < Duration::from_secs(2), "{signal:?} took {took:?}");
        assert_eq!(status.exit_code(), code, "{signal:?}");
        seat.is_given_back();
    }
}

#[test]
fn a_terminal_that_goes_away_ends_it() {
    let records = records();
    let mut seat = Seat::take_reading(records.path(), &[], false);
    std::thread::sleep(Duration::from_millis(700));
    drop((seat.master.take(), seat.hands.take()));
    let (took, _) = seat.end();
    assert!(took < Duration::from_secs(2), "{took:?}");
}

#[test]
fn a_terminal_that_takes_nothing_in_does_not_hold_it() {
    let records = records();
    let mut seat = Seat::take_reading(records.path(), &[], false);
    // Screens drawn and never read fill the terminal's buffer, and the next one blocks.
    std::thread::sleep(Duration::from_millis(700));
    for _ in 0..60 {
        seat.press("1\u{1b}\u{c}");
        std::thread::sleep(Duration::from_millis(15));
    }
    seat.signal(Signal::TERM);
    let (took, _) = seat.end();
    assert!(took < Duration::from_secs(2), "{took:?}");
}

#[test]
fn it_stops_for_the_shell_and_comes_back() {
    let records = records();
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").press("\u{1a}");
    seat.until("the main screen", |screen| !screen.alternate_screen());
    // Going on before it has stopped would be lost, and it would then stop for ever.
    seat.stopped();
    seat.signal(Signal::CONT);
    seat.until("the screens", vt100::Screen::alternate_screen).sees("The bench");
    seat.press("1").sees("Which engine?").press("Q");
    assert!(seat.end().1.success());
}

#[test]
fn resizing_draws_anew_down_to_nothing_useful() {
    let records = records();
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench");
    for (rows, cols) in [(5, 20), (1, 1), (50, 160), (24, 80)] {
        let size = PtySize { rows, cols, pixel_width: 0, pixel_height: 0 };
        seat.master.as_ref().unwrap().resize(size).unwrap();
        std::thread::sleep(Duration::from_millis(100));
    }
    seat.press("\u{c}").sees("The bench").press("Q");
    assert!(seat.end().1.success());
}

#[test]
fn without_a_terminal_it_says_what_to_do() {
    let records = records();
    let output = Command::new(env!("CARGO_BIN_EXE_roughrun"))
        .arg("--records")
        .arg(records.path())
        .stdin(Stdio::null())
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    let words = String::from_utf8(output.stderr).unwrap();
    assert!(words.contains("no terminal") && words.contains("--plain"), "{words}");
}

#[test]
fn without_colour_weight_and_reverse_stay() {
    let records = records();
    let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
    let pair = native_pty_system().openpty(size).unwrap();
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_roughrun"));
    command.arg("--records");
    command.arg(records.path());
    for (name, value) in [("TERM", "xterm-256color"), ("LC_ALL", "C"), ("NO_COLOR", "1")] {
        command.env(name, value);
    }
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut hands = pair.master.take_writer().unwrap();
    std::thread::sleep(Duration::from_millis(900));
    hands.write_all(b"Q").unwrap();
    let mut bytes = Vec::new();
    let _ = reader.read_to_end(&mut bytes);
    child.wait().unwrap();
    let drawn = String::from_utf8_lossy(&bytes);
    assert!(drawn.contains("\u{1b}[1m") && drawn.contains("\u{1b}[7m"), "bold and reverse are missing");
    assert!(!drawn.contains("\u{1b}[38;") && !drawn.contains("\u{1b}[31m"), "there is colour");
    assert!(drawn.is_ascii(), "in the C locale only ASCII is drawn");
}
