//! The lines of a job as a tree, each hanging on the line it names by hash.
//!
//! Owns: which lines are one job's path, where it parts, what was set aside, what hangs on nothing. Must not know
//! disks, or what an entry means.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::path::{Path, PathBuf};

use super::line::{Entry, NO_PARENT};

#[derive(Debug)]
struct Node<'a> {
    entry: &'a Entry,
    device: &'a str,
    path: &'a Path,
    /// Where its parent is in the list of nodes.
    parent: Option<usize>,
    children: Vec<usize>,
}

/// All lines of a job, each once, in the order in which they came in.
#[derive(Debug, Default)]
pub(crate) struct Tree<'a> {
    nodes: Vec<Node<'a>>,
    by_hash: HashMap<&'a str, usize>,
    aside: BTreeSet<String>,
}

/// A line that is not where it should be.
#[derive(Debug)]
pub(crate) struct Spot {
    pub path: PathBuf,
    pub line: usize,
    pub hash: String,
    /// How many lines hang on it, itself included.
    pub count: usize,
}

/// What the tree says of the job.
#[derive(Debug, Default)]
pub(crate) struct Found<'a> {
    /// From the first line to the end, or to where the job parts.
    pub common: Vec<&'a Entry>,
    /// Two or more where it parts; else empty.
    pub branches: Vec<Vec<&'a Entry>>,
    /// The job's first header is not here; the earliest file that is.
    pub lost_parent: Option<Spot>,
    /// Lines that hang on a line that is not here.
    pub orphans: Vec<Spot>,
    /// Lines whose number does not follow their parent's.
    pub skewed: Vec<Spot>,
    /// How many branches a person or a failed write has set aside.
    pub aside: usize,
}

impl<'a> Tree<'a> {
    pub(crate) fn len(&self) -> usize {
        self.nodes.len()
    }

    /// Adds a line; false if it is there already.
    pub(crate) fn add(&mut self, entry: &'a Entry, device: &'a str, path: &'a Path) -> bool {
        if self.by_hash.contains_key(entry.hash.as_str()) {
            return false;
        }
        self.by_hash.insert(&entry.hash, self.nodes.len());
        self.nodes.push(Node { entry, device, path, parent: None, children: Vec::new() });
        true
    }

    /// Marks ends of branches as looked at and not gone on with.
    pub(crate) fn set_aside(&mut self, heads: &[String]) {
        self.aside.extend(heads.iter().cloned());
    }

    /// Whether a later header says that a person has seen this.
    pub(crate) fn is_aside(&self, mark: &str) -> bool {
        self.aside.contains(mark)
    }

    /// Hangs each line on its parent, once all are in.
    pub(crate) fn link(&mut self) {
        for child in 0..self.nodes.len() {
            let parent = self.by_hash.get(self.nodes[child].entry.prev.as_str()).copied();
            self.nodes[child].parent = parent;
            if let Some(parent) = parent {
                self.nodes[parent].children.push(child);
            }
        }
    }

    /// The device that wrote a line, where known.
    pub(crate) fn device(&self, hash: &str) -> &str {
        self.by_hash.get(hash).map_or("", |at| self.nodes[*at].device)
    }

