//! The kinds of quantity that are measured on an ignition system, and the values each can take.
//!
//! Must not know how they are typed or shown.

use std::fmt;

use serde::{Deserialize, Serialize};

/// A kind of quantity. Values of it are kept in the base unit named beside each.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Dimension {
    /// Electrical resistance, in ohm.
    Resistance,
    /// Electrical potential, in volt.
    Voltage,
    /// Electrical current, in ampere.
    Current,
    /// Speed of the crankshaft, or a drop of it, in revolutions per minute.
    Speed,
    /// Angle of the crankshaft or of a rotor, in degree; of the crankshaft, before top dead centre is positive.
    Angle,
    /// Length or gap, in metre.
    Length,
    /// Pressure as the gauge shows it, in pascal.
    Pressure,
    /// Temperature, in degree Celsius.
    Temperature,
    /// Capacitance, in farad.
    Capacitance,
    /// Volume of fuel caught, in millilitre.
    Volume,
    /// Time, in second.
    Time,
    /// A ratio of two like quantities, as a plain number.
    Ratio,
}

impl Dimension {
    /// Every dimension, in the order of declaration.
    pub const ALL: [Self; 12] = [
        Self::Resistance,
        Self::Voltage,
        Self::Current,
        Self::Speed,
        Self::Angle,
        Self::Length,
        Self::Pressure,
        Self::Temperature,
        Self::Capacitance,
        Self::Volume,
        Self::Time,
        Self::Ratio,
    ];

    /// Its name with the article, for a sentence: "a voltage", "an angle".
    pub fn with_article(self) -> String {
        let article = if self == Self::Angle { "an" } else { "a" };
        format!("{article} {self}")
    }

    /// The symbol of its base unit; 1 for a ratio.
    pub fn base_unit(self) -> &'static str {
        match self {
            Self::Resistance => "ohm",
            Self::Voltage => "V",
            Self::Current => "A",
            Self::Speed => "rpm",
            Self::Angle => "deg",
            Self::Length => "m",
            Self::Pressure => "Pa",
            Self::Temperature => "C",
            Self::Capacitance => "F",
            Self::Volume => "mL",
            Self::Time => "s",
            Self::Ratio => "1",
        }
    }

    /// How such a reading can be typed, for the mend in an error.
    pub fn examples(self) -> &'static str {
        match self {
            Self::Resistance => "85, 8.2k, 8k2, 0.085 kohm, 60 Mohm or OL",
            Self::Voltage => "12.4 V, 240 mV or 10 kV",
            Self::Current => "3.5 A or 250 mA",
            Self::Speed => "150 rpm",
            Self::Angle => "25 btdc, 5 atdc or 10 deg",
            Self::Length => "0.018 in, 18 thou, 0.45 mm or 3 ft",
            Self::Pressure => "75 psi, 28.5 inHg or 5.2 bar",
            Self::Temperature => "20 C or 68 F",
            Self::Capacitance => "0.35 uF or 350 nF",
            Self::Volume => "120 mL or 0.12 L",
            Self::Time => "90 s, 20 min or 1.5 h",
            Self::Ratio => "1.2 or 120 %",
        }
    }

    /// The least and greatest value a reading can have on a piston aircraft engine, in base units.
    ///
    /// These are generous bounds against slips of the keyboard (common practice), not limits of serviceability.
    pub fn possible(self) -> (f64, f64) {
        match self {
            Self::Resistance => (0.0, 1e12),
            Self::Voltage => (-1e5, 1e5),
            Self::Current => (-1e3, 1e3),
            Self::Speed => (0.0, 1e4),
            Self::Angle => (-180.0, 180.0),
            Self::Length => (0.0, 100.0),
            // Gauges also show suction, down to a vacuum.
            Self::Pressure => (-101_325.0, 5e7),
            Self::Temperature => (-90.0, 1_400.0),
            Self::Capacitance => (0.0, 1.0),
            Self::Volume => (0.0, 1e5),
            Self::Time => (0.0, 1e9),
            Self::Ratio => (0.0, 1e6),
        }
    }
}

impl fmt::Display for Dimension {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Resistance => "resistance",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Speed => "speed",
            Self::Angle => "angle",
            Self::Length => "length",
            Self::Pressure => "pressure",
            Self::Temperature => "temperature",
            Self::Capacitance => "capacitance",
            Self::Volume => "volume",
            Self::Time => "time",
            Self::Ratio => "ratio",
        })
    }
}
