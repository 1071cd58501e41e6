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
use super::node::{Files, Node, Place};
use super::overlay;
use super::practice;
use super::{embedded, rules, suggest};
use crate::model::{Learnt, Model, Prices};
use crate::study::Study;

/// A tree and the layouts that came with it. Every name in it leads somewhere.
#[derive(Debug, Clone)]
pub struct Library {
    pub(super) files: Files,
    pub(super) declared: Declared,
    layouts: Vec<EngineLayout>,
    /// Figures learnt from records, laid over the tree's.
    learnt: Option<Learnt>,
    /// Sets and lessons for practice.
    pub(super) study: Study,
    digest: String,
    /// A shop's prices, for every model expanded.
    pub(super) prices: Option<Prices>,
}

impl Library {
    /// The tree shipped inside the program.
    ///
    /// # Errors
    /// The faults of the shipped files; a test sees to it that there are none.
    pub fn embedded() -> Result<Self, Vec<Diagnostic>> {
        Self::open(None, None)
    }

    /// The tree in a folder: `*.yaml` its parts, `layouts/*.yaml` its layouts.
    ///
    /// # Errors
    /// All faults of all its files, by file and line.
    pub fn load(dir: &Path) -> Result<Self, Vec<Diagnostic>> {
        Self::open(Some(dir), None)
    }

