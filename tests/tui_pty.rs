//! The real program on a pseudo-terminal: one job from bench to report, and every way a terminal can end.
#![cfg(unix)]
#![allow(clippy::print_stdout, clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod pty_support;

use std::io::{Read as _, Write as _};
use std::num::NonZero;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};
use pty_support::{BEGIN, PATIENCE, Seat, read_cautions, records, started};
use rustix::process::Signal;

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
    seat.press("E").row("Not reproduced");
    seat.sees("closing remark").press("come back hot\r");
    seat.sees("JOB REPORT");
    seat.press("Q");
    let (_, status) = seat.end();
    assert!(status.success());
    seat.is_given_back();
    let report = Command::new(env!("CARGO_BIN_EXE_roughrun"))
        .args(["report", "last", "--whole", "--records"])
        .arg(records.path())
        .output()
        .unwrap();
    let report = String::from_utf8(report.stdout).unwrap();
    for words in ["tail wheel chocked", "come back hot", "Rough on one side, left"] {
        assert!(report.contains(words), "\"{words}\" is not in\n{report}");
    }
}

/// A P-lead is measured with it off the magneto, so from that answer on no switch grounds that magneto, whatever was found.
#[test]
fn a_magneto_that_no_switch_grounds_is_warned_of_at_the_head_of_every_screen() {
    let records = records();
    let begin =
        ["trace", "--layout", "four-two-magnetos", "--complaint", "no-drop", "--at", "left", "--mechanic", "Kim"];
    let mut seat = Seat::take(records.path(), &begin);
    seat.sees("A new job").press("\r").sees("begun and saved");
    seat.sees("WARNING: The left side may be live");
    read_cautions(&mut seat);
    seat.sees("P-lead to ground, switch OFF, left").settles();
    seat.press("o").sees("Seen with your own eyes?").press("1").sees("Saved as entry").settles();
    let warns = |screen: &vt100::Screen| {
        let head: Vec<String> = screen.contents().lines().take(8).map(|line| line.trim().to_owned()).collect();
        let head = head.join(" ");
        head.contains("WARNING: The left side may be live")
            && head.contains("WARNING: P-lead off the magneto, left: no switch grounds this magneto now")
    };
    seat.until("both warnings", warns);
    for key in ["T", "\u{1b}", "J", "\u{1b}", "O"] {
        std::thread::sleep(Duration::from_millis(400));
        seat.press(key).settles();
        seat.until("both warnings", warns);
    }
}

/// An end that cannot be read is shown, and the job is gone on with only where somebody says so.
#[test]
fn a_doubtful_end_is_shown_and_asked_about_before_a_job_is_gone_on_with() {
    const END: &[u8] = b"{\"seq\":2,\"t\":\"2026-01";
    let records = records();
    let mut seat = started(records.path());
    seat.press("Q");
    seat.end();
    let file = record_in(records.path()).unwrap();
    let mut handle = std::fs::OpenOptions::new().append(true).open(&file).unwrap();
    handle.write_all(END).unwrap();
    let before = std::fs::read(&file).unwrap();
    let shown = "{\"seq\":2";
    // From the bench.
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").row("Rough on one side, left").sees("cannot be read").sees(shown).sees("Go on without");
    seat.press("\u{1b}").sees("The bench").press("Q");
    seat.end();
    // From the command line, before anything is opened.
    for args in [&["resume"][..], &["resume", "--plain"]] {
        let mut seat = Seat::take(records.path(), args);
        seat.sees(shown).sees("Go on without it?").press("\r");
        assert_eq!(seat.end().1.exit_code(), 3, "{}", seat.text());
        assert!(seat.text().contains("not opened"), "{}", seat.text());
    }
    assert_eq!(std::fs::read(&file).unwrap(), before, "nothing was written unasked");
    let mut seat = Seat::take(records.path(), &["resume"]);
    seat.sees("Go on without it?").press("yes\r").sees("CAUTION").settles();
    seat.press("Q");
    assert!(seat.end().1.success());
    assert!(std::fs::read(&file).unwrap().starts_with(&before), "the bytes stay");
    // It was closed, so it is not asked again.
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").row("Rough on one side, left").sees("CAUTION");
}

