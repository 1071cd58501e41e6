//! A tree expanded over the sites of one layout: a model ready to reason with.
//!
//! What `only:` leaves out of a layout goes silently, with what would be empty without it. What is left must hang together:
//! each cause can be seen and cured, and no work needs open what it needs closed. Names were looked at before.

use petgraph::algo::toposort;
use petgraph::graph::NodeIndex;

use super::declared::{Decl, Declared};
use super::event::{event, is_empty};
use super::faults::{Faults, code};
use super::gates::{self, Effects, Member, Members};
use super::ground::Ground;
use super::lower;
use super::reach::Reach;
use super::twin::{CheckTwin, ComplaintTwin, LimitTwin, ShowTwin};
use crate::measure::Limit;
use crate::model::{
    Cause, CauseId, Check, Complaint, Correction, Event, FaultGraph, Layout, Model, Node, Outcome, ProofRun,
    Provocation, Site,
};

/// The most causes, effects, complaints, checks, corrections and access states after expansion, all together.
pub(super) const MOST_NODES: usize = 5_000;
/// The most edges of the fault tree after expansion.
pub(super) const MOST_EDGES: usize = 20_000;
/// The chance that the unknown cause, awake, brings a complaint.
const UNKNOWN_SHOWS: f64 = 0.9;

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
    let unknown = CauseId(causes.len());
    causes.push(lower::unknown(declared, declared.unknown.items.first()?));
    let complaints = parts.complaints(unknown);
    let checks = parts.checks(faults);
    let corrections = parts.corrections();
    let provocations = parts.provocations();
    coverage(declared, layout, &causes, &checks, &corrections, faults);
    let graph = parts.graph(&causes, &complaints, unknown, faults)?;
    Some(Model {
        layout: layout.clone(),
        sources: lower::sources(declared),
        conditions: lower::conditions(declared),
        hazards: lower::hazards(declared),
        access: parts.reach.list,
        limits,
        causes,
        effects: effects.list,
        complaints,
        checks,
        corrections,
        provocations,
        graph,
    })
}

