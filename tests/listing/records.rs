//! Records made from others, without the program: each line sealed as `src/record.rs` documents it.

use std::fmt::Write as _;

use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

pub(crate) const NO_PARENT: &str = "0000000000000000000000000000000000000000000000000000000000000000";

pub(crate) fn sha256(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().fold(String::new(), |mut hex, byte| {
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}

/// Adds a sealed line, and returns its hash.
pub(crate) fn line(into: &mut String, seq: u64, when: &str, kind: &str, body: &Value, prev: &str) -> String {
    let text = format!(
        "{{\"seq\":{seq},\"t\":\"{when}\",\"mono_ms\":{},\"kind\":\"{kind}\",\"body\":{body},\"prev\":\"{prev}\"",
        seq * 1000
    );
    let hash = sha256(text.as_bytes());
    let _ = writeln!(into, "{text},\"h\":\"{hash}\"}}");
    hash
}

/// The same job under another name, begun at another time, its lines changed by `edit` and sealed anew.
pub(crate) fn renamed(record: &str, id: &str, when: &str, mut edit: impl FnMut(&str, &mut Value)) -> String {
    let (mut text, mut prev) = (String::with_capacity(record.len()), NO_PARENT.to_owned());
    for (seq, old) in (0..).zip(record.lines()) {
        let mut old: Value = serde_json::from_str(old).unwrap();
        let kind = old["kind"].as_str().unwrap().to_owned();
        let mut body = old["body"].take();
        if kind == "header" {
            body["job"] = json!(id);
            body["started"] = json!(when);
        }
        edit(&kind, &mut body);
        prev = line(&mut text, seq, when, &kind, &body, &prev);
    }
    text
}

/// The name of a job begun at this time, in milliseconds since 1970; `n` tells those of one time apart.
pub(crate) fn id(unix_ms: u64, n: u64) -> String {
    const DIGITS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";
    let bits = u128::from(unix_ms) << 80 | u128::from(n);
    (0..26).rev().map(|place| char::from(DIGITS[(bits >> (5 * place) & 31) as usize])).collect()
}

/// The demo records: the name of each file, and its text.
pub(crate) fn demos() -> Vec<(String, String)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("sessions/2026/11");
    let paths = std::fs::read_dir(folder).unwrap().map(|item| item.unwrap().path());
    let named = |path: &std::path::PathBuf| path.file_name().unwrap().to_string_lossy().into_owned();
    let mut demos: Vec<_> = paths.filter(|path| named(path).ends_with(".demo.jsonl")).collect();
    demos.sort();
    demos.iter().map(|path| (named(path), std::fs::read_to_string(path).unwrap())).collect()
}