    /// Sorts the lines into the job's path, its branches and what fits nowhere. None when there is no line at all.
    pub(crate) fn paths(&self) -> Option<Found<'a>> {
        let mut tops: Vec<&Node<'_>> = self.nodes.iter().filter(|n| n.parent.is_none()).collect();
        tops.sort_by(|a, b| (a.entry.seq, &a.entry.hash).cmp(&(b.entry.seq, &b.entry.hash)));
        let is_first = |n: &&Node<'_>| n.entry.prev == NO_PARENT;
        let mut found = Found::default();
        let mut roots: Vec<&Node<'_>> = tops.iter().copied().filter(is_first).collect();
        if roots.is_empty() {
            let earliest = *tops.first()?;
            found.lost_parent = Some(self.spot(earliest));
            roots.push(earliest);
        }
        let is_root = |n: &Node<'_>| roots.iter().any(|r| r.entry.hash == n.entry.hash);
        found.orphans = tops.iter().filter(|n| !is_root(n)).map(|n| self.spot(n)).collect();
        found.skewed = self.skewed();
        let ends = self.live_ends(&roots, &mut found.aside);
        let paths: Vec<Vec<&'a Entry>> = ends.iter().map(|end| self.path_to(end)).collect();
        let (first, others) = paths.split_first()?;
        let shared = (0..first.len())
            .take_while(|&i| others.iter().all(|p| p.get(i).map(|e| &e.hash) == Some(&first[i].hash)))
            .count();
        found.common = first[..shared].to_vec();
        if !others.is_empty() {
            found.branches = paths.iter().map(|p| p[shared..].to_vec()).collect();
        }
        Some(found)
    }

    fn spot(&self, node: &Node<'_>) -> Spot {
        Spot {
            path: node.path.to_owned(),
            line: node.entry.line,
            hash: node.entry.hash.clone(),
            count: self.below(node).len(),
        }
    }

    /// A line and all that hang on it.
    fn below<'t>(&'t self, node: &'t Node<'a>) -> Vec<&'t Node<'a>> {
        let mut all = vec![node];
        let mut next = 0;
        while let Some(node) = all.get(next) {
            let children = node.children.iter().map(|at| &self.nodes[*at]);
            all.extend(children.collect::<Vec<_>>());
            next += 1;
        }
        all
    }

    fn skewed(&self) -> Vec<Spot> {
        let follows = |n: &&Node<'_>| match n.parent {
            Some(parent) => self.nodes[parent].entry.seq.checked_add(1) == Some(n.entry.seq),
            None => true,
        };
        let mut skewed: Vec<&Node<'_>> = self.nodes.iter().filter(|n| !follows(n)).collect();
        skewed.sort_by(|a, b| a.entry.hash.cmp(&b.entry.hash));
        skewed.into_iter().map(|n| self.spot(n)).collect()
    }

    /// The ends that count: not set aside, and with at least one entry of the job on their own stretch, so that a file that
    /// was only begun does not look like a second way of going on.
    fn live_ends<'t>(&'t self, roots: &[&'t Node<'a>], aside: &mut usize) -> Vec<&'t Node<'a>> {
        let mut ends: Vec<&Node<'a>> =
            roots.iter().flat_map(|r| self.below(r)).filter(|n| n.children.is_empty()).collect();
        ends.sort_by(|a, b| (a.entry.seq, &a.entry.hash).cmp(&(b.entry.seq, &b.entry.hash)));
        let kept = |ends: &mut Vec<&'t Node<'a>>, keep: &dyn Fn(&Node<'_>) -> bool| {
            let before = ends.len();
            if ends.iter().any(|n| keep(n)) {
                ends.retain(|n| keep(n));
            }
            before - ends.len()
        };
        *aside = kept(&mut ends, &|n| !self.aside.contains(&n.entry.hash));
        kept(&mut ends, &|n| self.says_something(n));
        if cfg!(broken = "one-branch") {
            ends.truncate(1);
        }
        if ends.iter().all(|n| !self.says_something(n)) {
            // Only files that were begun: they say the same, so the last will do.
            ends = ends.pop().into_iter().collect();
        }
        ends
    }

    /// Whether there is an entry of the job between this end and the line where its branch leaves the others.
    fn says_something(&self, end: &Node<'_>) -> bool {
        let mut at = end;
        loop {
            if !at.entry.is_own() {
                return true;
            }
            match at.parent.map(|parent| &self.nodes[parent]) {
                Some(parent) if parent.children.len() == 1 => at = parent,
                _ => return false,
            }
        }
    }

    /// The ends that are not among these lines, each with its file and the lines on the way to it that are not among
    /// them either.
    pub(crate) fn ends_beside(&self, live: &HashSet<&str>) -> Vec<(&'a Path, Vec<&'a Entry>)> {
        let ends = self.nodes.iter().filter(|n| n.children.is_empty() && !live.contains(n.entry.hash.as_str()));
        let beside = |end: &Node<'a>| {
            let path = self.path_to(end).into_iter();
            (end.path, path.filter(|e| !live.contains(e.hash.as_str())).collect())
        };
        ends.map(beside).collect()
    }

    fn path_to(&self, end: &Node<'a>) -> Vec<&'a Entry> {
        let mut path = vec![end.entry];
        let mut at = end.parent;
        while let Some(node) = at.map(|at| &self.nodes[at]) {
            path.push(node.entry);
            at = node.parent;
        }
        path.reverse();
        path
    }
}