/// Counts what the expansion will come to before any of it is made.
fn too_large(declared: &Declared, ground: &Ground<'_>, faults: &mut Faults) -> Option<()> {
    let mut total = 0;
    let access = declared.access.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let causes = declared.causes.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let effects = declared.effects.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let complaints = declared.complaints.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let checks = declared.checks.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    let corrections = declared.corrections.items.iter().map(|d| (d.place(), d.twin.at, &d.twin.only));
    for (place, at, only) in access.chain(causes).chain(effects).chain(complaints).chain(checks).chain(corrections) {
        total += ground.places(at, only).len();
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

/// That each cause of the layout can be seen by a check there and cured by a correction there.
fn coverage(
    declared: &Declared,
    layout: &Layout,
    causes: &[Cause],
    checks: &[Check],
    corrections: &[Correction],
    faults: &mut Faults,
) {
    let (mut seen, mut cured) = (vec![false; causes.len()], vec![false; causes.len()]);
    for event in checks.iter().flat_map(|check| &check.outcomes).map(|outcome| &outcome.event) {
        event.causes.iter().for_each(|(id, _)| seen[id.0] = true);
        event.gates.iter().flat_map(|(gate, _)| gate.causes()).for_each(|id| seen[id.0] = true);
    }
    corrections.iter().flat_map(|correction| &correction.cures).for_each(|id| cured[id.0] = true);
    // The last is the unknown cause, which only the complaint and the proof run see.
    for (i, cause) in causes.iter().enumerate().take(causes.len().saturating_sub(1)) {
        let Some(decl) = declared.causes.get(&cause.name) else { continue };
        let here = format!("in layout {}", layout.name);
        if !seen[i] {
            let message = format!("No check can see the cause \"{}\" {here}.", cause.name);
            faults.add(
                code::UNSEEN_CAUSE,
                decl.place(),
                message,
                "Let a check that has a site there show it; look at only: of both.",
            );
        }
        if !cured[i] {
            let message = format!("No correction cures the cause \"{}\" {here}.", cause.name);
            faults.add(
                code::UNCURED_CAUSE,
                decl.place(),
                message,
                "Let a correction that has a site there cure it; look at only: of both.",
            );
        }
    }
}

/// What is expanded already, for the rest to refer to.
struct Parts<'a> {
    declared: &'a Declared,
    ground: &'a Ground<'a>,
    members: &'a Members,
    effects: &'a Effects,
    reach: Reach,
    limits: &'a [LimitTwin],
}

impl Parts<'_> {
    fn event(&self, site: Site, shows: &[ShowTwin], leak: Option<f64>) -> Event {
        event(self.declared, self.ground, self.members, self.effects, site, shows, leak)
    }

    fn complaints(&self, unknown: CauseId) -> Vec<Complaint> {
        let mut list = Vec::new();
        for decl in &self.declared.complaints.items {
            let twin = &decl.twin;
            for site in self.ground.places(twin.at, &twin.only) {
                let mut event = self.event(site, &twin.shows, twin.leak);
                if is_empty(&event) {
                    continue;
                }
                event.causes.push((unknown, UNKNOWN_SHOWS));
                list.push(Complaint {
                    name: decl.name.clone(),
                    site,
                    title: twin.title.clone(),
                    event,
                    usual: lower::levels(self.declared, &twin.usual),
                    quiet: twin.quiet.as_ref().map(|quiet| lower::levels(self.declared, quiet)),
                    proof: ProofRun { minutes: twin.proof.minutes, steps: lower::texts(&twin.proof.steps) },
                    first_order: twin.first_order.clone(),
                });
            }
        }
        list
    }

    fn checks(&self, faults: &mut Faults) -> Vec<Check> {
        let mut list = Vec::new();
        for decl in &self.declared.checks.items {
            for site in self.ground.places(decl.twin.at, &decl.twin.only) {
                let outcomes = self.outcomes(decl, site);
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
        let open = self.reach.open(self.declared, self.ground, &twin.access.open, site);
        let closed = self.reach.closed(self.declared, self.ground, &twin.access.closed, site, &open);
        if let Some(both) = open.iter().find(|id| closed.contains(id)) {
            faults.add(
                code::ACCESS_CONFLICT,
                decl.at("access"),
                format!("The check needs \"{}\" open and closed at once.", self.reach.list[both.0].name),
                "Look at its access, at what that needs in turn, and at not-with.",
            );
        }
        Check {
            name: decl.name.clone(),
            site,
            title: twin.title.clone(),
            purpose: twin.purpose.trim().to_string(),
            sees: twin.sees.into(),
            minutes: twin.minutes,
            open,
            closed,
            tools: lower::texts(&twin.tools),
            hazards: lower::hazard_ids(self.declared, &twin.hazards),
            steps: lower::texts(&twin.steps),
            expected: twin.expected.trim().to_string(),
            mistakes: lower::texts(&twin.mistakes),
            source: lower::cited(self.declared, twin.source.as_ref()),
            limit: twin.reading.as_ref().and_then(|reading| self.declared.limits.position(&reading.limit)),
            normal: twin.normal.trim().to_string(),
            outcomes,
        }
    }

    /// The outcomes of a check that something can bring here. Those that a reading can end in stay in any case, so that
    /// every reading has an outcome.
    fn outcomes(&self, decl: &Decl<CheckTwin>, site: Site) -> Vec<Outcome> {
        let limit = decl.twin.reading.as_ref().and_then(|reading| self.declared.limits.position(&reading.limit));
        let limit = limit.and_then(|i| self.limits.get(i));
        let read = |name: &str| limit.is_some_and(|limit| limit.outcomes().any(|outcome| outcome == name));
        let lower = decl.twin.outcomes.0.iter().map(|(name, twin)| Outcome {
            name: name.clone(),
            title: twin.title.trim().to_string(),
            key: twin.key.as_ref().and_then(|key| key.chars().next()),
            event: self.event(site, &twin.shows, twin.leak),
            proves: twin.proves,
            warning: twin.warns.map(Into::into),
        });
        lower.filter(|outcome| !is_empty(&outcome.event) || read(&outcome.name)).collect()
    }

    fn corrections(&self) -> Vec<Correction> {
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
                    open: self.reach.open(self.declared, self.ground, &twin.access.open, site),
                    steps: lower::texts(&twin.steps),
                    disturbs: self.all_causes(&twin.disturbs, site),
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

    fn provocations(&self) -> Vec<Provocation> {
        let lower = |decl: &Decl<super::twin::ProvocationTwin>| Provocation {
            name: decl.name.clone(),
            title: decl.twin.title.clone(),
            sets: decl.twin.sets.0.iter().filter_map(|(c, l)| lower::level(self.declared, c, l)).collect(),
            minutes: decl.twin.minutes,
            open: self.reach.open(self.declared, self.ground, &decl.twin.access.open, Site::Engine),
            hazards: lower::hazard_ids(self.declared, &decl.twin.hazards),
            steps: lower::texts(&decl.twin.steps),
            source: lower::cited(self.declared, decl.twin.source.as_ref()),
        };
        self.declared.provocations.items.iter().map(lower).collect()
    }

    /// The fault tree as a graph; its nodes are the causes, the effects and the complaints, in this order.
    fn graph(
        &self,
        causes: &[Cause],
        complaints: &[Complaint],
        unknown: CauseId,
        faults: &mut Faults,
    ) -> Option<FaultGraph> {
        let mut graph = FaultGraph::new();
        let of_cause: Vec<NodeIndex> = (0..causes.len()).map(|i| graph.add_node(Node::Cause(CauseId(i)))).collect();
        let of_effect: Vec<NodeIndex> =
            (0..self.effects.list.len()).map(|i| graph.add_node(Node::Effect(crate::model::EffectId(i)))).collect();
        let node = |member: &Member| match member {
            Member::Cause(id) => of_cause[id.0],
            Member::Effect(id) => of_effect[id.0],
        };
        let mut edges = Vec::new();
        for (i, members) in self.effects.members.iter().enumerate() {
            edges.extend(members.iter().map(|member| (node(member), of_effect[i])));
        }
        for (i, complaint) in complaints.iter().enumerate() {
            let top = graph.add_node(Node::Complaint(crate::model::ComplaintId(i)));
            let Some(decl) = self.declared.complaints.get(&complaint.name) else { continue };
            edges.extend(self.shown(decl, complaint.site).iter().map(|member| (node(member), top)));
            edges.push((of_cause[unknown.0], top));
        }
        edges.sort_unstable();
        edges.dedup();
        let place = self.declared.unknown.items.first()?.place();
        if edges.len() > MOST_EDGES {
            let message = format!(
                "The tree comes to {} edges in layout {}, and {MOST_EDGES} is the most.",
                edges.len(),
                self.ground.layout.name
            );
            faults.add(code::TOO_LARGE, place, message, "Let complaints name effects in place of many causes.");
            return None;
        }
        for (from, to) in edges {
            graph.add_edge(from, to, ());
        }
        if toposort(&graph, None).is_err() {
            let message = format!("The effects of the tree go round in a ring in layout {}.", self.ground.layout.name);
            faults.add(code::CYCLE, place, message, "Let no effect be made of itself.");
            return None;
        }
        Some(graph)
    }

    /// What a complaint's `shows` names at a site, with a chance above 0.
    fn shown(&self, decl: &Decl<ComplaintTwin>, site: Site) -> Vec<Member> {
        let mut found = Vec::new();
        for show in decl.twin.shows.iter().filter(|show| show.chance > 0.0) {
            let effects =
                show.effect.iter().flat_map(|name| self.members.effects(self.declared, self.ground, name, site));
            found.extend(effects.map(Member::Effect));
            let causes = show.cause.iter().flat_map(|name| self.members.causes(self.declared, self.ground, name, site));
            found.extend(causes.map(Member::Cause));
        }
        found
    }
}
