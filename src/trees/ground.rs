//! The sites that a declaration has in one layout, and which of them a reference from one site to another means.

use std::collections::HashMap;

use crate::model::{Layout, Site, SiteKind};

/// All kinds of site.
pub(super) const KINDS: [SiteKind; 5] =
    [SiteKind::Engine, SiteKind::Side, SiteKind::Coil, SiteKind::Cylinder, SiteKind::Plug];

/// One layout with its sites worked out.
#[derive(Debug)]
pub(super) struct Ground<'a> {
    pub layout: &'a Layout,
    related: HashMap<(Site, SiteKind), Vec<Site>>,
    sites: HashMap<SiteKind, Vec<Site>>,
}

impl<'a> Ground<'a> {
    /// Works the sites of a layout out.
    pub(super) fn of(layout: &'a Layout) -> Self {
        let sites: HashMap<SiteKind, Vec<Site>> = KINDS.iter().map(|kind| (*kind, layout.sites(*kind))).collect();
        let mut related = HashMap::new();
        for from in sites.values().flatten() {
            for kind in KINDS {
                related.insert((*from, kind), layout.related(*from, kind));
            }
        }
        Self { layout, related, sites }
    }

    /// The sites a declaration has: those of its kind that carry one of its tags, or all where it names none.
    pub(super) fn places(&self, at: SiteKind, only: &[String]) -> Vec<Site> {
        let all = self.sites.get(&at).map_or(&[][..], Vec::as_slice);
        let fits =
            |site: &Site| only.is_empty() || self.layout.tags_of(*site).iter().any(|tag| only.iter().any(|o| o == tag));
        all.iter().copied().filter(fits).collect()
    }

    /// The sites of a kind that a reference from `from` means: the same, else the one enclosing, else all enclosed.
    pub(super) fn related(&self, from: Site, kind: SiteKind) -> &[Site] {
        self.related.get(&(from, kind)).map_or(&[], Vec::as_slice)
    }
}
