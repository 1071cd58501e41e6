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

impl Source {
    /// What it is worth, in a word: `read`, `remembered`, `common` (common practice) or `placeholder`.
    #[must_use]
    pub fn mark(&self) -> &'static str {
        match (self.name.as_str(), self.read) {
            ("common", _) => "common",
            ("placeholder", _) => "placeholder",
            (_, true) => "read",
            (_, false) => "remembered",
        }
    }

    /// What to say of a figure from here: the document, or that there is none.
    #[must_use]
    pub fn words(&self, place: &str) -> String {
        match self.name.as_str() {
            "common" => return "common practice, no published source".to_owned(),
            "placeholder" => return "placeholder: our guess, no published source".to_owned(),
            _ => {}
        }
        let mut words = self.document.clone();
        for part in [self.edition.as_str(), place].into_iter().filter(|part| !part.is_empty()) {
            words.push_str(", ");
            words.push_str(part);
        }
        if !self.read {
            words.push_str(" (quoted from memory: check it before relying on it)");
        }
        words
    }
}
