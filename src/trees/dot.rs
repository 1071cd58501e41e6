//! The fault tree of a model as a drawing in the DOT language.

use std::fmt::Write as _;

use crate::model::{Model, Node};
use crate::text::safe_text;

/// The graph of a model in DOT: causes lead to effects and complaints. Effects that need more than one of their members say
/// how many.
#[must_use]
pub fn to_dot(model: &Model) -> String {
    let mut out = String::from("digraph tree {\n  rankdir=LR;\n  node [fontname=\"sans-serif\"];\n");
    for index in model.graph.node_indices() {
        let (label, shape) = match model.graph[index] {
            Node::Cause(id) => (format!("{}\n{}", model[id].title, model[id].site), "ellipse"),
            Node::Effect(id) => {
                let effect = &model[id];
                let gate = if effect.count > 1 { format!("\nat least {}", effect.count) } else { String::new() };
                (format!("{}\n{}{gate}", effect.title, effect.site), "box")
            }
            Node::Complaint(id) => (format!("{}\n{}", model[id].title, model[id].site), "doubleoctagon"),
        };
        // Writing into a String cannot fail.
        let _ = writeln!(out, "  n{} [shape={shape}, label=\"{}\"];", index.index(), quoted(&label));
    }
    for edge in model.graph.edge_indices() {
        if let Some((from, to)) = model.graph.edge_endpoints(edge) {
            let _ = writeln!(out, "  n{} -> n{};", from.index(), to.index());
        }
    }
    out.push_str("}\n");
    out
}

/// A label between quotes.
fn quoted(label: &str) -> String {
    let lines: Vec<String> =
        label.split('\n').map(|line| safe_text(line).replace('\\', "\\\\").replace('"', "\\\"")).collect();
    lines.join("\\n")
}
