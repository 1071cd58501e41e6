//! The fence around YAML: what is refused before any of it is understood.
//!
//! Owns the limits on a file and one pass over the parser's events, which gives every value its place and refuses what the
//! format has no use for: aliases, anchors, tags, merge keys, a second document, deep nesting and doubled keys. Must not
//! know what any name or section means.

use std::collections::HashSet;

use saphyr_parser::{Event, Parser, ScalarStyle, Span};

use super::faults::{Faults, code};
use super::node::{File, Key, Node, NodeKind, Place};
use crate::text::{is_hidden, safe_lines};

/// The largest file taken, in bytes.
pub(super) const LARGEST_FILE: usize = 4 * 1024 * 1024;
/// The deepest nesting taken.
const DEEPEST: usize = 32;
/// The most values taken in one file.
const MOST_NODES: usize = 200_000;
/// The longest single text taken, in bytes.
const LONGEST_SCALAR: usize = 64 * 1024;

/// Reads bytes as text, or says what is wrong with them. The text comes back in any case, to show lines of.
pub(super) fn text_of(bytes: &[u8]) -> (String, Option<BadBytes>) {
    if bytes.len() > LARGEST_FILE {
        return (String::new(), Some(BadBytes::TooLarge));
    }
    // A mark that some editors put first and nobody sees.
    let bytes = bytes.strip_prefix("\u{feff}".as_bytes()).unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Err(fault) => (String::from_utf8_lossy(bytes).into_owned(), Some(BadBytes::NotUtf8(fault.valid_up_to()))),
        Ok(text) => {
            let unseen = text.char_indices().find(|(_, c)| is_hidden(*c) && !matches!(c, '\n' | '\r' | '\t'));
            (text.to_string(), unseen.map(|(at, c)| BadBytes::Unseen(at, c)))
        }
    }
}

/// What is wrong with the bytes of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum BadBytes {
    TooLarge,
    /// Not UTF-8 from this byte on.
    NotUtf8(usize),
    /// A character that does not show, at this byte.
    Unseen(usize, char),
}

impl BadBytes {
    /// Notes the fault.
    pub(super) fn note(self, file: usize, faults: &mut Faults) {
        match self {
            Self::TooLarge => faults.add(
                code::FILE_TOO_LARGE,
                Place { file, start: 0, end: 0 },
                format!("The file is larger than {} MiB.", LARGEST_FILE / 1024 / 1024),
                "Split it into several files: the sections of all files are joined by name.",
            ),
            Self::NotUtf8(at) => faults.add(
                code::NOT_UTF8,
                Place { file, start: at, end: at },
                "The file is not UTF-8 text.",
                "Save it as UTF-8.",
            ),
            Self::Unseen(at, c) => faults.add(
                code::CONTROL_CHARACTER,
                Place { file, start: at, end: at + c.len_utf8() },
                format!("The file has a character that does not show, U+{:04X}.", u32::from(c)),
                "Delete it, or save the file as plain UTF-8 text.",
            ),
        }
    }
}

/// Walks the events of a file once. `None` where the file is refused; the faults say why.
pub(super) fn read(file: &File, index: usize, faults: &mut Faults) -> Option<Node> {
    let mut walk =
        Walk { offsets: Offsets::of(&file.text), file: index, open: Vec::new(), root: None, nodes: 0, faults };
    let mut parser = Parser::new_from_str(&file.text);
    let mut documents = 0;
    while let Some(next) = parser.next_event() {
        match next {
            Err(fault) => {
                // At the very end there is no line to show: the last character that shows stands for it.
                let last = file.text.trim_end().char_indices().next_back().map_or(0, |(at, _)| at);
                let at = walk.offsets.byte(fault.marker().index()).min(last);
                walk.fault(
                    code::SYNTAX,
                    at,
                    at,
                    &format!("This is not YAML: {}.", fault.info()),
                    "Mend the line, or the one before it.",
                );
                return None;
            }
            Ok((Event::StreamEnd, _)) => break,
            Ok((Event::DocumentStart(_), span)) => {
                documents += 1;
                if documents > 1 {
                    let at = walk.offsets.byte(span.start.index());
                    walk.fault(
                        code::SEVERAL_DOCUMENTS,
                        at,
                        at,
                        "A second document starts here.",
                        "Keep one document a file: delete this line, or split the file.",
                    );
                    return None;
                }
            }
            Ok((event, span)) => walk.take(event, span)?,
        }
    }
    let root = walk.root.take();
    if root.is_none() {
        walk.fault(code::EMPTY_FILE, 0, 0, "The file is empty.", "Start it with its format, or delete it.");
    }
    root
}

/// A collection whose end has not come yet.
struct Open {
    start: usize,
    /// The key whose value comes next, in a map.
    key: Option<Key>,
    seen: HashSet<String>,
    kind: NodeKind,
}

struct Walk<'a> {
    offsets: Offsets<'a>,
    file: usize,
    open: Vec<Open>,
    root: Option<Node>,
    nodes: usize,
    faults: &'a mut Faults,
}

