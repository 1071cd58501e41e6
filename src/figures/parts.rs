//! Parts by kind: measured, replaced, and what was known of those that were replaced.

use std::collections::BTreeMap;

use serde::Serialize;

use super::share::share;
use crate::spread::Spread;
use crate::tables::{PartRow, ReplacedRow, WAS};

/// How parts of one kind were treated.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PartFigure {
    /// The part; the title of the correction for a unit of several kinds of parts.
    pub part: String,
    /// Whether it is such a unit: looks at it are counted with its parts.
    pub unit: bool,
    /// Places measured, each once a job.
    pub measured: usize,
    /// Places looked at and not measured, each once a job.
    pub looked_at: usize,
    /// Of these two, places found at fault.
    pub found: usize,
    /// Times that one was replaced, overhauled or exchanged.
    pub replaced: usize,
    /// The same by what is known of what came off, in the order of [`WAS`].
    pub was: [usize; WAS.len()],
    /// Share of those replaced that were proven bad: measured or seen bad before, or the complaint went with them alone.
    pub proven_bad: Option<Spread>,
}

impl PartFigure {
    fn named(part: String, unit: bool) -> Self {
        Self { part, unit, measured: 0, looked_at: 0, found: 0, replaced: 0, was: [0; WAS.len()], proven_bad: None }
    }

    /// Replaced and proven bad.
    #[must_use]
    pub fn bad(&self) -> usize {
        self.was[..3].iter().sum()
    }

    /// Replaced and recorded good.
    #[must_use]
    pub fn good(&self) -> usize {
        self.was[3..5].iter().sum()
    }

    /// Replaced before anybody had seen or measured them at fault.
    #[must_use]
    pub fn blind(&self) -> usize {
        self.replaced - self.was[0] - self.was[1]
    }
}

/// Good parts that one correction replaced.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct GoodParts {
    /// Title of the correction; empty for all together.
    pub title: String,
    /// Good parts replaced.
    pub parts: usize,
    /// Shown good by a look before.
    pub shown_good: usize,
    /// Of which the complaint still showed after, and another cause was proven.
    pub still_showed: usize,
    /// Money of them by the shop's price list, by currency.
    pub money: BTreeMap<String, f64>,
    /// Parts of which the price list has no price.
    pub without_price: usize,
    /// Minutes of the work on them by the tree, access not counted.
    pub minutes: f64,
}

impl GoodParts {
    fn add(&mut self, row: &ReplacedRow) {
        self.parts += 1;
        self.shown_good += usize::from(row.was == WAS[3]);
        self.still_showed += usize::from(row.was == WAS[4]);
        match row.parts_money {
            Some(money) => *self.money.entry(row.currency.clone()).or_default() += money,
            None => self.without_price += 1,
        }
        self.minutes += row.minutes.unwrap_or(0.0);
    }
}

/// Parts measured and replaced.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Parts {
    /// By kind, those replaced most first.
    pub kinds: Vec<PartFigure>,
    /// All that were replaced.
    pub replaced: usize,
    /// Good parts that were replaced, all together.
    pub good: GoodParts,
    /// Their share of all that were replaced.
    pub good_share: Option<Spread>,
    /// The same by correction, the most first.
    pub good_by_correction: Vec<GoodParts>,
}

#[derive(Debug, Default)]
pub(super) struct Counts {
    kinds: BTreeMap<String, PartFigure>,
    replaced: usize,
    good: GoodParts,
    by_correction: BTreeMap<String, GoodParts>,
}

impl Counts {
    pub(super) fn add(&mut self, parts: &[PartRow], replaced: &[ReplacedRow]) {
        for row in parts {
            let figure = self.kind(&row.part, false);
            let measured = row.measured == Some(true);
            figure.measured += usize::from(measured);
            figure.looked_at += usize::from(!measured);
            figure.found += usize::from(!row.found.is_empty());
        }
        for row in replaced {
            let unit = row.part.is_empty();
            let figure = self.kind(if unit { &row.title } else { &row.part }, unit);
            figure.replaced += 1;
            // A word that is not known tells nothing.
            let at = WAS.iter().position(|was| *was == row.was).unwrap_or(WAS.len() - 1);
            figure.was[at] += 1;
            self.replaced += 1;
            if (3..5).contains(&at) {
                self.good.add(row);
                self.by_correction.entry(row.title.clone()).or_default().add(row);
            }
        }
    }

    fn kind(&mut self, part: &str, unit: bool) -> &mut PartFigure {
        self.kinds.entry(part.to_owned()).or_insert_with(|| PartFigure::named(part.to_owned(), unit))
    }

    pub(super) fn figures(self) -> Parts {
        let proven = |kind: PartFigure| PartFigure { proven_bad: share(kind.bad(), kind.replaced), ..kind };
        let mut kinds: Vec<PartFigure> = self.kinds.into_values().map(proven).collect();
        kinds.sort_by_key(|kind| std::cmp::Reverse((kind.replaced, kind.measured, kind.looked_at)));
        let named = |(title, good)| GoodParts { title, ..good };
        let mut by_correction: Vec<GoodParts> = self.by_correction.into_iter().map(named).collect();
        by_correction.sort_by_key(|good| std::cmp::Reverse(good.parts));
        Parts {
            kinds,
            replaced: self.replaced,
            good_share: share(self.good.parts, self.replaced),
            good: self.good,
            good_by_correction: by_correction,
        }
    }
}
