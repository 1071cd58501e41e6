//! Checks that earn their time, and those that never change anything.

use std::collections::BTreeMap;

use serde::Serialize;

use super::share::share;
use crate::spread::Spread;
use crate::tables::ReadingRow;

/// An answer changed something where it put another cause in the lead, or moved the probability of a cause by this much or more.
pub const WORTH_NAMING: f64 = 0.05;

/// What a check cost, and what its answers did.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckFigure {
    /// The tree's name of the check.
    pub check: String,
    /// Its title.
    pub title: String,
    /// Times it was made.
    pub made: usize,
    /// Minutes it took by the tree, access not counted.
    pub minutes: f64,
    /// Answers that changed something; see [`WORTH_NAMING`].
    pub changed: usize,
    /// Share of the answers known that changed something.
    pub changed_share: Option<Spread>,
    /// Answers that put another cause in the lead.
    pub leader_changed: usize,
    /// Answers of which it is not known what they did.
    pub not_known: usize,
    /// The most that an answer moved the probability of a cause.
    pub most_moved: f64,
}

impl CheckFigure {
    /// Minutes for each answer that changed something; none where none did.
    #[must_use]
    pub fn minutes_a_change(&self) -> Option<f64> {
        (self.changed > 0).then(|| self.minutes / self.changed as f64)
    }

    /// Whether no answer ever changed anything.
    #[must_use]
    pub fn never_changed(&self) -> bool {
        self.changed == 0 && self.not_known < self.made
    }
}

#[derive(Debug, Default)]
pub(super) struct Checks(BTreeMap<String, CheckFigure>);

impl Checks {
    pub(super) fn add(&mut self, rows: &[ReadingRow]) {
        for row in rows {
            let figure = self.0.entry(row.check_name.clone()).or_insert_with(|| CheckFigure {
                check: row.check_name.clone(),
                title: row.title.clone(),
                made: 0,
                minutes: 0.0,
                changed: 0,
                changed_share: None,
                leader_changed: 0,
                not_known: 0,
                most_moved: 0.0,
            });
            let leader = row.leader_changed == Some(true);
            figure.made += 1;
            figure.minutes += row.minutes.unwrap_or(0.0);
            figure.leader_changed += usize::from(leader);
            figure.changed += usize::from(leader || row.moved.is_some_and(|moved| moved >= WORTH_NAMING));
            figure.not_known += usize::from(row.moved.is_none());
            figure.most_moved = figure.most_moved.max(row.moved.unwrap_or(0.0));
        }
    }

    pub(super) fn figures(self) -> Vec<CheckFigure> {
        let mut figures: Vec<CheckFigure> = self.0.into_values().collect();
        for figure in &mut figures {
            figure.changed_share = share(figure.changed, figure.made - figure.not_known.min(figure.made));
        }
        figures.sort_by(|a, b| b.minutes.total_cmp(&a.minutes));
        figures
    }
}
