//! What is due, overdue or unknown, by hours and by calendar.

use std::collections::BTreeSet;

use crate::model::{Fitted, Layout, Model, Site, SiteKind, age_of};

/// How far ahead a part counts as due.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizon {
    /// Engine hours, 0 or more.
    pub hours: f64,
    /// Years, 0 or more.
    pub years: f64,
}

impl Horizon {
    /// Between inspections of 50 hours, or a quarter of a year: common practice.
    pub const ORDINARY: Self = Self { hours: 50.0, years: 0.25 };
}

/// How a part stands against its life, the most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Due {
    /// At or past its life.
    Overdue,
    /// Reaches it within the horizon.
    Due,
    /// The card does not say when it was fitted, in one or both ways its life is counted.
    Unknown,
    /// Beyond the horizon.
    Later,
}

impl Due {
    /// In a word.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Overdue => "overdue",
            Self::Due => "due",
            Self::Unknown => "unknown",
            Self::Later => "later",
        }
    }
}

/// An age against a life, both in hours or both in years.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Count {
    /// The age, where the card tells.
    pub age: Option<f64>,
    /// The life, above 0.
    pub life: f64,
}

impl Count {
    /// What is left; below 0 past the life.
    #[must_use]
    pub fn left(self) -> Option<f64> {
        self.age.map(|age| self.life - age)
    }

    fn due(self, horizon: f64) -> Due {
        match self.left() {
            None => Due::Unknown,
            Some(left) if left <= 0.0 => Due::Overdue,
            Some(left) if left <= horizon => Due::Due,
            Some(_) => Due::Later,
        }
    }
}

/// A part at one or more sites that stand alike.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// The part, as causes name it.
    pub part: String,
    /// Its sites, in the order of the engine.
    pub sites: Vec<Site>,
    /// The fewest sites that enclose them and no other site of this part.
    pub places: Vec<Site>,
    /// Engine hours, where its life is counted in them.
    pub hours: Option<Count>,
    /// Years, where its life is counted in them.
    pub years: Option<Count>,
    /// How it stands: the more pressing of both.
    pub due: Due,
}

impl Item {
    /// The part's ages against its lives: "620 h of 500 h, 8.6 of 10 years".
    #[must_use]
    pub fn words(&self) -> String {
        let hours = self.hours.map(|count| match count.age {
            Some(age) => format!("{age:.0} h of {:.0} h", count.life),
            None => format!("hours not known of {:.0} h", count.life),
        });
        let years = self.years.map(|count| match count.age {
            Some(age) => format!("{age:.1} of {} years", count.life),
            None => format!("years not known of {}", count.life),
        });
        hours.into_iter().chain(years).collect::<Vec<_>>().join(", ")
    }

    /// Where it sits: "left 1, right".
    #[must_use]
    pub fn at(&self) -> String {
        self.places.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ")
    }
}

/// The least hours and years that any cause of a part at a site gives it.
pub(super) fn life(model: &Model, part: &str, site: Site) -> (Option<f64>, Option<f64>) {
    let of_part = |cause: &&crate::model::Cause| cause.part == part && cause.site == site;
    let lives = || model.causes.iter().filter(of_part).filter_map(|cause| cause.life.as_ref());
    (lives().filter_map(|life| life.hours).reduce(f64::min), lives().filter_map(|life| life.years).reduce(f64::min))
}

/// How a part at a site stands in hours and in years, where its life is counted so.
pub(super) fn counts(model: &Model, ages: &[Fitted], part: &str, site: Site) -> (Option<Count>, Option<Count>) {
    let age = age_of(ages, &model.layout, part, site);
    let (hours, years) = life(model, part, site);
    let count = |life: Option<f64>, age: Option<f64>| life.map(|life| Count { age, life });
    (count(hours, age.and_then(|age| age.hours)), count(years, age.and_then(|age| age.years)))
}

