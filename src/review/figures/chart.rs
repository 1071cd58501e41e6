//! What a section holds: charts and tables, before they are drawn.
//!
//! Must not know how they are drawn, but for the characters of a terminal.

/// The characters of a terminal's charts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// Blocks.
    Unicode,
    /// Plain ASCII.
    Ascii,
}

/// One subject.
#[derive(Debug, Default)]
pub(super) struct Section {
    pub title: String,
    /// Sentences before anything else.
    pub about: Vec<String>,
    pub charts: Vec<Chart>,
    pub tables: Vec<Table>,
}

/// A chart; every number of it is in a table or beside its bar too.
#[derive(Debug)]
pub(super) enum Chart {
    Bars(Bars),
    /// How many in each month, `2026-11`, in order.
    Months(String, Vec<(String, usize)>),
}

/// Bars from the left, each of one or more parts end to end.
#[derive(Debug)]
pub(super) struct Bars {
    pub title: String,
    /// What the parts are, where there are several.
    pub legend: Vec<String>,
    pub lines: Vec<Bar>,
}

#[derive(Debug)]
pub(super) struct Bar {
    pub label: String,
    pub parts: Vec<f64>,
    /// What stands at its end.
    pub note: String,
}

impl Bars {
    /// The longest bar; never 0.
    pub(super) fn most(&self) -> f64 {
        let sum = |bar: &Bar| bar.parts.iter().sum::<f64>();
        self.lines.iter().map(sum).fold(0.0, f64::max).max(f64::MIN_POSITIVE)
    }
}

#[derive(Debug, Default)]
pub(super) struct Table {
    pub title: String,
    /// Names of the columns; numbers are set to the right.
    pub heads: Vec<Head>,
    pub rows: Vec<Vec<String>>,
    /// Rows that are left out, for length.
    pub more: usize,
}

#[derive(Debug)]
pub(super) struct Head {
    pub name: &'static str,
    pub number: bool,
    /// Whether only the page has room for it.
    pub page_only: bool,
    /// Whether its beginning says enough where there is little room: the name of a job.
    pub begins: bool,
}

pub(super) fn word(name: &'static str) -> Head {
    Head { name, number: false, page_only: false, begins: false }
}

/// A column of names of jobs.
pub(super) fn name(name: &'static str) -> Head {
    Head { begins: true, ..word(name) }
}

pub(super) fn number(name: &'static str) -> Head {
    Head { name, number: true, page_only: false, begins: false }
}

/// A column of numbers that only the page has room for.
pub(super) fn number_on_page(name: &'static str) -> Head {
    Head { name, number: true, page_only: true, begins: false }
}

impl Table {
    /// A table of at most so many rows.
    pub(super) fn new(title: &str, heads: Vec<Head>, most: usize, mut rows: Vec<Vec<String>>) -> Self {
        let more = rows.len().saturating_sub(most);
        rows.truncate(most);
        Self { title: title.to_owned(), heads, rows, more }
    }
}
