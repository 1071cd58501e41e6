//! What an instrument shows of an engine: a number for the outcome that is there to see.
//!
//! A part has a true value of its own within the bands of its outcome, the same whenever it is measured; what is like on one engine
//! reads alike, so that the odd one stands out; and each measurement is off by an error of its own, as far as the instrument's accuracy
//! goes (a rectangular distribution, JCGM 100, 4.3.7). Since a judgement is only clear two standard uncertainties from a limit, which is more
//! than the whole accuracy, a clear reading never says another outcome than the one that is there.

use super::engine::{mix, share};
use crate::measure::{Basis, Dimension, Instrument, Limit, Quantity, copper_resistance_at};
use crate::model::{CheckId, Conditions, Model, Seen, Site};

/// What a measurement brought.
#[derive(Debug, Clone, PartialEq)]
pub struct Measured {
    /// What the instrument shows, as it is typed.
    pub typed: String,
    /// Temperature of the part, in degrees Celsius, where its limit needs it.
    pub celsius: Option<f64>,
    /// Whether the reading alone cannot tell the outcome, and the eye or the ear does.
    pub seen_beside: bool,
    /// The true value behind it, in base units as the instrument meets it; none for an open circuit.
    pub actual: Option<f64>,
    /// How far the instrument is off, as a share of its accuracy from -1 to 1.
    pub error: f64,
}

/// The share of open circuits among readings whose outcome is either that or a number beyond the last limit. Placeholder.
const OPEN: f64 = 0.7;
/// Where good parts lie within what is allowed, as shares of the band: they seldom are at its edge (common practice).
const GOOD: (f64, f64) = (0.15, 0.8);
/// How much of the difference between good parts is between engines; the rest is between the parts of one engine. Placeholder.
const ALIKE: f64 = 0.75;
/// A band that spans more than this is drawn by the logarithm.
const WIDE: f64 = 20.0;
/// Beside like readings a good part lies this near their middle. Placeholder.
const AMONG_PEERS: f64 = 0.04;

/// Measures: the check's outcome is known, and the number for it is drawn from the root. `spell` tells measurements of one part apart.
/// None where the check takes no reading, or its limit has no band for the outcome.
pub(super) fn measure(
    model: &Model,
    id: CheckId,
    seen: Seen,
    conditions: &Conditions,
    root: u64,
    spell: usize,
) -> Option<Measured> {
    let check = &model[id];
    let limit = &model.limits[check.limit?];
    let name = check.outcome_name(seen);
    let outcome = check.place(seen);
    let draw = |what: u64, part: u64| share(mix(mix(mix(root ^ what) ^ part) ^ outcome as u64));
    let part = id.0 as u64;
    let error = 2.0 * draw(0x0E44_0E44, mix(part ^ (spell as u64) << 32)) - 1.0;
    let open = |seen_beside| Measured { typed: "OL".into(), celsius: None, seen_beside, actual: None, error: 0.0 };
    let band = band(limit, name, draw(0xBA4D, part));
    // Only an ohmmeter shows an open circuit as such.
    let can_show_open = limit.dimension == Dimension::Resistance && limit.open.iter().any(|is| is == name);
    if can_show_open && (band.is_none() || draw(0x09E4, part) < OPEN) {
        return Some(open(limit.open.len() > 1));
    }
    let band = band?;
    let place = if seen == Seen::Normal {
        // Parts of one engine are of one make: they share most of where they lie.
        let own = f64::midpoint(draw(0x0147, part), draw(0x0148, part));
        let like = check.limit? as u64;
        let shared = f64::midpoint(draw(0x0149, like), draw(0x014A, like));
        GOOD.0 + (GOOD.1 - GOOD.0) * (ALIKE * shared + (1.0 - ALIKE) * own)
    } else {
        draw(0x0147, part)
    };
    let compared = within(limit, band, seen == Seen::Normal, place);
    let at_reference = match limit.basis {
        Basis::Absolute => compared,
        Basis::PerFoot => compared * feet(model, check.site)?,
        Basis::RatioToPeers => compared * usual(limit.dimension),
        // Their other half is a reading that this knows nothing of.
        Basis::DifferenceToOtherSide | Basis::ChangeFromBefore => return None,
    };
    let celsius = limit.reference_celsius.map(|_| temperature(model, conditions, draw(0x7E44, spell as u64)));
    let value = match (limit.reference_celsius, celsius) {
        (Some(reference), Some(now)) => copper_resistance_at(at_reference, reference, now)?,
        _ => at_reference,
    };
    let instrument = Instrument::ordinary(limit.dimension);
    let value = within_by_a_digit(limit, band, value, &instrument);
    let typed = instrument.shows(Quantity::new(limit.dimension, value), error, Some(&limit.unit));
    let seen_beside = limit.bands[band].is.len() > 1;
    Some(Measured { typed, celsius, seen_beside, actual: Some(value), error })
}

