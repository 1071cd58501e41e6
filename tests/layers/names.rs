//! What a source file names, by a real parse: grouped and renamed imports, `super` at any depth, paths inside
//! expressions, types and patterns, and what stands in the tokens of macros. Code under `cfg(test)` is left out.

use std::collections::{BTreeMap, BTreeSet};

use syn::visit::{self, Visit};

/// A path from the root of the crate (`crate`, then names), or of another crate as it is written; a macro ends in `!`.
pub(crate) type Named = Vec<String>;

/// What one file names.
#[derive(Debug, Default)]
pub(crate) struct Names {
    /// Every path.
    pub(crate) all: BTreeSet<Named>,
    /// The same without what a `pub use` only hands on: a door is no user.
    pub(crate) used: BTreeSet<Named>,
    /// What the file's own module binds by `use`: name and where it leads.
    pub(crate) bound: BTreeMap<String, Named>,
}

/// The names in a file of this module (path below the crate's root) among `modules`.
pub(crate) fn names(module: &[String], code: &str, modules: &BTreeSet<Named>) -> Names {
    let file = syn::parse_file(code).unwrap_or_else(|fault| panic!("{module:?} cannot be parsed: {fault}"));
    let mut reader = Reader { module: module.to_vec(), depth: 0, modules, names: Names::default(), hands_on: false };
    reader.visit_file(&file);
    reader.names
}

struct Reader<'a> {
    module: Vec<String>,
    /// How many inline modules deep.
    depth: usize,
    modules: &'a BTreeSet<Named>,
    names: Names,
    hands_on: bool,
}

impl Reader<'_> {
    /// A path as written, from the root of the crate where it is of this crate.
    fn resolved(&self, written: &[String]) -> Named {
        let from_root = |module: &[String], rest: &[String]| {
            let start = std::iter::once("crate".to_owned());
            start.chain(module.iter().cloned()).chain(rest.iter().cloned()).collect()
        };
        match written.split_first() {
            Some((first, rest)) if first == "self" => from_root(&self.module, rest),
            Some((first, _)) if first == "super" => {
                let ups = written.iter().take_while(|name| *name == "super").count();
                let left = self.module.len().saturating_sub(ups);
                from_root(&self.module[..left], &written[ups..])
            }
            // A module declared here may be named without `self`.
            Some((first, _)) if first != "crate" => {
                let here = from_root(&self.module, std::slice::from_ref(first));
                if self.modules.contains(&here[1..]) { from_root(&self.module, written) } else { written.to_vec() }
            }
            _ => written.to_vec(),
        }
    }

    fn note(&mut self, written: &[String]) {
        let named = self.resolved(written);
        if !self.hands_on {
            self.names.used.insert(named.clone());
        }
        self.names.all.insert(named);
    }

    fn tree(&mut self, before: &[String], tree: &syn::UseTree) {
        let with = |name: String| before.iter().cloned().chain([name]).collect::<Vec<_>>();
        match tree {
            syn::UseTree::Path(path) => self.tree(&with(path.ident.to_string()), &path.tree),
            syn::UseTree::Group(group) => group.items.iter().for_each(|item| self.tree(before, item)),
            syn::UseTree::Glob(_) => self.note(before),
            syn::UseTree::Name(name) if name.ident == "self" => self.leaf(before, before.last().cloned()),
            syn::UseTree::Name(name) => self.leaf(&with(name.ident.to_string()), Some(name.ident.to_string())),
            syn::UseTree::Rename(name) if name.ident == "self" => self.leaf(before, Some(name.rename.to_string())),
            syn::UseTree::Rename(name) => self.leaf(&with(name.ident.to_string()), Some(name.rename.to_string())),
        }
    }

    fn leaf(&mut self, written: &[String], name: Option<String>) {
        self.note(written);
        if let Some(name) = name.filter(|_| self.depth == 0) {
            let named = self.resolved(written);
            self.names.bound.insert(name, named);
        }
    }

    /// Paths of this crate in the tokens of a macro, which are no syntax yet.
    fn tokens(&mut self, text: &str) {
        let squeezed = text.replace(" ::", "::").replace(":: ", "::");
        let is_name = |c: char| c.is_alphanumeric() || c == '_';
        for piece in squeezed.split(|c: char| !is_name(c) && c != ':') {
            let path: Vec<String> = piece.split("::").map(str::to_owned).collect();
            if path.len() > 1 && path.iter().all(|name| !name.is_empty() && name.chars().all(is_name)) {
                self.note(&path);
            }
        }
    }
}

fn is_for_tests(attributes: &[syn::Attribute]) -> bool {
    attributes.iter().any(|a| match &a.meta {
        syn::Meta::List(list) => a.path().is_ident("cfg") && list.tokens.to_string() == "test",
        _ => false,
    })
}

impl<'ast> Visit<'ast> for Reader<'_> {
    fn visit_item_mod(&mut self, item: &'ast syn::ItemMod) {
        if is_for_tests(&item.attrs) {
            return;
        }
        if item.content.is_some() {
            self.module.push(item.ident.to_string());
            self.depth += 1;
            visit::visit_item_mod(self, item);
            self.depth -= 1;
            self.module.pop();
        }
    }

    fn visit_item_use(&mut self, item: &'ast syn::ItemUse) {
        if is_for_tests(&item.attrs) {
            return;
        }
        self.hands_on = !matches!(item.vis, syn::Visibility::Inherited);
        self.tree(&[], &item.tree);
        self.hands_on = false;
    }

    fn visit_item_fn(&mut self, item: &'ast syn::ItemFn) {
        if !is_for_tests(&item.attrs) {
            visit::visit_item_fn(self, item);
        }
    }

    fn visit_item_impl(&mut self, item: &'ast syn::ItemImpl) {
        if !is_for_tests(&item.attrs) {
            visit::visit_item_impl(self, item);
        }
    }

    /// How far something is seen is no use of it.
    fn visit_visibility(&mut self, _: &'ast syn::Visibility) {}

    fn visit_path(&mut self, path: &'ast syn::Path) {
        let written: Vec<String> = path.segments.iter().map(|s| s.ident.to_string()).collect();
        if written.len() > 1 {
            self.note(&written);
        }
        visit::visit_path(self, path);
    }

    fn visit_macro(&mut self, item: &'ast syn::Macro) {
        if let Some(last) = item.path.segments.last() {
            let name = format!("{}!", last.ident);
            self.names.used.insert(vec![name.clone()]);
            self.names.all.insert(vec![name]);
        }
        self.tokens(&item.tokens.to_string());
        visit::visit_macro(self, item);
    }
}
