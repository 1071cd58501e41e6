//! How the bytes of one file of a record are checked, line by line.
//!
//! Owns the difference between a torn stretch (a last line that is not whole) and damage. Whether a torn line had
//! been acknowledged cannot be known from the file: it may have been whole once. Must not know disks or other files.

use std::path::Path;

use super::error::show;
use super::fault::{Fault, FaultKind};
use super::header::{self, Header};
use super::line::{self, Entry, Flaw, LINE_CAP, RECOVER};
use super::segment::Segment;
use super::stamp::time_of;
use crate::text::safe_text;

/// After so many faults in one file, reading stops.
const FAULTS_CAP: usize = 100;

/// The most bytes of a torn stretch. One line is at most a quarter of it; the rest is for disks that fill up with zeros.
const TORN_CAP: usize = 4 * LINE_CAP;

/// How many characters of a line that cannot be read are shown.
const SHOWN: usize = 600;

/// Checks the bytes of a file.
pub(crate) fn scan(path: &Path, bytes: Vec<u8>) -> Segment {
    let mut scan = Scan {
        name: show(path.file_name().map_or(path, Path::new)),
        bytes: &bytes,
        at: 0,
        line: 0,
        header: None,
        entries: Vec::new(),
        loose: Vec::new(),
        faults: Vec::new(),
        notes: Vec::new(),
        good: 0,
        intact: true,
        before: None,
        time: None,
        line_ends: false,
    };
    scan.run();
    let (header, entries) = (scan.header, scan.entries);
    let last = entries.last().or(header.as_ref().map(|h| &h.line));
    Segment {
        path: path.to_owned(),
        head: last.map(|e| e.hash.clone()).unwrap_or_default(),
        loose: scan.loose,
        faults: scan.faults,
        notes: scan.notes,
        good: scan.good,
        header,
        entries,
        raw: bytes,
    }
}

struct Scan<'a> {
    name: String,
    bytes: &'a [u8],
    /// Where the next line begins, and the number of the line being read.
    at: usize,
    line: usize,
    header: Option<Header>,
    entries: Vec<Entry>,
    loose: Vec<Entry>,
    faults: Vec<Fault>,
    notes: Vec<String>,
    good: usize,
    /// No damage so far.
    intact: bool,
    /// Hash and number of the line before, where that could be read.
    before: Option<(String, u64)>,
    time: Option<i64>,
    line_ends: bool,
}

