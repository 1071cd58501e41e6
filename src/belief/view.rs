//! What a cause can still add to a state: its kernel, with what is set already left out of the bits.
//!
//! Entries that add the same bits are one, so that a state with most findings explained has few ways to go on.

use super::bits::{BitMap, BitSet};
use super::kernel::{Kernel, Weights};

/// What can become no more than this share of what the best entry of a view can become is not followed from any state.
const NEXT_TO_NOTHING: f64 = 1e-12;
/// Up to so many bits, the sets of them are told apart by a table of all of them; past it, by hashing.
const MOST_DENSE: usize = 12;

/// A kernel as states see it that have set the same of its bits.
pub(super) struct View<B> {
    /// Bits added, with weights. The first is the cause doing nothing; the others set something, though it may be set already.
    pub(super) entries: Vec<(B, Weights)>,
    /// For each entry of the kernel, its place among these; [`NOWHERE`] where it is not followed.
    places: Vec<u32>,
    /// For each but the first, its share of what the kernel can become at the most, the greatest first; empty where nothing is to be dropped.
    shares: Vec<f64>,
    /// The shares from each of these on, and of what is not followed at all; one more at the end.
    shares_from: Vec<f64>,
}

const NOWHERE: u32 = u32::MAX;

/// How much likelier what follows may become by each bit of a kernel, and log of all that the kernel can become so.
pub(super) struct Tilt<B> {
    pub(super) bits: Vec<(B, f64)>,
    pub(super) log_sum: f64,
}

impl<B: BitSet> Tilt<B> {
    /// How much likelier what follows may become by these bits.
    fn by(&self, set: &B) -> f64 {
        self.bits.iter().filter(|(bit, _)| set.union(*bit) == *set).map(|(_, by)| by).product()
    }
}

/// A kernel ready to be seen from states.
pub(super) struct Views<'a, B> {
    kernel: &'a Kernel<'a, B>,
    /// Everything that the kernel can set.
    whole: B,
    /// The bits of the kernel, each as a set.
    bits: Vec<B>,
    /// For each entry, its bits as places among those.
    local: Vec<usize>,
    /// For each set of places, how much likelier what follows may become by it over all that the kernel can become.
    tilts: Option<Vec<f64>>,
    tilt: Option<Tilt<B>>,
    known: BitMap<B, u32>,
    /// The view of states from which nothing is worth following but that the cause does nothing.
    idle: Option<u32>,
    /// The share of all that the kernel can become in which it sets something.
    set: f64,
    /// For each set of places, the entry of the view that is made, where it has one.
    found: Vec<u32>,
    pub(super) made: Vec<View<B>>,
}

impl<'a, B: BitSet> Views<'a, B> {
    pub(super) fn of(kernel: &'a Kernel<'a, B>, slots: usize, tilt: Option<Tilt<B>>) -> Self {
        let whole = kernel.entries.iter().fold(B::empty(), |whole, (bits, _)| whole.union(*bits));
        let single = |slot: usize| {
            let mut bit = B::empty();
            bit.insert(slot);
            bit
        };
        let bits: Vec<B> = (0..slots).filter(|slot| whole.has(*slot)).map(single).collect();
        let dense = bits.len() <= MOST_DENSE;
        let local = |(set, _): &(B, Weights)| -> usize {
            bits.iter().enumerate().filter(|(_, bit)| set.union(**bit) == *set).map(|(at, _)| 1 << at).sum()
        };
        let local = if dense { kernel.entries.iter().map(local).collect() } else { Vec::new() };
        let found = vec![NOWHERE; if dense { 1 << bits.len() } else { 0 }];
        let tilts = tilt.as_ref().filter(|_| dense).map(|tilt| {
            let each: Vec<f64> = bits.iter().map(|bit| tilt.by(bit)).collect();
            let mut tilts = vec![(-tilt.log_sum).exp(); found.len()];
            for set in 1..found.len() {
                tilts[set] = tilts[set & (set - 1)] * each[set.trailing_zeros() as usize];
            }
            tilts
        });
        let mut views = Self {
            kernel,
            whole,
            bits,
            local,
            tilts,
            tilt,
            known: BitMap::default(),
            idle: None,
            set: 1.0,
            found,
            made: Vec::new(),
        };
        let sets = kernel.entries.iter().enumerate().filter(|(_, (bits, _))| !bits.is_empty());
        views.set = sets.map(|(at, (bits, w))| w.total * views.tilted(at, bits)).sum();
        views
    }

    /// The share of all that the kernel can become in which it sets something.
    pub(super) fn set(&self) -> f64 {
        self.set
    }

    /// How much likelier what follows may become by an entry, over all that the kernel can become.
    fn tilted(&self, at: usize, bits: &B) -> f64 {
        match (&self.tilts, &self.tilt) {
            (Some(tilts), _) => tilts[self.local[at]],
            (None, Some(tilt)) => (-tilt.log_sum).exp() * tilt.by(bits),
            (None, None) => 1.0,
        }
    }

    /// The view that a state of such promise has, where what promises less than `least` will hardly be followed.
    pub(super) fn seen_from(&mut self, state: &B, promise: f64, least: f64) -> u32 {
        if promise * self.set < least {
            let at = place(self.made.len());
            let made = &mut self.made;
            return *self.idle.get_or_insert_with(|| {
                made.push(View::idle(self.kernel, self.set));
                at
            });
        }
        let new = self.whole.without(*state);
        if let Some(known) = self.known.get(&new) {
            return *known;
        }
        let view = if self.found.is_empty() { self.sparse(state) } else { self.dense(&new) };
        let at = place(self.made.len());
        self.made.push(view);
        self.known.insert(new, at);
        at
    }

