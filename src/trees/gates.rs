//! Effects expanded over the sites, their gates flattened to causes.
//!
//! A member that a layout does not have is never true there: it leaves an "any", and it empties an "all".

use std::collections::HashMap;

use petgraph::algo::toposort;
use petgraph::graph::{DiGraph, NodeIndex};

use super::declared::{Decl, Declared};
use super::faults::{Faults, code};
use super::ground::Ground;
use super::twin::EffectTwin;
use crate::model::{CauseId, Effect, EffectId, Formula, Site};

/// The most causes that all flattened effects of a tree may name together.
const MOST_LEAVES: usize = 200_000;

/// A gate as it is declared.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Gate {
    Any,
    All,
    AtLeast(usize),
}

impl EffectTwin {
    /// The gate, its members, and the path to them. An effect with several gates counts by its first; the rules refuse it.
    pub(super) fn gate(&self) -> (Gate, &[String], &'static str) {
        match (&self.any, &self.all, &self.at_least) {
            (Some(of), _, _) => (Gate::Any, of, "any"),
            (None, Some(of), _) => (Gate::All, of, "all"),
            (None, None, Some(count)) => (Gate::AtLeast(count.count), &count.of, "at-least/of"),
            (None, None, None) => (Gate::Any, &[], ""),
        }
    }
}

/// The effects by name, each after those it is made of; or the names on a way round that never ends.
pub(super) fn in_order(declared: &Declared) -> Result<Vec<usize>, Vec<String>> {
    let mut graph: DiGraph<usize, ()> = DiGraph::new();
    let nodes: Vec<NodeIndex> = (0..declared.effects.items.len()).map(|i| graph.add_node(i)).collect();
    for (i, effect) in declared.effects.items.iter().enumerate() {
        for member in effect.twin.gate().1 {
            if let Some(j) = declared.effects.position(member) {
                graph.update_edge(nodes[j], nodes[i], ());
            }
        }
    }
    if let Ok(order) = toposort(&graph, None) {
        return Ok(order.into_iter().map(|n| graph[n]).collect());
    }
    let rings = petgraph::algo::kosaraju_scc(&graph);
    let ring = rings.into_iter().find(|ring| ring.len() > 1 || graph.contains_edge(ring[0], ring[0]));
    let names = |n: &NodeIndex| declared.effects.items[graph[*n]].name.clone();
    Err(ring.iter().flatten().map(names).collect())
}

/// A member at one site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Member {
    Cause(CauseId),
    Effect(EffectId),
}

/// Where the causes and effects of a tree stand in one layout.
#[derive(Debug, Default)]
pub(super) struct Members {
    /// By the place of the declaration and the site.
    causes: HashMap<(usize, Site), CauseId>,
    effects: HashMap<(usize, Site), EffectId>,
}

impl Members {
    pub(super) fn add_cause(&mut self, declaration: usize, site: Site, id: CauseId) {
        self.causes.insert((declaration, site), id);
    }

    /// The cause of this name at the sites that a reference from `from` means.
    pub(super) fn causes(&self, declared: &Declared, ground: &Ground<'_>, name: &str, from: Site) -> Vec<CauseId> {
        let Some((i, cause)) = declared.causes.position(name).zip(declared.causes.get(name)) else { return Vec::new() };
        ground.related(from, cause.twin.at).iter().filter_map(|site| self.causes.get(&(i, *site)).copied()).collect()
    }

    /// The effect of this name at the sites that a reference from `from` means.
    pub(super) fn effects(&self, declared: &Declared, ground: &Ground<'_>, name: &str, from: Site) -> Vec<EffectId> {
        let Some((i, effect)) = declared.effects.position(name).zip(declared.effects.get(name)) else {
            return Vec::new();
        };
        ground.related(from, effect.twin.at).iter().filter_map(|site| self.effects.get(&(i, *site)).copied()).collect()
    }

    /// All that a member's name means from a site, and how many sites it was asked at.
    fn meant(&self, declared: &Declared, ground: &Ground<'_>, name: &str, from: Site) -> (Vec<Member>, usize) {
        let at = declared.causes.get(name).map(|c| c.twin.at).or(declared.effects.get(name).map(|e| e.twin.at));
        let asked = at.map_or(0, |kind| ground.related(from, kind).len());
        let mut found: Vec<Member> = self.causes(declared, ground, name, from).into_iter().map(Member::Cause).collect();
        found.extend(self.effects(declared, ground, name, from).into_iter().map(Member::Effect));
        (found, asked)
    }
}