/// The band to draw in: one that can mean nothing else where there is one, else one that cannot be normal, else any.
fn band(limit: &Limit, name: &str, at: f64) -> Option<usize> {
    let holds = |is: &[String]| is.iter().any(|n| n == name);
    let of = |fits: &dyn Fn(&[String]) -> bool| -> Vec<usize> {
        let bands = limit.bands.iter().enumerate();
        bands.filter(|(_, band)| holds(&band.is) && fits(&band.is)).map(|(at, _)| at).collect()
    };
    let alone = of(&|is| is.len() == 1);
    let abnormal = of(&|is| !is.iter().any(|n| n == "normal"));
    let found = [alone, abnormal, of(&|_| true)].into_iter().find(|found| !found.is_empty())?;
    // The one in whose equal share of 0 to 1 it falls.
    let share = 1.0 / found.len() as f64;
    found.iter().zip(1..).find(|(_, n)| at < share * f64::from(*n)).map(|(band, _)| *band).or(found.last().copied())
}

/// A value at a place, 0 to 1, within a band; ends that the limit does not give are set by what is usual.
fn within(limit: &Limit, band: usize, good: bool, place: f64) -> f64 {
    let upper = limit.bands[band].upper.map(|edge| edge.at);
    let lower = band.checked_sub(1).and_then(|before| limit.bands[before].upper).map(|edge| edge.at);
    if limit.basis == Basis::RatioToPeers && good {
        let near = 1.0 + AMONG_PEERS * (2.0 * place - 1.0);
        return near.clamp(lower.unwrap_or(f64::MIN), upper.unwrap_or(f64::MAX));
    }
    let low = lower.unwrap_or_else(|| upper.map_or(0.0, |top| if top > 0.0 { 0.0 } else { 2.0 * top - 1.0 }));
    let high = upper.unwrap_or_else(|| beyond(limit, low, good));
    if low > 0.0 && high / low > WIDE { low * (high / low).powf(place) } else { low + (high - low) * place }
}

/// The value, or for an instrument that is taken at its word one that is a digit within the band: there rounding alone could carry it over
/// the limit.
fn within_by_a_digit(limit: &Limit, band: usize, value: f64, instrument: &Instrument) -> f64 {
    let quantity = Quantity::new(limit.dimension, value);
    if limit.basis != Basis::Absolute || instrument.accuracy(quantity, f64::INFINITY) > 0.0 {
        return value;
    }
    let digit = instrument.last_place(quantity, f64::INFINITY);
    let upper = limit.bands[band].upper.map_or(f64::MAX, |edge| edge.at - digit);
    let lower =
        band.checked_sub(1).and_then(|before| limit.bands[before].upper).map_or(f64::MIN, |edge| edge.at + digit);
    value.min(upper).max(lower)
}

/// How far a reading goes past the last limit: multiples of it (common practice: what such faults read).
fn beyond(limit: &Limit, last: f64, good: bool) -> f64 {
    let times = match limit.dimension {
        _ if limit.basis == Basis::RatioToPeers => 1.6,
        Dimension::Resistance => 30.0,
        // A good bus is a little over its least; a bad joint loses several times what is allowed.
        Dimension::Voltage if good => 1.2,
        Dimension::Voltage | Dimension::Angle => 4.0,
        Dimension::Speed => 2.5,
        Dimension::Capacitance | Dimension::Time => 2.0,
        Dimension::Length
        | Dimension::Pressure
        | Dimension::Volume
        | Dimension::Current
        | Dimension::Temperature
        | Dimension::Ratio => 1.5,
    };
    if last > 0.0 { last * times } else { last + 1.0 }
}

/// What like parts read where only their ratio counts, in base units (common practice).
fn usual(dimension: Dimension) -> f64 {
    match dimension {
        Dimension::Pressure => 75.0 * 6_894.757,
        Dimension::Length => 0.4 * 0.0254,
        Dimension::Volume => 120.0,
        Dimension::Temperature => 180.0,
        Dimension::Resistance => 1_000.0,
        Dimension::Speed => 100.0,
        Dimension::Voltage | Dimension::Current | Dimension::Angle | Dimension::Time => 10.0,
        Dimension::Capacitance => 0.3e-6,
        Dimension::Ratio => 1.0,
    }
}

fn feet(model: &Model, site: Site) -> Option<f64> {
    match site {
        Site::Plug(side, n) => model.layout.side(side).lead_feet.get(&n).copied(),
        _ => None,
    }
}

/// The temperature of a winding by the engine's heat: a hangar at rest, 25 C more a level, 3 C either way. Placeholder.
fn temperature(model: &Model, conditions: &Conditions, at: f64) -> f64 {
    let heat = model.conditions.iter().position(|c| c.name == "heat").and_then(|at| conditions.0.get(at));
    (18.0 + 25.0 * heat.map_or(0.0, |level| *level as f64) + 6.0 * (at - 0.5)).round()
}