/// Every part of the engine that has a life, the most pressing first; sites that stand alike are one item.
#[must_use]
pub fn items(model: &Model, ages: &[Fitted], horizon: Horizon) -> Vec<Item> {
    let parts: BTreeSet<&str> = model.causes.iter().filter(|c| c.life.is_some()).map(|c| c.part.as_str()).collect();
    let mut items: Vec<Item> = Vec::new();
    for part in parts {
        for site in &sites(model, part) {
            let (hours, years) = counts(model, ages, part, *site);
            let alike = items.iter_mut().find(|i| i.part == part && i.hours == hours && i.years == years);
            if let Some(item) = alike {
                item.sites.push(*site);
                continue;
            }
            let due = [hours.map(|c| c.due(horizon.hours)), years.map(|c| c.due(horizon.years))];
            let due = due.into_iter().flatten().min().unwrap_or(Due::Unknown);
            items.push(Item { part: part.to_owned(), sites: vec![*site], places: Vec::new(), hours, years, due });
        }
    }
    for item in &mut items {
        item.places = places(&model.layout, &item.sites, &sites(model, &item.part));
    }
    let spent = |item: &Item| {
        let share = |count: Option<Count>| count.and_then(|c| Some(c.age? / c.life)).unwrap_or(0.0);
        share(item.hours).max(share(item.years))
    };
    items.sort_by(|a, b| a.due.cmp(&b.due).then(spent(b).total_cmp(&spent(a))).then_with(|| a.part.cmp(&b.part)));
    items
}

/// The sites of a part that has a life there, in the order of the engine.
pub(super) fn sites(model: &Model, part: &str) -> Vec<Site> {
    let of_part = model.causes.iter().filter(|cause| cause.part == part && cause.life.is_some());
    let sites: BTreeSet<Site> = of_part.map(|cause| cause.site).collect();
    sites.into_iter().collect()
}

/// The fewest sites that enclose these, and no other of `all`; of those that enclose the same the closest.
pub(super) fn places(layout: &Layout, these: &[Site], all: &[Site]) -> Vec<Site> {
    let kinds = [SiteKind::Engine, SiteKind::Side, SiteKind::Coil, SiteKind::Cylinder, SiteKind::Plug];
    let outer: Vec<Site> = kinds.into_iter().flat_map(|kind| layout.sites(kind)).collect();
    let inside = |outer: Site| -> Vec<Site> { all.iter().copied().filter(|s| layout.encloses(outer, *s)).collect() };
    let mut left = these.to_vec();
    let mut found = Vec::new();
    for (at, site) in outer.iter().enumerate() {
        let within = inside(*site);
        let whole = !within.is_empty() && within.iter().all(|site| left.contains(site));
        if whole && !outer[at + 1..].iter().any(|closer| inside(*closer) == within) {
            left.retain(|site| !within.contains(site));
            found.push(*site);
        }
    }
    found.sort_unstable();
    found
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::trees::Library;

    fn named(names: &[&str]) -> Vec<Site> {
        names.iter().map(|name| name.parse().unwrap()).collect()
    }

    #[test]
    fn sites_are_called_by_what_encloses_them() {
        let library = Library::embedded().unwrap();
        let layout = &library.layout("four-magneto-electronic").unwrap().layout;
        let plugs = layout.sites(SiteKind::Plug);
        assert_eq!(places(layout, &plugs, &plugs), named(&["engine"]));
        let left: Vec<Site> = plugs.iter().copied().filter(|p| p.to_string().starts_with("left")).collect();
        assert_eq!(places(layout, &left, &plugs), named(&["left"]));
        assert_eq!(places(layout, &left, &left), named(&["left"]), "nothing of it is on the right");
        let mut some = left.clone();
        some.extend(named(&["right 3"]));
        assert_eq!(places(layout, &some, &plugs).len(), 2, "{:?}", places(layout, &some, &plugs));
        assert_eq!(places(layout, &named(&["left"]), &named(&["left", "right"])), named(&["left"]));
        assert_eq!(places(layout, &named(&["left"]), &named(&["left"])), named(&["left"]));
    }
}
