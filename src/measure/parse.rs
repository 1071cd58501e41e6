//! From what is typed to a reading, or to a quantity of a tree.
//!
//! Owns what is taken, what is refused and why. Must not know limits' bands or instruments.

use serde::{Deserialize, Serialize};

use super::{
    Basis, Dimension, Quantity, ReadingError, Unit,
    number::{self, Number},
    text,
    unit::{ATDC, BTDC, lookup},
};

/// The most characters a typed reading can have.
pub const LONGEST_INPUT: usize = 64;

/// What a meter showed.
///
/// A dead short is a value of nought ohm: it needs no kind of its own, since every limit of resistance says what nought
/// means.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Reading {
    /// A number.
    Value {
        /// The value, in base units.
        quantity: Quantity,
        /// What one of the last digit typed is worth, in base units; above 0.
        resolution: f64,
    },
    /// An open circuit: OL on an ohmmeter.
    Open,
}

/// Reads what a mechanic types: `8.2k`, `8k2`, `85`, `0.085 kohm`, `OL`, `.018`, `150 rpm`, `25 btdc`, `240 mV`.
///
/// A number without a unit is taken in `default_unit`, or in the base unit. A prefix without a unit belongs to the base
/// unit: `8.2k` is 8,200 ohm even where the default is kohm. Letters may be of any case, but m is a thousandth and M a
/// million. After top dead centre is negative. `short` is nought ohm.
///
/// A lone comma before three digits (`2,400`) marks thousands for a speed and for plain ohms; elsewhere it is taken in the
/// one way that is possible, and refused where both are.
///
/// # Errors
/// A [`ReadingError`] whose message says what to type instead. Never panics.
pub fn parse_reading(typed: &str, dimension: Dimension, default_unit: Option<&Unit>) -> Result<Reading, ReadingError> {
    let normal = text::normalised(typed).map_err(|error| match error {
        ReadingError::Empty(_) => ReadingError::Empty(Some(dimension)),
        other => other,
    })?;
    match word(&normal) {
        Some(_) if dimension != Dimension::Resistance => {
            return Err(ReadingError::OpenNotHere(dimension));
        }
        Some(Word::Open) => return Ok(Reading::Open),
        Some(Word::Short) => {
            return Ok(Reading::Value {
                quantity: Quantity::new(dimension, 0.0),
                // The last digit of the lowest range of an ordinary meter (common practice).
                resolution: 0.1,
            });
        }
        None => {}
    }
    let asked = Asked {
        dimension: Some(dimension),
        bare: default_unit
            .filter(|unit| unit.dimension() == dimension)
            .copied()
            .or_else(|| Some(Unit::base(dimension))),
        kind: Kind::Shown,
    };
    let (quantity, resolution) = asked.read(typed, &normal)?;
    Ok(Reading::Value { quantity, resolution })
}

/// Reads a quantity of a tree or a layout: `8 kohm`, `0.016 in`, `20 C`, `3 ft`. It may be negative.
///
/// With a default unit only its dimension is taken; a bare number is in it. Without, the unit must be there.
///
/// # Errors
/// A [`ReadingError`] whose message says what to type instead. Never panics.
pub fn parse_quantity(typed: &str, default_unit: Option<&Unit>) -> Result<Quantity, ReadingError> {
    Asked::written(default_unit, Kind::Written).quantity(typed)
}

/// As [`parse_quantity`], for a difference of two values: 18 F is 10 degrees Celsius apart.
///
/// # Errors
/// A [`ReadingError`] whose message says what to type instead. Never panics.
pub fn parse_difference(typed: &str, default_unit: Option<&Unit>) -> Result<Quantity, ReadingError> {
    Asked::written(default_unit, Kind::Difference).quantity(typed)
}