/// The file of a record, at any depth.
fn record_in(folder: &Path) -> Option<std::path::PathBuf> {
    let paths: Vec<_> = std::fs::read_dir(folder).ok()?.flatten().map(|entry| entry.path()).collect();
    let is_record = |path: &std::path::PathBuf| path.extension().is_some_and(|ext| ext == "jsonl");
    paths.into_iter().find_map(|path| if is_record(&path) { Some(path) } else { record_in(&path) })
}

#[test]
fn a_job_is_gone_on_with_after_a_sudden_end() {
    let records = records();
    let mut seat = started(records.path());
    read_cautions(&mut seat);
    seat.press("n").sees("left: In limits and smooth");
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
        seat.sees("The bench").is_taken();
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
    // In the middle of a job, which is begun without looking.
    let mut seat = Seat::take_reading(records.path(), &BEGIN, false);
    let run = |args: &[&str]| {
        let mut command = Command::new(env!("CARGO_BIN_EXE_roughrun"));
        command.args(args).arg("--records").arg(records.path()).stdin(Stdio::null());
        command.output().unwrap()
    };
    let start = Instant::now();
    while !run(&["report", "last"]).status.success() {
        assert!(start.elapsed() < PATIENCE, "no job was begun");
        std::thread::sleep(Duration::from_millis(300));
        seat.press("\r");
    }
    drop((seat.master.take(), seat.hands.take()));
    let (took, _) = seat.end();
    assert!(took < Duration::from_secs(2), "{took:?}");
    assert_eq!(run(&["verify"]).status.code(), Some(0));
    assert!(run(&["resume", "--plain"]).status.success(), "the lock is gone");
}

/// No hang-up reaches it, as under a program that runs it on a terminal that is not its own.
#[test]
fn a_terminal_that_goes_away_unsaid_ends_it() {
    let records = records();
    let mut seat = Seat::take_apart(records.path());
    std::thread::sleep(Duration::from_millis(900));
    assert!(seat.child.try_wait().unwrap().is_none(), "it runs");
    let started = child_of(seat.child.process_id().unwrap());
    drop((seat.master.take(), seat.hands.take()));
    let start = Instant::now();
    while std::fs::read_to_string(format!("/proc/{started}/stat")).is_ok_and(|s| !s.contains(") Z ")) {
        assert!(start.elapsed() < Duration::from_secs(3), "it goes on without a terminal");
        std::thread::sleep(Duration::from_millis(20));
    }
}

/// The program itself, below the processes that started it.
fn child_of(parent: u32) -> u32 {
    let below = |parent: u32| {
        let processes = std::fs::read_dir("/proc").unwrap().flatten();
        let mut numbers = processes.filter_map(|p| p.file_name().to_str()?.parse::<u32>().ok());
        numbers.find(|id| {
            let stat = std::fs::read_to_string(format!("/proc/{id}/stat")).unwrap_or_default();
            // After the name in brackets: the state, then the parent.
            stat.rsplit_once(") ").and_then(|(_, rest)| rest.split_whitespace().nth(1)) == Some(&parent.to_string())
        })
    };
    std::iter::successors(Some(parent), |id| below(*id)).last().unwrap()
}

#[test]
fn ctrl_c_leaves_and_gives_the_terminal_back() {
    let records = records();
    let mut seat = started(records.path());
    seat.is_taken();
    seat.press("\u{3}");
    let (_, status) = seat.end();
    assert!(status.success());
    seat.is_given_back();
}

/// Whichever way it ends in the middle of a job, what was shown as saved is on the disk, and nobody else is kept out.
#[test]
fn an_end_in_the_middle_of_a_job_loses_nothing_that_was_shown_as_saved() {
    for end in ["hang-up", "end", "ctrl-c"] {
        let records = records();
        let mut seat = started(records.path());
        read_cautions(&mut seat);
        seat.press("n").sees("Saved as entry");
        seat.press("N").sees("A note").press(&format!("before the {end}\r")).sees(&format!("Note: before the {end}"));
        match end {
            "hang-up" => seat.signal(Signal::HUP),
            "end" => seat.signal(Signal::TERM),
            _ => drop(seat.press("\u{3}")),
        }
        let (took, _) = seat.end();
        assert!(took < Duration::from_secs(3), "{end}: {took:?}");
        let run = |args: &[&str]| {
            let mut command = Command::new(env!("CARGO_BIN_EXE_roughrun"));
            command.args(args).arg("--records").arg(records.path());
            let output = command.stdin(Stdio::null()).output().unwrap();
            (output.status.code(), String::from_utf8(output.stdout).unwrap())
        };
        let (_, report) = run(&["report", "last", "--whole"]);
        assert!(report.contains(&format!("before the {end}")), "{end}: {report}");
        assert_eq!(run(&["verify"]).0, Some(0), "{end}");
        assert_eq!(run(&["resume", "--plain"]).0, Some(0), "{end}: the lock is gone");
    }
}

