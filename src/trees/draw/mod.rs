//! The fault tree of a model drawn: as a picture for a browser, and in the DOT language for programs that lay graphs out.
//!
//! Sites that are alike are one node, unless every site is asked for. Must not know files.

mod dot;
mod svg;

use std::collections::{BTreeMap, BTreeSet};

use petgraph::graph::NodeIndex;

use crate::model::{Model, Node, Site, members};

/// What a node of a drawing is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Kind {
    Complaint,
    Effect,
    Cause,
}

/// A node of a drawing.
#[derive(Debug, Clone)]
struct Item {
    kind: Kind,
    title: String,
    sites: Vec<Site>,
    /// How many of its members it needs, in words; empty for causes.
    gate: String,
    /// What brings it.
    members: Vec<usize>,
}

impl Item {
    /// Where it is, and how many times: "left 1", "8 plugs".
    fn place(&self) -> String {
        match self.sites.as_slice() {
            [] => String::new(),
            [site] => site.to_string(),
            [first, ..] => {
                let kind = match first {
                    Site::Engine => "engines",
                    Site::Side(_) => "sides",
                    Site::Coil(..) => "coils",
                    Site::Cylinder(_) => "cylinders",
                    Site::Plug(..) => "plugs",
                    Site::Pair(_) => "pairs",
                };
                format!("{} {kind}", self.sites.len())
            }
        }
    }
}

/// A fault tree to be drawn.
#[derive(Debug, Clone)]
pub struct Drawing {
    title: String,
    items: Vec<Item>,
}

impl Drawing {
    /// The fault tree of a model. With `sites` every site is a node of its own. With the name of a complaint only what brings it is
    /// drawn; nothing where the model has no such complaint.
    #[must_use]
    pub fn of(model: &Model, sites: bool, complaint: Option<&str>) -> Option<Self> {
        let graph = &model.graph;
        let mut wanted: BTreeSet<NodeIndex> = graph.node_indices().collect();
        if let Some(name) = complaint {
            let tops = |n: &NodeIndex| matches!(graph[*n], Node::Complaint(id) if model[id].name == name);
            let mut waiting: Vec<NodeIndex> = graph.node_indices().filter(tops).collect();
            wanted.clear();
            while let Some(node) = waiting.pop() {
                if wanted.insert(node) {
                    waiting.extend(members(graph, node));
                }
            }
        }
        if wanted.is_empty() {
            return None;
        }
        let mut drawing = Self { title: model.layout.title.clone(), items: Vec::new() };
        let mut at: BTreeMap<NodeIndex, usize> = BTreeMap::new();
        let mut known: BTreeMap<(Kind, String, Option<Site>), usize> = BTreeMap::new();
        for node in &wanted {
            let (kind, name, title, site) = match graph[*node] {
                Node::Cause(id) => (Kind::Cause, &model[id].name, &model[id].title, model[id].site),
                Node::Effect(id) => (Kind::Effect, &model[id].name, &model[id].title, model[id].site),
                Node::Complaint(id) => (Kind::Complaint, &model[id].name, &model[id].title, model[id].site),
            };
            let key = (kind, name.clone(), sites.then_some(site));
            let place = *known.entry(key).or_insert_with(|| {
                let item =
                    Item { kind, title: title.clone(), sites: Vec::new(), gate: String::new(), members: Vec::new() };
                drawing.items.push(item);
                drawing.items.len() - 1
            });
            drawing.items[place].sites.push(site);
            at.insert(*node, place);
        }
        for node in &wanted {
            let of: Vec<NodeIndex> = members(graph, *node).into_iter().filter(|m| wanted.contains(m)).collect();
            let item = &mut drawing.items[at[node]];
            if item.gate.is_empty() {
                item.gate = gate(model, graph[*node], of.len());
            }
            for member in of.iter().map(|member| at[member]) {
                if !item.members.contains(&member) {
                    item.members.push(member);
                }
            }
        }
        Some(drawing)
    }
}

/// How many of its members a node needs, in words.
fn gate(model: &Model, node: Node, members: usize) -> String {
    match node {
        Node::Cause(_) => String::new(),
        Node::Effect(id) if model[id].count > 1 && model[id].count == members => format!("all {members} of"),
        Node::Effect(id) if model[id].count > 1 => format!("at least {} of", model[id].count),
        Node::Effect(_) | Node::Complaint(_) => "any of".to_owned(),
    }
}
