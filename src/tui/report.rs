//! The job written up, to read on the screen: its page with the rest folded, or the whole; set to a width, with its
//! headings and what is searched in it.
//!
//! Owns where something stands in the write-up. Must not draw, and must not know what a job is.

use std::ops::Range;

use super::field::Field;
use super::text::{clean, width, wrap};
use crate::report::{Heading, LABELS, PAGE_COLUMNS, WrittenUp, headings, is_labelled};

/// The width that the text behind the page is set to. A row that has no room for the next one's first word goes on in it.
const SET_TO: usize = 96;
/// The width that the rows of the page are set to.
const PAGE_SET_TO: usize = LABELS + PAGE_COLUMNS;

/// A write-up being read.
#[derive(Debug, Clone, Default)]
pub(super) struct ReportView {
    /// The text.
    pub text: String,
    /// Its other form, unfolded or folded; empty where it has none.
    pub folded: String,
    /// Rows scrolled.
    pub scroll: usize,
    /// What is searched for.
    pub search: Field,
    /// Whether the search is being typed.
    pub is_typing: bool,
    /// The place in front, of those that were found.
    pub at: usize,
}

/// A row of the write-up as it is set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Line {
    /// Its words, set in.
    pub words: String,
    /// The line of the text that it begins with.
    pub of: usize,
    /// Whether it goes on with what the row before says.
    pub goes_on: bool,
}

/// Where something was found: pieces of rows, more than one where it goes over the end of a row.
pub(super) type Place = Vec<(usize, Range<usize>)>;

impl ReportView {
    /// A write-up, its page first.
    pub(super) fn of(written: WrittenUp) -> Self {
        Self { text: written.page, folded: written.whole, ..Self::default() }
    }

    /// A text that has no other form.
    pub(super) fn plain(text: String) -> Self {
        Self { text, ..Self::default() }
    }

    /// The other form, from its start.
    pub(super) fn unfold(&mut self) {
        if !self.folded.is_empty() {
            std::mem::swap(&mut self.text, &mut self.folded);
            (self.scroll, self.at) = (0, 0);
        }
    }

    /// Whether something is searched, or about to be.
    pub(super) fn searches(&self) -> bool {
        self.is_typing || !self.search.text().trim().is_empty()
    }

    /// The rows, and the places in them that have what is searched for.
    pub(super) fn set(&self, columns: usize) -> (Vec<Line>, Vec<Place>) {
        let lines = set(&self.text, columns);
        let found = places(&lines, self.search.text());
        (lines, found)
    }

    /// How often what is searched stands in the other form.
    pub(super) fn found_folded(&self) -> usize {
        places(&set(&self.folded, SET_TO), self.search.text()).len()
    }

    /// All headings, those of what is folded too.
    pub(super) fn headings(&self) -> Vec<Heading> {
        let (here, folded) = (headings(&self.text), headings(&self.folded));
        if folded.len() > here.len() { folded } else { here }
    }
}

/// The write-up wrapped to the width; indents are kept, and rows that were wrapped already are joined first.
pub(super) fn set(text: &str, columns: usize) -> Vec<Line> {
    let mut rows = text.lines().enumerate().peekable();
    let mut lines = Vec::new();
    let mut before = "";
    while let Some((of, row)) = rows.next() {
        let follows = goes_on(before, row);
        let indent = indent_of(row);
        let mut words = row.trim().to_owned();
        let mut deeper = is_labelled(row).then_some(LABELS);
        before = row;
        while let Some((_, next)) = rows.next_if(|(_, next)| width(before) > columns && goes_on(before, next)) {
            deeper = Some(indent_of(next));
            words = format!("{words} {}", next.trim());
            before = next;
        }
        let wrapped = hang(&clean(&words), indent, deeper.unwrap_or(indent), columns);
        let line = |(at, words)| Line { words, of, goes_on: follows || at > 0 };
        lines.extend(wrapped.into_iter().enumerate().map(line));
    }
    lines
}

fn indent_of(row: &str) -> usize {
    row.len() - row.trim_start().len()
}

fn goes_on(row: &str, next: &str) -> bool {
    let set_to = if indent_of(next) == LABELS { PAGE_SET_TO } else { SET_TO };
    let first = next.split_whitespace().next().map_or(set_to, width);
    !next.trim().is_empty() && width(row.trim_end()) + 1 + first > set_to
}

