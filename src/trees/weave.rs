//! The parts of an expanded tree woven together: the graph from causes to complaints, and whether each cause is seen and cured.

use petgraph::algo::toposort;
use petgraph::graph::NodeIndex;

use super::declared::{Decl, Declared};
use super::expand::Parts;
use super::faults::{Faults, code};
use super::gates::Member;
use super::twin::ComplaintTwin;
use crate::model::{
    Cause, CauseId, Check, Complaint, ComplaintId, Correction, EffectId, FaultGraph, Layout, Node, Site,
};

/// The most edges of the fault tree after expansion.
const MOST_EDGES: usize = 20_000;

/// That each cause of the layout can be seen by a check there and cured by a correction there.
pub(super) fn coverage(
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
    for (i, cause) in causes.iter().enumerate() {
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

impl Parts<'_> {
    /// The fault tree as a graph; its nodes are the causes, the effects and the complaints, in this order.
    pub(super) fn graph(
        &self,
        causes: &[Cause],
        listed: usize,
        complaints: &[Complaint],
        faults: &mut Faults,
    ) -> Option<FaultGraph> {
        let mut graph = FaultGraph::new();
        let of_cause: Vec<NodeIndex> = (0..causes.len()).map(|i| graph.add_node(Node::Cause(CauseId(i)))).collect();
        let of_effect: Vec<NodeIndex> =
            (0..self.effects.list.len()).map(|i| graph.add_node(Node::Effect(EffectId(i)))).collect();
        let node = |member: &Member| match member {
            Member::Cause(id) => of_cause[id.0],
            Member::Effect(id) => of_effect[id.0],
        };
        let mut edges = Vec::new();
        for (i, members) in self.effects.members.iter().enumerate() {
            edges.extend(members.iter().map(|member| (node(member), of_effect[i])));
        }
        for (i, complaint) in complaints.iter().enumerate() {
            let top = graph.add_node(Node::Complaint(ComplaintId(i)));
            let Some(decl) = self.declared.complaints.get(&complaint.name) else { continue };
            edges.extend(self.shown(decl, complaint.site).iter().map(|member| (node(member), top)));
            let unlisted = complaint.event.causes.iter().filter(|(id, _)| id.0 >= listed);
            edges.extend(unlisted.map(|(id, _)| (of_cause[id.0], top)));
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