impl Walk<'_> {
    fn fault(&mut self, code: &'static str, start: usize, end: usize, message: &str, mend: &str) {
        if cfg!(broken = "no-fence") {
            return;
        }
        self.faults.add(code, Place { file: self.file, start, end }, message, mend);
    }

    /// Takes one event; `None` stops the walk.
    fn take(&mut self, event: Event<'_>, span: Span) -> Option<()> {
        let start = self.offsets.byte(span.start.index());
        let end = self.offsets.byte(span.end.index());
        let (anchor, tagged) = match &event {
            Event::Scalar(_, _, anchor, tag) | Event::SequenceStart(anchor, tag) | Event::MappingStart(anchor, tag) => {
                (*anchor, tag.is_some())
            }
            _ => (0, false),
        };
        if anchor != 0 {
            self.fault(
                code::ANCHOR,
                start,
                end,
                "The value has an anchor (&name).",
                "Write the value out where it is needed.",
            );
        }
        if tagged {
            self.fault(code::TAG, start, end, "The value has a tag (!name).", "Delete the tag: the format has none.");
        }
        self.nodes += 1;
        if self.nodes > MOST_NODES {
            self.fault(
                code::TOO_MANY_VALUES,
                start,
                start,
                "The file has more values than any tree needs.",
                "Split it, or delete what was made by accident.",
            );
            return None;
        }
        match event {
            Event::Alias(_) => {
                self.fault(
                    code::ALIAS,
                    start,
                    end,
                    "An alias (*name) is used.",
                    "Write the value out where it is needed.",
                );
                self.put(Node { start, end, kind: NodeKind::Scalar(String::new()) })
            }
            Event::Scalar(text, style, ..) => self.scalar(&text, style, start, end),
            Event::SequenceStart(..) => self.begin(start, NodeKind::List(Vec::new())),
            Event::MappingStart(..) => self.begin(start, NodeKind::Map(Vec::new())),
            Event::SequenceEnd | Event::MappingEnd => {
                let done = self.open.pop()?;
                self.put(Node { start: done.start, end: end.max(done.start), kind: done.kind })
            }
            _ => Some(()),
        }
    }

    fn begin(&mut self, start: usize, kind: NodeKind) -> Option<()> {
        if self.open.len() >= DEEPEST {
            self.fault(
                code::TOO_DEEP,
                start,
                start,
                &format!("Values are nested more than {DEEPEST} deep."),
                "No tree needs that: look for a bracket that is not closed.",
            );
            return None;
        }
        if self.open.last().is_some_and(|o| matches!(o.kind, NodeKind::Map(_)) && o.key.is_none()) {
            self.fault(
                code::KEY_NOT_TEXT,
                start,
                start,
                "A key is a list or a map.",
                "Write a plain word before the colon.",
            );
            return None;
        }
        self.open.push(Open { start, key: None, seen: HashSet::new(), kind });
        Some(())
    }

    fn scalar(&mut self, text: &str, style: ScalarStyle, start: usize, end: usize) -> Option<()> {
        if text.len() > LONGEST_SCALAR {
            self.fault(
                code::TEXT_TOO_LONG,
                start,
                start,
                "A text here is longer than 64 KiB.",
                "Shorten it, or close the quote that was left open.",
            );
            return None;
        }
        if safe_lines(text) != text {
            let hidden = text.chars().find(|c| is_hidden(*c) && *c != '\n');
            let message = match hidden {
                Some(c) => format!("The text holds a character that does not show, U+{:04X}.", u32::from(c)),
                None => "The text piles too many marks on one letter.".to_string(),
            };
            let mend = "Delete it: texts are plain letters, digits, signs and spaces.";
            self.fault(code::CONTROL_CHARACTER, start, end, &message, mend);
        }
        let awaits_key = self.open.last().is_some_and(|o| matches!(o.kind, NodeKind::Map(_)) && o.key.is_none());
        if !awaits_key {
            return self.put(Node { start, end, kind: NodeKind::Scalar(text.to_string()) });
        }
        if text == "<<" && style == ScalarStyle::Plain {
            self.fault(
                code::MERGE_KEY,
                start,
                end,
                "A merge key (<<) is used.",
                "Write the fields out where they are needed.",
            );
        } else if self.open.last().is_some_and(|o| o.seen.contains(text)) {
            self.fault(
                code::DUPLICATE_KEY,
                start,
                end,
                &format!("\"{text}\" stands here twice."),
                "Delete one of the two, or give it another name.",
            );
        }
        if let Some(open) = self.open.last_mut() {
            open.seen.insert(text.to_string());
            open.key = Some(Key { text: text.to_string(), start, end });
        }
        Some(())
    }

    /// Puts a finished value where it belongs.
    fn put(&mut self, node: Node) -> Option<()> {
        match self.open.last_mut() {
            None => self.root = Some(node),
            Some(open) => match (&mut open.kind, open.key.take()) {
                (NodeKind::List(items), _) => items.push(node),
                (NodeKind::Map(entries), Some(key)) => entries.push((key, node)),
                // An alias as a key; the fault is noted already.
                _ => return None,
            },
        }
        Some(())
    }
}

/// From the parser's count of characters to bytes.
struct Offsets<'a> {
    text: &'a str,
    /// The byte of each character, where the text is not ASCII only.
    table: Vec<usize>,
}

impl<'a> Offsets<'a> {
    fn of(text: &'a str) -> Self {
        let table = if text.is_ascii() { Vec::new() } else { text.char_indices().map(|(byte, _)| byte).collect() };
        Self { text, table }
    }

    fn byte(&self, character: usize) -> usize {
        let byte = if self.table.is_empty() {
            character
        } else {
            self.table.get(character).copied().unwrap_or(self.text.len())
        };
        byte.min(self.text.len())
    }
}