#[test]
fn a_huge_paste_and_broken_bytes_do_no_harm() {
    let records = records();
    let mut seat = started(records.path());
    read_cautions(&mut seat);
    seat.press("N").sees("A note");
    let paste = format!("\u{1b}[200~{}\u{1b}[201~", "lead tip \u{202e}\u{1b}[2J ".repeat(70_000));
    assert!(paste.len() > 1 << 20);
    seat.press(&paste).until("the pasted words", |s| s.contents().contains("lead tip"));
    seat.press("\u{1b}");
    let hands = seat.hands.as_mut().unwrap();
    for broken in [
        &b"\xff\xfe\xc3\x28"[..],
        b"\x1b[999999;999999H",
        b"\x1b[<0;1;1M",
        b"\x1bO\x80",
        b"\x1b]52;c;AAAA\x07",
        b"\x00\x01\x02",
    ] {
        hands.write_all(broken).unwrap();
    }
    hands.flush().unwrap();
    std::thread::sleep(Duration::from_millis(400));
    // Esc and what follows it at once would be read as one key.
    seat.press("\u{1b}");
    std::thread::sleep(Duration::from_millis(400));
    seat.press("\u{3}");
    assert!(seat.end().1.success());
    seat.is_given_back();
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
    seat.sees("The bench").is_taken();
    seat.press("\u{1a}");
    seat.until("the main screen", |screen| !screen.alternate_screen());
    // Going on before it has stopped would be lost, and it would then stop for ever.
    seat.stopped();
    seat.is_given_back();
    seat.signal(Signal::CONT);
    seat.until("the screens", vt100::Screen::alternate_screen).sees("The bench").is_taken();
    seat.press("1").sees("Which engine?").press("Q");
    assert!(seat.end().1.success());
}

