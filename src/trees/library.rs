//! A tree with its layouts, read and looked at; the door of this room.

use std::path::Path;

use sha2::{Digest, Sha256};

use super::declared::Declared;
use super::diagnostic::Diagnostic;
use super::expand;
use super::faults::{Faults, code};
use super::fence;
use super::folder::{self, Found};
use super::layouts::{self, EngineLayout};
use super::limits;
use super::node::{Files, Node};
use super::{embedded, suggest};
use crate::model::Model;

/// A tree and the layouts that came with it. Every name in it leads somewhere.
#[derive(Debug, Clone)]
pub struct Library {
    pub(super) files: Files,
    pub(super) declared: Declared,
    layouts: Vec<EngineLayout>,
    digest: String,
}

impl Library {
    /// The tree shipped inside the program.
    ///
    /// # Errors
    /// The faults of the shipped files; a test sees to it that there are none.
    pub fn embedded() -> Result<Self, Vec<Diagnostic>> {
        let found = embedded::FILES
            .iter()
            .map(|(name, text)| Found { name: (*name).to_string(), bytes: text.as_bytes().to_vec() });
        Self::from_found(found.collect(), Faults::default())
    }

    /// The tree in a folder: `*.yaml` its parts, `layouts/*.yaml` its layouts.
    ///
    /// # Errors
    /// All faults of all its files, by file and line.
    pub fn load(dir: &Path) -> Result<Self, Vec<Diagnostic>> {
        let mut faults = Faults::default();
        let found = folder::read_folder(dir, &mut faults);
        Self::from_found(found, faults)
    }

    /// A tree of files that are in memory already: (path in the folder, bytes).
    ///
    /// # Errors
    /// All faults of all the files, by file and line.
    pub fn from_files(files: &[(&str, &[u8])]) -> Result<Self, Vec<Diagnostic>> {
        let mut found: Vec<Found> =
            files.iter().map(|(name, bytes)| Found { name: (*name).to_string(), bytes: bytes.to_vec() }).collect();
        found.sort_by(|a, b| a.name.cmp(&b.name));
        Self::from_found(found, Faults::default())
    }

    fn from_found(found: Vec<Found>, mut faults: Faults) -> Result<Self, Vec<Diagnostic>> {
        let (library, more) = Self::read(found);
        faults.join(more);
        if faults.is_empty() { Ok(library) } else { Err(faults.into_diagnostics(&library.files)) }
    }

    /// Reads what can be read, and notes all faults.
    pub(super) fn read(found: Vec<Found>) -> (Self, Faults) {
        let mut faults = Faults::default();
        let mut library = Self {
            files: Files::default(),
            declared: Declared::default(),
            layouts: Vec::new(),
            digest: digest(&found),
        };
        for file in found {
            let Some((index, root)) = take(&mut library.files, 0, file, &mut faults) else { continue };
            let file = &library.files.0[index];
            if file.name.starts_with("layouts/") || format_of(&root) == layouts::LAYOUT_FORMAT {
                let read = layouts::read(file, index, &root, &mut faults);
                library.layouts.extend(read);
            } else {
                library.declared.join(file, index, &root, &mut faults);
            }
        }
        (library, faults)
    }

    /// The names of the layouts, by file.
    #[must_use]
    pub fn layout_names(&self) -> Vec<&str> {
        self.layouts.iter().map(|l| l.layout.name.as_str()).collect()
    }

    /// The layouts, by file.
    #[must_use]
    pub fn layouts(&self) -> &[EngineLayout] {
        &self.layouts
    }

    /// The layout of this name, or in the file at this path.
    ///
    /// # Errors
    /// Where no layout has the name and no file is there: the known names; else the faults of the file.
    pub fn layout(&self, name_or_path: &str) -> Result<EngineLayout, Vec<Diagnostic>> {
        self.layout_from(name_or_path, Path::new(""))
    }

    /// The same, with paths taken from a folder.
    pub(super) fn layout_from(&self, name_or_path: &str, folder: &Path) -> Result<EngineLayout, Vec<Diagnostic>> {
        if let Some(layout) = self.layouts.iter().find(|l| l.layout.name == name_or_path) {
            return Ok(layout.clone());
        }
        let path = folder.join(name_or_path);
        let looks_like_path = name_or_path.contains(['/', '\\', '.']);
        if !looks_like_path {
            let mend = match suggest::nearest(name_or_path, self.layout_names()) {
                Some(near) => format!("Did you mean \"{near}\"? The layouts are: {}.", self.layout_names().join(", ")),
                None => format!(
                    "The layouts are: {}. A path to a file of your own must end in .yaml.",
                    self.layout_names().join(", ")
                ),
            };
            let message = format!("There is no layout named \"{name_or_path}\".");
            return Err(vec![Diagnostic::whole(code::UNKNOWN_NAME, "", &message, &mend)]);
        }
        let mut faults = Faults::default();
        let mut extra = Files::default();
        let read = folder::read_file(&path, &path.display().to_string(), &mut faults)
            .and_then(|found| take(&mut extra, self.files.0.len(), found, &mut faults))
            .and_then(|(index, root)| layouts::read(&extra.0[index - self.files.0.len()], index, &root, &mut faults));
        match read {
            Some(mut layout) if faults.is_empty() => {
                layout.extra = extra;
                Ok(layout)
            }
            _ => Err(faults.into_diagnostics(&self.files.with(&extra))),
        }
    }

    /// The tree expanded over a layout, with the layout's limits in force.
    ///
    /// # Errors
    /// What does not hang together in this layout: a cause that no check there can see or no correction cures, access that
    /// is needed open and closed, a limit whose override cannot be, or more than 5,000 nodes or 20,000 edges.
    pub fn expand(&self, layout: &EngineLayout) -> Result<Model, Vec<Diagnostic>> {
        let mut faults = Faults::default();
        let in_force = limits::in_force(&self.declared, &layout.overrides);
        let model = expand::expand(&self.declared, &layout.layout, &in_force, &mut faults);
        match model {
            Some(model) if faults.is_empty() => Ok(model),
            _ => Err(faults.into_diagnostics(&self.files.with(&layout.extra))),
        }
    }

    /// SHA-256 over the bytes of all files in the order of their names, in hexadecimal.
    #[must_use]
    pub fn digest(&self) -> &str {
        &self.digest
    }
}

/// Takes a file in and through the fence. `first` is the index of the first of these files among all.
pub(super) fn take(files: &mut Files, first: usize, found: Found, faults: &mut Faults) -> Option<(usize, Node)> {
    let (text, bad) = fence::text_of(&found.bytes);
    let at = files.add(found.name, text);
    match bad {
        Some(bad) => {
            bad.note(first + at, faults);
            None
        }
        None => fence::read(&files.0[at], first + at, faults).map(|root| (first + at, root)),
    }
}

/// What a file says its format is; nothing where it says none.
pub(super) fn format_of(root: &Node) -> &str {
    match root.get("format").map(|node| &node.kind) {
        Some(super::node::NodeKind::Scalar(text)) => text,
        _ => "",
    }
}

fn digest(found: &[Found]) -> String {
    use std::fmt::Write;
    let mut hash = Sha256::new();
    for file in found {
        hash.update(&file.bytes);
    }
    hash.finalize().iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing into a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}
