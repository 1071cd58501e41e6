//! A value with its dimension, and how it is shown to a person.
//!
//! Must not know what is typed or judged.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::{
    Dimension, Unit,
    unit::{AMPERE, ATDC, BTDC, FARAD, FOOT, HOUR, INCH, MINUTE, OHM, PSI, SECOND, VOLT},
};

/// A value in the base unit of its dimension.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Quantity {
    /// What it measures.
    pub dimension: Dimension,
    /// The value in the base unit: ohm, volt, ampere, rpm, degree (before top dead centre positive), metre, pascal,
    /// degree Celsius, farad, second, 1.
    pub value: f64,
}

impl Quantity {
    /// A quantity of `value` base units.
    pub fn new(dimension: Dimension, value: f64) -> Self {
        Self { dimension, value }
    }

    /// Friendly text to four figures: `8.2 kohm`, `0.018 in`, `150 rpm`, `25 deg before TDC`.
    ///
    /// Electrical values choose their own prefix. For the others a unit of the same dimension in `hint` is used as it is, so
    /// that a limit in millimetres is shown in millimetres; `deg` shows an angle that is not the crankshaft's.
    pub fn show(&self, hint: Option<&Unit>) -> String {
        self.written(hint, false)
    }

    /// As [`Self::show`], for a difference of two values: 18 F apart is 10 C apart, and an angle has no top dead centre.
    pub fn show_difference(&self, hint: Option<&Unit>) -> String {
        self.written(hint, true)
    }

    /// As an instrument whose last place is worth `place` base units shows it: every digit down to that place, noughts at the end
    /// included, with a unit, so that it reads back as what was shown: `8.20 kohm`, `0.018 in`, `2.0 deg`.
    pub fn show_to(&self, place: f64, hint: Option<&Unit>) -> String {
        let hint = hint.filter(|unit| unit.dimension() == self.dimension);
        let fitting =
            if self.dimension == Dimension::Angle { hint.copied().unwrap_or(Unit::DEGREE) } else { self.unit(hint) };
        // A display with tenths of an ohm shows 0.5 ohm, not 524 milliohm.
        let too_fine = fitting.difference_from_base(place).abs() > 1.0 + 1e-9;
        let unit = if too_fine { hint.copied().unwrap_or_else(|| Unit::base(self.dimension)) } else { fitting };
        let step = unit.difference_from_base(place).abs();
        // Twelve places are beyond any instrument; a last place of nought would ask for all there are.
        let places = (0..12).find(|places| 10_f64.powi(-places) <= step * (1.0 + 1e-9)).unwrap_or(12);
        let number = unit.from_base(self.value);
        let number = if step > 1.0 { (number / step).round() * step } else { number };
        let number = if number == 0.0 { 0.0 } else { number };
        let text = format!("{number:.*}", usize::try_from(places).unwrap_or(0));
        let text = text.strip_prefix('-').filter(|rest| rest.chars().all(|c| "0.".contains(c))).unwrap_or(&text);
        format!("{text} {}", unit.symbol())
    }

    fn written(&self, hint: Option<&Unit>, difference: bool) -> String {
        if !self.value.is_finite() {
            return format!("no {}", self.dimension);
        }
        let hint = hint.filter(|unit| unit.dimension() == self.dimension);
        let unit = self.unit(hint);
        if self.dimension == Dimension::Angle {
            return self.angle(&unit, difference);
        }
        let number = if difference { unit.difference_from_base(self.value) } else { unit.from_base(self.value) };
        match unit.symbol() {
            "times" => figures(number),
            "%" => format!("{} %", figures(number)),
            symbol => format!("{} {symbol}", figures(number)),
        }
    }

    /// The unit that it is shown in.
    pub(super) fn unit(&self, hint: Option<&Unit>) -> Unit {
        let size = self.value.abs();
        let by_size = match self.dimension {
            Dimension::Resistance => fitting(&OHM, size),
            Dimension::Voltage => fitting(&VOLT, size),
            Dimension::Current => fitting(&AMPERE, size),
            // The trade says 0.35 microfarad, not 350 nanofarad, and never millifarad.
            Dimension::Capacitance if size >= 1e-8 => FARAD[2],
            Dimension::Capacitance => fitting(&FARAD, size),
            _ => return hint.copied().unwrap_or_else(|| self.without_hint(size)),
        };
        // A value of nothing has no size to choose a prefix by.
        if size > 0.0 { by_size } else { Unit::base(self.dimension) }
    }

