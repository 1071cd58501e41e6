//! The fault tree as rows to walk: from the complaint through effects to causes, folded or open.
//!
//! Owns which nodes are open and which row is which node. Must not draw.

use std::collections::BTreeSet;

use petgraph::graph::NodeIndex;

use crate::analysis::{Ranked, weigh};
use crate::model::{CauseId, Node, Site, members};

/// The tree as it is walked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct TreeView {
    /// Nodes that are open. A node that hangs in several places is open in all of them.
    pub open: BTreeSet<NodeIndex>,
    /// The marked row.
    pub cursor: usize,
}

/// One row of the tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Twig {
    /// The node.
    pub node: NodeIndex,
    /// What it is.
    pub what: Node,
    /// How deep it hangs, from 0.
    pub depth: usize,
    /// Whether anything hangs below it.
    pub has_more: bool,
}

/// Deepest that is walked; the loader refuses rings, so this only keeps a narrow screen readable.
const DEEPEST: usize = 12;

/// The row of the complaint.
fn root(job: &Ranked) -> Option<NodeIndex> {
    let graph = &job.model().graph;
    graph.node_indices().find(|at| graph[*at] == Node::Complaint(job.state().complaint))
}

/// The tree with the complaint open and, below it, the likeliest branch.
#[must_use]
pub(super) fn begin(job: &Ranked) -> TreeView {
    let mut view = TreeView::default();
    let mut at = root(job);
    for _ in 0..3 {
        let Some(node) = at else { break };
        view.open.insert(node);
        at = below(job, node).first().copied().filter(|n| !matches!(job.model().graph[*n], Node::Cause(_)));
    }
    view
}

/// What hangs below a node, the likeliest first.
fn below(job: &Ranked, node: NodeIndex) -> Vec<NodeIndex> {
    let graph = &job.model().graph;
    let mut found: Vec<(f64, NodeIndex)> =
        members(graph, node).into_iter().map(|at| (chance(job, graph[at]), at)).collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
    found.into_iter().map(|(_, at)| at).collect()
}

/// The rows that are shown, top to bottom.
#[must_use]
pub(super) fn rows(job: &Ranked, view: &TreeView) -> Vec<Twig> {
    let mut rows = Vec::new();
    // A stack and no recursion: trees are not ours.
    let mut waiting: Vec<(NodeIndex, usize)> = root(job).map(|at| (at, 0)).into_iter().collect();
    while let Some((node, depth)) = waiting.pop() {
        let more = if depth < DEEPEST { below(job, node) } else { Vec::new() };
        rows.push(Twig { node, what: job.model().graph[node], depth, has_more: !more.is_empty() });
        if view.open.contains(&node) {
            waiting.extend(more.into_iter().rev().map(|at| (at, depth + 1)));
        }
    }
    rows
}

/// How likely a node is: of a cause, that it is there; of an effect or the complaint, that what is there brings it.
#[must_use]
pub(super) fn chance(job: &Ranked, node: Node) -> f64 {
    let model = job.model();
    match node {
        Node::Cause(id) => job.belief(id).present,
        Node::Effect(id) => {
            let effect = &model[id];
            let holds = |there: &[CauseId]| effect.formula.holds(&|c| there.contains(&c));
            weigh::share(job, effect.count == 1, &effect.formula.causes(), holds)
        }
        Node::Complaint(id) => {
            let event = &model[id].event;
            let alone: Vec<CauseId> = event.causes.iter().map(|(c, _)| *c).collect();
            weigh::share(job, true, &alone, |there| {
                there.iter().any(|c| alone.contains(c))
                    || event.gates.iter().any(|(gate, _)| gate.holds(&|c| there.contains(&c)))
            })
        }
    }
}

/// Every cause under a node.
#[must_use]
pub(super) fn causes(job: &Ranked, node: Node) -> Vec<CauseId> {
    let model = job.model();
    match node {
        Node::Cause(id) => vec![id],
        Node::Effect(id) => model[id].formula.causes(),
        Node::Complaint(id) => {
            let event = &model[id].event;
            let mut all: Vec<CauseId> = event.causes.iter().map(|(c, _)| *c).collect();
            all.extend(event.gates.iter().flat_map(|(g, _)| g.causes()));
            all.sort_unstable();
            all.dedup();
            all
        }
    }
}

/// Its title and site.
#[must_use]
pub(super) fn title(job: &Ranked, node: Node) -> (String, Site) {
    let model = job.model();
    match node {
        Node::Cause(id) => (model[id].title.clone(), model[id].site),
        Node::Effect(id) => (model[id].title.clone(), model[id].site),
        Node::Complaint(id) => (model[id].title.clone(), model[id].site),
    }
}
