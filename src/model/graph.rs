//! The fault tree as a graph: cause -> effect -> complaint.

use petgraph::graph::{DiGraph, NodeIndex};

use super::{CauseId, ComplaintId, Formula, Site};

/// Index of an effect.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct EffectId(pub usize);

/// An intermediate event of the fault tree.
#[derive(Debug, Clone, PartialEq)]
pub struct Effect {
    /// Its name in the tree.
    pub name: String,
    /// Where.
    pub site: Site,
    /// Title without the site.
    pub title: String,
    /// When it is true, flattened to causes.
    pub formula: Formula,
    /// How many of its members it needs: 1 for "any".
    pub count: usize,
}

/// A node of the fault tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Node {
    /// A basic event.
    Cause(CauseId),
    /// An intermediate event.
    Effect(EffectId),
    /// A top event.
    Complaint(ComplaintId),
}

/// The graph: an edge runs from what brings to what is brought. Acyclic by construction of the loader.
pub type FaultGraph = DiGraph<Node, ()>;

/// The nodes that bring `node`, in the order they were added.
pub fn members(graph: &FaultGraph, node: NodeIndex) -> Vec<NodeIndex> {
    let mut found: Vec<NodeIndex> = graph.neighbors_directed(node, petgraph::Direction::Incoming).collect();
    found.sort_unstable();
    found
}
