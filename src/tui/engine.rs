//! The engine as a plan: where each site stands, and how the mark moves over it.
//!
//! Owns the moves and the order of rows; where parts stand is the model's. Must not draw.

use crate::model::{Abreast, Layout, Model, Side, Site, coil_pairs, cylinder_pairs, plugs_above_and_below};

/// What of the engine is shown, and what for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct EngineView {
    /// The marked site.
    pub at: Site,
    /// The name of the check that a site is picked for; none where the engine is only looked at.
    pub kind: Option<String>,
}

/// Every site with its column (0 left, 1 right) and row, top to bottom.
#[must_use]
pub(super) fn places(layout: &Layout) -> Vec<(Site, usize, usize)> {
    let mut found = vec![(Site::Engine, 0, 0)];
    let mut row = 1;
    for pair in cylinder_pairs(layout) {
        for (column, site) in [pair.left, pair.right].into_iter().enumerate() {
            let Some(Site::Cylinder(n)) = site else { continue };
            let [upper, lower] = plugs_above_and_below(layout, n);
            found.extend([Site::Cylinder(n), upper, lower].into_iter().zip(row..).map(|(s, r)| (s, column, r)));
        }
        row += 3;
    }
    let systems = Abreast { left: Some(Site::Side(Side::Left)), right: Some(Site::Side(Side::Right)) };
    for pair in std::iter::once(systems).chain(coil_pairs(layout)) {
        let both = [pair.left, pair.right].into_iter().enumerate();
        found.extend(both.filter_map(|(column, site)| Some((site?, column, row))));
        row += 1;
    }
    found
}

/// Sites where a check of this name can be made.
#[must_use]
pub(super) fn sites_of(model: &Model, check: &str) -> Vec<Site> {
    model.checks.iter().filter(|c| c.name == check).map(|c| c.site).collect()
}

/// A step of the mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    /// To the row above.
    Up,
    /// To the row below.
    Down,
    /// To the column left.
    Left,
    /// To the column right.
    Right,
}

/// Where a step leads, among the sites that are let; the mark stays where there is none.
#[must_use]
pub(super) fn step(layout: &Layout, at: Site, step: Step, lets: impl Fn(Site) -> bool) -> Site {
    let places = places(layout);
    let Some((_, column, row)) = places.iter().copied().find(|(s, ..)| *s == at) else { return at };
    let far = |r: usize| r.abs_diff(row);
    let candidates = places.iter().copied().filter(|(s, ..)| *s != at && lets(*s));
    let found = match step {
        // The whole engine stands above both columns.
        Step::Up => candidates
            .filter(|(s, c, r)| *r < row && (*c == column || *s == Site::Engine))
            .min_by_key(|(_, _, r)| far(*r)),
        Step::Down => candidates
            .filter(|(_, c, r)| *r > row && (*c == column || at == Site::Engine))
            .min_by_key(|(_, c, r)| (far(*r), *c != column)),
        Step::Left | Step::Right => {
            let wanted = usize::from(step == Step::Right);
            candidates.filter(|(_, c, _)| *c == wanted && column != wanted).min_by_key(|(_, _, r)| far(*r))
        }
    };
    found.map_or(at, |(s, ..)| s)
}

/// The mark on a site that is let, the nearest in the order of the plan.
#[must_use]
pub(super) fn settle(layout: &Layout, at: Site, lets: impl Fn(Site) -> bool) -> Site {
    if lets(at) {
        return at;
    }
    places(layout).into_iter().map(|(s, ..)| s).find(|s| lets(*s)).unwrap_or(at)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::model::SiteKind as K;
    use crate::trees::Library;

    fn layout(name: &str) -> Layout {
        Library::embedded().unwrap().layout(name).unwrap().layout
    }

    #[test]
    fn every_site_of_every_shipped_engine_has_one_place_and_can_be_reached() {
        let library = Library::embedded().unwrap();
        for engine in library.layouts() {
            let layout = &engine.layout;
            let places = places(layout);
            let mut reached = vec![Site::Engine];
            let mut at = 0;
            while at < reached.len() {
                for way in [Step::Up, Step::Down, Step::Left, Step::Right] {
                    let next = step(layout, reached[at], way, |_| true);
                    if !reached.contains(&next) {
                        reached.push(next);
                    }
                }
                at += 1;
            }
            for site in [K::Engine, K::Side, K::Coil, K::Cylinder, K::Plug].into_iter().flat_map(|k| layout.sites(k)) {
                assert_eq!(places.iter().filter(|(s, ..)| *s == site).count(), 1, "{site} of {}", layout.name);
                assert!(reached.contains(&site), "{site} of {}", layout.name);
            }
        }
    }

    #[test]
    fn moving_keeps_to_the_sites_that_are_let() {
        let layout = layout("six-two-electronic");
        let plug = |s: Site| matches!(s, Site::Plug(..));
        let first = settle(&layout, Site::Engine, plug);
        assert!(plug(first));
        assert!(plug(step(&layout, first, Step::Down, plug)));
        assert_eq!(step(&layout, Site::Side(Side::Left), Step::Right, |_| true), Site::Side(Side::Right));
    }
}
