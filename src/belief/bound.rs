//! How much what follows can make of a state at the most, so that little is lost where states are dropped.
//!
//! What closes an observation weighs at most m·e^(-θ)·e^(θ·n): m the most it can weigh, n how often its bits were set, and θ anything from 0 to
//! ln(m/b), where b is what it weighs with no bit set. Under such a bound no cause hangs on another: what all of them make of a state is at
//! most the product over causes of Σ w·e^(θ·n). Each θ is chosen so that the bound on the whole is least, in which it is convex.
//! That a transformed finding sets the causes apart is from T. Jaakkola and M. Jordan, Variational probabilistic inference and the
//! QMR-DT network (1999).

use std::marker::PhantomData;

use super::bits::BitSet;
use super::findings::Closing;
use super::kernel::Kernel;
use super::schedule::Step;
use super::view::Tilt;

/// Rounds over all observations in which their θ are brought towards the least bound. Any θ gives a bound.
const ROUNDS: usize = 8;
/// A round that moves no θ by more than this is the last.
const SETTLED: f64 = 0.05;
/// How far one step moves a θ at the most.
const STRIDE: f64 = 4.0;
/// The largest θ, for what weighs nothing with no bit set.
const STEEPEST: f64 = 60.0;

/// The bound on everything that follows a state.
#[derive(Debug)]
pub(super) struct Bound {
    /// For each closing, log of the most it can weigh.
    log_most: Vec<f64>,
    /// For each closing, its θ.
    slope: Vec<f64>,
    /// For each cause, log of Σ w·e^(θ·n) over the entries of its kernel.
    log_sum: Vec<f64>,
}

impl Bound {
    /// The least bound on the whole that a few rounds find.
    pub(super) fn least<B: BitSet>(kernels: &[Kernel<'_, B>], closings: &[Closing], touching: &[Vec<usize>]) -> Self {
        let mut slopes = vec![0.0; closings.len()];
        let mut of: Vec<Vec<usize>> = vec![Vec::new(); closings.len()];
        for (cause, touched) in touching.iter().enumerate() {
            touched.iter().for_each(|closing| of[*closing].push(cause));
        }
        let mut tilted: Vec<Vec<f64>> = kernels
            .iter()
            .zip(touching)
            .map(
                |(k, touched)| {
                    if touched.is_empty() { Vec::new() } else { k.entries.iter().map(|(_, w)| w.total).collect() }
                },
            )
            .collect();
        let mut sums: Vec<f64> = tilted.iter().map(|weights| weights.iter().sum()).collect();
        let steepest = |closing: &Closing| (closing.most() / closing.base()).ln().clamp(0.0, STEEPEST);
        let steepest: Vec<f64> = closings.iter().map(steepest).collect();
        for _ in 0..ROUNDS {
            let mut moved: f64 = 0.0;
            for (at, closing) in closings.iter().enumerate().filter(|(at, _)| steepest[*at] > 0.0) {
                // Mean and variance of how often its bits are set, as things are weighted: by Newton's step towards a mean of 1.
                let (mut mean, mut spread) = (0.0, 0.0);
                for cause in &of[at] {
                    let (mut once, mut twice) = (0.0, 0.0);
                    for ((bits, _), weight) in kernels[*cause].entries.iter().zip(&tilted[*cause]) {
                        let told = closing.told(bits);
                        once += weight * told;
                        twice += weight * told * told;
                    }
                    let share = once / sums[*cause];
                    mean += share;
                    spread += twice / sums[*cause] - share * share;
                }
                let stride = (1.0 - mean) / spread.max(f64::MIN_POSITIVE);
                let slope = (slopes[at] + stride.clamp(-STRIDE, STRIDE)).clamp(0.0, steepest[at]);
                let by = slope - slopes[at];
                if by == 0.0 {
                    continue;
                }
                moved = moved.max(by.abs());
                slopes[at] = slope;
                let once = by.exp();
                for cause in &of[at] {
                    for ((bits, _), weight) in kernels[*cause].entries.iter().zip(&mut tilted[*cause]) {
                        let told = closing.told(bits);
                        if told > 0.0 {
                            *weight *= if told.total_cmp(&1.0).is_eq() { once } else { (by * told).exp() };
                        }
                    }
                    sums[*cause] = tilted[*cause].iter().sum();
                }
            }
            if moved < SETTLED {
                break;
            }
        }
        Self {
            log_most: closings.iter().map(|closing| closing.most().ln()).collect(),
            slope: slopes,
            log_sum: sums.iter().map(|sum| sum.ln()).collect(),
        }
    }

    /// Log of the most a closing can weigh where none of its bits is set yet.
    fn log_untold(&self, closing: usize) -> f64 {
        self.log_most[closing] - self.slope[closing]
    }

    /// Log of how much more than that it can weigh with these bits.
    fn log_told<B: BitSet>(&self, at: usize, closing: &Closing, bits: &B) -> f64 {
        let slope = self.slope[at];
        if slope > 0.0 { (slope * closing.told(bits)).min(slope) } else { 0.0 }
    }

    /// For each bit that a cause can set, log of how much likelier it may make what is seen.
    pub(super) fn more<B: BitSet>(&self, closings: &[Closing], touched: &[usize]) -> Vec<(B, f64)> {
        let of = |closing: &usize| {
            let slope = self.slope[*closing];
            closings[*closing].telling.iter().map(move |(slot, share)| {
                let mut bit = B::empty();
                bit.insert(*slot);
                (bit, slope * share)
            })
        };
        touched.iter().flat_map(of).filter(|(_, more)| *more > 0.0).collect()
    }

    /// Takes a kernel in place of the one that the bound was found with.
    pub(super) fn renew<B: BitSet>(&mut self, cause: usize, kernel: &Kernel<'_, B>, more: &[(B, f64)]) {
        let by = |bits: &B| more.iter().filter(|(bit, _)| bits.union(*bit) == *bits).map(|(_, more)| more).sum::<f64>();
        self.log_sum[cause] = kernel.entries.iter().map(|(bits, w)| w.total * by(bits).exp()).sum::<f64>().ln();
    }
}

/// What follows each step of a walk at the most.
pub(super) struct Onward<'a, B> {
    closings: &'a [Closing],
    bound: &'a Bound,
    touching: &'a [Vec<usize>],
    /// Before each step: log of what follows where no bit of an open observation is set, by θ; and log of the most of all.
    rest: Vec<(f64, f64)>,
    /// Before each step, the open observations.
    open: Vec<Vec<usize>>,
    bits: PhantomData<B>,
}

