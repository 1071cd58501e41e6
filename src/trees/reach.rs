//! Access states expanded over the sites, with what each needs in turn and what it shuts out.

use std::collections::{BTreeSet, HashMap};

use super::declared::Declared;
use super::ground::Ground;
use super::lower;
use crate::model::{Access, AccessId, Site};

/// Access states of one layout.
#[derive(Debug, Default)]
pub(super) struct Reach {
    pub list: Vec<Access>,
    by_place: HashMap<(usize, Site), AccessId>,
}

impl Reach {
    /// Expands the access states.
    pub(super) fn expand(declared: &Declared, ground: &Ground<'_>) -> Self {
        let mut reach = Self::default();
        let mut all_of: HashMap<&str, Vec<AccessId>> = HashMap::new();
        for (i, state) in declared.access.items.iter().enumerate() {
            for site in ground.places(state.twin.at, &state.twin.only) {
                let id = AccessId(reach.list.len());
                reach.by_place.insert((i, site), id);
                all_of.entry(&state.name).or_default().push(id);
                reach.list.push(Access {
                    name: state.name.clone(),
                    site,
                    title: state.twin.title.clone(),
                    closing: state.twin.closing.clone(),
                    open: state.twin.open,
                    close: state.twin.close,
                    needs: Vec::new(),
                    not_with: Vec::new(),
                    warning: state.twin.warns.map(Into::into),
                    stays_open_in: state.twin.stays_open_in.iter().map(|mode| (*mode).into()).collect(),
                    upsets: Vec::new(),
                    owes: Vec::new(),
                    owes_before_run: Vec::new(),
                    hazards: lower::hazard_ids(declared, &state.twin.hazards),
                });
            }
        }
        // What shuts a state out is shut out by it too.
        let mut shut: BTreeSet<(AccessId, AccessId)> = BTreeSet::new();
        for i in 0..reach.list.len() {
            let id = AccessId(i);
            let Some(state) = declared.access.get(&reach.list[i].name) else { continue };
            reach.list[i].needs = reach.named(declared, ground, &state.twin.needs, reach.list[i].site);
            for other in state.twin.not_with.iter().filter_map(|name| all_of.get(name.as_str())).flatten() {
                shut.insert((id, *other));
                shut.insert((*other, id));
            }
        }
        for (id, other) in shut {
            reach.list[id.0].not_with.push(other);
        }
        reach
    }

    /// The states that names mean from a site, sorted.
    fn named(&self, declared: &Declared, ground: &Ground<'_>, names: &[String], from: Site) -> Vec<AccessId> {
        let mut found = BTreeSet::new();
        for name in names {
            let Some((i, state)) = declared.access.position(name).zip(declared.access.get(name)) else { continue };
            for from in from.parts() {
                let sites = ground.related(from, state.twin.at);
                found.extend(sites.iter().filter_map(|site| self.by_place.get(&(i, *site))));
            }
        }
        found.into_iter().collect()
    }

    /// The states that must be open, with what they need in turn, sorted.
    pub(super) fn open(&self, declared: &Declared, ground: &Ground<'_>, names: &[String], from: Site) -> Vec<AccessId> {
        let mut waiting = self.named(declared, ground, names, from);
        let mut found = BTreeSet::new();
        while let Some(id) = waiting.pop() {
            if found.insert(id) {
                waiting.extend(&self.list[id.0].needs);
            }
        }
        found.into_iter().collect()
    }

    /// The states that must be closed: those named, and those that the open ones shut out; sorted.
    pub(super) fn closed(
        &self,
        declared: &Declared,
        ground: &Ground<'_>,
        names: &[String],
        from: Site,
        open: &[AccessId],
    ) -> Vec<AccessId> {
        let mut found: BTreeSet<AccessId> = self.named(declared, ground, names, from).into_iter().collect();
        found.extend(open.iter().flat_map(|id| self.list[id.0].not_with.iter().copied()));
        found.into_iter().collect()
    }
}
