//! The sources as rooms: which file is which module, and what each names.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use crate::names::{Named, Names, names};

/// A source file.
#[derive(Debug)]
pub(crate) struct Source {
    /// Its path below `src`.
    pub(crate) path: PathBuf,
    /// Its module, below the root of the crate.
    pub(crate) module: Named,
    /// Lines.
    pub(crate) lines: usize,
    /// What it names.
    pub(crate) names: Names,
}

impl Source {
    /// The room it is of.
    pub(crate) fn room(&self) -> &str {
        &self.module[0]
    }
}

/// Files of these paths and texts; those for tests, the root and the program's own file left out.
pub(crate) fn parsed(files: &[(PathBuf, String)]) -> Vec<Source> {
    let modules: BTreeSet<Named> = files.iter().filter_map(|(path, _)| module_of(path)).collect();
    let source = |(path, text): &(PathBuf, String)| {
        let module = module_of(path)?;
        let names = names(&module, text, &modules);
        Some(Source { path: path.clone(), lines: text.lines().count(), names, module })
    };
    files.iter().filter_map(source).collect()
}

/// All sources of the program.
pub(crate) fn all() -> Vec<Source> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("src");
    let mut files = Vec::new();
    read(&root, &mut files);
    let files: Vec<_> = files
        .into_iter()
        .map(|path| {
            let text = std::fs::read_to_string(&path).unwrap();
            (path.strip_prefix(&root).unwrap().to_owned(), text)
        })
        .collect();
    parsed(&files)
}

fn read(at: &Path, into: &mut Vec<PathBuf>) {
    for entry in std::fs::read_dir(at).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            read(&path, into);
        } else if path.extension().is_some_and(|e| e == "rs") {
            into.push(path);
        }
    }
}

fn module_of(path: &Path) -> Option<Named> {
    let text = path.with_extension("").to_string_lossy().replace('\\', "/");
    let mut module: Named = text.split('/').map(str::to_owned).collect();
    if module.last().is_some_and(|last| last == "mod") {
        module.pop();
    }
    let is_test = |name: &String| name == "tests" || name.ends_with("_tests");
    let is_door = module.len() == 1 && ["lib", "main"].contains(&module[0].as_str());
    (!is_door && !module.iter().any(is_test)).then_some(module)
}

/// The files of a room and which of the others each uses, by module. What a module only hands on is taken from where it
/// is.
pub(crate) fn inside(room: &str, sources: &[Source]) -> BTreeMap<String, BTreeSet<String>> {
    let by_module: BTreeMap<&[String], &Source> = sources.iter().map(|s| (s.module.as_slice(), s)).collect();
    let mut uses = BTreeMap::new();
    for source in sources.iter().filter(|s| s.room() == room) {
        let used = source.names.used.iter().filter_map(|named| home(named, &by_module, 0));
        let others = used.filter(|of| of[0] == room && *of != source.module).map(|of| of.join("/"));
        uses.insert(source.module.join("/"), others.collect::<BTreeSet<_>>());
    }
    uses
}

/// The module whose file holds what is named.
fn home(named: &[String], by_module: &BTreeMap<&[String], &Source>, hops: usize) -> Option<Named> {
    let path = named.strip_prefix(&["crate".to_owned()])?;
    let at = (1..=path.len()).rev().find(|end| by_module.contains_key(&path[..*end]))?;
    let source = by_module[&path[..at]];
    let Some(name) = path.get(at) else { return Some(source.module.clone()) };
    match source.names.bound.get(name) {
        Some(leads) if hops < 8 => home(leads, by_module, hops + 1),
        _ => Some(source.module.clone()),
    }
}

/// A circle among these, where there is one: each uses the next, and the last the first.
pub(crate) fn circle(uses: &BTreeMap<String, BTreeSet<String>>) -> Option<Vec<String>> {
    let mut done: BTreeSet<&str> = BTreeSet::new();
    for start in uses.keys() {
        if let Some(found) = walk(start, uses, &mut Vec::new(), &mut done) {
            return Some(found);
        }
    }
    None
}

fn walk<'a>(
    at: &'a str,
    uses: &'a BTreeMap<String, BTreeSet<String>>,
    way: &mut Vec<&'a str>,
    done: &mut BTreeSet<&'a str>,
) -> Option<Vec<String>> {
    if let Some(from) = way.iter().position(|before| *before == at) {
        return Some(way[from..].iter().map(|name| (*name).to_owned()).collect());
    }
    if done.contains(at) {
        return None;
    }
    way.push(at);
    for next in uses.get(at).into_iter().flatten() {
        if let Some(found) = walk(next, uses, way, done) {
            return Some(found);
        }
    }
    way.pop();
    done.insert(at);
    None
}
