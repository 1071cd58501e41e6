//! A tree expanded over the sites of one layout: a model ready to reason with.
//!
//! What `only:` leaves out of a layout goes silently, with what would be empty without it. What is left must hang together:
//! each cause can be seen and cured, and no work needs open what it needs closed. Names were looked at before.

use super::bonds;
use super::declared::{Decl, Declared};
use super::event::{CERTAIN_LEAK, event, is_empty};
use super::faults::{Faults, code};
use super::gates::{self, Effects, Members};
use super::ground::Ground;
use super::lower;
use super::reach::Reach;
use super::recent_work;
use super::swap;
use super::twin::{CheckTwin, LimitTwin, ShowTwin, SightTwin};
use super::unlisted;
use super::weave;
use super::work_twin::EngineTwin;
use crate::measure::Limit;
use crate::model::{
    Access, AccessId, Cause, CauseId, Check, Complaint, Correction, Event, Layout, Mode, ModeFacts, Model, Outcome,
    ProofRun, Provocation, Side, Site,
};

/// The most causes, effects, complaints, checks, corrections, access states and kinds of work after expansion, all together.
const MOST_NODES: usize = 5_000;

/// Expands a tree over a layout. The model counts only where no fault was noted.
///
/// `in_force` and `limits` are the limits in this layout as written and as judged by, in the order of their declaration.
pub(super) fn expand(
    declared: &Declared,
    layout: &Layout,
    in_force: &[LimitTwin],
    limits: Vec<Limit>,
    faults: &mut Faults,
) -> Option<Model> {
    let ground = Ground::of(layout);
    too_large(declared, &ground, faults)?;
    let mut members = Members::default();
    let mut causes = causes(declared, &ground, &mut members);
    let effects = gates::expand(declared, &ground, &mut members, faults);
    let parts = Parts {
        declared,
        ground: &ground,
        members: &members,
        effects: &effects,
        reach: Reach::expand(declared, &ground),
        limits: in_force,
    };
    let listed = causes.len();
    let mut complaints = parts.complaints();
    let mut checks = parts.checks(&causes, faults);
    let mut corrections = parts.corrections(faults);
    let provocations = parts.provocations(faults);
    let recent_work = recent_work::expand(declared, &ground, &members);
    weave::coverage(declared, layout, &causes, &checks, &corrections, faults);
    unlisted::add(declared, layout, &mut causes)?;
    unlisted::tie(layout, &causes, listed, &mut complaints, &mut checks);
    let graph = parts.graph(&causes, listed, &complaints, faults)?;
    let modes = Mode::ALL.map(|mode| parts.mode(mode)).to_vec();
    let mut access = parts.access();
    bonds::tie(declared, &ground, &complaints, &mut access, &mut checks, &mut corrections);
    Some(Model {
        layout: layout.clone(),
        sources: lower::sources(declared),
        conditions: lower::conditions(declared),
        hazards: lower::hazards(declared),
        modes,
        access,
        limits,
        causes,
        listed,
        effects: effects.list,
        complaints,
        checks,
        corrections,
        provocations,
        recent_work,
        graph,
        prices: None,
    })
}

/// Counts what the expansion will come to before any of it is made.
fn too_large(declared: &Declared, ground: &Ground<'_>, faults: &mut Faults) -> Option<()> {
    let mut total = 0;
    let access = declared.access.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let causes = declared.causes.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let effects = declared.effects.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let complaints = declared.complaints.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let checks = declared.checks.items.iter().map(|d| (d.place(), check_sites(ground, &d.twin).len()));
    let corrections = declared.corrections.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let recent_work = declared.recent_work.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let declared = access.chain(causes).chain(effects).chain(complaints).chain(corrections).chain(recent_work);
    for (place, sites) in declared.map(|(place, at, only)| (place, ground.places(at, only).len())).chain(checks) {
        total += sites;
        if total > MOST_NODES {
            let message =
                format!("With this the tree comes to more than {MOST_NODES} nodes in layout {}.", ground.layout.name);
            faults.add(code::TOO_LARGE, place, message, "Leave something out, or split the tree into two.");
            return None;
        }
    }
    Some(())
}

fn causes(declared: &Declared, ground: &Ground<'_>, members: &mut Members) -> Vec<Cause> {
    let mut list = Vec::new();
    for (i, decl) in declared.causes.items.iter().enumerate() {
        for site in ground.places(decl.twin.at, &decl.twin.only) {
            members.add_cause(i, site, CauseId(list.len()));
            list.push(lower::cause(declared, decl, site));
        }
    }
    list
}

/// The sites of a check; of a swap, the pairs of sites.
fn check_sites(ground: &Ground<'_>, twin: &CheckTwin) -> Vec<Site> {
    let sites = ground.places(twin.at, &twin.only);
    match &twin.swap {
        Some(swap) => swap::pairs(ground.layout, &sites, swap.between),
        None => sites,
    }
}

/// What is expanded already, for the rest to refer to.
pub(super) struct Parts<'a> {
    pub declared: &'a Declared,
    pub ground: &'a Ground<'a>,
    pub members: &'a Members,
    pub effects: &'a Effects,
    reach: Reach,
    limits: &'a [LimitTwin],
}

