//! A page of lines with a margin of labels, as on a work card: what a line is stands left, what it says right of it.

use std::ops::Range;

use ratatui::layout::Rect;
use ratatui::text::{Line, Span};

use crate::tui::action::Action;
use crate::tui::canvas::Canvas;
use crate::tui::text::{cut, pad, width, wrap};
use crate::tui::theme::{Role, Theme};

/// Columns of the margin on wide and on narrow pages.
const MARGIN: usize = 9;
const NARROW_MARGIN: usize = 2;
/// Below this width the margin is narrow and labels stand above.
const NARROW: usize = 60;

/// A line that was set, and what a press of the mouse on its columns means.
#[derive(Debug, Clone, Default)]
pub(crate) struct Row {
    pub(crate) line: Line<'static>,
    pub(crate) spots: Vec<(Range<u16>, Action)>,
}

impl From<Line<'static>> for Row {
    fn from(line: Line<'static>) -> Self {
        Self { line, spots: Vec::new() }
    }
}

/// Lines of text being set.
pub(crate) struct Page {
    theme: Theme,
    width: usize,
    margin: usize,
    lines: Vec<Row>,
}

impl Page {
    pub(crate) fn new(theme: Theme, width: usize) -> Self {
        let margin = if width < NARROW { NARROW_MARGIN } else { MARGIN };
        Self { theme, width: width.max(1), margin, lines: Vec::new() }
    }

    /// The same with its labels in the margin, for a narrow page beside another whose lines mean nothing without them.
    pub(crate) fn keeping_labels(self) -> Self {
        Self { margin: MARGIN, ..self }
    }

    pub(crate) fn width(&self) -> usize {
        self.width
    }

    /// Columns of the margin.
    pub(crate) fn margin(&self) -> usize {
        self.margin
    }

    /// Columns right of the margin.
    pub(crate) fn room(&self) -> usize {
        self.width.saturating_sub(self.margin()).max(1)
    }

    pub(crate) fn into_rows(self) -> Vec<Row> {
        self.lines
    }

    pub(crate) fn blank(&mut self) {
        self.lines.push(Row::default());
    }

    /// A press anywhere on the lines from this one on means that.
    pub(crate) fn does(&mut self, from: usize, action: &Action) {
        self.lines.iter_mut().skip(from).for_each(|row| row.spots.push((0..u16::MAX, action.clone())));
    }

    /// A press on these columns of a line means that.
    pub(crate) fn spot(&mut self, line: usize, columns: Range<u16>, action: &Action) {
        if let Some(row) = self.lines.get_mut(line) {
            row.spots.push((columns, action.clone()));
        }
    }

    /// Lines set so far.
    pub(crate) fn len(&self) -> usize {
        self.lines.len()
    }

    /// One line of pieces, cut to the width.
    pub(crate) fn row(&mut self, pieces: &[(Role, String)]) {
        let mut left = self.width;
        let mut spans = Vec::new();
        for (role, text) in pieces {
            let text = cut(text, left, self.theme.glyphs().more);
            left -= width(&text).min(left);
            spans.push(Span::styled(text, self.theme.style(*role)));
        }
        self.lines.push(Line::from(spans).into());
    }

    /// One line with a piece at its right edge.
    pub(crate) fn spread(&mut self, left: &[(Role, String)], right: &[(Role, String)]) {
        let end: usize = right.iter().map(|(_, t)| width(t)).sum();
        let room = self.width.saturating_sub(end + usize::from(end > 0));
        let mut pieces = Vec::new();
        let mut used = 0;
        for (role, text) in left {
            let text = cut(text, room - used, self.theme.glyphs().more);
            used += width(&text);
            pieces.push((*role, text));
        }
        if end > 0 {
            pieces.push((Role::Text, " ".repeat(self.width.saturating_sub(end + used))));
            pieces.extend(right.iter().cloned());
        }
        self.row(&pieces);
    }

