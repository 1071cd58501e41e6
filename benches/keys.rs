//! How fast the screens feel: the real program on a pseudo-terminal of 160 by 50, a job of 100 answers on the largest layout.
//!
//! Prints the time from a key to the end of the frame it brings, from an answer to a fresh ranking and to a fresh recommendation, from
//! start to the first frame, the bytes of a frame, and the share of a core when idle. `cargo bench --bench keys`.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout, missing_docs)]

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::path::Path;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

const COLUMNS: u16 = 160;
const ROWS: u16 = 50;
const ANSWERS: usize = 100;
/// The end of a frame: the terminal shows it whole.
const FRAME_END: &[u8] = b"\x1b[?2026l";

struct Seat {
    _master: Box<dyn MasterPty + Send>,
    hands: Box<dyn std::io::Write + Send>,
    eyes: Receiver<(Instant, Vec<u8>)>,
    screen: vt100::Parser,
    child: Box<dyn Child + Send + Sync>,
    /// Bytes since the last frame ended, and the sizes of the frames.
    unended: Vec<u8>,
    frames: Vec<usize>,
}

impl Seat {
    fn take(records: &Path, args: &[&str]) -> Self {
        let size = PtySize { rows: ROWS, cols: COLUMNS, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_roughrun"));
        command.args(args);
        command.arg("--records");
        command.arg(records);
        command.cwd(records);
        for (name, value) in [("TERM", "xterm-256color"), ("LC_ALL", "en_GB.UTF-8")] {
            command.env(name, value);
        }
        let own = records.join(".own");
        for name in ["XDG_STATE_HOME", "XDG_CONFIG_HOME"] {
            command.env(name, &own);
        }
        std::fs::create_dir_all(own.join("roughrun")).unwrap();
        std::fs::write(own.join("roughrun/tour-seen"), "").unwrap();
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let (sender, eyes) = channel();
        let mut reader = pair.master.try_clone_reader().unwrap();
        std::thread::spawn(move || {
            let mut buffer = vec![0; 65536];
            while let Ok(count @ 1..) = reader.read(&mut buffer) {
                if sender.send((Instant::now(), buffer[..count].to_vec())).is_err() {
                    break;
                }
            }
        });
        let hands = pair.master.take_writer().unwrap();
        let screen = vt100::Parser::new(NonZero::new(ROWS).unwrap(), NonZero::new(COLUMNS).unwrap(), 0);
        Self { _master: pair.master, hands, eyes, screen, child, unended: Vec::new(), frames: Vec::new() }
    }

    /// Takes in what was drawn; the moment the last frame in it ended, where one did.
    fn look(&mut self, patience: Duration) -> Option<Instant> {
        let (at, bytes) = self.eyes.recv_timeout(patience).ok()?;
        self.screen.process(&bytes);
        self.unended.extend_from_slice(&bytes);
        let mut ended = None;
        while let Some(end) = self.unended.windows(FRAME_END.len()).position(|w| w == FRAME_END) {
            self.frames.push(end + FRAME_END.len());
            self.unended.drain(..end + FRAME_END.len());
            ended = Some(at);
        }
        ended
    }

    /// When a frame ended on which this holds.
    fn until(&mut self, what: &str, wanted: impl Fn(&str) -> bool) -> Instant {
        let start = Instant::now();
        loop {
            let ended = self.look(Duration::from_millis(100));
            if let Some(at) = ended.filter(|_| wanted(&self.screen.screen().contents())) {
                return at;
            }
            assert!(start.elapsed() < Duration::from_secs(60), "{what}:\n{}", self.text());
        }
    }

    fn text(&self) -> String {
        self.screen.screen().contents()
    }

    /// Presses a key; how long until the next frame ended.
    fn press(&mut self, key: &str) -> Duration {
        while self.look(Duration::ZERO).is_some() {}
        let start = Instant::now();
        self.hands.write_all(key.as_bytes()).unwrap();
        self.hands.flush().unwrap();
        loop {
            if let Some(at) = self.look(Duration::from_millis(500)) {
                return at.duration_since(start);
            }
            assert!(start.elapsed() < Duration::from_secs(60), "no frame after {key:?}:\n{}", self.text());
        }
    }

    /// User and system time of the program, in clock ticks.
    fn ticks(&self) -> u64 {
        let stat = std::fs::read_to_string(format!("/proc/{}/stat", self.child.process_id().unwrap())).unwrap();
        let fields: Vec<&str> = stat.rsplit(')').next().unwrap().split_whitespace().collect();
        fields[11].parse::<u64>().unwrap() + fields[12].parse::<u64>().unwrap()
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn told(name: &str, target: &str, mut times: Vec<Duration>) {
    times.sort();
    let at = |percent: usize| times[(times.len() * percent).div_ceil(100).max(1) - 1];
    println!(
        "{name}: {} times, median {:.1} ms, 99th percentile {:.1} ms, most {:.1} ms{target}",
        times.len(),
        1e3 * at(50).as_secs_f64(),
        1e3 * at(99).as_secs_f64(),
        1e3 * at(100).as_secs_f64()
    );
}

fn first_frames() {
    let records = tempfile::tempdir().unwrap();
    let times = (0..20).map(|_| {
        let start = Instant::now();
        let mut seat = Seat::take(records.path(), &[]);
        seat.until("the bench", |s| s.contains("The bench")).duration_since(start)
    });
    told("start to first frame", " (aim: 50 ms)", times.collect());
}

/// The letter to answer with: the one for normal, now and then the second, `d` for what is done.
fn letter(screen: &str, turn: usize) -> Option<String> {
    let from = screen.lines().position(|l| l.trim_start().starts_with("answer "))?;
    let letters: Vec<String> = screen
        .lines()
        .skip(from)
        .map(|l| l.trim_start().trim_start_matches("answer ").trim_start().to_owned())
        .take_while(|l| l.chars().nth(1) == Some(' ') && l.starts_with(|c: char| c.is_ascii_lowercase()))
        .map(|l| l[..1].to_owned())
        .collect();
    let at = if turn % 7 == 3 { letters.len().min(2) - 1 } else { 0 };
    letters.get(at).cloned()
}

/// The entry that the screen says was saved last.
fn saved(screen: &str) -> Option<u64> {
    let (_, after) = screen.rsplit_once("Saved as entry ")?;
    after.split(|c: char| !c.is_ascii_digit()).next()?.parse().ok()
}

fn a_job() {
    let records = tempfile::tempdir().unwrap();
    let begin = ["trace", "--layout", "six-two-electronic", "--complaint", "rough-one-side", "--at", "left"];
    let mut seat = Seat::take(records.path(), &begin);
    seat.until("the intake", |s| s.contains("A new job"));
    seat.press("\r");
    let (mut keys, mut answered, mut ranked, mut advised) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
    let mut last = String::new();
    let ready = |s: &str| s.contains("answer ") || s.contains("CAUTION");
    let looks = [
        "M", "l", "j", "j", "D", "j", "l", "H", "h", "V", "\x1b", "K", "j", "\x1b", "L", "j", "l", "e", "\x1b", "\x1b",
        ":", "l", "o", "\x1b", "\x1b",
    ];
    let mut turn = 0;
    let mut entered = 0;
    while entered < ANSWERS {
        turn += 1;
        assert!(turn < 2000, "no end");
        if !ready(&seat.text()) {
            seat.until("a check", ready);
        }
        let screen = seat.text();
        if screen.contains("CAUTION") {
            // The same key too soon after an entry is taken for a bounce.
            if last == "a" {
                std::thread::sleep(Duration::from_millis(400));
            }
            keys.push(seat.press("a"));
            last = "a".into();
            continue;
        }
        if screen.lines().any(|l| l.trim_start().starts_with("end ")) {
            // Nothing more is worth its minutes; the job goes on all the same, with any check.
            keys.push(seat.press("/"));
            for _ in 0..turn % 40 {
                keys.push(seat.press("\x1b[B"));
            }
            keys.push(seat.press("\r"));
            continue;
        }
        let Some(letter) = letter(&screen, turn) else { panic!("no answers:\n{screen}") };
        if letter == last {
            std::thread::sleep(Duration::from_millis(400));
        }
        while seat.look(Duration::ZERO).is_some() {}
        let mut start = Instant::now();
        let mut took = seat.press(&letter);
        // What leaves no doubt is asked about first. A frame may have been on its way already.
        let before = saved(&screen);
        let taken = |s: &str| s.contains("your own eyes?") || saved(s) != before;
        if !taken(&seat.text()) {
            seat.until("the answer", taken);
        }
        if seat.text().contains("your own eyes?") {
            keys.push(took);
            start = Instant::now();
            took = seat.press("1");
        }
        answered.push(took);
        let fresh = |s: &str| !s.contains("as they stood before") && !s.contains("being ranked");
        let at = if fresh(&seat.text()) { start + took } else { seat.until("a ranking", fresh) };
        ranked.push(at.duration_since(start));
        let at = if ready(&seat.text()) { at } else { seat.until("advice", ready) };
        advised.push(at.duration_since(start));
        last = letter;
        entered += 1;
        if entered % 10 == 5 {
            for key in looks {
                keys.push(seat.press(key));
            }
        }
    }
    println!("{} answers on the largest layout, {COLUMNS}x{ROWS}", answered.len());
    let all = keys.iter().chain(&answered).copied().collect();
    told("any key to its frame", " (aim: 16 ms at the 99th percentile)", all);
    told("an answer to the frame that says it is saved", "", answered);
    told("an answer to a fresh ranking", "", ranked);
    told("an answer to a fresh recommendation", "", advised);
    seat.frames.sort_unstable();
    let frames = &seat.frames;
    println!(
        "bytes of a frame: median {}, most {} ({} cells on the screen)",
        frames[frames.len() / 2],
        frames[frames.len() - 1],
        u32::from(COLUMNS) * u32::from(ROWS)
    );
    std::thread::sleep(Duration::from_secs(20));
    let (start, ticks) = (Instant::now(), seat.ticks());
    std::thread::sleep(Duration::from_secs(20));
    // A clock tick is a hundredth of a second on Linux.
    let busy = (seat.ticks() - ticks) as f64 / 100.0;
    println!("idle: {:.2} % of a core (aim: under 1 %)", 100.0 * busy / start.elapsed().as_secs_f64());
}

fn main() {
    first_frames();
    a_job();
}
