//! Other files in YAML, read through the same fence and with the same words for their faults: the evidence of `diagnose`.
//!
//! Must not know what such a file means.

use std::path::Path;

use serde::de::DeserializeOwned;

use super::diagnostic::Diagnostic;
use super::faults::{Faults, code};
use super::folder::{self, Found};
use super::library;
use super::node::{Files, Node, Place};
use super::parse;

/// A file read through the fence, with where everything in it stands.
#[derive(Debug, Clone)]
pub struct Strict<T> {
    /// What it says.
    pub value: T,
    files: Files,
    root: Node,
}

impl<T: DeserializeOwned> Strict<T> {
    /// Reads a file.
    ///
    /// # Errors
    /// A file that cannot be read, that the fence refuses, or that is not of the shape wanted, each with place and mend.
    pub fn read(path: &Path) -> Result<Self, Vec<Diagnostic>> {
        let mut faults = Faults::default();
        match folder::read_file(path, &path.display().to_string(), &mut faults) {
            Some(found) => Self::of(found, faults),
            None => Err(faults.into_diagnostics(&Files::default())),
        }
    }

    /// Reads text that is in memory already.
    ///
    /// # Errors
    /// As [`Strict::read`].
    pub fn of_text(name: &str, text: &str) -> Result<Self, Vec<Diagnostic>> {
        Self::of(Found { name: name.to_owned(), bytes: text.as_bytes().to_vec() }, Faults::default())
    }

    fn of(found: Found, mut faults: Faults) -> Result<Self, Vec<Diagnostic>> {
        let mut files = Files::default();
        let read = library::take(&mut files, 0, found, &mut faults).and_then(|(index, root)| {
            let start = Place { file: index, start: root.start, end: root.start };
            let value = parse::twin(&files.0[index], index, &root, start, &mut faults)?;
            Some((value, root))
        });
        match read {
            Some((value, root)) if faults.is_empty() => Ok(Self { value, files, root }),
            _ => Err(faults.into_diagnostics(&files)),
        }
    }
}

impl<T> Strict<T> {
    /// A fault of what a path such as `spells/0/checks/1/at` leads to.
    #[must_use]
    pub fn fault(&self, path: &str, message: &str, mend: &str) -> Diagnostic {
        let (start, end) = self.root.span_of(path).unwrap_or((self.root.start, self.root.start));
        match self.files.0.first() {
            Some(file) => Diagnostic::at(code::BAD_VALUE, file, Place { file: 0, start, end }, message, mend),
            None => Diagnostic::whole(code::BAD_VALUE, "", message, mend),
        }
    }
}
