//! Where everything in a file stands: its nodes with their spans, and the files themselves.
//!
//! Must not know what any name or section means.

/// A stretch of one file, in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Place {
    /// Which file, as an index into [`Files`].
    pub file: usize,
    /// First byte.
    pub start: usize,
    /// One past the last byte.
    pub end: usize,
}

/// A value of a file, with where it stands.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub start: usize,
    pub end: usize,
    pub kind: NodeKind,
}

/// What a value is.
#[derive(Debug, Clone)]
pub(super) enum NodeKind {
    Scalar(String),
    List(Vec<Node>),
    Map(Vec<(Key, Node)>),
}

/// A key of a map, with where it stands.
#[derive(Debug, Clone)]
pub(super) struct Key {
    pub text: String,
    pub start: usize,
    pub end: usize,
}

impl Node {
    /// The value under a key.
    pub(super) fn get(&self, key: &str) -> Option<&Self> {
        self.entry(key).map(|(_, node)| node)
    }

    /// The key and the value under it.
    pub(super) fn entry(&self, key: &str) -> Option<(&Key, &Self)> {
        match &self.kind {
            NodeKind::Map(entries) => entries.iter().find(|(k, _)| k.text == key).map(|(k, n)| (k, n)),
            _ => None,
        }
    }

    /// The keys of a map with their values; nothing for other nodes.
    pub(super) fn entries(&self) -> &[(Key, Self)] {
        match &self.kind {
            NodeKind::Map(entries) => entries,
            _ => &[],
        }
    }

    /// The span of what a path such as `outcomes/open/shows/0/chance` leads to, as far as it leads anywhere. A scalar is
    /// pointed at itself, a list or map at its key.
    pub(super) fn span_of(&self, path: &str) -> Option<(usize, usize)> {
        let mut node = self;
        let mut found = None;
        for step in path.split('/').filter(|step| !step.is_empty()) {
            match &node.kind {
                NodeKind::Map(_) => {
                    let Some((key, value)) = node.entry(step) else { break };
                    node = value;
                    found = Some(match value.kind {
                        NodeKind::Scalar(_) if value.end > value.start => (value.start, value.end),
                        _ => (key.start, key.end),
                    });
                }
                NodeKind::List(items) => {
                    let Some(item) = step.parse::<usize>().ok().and_then(|i| items.get(i)) else { break };
                    node = item;
                    found = Some((item.start, item.end));
                }
                NodeKind::Scalar(_) => break,
            }
        }
        found
    }

    /// The span of the first key of this name at or after a byte, else of the first anywhere below.
    pub(super) fn find_key(&self, name: &str, from: usize) -> Option<(usize, usize)> {
        let mut first = None;
        let mut waiting = vec![self];
        let mut best: Option<(usize, usize)> = None;
        while let Some(node) = waiting.pop() {
            match &node.kind {
                NodeKind::Scalar(_) => {}
                NodeKind::List(items) => waiting.extend(items),
                NodeKind::Map(entries) => {
                    for (key, value) in entries {
                        waiting.push(value);
                        if key.text != name {
                            continue;
                        }
                        let span = (key.start, key.end);
                        if first.is_none_or(|(start, _)| span.0 < start) {
                            first = Some(span);
                        }
                        if span.0 >= from && best.is_none_or(|(start, _)| span.0 < start) {
                            best = Some(span);
                        }
                    }
                }
            }
        }
        best.or(first)
    }
}

/// One file, kept to show the lines that faults stand in.
#[derive(Debug, Clone)]
pub(super) struct File {
    /// Its name: the path inside the folder, or as it was given.
    pub name: String,
    /// Its text; bytes that are not UTF-8 are replaced.
    pub text: String,
    /// Byte at which each line starts.
    lines: Vec<usize>,
}

impl File {
    /// A file of this name and text.
    pub(super) fn new(name: String, text: String) -> Self {
        let mut lines = vec![0];
        lines.extend(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1));
        Self { name, text, lines }
    }

    /// The line, from 1, that a byte stands in, and the byte at which that line starts.
    pub(super) fn line_of(&self, byte: usize) -> (usize, usize) {
        let line = self.lines.partition_point(|start| *start <= byte).max(1);
        (line, self.lines.get(line - 1).copied().unwrap_or(0))
    }

    /// The text of the line that starts at a byte, without its end.
    pub(super) fn line_from(&self, start: usize) -> &str {
        let rest = self.text.get(start..).unwrap_or("");
        rest.split('\n').next().unwrap_or("").trim_end_matches('\r')
    }
}

/// All files read so far.
#[derive(Debug, Clone, Default)]
pub(super) struct Files(pub Vec<File>);

impl Files {
    /// Takes a file in.
    pub(super) fn add(&mut self, name: String, text: String) -> usize {
        self.0.push(File::new(name, text));
        self.0.len() - 1
    }

    /// These files and others behind them.
    pub(super) fn with(&self, others: &Self) -> Self {
        Self(self.0.iter().chain(&others.0).cloned().collect())
    }
}
