//! A reading against a limit: clear, or too close to call.
//!
//! Owns the guard band and the weights of the outcomes (JCGM 106, ISO 14253-1). Must not know what an outcome stands for.

use serde::{Deserialize, Serialize};

use super::{
    Band, Basis, Dimension, Instrument, Limit, NeedsMore, Reading,
    basis::{self, Compared},
    normal_cdf, words,
};

/// Two numbers this near each other, as a share of the greater, are the same: the rest is how a computer writes tenths.
const SAME: f64 = 1e-9;

/// A reading so many times the limit, or so many times less, is far outside it. Placeholder.
const FAR: f64 = 1.5;

/// Weights under this are not worth carrying.
const LEAST_WEIGHT: f64 = 1e-9;

/// What else is known when a reading is judged. All values are in base units.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Context {
    /// The length of the lead in feet.
    pub feet: Option<f64>,
    /// The like readings of this job, without the one that is judged.
    pub peers: Vec<f64>,
    /// The same reading on the other side.
    pub other_side: Option<f64>,
    /// The same reading before; for a limit at a reference temperature, as it was or would have been at that temperature.
    pub before: Option<f64>,
    /// The temperature of the winding now, in degree Celsius.
    pub celsius: Option<f64>,
    /// What it was measured with. Without it, the ordinary instrument for the dimension.
    pub instrument: Option<Instrument>,
}

/// How wide the guard band on either side of a limit is, in standard uncertainties.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Guard(pub f64);

impl Guard {
    /// The expanded uncertainty, 2u: about 95 per cent. The rule of ISO 14253-1, and ours.
    pub const EXPANDED: Self = Self(2.0);
    /// The whole accuracy of the instrument: its worst case.
    pub const WORST_CASE: Self = Self(1.732_050_807_568_877_2);
    /// No guard band: the reading is taken at its word (simple acceptance).
    pub const NONE: Self = Self(0.0);
}

/// What a reading says.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Judgement {
    /// The outcomes the reading can mean, each with the chance of such a reading where it is there, as far as the bands tell:
    /// 1 for all outcomes of the band when clear, the probability of the band otherwise. Outcomes that are not listed have a
    /// weight of nought. In the order of the bands.
    pub weights: Vec<(String, f64)>,
    /// Whether the reading is far enough from every limit to call.
    pub clear: bool,
    /// Whether it is exactly at a limit.
    pub at_limit: bool,
    /// What was compared with the bands, in base units (of the ratio, the difference, or per foot). None for an open circuit.
    pub compared: Option<f64>,
    /// Standard uncertainty of what was compared.
    pub uncertainty: f64,
    /// Width of the guard band on either side of a limit.
    pub guard: f64,
    /// Full sentences: the reading as compared, the limit, and the guard band.
    pub words: String,
}

impl Judgement {
    /// The outcomes of a clear reading; more than one where the mechanic is to be asked which. Empty when too close to call.
    pub fn outcomes(&self) -> Vec<&str> {
        if !self.clear {
            return Vec::new();
        }
        self.weights.iter().map(|(name, _)| name.as_str()).collect()
    }

    /// Whether the reading leaves no doubt, whatever the limit exactly is: an open circuit, or clear and past the ordinary bands by their
    /// own width or by half as much again as the limit, whichever is less (our placeholders). `ordinary` is the outcome of a good part.
    #[must_use]
    pub fn leaves_no_doubt(&self, limit: &Limit, ordinary: &str) -> bool {
        let Some(at) = self.compared else { return true };
        let Some(good) = limit.span_of(ordinary) else { return false };
        let width = good.0.zip(good.1).map(|(bottom, top)| top - bottom);
        let above = |top: f64| at > top && (at >= top * FAR || width.is_some_and(|width| at >= top + width));
        let below =
            |bottom: f64| at < bottom && (at <= bottom / FAR || width.is_some_and(|width| at <= bottom - width));
        self.clear && (good.1.is_some_and(above) || good.0.is_some_and(below))
    }
}

/// Judges a reading against a limit, with a guard band of twice the standard uncertainty.
///
/// It is clear when no edge of a band lies within the guard band. Otherwise each band gets the probability that the true
/// value lies in it, for a normal distribution about the reading (JCGM 106), and its outcomes get that weight: there is no
/// cliff at a limit. An instrument of no uncertainty (the ordinary tachometer) is always clear, and then a reading exactly
/// at an edge belongs where the edge says.
///
/// # Errors
/// [`NeedsMore`] where the context lacks what the basis of the limit needs, or the reading is of another kind.
pub fn judge(limit: &Limit, reading: &Reading, context: &Context) -> Result<Judgement, NeedsMore> {
    judge_guarded(limit, reading, context, Guard::EXPANDED)
}

