//! Causes by kind of system, part and age.

use std::collections::BTreeMap;

use serde::Serialize;

use crate::tables::CauseRow;

/// Ages of a part as shares of its life. The last two are for parts whose age no card told, and for those whose age is known but whose life no
/// tree gives.
pub const AGES: [&str; 7] = [
    "first quarter",
    "second quarter",
    "third quarter",
    "last quarter",
    "past its life",
    "age not known",
    "no life given",
];

/// How often a cause was found in one kind of system.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CauseFigure {
    /// Kind of the system; `engine` where it belongs to no side.
    pub system: String,
    /// The part.
    pub part: String,
    /// The tree's name of the cause.
    pub cause: String,
    /// Its title.
    pub title: String,
    /// Faults: causes that one correction cured and nobody told apart share one.
    pub faults: f64,
    /// Rows in which somebody saw it, without measuring it.
    pub seen: usize,
    /// Rows in which it was measured.
    pub measured: usize,
    /// Faults by age of the part, in the order of [`AGES`].
    pub ages: [f64; AGES.len()],
}

#[derive(Debug, Default)]
pub(super) struct Causes(BTreeMap<(String, String, String), CauseFigure>);

impl Causes {
    pub(super) fn add(&mut self, rows: &[CauseRow]) {
        for row in rows {
            let share = row.share.unwrap_or(1.0);
            let key = (row.system.clone(), row.part.clone(), row.cause.clone());
            let figure = self.0.entry(key).or_insert_with(|| CauseFigure {
                system: row.system.clone(),
                part: row.part.clone(),
                cause: row.cause.clone(),
                title: row.title.clone(),
                faults: 0.0,
                seen: 0,
                measured: 0,
                ages: [0.0; AGES.len()],
            });
            figure.faults += share;
            figure.seen += usize::from(row.found_by == "seen");
            figure.measured += usize::from(row.found_by == "measured");
            figure.ages[age(row)] += share;
        }
    }

    pub(super) fn figures(self) -> Vec<CauseFigure> {
        let mut figures: Vec<CauseFigure> = self.0.into_values().collect();
        figures.sort_by(|a, b| b.faults.total_cmp(&a.faults));
        figures
    }
}

/// Place in [`AGES`] of a part.
fn age(row: &CauseRow) -> usize {
    match row.life_spent {
        None if row.age_hours.is_some() || row.age_years.is_some() => 6,
        None => 5,
        Some(spent) if spent < 0.25 => 0,
        Some(spent) if spent < 0.5 => 1,
        Some(spent) if spent < 0.75 => 2,
        Some(spent) if spent < 1.0 => 3,
        Some(_) => 4,
    }
}
