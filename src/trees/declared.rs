//! The declarations of all files of a tree, joined by name, each with its place.
//!
//! Must not know whether the names in them lead anywhere: `rules` looks at that.

use std::collections::{HashMap, HashSet};

use serde::de::DeserializeOwned;

use super::faults::{Faults, code};
use super::node::{File, Key, Node, NodeKind, Place};
use super::parse;
use super::recent_work_twin::RecentWorkTwin;
use super::suggest;
use super::twin::{
    AccessTwin, AllowTwin, CauseTwin, CheckTwin, ComplaintTwin, ConditionTwin, CorrectionTwin, EffectTwin, HazardTwin,
    LimitTwin, ProvocationTwin, SourceTwin, UnknownTwin,
};
use super::work_twin::ModeTwin;

/// The format of a tree file.
pub(super) const TREE_FORMAT: &str = "roughrun-tree-1";

/// One declaration.
#[derive(Debug, Clone)]
pub(super) struct Decl<T> {
    pub name: String,
    pub twin: T,
    file: usize,
    key: (usize, usize),
    node: Node,
}

impl<T> Decl<T> {
    /// A declaration under a key of a file.
    pub(super) fn new(key: &Key, node: &Node, file: usize, twin: T) -> Self {
        Self { name: key.text.clone(), twin, file, key: (key.start, key.end), node: node.clone() }
    }

    /// Where its name stands.
    pub(super) fn place(&self) -> Place {
        Place { file: self.file, start: self.key.0, end: self.key.1 }
    }

    /// Where what a path such as `shows/0/chance` leads to stands; its name where the path leads nowhere.
    pub(super) fn at(&self, path: &str) -> Place {
        let (start, end) = self.node.span_of(path).unwrap_or(self.key);
        Place { file: self.file, start, end }
    }

    /// Where the key that ends a path stands; its name where the path leads nowhere.
    pub(super) fn at_key(&self, path: &str) -> Place {
        let (above, key) = path.rsplit_once('/').unwrap_or(("", path));
        let map = above.split('/').filter(|step| !step.is_empty()).try_fold(&self.node, |node, step| node.get(step));
        match map.and_then(|map| map.entry(key)) {
            Some((key, _)) => Place { file: self.file, start: key.start, end: key.end },
            None => self.at(path),
        }
    }

    /// The value as it is written.
    pub(super) fn node(&self) -> &Node {
        &self.node
    }
}

/// All declarations of one section.
#[derive(Debug, Clone)]
pub(super) struct Section<T> {
    pub items: Vec<Decl<T>>,
    index: HashMap<String, usize>,
    /// Names whose declaration could not be read: known, but without a twin.
    broken: HashSet<String>,
}

impl<T> Default for Section<T> {
    fn default() -> Self {
        Self { items: Vec::new(), index: HashMap::new(), broken: HashSet::new() }
    }
}

impl<T> Section<T> {
    /// The declaration of this name.
    pub(super) fn get(&self, name: &str) -> Option<&Decl<T>> {
        self.index.get(name).and_then(|i| self.items.get(*i))
    }

    /// Its place in the order of declaration.
    pub(super) fn position(&self, name: &str) -> Option<usize> {
        self.index.get(name).copied()
    }

    /// Whether the name is declared, be it faultily.
    pub(super) fn knows(&self, name: &str) -> bool {
        self.index.contains_key(name) || self.broken.contains(name)
    }

    /// Whether some declaration could not be read.
    pub(super) fn has_broken(&self) -> bool {
        !self.broken.is_empty()
    }

    /// All names.
    pub(super) fn names(&self) -> impl Iterator<Item = &str> {
        self.items.iter().map(|d| d.name.as_str())
    }
}

impl<T: DeserializeOwned> Section<T> {
    /// Takes in what one file declares.
    fn join(&mut self, what: &str, file: &File, index: usize, node: &Node, faults: &mut Faults) {
        if let NodeKind::Scalar(text) = &node.kind
            && text.is_empty()
        {
            return;
        }
        if !matches!(node.kind, NodeKind::Map(_)) {
            let place = Place { file: index, start: node.start, end: node.end };
            faults.add(
                code::WRONG_TYPE,
                place,
                format!("Under {what} stands no map of names."),
                "Write each declaration under its name and a colon.",
            );
            return;
        }
        for (key, value) in node.entries() {
            let place = Place { file: index, start: key.start, end: key.end };
            good_name(what, &key.text, place, faults);
            if let Some(first) = self.get(&key.text) {
                let line = first.place();
                faults.add_twice(what, &key.text, place, line);
                continue;
            }
            let twin = if faults.is_full() { None } else { parse::twin(file, index, value, place, faults) };
            match twin {
                None => {
                    self.broken.insert(key.text.clone());
                }
                Some(twin) => {
                    self.index.insert(key.text.clone(), self.items.len());
                    self.items.push(Decl::new(key, value, index, twin));
                }
            }
        }
    }
}