impl Scan<'_> {
    fn run(&mut self) {
        if self.bytes.is_empty() {
            let said =
                "is empty: the program or machine stopped while the record was being begun, or what was in it is gone.";
            return self.fault(0, FaultKind::Torn, said);
        }
        while self.at < self.bytes.len() {
            if self.faults.len() >= FAULTS_CAP {
                let said = "has more faults than are listed here; reading stopped.";
                return self.fault(0, FaultKind::Unparsable, said);
            }
            let rest = &self.bytes[self.at..];
            self.line += 1;
            let Some(end) = rest.iter().position(|&b| b == b'\n') else {
                return self.tail(rest);
            };
            if !self.whole_line(&rest[..end], end + 1) {
                return;
            }
        }
    }

    /// One line with a line feed, `step` bytes in all. False where reading ends.
    fn whole_line(&mut self, mut text: &[u8], step: usize) -> bool {
        if let Some(bare) = text.strip_suffix(b"\r") {
            text = bare;
            if !self.line_ends {
                self.line_ends = true;
                let said = "ends in CR LF: a program that moved the file changed its line ends. The lines are whole otherwise. Tell git to leave records alone with \"*.jsonl -text\" in .gitattributes, and restore the file.";
                self.fault(self.line, FaultKind::LineEnds, said);
            }
        }
        if self.line == 1 && !self.known_format(text) {
            return false;
        }
        match line::parse(text, self.line) {
            Ok(entry) => {
                self.at += step;
                self.take(entry);
            }
            Err(flaw) if self.intact => match self.torn_region() {
                Region::Closed(end, lines) => self.step_over(end, lines),
                Region::Open => {
                    self.tail(&self.bytes[self.at..]);
                    return false;
                }
                Region::Damage => self.skip(flaw, step),
            },
            Err(flaw) => self.skip(flaw, step),
        }
        true
    }

    fn known_format(&mut self, text: &[u8]) -> bool {
        if text.len() >= LINE_CAP {
            return true;
        }
        let Some(format) = header::other_format(text) else {
            return true;
        };
        let said = format!(
            "is of format {format}, and this version reads {} only: a newer version wrote it, or the line is damaged. Nothing of the file was read.",
            header::FORMAT
        );
        self.fault(1, FaultKind::UnknownFormat, &said);
        false
    }

    fn take(&mut self, entry: Entry) {
        if self.line == 1 {
            match header::read(&entry) {
                Ok(header) => {
                    self.good = self.at;
                    self.header = Some(header);
                }
                Err(why) => {
                    self.fault(1, FaultKind::NoHeader, &format!("{why}."));
                    self.intact = false;
                    self.loose.push(entry.clone());
                }
            }
            self.after(&entry);
            return;
        }
        let follows = match &self.before {
            Some(_) if cfg!(broken = "no-chain") => true,
            Some((hash, seq)) => *hash == entry.prev && seq.checked_add(1) == Some(entry.seq),
            None => false,
        };
        if !follows && self.before.is_some() {
            let said = "does not follow the line before it: a line was left out, put in, doubled or moved.";
            self.fault(self.line, FaultKind::BrokenChain, said);
            self.intact = false;
        }
        self.after(&entry);
        if self.intact {
            self.good = self.at;
            self.entries.push(entry);
        } else {
            self.loose.push(entry);
        }
    }

    /// Remembers what the next line is compared with, and sees the clock go back.
    fn after(&mut self, entry: &Entry) {
        let time = time_of(&entry.stamp.wall);
        if time < self.time && self.notes.len() < FAULTS_CAP {
            self.notes.push(format!(
                "The clock of the machine went back before line {} of {}. The order of the entries is not affected.",
                self.line, self.name
            ));
        }
        self.time = time;
        self.before = Some((entry.hash.clone(), entry.seq));
    }

    fn skip(&mut self, flaw: Flaw, step: usize) {
        let kind = match flaw {
            Flaw::TooLong => FaultKind::TooLong,
            Flaw::NotUtf8 => FaultKind::NotUtf8,
            Flaw::Unparsable => FaultKind::Unparsable,
            Flaw::BadHash => FaultKind::BadHash,
        };
        self.fault(self.line, kind, &format!("{}.", flaw.words()));
        self.intact = false;
        self.before = None;
        self.at += step;
    }

    /// A last line without a line feed.
    fn tail(&mut self, rest: &[u8]) {
        let first = self.line;
        if rest.len() > TORN_CAP {
            return self.skip(Flaw::TooLong, rest.len());
        }
        if first == 1 && !self.known_format(rest) {
            return;
        }
        if let Ok(entry) = line::parse(rest, first) {
            self.at += rest.len();
            self.take(entry);
            let said =
                "lacks its line end and is whole otherwise: the program or machine stopped while it was being written.";
            return self.fault(first, FaultKind::Torn, said);
        }
        let changed_end = rest.split_last().map(|(_, text)| line::parse(text, first));
        if let Some(Ok(entry)) = changed_end {
            let said = "is whole, but its line end was changed after it was written.";
            self.fault(first, FaultKind::Unparsable, said);
            self.loose.push(entry);
            self.intact = false;
            return;
        }
        let said = format!(
            "cannot be read: {} bytes are not a whole line. Either the program or machine stopped while it was being written, or it was cut or changed afterwards; whether it had been shown as saved cannot be known from the file. {}",
            rest.len(),
            reads(rest)
        );
        self.fault(first, FaultKind::Torn, &said);
    }

    fn step_over(&mut self, end: usize, lines: usize) {
        let said = format!(
            "could not be read when the job was gone on with, and was closed: {} bytes, which are still in the file. {}",
            end - 1 - self.at,
            reads(&self.bytes[self.at..end - 1])
        );
        self.fault(self.line, FaultKind::TornRecovered, &said);
        self.at = end;
        // The loop counts the first line of the region.
        self.line += lines - 1;
    }

    /// What the unreadable stretch beginning here is, as long as everything before it is whole.
    fn torn_region(&self) -> Region {
        let Some((hash, seq)) = &self.before else {
            return self.cut_to_the_end();
        };
        let (mut at, mut lines) = (self.at, 0);
        while at < self.bytes.len() && at <= self.at + TORN_CAP {
            let rest = &self.bytes[at..];
            // The closing line itself may lack its line feed.
            let end = rest.iter().position(|&b| b == b'\n').unwrap_or(rest.len());
            let torn = &self.bytes[self.at..at.saturating_sub(1).max(self.at)];
            if at > self.at && closes(&rest[..end], torn, hash, *seq) {
                return Region::Closed(at, lines);
            }
            at += end + 1;
            lines += 1;
        }
        self.cut_to_the_end()
    }

    /// Every line from here on is one that was cut short: attempts to write, and to close, that never got to their end.
    fn cut_to_the_end(&self) -> Region {
        let mut lines: Vec<&[u8]> = self.bytes[self.at..].splitn(16, |&b| b == b'\n').collect();
        let last = lines.pop().unwrap_or_default();
        let open = lines.iter().all(|l| !l.is_empty() && line::looks_cut(l));
        if open && !last.contains(&b'\n') && self.bytes.len() - self.at <= TORN_CAP {
            Region::Open
        } else {
            Region::Damage
        }
    }

    fn fault(&mut self, line: usize, kind: FaultKind, said: &str) {
        let sentence =
            if line == 0 { format!("{} {said}", self.name) } else { format!("Line {line} of {} {said}", self.name) };
        self.faults.push(Fault { line, kind, sentence });
    }
}

/// What can be read of bytes that are no whole line, safe to show.
fn reads(bytes: &[u8]) -> String {
    if bytes.iter().all(|&b| b == 0) {
        return "They are all zero.".to_owned();
    }
    let text = String::from_utf8_lossy(bytes);
    let mut cut: String = text.chars().take(SHOWN).collect();
    if cut.len() < text.len() {
        cut.push_str(" (and more)");
    }
    format!("It reads: {}", safe_text(&cut))
}

enum Region {
    /// A torn stretch that a recover line closes: where that line begins, and how many lines the stretch has.
    Closed(usize, usize),
    /// A torn stretch up to the end of the file.
    Open,
    Damage,
}

/// Whether this line is the recover line that closes exactly that torn stretch.
fn closes(text: &[u8], torn: &[u8], hash: &str, seq: u64) -> bool {
    // Cheap look first: a stretch may hold very many lines.
    if text.len() < 200 || !text.windows(9).any(|w| w == b"\"recover\"") {
        return false;
    }
    let Ok(entry) = line::parse(text, 0) else {
        return false;
    };
    entry.kind == RECOVER
        && entry.prev == hash
        && Some(entry.seq) == seq.checked_add(1)
        && entry.body == recover_body(torn)
}

/// What a recover line says of the torn bytes it closes.
pub(crate) fn recover_body(torn: &[u8]) -> serde_json::Value {
    serde_json::json!({"torn_bytes": torn.len(), "torn_sha256": line::sha256(torn)})
}
