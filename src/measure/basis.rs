//! From a reading to what is compared with the bands: over its length, its peers, the other side, or before; and
//! corrected to the reference temperature.
//!
//! Owns how far the compared value can be trusted. Must not know bands or outcomes.

use thiserror::Error;

use super::{
    Basis, Context, Dimension, Instrument, Limit, Quantity, copper::COPPER_ZERO, copper_resistance_at, median,
    quantity::figures,
};

/// How far a winding can be from what the thermometer says, in kelvin either way (common practice).
const WINDING_KELVIN: f64 = 5.0;
/// How far a part whose temperature nobody took can be from the reference, in kelvin: a hangar between 10 and 30 C (common
/// practice).
const UNKNOWN_KELVIN: f64 = 10.0;

/// What must be known before a reading can be judged. The message says what to give.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum NeedsMore {
    /// The limit is per foot, and the length of the lead is not known.
    #[error("This limit is per foot of lead. Give the length of the lead in feet, more than nought.")]
    Feet,
    /// The limit is a ratio to like readings, and there are none.
    #[error("This limit compares like readings. Measure at least one more of the same kind first, above nought.")]
    Peers,
    /// The limit is a difference between the sides, and the other side has no reading.
    #[error("This limit compares the two sides. Measure the other side too.")]
    OtherSide,
    /// The limit is a change, and there is no reading from before.
    #[error("This limit is a change from an earlier reading. Give the reading from before.")]
    Before,
    /// The temperature given is none that copper can have.
    #[error("The temperature of the winding cannot be right. Give it in degrees Celsius, or leave it out.")]
    Temperature,
    /// An open circuit where the limit has no place for one.
    #[error(
        "OL says nothing of {}. Turn the meter to a higher range and give the number it shows.", .0.with_article())]
    Number(Dimension),
    /// A reading of something else.
    #[error("The reading is {}, and the limit is for {}. Measure the {limit}.", .read.with_article(), .limit.with_article())]
    Dimension {
        /// What was read.
        read: Dimension,
        /// What the limit is for.
        limit: Dimension,
    },
    /// A reading that is not a number.
    #[error("The reading is not a finite number. Measure again and give the digits on the display.")]
    NotFinite,
    /// An instrument whose accuracy is negative or not a number.
    #[error(
        "The accuracy of the instrument is not a number of nought or above. Mend its entry in the list of instruments."
    )]
    Instrument,
}

/// What meets the bands.
pub(super) struct Compared {
    pub(super) value: f64,
    /// Standard uncertainty of the value.
    pub(super) uncertainty: f64,
    /// How it came about, as the beginning of a sentence.
    pub(super) phrase: String,
}

/// The value and standard uncertainty of a reading, and how it is said.
struct Measured {
    value: f64,
    uncertainty: f64,
    phrase: String,
}

