//! Kinds of work that can have been done shortly before a job, and what each can bring.

use super::{CauseId, Cited, Model, RecentWorkId, Site, SiteKind};

/// A kind of work at one site, as it may have been done since the engine last ran well.
#[derive(Debug, Clone, PartialEq)]
pub struct RecentWork {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// The causes that it can bring, each once.
    pub brings: Vec<Brought>,
    /// Parts that are new after it, as causes name them.
    pub renews: Vec<String>,
    /// Parts it is work on: how evidence that names a part only is understood.
    pub of_parts: Vec<String>,
    /// Where its causes and the size of their chances come from.
    pub source: Cited,
}

/// A cause that a kind of work can bring.
#[derive(Debug, Clone, PartialEq)]
pub struct Brought {
    /// The cause.
    pub cause: CauseId,
    /// The chance that one job of this work at its site brings it, 0 to 1.
    pub chance: f64,
    /// Whether it comes with a part fitted new, which is bad from the start, and not of the work itself.
    pub infant: bool,
    /// Where the chance comes from.
    pub source: Cited,
}

impl Model {
    /// The kinds of work by name and title, in the tree's order.
    #[must_use]
    pub fn recent_kinds(&self) -> Vec<(&str, &str)> {
        let mut kinds: Vec<(&str, &str)> = Vec::new();
        for work in &self.recent_work {
            if !kinds.iter().any(|(name, _)| *name == work.name) {
                kinds.push((&work.name, &work.title));
            }
        }
        kinds
    }

    /// The work of this name that is meant where it is said of a site: at the site itself and at all that it encloses.
    #[must_use]
    pub fn recent_work_at(&self, name: &str, at: Site) -> Vec<RecentWorkId> {
        let meant = |work: &RecentWork| work.name == name && self.layout.encloses(at, work.site);
        (0..self.recent_work.len()).map(RecentWorkId).filter(|id| meant(&self[*id])).collect()
    }

    /// The kinds of work on a part within a site.
    #[must_use]
    pub fn recent_kinds_of_part(&self, part: &str, at: Site) -> Vec<&str> {
        let on = |work: &&RecentWork| work.of_parts.iter().any(|of| of == part) && self.layout.encloses(at, work.site);
        let mut kinds: Vec<&str> = self.recent_work.iter().filter(on).map(|work| work.name.as_str()).collect();
        kinds.dedup();
        kinds
    }

    /// The sites of which a kind of work can be said, the widest first; of two that mean the same the nearer one.
    #[must_use]
    pub fn recent_work_sites(&self, name: &str) -> Vec<Site> {
        const WIDEST_FIRST: [SiteKind; 5] =
            [SiteKind::Engine, SiteKind::Side, SiteKind::Coil, SiteKind::Cylinder, SiteKind::Plug];
        let mut found: Vec<(Site, Vec<RecentWorkId>)> = Vec::new();
        for site in WIDEST_FIRST.into_iter().flat_map(|kind| self.layout.sites(kind)) {
            let meant = self.recent_work_at(name, site);
            if !meant.is_empty() {
                found.retain(|(_, same)| *same != meant);
                found.push((site, meant));
            }
        }
        found.into_iter().map(|(site, _)| site).collect()
    }
}
