//! From a value that passed the fence to its twin, and from the deserialiser's words to ours.
//!
//! Each declaration is deserialised by itself, from its own stretch of the file, so that a fault in one hides none in
//! another. Must not know what a field means.

use serde::de::DeserializeOwned;

use super::faults::{Faults, code};
use super::node::{File, Node, NodeKind, Place};
use super::suggest;

/// Whether a file says that it is of this format; the fault is noted where it does not.
pub(super) fn format_is(format: &str, file: usize, root: &Node, faults: &mut Faults) -> bool {
    let written = match root.entry("format") {
        Some((_, node)) => node,
        None => root,
    };
    match &written.kind {
        NodeKind::Scalar(text) if text == format => true,
        NodeKind::Scalar(text) if root.get("format").is_some() => {
            let place = Place { file, start: written.start, end: written.end };
            let message = format!("The format \"{text}\" is not known here.");
            faults.add(code::FORMAT, place, message, format!("Write: format: {format}"));
            false
        }
        _ => {
            let place = Place { file, start: root.start, end: root.start };
            faults.add(
                code::FORMAT,
                place,
                "The file does not say its format.",
                format!("Start it with: format: {format}"),
            );
            false
        }
    }
}

/// Deserialises a value; `None` with the fault noted where it is not of the shape wanted. `name` is pointed at where the
/// fault has no place of its own.
pub(super) fn twin<T: DeserializeOwned>(
    file: &File,
    index: usize,
    node: &Node,
    name: Place,
    faults: &mut Faults,
) -> Option<T> {
    if !matches!(node.kind, NodeKind::Map(_)) {
        faults.add(
            code::WRONG_TYPE,
            name,
            "Here a map of fields is wanted.",
            "Write each field under it, as the format describes.",
        );
        return None;
    }
    let written = file.text.get(node.start..node.end).unwrap_or("").trim_end();
    // A stretch of several lines is put back into its column, so that its first line stands like the others. One of a single
    // line is not: there can be thousands of them in a line of megabytes.
    let (_, line_start) = file.line_of(node.start);
    let before = if written.contains('\n') { file.text.get(line_start..node.start).unwrap_or("") } else { "" };
    let column = before.chars().count();
    let stretch = " ".repeat(column) + written;
    match serde_yaml::from_str(&stretch) {
        Ok(twin) => Some(twin),
        Err(fault) => {
            let at = fault.location().map_or(node.start, |l| (node.start + l.index()).saturating_sub(column));
            let words = fault.to_string();
            note(&words, node, index, at.clamp(node.start, node.end), name, faults);
            None
        }
    }
}

/// Says in our words what the deserialiser said in its own.
fn note(words: &str, node: &Node, file: usize, at: usize, name: Place, faults: &mut Faults) {
    let here = Place { file, start: at, end: at };
    let words = words.rfind(" at line ").map_or(words, |cut| &words[..cut]);
    // The words hold what was written, which may look like any of them: only what the fence did say is left out.
    let doubled = words.contains("duplicate field ") && faults.has(code::DUPLICATE_KEY, file, node.start..node.end);
    let merged = words.contains("unknown field `<<`") && faults.has(code::MERGE_KEY, file, node.start..node.end);
    if doubled || merged {
        return;
    }
    if let Some(rest) = after(words, "unknown field ") {
        let mut quoted = rest.split('`').skip(1).step_by(2);
        let field = quoted.next().unwrap_or("");
        let known: Vec<&str> = quoted.collect();
        let place = node.find_key(field, at).map_or(here, |(start, end)| Place { file, start, end });
        let mend = match suggest::nearest(field, known.iter().copied()) {
            Some(near) => format!("Did you mean \"{near}\"?"),
            None => format!("The fields here are: {}.", known.join(", ")),
        };
        faults.add(code::UNKNOWN_FIELD, place, format!("There is no field \"{field}\" here."), mend);
    } else if let Some(rest) = after(words, "missing field ") {
        let field = rest.trim_matches('`');
        // The deserialiser points at the start of the map that lacks it.
        let place = if at <= node.start { name } else { here };
        faults.add(
            code::MISSING_FIELD,
            place,
            format!("The field \"{field}\" is missing."),
            format!("Add {field}: as the format describes."),
        );
    } else if let Some(rest) = after(words, "invalid type: ") {
        let quote = if rest.contains("expected a string") { " Put the value between quotes." } else { "" };
        let place = scalar_at(node, at).map_or(here, |(start, end)| Place { file, start, end });
        faults.add(
            code::WRONG_TYPE,
            place,
            format!("The value has the wrong type: {}.", plain(rest)),
            format!("Write what the format describes here.{quote}"),
        );
    } else if let Some(rest) = after(words, "unknown variant ") {
        let mut quoted = rest.split('`').skip(1).step_by(2);
        let word = quoted.next().unwrap_or("");
        let known: Vec<&str> = quoted.collect();
        let mend = match suggest::nearest(word, known.iter().copied()) {
            Some(near) => format!("Did you mean \"{near}\"? The words here are: {}.", known.join(", ")),
            None => format!("The words here are: {}.", known.join(", ")),
        };
        let place = scalar_at(node, at).map_or(here, |(start, end)| Place { file, start, end });
        faults.add(code::BAD_VALUE, place, format!("\"{word}\" is none of the words for this field."), mend);
    } else {
        let place = scalar_at(node, at).map_or(here, |(start, end)| Place { file, start, end });
        let rest = after(words, "invalid value: ").unwrap_or(words);
        faults.add(
            code::BAD_VALUE,
            place,
            format!("The value cannot be used: {}.", plain(rest)),
            "Write what the format describes here.",
        );
    }
}

fn after<'a>(words: &'a str, start: &str) -> Option<&'a str> {
    words.find(start).map(|at| &words[at + start.len()..])
}

/// Without the names of our own types.
fn plain(words: &str) -> String {
    let cut = words
        .find("expected struct ")
        .map_or(words.to_string(), |at| format!("{}expected a map of fields", &words[..at]));
    cut.replace('`', "\"").replace("unit value", "nothing")
}

/// The span of the scalar that a byte stands in or before.
fn scalar_at(node: &Node, at: usize) -> Option<(usize, usize)> {
    let mut waiting = vec![node];
    let mut best: Option<(usize, usize)> = None;
    while let Some(node) = waiting.pop() {
        match &node.kind {
            NodeKind::Scalar(_) if node.end > at && node.end > node.start => {
                if best.is_none_or(|(start, _)| node.start < start) {
                    best = Some((node.start, node.end));
                }
            }
            NodeKind::Scalar(_) => {}
            NodeKind::List(items) => waiting.extend(items),
            NodeKind::Map(entries) => waiting.extend(entries.iter().map(|(_, value)| value)),
        }
    }
    best.filter(|(start, _)| *start <= at + 2)
}
