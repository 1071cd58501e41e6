//! One line of a record: how an entry becomes bytes, and how bytes become an entry again.
//!
//! `{"seq":N,"t":"...","mono_ms":N,"kind":"...","body":{...},"prev":"<64 hex>","h":"<64 hex>"}` and a line feed. `h` is the SHA-256
//! of the raw bytes before `,"h":`, so anyone can check a line with a text editor and `sha256sum`, and no rules for spacing
//! or the order of fields are needed. Must not know: files, jobs, what a body means.

use std::fmt::Write as _;

use serde::{Deserialize, Serialize};
use serde_json::Value;
use sha2::{Digest as _, Sha256};

use super::error::short;
use super::{RecordError, Stamp};

/// The most bytes a line may have, its line feed included.
pub const LINE_CAP: usize = 64 * 1024;

/// What `prev` says in the first line of a job.
pub(crate) const NO_PARENT: &str = "0000000000000000000000000000000000000000000000000000000000000000";

/// The kind of a file's first line.
pub(crate) const HEADER: &str = "header";
/// The kind of the line that closes a torn tail.
pub(crate) const RECOVER: &str = "recover";

/// `,"h":"` + 64 + `"}`
const SEAL: usize = 6 + 64 + 2;

/// One entry of a record, as read from its line.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// Its number in the job, from 0. Order in a job is by this and the chain, never by time.
    pub seq: u64,
    /// When it was written.
    pub stamp: Stamp,
    /// What it is: a short word that the job room understands.
    pub kind: String,
    /// What it says.
    pub body: Value,
    /// Hash of the line before.
    pub prev: String,
    /// Hash of this line.
    pub hash: String,
    /// Line in its file, from 1.
    pub line: usize,
}

impl Entry {
    /// Whether this line belongs to the record itself (a header, a closed tail), not to the job.
    pub(crate) fn is_own(&self) -> bool {
        self.kind == HEADER || self.kind == RECOVER
    }
}

/// A line ready to be written.
#[derive(Debug)]
pub(crate) struct Draft {
    pub bytes: Vec<u8>,
    pub hash: String,
}

#[derive(Serialize)]
struct Unsealed<'a> {
    seq: u64,
    t: &'a str,
    mono_ms: u64,
    kind: &'a str,
    body: &'a Value,
    prev: &'a str,
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct Sealed {
    seq: u64,
    t: String,
    mono_ms: u64,
    kind: String,
    body: Value,
    prev: String,
    h: String,
}

/// Makes the line of an entry, and makes sure that it can be read back.
pub(crate) fn draft(seq: u64, stamp: &Stamp, kind: &str, body: &Value, prev: &str) -> Result<Draft, RecordError> {
    stamp.check()?;
    let unsealed = Unsealed { seq, t: &stamp.wall, mono_ms: stamp.mono_ms, kind, body, prev };
    let mut text =
        serde_json::to_string(&unsealed).map_err(|e| RecordError::NotReadable { why: short(&e.to_string()) })?;
    text.pop();
    let hash = sha256(text.as_bytes());
    // Writing to a String cannot fail.
    let _ = writeln!(text, ",\"h\":\"{hash}\"}}");
    if text.len() > LINE_CAP {
        return Err(RecordError::TooLong { bytes: text.len(), cap: LINE_CAP });
    }
    match parse(text.trim_end().as_bytes(), 0) {
        Ok(_) => Ok(Draft { bytes: text.into_bytes(), hash }),
        Err(flaw) => Err(RecordError::NotReadable { why: flaw.words().to_owned() }),
    }
}

/// What can be wrong with one line by itself.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Flaw {
    TooLong,
    NotUtf8,
    Unparsable,
    BadHash,
}

impl Flaw {
    /// As a clause that follows "line 7".
    pub(crate) fn words(self) -> &'static str {
        match self {
            Self::TooLong => "is longer than a line of a record can be",
            Self::NotUtf8 => "holds bytes that are not text",
            Self::Unparsable => "is not a line of a record",
            Self::BadHash => "does not match its own hash: it was changed after it was written",
        }
    }
}

/// Reads a line (without its line feed) and checks its own hash. The chain is the caller's to check.
pub(crate) fn parse(bytes: &[u8], line: usize) -> Result<Entry, Flaw> {
    if bytes.len() >= LINE_CAP {
        return Err(Flaw::TooLong);
    }
    let text = std::str::from_utf8(bytes).map_err(|_| Flaw::NotUtf8)?;
    let cut = text.len().checked_sub(SEAL).ok_or(Flaw::Unparsable)?;
    let (sealed, seal) = text.split_at_checked(cut).ok_or(Flaw::Unparsable)?;
    let hash = seal.strip_prefix(",\"h\":\"").and_then(|s| s.strip_suffix("\"}")).ok_or(Flaw::Unparsable)?;
    if sha256(sealed.as_bytes()) != hash && !cfg!(broken = "no-hash") {
        return Err(Flaw::BadHash);
    }
    let read: Sealed = serde_json::from_str(text).map_err(|_| Flaw::Unparsable)?;
    if read.h != hash || !is_hash(&read.prev) {
        return Err(Flaw::Unparsable);
    }
    Ok(Entry {
        seq: read.seq,
        stamp: Stamp { wall: read.t, mono_ms: read.mono_ms },
        kind: read.kind,
        body: read.body,
        prev: read.prev,
        hash: read.h,
        line,
    })
}

