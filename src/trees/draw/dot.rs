//! A drawing in the DOT language.

use std::fmt::Write as _;

use super::{Drawing, Kind};
use crate::text::safe_text;

impl Drawing {
    /// In DOT: an edge runs from what brings to what is brought.
    #[must_use]
    pub fn dot(&self) -> String {
        let mut out = String::from("digraph tree {\n  rankdir=RL;\n  node [fontname=\"sans-serif\"];\n");
        for (at, item) in self.items.iter().enumerate() {
            let shape = match item.kind {
                Kind::Cause => "ellipse",
                Kind::Effect => "box",
                Kind::Complaint => "doubleoctagon",
            };
            let gate =
                if item.gate.is_empty() || item.gate == "any of" { String::new() } else { format!("\n{}", item.gate) };
            let label = quoted(&format!("{}\n{}{gate}", item.title, item.place()));
            // Writing into a String cannot fail.
            let _ = writeln!(out, "  n{at} [shape={shape}, label=\"{label}\"];");
        }
        for (at, item) in self.items.iter().enumerate() {
            for member in &item.members {
                let _ = writeln!(out, "  n{member} -> n{at};");
            }
        }
        out.push_str("}\n");
        out
    }
}

/// A label between quotes.
fn quoted(label: &str) -> String {
    let lines: Vec<String> =
        label.split('\n').map(|line| safe_text(line).replace('\\', "\\\\").replace('"', "\\\"")).collect();
    lines.join("\\n")
}
