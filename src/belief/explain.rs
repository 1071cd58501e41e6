//! The leading explanations: which causes together brought what was found, listed best first.
//!
//! An explanation is the set of causes that set at least one finding. Explanations exclude each other and cover everything,
//! so their probabilities add up to one. They are listed by a best-first search over their members in the order of the walk. Its
//! bound is exact: what is left to come is known for every state from the way back.

use std::cmp::Ordering;
use std::collections::{BTreeMap, BinaryHeap};

use super::bits::BitSet;
use super::eliminate::{Back, DROPPED, Walk};
use super::kernel::Kernel;
use super::schedule::Step;
use super::ways::add_up;

/// Where a member of an explanation stands now.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Now {
    /// Corrected since.
    Gone,
    /// Still there, asleep in this spell.
    Asleep,
    /// Still there and awake in this spell.
    Awake,
}

/// One explanation of what was found.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// The causes that set at least one finding, by index, sorted. None: false alarms only.
    pub causes: Vec<usize>,
    /// Its probability.
    pub probability: f64,
    /// How its members stand now, with the probability of each combination (they add up to `probability`).
    pub now: Vec<(Vec<Now>, f64)>,
}

/// How far to list.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Extent {
    /// At most so many explanations.
    pub most: usize,
    /// Stop when those listed have this much of the probability.
    pub share: f64,
}

/// States, by their place in the table of a step, with their weights.
type Table = Vec<(u32, f64)>;

/// A decided beginning: these members, and none other before step `at`.
#[derive(Clone)]
struct Prefix {
    members: Vec<usize>,
    at: usize,
    table: Table,
}

/// Something to look into, with the probability of everything it can become.
struct Candidate {
    bound: f64,
    prefix: usize,
    /// The step that walks the next member; none: no more members.
    next: Option<usize>,
}

impl PartialEq for Candidate {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}
impl Eq for Candidate {}
impl PartialOrd for Candidate {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}
impl Ord for Candidate {
    fn cmp(&self, other: &Self) -> Ordering {
        // Alike bounds: the earlier one first, so that the list is the same on every run.
        let order = |c: &Self| (std::cmp::Reverse(c.prefix), std::cmp::Reverse(c.next));
        self.bound.total_cmp(&other.bound).then_with(|| order(self).cmp(&order(other)))
    }
}

pub(super) struct Lister<'a, B> {
    pub(super) walk: &'a Walk,
    pub(super) back: &'a Back,
    pub(super) kernels: &'a [Kernel<'a, B>],
}

/// State transitions a listing may cost: some tens of milliseconds, so that a flat posterior does not hold up the screen.
const MOST_WORK: usize = 6_000_000;
/// Ways in which the members of one explanation can stand; the lightest beyond it are shared out over the rest.
const MOST_STANDINGS: usize = 64;
/// Transitions that all standings together should not go far beyond in a step, so that large tables allow fewer standings.
const STANDING_TRANSITIONS: usize = 1 << 20;
/// Explanations completed in haste once the work is used up, so that a listing is never empty.
const MOST_HASTY: usize = 12;
/// States that lead the way when an explanation is completed in haste.
const HASTY_STATES: usize = 256;
/// Ways on that stand for the many steps a table still has to pass.
const MANY_STEPS: usize = 64;
/// What is too little to be told from rounding, as a probability.
const NOTHING: f64 = 1e-13;