impl Parts<'_> {
    fn event(&self, site: Site, shows: &[ShowTwin], leak: Option<f64>) -> Event {
        event(self.declared, self.ground, self.members, self.effects, site, shows, leak)
    }

    fn complaints(&self) -> Vec<Complaint> {
        let mut list = Vec::new();
        for decl in &self.declared.complaints.items {
            let twin = &decl.twin;
            for site in self.ground.places(twin.at, &twin.only) {
                let event = self.event(site, &twin.shows, twin.leak);
                if is_empty(&event) {
                    continue;
                }
                list.push(Complaint {
                    name: decl.name.clone(),
                    site,
                    title: twin.title.clone(),
                    event,
                    usual: lower::levels(self.declared, &twin.usual),
                    quiet: twin.quiet.as_ref().map(|quiet| lower::levels(self.declared, quiet)),
                    warning: twin.warns.map(Into::into),
                    proof: ProofRun {
                        engine: twin.proof.mode(),
                        minutes: twin.proof.minutes,
                        steps: lower::texts(&twin.proof.steps),
                        hazards: lower::hazard_ids(self.declared, &twin.proof.hazards),
                    },
                    first_order: twin.first_order.clone(),
                });
            }
        }
        list
    }

    fn checks(&self, causes: &[Cause], faults: &mut Faults) -> Vec<Check> {
        let mut list = Vec::new();
        for decl in &self.declared.checks.items {
            for site in check_sites(self.ground, &decl.twin) {
                let outcomes = match (&decl.twin.swap, site) {
                    (Some(swap), Site::Pair(pair)) => self.swapped(decl, swap, pair, causes, faults),
                    _ => self.outcomes(decl, site, causes),
                };
                if outcomes.iter().all(|outcome| is_empty(&outcome.event)) {
                    continue;
                }
                list.push(self.check(decl, site, outcomes, faults));
            }
        }
        list
    }

    fn check(&self, decl: &Decl<CheckTwin>, site: Site, outcomes: Vec<Outcome>, faults: &mut Faults) -> Check {
        let twin = &decl.twin;
        let open = self.open(decl, &twin.access.open, twin.engine, site, faults);
        let closed = self.reach.closed(self.declared, self.ground, &twin.access.closed, site, &open);
        self.no_conflict(decl, &self.with_mode(&open, twin.engine), &closed, faults);
        Check {
            name: decl.name.clone(),
            site,
            title: twin.title.clone(),
            purpose: twin.purpose.trim().to_string(),
            sees: twin.sees.into(),
            minutes: twin.minutes,
            open,
            closed,
            manner: lower::manner(twin.engine, twin.leaves, twin.waiting, &twin.touches),
            gone_after: Vec::new(),
            gone_while: Vec::new(),
            needs: Vec::new(),
            same_look: Vec::new(),
            tools: lower::texts(&twin.tools),
            hazards: lower::hazard_ids(self.declared, &twin.hazards),
            steps: lower::texts(&twin.steps).iter().map(|step| swap::placed(step, site)).collect(),
            expected: swap::placed(twin.expected.trim(), site),
            mistakes: lower::texts(&twin.mistakes),
            beside: twin.beside.clone(),
            source: lower::cited(self.declared, twin.source.as_ref()),
            limit: twin.reading.as_ref().and_then(|reading| self.declared.limits.position(&reading.limit)),
            normal: twin.normal.trim().to_string(),
            outcomes,
        }
    }

    /// The outcomes of a check that something can bring here. Those that a reading can end in stay in any case, so that
    /// every reading has an outcome.
    fn outcomes(&self, decl: &Decl<CheckTwin>, site: Site, causes: &[Cause]) -> Vec<Outcome> {
        let limit = decl.twin.reading.as_ref().and_then(|reading| self.declared.limits.position(&reading.limit));
        let limit = limit.and_then(|i| self.limits.get(i));
        let read = |name: &str| limit.is_some_and(|limit| limit.outcomes().any(|outcome| outcome == name));
        let lower = decl.twin.outcomes.0.iter().map(|(name, twin)| {
            let mut event = self.event(site, &twin.shows, twin.leak);
            if let Some(side) = twin.of_side.map(Side::from) {
                let not_other = |id: &CauseId| causes[id.0].site.side() != Some(side.other());
                event.causes.retain(|(id, _)| not_other(id));
                event.gates.retain(|(formula, _)| formula.causes().iter().all(not_other));
            }
            let looks_so = twin.sight.map(|SightTwin::Certain| std::mem::replace(&mut event.leak, CERTAIN_LEAK));
            Outcome {
                name: name.clone(),
                title: twin.title.trim().to_string(),
                key: twin.key.as_ref().and_then(|key| key.chars().next()),
                proves: twin.proves || looks_so.is_some() && twin.shows.len() == 1,
                event,
                looks_so,
                warning: twin.warns.map(Into::into),
                formerly: twin.formerly.clone(),
            }
        });
        lower.filter(|outcome| !is_empty(&outcome.event) || read(&outcome.name)).collect()
    }

    /// Access that must be open from a site, where none of it, nor what the mode of the engine has open, shuts another out.
    fn open<T>(
        &self,
        decl: &Decl<T>,
        names: &[String],
        engine: EngineTwin,
        site: Site,
        faults: &mut Faults,
    ) -> Vec<AccessId> {
        let open = self.reach.open(self.declared, self.ground, names, site);
        let all = self.with_mode(&open, engine);
        let closed = self.reach.closed(self.declared, self.ground, &[], site, &all);
        self.no_conflict(decl, &all, &closed, faults);
        open
    }

    /// Open access with what a mode of the engine needs open beside it.
    fn with_mode(&self, open: &[AccessId], engine: EngineTwin) -> Vec<AccessId> {
        open.iter().copied().chain(self.opened_for(engine.into())).collect()
    }

    /// What a mode of the engine needs open.
    fn opened_for(&self, mode: Mode) -> Vec<AccessId> {
        let decl = self.declared.modes.get(mode.name());
        decl.map_or_else(Vec::new, |decl| self.reach.open(self.declared, self.ground, &decl.twin.open, Site::Engine))
    }

    /// What the tree says of a mode; where it says nothing the mode takes, needs and brings nothing.
    fn mode(&self, mode: Mode) -> ModeFacts {
        let facts = self.declared.modes.get(mode.name()).map(|decl| lower::mode(self.declared, mode, &decl.twin));
        let facts = facts.unwrap_or_else(|| ModeFacts {
            title: mode.name().to_owned(),
            from: lower::reached_from(mode),
            ..ModeFacts::default()
        });
        ModeFacts { open: self.opened_for(mode), ..facts }
    }

    /// The access states, with the causes that having had them open can bring.
    fn access(&self) -> Vec<Access> {
        let mut list = self.reach.list.clone();
        for state in &mut list {
            let Some(decl) = self.declared.access.get(&state.name) else { continue };
            state.upsets = self.all_causes(&decl.twin.upsets, state.site);
        }
        list
    }

    /// That nothing must be open and closed at once.
    fn no_conflict<T>(&self, decl: &Decl<T>, open: &[AccessId], closed: &[AccessId], faults: &mut Faults) {
        if let Some(both) = open.iter().find(|id| closed.contains(id)) {
            faults.add(
                code::ACCESS_CONFLICT,
                decl.at("access"),
                format!("\"{}\" needs \"{}\" open and closed at once.", decl.name, self.reach.list[both.0].name),
                "Look at its access, at what that needs in turn, and at not-with.",
            );
        }
    }

    fn corrections(&self, faults: &mut Faults) -> Vec<Correction> {
        let mut list = Vec::new();
        for decl in &self.declared.corrections.items {
            let twin = &decl.twin;
            for site in self.ground.places(twin.at, &twin.only) {
                let cures = self.all_causes(&twin.cures, site);
                if cures.is_empty() {
                    continue;
                }
                list.push(Correction {
                    name: decl.name.clone(),
                    site,
                    title: twin.title.clone(),
                    kind: twin.kind.into(),
                    cures,
                    fails: twin.fails,
                    minutes: twin.minutes,
                    cost: twin.cost,
                    open: self.open(decl, &twin.access.open, twin.engine, site, faults),
                    steps: lower::texts(&twin.steps),
                    parts: lower::texts(&twin.parts),
                    proof: twin.proof.as_deref().unwrap_or("").trim().to_string(),
                    disturbs: self.all_causes(&twin.disturbs, site),
                    manner: lower::manner(twin.engine, twin.leaves, twin.waiting, &twin.touches),
                    owes: Vec::new(),
                    owes_before_run: Vec::new(),
                    hazards: lower::hazard_ids(self.declared, &twin.hazards),
                    source: lower::cited(self.declared, twin.source.as_ref()),
                });
            }
        }
        list
    }

    fn all_causes(&self, names: &[String], site: Site) -> Vec<CauseId> {
        let mut found: Vec<CauseId> =
            names.iter().flat_map(|name| self.members.causes(self.declared, self.ground, name, site)).collect();
        found.sort_unstable();
        found.dedup();
        found
    }

    fn provocations(&self, faults: &mut Faults) -> Vec<Provocation> {
        let mut lower = |decl: &Decl<super::twin::ProvocationTwin>| Provocation {
            name: decl.name.clone(),
            title: decl.twin.title.clone(),
            sets: decl.twin.sets.0.iter().filter_map(|(c, l)| lower::level(self.declared, c, l)).collect(),
            minutes: decl.twin.minutes,
            open: self.open(decl, &decl.twin.access.open, decl.twin.engine, Site::Engine, faults),
            manner: lower::manner(decl.twin.engine, decl.twin.leaves, decl.twin.waiting, &decl.twin.touches),
            hazards: lower::hazard_ids(self.declared, &decl.twin.hazards),
            steps: lower::texts(&decl.twin.steps),
            source: lower::cited(self.declared, decl.twin.source.as_ref()),
        };
        self.declared.provocations.items.iter().map(&mut lower).collect()
    }
}