    fn without_hint(&self, size: f64) -> Unit {
        match self.dimension {
            Dimension::Length if size < FOOT.to_base(1.0) => INCH,
            Dimension::Length => FOOT,
            Dimension::Pressure => PSI,
            Dimension::Angle => BTDC,
            Dimension::Time if size < MINUTE.to_base(2.0) => SECOND,
            Dimension::Time if size < HOUR.to_base(2.0) => MINUTE,
            Dimension::Time => HOUR,
            other => Unit::base(other),
        }
    }

    fn angle(&self, unit: &Unit, difference: bool) -> String {
        let of_crank = *unit == BTDC || *unit == ATDC;
        if difference || !of_crank {
            return format!("{} deg", figures(self.value));
        }
        let size = figures(self.value.abs());
        if size == "0" {
            "0 deg before TDC".to_owned()
        } else if self.value > 0.0 {
            format!("{size} deg before TDC")
        } else {
            format!("{size} deg after TDC")
        }
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.show(None))
    }
}

/// The greatest unit of a family in which the value is still at least one, or the least there is.
fn fitting(family: &[Unit], size: f64) -> Unit {
    let fits = |unit: &&Unit| unit.from_base(size) >= 0.99995;
    let least = family.first().copied().unwrap_or(Unit::RATIO);
    family.iter().rev().find(fits).copied().unwrap_or(least)
}

/// Four significant figures, more where a whole number has them, without trailing noughts.
pub(super) fn figures(number: f64) -> String {
    if number == 0.0 || !number.is_finite() {
        return "0".to_owned();
    }
    let mut places = 0;
    let mut bound = 1000.0;
    while places < 15 && number.abs() < bound {
        places += 1;
        bound /= 10.0;
    }
    let text = format!("{number:.places$}");
    let text = if places > 0 { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
    // Rounding can leave a nought with a minus sign.
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

    use super::*;

    #[test]
    fn values_by_how_they_are_shown() {
        use Dimension::{
            Angle, Capacitance, Current, Length, Pressure, Ratio, Resistance, Speed, Temperature, Time, Voltage,
        };
        for (dimension, value, hint, text) in [
            (Resistance, 8200.0, None, "8.2 kohm"),
            (Resistance, 8200.0, Some("ohm"), "8.2 kohm"),
            (Resistance, 85.0, None, "85 ohm"),
            (Resistance, 0.0025, None, "2.5 milliohm"),
            (Resistance, 60e6, None, "60 megohm"),
            (Resistance, 0.0, None, "0 ohm"),
            (Voltage, 0.24, None, "240 mV"),
            (Voltage, -12.4, None, "-12.4 V"),
            (Voltage, 1e4, None, "10 kV"),
            (Current, 0.008, None, "8 mA"),
            (Capacitance, 0.35e-6, None, "0.35 uF"),
            (Capacitance, 47e-12, None, "47 pF"),
            (Speed, 150.0, None, "150 rpm"),
            (Speed, 12_345.0, None, "12345 rpm"),
            (Angle, 25.0, None, "25 deg before TDC"),
            (Angle, -25.0, None, "25 deg after TDC"),
            (Angle, 0.0, None, "0 deg before TDC"),
            (Angle, 10.0, Some("deg"), "10 deg"),
            (Angle, -5.0, Some("btdc"), "5 deg after TDC"),
            (Length, 0.018 * 0.0254, None, "0.018 in"),
            (Length, 0.45e-3, Some("mm"), "0.45 mm"),
            (Length, 0.9144, None, "3 ft"),
            (Pressure, 75.0 * 6_894.757_293, None, "75 psi"),
            (Pressure, 101_325.0, Some("inHg"), "29.92 inHg"),
            (Temperature, 20.0, None, "20 C"),
            (Temperature, 20.0, Some("F"), "68 F"),
            (Time, 45.0, None, "45 s"),
            (Time, 1200.0, None, "20 min"),
            (Time, 1.8e6, None, "500 h"),
            (Ratio, 1.24, None, "1.24"),
            (Ratio, 1.24, Some("%"), "124 %"),
            (Resistance, f64::NAN, None, "no resistance"),
        ] {
            let hint = hint.map(|name| Unit::parse(name).unwrap());
            assert_eq!(Quantity::new(dimension, value).show(hint.as_ref()), text);
        }
        let fahrenheit = Unit::parse("F").unwrap();
        let apart = Quantity::new(Temperature, 10.0);
        assert_eq!(apart.show_difference(Some(&fahrenheit)), "18 F");
        assert_eq!(Quantity::new(Angle, -2.0).show_difference(None), "-2 deg");
    }
}
