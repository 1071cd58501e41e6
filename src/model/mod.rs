//! What we reason about: one engine's ignition, its causes, checks, corrections and how they hang together.
//!
//! A [`Model`] is a fault tree already expanded over the sites of one [`Layout`]. It owns names, titles and figures as the
//! tree gives them. It must not know how trees are written down, how likely anything is, or what a job has found so far.

mod aircraft;
mod cause;
mod check;
mod complaint;
mod correction;
mod formula;
mod graph;
mod ids;
mod layout;
mod learnt;
mod mode;
mod plan_view;
mod prices;
mod recent_work;
mod setting;
mod site;
mod source;

pub use aircraft::{Aircraft, Fitted, age_of};
pub use cause::{Cause, CauseId, Life, ORDINARY_WINDOW_HOURS, Trigger, UNLISTED, Waking, met};
pub use check::{Check, Event, Need, Outcome, Seen, Sees, Spends, Warning};
pub use complaint::{Complaint, ProofRun};
pub use correction::{Correction, CorrectionKind, Provocation};
pub use formula::Formula;
pub use graph::{Effect, EffectId, FaultGraph, Node, members};
pub use ids::{AccessId, CheckId, ComplaintId, CorrectionId, HazardId, ProvocationId, RecentWorkId};
pub use layout::{Coil, CylinderRows, Layout, SideLayout, SystemKind};
pub use learnt::{Alarm, Learnt, Shown};
pub use mode::{Manner, Mode, ModeFacts};
pub use plan_view::{Abreast, coil_pairs, cylinder_pairs, plugs_above_and_below, stands_in_rows};
pub use prices::{Price, Prices};
pub use recent_work::{Brought, RecentWork};
pub use setting::{Access, AccessSet, Condition, Conditions, Hazard, Standing};
pub use site::{Pair, ParseSiteError, Side, Site, SiteKind};
pub use source::{Cited, Source, SourceId};

use crate::measure::Limit;

/// A fault tree expanded over one layout. Ids are indexes into the lists, in the order given here.
#[derive(Debug, Clone)]
pub struct Model {
    /// The engine it was expanded for.
    pub layout: Layout,
    /// Published and other sources, in the tree's order.
    pub sources: Vec<Source>,
    /// The kinds of condition, each with its levels; the first level is the resting one.
    pub conditions: Vec<Condition>,
    /// Hazards by name.
    pub hazards: Vec<Hazard>,
    /// What is said of each mode, in the order of [`Mode::ALL`].
    pub modes: Vec<ModeFacts>,
    /// Access states, expanded by site.
    pub access: Vec<Access>,
    /// Limits in force for this layout (its overrides applied).
    pub limits: Vec<Limit>,
    /// Basic events; the last one is always "something not in this tree".
    pub causes: Vec<Cause>,
    /// How many of them the tree lists; those after stand for what it does not list.
    pub listed: usize,
    /// Intermediate events, expanded by site.
    pub effects: Vec<Effect>,
    /// Top events, expanded by site.
    pub complaints: Vec<Complaint>,
    /// Checks, expanded by site.
    pub checks: Vec<Check>,
    /// Corrections, expanded by site.
    pub corrections: Vec<Correction>,
    /// Ways to change the conditions on purpose.
    pub provocations: Vec<Provocation>,
    /// Kinds of work that can have been done before a job, expanded by site.
    pub recent_work: Vec<RecentWork>,
    /// Cause -> effect -> complaint, a directed acyclic graph.
    pub graph: FaultGraph,
    /// The shop's labour rate and prices, where it gives them.
    pub prices: Option<Prices>,
}

impl Model {
    /// The cause that stands for everything of the engine at large that this tree does not list.
    #[must_use]
    pub fn unknown(&self) -> CauseId {
        CauseId(self.causes.len().saturating_sub(1))
    }

    /// Whether a cause stands for something that this tree does not list.
    #[must_use]
    pub fn is_unlisted(&self, id: CauseId) -> bool {
        id.0 >= self.listed
    }

    /// The causes that this tree lists.
    pub fn listed(&self) -> impl DoubleEndedIterator<Item = CauseId> + ExactSizeIterator + use<> {
        (0..self.listed).map(CauseId)
    }

    /// The cause of this name at this site.
    #[must_use]
    pub fn find_cause(&self, name: &str, site: Site) -> Option<CauseId> {
        self.causes.iter().position(|c| c.name == name && c.site == site).map(CauseId)
    }