pub(super) fn compare(
    limit: &Limit,
    quantity: Quantity,
    resolution: f64,
    context: &Context,
    instrument: &Instrument,
) -> Result<Compared, NeedsMore> {
    check(limit, quantity, resolution, instrument)?;
    let spread = |value: f64| instrument.uncertainty(Quantity::new(limit.dimension, value), resolution.abs());
    let raw = Measured {
        value: quantity.value,
        uncertainty: spread(quantity.value),
        phrase: quantity.show(Some(&limit.unit)),
    };
    let now = match limit.reference_celsius {
        Some(reference) => corrected(&raw, reference, context, limit)?,
        None => raw,
    };
    let show = |value: f64| Quantity::new(limit.dimension, value).show(Some(&limit.unit));
    let apart = |value: f64| Quantity::new(limit.dimension, value).show_difference(Some(&limit.unit));
    let finite = |value: Option<f64>| value.filter(|value| value.is_finite());
    let Measured { value, uncertainty, phrase } = now;
    match limit.basis {
        Basis::Absolute => Ok(Compared { value, uncertainty, phrase }),
        Basis::PerFoot => {
            let feet = finite(context.feet).filter(|feet| *feet > 0.0).ok_or(NeedsMore::Feet)?;
            let each = value / feet;
            Ok(Compared {
                value: each,
                uncertainty: uncertainty / feet,
                phrase: format!("{phrase}, over {} ft that is {} per foot", figures(feet), show(each)),
            })
        }
        Basis::RatioToPeers => {
            let middle = finite(median(&context.peers)).filter(|m| *m > 0.0).ok_or(NeedsMore::Peers)?;
            let ratio = value / middle;
            let count = context.peers.len();
            let like = if count == 1 {
                // Of two readings, either can be the one that is out.
                format!("the only like reading, {}", show(middle))
            } else {
                format!("the median of {count} like readings, {}", show(middle))
            };
            Ok(Compared {
                value: ratio,
                uncertainty: (uncertainty / middle).hypot(ratio * spread(middle) / middle),
                phrase: format!("{phrase} is {} times {like}", figures(ratio)),
            })
        }
        Basis::DifferenceToOtherSide => {
            let other = finite(context.other_side).ok_or(NeedsMore::OtherSide)?;
            let difference = (value - other).abs();
            Ok(Compared {
                value: difference,
                uncertainty: uncertainty.hypot(spread(other)),
                phrase: format!("{phrase} and {} on the other side are {} apart", show(other), apart(difference)),
            })
        }
        Basis::ChangeFromBefore => {
            let before = finite(context.before).ok_or(NeedsMore::Before)?;
            let change = value - before;
            let moved = if change > 0.0 {
                format!("{} more than", apart(change))
            } else if change < 0.0 {
                format!("{} less than", apart(-change))
            } else {
                "the same as".to_owned()
            };
            Ok(Compared {
                value: change,
                uncertainty: uncertainty.hypot(spread(before)),
                phrase: format!("{phrase}, {moved} {} before", show(before)),
            })
        }
    }
}

/// What holds for every basis.
fn check(limit: &Limit, quantity: Quantity, resolution: f64, instrument: &Instrument) -> Result<(), NeedsMore> {
    if quantity.dimension != limit.dimension {
        return Err(NeedsMore::Dimension { read: quantity.dimension, limit: limit.dimension });
    }
    if !quantity.value.is_finite() || !resolution.is_finite() {
        return Err(NeedsMore::NotFinite);
    }
    if !instrument.is_sound() {
        return Err(NeedsMore::Instrument);
    }
    Ok(())
}

/// A reading of copper as it would be at the reference temperature. The doubt about the winding's temperature adds
/// |R| dT / (234.5 + T) in quadrature. Where no temperature was taken, the part is held to be at the reference, with more doubt.
fn corrected(raw: &Measured, reference: f64, context: &Context, limit: &Limit) -> Result<Measured, NeedsMore> {
    let Some(celsius) = context.celsius.filter(|t| t.is_finite()) else {
        let by_heat = raw.value.abs() * UNKNOWN_KELVIN / 3.0_f64.sqrt() / (COPPER_ZERO + reference);
        return Ok(Measured {
            value: raw.value,
            uncertainty: raw.uncertainty.hypot(by_heat),
            phrase: format!("{}, taken as at {} C since no temperature was given", raw.phrase, figures(reference)),
        });
    };
    let correct = |value| copper_resistance_at(value, celsius, reference).ok_or(NeedsMore::Temperature);
    let value = correct(raw.value)?;
    let by_heat = value.abs() * WINDING_KELVIN / 3.0_f64.sqrt() / (COPPER_ZERO + celsius);
    Ok(Measured {
        value,
        uncertainty: correct(raw.uncertainty)?.hypot(by_heat),
        phrase: format!(
            "{} at {} C is {} at {} C",
            raw.phrase,
            figures(celsius),
            Quantity::new(limit.dimension, value).show(Some(&limit.unit)),
            figures(reference)
        ),
    })
}