/// Whether this line, which cannot be read, is the beginning of one whose end was never written: no seal at its
/// end. A line that has a seal was written whole and changed afterwards.
pub(crate) fn looks_cut(bytes: &[u8]) -> bool {
    const START: &[u8] = b"{\"seq\":";
    if bytes.len() >= LINE_CAP {
        return false;
    }
    if bytes.iter().all(|&b| b == 0) {
        return true;
    }
    let start = bytes.len().min(START.len());
    bytes[..start] == START[..start] && !has_seal(bytes)
}

/// Whether a line ends in a seal, give or take one changed byte.
fn has_seal(bytes: &[u8]) -> bool {
    let Some(cut) = bytes.len().checked_sub(SEAL) else {
        return false;
    };
    let seal = &bytes[cut..];
    let fits = |at: usize, b: u8| match at {
        0..6 => b == b",\"h\":\""[at],
        6..70 => b.is_ascii_hexdigit(),
        _ => b == b"\"}"[at - 70],
    };
    let right = seal.iter().enumerate().filter(|&(at, &b)| fits(at, b));
    right.count() + 1 >= SEAL
}

/// Whether this is a hash as lines hold it: 64 digits, small letters.
pub(crate) fn is_hash(text: &str) -> bool {
    text.len() == 64 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

/// SHA-256 in small hexadecimal digits.
pub(crate) fn sha256(bytes: &[u8]) -> String {
    let mut hex = String::with_capacity(64);
    for byte in Sha256::digest(bytes) {
        let _ = write!(hex, "{byte:02x}");
    }
    hex
}

/// Refuses kinds that are not a short word, and the two this room keeps for itself.
pub(crate) fn check_kind(kind: &str) -> Result<(), RecordError> {
    let word = (1..=32).contains(&kind.len())
        && kind.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-' || b == b'_');
    if word && kind != HEADER && kind != RECOVER { Ok(()) } else { Err(RecordError::BadKind { given: short(kind) }) }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use serde_json::json;

    fn stamp() -> Stamp {
        Stamp { wall: "2026-11-25T09:36:00+01:00".into(), mono_ms: 5 }
    }

    #[test]
    fn a_line_comes_back_as_it_went() {
        let body = json!({"check": "ohm of lead", "at": "left 3", "raw": "8.2k\u{202e}"});
        let line = draft(4, &stamp(), "reading", &body, NO_PARENT).unwrap();
        assert_eq!(line.bytes.last(), Some(&b'\n'));
        let read = parse(&line.bytes[..line.bytes.len() - 1], 9).unwrap();
        assert_eq!((read.seq, read.line), (4, 9));
        assert_eq!((read.stamp, read.body), (stamp(), body));
        assert_eq!((read.prev.as_str(), read.hash), (NO_PARENT, line.hash));
    }

    #[test]
    fn what_could_not_be_read_back_is_not_written() {
        let mut deep = json!(1);
        for _ in 0..200 {
            deep = json!([deep]);
        }
        let fault = draft(0, &stamp(), "note", &deep, NO_PARENT).unwrap_err();
        assert!(matches!(fault, RecordError::NotReadable { .. }), "{fault}");
        let long = json!("x".repeat(LINE_CAP));
        let fault = draft(0, &stamp(), "note", &long, NO_PARENT).unwrap_err();
        assert!(matches!(fault, RecordError::TooLong { .. }), "{fault}");
    }

    #[test]
    fn the_longest_line_that_is_written_can_be_read() {
        let spare = LINE_CAP - draft(0, &stamp(), "note", &json!(""), NO_PARENT).unwrap().bytes.len();
        let fits = json!("x".repeat(spare));
        let line = draft(0, &stamp(), "note", &fits, NO_PARENT).unwrap();
        assert_eq!(line.bytes.len(), LINE_CAP);
        let over = json!("x".repeat(spare + 1));
        assert!(draft(0, &stamp(), "note", &over, NO_PARENT).is_err());
    }

    #[test]
    fn odd_kinds_are_refused() {
        for kind in ["", "header", "recover", "Note", "a b", "x\u{1b}"] {
            assert!(check_kind(kind).is_err(), "{kind:?}");
        }
        assert!(check_kind("proof-run").is_ok());
    }

    #[test]
    fn hostile_numbers_and_surrogates_are_not_entries() {
        for body in ["1e400", "\"\\ud800\"", "{\"a\":1", "NaN"] {
            let text = format!(
                "{{\"seq\":1,\"t\":\"2026-11-25T09:36:00Z\",\"mono_ms\":0,\"kind\":\"x\",\"body\":{body},\"prev\":\"{NO_PARENT}\""
            );
            let line = format!("{text},\"h\":\"{}\"}}", sha256(text.as_bytes()));
            assert_eq!(parse(line.as_bytes(), 1), Err(Flaw::Unparsable), "{body}");
        }
    }

    #[test]
    fn a_field_given_twice_or_unknown_is_not_read() {
        for extra in ["\"seq\":1", "\"by\":\"me\""] {
            let text = format!(
                "{{{extra},\"seq\":1,\"t\":\"2026-11-25T09:36:00Z\",\"mono_ms\":0,\"kind\":\"x\",\"body\":1,\"prev\":\"{NO_PARENT}\""
            );
            let line = format!("{text},\"h\":\"{}\"}}", sha256(text.as_bytes()));
            assert_eq!(parse(line.as_bytes(), 1), Err(Flaw::Unparsable), "{extra}");
        }
    }
}