/// Reads the edge of a limit's band as its basis wants it, in base units: a ratio for
/// [`Basis::RatioToPeers`], a difference for [`Basis::DifferenceToOtherSide`] and [`Basis::ChangeFromBefore`]. For
/// [`Basis::PerFoot`] the text may end in `per foot` or `/ft`.
///
/// # Errors
/// A [`ReadingError`] whose message says what to type instead. Never panics.
pub fn parse_edge(typed: &str, basis: Basis, unit: &Unit) -> Result<f64, ReadingError> {
    let quantity = match basis {
        Basis::Absolute => parse_quantity(typed, Some(unit)),
        Basis::PerFoot => {
            let trimmed = typed.trim();
            let each = ["per foot", "per ft", "/foot", "/ft"].iter().find_map(|ending| trimmed.strip_suffix(ending));
            parse_quantity(each.unwrap_or(trimmed), Some(unit))
        }
        Basis::RatioToPeers => parse_quantity(typed, Some(&Unit::RATIO)),
        Basis::DifferenceToOtherSide | Basis::ChangeFromBefore => parse_difference(typed, Some(unit)),
    };
    quantity.map(|quantity| quantity.value)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Word {
    Open,
    Short,
}

/// The words and signs a meter or a mechanic gives in place of a number.
fn word(normal: &str) -> Option<Word> {
    let compact: String = normal.to_ascii_lowercase().chars().filter(|c| *c != ' ' && *c != '.').collect();
    match compact.as_str() {
        "open" | "opencircuit" | "nocontinuity" | "overload" | "overlimit" | "overrange" => {
            return Some(Word::Open);
        }
        "short" | "shorted" | "deadshort" | "shortcircuit" => return Some(Word::Short),
        _ => {}
    }
    // Meters show OL or 0L beside the unit of the range.
    let range = compact.strip_prefix("ol").or_else(|| compact.strip_prefix("0l"))?;
    (range.is_empty() || lookup(range, Some(Dimension::Resistance)).is_some()).then_some(Word::Open)
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Kind {
    /// What a meter showed: bounded by what is possible.
    Shown,
    /// What a tree says: may be negative.
    Written,
    /// What a tree says of a difference.
    Difference,
}

struct Asked {
    dimension: Option<Dimension>,
    /// The unit of a bare number.
    bare: Option<Unit>,
    kind: Kind,
}

impl Asked {
    fn written(default_unit: Option<&Unit>, kind: Kind) -> Self {
        Self { dimension: default_unit.map(Unit::dimension), bare: default_unit.copied(), kind }
    }

    fn quantity(&self, typed: &str) -> Result<Quantity, ReadingError> {
        let normal = text::normalised(typed).map_err(|error| match error {
            ReadingError::Empty(_) => ReadingError::Empty(self.dimension),
            other => other,
        })?;
        self.read(typed, &normal).map(|(quantity, _)| quantity)
    }

    fn read(&self, typed: &str, normal: &str) -> Result<(Quantity, f64), ReadingError> {
        let shown = text::shown(typed);
        let Some(scanned) = number::scan(normal) else {
            return Err(self.no_number(shown, normal));
        };
        let (unit, has_unit) = self.unit(&shown, &scanned.suffix)?;
        if scanned.negative && (unit == ATDC || unit == BTDC) && has_unit {
            return Err(ReadingError::Impossible {
                typed: shown,
                reason: "it has a minus sign as well as a side of top dead centre".to_owned(),
                mend: "Type the degrees without the sign, such as 5 atdc.".to_owned(),
            });
        }
        let as_typed = self.value(&shown, scanned.number, scanned.negative, unit);
        let Some(decimal) = scanned.decimal else {
            return as_typed;
        };
        // The comma can be either. A speed of 2.400 rpm or a plain 2.400 ohm is nothing a meter of this trade shows.
        let thousands_by_custom =
            matches!(unit.dimension(), Dimension::Speed | Dimension::Resistance) && unit.is_base();
        let as_decimal = self.value(&shown, decimal, scanned.negative, unit);
        match (as_typed, as_decimal) {
            (thousands, _) if thousands_by_custom => thousands,
            (Ok(thousands), Ok(decimal)) => Err(ReadingError::Ambiguous {
                typed: shown,
                as_decimal: decimal.0.show(Some(&unit)),
                as_thousands: thousands.0.show(Some(&unit)),
            }),
            (Err(_), Ok(decimal)) => Ok(decimal),
            (thousands, Err(_)) => thousands,
        }
    }

    fn no_number(&self, shown: String, normal: &str) -> ReadingError {
        let small = normal.trim_start_matches(['-', '+', ' ']).to_ascii_lowercase();
        let endless = ["inf", "nan", "\u{221e}"].iter().any(|word| small.starts_with(word));
        if endless {
            ReadingError::NotFinite(shown)
        } else {
            ReadingError::NotANumber { typed: shown, wanted: self.dimension }
        }
    }

    /// The unit of the number, and whether it was typed.
    fn unit(&self, shown: &str, suffix: &str) -> Result<(Unit, bool), ReadingError> {
        if suffix.is_empty() {
            return match self.bare {
                Some(unit) => Ok((unit, false)),
                None => Err(ReadingError::NoUnit(shown.to_owned())),
            };
        }
        if let Some(unit) = lookup(suffix, self.dimension) {
            return Ok((unit, true));
        }
        let known_otherwise = lookup(suffix, None);
        Err(match (known_otherwise, self.dimension) {
            (Some(unit), Some(wanted)) => {
                ReadingError::WrongUnit { typed: shown.to_owned(), found: unit.dimension(), wanted }
            }
            _ => ReadingError::UnknownUnit { unit: text::shown(suffix), wanted: self.dimension },
        })
    }

    fn value(&self, shown: &str, number: Number, negative: bool, unit: Unit) -> Result<(Quantity, f64), ReadingError> {
        let signed = if negative { -number.value } else { number.value };
        let base = if self.kind == Kind::Difference { unit.difference_to_base(signed) } else { unit.to_base(signed) };
        let step = unit.difference_to_base(number.step).abs();
        if !base.is_finite() || !step.is_finite() || step <= 0.0 {
            return Err(ReadingError::NotFinite(shown.to_owned()));
        }
        let dimension = unit.dimension();
        // Adding nought turns a typed "-0" into 0.
        let base = base + 0.0;
        let (least, most) = self.range(dimension);
        if base < least || base > most {
            return Err(impossible(shown, dimension, base, (least, most), unit));
        }
        Ok((Quantity::new(dimension, base), step))
    }

    fn range(&self, dimension: Dimension) -> (f64, f64) {
        let (least, most) = dimension.possible();
        match self.kind {
            Kind::Shown => (least, most),
            Kind::Written if dimension == Dimension::Temperature => (least, most),
            Kind::Written => (-most, most),
            Kind::Difference => (least - most, most - least),
        }
    }
}

fn impossible(shown: &str, dimension: Dimension, value: f64, (least, most): (f64, f64), unit: Unit) -> ReadingError {
    let show = |value| Quantity::new(dimension, value).show(Some(&unit));
    let (reason, mend) = if value < 0.0 && least >= 0.0 {
        let mend = match dimension {
            Dimension::Resistance => {
                "Make sure that the circuit is dead and the leads are in the right sockets, then measure again."
            }
            Dimension::Speed => "Type a drop in speed without the minus sign.",
            _ => "Type it without the minus sign.",
        };
        (format!("{} cannot be below nought", dimension.with_article()), mend)
    } else {
        let reason = if value < least {
            format!("the least that can be met here is {}", show(least))
        } else {
            format!("the most that can be met here is {}", show(most))
        };
        (reason, "Look at the digits, the point and the unit, and type it again.")
    };
    ReadingError::Impossible { typed: shown.to_owned(), reason, mend: mend.to_owned() }
}

#[cfg(test)]
#[path = "parse_tests.rs"]
mod tests;