impl<B: BitSet> Lister<'_, B> {
    pub(super) fn list(&self, extent: Extent) -> Vec<Explanation> {
        let whole = self.back.onward[0].first().copied().unwrap_or(0.0);
        let mut found: Vec<Explanation> = Vec::new();
        if whole <= 0.0 {
            return found;
        }
        let mut work = 0;
        let mut heap = BinaryHeap::new();
        let mut prefixes = vec![Prefix { members: Vec::new(), at: 0, table: vec![(0, 1.0 / whole)] }];
        self.look_into(0, &prefixes, NOTHING, &mut heap, &mut work);
        let mut listed = 0.0;
        while let Some(candidate) = heap.pop() {
            match candidate.next {
                None => {
                    let members = &prefixes[candidate.prefix].members;
                    let explanation = self.finish(members, candidate.bound, whole, &mut work);
                    listed += explanation.probability;
                    found.push(explanation);
                    if found.len() >= extent.most || listed >= extent.share {
                        break;
                    }
                }
                Some(step) => {
                    prefixes.push(self.extend(&prefixes[candidate.prefix], step, &mut work));
                    self.look_into(prefixes.len() - 1, &prefixes, NOTHING, &mut heap, &mut work);
                }
            }
            if work > MOST_WORK {
                self.hasten(&mut heap, &prefixes, whole, &mut work, &mut found);
                break;
            }
        }
        found.sort_by(|a, b| b.probability.total_cmp(&a.probability));
        found
    }

    /// Completes the best candidates by the best next member each time. Candidates hold nothing in common, so no explanation comes twice.
    fn hasten(
        &self,
        heap: &mut BinaryHeap<Candidate>,
        prefixes: &[Prefix],
        whole: f64,
        work: &mut usize,
        found: &mut Vec<Explanation>,
    ) {
        let most = *work + MOST_WORK;
        for _ in found.len()..MOST_HASTY {
            let Some(candidate) = heap.pop() else { return };
            let mut prefix = prefixes[candidate.prefix].clone();
            self.narrow(&mut prefix);
            let mut next = candidate.next;
            while let Some(step) = next {
                prefix = self.extend(&prefix, step, work);
                self.narrow(&mut prefix);
                let mut ways = BinaryHeap::new();
                self.look_into(0, std::slice::from_ref(&prefix), 0.0, &mut ways, work);
                next = ways.pop().and_then(|way| way.next);
            }
            let probability = self.probability(&prefix.members, whole, work);
            if probability > 0.0 {
                found.push(self.finish(&prefix.members, probability, whole, work));
            }
            if *work > most {
                return;
            }
        }
    }

    /// The probability of an explanation, all states kept.
    fn probability(&self, members: &[usize], whole: f64, work: &mut usize) -> f64 {
        let mut prefix = Prefix { members: Vec::new(), at: 0, table: vec![(0, 1.0 / whole)] };
        for (at, step) in self.walk.steps.iter().enumerate() {
            if matches!(step, Step::Walk(cause) if members.contains(cause)) {
                prefix = self.extend(&prefix, at, work);
            }
        }
        (prefix.at..self.walk.steps.len()).for_each(|at| self.pass(&mut prefix.table, at));
        prefix.table.iter().map(|(_, weight)| weight).sum()
    }

    /// Cuts a prefix down to the states most of its probability goes through. It only chooses members with them.
    fn narrow(&self, prefix: &mut Prefix) {
        let onward = &self.back.onward[prefix.at];
        let share = |(state, weight): &(u32, f64)| weight * onward[*state as usize];
        prefix.table.sort_by(|a, b| share(b).total_cmp(&share(a)));
        prefix.table.truncate(HASTY_STATES);
    }

    /// Finds every way of more than `least` that a prefix can go on: with each later cause as its next member, or with none.
    fn look_into(
        &self,
        prefix: usize,
        prefixes: &[Prefix],
        least: f64,
        heap: &mut BinaryHeap<Candidate>,
        work: &mut usize,
    ) {
        let mut table = prefixes[prefix].table.clone();
        for at in prefixes[prefix].at..self.walk.steps.len() {
            if let Step::Walk(_) = self.walk.steps[at] {
                let joining = &self.back.joining[at];
                // The probability of everything in which the cause walked here is the next member.
                let bound: f64 = table.iter().map(|(state, weight)| weight * joining[*state as usize]).sum();
                *work += table.len();
                if bound > least {
                    heap.push(Candidate { bound, prefix, next: Some(at) });
                }
            }
            self.pass(&mut table, at);
        }
        let bound = table.iter().map(|(_, weight)| weight).sum();
        if bound > least {
            heap.push(Candidate { bound, prefix, next: None });
        }
    }

    /// Takes a table past a step without a new member.
    fn pass(&self, table: &mut Table, at: usize) {
        let leads = &self.walk.leads[at];
        match self.walk.steps[at] {
            Step::Walk(cause) => {
                let kernel = &self.kernels[cause];
                // The entry without bits comes first, where there is one.
                let idle = kernel.idle().total / self.back.scales[at];
                table.retain_mut(|(state, weight)| {
                    let lead = leads.by(*state, 0, kernel.entries.len(), &B::empty());
                    *state = lead;
                    *weight *= idle;
                    lead != DROPPED && *weight > 0.0
                });
            }
            Step::Close(_) => {
                let weights = &self.walk.closing_weights[at];
                for (state, weight) in table.iter_mut() {
                    *weight *= weights[*state as usize] / self.back.scales[at];
                    *state = leads.closed(*state);
                }
                table.retain(|(state, weight)| *state != DROPPED && *weight > 0.0);
                gather(table);
            }
        }
    }

    /// A prefix with the cause walked at `step` as its next member.
    fn extend(&self, prefix: &Prefix, step: usize, work: &mut usize) -> Prefix {
        let mut table = prefix.table.clone();
        (prefix.at..step).for_each(|at| self.pass(&mut table, at));
        let mut members = prefix.members.clone();
        let mut with = Table::new();
        if let Step::Walk(cause) = self.walk.steps[step] {
            members.push(cause);
            let entries = &self.kernels[cause].entries;
            *work += table.len() * entries.len();
            for (state, weight) in &table {
                for (entry, (bits, w)) in entries.iter().enumerate().filter(|(_, (bits, _))| !bits.is_empty()) {
                    let lead = self.walk.leads[step].by(*state, entry, entries.len(), bits);
                    if lead != DROPPED {
                        with.push((lead, weight * w.total / self.back.scales[step]));
                    }
                }
            }
            gather(&mut with);
        }
        Prefix { members, at: step + 1, table: with }
    }

    /// A whole explanation of a known probability: goes its way once more, with the standing of each member.
    fn finish(&self, members: &[usize], probability: f64, whole: f64, work: &mut usize) -> Explanation {
        let mut tables: BTreeMap<Vec<Now>, Table> = BTreeMap::from([(Vec::new(), vec![(0, 1.0 / whole)])]);
        for (at, step) in self.walk.steps.iter().enumerate() {
            *work += tables.values().map(Vec::len).sum::<usize>();
            match step {
                Step::Walk(cause) if members.contains(cause) => {
                    keep_heaviest(&mut tables, self.kernels[*cause].entries.len());
                    tables = self.with_standing(tables, at, *cause);
                    keep_heaviest(&mut tables, MANY_STEPS);
                }
                _ => tables.values_mut().for_each(|table| self.pass(table, at)),
            }
        }
        let mut order: Vec<usize> = (0..members.len()).collect();
        order.sort_by_key(|i| members[*i]);
        let mut now: Vec<(Vec<Now>, f64)> = tables
            .into_iter()
            .map(|(standing, table)| {
                let weight = table.iter().map(|(_, w)| w).sum();
                (order.iter().map(|i| standing[*i]).collect(), weight)
            })
            .filter(|(_, weight)| *weight > 0.0)
            .collect();
        // Standings that were dropped leave theirs to the others, some of which promise more than they did: the sum is set right here.
        let kept: f64 = now.iter().map(|(_, p)| p).sum();
        now.iter_mut().for_each(|(_, p)| *p *= probability / kept);
        Explanation { causes: order.iter().map(|i| members[*i]).collect(), probability, now }
    }

    fn with_standing(&self, tables: BTreeMap<Vec<Now>, Table>, at: usize, cause: usize) -> BTreeMap<Vec<Now>, Table> {
        let entries = &self.kernels[cause].entries;
        let mut next: BTreeMap<Vec<Now>, Table> = BTreeMap::new();
        for (standing, table) in tables {
            let mut by_now = [(Now::Gone, Table::new()), (Now::Asleep, Table::new()), (Now::Awake, Table::new())];
            for (state, weight) in table {
                for (entry, (bits, w)) in entries.iter().enumerate().filter(|(_, (bits, _))| !bits.is_empty()) {
                    let lead = self.walk.leads[at].by(state, entry, entries.len(), bits);
                    if lead == DROPPED {
                        continue;
                    }
                    let parts = [w.total - w.present, w.present - w.awake, w.awake];
                    for ((_, table), part) in by_now.iter_mut().zip(parts).filter(|(_, part)| *part > 0.0) {
                        table.push((lead, weight * part / self.back.scales[at]));
                    }
                }
            }
            // No two standings become one by what comes behind them.
            for (now, mut table) in by_now.into_iter().filter(|(_, table)| !table.is_empty()) {
                gather(&mut table);
                next.insert(standing.iter().copied().chain([now]).collect(), table);
            }
        }
        next
    }
}

