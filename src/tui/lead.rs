//! The shop lead's screens: the list of records, one walked again, and what the records teach.
//!
//! Owns what they hold. Must not draw, and must not reach the disk.

use std::collections::BTreeSet;
use std::sync::Arc;

use super::field::Field;
use super::held::Held;
use crate::learn::Lessons;
use crate::review::listing::{Query, Row};
use crate::review::replay::{Step, Totals};
use crate::review::{Key, Proposal};

/// The lead goes through the records.
#[derive(Debug, Clone, Default)]
pub(super) struct Review {
    /// The records, newest first.
    pub rows: Arc<Vec<Row>>,
    /// Whether they are read.
    pub listed: bool,
    /// What there is to say of the list.
    pub notes: Vec<String>,
    /// The record being walked.
    pub walked: Option<Walked>,
    /// The long work on them.
    pub long: Long,
}

/// The lead goes through what the records teach.
#[derive(Debug, Clone, Default)]
pub(super) struct Learn {
    /// What they teach, once it is worked out.
    pub learnt: Option<Arc<Learning>>,
    /// What is accepted of it.
    pub accepted: BTreeSet<Key>,
    /// The long work on it.
    pub long: Long,
}

/// Long work, as far as it is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) enum Long {
    /// None is being done.
    #[default]
    Idle,
    /// It has begun.
    Begun,
    /// So many pieces of so many are done.
    Far(usize, usize),
}

/// A record being walked.
#[derive(Debug, Clone)]
pub(super) struct Walked {
    /// Its row.
    pub row: Arc<Row>,
    /// Its job.
    pub held: Held,
    /// The steps that are worked out.
    pub steps: Arc<Vec<Step>>,
    /// What they come to, once all are.
    pub totals: Option<Totals>,
    /// Whether the steps are those before something was said: the first new one takes their place.
    pub fresh: bool,
}

/// What the records teach, figure by figure.
#[derive(Debug)]
pub(super) struct Learning {
    /// All of it.
    pub lessons: Lessons,
    /// The figures that can be accepted or not.
    pub proposals: Vec<Proposal>,
    /// Records that could not be read, a sentence each.
    pub unread: Vec<String>,
}

/// The list of records.
#[derive(Debug, Clone, Default)]
pub(super) struct ReviewView {
    /// The marked row, of those found.
    pub cursor: usize,
    /// What is searched for.
    pub search: Field,
    /// The rows found, by their places in the list.
    pub found: Arc<Vec<usize>>,
    /// Why the search cannot be read, where it cannot.
    pub fault: Option<String>,
}

impl ReviewView {
    /// Searches anew; a search that cannot be read yet leaves what was found.
    pub(super) fn find(&mut self, rows: &[Row]) {
        match Query::parse(self.search.text()) {
            Ok(query) => {
                self.found = Arc::new(query.find(rows));
                self.fault = None;
            }
            Err(fault) => self.fault = Some(fault.to_string()),
        }
        self.cursor = self.cursor.min(self.found.len().saturating_sub(1));
    }

    /// The marked row.
    pub(super) fn marked<'a>(&self, rows: &'a [Row]) -> Option<&'a Row> {
        rows.get(*self.found.get(self.cursor)?)
    }
}

/// A record being walked: the step in front, and rows scrolled in what stands beside it.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct ReplayView {
    /// The step in front.
    pub at: usize,
    /// Rows scrolled.
    pub scroll: usize,
}

/// What the records teach: the marked figure.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct LearnView {
    /// The marked figure.
    pub cursor: usize,
}

/// Words to narrow the list by: each value of each kind with how many records have it, the commonest first.
pub(super) fn narrowings(rows: &[Row]) -> Vec<(String, usize)> {
    let mut counts: Vec<(String, usize)> = Vec::new();
    let states = ["open", "closed", "cured", "not-cured", "damaged", "parted", "torn"];
    let count = |word: &str| Query::parse(word).map_or(0, |query| rows.iter().filter(|row| query.fits(row)).count());
    counts.extend(states.iter().map(|state| (format!("state:{state}"), count(&format!("state:{state}")))));
    counts.push(("reviewed:no".into(), count("reviewed:no")));
    counts.push(("reviewed:yes".into(), count("reviewed:yes")));
    let mut by_value = |place: &str, values: &mut dyn Iterator<Item = &str>| {
        let mut of_place: std::collections::BTreeMap<&str, usize> = std::collections::BTreeMap::new();
        for value in values.filter(|value| !value.trim().is_empty()) {
            *of_place.entry(value).or_default() += 1;
        }
        let mut sorted: Vec<(&str, usize)> = of_place.into_iter().collect();
        sorted.sort_by(|a, b| b.1.cmp(&a.1).then(a.0.cmp(b.0)));
        counts.extend(sorted.into_iter().map(|(value, count)| (quoted(place, value), count)));
    };
    by_value("mechanic", &mut rows.iter().map(|row| row.mechanic.as_str()));
    by_value("aircraft", &mut rows.iter().map(|row| row.aircraft.as_str()));
    by_value("complaint", &mut rows.iter().map(|row| row.complaint.as_str()));
    by_value("cause", &mut rows.iter().flat_map(|row| row.came_of_it().1.iter().map(String::as_str)));
    by_value("layout", &mut rows.iter().map(|row| row.layout.as_str()));
    counts.retain(|(_, count)| *count > 0);
    counts
}

/// A place and a value as they are typed: quotes where the value has blanks. A comma would mean "or".
fn quoted(place: &str, value: &str) -> String {
    let value = value.replace('"', "");
    let value = value.split(',').next().unwrap_or_default();
    if value.contains(char::is_whitespace) { format!("{place}:\"{value}\"") } else { format!("{place}:{value}") }
}
