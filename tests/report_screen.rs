//! The report on a terminal: copied by OSC 52, and written to a file.
#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod pty_support;

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use pty_support::{PATIENCE, Seat, records, started};

const BEGINS: &[u8] = b"\x1b]52;c;";

/// A job with a note, its report on the screen.
fn at_the_report(records: &Path) -> Seat {
    let mut seat = started(records);
    seat.press("N").sees("A note for the record").press("chocked at the tail\r").sees("Saved as entry 2");
    seat.press("O").sees("ROUGHRUN JOB REPORT").settles();
    seat
}

/// What the terminal is told from now on, up to the end of a text for its clipboard; that text, decoded by another program.
fn copied(seat: &mut Seat) -> String {
    let mut told = Vec::new();
    let start = Instant::now();
    let text = loop {
        if let Ok(bytes) = seat.eyes.recv_timeout(Duration::from_millis(50)) {
            seat.screen.process(&bytes);
            told.extend(bytes);
        }
        let begin = told.windows(BEGINS.len()).position(|window| window == BEGINS).map(|at| at + BEGINS.len());
        let rest = begin.map(|begin| &told[begin..]);
        if let Some(end) = rest.and_then(|rest| rest.iter().position(|byte| matches!(byte, 7 | 0x1b))) {
            break rest.unwrap()[..end].to_vec();
        }
        assert!(start.elapsed() < PATIENCE, "nothing was copied; the screen is\n{}", seat.text());
    };
    let mut decoder = Command::new("base64").arg("-d").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    decoder.stdin.take().unwrap().write_all(&text).unwrap();
    let decoded = decoder.wait_with_output().unwrap();
    assert!(decoded.status.success());
    String::from_utf8(decoded.stdout).unwrap()
}

fn printed(records: &Path, more: &[&str]) -> String {
    let mut command = Command::new(env!("CARGO_BIN_EXE_roughrun"));
    let printed = command.args(["report", "last"]).args(more).arg("--records").arg(records).output().unwrap();
    String::from_utf8(printed.stdout).unwrap()
}

/// The file of a record, at any depth.
fn record_in(folder: &Path) -> Option<PathBuf> {
    let paths = std::fs::read_dir(folder).ok()?.flatten().map(|entry| entry.path());
    let is_record = |path: &PathBuf| path.extension().is_some_and(|ext| ext == "jsonl");
    paths.into_iter().find_map(|path| if is_record(&path) { Some(path) } else { record_in(&path) })
}

/// All but the line with the time of printing.
fn without_time(page: &str) -> Vec<&str> {
    page.lines().filter(|line| !line.contains("printed") && !line.starts_with("Printed")).collect()
}

#[test]
fn what_is_copied_is_the_page_and_unfolded_the_whole() {
    let records = records();
    let mut seat = at_the_report(records.path());
    seat.press("C");
    let page = copied(&mut seat);
    seat.sees("Whether it takes them");
    seat.press("O").sees("all or the page").settles().press("C");
    let whole = copied(&mut seat);
    assert_eq!(without_time(&page), without_time(&printed(records.path(), &[])));
    assert_eq!(without_time(&whole), without_time(&printed(records.path(), &["--whole"])));
    assert!(page.lines().count() <= 60 && whole.contains("chocked at the tail"));
}

#[test]
fn a_page_is_written_whole_and_never_over_a_record_or_through_a_link() {
    let records = records();
    let mut seat = at_the_report(records.path());
    let record = record_in(records.path()).unwrap();
    let before = std::fs::read(&record).unwrap();
    let precious = records.path().join("precious");
    std::fs::write(&precious, "precious").unwrap();
    std::os::unix::fs::symlink(&precious, records.path().join("link")).unwrap();
    // Ctrl-A and the like are no keys here: the name that is offered is taken away letter by letter.
    let name = |seat: &mut Seat, name: &str| {
        seat.press(&"\x7f".repeat(300)).press(name).press("\r");
    };
    seat.press("S").sees("Write the report to a file");
    name(&mut seat, record.to_str().unwrap());
    seat.sees("a record");
    name(&mut seat, "link");
    seat.sees("a symbolic link");
    name(&mut seat, "no/page.txt");
    seat.sees("cannot be written").settles();
    assert!(!seat.text().contains("Written to"), "{}", seat.text());
    name(&mut seat, "page.txt");
    seat.sees("Written to");
    let written = std::fs::read_to_string(records.path().join("page.txt")).unwrap();
    assert_eq!(without_time(&written), without_time(&printed(records.path(), &[])));
    assert_eq!(std::fs::read(&precious).unwrap(), b"precious");
    assert_eq!(std::fs::read(&record).unwrap(), before);
    seat.press("Q");
    assert!(seat.end().1.success());
}
