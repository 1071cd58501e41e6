//! How well an instrument tells.
//!
//! Owns accuracy and standard uncertainty. Must not know limits.

use serde::{Deserialize, Serialize};

use super::{Dimension, Quantity, Unit, unit::INCH};

/// The counts of the display of an ordinary meter: it shows 1.999, then 19.99 (common practice).
const ORDINARY_COUNTS: f64 = 1_999.0;

/// An instrument by its accuracy: a per cent of the reading and some digits of the last place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Instrument {
    /// Its name, as it is said in a sentence.
    pub name: String,
    /// Accuracy in per cent of the reading, 0 or above.
    pub percent: f64,
    /// Accuracy in digits of the last place, 0 or above, on top of the per cent.
    #[serde(default)]
    pub digits: f64,
    /// What one of the last place is worth, in base units. Without it, what is typed tells: see [`Self::last_place`].
    #[serde(default)]
    pub resolution: Option<f64>,
}

impl Instrument {
    /// The instrument of an ordinary tool box, where the shop has not said what it uses. All figures are common practice.
    ///
    /// An ordinary tachometer has an accuracy of nought here on purpose: manuals give their limits of speed and drop
    /// for the figure on the tachometer (simple acceptance, as JCGM 106 calls it), so 50 rpm is not over 50 rpm and
    /// 51 rpm is. A shop whose tachometer is read to 25 rpm says so, and then gets a guard band.
    pub fn ordinary(dimension: Dimension) -> Self {
        let (name, percent, digits, resolution) = match dimension {
            Dimension::Resistance | Dimension::Voltage => ("an ordinary multimeter", 1.0, 3.0, None),
            Dimension::Current => ("an ordinary multimeter", 1.5, 3.0, None),
            Dimension::Speed => ("a digital tachometer", 0.0, 0.0, Some(1.0)),
            Dimension::Angle => ("a timing scale", 0.0, 0.5, Some(1.0)),
            // Half the step between two blades, which is a thousandth of an inch.
            Dimension::Length => ("a feeler gauge", 0.0, 0.5, Some(INCH.to_base(0.001))),
            Dimension::Pressure => ("an ordinary gauge", 1.0, 1.0, None),
            Dimension::Temperature => ("an ordinary thermometer", 1.0, 2.0, Some(1.0)),
            Dimension::Capacitance => ("an ordinary capacitance meter", 3.0, 5.0, None),
            Dimension::Volume => ("a measuring glass", 0.0, 0.5, Some(1.0)),
            Dimension::Time => ("a watch", 0.0, 1.0, Some(1.0)),
            Dimension::Ratio => ("the figures typed", 0.0, 0.0, None),
        };
        Self { name: name.to_owned(), percent, digits, resolution }
    }

    /// What one of the last place is worth for a reading, in base units.
    ///
    /// Where the instrument does not say, it is the last digit typed, but no coarser than the last place of a display of
    /// 1,999 counts on the range that fits, whose lowest has 0.1 ohm, 0.1 mV or 0.1 microampere (common practice): who types
    /// 17k off a display of 17.02 has rounded, and the meter is no worse for it.
    pub fn last_place(&self, reading: Quantity, typed: f64) -> f64 {
        if let Some(resolution) = self.resolution {
            return resolution;
        }
        let mut place = match reading.dimension {
            Dimension::Resistance => 0.1,
            Dimension::Voltage => 1e-4,
            Dimension::Current => 1e-7,
            _ => 1e-15,
        };
        while place * ORDINARY_COUNTS < reading.value.abs() && place < 1e15 {
            place *= 10.0;
        }
        typed.min(place)
    }

    /// The accuracy at a reading, in base units: a % of it and b digits of the last place. `typed` is the worth of the
    /// last digit typed.
    pub fn accuracy(&self, reading: Quantity, typed: f64) -> f64 {
        self.percent / 100.0 * reading.value.abs() + self.digits * self.last_place(reading, typed)
    }

