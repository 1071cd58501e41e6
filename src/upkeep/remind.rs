//! Parts due or overdue that can be renewed now because most of the access to them is open.

use super::due::{Due, Horizon, Item, items, places, sites as all};
use super::part_words;
use crate::model::{Correction, CorrectionId, Fitted, Model, Site};
use crate::work::{Setting, reach};

/// The most of the minutes of access that may still be missing: a lead is near once the cowling is off.
const STILL_MISSING: f64 = 0.25;

/// A part to renew while it can be reached.
#[derive(Debug, Clone, PartialEq)]
pub struct Reminder {
    /// The part with its ages, at the sites that can be reached.
    pub item: Item,
    /// What renews it, at the first of the sites.
    pub correction: CorrectionId,
    /// What is open now of the access to it, in words.
    pub open: String,
}

impl Reminder {
    /// One sentence: "lead, left: 640 h of 500 h, overdue, and cowling off now."
    #[must_use]
    pub fn words(&self) -> String {
        let item = &self.item;
        let due = item.due.words();
        format!("{}, {}: {}, {due}, and {} now.", part_words(&item.part), item.at(), item.words(), self.open)
    }
}

/// Parts due or overdue that none of these corrections has renewed, the most pressing first.
#[must_use]
pub fn still_due(model: &Model, ages: &[Fitted], done: &[CorrectionId]) -> Vec<Item> {
    not_renewed(model, ages, done, |due| due <= Due::Due).collect()
}

/// Parts that stand so and that none of these corrections has renewed.
fn not_renewed(
    model: &Model,
    ages: &[Fitted],
    done: &[CorrectionId],
    stands: impl Fn(Due) -> bool,
) -> impl Iterator<Item = Item> {
    // Without a card nothing is known to be due.
    let all = if ages.is_empty() { Vec::new() } else { items(model, ages, Horizon::ORDINARY) };
    all.into_iter().filter(move |item| stands(item.due)).filter_map(move |item| {
        let old = |site: &Site| !done.iter().any(|id| renews(model, &model[*id], &item.part, *site));
        let sites: Vec<Site> = item.sites.iter().copied().filter(old).collect();
        at(model, item, sites)
    })
}

/// The part that reaches its life next, of those that are not due yet and that none of these corrections has renewed: the one with the
/// largest share of its life spent.
#[must_use]
pub fn next_due(model: &Model, ages: &[Fitted], done: &[CorrectionId]) -> Option<Item> {
    not_renewed(model, ages, done, |due| due == Due::Later).next()
}

/// The same item at some of its sites; nothing where there are none.
fn at(model: &Model, item: Item, sites: Vec<Site>) -> Option<Item> {
    if sites.is_empty() {
        return None;
    }
    let places = places(&model.layout, &sites, &all(model, &item.part));
    Some(Item { sites, places, ..item })
}

/// What to renew while the access is open, the most pressing first. `done` are the corrections carried out so far.
#[must_use]
pub fn reminders(model: &Model, ages: &[Fitted], setting: &Setting, done: &[CorrectionId]) -> Vec<Reminder> {
    let mut found = Vec::new();
    for item in still_due(model, ages, done) {
        let near = |site: &Site| {
            let all = (0..model.corrections.len()).map(CorrectionId);
            let renewing =
                all.filter(|id| renews(model, &model[*id], &item.part, *site) && is_near(model, setting, &model[*id]));
            let least = renewing.min_by(|a, b| model[*a].minutes.total_cmp(&model[*b].minutes));
            least.map(|id| (*site, id))
        };
        let reached: Vec<(Site, CorrectionId)> = item.sites.iter().filter_map(near).collect();
        let Some((_, correction)) = reached.first().copied() else { continue };
        let open = model[correction].open.iter().filter(|id| setting.open.has(**id)).map(|id| model[*id].title.clone());
        let open = open.collect::<Vec<_>>().join(", ");
        let item = at(model, item, reached.iter().map(|(site, _)| *site).collect());
        found.extend(item.map(|item| Reminder { item, correction, open }));
    }
    found
}

/// Whether a correction fits a part anew, at a site.
pub(super) fn renews(model: &Model, correction: &Correction, part: &str, site: Site) -> bool {
    correction.kind.spends_part()
        && correction.cures.iter().any(|id| model[*id].part == part && model[*id].site == site)
}

fn is_near(model: &Model, setting: &Setting, correction: &Correction) -> bool {
    let missing = reach(model, setting, &correction.open, &[]).minutes;
    let whole = reach(model, &Setting::resting(model, false), &correction.open, &[]).minutes;
    whole > 0.0 && missing <= STILL_MISSING * whole && correction.open.iter().any(|id| setting.open.has(*id))
}