/// A shell sets the terminal up for itself while the program is stopped, and need not put it back.
#[test]
fn a_stop_that_nobody_can_catch_is_come_back_from() {
    let records = records();
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").is_taken();
    let ours = seat.settings();
    seat.signal(Signal::STOP);
    seat.stopped();
    let terminal = seat.master.as_ref().unwrap().tty_name().unwrap();
    assert!(Command::new("stty").arg("-F").arg(terminal).arg("sane").status().unwrap().success());
    assert_ne!(seat.settings(), ours);
    seat.signal(Signal::CONT);
    let start = Instant::now();
    while seat.settings() != ours {
        assert!(start.elapsed() < PATIENCE, "the terminal was not taken again");
        std::thread::sleep(Duration::from_millis(10));
    }
    seat.press("1").sees("Which engine?").is_taken();
    seat.press("Q");
    assert!(seat.end().1.success());
    seat.is_given_back();
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

/// A job with its cautions read and one answer given.
fn answered(records: &Path) -> Seat {
    let mut seat = started(records);
    read_cautions(&mut seat);
    seat.press("n").sees("left: In limits and smooth");
    read_cautions(&mut seat);
    seat
}

#[test]
fn every_screen_is_reached_by_its_key_and_left_by_esc() {
    let records = records();
    let mut seat = answered(records.path());
    for (key, words) in [
        ("M", "The engine from above"),
        ("D", "The fault tree"),
        ("H", "How the suspicion moved"),
        ("V", "What the last entry changed"),
        ("K", "purpose"),
        ("L", "All suspects"),
        ("T", "The entries of this job"),
        (":", "Find"),
        ("/", "Another check"),
        ("C", "Conditions now"),
        ("W", "Does the complaint show right now?"),
        ("P", "Wake the fault"),
        ("F", "What was put right"),
        ("N", "A note for the record"),
        ("X", "Not possible:"),
        ("E", "How does the job end?"),
        ("O", "JOB REPORT"),
        ("?", "The walk"),
    ] {
        seat.press(key).sees(words).press("\u{1b}");
        // Parts of the walk can still be there while a screen is drawn over it.
        seat.until("the walk", |s| {
            let text = s.contents();
            text.contains("answer ") && text.contains("suspects of") && !text.contains(words)
        });
    }
    seat.press(":").sees("Find").press("plugs all at").sees("search plugs all at").press("\u{1b}").sees("search ▁");
    seat.press("\u{1b}");
    // Sent in one go with what follows, an escape is the start of a sequence.
    seat.until("the walk", |s| s.contents().contains("answer ") && s.contents().contains("suspects of"));
    seat.press("Q");
    assert!(seat.end().1.success());
    seat.is_given_back();
}

#[test]
fn readings_are_pasted_into_the_grid_and_entered() {
    let records = records();
    let mut seat = answered(records.path());
    seat.press(":continuity all").sees("all at once").press("\r");
    seat.until("the grid or a caution", |s| s.contents().contains("CAUTION") || s.contents().contains("bare numbers"));
    while seat.text().contains("CAUTION") {
        let before = seat.text();
        std::thread::sleep(Duration::from_millis(400));
        seat.press("a").until("the next screen", |s| s.contents() != before);
    }
    seat.sees("bare numbers").press("\u{1b}[200~40\n45\n42\nOL\u{1b}[201~");
    seat.sees("Enter 4 answers").sees("! ").press("\u{13}").sees("4 answers saved");
}

#[test]
fn the_mouse_presses_a_hint() {
    let records = records();
    let mut seat = Seat::take(records.path(), &[]);
    seat.sees("The bench").sees("? help");
    let text = seat.text();
    let row = text.lines().position(|l| l.contains("? help")).unwrap();
    let column = text.lines().nth(row).unwrap().find("? help").unwrap();
    seat.press(&format!("\u{1b}[<0;{};{}M", column + 1, row + 1)).sees("Start a job, go on with an open one");
}

#[test]
fn a_newcomer_reaches_the_first_check_in_six_keys_and_a_proven_cure_in_two_a_check() {
    let records = records();
    let mut seat = Seat::take_anew(records.path(), &[], true);
    let mut keys = 0;
    seat.sees("Seven keys").press("\r").sees("The bench").row("Demo job");
    keys += 2;
    let (mut checks, mut since) = (0, 0);
    let mut last = String::new();
    for _ in 0..200 {
        seat.until("something to do", |s| {
            let text = s.contents();
            ["CAUTION", "Press ", "with your own eyes?", "How does the job end?", "closing remark", "JOB REPORT"]
                .iter()
                .any(|w| text.contains(w))
        });
        let text = seat.settles().text();
        if text.contains("JOB REPORT") {
            break;
        }
        // What the engine shows stands there once the next thing to do is worked out.
        if text.contains("Working out what to do next") {
            continue;
        }
        let key = if text.contains("CAUTION") {
            "a".to_owned()
        } else if text.contains("with your own eyes?") || text.contains("How does the job end?") {
            "1".to_owned()
        } else if text.contains("closing remark") {
            "\r".to_owned()
        } else {
            if checks == 0 {
                assert!(keys <= 6, "{keys} keys to the first check");
            }
            checks += 1;
            // All cautions that a check brings are read and acknowledged at once.
            assert!(since <= 1, "{since} keys before the answer of a check:\n{text}");
            // The last one: a step can begin with the word too.
            text.rsplit("Press ").next().unwrap().chars().next().unwrap().to_string()
        };
        since = if text.contains("CAUTION") && checks > 0 { since + 1 } else { 0 };
        if key == last {
            std::thread::sleep(Duration::from_millis(400));
        }
        seat.press(&key).until("the next screen", |s| s.contents() != text);
        keys += 1;
        last = key;
    }
    seat.sees("JOB REPORT").sees("cured");
    println!("{keys} keys, {checks} things done");
    assert!(keys <= 6 + 2 * checks, "{keys} keys for {checks} things done");
    seat.press("Q");
    assert!(seat.end().1.success());
    // Nothing of the demo is on record, and the tour is not shown again.
    let mut seat = Seat::take_anew(records.path(), &[], true);
    seat.sees("The bench");
    assert!(!seat.text().contains("closed"), "{}", seat.text());
}

#[test]
fn a_settings_file_and_flags_decide_the_look() {
    let records = records();
    std::fs::create_dir_all(records.path().join(".own/roughrun")).unwrap();
    std::fs::write(records.path().join(".own/roughrun/settings.yaml"), "big: true\nascii: true\nmouse: false\n")
        .unwrap();
    let mut seat = started(records.path());
    seat.press("a");
    std::thread::sleep(Duration::from_millis(400));
    seat.press("a").sees("D R O P");
    assert!(seat.text().is_ascii(), "{}", seat.text());
    assert_eq!(seat.screen.screen().mouse_protocol_mode(), vt100::MouseProtocolMode::None);
    std::fs::write(records.path().join(".own/roughrun/settings.yaml"), "colours: many\n").unwrap();
    let mut seat = Seat::take(records.path(), &[]);
    let (_, status) = seat.end();
    assert_eq!(status.exit_code(), 2);
    assert!(seat.text().contains("colours"), "{}", seat.text());
}

#[test]
fn on_the_smallest_terminal_the_question_is_answered() {
    let records = records();
    let mut seat = answered(records.path());
    let size = PtySize { rows: 12, cols: 40, pixel_width: 0, pixel_height: 0 };
    seat.master.as_ref().unwrap().resize(size).unwrap();
    seat.screen.screen_mut().set_size(NonZero::new(12).unwrap(), NonZero::new(40).unwrap());
    seat.press("\u{c}").until("a caution or answers", |s| {
        let text = s.contents();
        text.contains("CAUTION") || text.contains("n ")
    });
    read_small(&mut seat);
    std::thread::sleep(Duration::from_millis(400));
    seat.press("n").sees("Saved as");
}

/// Acknowledges cautions on a terminal without labels.
fn read_small(seat: &mut Seat) {
    while seat.text().contains("CAUTION") {
        let before = seat.text();
        std::thread::sleep(Duration::from_millis(400));
        seat.press("a").until("the next screen", |s| s.contents() != before);
    }
}

#[test]
fn random_keys_leave_the_terminal_as_it_was() {
    let records = records();
    for seed in 0..4_u64 {
        let mut seat = started(records.path());
        let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        for _ in 0..1500 {
            // A shift register is random enough for fingers.
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            let keys = [
                "\r", "\u{1b}[A", "\u{1b}[B", "\u{1b}[C", "\u{1b}[D", "\t", "a", "n", "M", "D", "G", "H", ":",
                "\u{7f}", "7", "/",
            ];
            let key = match state % 3 {
                0 => keys[usize::try_from(state >> 8).unwrap_or(0) % keys.len()].to_owned(),
                _ => char::from(u8::try_from(32 + (state >> 16) % 95).unwrap()).to_string().replace('Q', "q"),
            };
            seat.press(&key);
            while let Ok(bytes) = seat.eyes.try_recv() {
                seat.screen.process(&bytes);
            }
        }
        seat.signal(Signal::TERM);
        // The palette may have found "suspend", or "leave".
        seat.signal(Signal::CONT);
        let (took, status) = seat.end();
        assert!(took < Duration::from_secs(2), "seed {seed} took {took:?}");
        assert!([143, 0].contains(&status.exit_code()), "seed {seed}: {}", seat.text());
        seat.is_given_back();
    }
    // Whatever was entered is whole on the disk.
    let verify = Command::new(env!("CARGO_BIN_EXE_roughrun")).arg("verify").arg(records.path()).output().unwrap();
    assert!(verify.status.success(), "{}", String::from_utf8_lossy(&verify.stdout));
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
    for name in ["XDG_STATE_HOME", "XDG_CONFIG_HOME"] {
        command.env(name, records.path().join(".own"));
    }
    let mut child = pair.slave.spawn_command(command).unwrap();
    drop(pair.slave);
    let mut reader = pair.master.try_clone_reader().unwrap();
    let mut hands = pair.master.take_writer().unwrap();
    std::thread::sleep(Duration::from_millis(900));
    // The tour first, which this user has not seen.
    hands.write_all(b"\rQ").unwrap();
    let mut bytes = Vec::new();
    let _ = reader.read_to_end(&mut bytes);
    child.wait().unwrap();
    let drawn = String::from_utf8_lossy(&bytes);
    assert!(drawn.contains("\u{1b}[1m") && drawn.contains("\u{1b}[7m"), "bold and reverse are missing");
    assert!(!drawn.contains("\u{1b}[38;") && !drawn.contains("\u{1b}[31m"), "there is colour");
    assert!(drawn.is_ascii(), "in the C locale only ASCII is drawn");
}
