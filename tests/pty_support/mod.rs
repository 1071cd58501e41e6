//! The real program on a pseudo-terminal, for tests that press its keys and look at its screen.
#![allow(dead_code, unreachable_pub, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, SlavePty, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};

pub const PATIENCE: Duration = Duration::from_secs(20);

/// The program on a terminal of 80 by 24.
pub struct Seat {
    pub master: Option<Box<dyn MasterPty + Send>>,
    pub hands: Option<Box<dyn std::io::Write + Send>>,
    pub eyes: Receiver<Vec<u8>>,
    pub screen: vt100::Parser,
    pub child: Box<dyn Child + Send + Sync>,
    /// The settings of the terminal before the program had it, and a hold on it so that they stay to be looked at.
    pub first: String,
    _hold: Box<dyn SlavePty + Send>,
}

fn settings(terminal: &dyn MasterPty) -> String {
    format!("{:?}", terminal.get_termios().unwrap())
}

/// As if this user had seen the tour.
pub fn tour_seen(records: &Path) {
    let own = records.join(".own/roughrun");
    std::fs::create_dir_all(&own).unwrap();
    std::fs::write(own.join("tour-seen"), "").unwrap();
}

impl Seat {
    pub fn take(records: &Path, args: &[&str]) -> Self {
        Self::take_reading(records, args, true)
    }

    /// `reads` is false for a terminal that takes nothing in. The tour was seen before.
    pub fn take_reading(records: &Path, args: &[&str], reads: bool) -> Self {
        tour_seen(records);
        Self::take_anew(records, args, reads)
    }

    /// As this user left it: settings and what was seen are in `.own` of the records folder.
    pub fn take_anew(records: &Path, args: &[&str], reads: bool) -> Self {
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_roughrun"));
        command.args(args);
        Self::take_running(records, command, reads)
    }

    /// As a child of the shell in a session of its own, so that no hang-up is sent to it when the terminal goes away.
    pub fn take_apart(records: &Path) -> Self {
        tour_seen(records);
        let mut command = CommandBuilder::new("sh");
        command.args(["-c", "setsid -w \"$0\" \"$@\"", env!("CARGO_BIN_EXE_roughrun")]);
        Self::take_running(records, command, false)
    }

    pub fn take_running(records: &Path, mut command: CommandBuilder, reads: bool) -> Self {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let first = settings(pair.master.as_ref());
        command.arg("--records");
        command.arg(records);
        command.cwd(records);
        for (name, value) in [("TERM", "xterm-256color"), ("LANG", "en_GB.UTF-8"), ("LC_ALL", "en_GB.UTF-8")] {
            command.env(name, value);
        }
        for name in ["XDG_STATE_HOME", "XDG_CONFIG_HOME"] {
            command.env(name, records.join(".own"));
        }
        let child = pair.slave.spawn_command(command).unwrap();
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
        Self { master: Some(pair.master), hands: Some(hands), eyes, screen, child, first, _hold: pair.slave }
    }

    pub fn text(&self) -> String {
        self.screen.screen().contents()
    }

    /// Looks until the screen is as wanted.
    pub fn until(&mut self, what: &str, wanted: impl Fn(&vt100::Screen) -> bool) -> &mut Self {
        let start = Instant::now();
        while !wanted(self.screen.screen()) {
            if let Ok(bytes) = self.eyes.recv_timeout(Duration::from_millis(50)) {
                self.screen.process(&bytes);
            }
            assert!(start.elapsed() < PATIENCE, "waited for {what}; the screen is\n{}", self.text());
        }
        self
    }

    /// Takes in what still comes, until nothing does for a moment: half a frame is no screen.
    pub fn settles(&mut self) -> &mut Self {
        while let Ok(bytes) = self.eyes.recv_timeout(Duration::from_millis(120)) {
            self.screen.process(&bytes);
        }
        self
    }

    pub fn sees(&mut self, words: &str) -> &mut Self {
        self.until(words, |screen| screen.contents().contains(words))
    }

    pub fn press(&mut self, keys: &str) -> &mut Self {
        let hands = self.hands.as_mut().unwrap();
        hands.write_all(keys.as_bytes()).unwrap();
        hands.flush().unwrap();
        self
    }

    /// Takes the numbered row with these words.
    pub fn row(&mut self, words: &str) -> &mut Self {
        self.sees(words);
        let text = self.text();
        let row = text.lines().find(|l| l.contains(words)).unwrap();
        let number: String = row.trim_start().chars().take_while(char::is_ascii_digit).collect();
        self.press(&number)
    }

    /// The terminal goes away, with whoever looked at it.
    pub fn goes_away(&mut self) {
        self.eyes = channel().1;
        // What looks finds out with the next thing it sees.
        self.press("\u{c}");
        std::thread::sleep(Duration::from_millis(400));
        drop((self.master.take(), self.hands.take()));
    }

    pub fn signal(&self, signal: Signal) {
        let pid = i32::try_from(self.child.process_id().unwrap()).unwrap();
        // It may have left by itself.
        let _ = kill_process(Pid::from_raw(pid).unwrap(), signal);
    }

    /// Waits until the system says that the program is stopped.
    pub fn stopped(&self) {
        let stat = format!("/proc/{}/stat", self.child.process_id().unwrap());
        let start = Instant::now();
        while !std::fs::read_to_string(&stat).unwrap().contains(") T ") {
            assert!(start.elapsed() < PATIENCE, "it never stopped");
            std::thread::sleep(Duration::from_millis(10));
        }
    }

    /// Waits for the end; how long it took and how it ended.
    pub fn end(&mut self) -> (Duration, ExitStatus) {
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

    /// The settings of the terminal, as the system has them.
    pub fn settings(&self) -> String {
        settings(self.master.as_ref().unwrap().as_ref())
    }

    /// What is given back later was really taken.
    pub fn is_taken(&self) {
        assert!(self.screen.screen().alternate_screen() && self.screen.screen().hide_cursor());
        assert!(self.screen.screen().bracketed_paste());
        assert_ne!(self.settings(), self.first, "the terminal is in its ordinary mode");
    }

    pub fn is_given_back(&self) {
        assert_eq!(self.settings(), self.first, "the settings of the terminal differ");
        assert!(!self.screen.screen().alternate_screen(), "the alternate screen is still on");
        assert!(!self.screen.screen().hide_cursor(), "the cursor is still hidden");
        assert!(!self.screen.screen().bracketed_paste(), "paste marks are still on");
        assert_eq!(
            self.screen.screen().mouse_protocol_mode(),
            vt100::MouseProtocolMode::None,
            "the mouse is still taken"
        );
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

pub fn records() -> tempfile::TempDir {
    tempfile::tempdir().unwrap()
}

/// The words that begin a job.
pub const BEGIN: [&str; 9] =
    ["trace", "--layout", "four-two-magnetos", "--complaint", "rough-one-side", "--at", "left", "--mechanic", "Kim"];

pub fn started(records: &Path) -> Seat {
    let mut seat = Seat::take(records, &BEGIN);
    seat.sees("A new job").press("\r");
    seat.sees("begun and saved");
    seat
}

/// Acknowledges cautions until the answers are there.
pub fn read_cautions(seat: &mut Seat) {
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