impl<'a, B: BitSet> Onward<'a, B> {
    pub(super) fn of(
        steps: &[Step],
        kernels: &[Kernel<'_, B>],
        closings: &'a [Closing],
        bound: &'a Bound,
        touching: &'a [Vec<usize>],
    ) -> Self {
        let mut rest = vec![(0.0, 0.0); steps.len() + 1];
        for (at, step) in steps.iter().enumerate().rev() {
            let (told, most) = rest[at + 1];
            rest[at] = match step {
                Step::Walk(cause) => (told + bound.log_sum[*cause], most + kernels[*cause].total().ln()),
                Step::Close(closing) => (told + bound.log_untold(*closing), most + bound.log_most[*closing]),
            };
        }
        let mut open = vec![Vec::new()];
        for step in steps {
            let mut now: Vec<usize> = open.last().cloned().unwrap_or_default();
            match step {
                Step::Walk(cause) => {
                    let fresh: Vec<usize> = touching[*cause].iter().filter(|c| !now.contains(c)).copied().collect();
                    now.extend(fresh);
                }
                Step::Close(closing) => now.retain(|open| open != closing),
            }
            open.push(now);
        }
        Self { closings, bound, touching, rest, open, bits: PhantomData }
    }

    /// Log of the bound on the whole.
    pub(super) fn log_whole(&self) -> f64 {
        self.rest[0].0
    }

    /// What each state before a step can become at the most, as a share of the bound on the whole. `log_weight` is the log of what the weights
    /// stand beside.
    pub(super) fn promise(&self, at: usize, log_weight: f64, states: &[B], weights: &[f64]) -> Vec<f64> {
        let (rest, most) = self.rest[at];
        let told = |bits: &B| -> f64 {
            self.open[at].iter().map(|open| self.bound.log_told(*open, &self.closings[*open], bits)).sum()
        };
        let onward = |bits: &B| ((rest + told(bits)).min(most) + log_weight - self.log_whole()).exp();
        states.iter().zip(weights).map(|(bits, weight)| weight * onward(bits)).collect()
    }

    /// What a cause can become at the most.
    pub(super) fn tilt(&self, cause: usize) -> Tilt<B> {
        let more = self.bound.more(self.closings, &self.touching[cause]);
        Tilt {
            bits: more.into_iter().map(|(bit, more)| (bit, more.exp())).collect(),
            log_sum: self.bound.log_sum[cause],
        }
    }

    /// Log of the most that what was cut from kernels can have weighed: all histories with at least one cut part.
    pub(super) fn log_cut(&self, kernels: &[Kernel<'_, B>]) -> f64 {
        let lost = |kernel: &Kernel<'_, B>| (kernel.lost / (1.0 - kernel.lost).max(0.0)).ln_1p();
        let touched = kernels.iter().zip(self.touching).filter(|(_, touched)| !touched.is_empty());
        self.log_whole() + touched.map(|(kernel, _)| lost(kernel)).sum::<f64>().exp_m1().ln()
    }
}