/// Expanded effects, each with its members.
#[derive(Debug, Default)]
pub(super) struct Effects {
    pub list: Vec<Effect>,
    pub members: Vec<Vec<Member>>,
}

/// Expands the effects; those that can never be true in this layout are left out.
pub(super) fn expand(declared: &Declared, ground: &Ground<'_>, members: &mut Members, faults: &mut Faults) -> Effects {
    let mut done = Effects::default();
    let mut leaves = 0;
    let Ok(order) = in_order(declared) else { return done };
    for i in order {
        let effect = &declared.effects.items[i];
        for site in ground.places(effect.twin.at, &effect.twin.only) {
            let Some((formula, count, of)) = formula(declared, ground, members, &done, effect, site) else { continue };
            leaves += size(&formula);
            if leaves > MOST_LEAVES {
                faults.add(
                    code::TOO_LARGE,
                    effect.place(),
                    format!("With this effect the effects of the tree come to more than {MOST_LEAVES} causes in all."),
                    "Make its gate smaller, or split the tree.",
                );
                return done;
            }
            members.effects.insert((i, site), EffectId(done.list.len()));
            done.list.push(Effect {
                name: effect.name.clone(),
                site,
                title: effect.twin.title.clone(),
                formula,
                count,
            });
            done.members.push(of);
        }
    }
    done
}

fn formula(
    declared: &Declared,
    ground: &Ground<'_>,
    members: &Members,
    done: &Effects,
    effect: &Decl<EffectTwin>,
    site: Site,
) -> Option<(Formula, usize, Vec<Member>)> {
    let (gate, names, _) = effect.twin.gate();
    let (mut of, mut asked) = (Vec::new(), 0);
    for name in names {
        let (found, sites) = members.meant(declared, ground, name, site);
        of.extend(found);
        asked += sites;
    }
    let count = match gate {
        Gate::Any => 1,
        Gate::All => asked,
        Gate::AtLeast(count) => count,
    };
    if of.is_empty() || count == 0 || count > of.len() {
        return None;
    }
    let parts = of.iter().map(|member| match member {
        Member::Cause(id) => Formula::Any(vec![*id]),
        Member::Effect(id) => done.list[id.0].formula.clone(),
    });
    let formula = if count == 1 { any(parts) } else { Formula::AtLeast { count, of: parts.collect() } };
    Some((formula, count, of))
}

/// A plain or-gate over parts; what is itself an or-gate is taken apart.
fn any(parts: impl Iterator<Item = Formula>) -> Formula {
    let (causes, mut gates) = take_apart(parts);
    match (causes.is_empty(), gates.len()) {
        (_, 0) => Formula::Any(causes),
        (true, 1) => gates.remove(0),
        (true, _) => Formula::AtLeast { count: 1, of: gates },
        (false, _) => {
            gates.insert(0, Formula::Any(causes));
            Formula::AtLeast { count: 1, of: gates }
        }
    }
}

/// The causes, sorted, and the real gates of an or over parts.
pub(super) fn take_apart(parts: impl Iterator<Item = Formula>) -> (Vec<CauseId>, Vec<Formula>) {
    let (mut causes, mut gates): (Vec<CauseId>, Vec<Formula>) = (Vec::new(), Vec::new());
    let mut waiting: Vec<Formula> = parts.collect();
    waiting.reverse();
    while let Some(part) = waiting.pop() {
        match part {
            Formula::Any(more) => causes.extend(more),
            Formula::AtLeast { count: 1, of } => waiting.extend(of.into_iter().rev()),
            gate @ Formula::AtLeast { .. } => {
                if !gates.contains(&gate) {
                    gates.push(gate);
                }
            }
        }
    }
    causes.sort_unstable();
    causes.dedup();
    (causes, gates)
}

/// How many causes a formula names, counted as often as it names them.
fn size(formula: &Formula) -> usize {
    let (mut total, mut waiting) = (0, vec![formula]);
    while let Some(part) = waiting.pop() {
        match part {
            Formula::Any(causes) => total += causes.len(),
            Formula::AtLeast { of, .. } => waiting.extend(of),
        }
    }
    total
}