    /// The standard uncertainty at a reading, in base units: the accuracy as half the width of a rectangular distribution
    /// (JCGM 100), and, where digits were rounded off in typing, half of the last one typed likewise.
    pub fn uncertainty(&self, reading: Quantity, typed: f64) -> f64 {
        let place = self.last_place(reading, typed);
        let rounding = if typed > place * (1.0 + 1e-9) { typed / 2.0 } else { 0.0 };
        self.accuracy(reading, typed).hypot(rounding) / 3.0_f64.sqrt()
    }

    /// What it shows of a true value, with its unit: off by `error`, from -1 to 1, times its accuracy, and to its last place. Never
    /// outside what a reading can be.
    pub fn shows(&self, actual: Quantity, error: f64, unit: Option<&Unit>) -> String {
        // Nothing is rounded off in typing what a display shows.
        let typed = f64::INFINITY;
        let (least, most) = actual.dimension.possible();
        let value = actual.value + error.clamp(-1.0, 1.0) * self.accuracy(actual, typed);
        let shown = Quantity::new(actual.dimension, value.clamp(least, most));
        shown.show_to(self.last_place(shown, typed), unit)
    }

    /// Whether its figures are numbers of nought or above, as an accuracy must be.
    pub fn is_sound(&self) -> bool {
        [self.percent, self.digits, self.resolution.unwrap_or(0.0)]
            .iter()
            .all(|figure| figure.is_finite() && *figure >= 0.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ohms(value: f64) -> Quantity {
        Quantity::new(Dimension::Resistance, value)
    }

    #[test]
    fn the_last_place_is_what_is_typed_or_what_a_display_would_show() {
        let meter = Instrument::ordinary(Dimension::Resistance);
        for (value, typed, place) in [
            (17_000.0, 1000.0, 10.0),
            (17_020.0, 10.0, 10.0),
            (17_024.0, 1.0, 1.0),
            (85.0, 1.0, 0.1),
            (0.3, 0.1, 0.1),
            (0.03, 0.01, 0.01),
            (0.0, 1.0, 0.1),
        ] {
            let found = meter.last_place(ohms(value), typed);
            assert!((found / place - 1.0).abs() < 1e-9, "{value}: {found}");
        }
    }

    #[test]
    fn what_is_shown_reads_back_within_the_accuracy_and_to_the_last_place() {
        let meter = Instrument::ordinary(Dimension::Resistance);
        assert_eq!(meter.shows(ohms(8_200.0), 0.0, None), "8.20 kohm");
        assert_eq!(meter.shows(ohms(0.0), -1.0, None), "0.0 ohm");
        let gauge = Instrument::ordinary(Dimension::Length);
        assert_eq!(gauge.shows(Quantity::new(Dimension::Length, INCH.to_base(0.0182)), 0.0, Some(&INCH)), "0.018 in");
        for dimension in Dimension::ALL {
            let instrument = Instrument::ordinary(dimension);
            let unit = Unit::base(dimension);
            for (size, error) in [(0.02_f64, 0.9), (0.3, -0.4), (7.0, 1.0), (150.0, -1.0)] {
                let (least, most) = dimension.possible();
                let size = f64::clamp(size, least, most / 2.0);
                let actual = Quantity::new(dimension, size);
                let shown = instrument.shows(actual, error, Some(&unit));
                let read = crate::measure::parse_reading(&shown, dimension, Some(&unit));
                let Ok(crate::measure::Reading::Value { quantity, .. }) = read else {
                    unreachable!("{shown} does not read back: {read:?}")
                };
                let place = instrument.last_place(actual, f64::INFINITY);
                let most = instrument.accuracy(actual, f64::INFINITY) + place;
                assert!((quantity.value - size).abs() <= most * (1.0 + 1e-9), "{dimension}: {size} shows {shown}");
            }
        }
    }

    #[test]
    fn digits_rounded_off_in_typing_widen_the_uncertainty() {
        let meter = Instrument::ordinary(Dimension::Resistance);
        let full = meter.uncertainty(ohms(17_020.0), 10.0);
        let rounded = meter.uncertainty(ohms(17_000.0), 1000.0);
        assert!((full - (170.2 + 30.0) / 3.0_f64.sqrt()).abs() < 1e-6);
        assert!((rounded - 200.0_f64.hypot(500.0) / 3.0_f64.sqrt()).abs() < 1e-6);
    }
}
