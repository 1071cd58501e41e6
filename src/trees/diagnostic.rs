//! A fault of a file as a person reads it: where, what, and how to mend it.
//!
//! Must not know what the tree means; it only shows. Everything it holds is safe to show.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde::Serialize;

use super::node::{File, Place};
use super::text::{push_safe, safe_short};

/// One fault, with its place and its mend. All its texts are free of characters that could steer a terminal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// What kind of fault: lower-case words joined by hyphens, the same from version to version.
    pub code: &'static str,
    /// The file: its path inside the trees folder, or as it was given.
    pub file: String,
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The line at fault, or the part of it around the column where it is long.
    pub text: String,
    /// What is wrong, in a full sentence.
    pub message: String,
    /// What to do about it, in a full sentence.
    pub mend: String,
    /// The bytes of `text` that are meant.
    #[serde(skip)]
    mark: Range<usize>,
    /// Characters of the line left out before `text`.
    #[serde(skip)]
    shift: usize,
}

/// Characters shown before the column of a long line, and the most shown of any line.
const BEFORE: usize = 60;
const WIDEST: usize = 160;
/// The most characters of a message.
const LONGEST: usize = 600;

impl Diagnostic {
    /// A fault at a place in a file.
    pub(super) fn at(code: &'static str, file: &File, place: Place, message: &str, mend: &str) -> Self {
        let (line, line_start) = file.line_of(place.start);
        let raw = file.line_from(line_start);
        let start = place.start.saturating_sub(line_start).min(raw.len());
        let end = place.end.saturating_sub(line_start).clamp(start, raw.len());
        let column = raw.get(..start).map_or(1, |before| before.chars().count() + 1);
        let first = if column > WIDEST - BEFORE { column - 1 - BEFORE } else { 0 };
        let mut text = String::new();
        let (mut from, mut to) = (None, None);
        for (at, c) in raw.char_indices().skip(first).take(WIDEST) {
            if at >= start {
                from.get_or_insert(text.len());
            }
            if at >= end {
                to.get_or_insert(text.len());
            }
            push_safe(&mut text, c);
        }
        let from = from.unwrap_or(text.len());
        let mark = from..to.unwrap_or(text.len()).max(from);
        let file = safe_short(&file.name, 200);
        Self {
            code,
            file,
            line,
            column,
            text,
            message: safe_short(message, LONGEST),
            mend: safe_short(mend, LONGEST),
            mark,
            shift: first,
        }
    }

    /// A fault of something that has no lines: a folder, or a file that cannot be read.
    pub(super) fn whole(code: &'static str, file: &str, message: &str, mend: &str) -> Self {
        let empty = File::new(file.to_string(), String::new());
        Self::at(code, &empty, Place { file: 0, start: 0, end: 0 }, message, mend)
    }

    /// The fault drawn with its line, in plain characters without colour.
    #[must_use]
    pub fn render(&self) -> String {
        let title = Level::ERROR.primary_title(self.message.as_str()).id(self.code);
        let help = Level::HELP.message(self.mend.as_str());
        let mut drawn = Group::with_title(title);
        let snippet = Snippet::source(self.text.as_str())
            .line_start(self.line)
            .annotation(AnnotationKind::Primary.span(self.mark.clone()));
        if self.text.is_empty() {
            let origin = Origin::path(self.file.as_str());
            if self.line > 1 {
                drawn = drawn.element(origin.line(self.line).char_column(self.column));
            } else if !self.file.is_empty() {
                drawn = drawn.element(origin);
            }
        } else if self.shift == 0 {
            drawn = drawn.element(snippet.path(self.file.as_str()));
        } else {
            // The column in the snippet would count from where the line was cut.
            let origin = Origin::path(self.file.as_str()).line(self.line).char_column(self.column);
            drawn = drawn.element(origin).element(snippet);
        }
        Renderer::plain().term_width(WIDEST + 40).render(&[drawn.element(help)])
    }
}

/// All faults drawn one under the other.
#[must_use]
pub fn render_all(diagnostics: &[Diagnostic]) -> String {
    let drawn: Vec<String> = diagnostics.iter().map(Diagnostic::render).collect();
    drawn.join("\n\n")
}
