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
    next: Next,
}

/// How a prefix goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Next {
    /// The next member is walked at this step.
    Member(usize),
    /// The next member is walked somewhere in the stretch from this step on.
    Within(usize),
    /// There are no more members.
    Nothing,
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
    walk: &'a Walk<B>,
    back: &'a Back,
    kernels: &'a [Kernel<'a, B>],
    /// From each step, the stretch that it is in.
    ahead: Vec<Ahead>,
}

/// What is left of a stretch from one of its steps on, with no new member. A stretch is a closing, or causes walked one after the other.
struct Ahead {
    /// The step behind the stretch.
    end: usize,
    /// For each state, where it goes.
    to: Vec<u32>,
    /// What weights are multiplied by; for each state where an observation is closed.
    by: Vec<f64>,
    /// For each state, the part in which some cause of the stretch is the next member.
    joining: Vec<f64>,
}

/// State transitions a listing may cost: some tens of milliseconds, so that a flat posterior does not hold up the screen.
const MOST_WORK: usize = 300_000;
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
/// Causes walked in one stretch.
const STRETCH: usize = 16;

impl<'a, B: BitSet> Lister<'a, B> {
    pub(super) fn new(walk: &'a Walk<B>, back: &'a Back, kernels: &'a [Kernel<'a, B>]) -> Self {
        let steps = walk.steps.len();
        let mut ahead: Vec<Ahead> = Vec::with_capacity(steps);
        for at in (0..steps).rev() {
            let scale = back.scales[at];
            let states = back.onward[at].len();
            let next = match walk.steps[at] {
                Step::Close(_) => Ahead {
                    end: at + 1,
                    to: (0..states).map(|state| walk.leads[at].closed(index(state))).collect(),
                    by: walk.closing_weights[at].iter().map(|weight| weight / scale).collect(),
                    joining: Vec::new(),
                },
                Step::Walk(cause) => {
                    let idle = kernels[cause].idle().total / scale;
                    let lead = |state| walk.leads[at].walked(index(state)).1.first().copied().unwrap_or(DROPPED);
                    let leads: Vec<u32> = (0..states).map(lead).collect();
                    let joining = back.joining[at].clone();
                    let behind = ahead
                        .last()
                        .filter(|behind| matches!(walk.steps[at + 1], Step::Walk(_)) && behind.end - at <= STRETCH);
                    match behind {
                        None => Ahead { end: at + 1, to: leads, by: vec![idle], joining },
                        Some(behind) => {
                            let on = |lead: &u32| behind.to.get(*lead as usize).copied().unwrap_or(DROPPED);
                            let more = |lead: &u32| behind.joining.get(*lead as usize).copied().unwrap_or(0.0);
                            Ahead {
                                end: behind.end,
                                by: vec![idle * behind.by[0]],
                                joining: joining
                                    .iter()
                                    .zip(&leads)
                                    .map(|(own, lead)| own + idle * more(lead))
                                    .collect(),
                                to: leads.iter().map(on).collect(),
                            }
                        }
                    }
                }
            };
            ahead.push(next);
        }
        ahead.reverse();
        Self { walk, back, kernels, ahead }
    }

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
                Next::Nothing => {
                    let members = &prefixes[candidate.prefix].members;
                    let explanation = self.finish(members, candidate.bound, whole, &mut work);
                    listed += explanation.probability;
                    found.push(explanation);
                    if found.len() >= extent.most || listed >= extent.share {
                        break;
                    }
                }
                Next::Within(from) => {
                    self.look_within(from, candidate.prefix, &prefixes, NOTHING, &mut heap, &mut work);
                }
                Next::Member(step) => {
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
            while next != Next::Nothing {
                let mut ways = BinaryHeap::new();
                match next {
                    Next::Within(from) => {
                        self.look_within(from, 0, std::slice::from_ref(&prefix), 0.0, &mut ways, work);
                    }
                    Next::Member(step) => {
                        prefix = self.extend(&prefix, step, work);
                        self.narrow(&mut prefix);
                        self.look_into(0, std::slice::from_ref(&prefix), 0.0, &mut ways, work);
                    }
                    Next::Nothing => {}
                }
                next = ways.pop().map_or(Next::Nothing, |way| way.next);
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
        self.pass(&mut prefix.table, prefix.at, self.walk.steps.len());
        prefix.table.iter().map(|(_, weight)| weight).sum()
    }

    /// Cuts a prefix down to the states most of its probability goes through. It only chooses members with them.
    fn narrow(&self, prefix: &mut Prefix) {
        let onward = &self.back.onward[prefix.at];
        let share = |(state, weight): &(u32, f64)| weight * onward[*state as usize];
        prefix.table.sort_by(|a, b| share(b).total_cmp(&share(a)));
        prefix.table.truncate(HASTY_STATES);
    }

    /// Finds every way of more than `least` that a prefix can go on: with a next member in each later stretch, or with none.
    fn look_into(
        &self,
        prefix: usize,
        prefixes: &[Prefix],
        least: f64,
        heap: &mut BinaryHeap<Candidate>,
        work: &mut usize,
    ) {
        let mut table = prefixes[prefix].table.clone();
        let mut at = prefixes[prefix].at;
        while let Some(ahead) = self.ahead.get(at) {
            // The probability of everything in which some cause of the stretch is the next member.
            let bound = joining(&table, &ahead.joining);
            *work += table.len();
            if bound > least {
                heap.push(Candidate { bound, prefix, next: Next::Within(at) });
            }
            at = self.pass_stretch(&mut table, at);
        }
        let bound = table.iter().map(|(_, weight)| weight).sum();
        if bound > least {
            heap.push(Candidate { bound, prefix, next: Next::Nothing });
        }
    }

    /// Finds every way of more than `least` that a prefix can go on with a next member in the stretch from a step on.
    fn look_within(
        &self,
        from: usize,
        prefix: usize,
        prefixes: &[Prefix],
        least: f64,
        heap: &mut BinaryHeap<Candidate>,
        work: &mut usize,
    ) {
        let mut table = prefixes[prefix].table.clone();
        self.pass(&mut table, prefixes[prefix].at, from);
        for at in from..self.ahead[from].end {
            let bound = joining(&table, &self.back.joining[at]);
            *work += table.len();
            if bound > least {
                heap.push(Candidate { bound, prefix, next: Next::Member(at) });
            }
            self.pass_step(&mut table, at);
        }
    }

    /// Takes a table from a step to another without a new member.
    fn pass(&self, table: &mut Table, mut from: usize, to: usize) {
        while from < to {
            if self.ahead[from].end <= to {
                from = self.pass_stretch(table, from);
            } else {
                self.pass_step(table, from);
                from += 1;
            }
        }
    }

    /// Takes a table past the stretch from a step on without a new member. Returns the step behind it.
    fn pass_stretch(&self, table: &mut Table, at: usize) -> usize {
        let ahead = &self.ahead[at];
        let alike = ahead.by.first().copied().unwrap_or(0.0);
        let is_closing = matches!(self.walk.steps[at], Step::Close(_));
        table.retain_mut(|(state, weight)| {
            *weight *= if is_closing { ahead.by[*state as usize] } else { alike };
            *state = ahead.to[*state as usize];
            *state != DROPPED && *weight > 0.0
        });
        if is_closing {
            gather(table);
        }
        ahead.end
    }

    /// Takes a table past a step that walks a cause, which is no new member.
    fn pass_step(&self, table: &mut Table, at: usize) {
        let scale = self.back.scales[at];
        table.retain_mut(|(state, weight)| {
            // The first entry is the one in which the cause does nothing.
            let (entries, leads) = self.walk.leads[at].walked(*state);
            let (Some((_, idle)), Some(lead)) = (entries.first(), leads.first()) else { return false };
            *state = *lead;
            *weight *= idle.total / scale;
            *lead != DROPPED && *weight > 0.0
        });
    }

    /// A prefix with the cause walked at `step` as its next member.
    fn extend(&self, prefix: &Prefix, step: usize, work: &mut usize) -> Prefix {
        let mut table = prefix.table.clone();
        self.pass(&mut table, prefix.at, step);
        let mut members = prefix.members.clone();
        let mut with = Table::new();
        if let Step::Walk(cause) = self.walk.steps[step] {
            members.push(cause);
            let scale = self.back.scales[step];
            for (state, weight) in &table {
                let leads = &self.walk.leads[step];
                *work += leads.walked(*state).1.len();
                with.extend(leads.setting(*state).map(|(w, lead)| (lead, weight * w.total / scale)));
            }
            gather(&mut with);
        }
        Prefix { members, at: step + 1, table: with }
    }

    /// A whole explanation of a known probability: goes its way once more, with the standing of each member.
    fn finish(&self, members: &[usize], probability: f64, whole: f64, work: &mut usize) -> Explanation {
        let mut tables: BTreeMap<Vec<Now>, Table> = BTreeMap::from([(Vec::new(), vec![(0, 1.0 / whole)])]);
        let walks = |step: &Step| matches!(step, Step::Walk(cause) if members.contains(cause));
        let mut from = 0;
        for (at, step) in self.walk.steps.iter().enumerate().filter(|(_, step)| walks(step)) {
            let Step::Walk(cause) = step else { continue };
            tables.values_mut().for_each(|table| self.pass(table, from, at));
            *work += tables.values().map(Vec::len).sum::<usize>();
            keep_heaviest(&mut tables, self.kernels[*cause].entries.len());
            tables = self.with_standing(tables, at);
            keep_heaviest(&mut tables, MANY_STEPS);
            from = at + 1;
        }
        tables.values_mut().for_each(|table| self.pass(table, from, self.walk.steps.len()));
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

    fn with_standing(&self, tables: BTreeMap<Vec<Now>, Table>, at: usize) -> BTreeMap<Vec<Now>, Table> {
        let mut next: BTreeMap<Vec<Now>, Table> = BTreeMap::new();
        for (standing, table) in tables {
            let mut by_now = [(Now::Gone, Table::new()), (Now::Asleep, Table::new()), (Now::Awake, Table::new())];
            for (state, weight) in table {
                for (w, lead) in self.walk.leads[at].setting(state) {
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

/// A number of a state.
fn index(state: usize) -> u32 {
    u32::try_from(state).unwrap_or(DROPPED)
}

/// The probability that a table has of what each of its states has so much of.
fn joining(table: &Table, part: &[f64]) -> f64 {
    table.iter().map(|(state, weight)| weight * part.get(*state as usize).copied().unwrap_or(0.0)).sum()
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