    /// The tree in a folder, or the one shipped inside the program; with an overlay of learnt figures from a file of its own.
    ///
    /// # Errors
    /// All faults of all the files, by file and line.
    pub fn open(dir: Option<&Path>, learnt: Option<&Path>) -> Result<Self, Vec<Diagnostic>> {
        let mut faults = Faults::default();
        let mut found = match dir {
            Some(dir) => folder::read_folder(dir, &mut faults),
            None => shipped(),
        };
        found.extend(learnt.and_then(|path| folder::read_file(path, &path.display().to_string(), &mut faults)));
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
            learnt: None,
            study: Study::default(),
            digest: digest(&found),
            prices: None,
        };
        let mut overlays: Vec<(usize, Node)> = Vec::new();
        let mut practices: Vec<(usize, Node)> = Vec::new();
        for file in found {
            let Some((index, root)) = take(&mut library.files, 0, file, &mut faults) else { continue };
            let file = &library.files.0[index];
            if format_of(&root) == overlay::LEARNT_FORMAT {
                overlays.push((index, root));
            } else if file.name.starts_with("practice/") || format_of(&root) == practice::PRACTICE_FORMAT {
                practices.push((index, root));
            } else if file.name.starts_with("layouts/") || format_of(&root) == layouts::LAYOUT_FORMAT {
                let read = layouts::read(file, index, &root, &mut faults);
                library.layouts.extend(read);
            } else {
                library.declared.join(file, index, &root, &mut faults);
            }
        }
        let complete = faults.is_empty();
        rules::look(&library.declared, &library.layouts, complete, &mut faults);
        library.look_at_layouts(&mut faults);
        if complete {
            library.lay_over(&overlays, &mut faults);
            library.take_practice(&practices, &mut faults);
        }
        (library, faults)
    }

    /// Takes in the overlay of learnt figures, of which there is at most one.
    fn lay_over(&mut self, overlays: &[(usize, Node)], faults: &mut Faults) {
        if let [(first, root), (second, other), ..] = overlays {
            let place = |file: &usize, root: &Node| Place { file: *file, start: root.start, end: root.start };
            faults.add_twice("overlay", "of learnt figures", place(second, other), place(first, root));
        }
        if let Some((index, root)) = overlays.first() {
            self.learnt = overlay::read(&self.files.0[*index], *index, root, &self.declared, faults);
        }
    }

    /// Takes in the sets and lessons. A name is one set's or lesson's.
    fn take_practice(&mut self, practices: &[(usize, Node)], faults: &mut Faults) {
        for (index, root) in practices {
            let file = &self.files.0[*index];
            let Some(read) = practice::read(file, *index, root, &self.declared, &self.layouts, faults) else {
                continue;
            };
            let place = Place { file: *index, start: root.start, end: root.start };
            for name in read.sets.iter().map(|s| &s.name).filter(|name| self.study.set(name).is_some()) {
                faults.add_twice("set", name, place, place);
            }
            for name in read.lessons.iter().map(|l| &l.name).filter(|name| self.study.lesson(name).is_some()) {
                faults.add_twice("lesson", name, place, place);
            }
            self.study.sets.extend(read.sets);
            self.study.lessons.extend(read.lessons);
        }
    }

    /// Looks at an overlay that did not come with the tree.
    pub(super) fn overlay_file(&self, path: &Path) -> Vec<Diagnostic> {
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        if let Some((index, root)) = self.take_extra(path, &mut extra, &mut faults) {
            overlay::read(&extra.0[index - self.files.0.len()], index, &root, &self.declared, &mut faults);
        }
        faults.into_diagnostics(&self.files.with(&extra))
    }

    /// The learnt figures laid over the tree's, where there are any.
    #[must_use]
    pub fn learnt(&self) -> Option<&Learnt> {
        self.learnt.as_ref()
    }

    /// The same tree with its own figures.
    #[must_use]
    pub fn without_learnt(mut self) -> Self {
        self.learnt = None;
        self
    }

    /// That layouts have names of their own and override limits there are.
    fn look_at_layouts(&self, faults: &mut Faults) {
        for (i, layout) in self.layouts.iter().enumerate() {
            limits::look_at_overrides(&self.declared, &layout.overrides, faults);
            if let Some(first) = self.layouts[..i].iter().find(|l| l.layout.name == layout.layout.name) {
                faults.add_twice("layout", &layout.layout.name, layout.place, first.place);
            }
        }
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

    /// The layout of this name, or in the file at this path. A path has a `/` or a `.` in it.
    ///
    /// # Errors
    /// Where no layout has the name: the known names, and the one perhaps meant. Else the faults of the file.
    pub fn layout(&self, name_or_path: &str) -> Result<EngineLayout, Vec<Diagnostic>> {
        if let Some(layout) = self.known_layout(name_or_path) {
            return Ok(layout.clone());
        }
        if !looks_like_path(name_or_path) {
            let known = self.layout_names().join(", ");
            let near = suggest::nearest(name_or_path, self.layout_names());
            let meant = near.map_or_else(String::new, |near| format!("Did you mean \"{near}\"? "));
            let mend = format!(
                "{meant}The layouts are: {known}. A file of your own is named by its path, such as ./mine.yaml."
            );
            let message = format!("There is no layout named \"{name_or_path}\".");
            return Err(vec![Diagnostic::whole(code::UNKNOWN_NAME, "", &message, &mend)]);
        }
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        let read = self.layout_file(Path::new(name_or_path), &mut extra, &mut faults);
        self.with_extra(read, extra, faults)
    }

    /// The layout of this name among those that came with the tree.
    pub(super) fn known_layout(&self, name: &str) -> Option<&EngineLayout> {
        self.layouts.iter().find(|l| l.layout.name == name)
    }

    /// Reads a layout file that did not come with the tree.
    pub(super) fn layout_file(&self, path: &Path, extra: &mut Files, faults: &mut Faults) -> Option<EngineLayout> {
        let (index, root) = self.take_extra(path, extra, faults)?;
        let layout = layouts::read(&extra.0[index - self.files.0.len()], index, &root, faults)?;
        limits::look_at_overrides(&self.declared, &layout.overrides, faults);
        Some(layout)
    }

    /// Takes in a file that did not come with the tree.
    pub(super) fn take_extra(&self, path: &Path, extra: &mut Files, faults: &mut Faults) -> Option<(usize, Node)> {
        let found = folder::read_file(path, &path.display().to_string(), faults)?;
        take(extra, self.files.0.len(), found, faults)
    }

    /// A layout with the files it was read from, or what is wrong with them.
    fn with_extra(
        &self,
        read: Option<EngineLayout>,
        extra: Files,
        faults: Faults,
    ) -> Result<EngineLayout, Vec<Diagnostic>> {
        match read {
            Some(layout) if faults.is_empty() => Ok(EngineLayout { extra, ..layout }),
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
        limits::look_at_overrides(&self.declared, &layout.overrides, &mut faults);
        let in_force = limits::in_force(&self.declared, &layout.overrides);
        let limits = limits::lower(&self.declared, &in_force, &layout.overrides, &mut faults);
        let model = expand::expand(&self.declared, &layout.layout, &in_force, limits, &mut faults);
        match model {
            Some(model) if faults.is_empty() => {
                let model = Model { prices: self.prices.clone(), ..model };
                Ok(match &self.learnt {
                    Some(learnt) => model.with_learnt(learnt),
                    None => model,
                })
            }
            _ => Err(faults.into_diagnostics(&self.files.with(&layout.extra))),
        }
    }

    /// SHA-256 over the bytes of all files in the order of their names, in hexadecimal. Practice files are left out: they change nothing
    /// that a job works with.
    #[must_use]
    pub fn digest(&self) -> &str {
        &self.digest
    }
}

/// The files of the tree shipped inside the program.
fn shipped() -> Vec<Found> {
    let files = embedded::FILES.iter();
    files.map(|(name, text)| Found { name: (*name).to_string(), bytes: text.as_bytes().to_vec() }).collect()
}

/// Whether a name is the path of a file and not the name of a layout.
pub(super) fn looks_like_path(name: &str) -> bool {
    name.contains(['/', '\\', '.'])
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
    for file in found.iter().filter(|file| !file.name.starts_with("practice/")) {
        hash.update(&file.bytes);
    }
    hash.finalize().iter().fold(String::with_capacity(64), |mut hex, byte| {
        // Writing into a String cannot fail.
        let _ = write!(hex, "{byte:02x}");
        hex
    })
}
