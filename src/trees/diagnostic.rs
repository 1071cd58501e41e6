//! A fault of a file as a person reads it: where, what, and how to mend it.
//!
//! Must not know what the tree means; it only shows. Everything it holds is safe to show.

use std::ops::Range;

use annotate_snippets::{AnnotationKind, Group, Level, Origin, Renderer, Snippet};
use serde::Serialize;

use super::node::{File, Place};
use super::text::safe_short;
use crate::text::safe_text;

/// How bad a fault is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Severity {
    /// The file cannot be used as it is.
    Fault,
    /// It can be used, but an experienced eye would question it.
    Warning,
}

/// One fault, with its place and its mend. All its texts are free of characters that could steer a terminal.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Diagnostic {
    /// What kind of fault: lower-case words joined by hyphens, the same from version to version.
    pub code: &'static str,
    /// How bad it is.
    pub severity: Severity,
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
        let before = raw.get(..start).unwrap_or("");
        let column = before.chars().count() + 1;
        let shift = if column > WIDEST - BEFORE { column - 1 - BEFORE } else { 0 };
        // Lines can be megabytes long, so the part that is shown is cut out from the column, not counted from the start.
        let left = before.char_indices().rev().nth((column - 1 - shift).saturating_sub(1)).map_or(start, |(at, _)| at);
        let shown = raw.get(left..).unwrap_or("");
        let shown_end = shown.char_indices().nth(WIDEST).map_or(raw.len(), |(at, _)| left + at);
        let end = end.min(shown_end).max(start);
        let safe = |from: usize, to: usize| safe_text(&raw.get(from..to).unwrap_or("").replace('\t', " ")).into_owned();
        let mut text = safe(left, start);
        let from = text.len();
        text.push_str(&safe(start, end));
        let mark = from..text.len();
        text.push_str(&safe(end, shown_end));
        let file = safe_short(&file.name, 200);
        Self {
            code,
            severity: Severity::Fault,
            file,
            line,
            column,
            text,
            message: safe_short(message, LONGEST),
            mend: safe_short(mend, LONGEST),
            mark,
            shift,
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
        let level = match self.severity {
            Severity::Fault => Level::ERROR,
            Severity::Warning => Level::WARNING,
        };
        let title = level.primary_title(self.message.as_str()).id(self.code);
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
