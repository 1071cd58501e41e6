//! Looking for faults in a folder or in single files, for those who write trees.

use std::collections::HashSet;
use std::path::{Path, PathBuf};

use super::cards::{self, Day};
use super::craft;
use super::diagnostic::Diagnostic;
use super::faults::Faults;
use super::folder;
use super::layouts::LAYOUT_FORMAT;
use super::library::{Library, format_of, take};
use super::node::Files;
use super::overlay::LEARNT_FORMAT;
use super::practice::PRACTICE_FORMAT;
use super::prices;
use crate::model::{Cause, Model};
use crate::study::Lesson;

/// What is asked of the rooms above: how likely a cause is, and whether a practice engine can be dealt. Trees know
/// neither.
#[allow(missing_debug_implementations)]
pub struct Above<'a> {
    /// The chance that a cause is there at the end of a window nobody knows better, 0 to 1.
    pub prior: &'a dyn Fn(&Cause) -> f64,
    /// Whether the fault of a lesson brings its complaint on the engine of its layout.
    pub goes: &'a dyn Fn(Model, &Lesson) -> bool,
}

/// All faults of a trees folder, or of files taken together. Tree files among them make up one tree, with the layouts
/// among them. Layouts, aircraft cards, overlays and shop files without a tree beside them are held against `tree`.
/// `today` is what the dates of cards are compared with.
///
/// Unlike [`Library::load`] it also expands each layout, and so finds what only shows there; and where a tree has no
/// fault it gives the warnings of an experienced eye.
pub fn lint(paths: &[PathBuf], tree: Option<&Library>, today: Day, above: &Above<'_>) -> Vec<Diagnostic> {
    let mut faults = Faults::default();
    let (mut parts, mut layouts, mut aircraft) = (Vec::new(), Vec::new(), Vec::new());
    let (mut overlays, mut shops, mut practices) = (Vec::new(), Vec::new(), Vec::new());
    for path in paths {
        if path.is_dir() {
            parts.extend(folder::read_folder(path, &mut faults));
        } else if let Some(found) = folder::read_file(path, &path.display().to_string(), &mut faults) {
            // A first look, only to sort the files; what is wrong with them is noted by the second.
            let format = take(&mut Files::default(), 0, found.clone(), &mut Faults::default())
                .map(|(_, root)| format_of(&root).to_string());
            match format.as_deref() {
                Some(LAYOUT_FORMAT) => layouts.push((path, found)),
                Some(cards::AIRCRAFT_FORMAT) => aircraft.push(path),
                Some(LEARNT_FORMAT) => overlays.push((path, found)),
                Some(PRACTICE_FORMAT) => practices.push((path, found)),
                Some(prices::SHOP_FORMAT) => shops.push(path),
                _ => parts.push(found),
            }
        }
    }
    if parts.is_empty()
        && let Some(tree) = tree
    {
        let mut all = faults.into_diagnostics(&Files::default());
        all.extend(layouts.iter().flat_map(|(path, _)| one_layout(tree, path)));
        all.extend(aircraft.iter().flat_map(|path| one_card(tree, path, today)));
        all.extend(overlays.iter().flat_map(|(path, _)| tree.overlay_file(path)));
        all.extend(practices.iter().flat_map(|(path, _)| tree.practice_file(path)));
        all.extend(shops.iter().filter_map(|path| tree.prices(path).err()).flatten());
        return all;
    }
    parts.extend(layouts.into_iter().chain(overlays).chain(practices).map(|(_, found)| found));
    let mut all = faults.into_diagnostics(&Files::default());
    if parts.is_empty() && aircraft.is_empty() && shops.is_empty() {
        return all;
    }
    parts.sort_by(|a, b| a.name.cmp(&b.name));
    let (library, found) = Library::read(parts);
    if !found.is_empty() {
        all.extend(found.into_diagnostics(&library.files));
        return all;
    }
    all.extend(library.lint(above));
    all.extend(aircraft.iter().flat_map(|path| one_card(&library, path, today)));
    all.extend(shops.iter().filter_map(|path| library.prices(path).err()).flatten());
    once(all)
}

impl Library {
    /// What only shows in one of the layouts; where nothing does, the warnings.
    #[must_use]
    pub fn lint(&self, above: &Above<'_>) -> Vec<Diagnostic> {
        let (mut models, mut faults) = (Vec::new(), Vec::new());
        faults.extend(self.lessons_that_do_not_go(above));
        for layout in self.layouts() {
            match self.expand(layout) {
                Ok(model) => models.push(model),
                Err(found) => faults.extend(found),
            }
        }
        if faults.is_empty() { craft::look(self, &models, above) } else { faults }
    }
}

/// Each fault once: what is wrong in several layouts is found in each.
fn once(all: Vec<Diagnostic>) -> Vec<Diagnostic> {
    let mut seen = HashSet::new();
    all.into_iter().filter(|d| seen.insert((d.code, d.file.clone(), d.line, d.column, d.message.clone()))).collect()
}

fn one_layout(tree: &Library, path: &Path) -> Vec<Diagnostic> {
    let (mut faults, mut extra) = (Faults::default(), Files::default());
    match tree.layout_file(path, &mut extra, &mut faults) {
        Some(layout) if faults.is_empty() => {
            tree.expand(&super::EngineLayout { extra, ..layout }).err().unwrap_or_default()
        }
        _ => faults.into_diagnostics(&tree.files.with(&extra)),
    }
}

fn one_card(tree: &Library, path: &Path, today: Day) -> Vec<Diagnostic> {
    match tree.aircraft(path, today) {
        Ok((_, layout)) => tree.expand(&layout).err().unwrap_or_default(),
        Err(faults) => faults,
    }
}