    fn dense(&mut self, new: &B) -> View<B> {
        let mask: usize =
            self.bits.iter().enumerate().filter(|(_, bit)| new.union(**bit) == *new).map(|(at, _)| 1 << at).sum();
        let mut sets = vec![0];
        let mut weights = vec![Weights::default()];
        let places: Vec<u32> = self
            .kernel
            .entries
            .iter()
            .zip(&self.local)
            .map(|((_, w), set)| {
                if *set == 0 {
                    weights[0] = *w;
                    return 0;
                }
                let set = set & mask;
                if self.found[set] == NOWHERE {
                    self.found[set] = place(sets.len());
                    sets.push(set);
                    weights.push(Weights::default());
                }
                let at = self.found[set];
                weights[at as usize].add(*w);
                at
            })
            .collect();
        sets.iter().for_each(|set| self.found[*set] = NOWHERE);
        let bits_of = |set: &usize| {
            let bits = self.bits.iter().enumerate().filter(|(at, _)| set >> at & 1 == 1);
            bits.fold(B::empty(), |all, (_, bit)| all.union(*bit))
        };
        let shares = self
            .tilts
            .as_ref()
            .map(|tilts| sets[1..].iter().zip(&weights[1..]).map(|(set, w)| tilts[*set] * w.total).collect());
        let entries = sets.iter().map(bits_of).zip(weights).collect();
        View::new(entries, places, shares)
    }

    fn sparse(&self, state: &B) -> View<B> {
        let mut found: BitMap<B, u32> = BitMap::default();
        let mut entries = vec![(B::empty(), Weights::default())];
        let places = self
            .kernel
            .entries
            .iter()
            .map(|(bits, w)| {
                if bits.is_empty() {
                    entries[0].1 = *w;
                    return 0;
                }
                let added = bits.without(*state);
                let at = *found.entry(added).or_insert_with(|| {
                    entries.push((added, Weights::default()));
                    place(entries.len() - 1)
                });
                entries[at as usize].1.add(*w);
                at
            })
            .collect();
        let shares = self.tilt.as_ref().map(|tilt| {
            let whole = (-tilt.log_sum).exp();
            entries[1..].iter().map(|(bits, w)| whole * w.total * tilt.by(bits)).collect()
        });
        View::new(entries, places, shares)
    }
}

fn place(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(NOWHERE)
}

impl<B: BitSet> View<B> {
    /// `shares` has one for each entry but the first.
    fn new(entries: Vec<(B, Weights)>, places: Vec<u32>, shares: Option<Vec<f64>>) -> Self {
        let Some(all) = shares else {
            return Self { entries, places, shares: Vec::new(), shares_from: Vec::new() };
        };
        let least = NEXT_TO_NOTHING * all.iter().copied().fold(0.0, f64::max);
        let mut order: Vec<usize> = (0..all.len()).filter(|at| all[*at] >= least).collect();
        order.sort_unstable_by(|a, b| all[*b].total_cmp(&all[*a]).then(a.cmp(b)));
        let mut moved = vec![NOWHERE; entries.len()];
        moved[0] = 0;
        for (to, from) in order.iter().enumerate() {
            moved[from + 1] = place(to + 1);
        }
        let shares: Vec<f64> = order.iter().map(|at| all[*at]).collect();
        let mut shares_from = vec![0.0; shares.len() + 1];
        shares_from[shares.len()] = all.iter().filter(|share| **share < least).sum();
        for at in (0..shares.len()).rev() {
            shares_from[at] = shares_from[at + 1] + shares[at];
        }
        Self {
            places: places.into_iter().map(|place| moved[place as usize]).collect(),
            entries: std::iter::once(entries[0]).chain(order.iter().map(|at| entries[at + 1])).collect(),
            shares,
            shares_from,
        }
    }

    /// The view in which the cause does nothing.
    fn idle(kernel: &Kernel<'_, B>, set: f64) -> Self {
        let places = kernel.entries.iter().map(|(bits, _)| if bits.is_empty() { 0 } else { NOWHERE }).collect();
        Self { entries: vec![(B::empty(), kernel.idle())], places, shares: Vec::new(), shares_from: vec![set] }
    }

    /// How many entries are followed from a state of such promise where nothing is that promises less than `least`.
    pub(super) fn followed(&self, promise: f64, least: f64) -> usize {
        if promise < least {
            return 0;
        }
        if self.shares_from.is_empty() {
            return self.entries.len();
        }
        // Doing nothing may weigh nothing, so the best of the others is followed too.
        1 + self.shares.partition_point(|share| promise * share >= least).max(1).min(self.shares.len())
    }

    /// The share of its promise that a state loses where only so many entries are followed.
    pub(super) fn lost(&self, followed: usize) -> f64 {
        let behind = |followed: usize| self.shares_from.get(followed).copied().unwrap_or(0.0);
        followed.checked_sub(1).map_or(1.0, behind)
    }

    /// Adds what was gathered by each of these entries to the entries of the kernel that they are of.
    pub(super) fn hand_back(&self, gathered: &[f64], to: &mut [f64]) {
        for (sum, place) in to.iter_mut().zip(&self.places) {
            *sum += gathered.get(*place as usize).copied().unwrap_or(0.0);
        }
    }
}