/// As [`judge`], with a guard band of the caller's. A guard below nought counts as none.
///
/// # Errors
/// As [`judge`].
pub fn judge_guarded(
    limit: &Limit,
    reading: &Reading,
    context: &Context,
    guard: Guard,
) -> Result<Judgement, NeedsMore> {
    let instrument = context.instrument.clone().unwrap_or_else(|| Instrument::ordinary(limit.dimension));
    match *reading {
        Reading::Open => open(limit),
        Reading::Value { quantity, resolution } => {
            let compared = basis::compare(limit, quantity, resolution, context, &instrument)?;
            Ok(value(limit, &compared, resolution, guard, &instrument, context.instrument.is_none()))
        }
    }
}

/// An open circuit is an outcome of its own, or else a resistance above every band.
fn open(limit: &Limit) -> Result<Judgement, NeedsMore> {
    let outcomes = match limit.bands.last() {
        _ if !limit.open.is_empty() => &limit.open,
        Some(last) if limit.dimension == Dimension::Resistance => &last.is,
        _ => return Err(NeedsMore::Number(limit.dimension)),
    };
    Ok(Judgement {
        weights: outcomes.iter().map(|name| (name.clone(), 1.0)).collect(),
        clear: true,
        at_limit: false,
        compared: None,
        uncertainty: 0.0,
        guard: 0.0,
        words: words::open(limit, outcomes),
    })
}

fn value(
    limit: &Limit,
    compared: &Compared,
    resolution: f64,
    guard: Guard,
    instrument: &Instrument,
    ordinary: bool,
) -> Judgement {
    let at = compared.value;
    let width = guard.0.max(0.0) * compared.uncertainty;
    let edges = || limit.bands.iter().filter_map(|band| band.upper);
    let at_limit = edges().any(|edge| same(at, edge.at));
    // ISO 14253-1: conform up to the limit less the guard, not conform above the limit and the guard.
    let clear = width <= 0.0 || edges().all(|edge| edge.at - at >= width || at - edge.at > width);
    let band = band_of(&limit.bands, at);
    let weights = if clear {
        let is = limit.bands.get(band).map_or(&[][..], |band| &band.is);
        merged(is.iter().map(|name| (name, 1.0)))
    } else {
        let shares = shares(limit, compared);
        let each = limit.bands.iter().zip(shares);
        merged(each.flat_map(|(band, share)| band.is.iter().map(move |name| (name, share))))
    };
    let said = words::Said {
        limit,
        phrase: &compared.phrase,
        at,
        band,
        clear,
        at_limit,
        guard: width,
        resolution,
        weights: &weights,
        instrument,
        ordinary,
    };
    let words = words::value(&said);
    Judgement { weights, clear, at_limit, compared: Some(at), uncertainty: compared.uncertainty, guard: width, words }
}

fn same(left: f64, right: f64) -> bool {
    (left - right).abs() <= SAME * left.abs().max(right.abs())
}

/// The band a value is in, taken at its word.
fn band_of(bands: &[Band], at: f64) -> usize {
    bands
        .iter()
        .position(|band| match band.upper {
            None => true,
            Some(edge) if same(at, edge.at) => edge.inclusive,
            Some(edge) => at < edge.at,
        })
        .unwrap_or(bands.len().saturating_sub(1))
}

/// The probability that the true value lies in each band.
fn shares(limit: &Limit, compared: &Compared) -> Vec<f64> {
    let Compared { value: at, uncertainty, .. } = *compared;
    let below = |edge: f64| {
        let up = normal_cdf((edge - at) / uncertainty);
        if limit.basis == Basis::DifferenceToOtherSide {
            // Without its sign a difference lies below the edge only if it lies between the edge and its mirror.
            up - normal_cdf((-edge - at) / uncertainty)
        } else {
            up
        }
    };
    let mut before = 0.0;
    limit
        .bands
        .iter()
        .map(|band| {
            let up_to = band.upper.map_or(1.0, |edge| below(edge.at));
            let share = (up_to - before).max(0.0);
            before = up_to;
            share
        })
        .collect()
}

/// Adds up what an outcome gets from several bands, in the order of first mention.
fn merged<'a>(parts: impl Iterator<Item = (&'a String, f64)>) -> Vec<(String, f64)> {
    let mut weights: Vec<(String, f64)> = Vec::new();
    for (name, share) in parts {
        match weights.iter_mut().find(|(known, _)| known == name) {
            // An outcome named twice in one band is still one outcome.
            Some((_, weight)) => *weight = (*weight + share).min(1.0),
            None => weights.push((name.clone(), share)),
        }
    }
    weights.retain(|(_, weight)| *weight >= LEAST_WEIGHT);
    weights
}

#[cfg(test)]
#[path = "judge_tests.rs"]
mod tests;
