//! Where a figure comes from.

/// Index of a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct SourceId(pub usize);

/// A source of figures. `common` and `placeholder` are always there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// Its name in the tree.
    pub name: String,
    /// The document.
    pub document: String,
    /// Its edition.
    pub edition: String,
    /// Whether the document was read; false where it is quoted from memory.
    pub read: bool,
}

/// A source with the place in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cited {
    /// Which source.
    pub source: SourceId,
    /// Paragraph, table or page; empty where none is given.
    pub place: String,
}