    /// The check of this name at this site.
    #[must_use]
    pub fn find_check(&self, name: &str, site: Site) -> Option<CheckId> {
        self.checks.iter().position(|c| c.name == name && c.site == site).map(CheckId)
    }

    /// The complaint of this name at this site.
    #[must_use]
    pub fn find_complaint(&self, name: &str, site: Site) -> Option<ComplaintId> {
        self.complaints.iter().position(|c| c.name == name && c.site == site).map(ComplaintId)
    }

    /// The correction of this name at this site.
    #[must_use]
    pub fn find_correction(&self, name: &str, site: Site) -> Option<CorrectionId> {
        self.corrections.iter().position(|c| c.name == name && c.site == site).map(CorrectionId)
    }

    /// The provocation of this name.
    #[must_use]
    pub fn find_provocation(&self, name: &str) -> Option<ProvocationId> {
        self.provocations.iter().position(|p| p.name == name).map(ProvocationId)
    }

    /// The hazard of this name.
    #[must_use]
    pub fn find_hazard(&self, name: &str) -> Option<HazardId> {
        self.hazards.iter().position(|h| h.name == name).map(HazardId)
    }

    /// The corrections that cure a cause, cheapest in minutes first.
    #[must_use]
    pub fn cures(&self, cause: CauseId) -> Vec<CorrectionId> {
        let mut found: Vec<CorrectionId> =
            (0..self.corrections.len()).map(CorrectionId).filter(|id| self[*id].cures.contains(&cause)).collect();
        found.sort_by(|a, b| self[*a].minutes.total_cmp(&self[*b].minutes));
        found
    }

    /// Where a figure comes from, in words.
    #[must_use]
    pub fn cited_words(&self, cited: &Cited) -> String {
        self.sources.get(cited.source.0).map_or_else(String::new, |source| source.words(&cited.place))
    }

    /// The limit of a check in lines for a reader: each band and what it means, how a reading is corrected, and the source.
    #[must_use]
    pub fn limit_lines(&self, check: &Check) -> Vec<String> {
        let Some(limit) = check.limit.and_then(|at| self.limits.get(at)) else { return Vec::new() };
        let title =
            |name: &String| check.seen(name).map_or_else(|| name.clone(), |seen| check.outcome_title(seen).to_owned());
        let mut lines: Vec<String> = limit
            .spans()
            .into_iter()
            .map(|(span, is)| format!("{span}: {}", is.iter().map(title).collect::<Vec<_>>().join(", or ")))
            .collect();
        lines.extend(limit.correction().map(|how| format!("The reading is {how}.")));
        let source = self.sources.iter().find(|source| source.name == limit.source);
        lines.extend(source.map(|source| format!("Limit from: {}", source.words(""))));
        lines
    }

    /// A cause with its place, in words.
    #[must_use]
    pub fn cause_words(&self, id: CauseId) -> String {
        let cause = &self[id];
        if id == self.unknown() {
            cause.title.clone()
        } else {
            format!("{}, {}", cause.title, self.site_words(cause.site))
        }
    }

    /// How a site is called in this engine: "left 3 (upper plug)".
    #[must_use]
    pub fn site_words(&self, site: Site) -> String {
        match site {
            Site::Plug(side, n) => {
                let place = if self.layout.fires_upper(side, n) { "upper" } else { "lower" };
                format!("{site} {place}")
            }
            Site::Pair(pair) => pair.sites().map(|site| self.site_words(site)).join(" with "),
            other => other.to_string(),
        }
    }
}

macro_rules! index_by {
    ($id:ty, $list:ident, $item:ty) => {
        impl std::ops::Index<$id> for Model {
            type Output = $item;
            fn index(&self, id: $id) -> &$item {
                &self.$list[id.0]
            }
        }
    };
}
index_by!(CauseId, causes, Cause);
index_by!(CheckId, checks, Check);
index_by!(ComplaintId, complaints, Complaint);
index_by!(CorrectionId, corrections, Correction);
index_by!(ProvocationId, provocations, Provocation);
index_by!(EffectId, effects, Effect);
index_by!(HazardId, hazards, Hazard);
index_by!(AccessId, access, Access);
index_by!(SourceId, sources, Source);
index_by!(RecentWorkId, recent_work, RecentWork);

impl std::ops::Index<Mode> for Model {
    type Output = ModeFacts;
    fn index(&self, mode: Mode) -> &ModeFacts {
        &self.modes[mode as usize]
    }
}