    /// Wrapped text over the whole width.
    pub(crate) fn text(&mut self, role: Role, text: &str) {
        wrap(text, self.width).into_iter().for_each(|line| self.row(&[(role, line)]));
    }

    /// A label in the margin, and wrapped text beside it.
    pub(crate) fn label(&mut self, label: &str, role: Role, text: &str) {
        let margin = self.margin();
        let mut label = if margin >= MARGIN { label.to_owned() } else { String::new() };
        for line in wrap(text, self.room()) {
            self.row(&[(Role::Faint, pad(&label, margin)), (role, line)]);
            label.clear();
        }
    }

    /// Pieces right of the margin, with a label in it.
    pub(crate) fn labelled(&mut self, label: &str, pieces: &[(Role, String)]) {
        let margin = self.margin();
        let label = if margin >= MARGIN { label } else { "" };
        let first = (Role::Faint, pad(label, margin));
        self.row(&[&[first], pieces].concat());
    }

    /// A numbered or marked line with a hanging indent, the label beside the first.
    pub(crate) fn hanging(&mut self, label: &str, mark: &(Role, String), role: Role, text: &str) {
        let margin = self.margin();
        let label = if margin >= MARGIN { label } else { "" };
        let indent = width(&mark.1);
        for (at, line) in wrap(text, self.room().saturating_sub(indent)).into_iter().enumerate() {
            let (label, mark) = if at == 0 { (label, mark.clone()) } else { ("", (Role::Text, " ".repeat(indent))) };
            self.row(&[(Role::Faint, pad(label, margin)), mark, (role, line)]);
        }
    }

    /// A line across, with a heading in it.
    pub(crate) fn rule(&mut self, title: &str) {
        let rule = self.theme.glyphs().rule;
        if title.is_empty() {
            self.row(&[(Role::Rule, rule.repeat(self.width))]);
            return;
        }
        let rest = self.width.saturating_sub(width(title) + 4);
        self.row(&[
            (Role::Rule, format!("{} ", rule.repeat(2))),
            (Role::Faint, title.to_owned()),
            (Role::Rule, format!(" {}", rule.repeat(rest))),
        ]);
    }
}

/// Draws lines from a row on; what does not fit is left out.
pub(crate) fn paint(canvas: &mut Canvas<'_>, area: Rect, lines: &[Row], from: usize) {
    let area = area.intersection(canvas.buf.area);
    for (y, row) in (area.top()..area.bottom()).zip(lines.iter().skip(from)) {
        canvas.buf.set_line(area.x, y, &row.line, area.width);
        for (columns, action) in &row.spots {
            let (from, to) = (columns.start.min(area.width), columns.end.min(area.width));
            canvas.spot(Rect { x: area.x + from, y, width: to - from, height: 1 }, action.clone());
        }
    }
}

/// Keeps a number of lines; says so where some are left out.
pub(crate) fn keep(theme: Theme, mut lines: Vec<Row>, rows: usize, hint: &str) -> Vec<Row> {
    if lines.len() > rows {
        lines.truncate(rows);
        if let Some(last) = lines.last_mut() {
            let more = format!(" {} {hint}", theme.glyphs().more);
            last.line.push_span(Span::styled(more, theme.style(Role::Faint)));
        }
    }
    lines
}

/// Draws a page from a row on, and says so where it goes on below.
pub(crate) fn scrolled(theme: Theme, area: Rect, canvas: &mut Canvas<'_>, lines: &[Row], at: usize) {
    let height = usize::from(area.height);
    canvas.drawn.rows = lines.len();
    canvas.drawn.room = height;
    let most = lines.len().saturating_sub(height);
    let at = at.min(most);
    if at == most || area.height < 2 {
        paint(canvas, area, lines, at);
        return;
    }
    paint(canvas, Rect { height: area.height - 1, ..area }, lines, at);
    let words = format!("{} more rows: Down", lines.len() - at - height + 1);
    canvas.buf.set_stringn(area.x, area.bottom() - 1, &words, usize::from(area.width), theme.style(Role::Key));
}