/// Drops the lightest standings past the limit for tables whose states each go `ways` ways, and shares their weight out over those kept.
fn keep_heaviest(tables: &mut BTreeMap<Vec<Now>, Table>, ways: usize) {
    let widest = tables.values().map(Vec::len).max().unwrap_or(1).max(1);
    let most = (STANDING_TRANSITIONS / (widest * ways.max(1))).clamp(4, MOST_STANDINGS);
    if tables.len() <= most {
        return;
    }
    let of = |table: &Table| table.iter().map(|(_, weight)| weight).sum::<f64>();
    let mut weights: Vec<f64> = tables.values().map(of).collect();
    let whole: f64 = weights.iter().sum();
    weights.sort_by(|a, b| b.total_cmp(a));
    let least = weights[most];
    if weights[0] <= least {
        // All alike: any will do.
        let past: Vec<Vec<Now>> = tables.keys().skip(most).cloned().collect();
        past.iter().for_each(|standing| drop(tables.remove(standing)));
    } else {
        tables.retain(|_, table| of(table) > least);
    }
    let kept: f64 = tables.values().map(of).sum();
    if kept > 0.0 {
        tables.values_mut().flatten().for_each(|(_, weight)| *weight *= whole / kept);
    }
}

/// Sums the weights of each state.
fn gather(table: &mut Table) {
    table.sort_unstable_by_key(|(state, _)| *state);
    add_up(table, |kept, next| *kept += next);
}