/// One row, the rows it wraps to set in by `deeper`. Blanks within a row that fits are kept: they make columns.
fn hang(words: &str, indent: usize, deeper: usize, columns: usize) -> Vec<String> {
    let (indent, deeper) = (indent.min(columns / 2), deeper.min(columns / 2));
    if width(words) + indent <= columns {
        return vec![format!("{}{words}", " ".repeat(indent))];
    }
    // A name in front of what is set in deeper keeps its columns.
    let name: String = words.chars().take(deeper.saturating_sub(indent)).collect();
    let rest: String = words.chars().skip(name.chars().count()).collect();
    let mut before = format!("{}{name}", " ".repeat(indent));
    let mut rows = Vec::new();
    for part in wrap(&rest, columns - width(&before).min(columns.saturating_sub(1))) {
        rows.push(format!("{before}{part}"));
        before = " ".repeat(deeper.max(indent));
    }
    rows
}

/// The places that have these words, whatever their case. Blanks count once, and the end of a row as one.
fn places(lines: &[Line], words: &str) -> Vec<Place> {
    let wanted: Vec<char> = words.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase().chars().collect();
    if wanted.is_empty() {
        return Vec::new();
    }
    let all = letters(lines);
    let mut found = Vec::new();
    let mut at = 0;
    while let Some(window) = all.get(at..at + wanted.len()) {
        if window.iter().map(|letter| &letter.is).ne(&wanted) {
            at += 1;
            continue;
        }
        let mut place: Place = Vec::new();
        for Letter { row, bytes, .. } in window {
            match place.last_mut() {
                Some((last, range)) if last == row => range.end = bytes.end,
                _ if bytes.is_empty() => {}
                _ => place.push((*row, bytes.clone())),
            }
        }
        found.push(place);
        at += wanted.len();
    }
    found
}

/// A letter as it is searched, and where it stands; an end of a row takes no bytes.
struct Letter {
    is: char,
    row: usize,
    bytes: Range<usize>,
}

fn letters(lines: &[Line]) -> Vec<Letter> {
    let mut all: Vec<Letter> = Vec::new();
    for (row, line) in lines.iter().enumerate() {
        let end = all.last().map_or(0, |last| last.bytes.end);
        all.push(Letter { is: if line.goes_on { ' ' } else { '\n' }, row: row.saturating_sub(1), bytes: end..end });
        let indent = line.words.len() - line.words.trim_start().len();
        let mut blank = false;
        for (at, c) in line.words.char_indices().skip_while(|(at, _)| *at < indent) {
            if c.is_whitespace() && std::mem::replace(&mut blank, c.is_whitespace()) {
                continue;
            }
            blank = c.is_whitespace();
            let bytes = at..at + c.len_utf8();
            let is = if blank { ' ' } else { c };
            all.extend(is.to_lowercase().map(|is| Letter { is, row, bytes: bytes.clone() }));
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "ROUGHRUN JOB REPORT\n\nFound         Lead open at left 1 upper\n\nCOURSE\n------\n  3  The lead  \
                        was measured open\n";

    #[test]
    fn words_are_found_whatever_their_case_and_over_the_end_of_a_row() {
        let view = ReportView { search: Field::of("LEAD  open"), ..ReportView::plain(TEXT.into()) };
        for columns in [20, 24, 80] {
            let (lines, found) = view.set(columns);
            assert_eq!(found.len(), 1, "{columns}: {lines:?}");
            let words: Vec<&str> = found[0].iter().map(|(row, at)| &lines[*row].words[at.clone()]).collect();
            assert_eq!(words.join(" ").trim().replace("  ", " "), "Lead open", "{columns}");
        }
        let of = |words: &str| places(&set(TEXT, 80), words).len();
        assert_eq!((of("lead"), of("the lead was"), of("upper course"), of(" ")), (2, 1, 0, 0));
    }

    #[test]
    fn folded_and_unfolded_have_the_same_headings_as_far_as_both_go() {
        let page = "JOB REPORT\n\nFound         a\n\nFolded: more\n".to_owned();
        let whole = "JOB REPORT\n\nFound         a\n\nCOURSE\n------\nx\n".to_owned();
        let mut view = ReportView::of(WrittenUp { page, whole });
        let titles = |view: &ReportView| view.headings().into_iter().map(|h| h.title).collect::<Vec<_>>();
        assert_eq!(titles(&view), ["JOB REPORT", "Found", "COURSE"]);
        view.search = Field::of("course");
        assert_eq!((view.set(80).1.len(), view.found_folded()), (0, 1));
        view.unfold();
        assert_eq!((titles(&view).len(), view.set(80).1.len()), (3, 1));
    }
}