/// Notes a name that is not made of lower-case letters, digits and hyphens.
pub(super) fn good_name(what: &str, name: &str, place: Place, faults: &mut Faults) {
    let good = (1..=64).contains(&name.len())
        && name.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'-');
    if !good {
        let short: String = name.chars().take(64).collect();
        faults.add(
            code::BAD_NAME,
            place,
            format!("\"{short}\" cannot be a name ({what})."),
            "Use 1 to 64 lower-case letters, digits and hyphens, such as lead-open.",
        );
    }
}

/// All declarations of a tree.
#[derive(Debug, Clone, Default)]
pub(super) struct Declared {
    pub sources: Section<SourceTwin>,
    pub conditions: Section<ConditionTwin>,
    pub hazards: Section<HazardTwin>,
    pub modes: Section<ModeTwin>,
    pub access: Section<AccessTwin>,
    pub limits: Section<LimitTwin>,
    pub causes: Section<CauseTwin>,
    pub effects: Section<EffectTwin>,
    pub complaints: Section<ComplaintTwin>,
    pub checks: Section<CheckTwin>,
    pub corrections: Section<CorrectionTwin>,
    pub provocations: Section<ProvocationTwin>,
    pub recent_work: Section<RecentWorkTwin>,
    pub unknown: Section<UnknownTwin>,
    pub allow: Vec<Exception>,
}

/// An exception from a warning, with its place.
#[derive(Debug, Clone)]
pub(super) struct Exception {
    pub twin: AllowTwin,
    pub place: Place,
    node: Node,
}

impl Exception {
    /// Where the value of a field stands.
    pub(super) fn at(&self, field: &str) -> Place {
        let (start, end) = self.node.span_of(field).unwrap_or((self.node.start, self.node.end));
        Place { file: self.place.file, start, end }
    }
}

/// The sections of a tree file, in the order the format lists them.
pub(super) const SECTIONS: [&str; 15] = [
    "sources",
    "conditions",
    "hazards",
    "modes",
    "access",
    "limits",
    "causes",
    "effects",
    "complaints",
    "checks",
    "corrections",
    "provocations",
    "recent-work",
    "unknown",
    "allow",
];

impl Declared {
    /// Takes in one tree file.
    pub(super) fn join(&mut self, file: &File, index: usize, root: &Node, faults: &mut Faults) {
        if !parse::format_is(TREE_FORMAT, index, root, faults) {
            return;
        }
        for (key, value) in root.entries() {
            match key.text.as_str() {
                "format" => {}
                "sources" => self.sources.join("source", file, index, value, faults),
                "conditions" => self.conditions.join("condition", file, index, value, faults),
                "hazards" => self.hazards.join("hazard", file, index, value, faults),
                "modes" => self.modes.join("mode", file, index, value, faults),
                "access" => self.access.join("access state", file, index, value, faults),
                "limits" => self.limits.join("limit", file, index, value, faults),
                "causes" => self.causes.join("cause", file, index, value, faults),
                "effects" => self.effects.join("effect", file, index, value, faults),
                "complaints" => self.complaints.join("complaint", file, index, value, faults),
                "checks" => self.checks.join("check", file, index, value, faults),
                "corrections" => self.corrections.join("correction", file, index, value, faults),
                "provocations" => self.provocations.join("provocation", file, index, value, faults),
                "recent-work" => self.recent_work.join("kind of work", file, index, value, faults),
                "unknown" => {
                    // One declaration without a name of its own: its section is its name.
                    let alone = Node {
                        start: key.start,
                        end: value.end,
                        kind: NodeKind::Map(vec![(key.clone(), value.clone())]),
                    };
                    self.unknown.join("unknown cause", file, index, &alone, faults);
                }
                "allow" => self.join_exceptions(file, index, value, faults),
                other => {
                    let mend = match suggest::nearest(other, SECTIONS) {
                        Some(near) => format!("Did you mean \"{near}\"?"),
                        None => format!("The sections are: {}.", SECTIONS.join(", ")),
                    };
                    let place = Place { file: index, start: key.start, end: key.end };
                    faults.add(code::UNKNOWN_FIELD, place, format!("A tree file has no section \"{other}\"."), mend);
                }
            }
        }
    }

    /// Takes in the exceptions of one tree file: a list, because they have no names.
    fn join_exceptions(&mut self, file: &File, index: usize, node: &Node, faults: &mut Faults) {
        let NodeKind::List(items) = &node.kind else {
            let place = Place { file: index, start: node.start, end: node.end };
            let mend = "Write each under allow: as - {warning: CODE, of: NAME, because: Why it is right.}";
            return faults.add(code::WRONG_TYPE, place, "Under allow stands no list of exceptions.", mend);
        };
        for item in items {
            let place = Place { file: index, start: item.start, end: item.end };
            if let Some(twin) = parse::twin(file, index, item, place, faults) {
                self.allow.push(Exception { twin, place, node: item.clone() });
            }
        }
    }
}
