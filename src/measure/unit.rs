//! The units a reading can be typed and shown in, and their spellings.
//!
//! Owns the table of units. Must not know numbers: it only turns the text after a number into a unit.

use serde::{Deserialize, Serialize};

use super::{Dimension, ReadingError, text};

/// A unit of measurement: how a number in it becomes a value in the base unit of its dimension.
///
/// The record and the trees hold it by its symbol.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Unit {
    symbol: &'static str,
    dimension: Dimension,
    factor: f64,
    zero: f64,
}

impl Unit {
    /// Plain ratio.
    pub const RATIO: Self = plain("times", Dimension::Ratio, 1.0);

    /// Degree of an angle that is not the crankshaft's.
    pub const DEGREE: Self = DEG;

    /// Reads the name of a unit: `ohm`, `kohm`, `rpm`, `btdc`, `in`, `C` and their common spellings.
    ///
    /// Where a spelling has several meanings `F` is Fahrenheit and `m` is metre.
    ///
    /// # Errors
    /// [`ReadingError::UnknownUnit`] where no unit has that spelling, [`ReadingError::Empty`] for a blank text.
    pub fn parse(name: &str) -> Result<Self, ReadingError> {
        let normal = text::normalised(name)?;
        lookup(&normal, None).ok_or_else(|| ReadingError::UnknownUnit { unit: text::shown(name), wanted: None })
    }

    /// The base unit of a dimension: the one [`super::Quantity::value`] is kept in.
    pub fn base(dimension: Dimension) -> Self {
        match dimension {
            Dimension::Resistance => OHM[2],
            Dimension::Voltage => VOLT[2],
            Dimension::Current => AMPERE[2],
            Dimension::Speed => RPM,
            Dimension::Angle => DEG,
            Dimension::Length => METRE,
            Dimension::Pressure => PASCAL[0],
            Dimension::Temperature => CELSIUS,
            Dimension::Capacitance => FARAD[4],
            Dimension::Volume => LITRE[0],
            Dimension::Time => SECOND,
            Dimension::Ratio => Self::RATIO,
        }
    }

    /// The symbol, as it is written after a number.
    pub fn symbol(&self) -> &'static str {
        self.symbol
    }

    /// What the unit measures.
    pub fn dimension(&self) -> Dimension {
        self.dimension
    }

    /// A number in this unit as a value in the base unit. Fahrenheit and kelvin are shifted to Celsius.
    pub fn to_base(&self, number: f64) -> f64 {
        (number - self.zero) * self.factor
    }

    /// A value in the base unit as a number in this unit.
    pub fn from_base(&self, value: f64) -> f64 {
        value / self.factor + self.zero
    }

    /// A difference in this unit as a difference in the base unit: as [`Self::to_base`], without the shift.
    pub fn difference_to_base(&self, number: f64) -> f64 {
        number * self.factor
    }

    /// A difference in the base unit as a difference in this unit.
    pub fn difference_from_base(&self, value: f64) -> f64 {
        value / self.factor
    }

    /// Whether a number in this unit is already in the base unit.
    pub(super) fn is_base(&self) -> bool {
        *self == Self::base(self.dimension)
    }
}

impl TryFrom<String> for Unit {
    type Error = ReadingError;

    fn try_from(name: String) -> Result<Self, Self::Error> {
        Self::parse(&name)
    }
}

impl From<Unit> for String {
    fn from(unit: Unit) -> Self {
        unit.symbol.to_owned()
    }
}

const fn plain(symbol: &'static str, dimension: Dimension, factor: f64) -> Unit {
    shifted(symbol, dimension, factor, 0.0)
}

const fn shifted(symbol: &'static str, dimension: Dimension, factor: f64, zero: f64) -> Unit {
    Unit { symbol, dimension, factor, zero }
}

// Units that take a prefix, in rising order. Milliohm and megohm are spelt out: one letter's case is a factor of 1e9.
pub(super) const OHM: [Unit; 6] = [
    plain("microhm", Dimension::Resistance, 1e-6),
    plain("milliohm", Dimension::Resistance, 1e-3),
    plain("ohm", Dimension::Resistance, 1.0),
    plain("kohm", Dimension::Resistance, 1e3),
    plain("megohm", Dimension::Resistance, 1e6),
    plain("gigohm", Dimension::Resistance, 1e9),
];
pub(super) const VOLT: [Unit; 4] = [
    plain("uV", Dimension::Voltage, 1e-6),
    plain("mV", Dimension::Voltage, 1e-3),
    plain("V", Dimension::Voltage, 1.0),
    plain("kV", Dimension::Voltage, 1e3),
];
pub(super) const AMPERE: [Unit; 3] =
    [plain("uA", Dimension::Current, 1e-6), plain("mA", Dimension::Current, 1e-3), plain("A", Dimension::Current, 1.0)];
pub(super) const FARAD: [Unit; 5] = [
    plain("pF", Dimension::Capacitance, 1e-12),
    plain("nF", Dimension::Capacitance, 1e-9),
    plain("uF", Dimension::Capacitance, 1e-6),
    plain("mF", Dimension::Capacitance, 1e-3),
    plain("farad", Dimension::Capacitance, 1.0),
];
pub(super) const LITRE: [Unit; 2] = [plain("mL", Dimension::Volume, 1.0), plain("L", Dimension::Volume, 1e3)];
const PASCAL: [Unit; 4] = [
    plain("Pa", Dimension::Pressure, 1.0),
    plain("hPa", Dimension::Pressure, 1e2),
    plain("kPa", Dimension::Pressure, 1e3),
    plain("MPa", Dimension::Pressure, 1e6),
];

const RPM: Unit = plain("rpm", Dimension::Speed, 1.0);
const DEG: Unit = plain("deg", Dimension::Angle, 1.0);
pub(super) const BTDC: Unit = plain("btdc", Dimension::Angle, 1.0);
pub(super) const ATDC: Unit = plain("atdc", Dimension::Angle, -1.0);
const METRE: Unit = plain("m", Dimension::Length, 1.0);
pub(super) const INCH: Unit = plain("in", Dimension::Length, 0.0254);
pub(super) const FOOT: Unit = plain("ft", Dimension::Length, 0.3048);
pub(super) const PSI: Unit = plain("psi", Dimension::Pressure, 6_894.757_293_168_361);
const CELSIUS: Unit = plain("C", Dimension::Temperature, 1.0);
pub(super) const SECOND: Unit = plain("s", Dimension::Time, 1.0);
pub(super) const MINUTE: Unit = plain("min", Dimension::Time, 60.0);
pub(super) const HOUR: Unit = plain("h", Dimension::Time, 3_600.0);

/// Units without a prefix and their spellings, in small letters and without blanks or points.
const FIXED: &[(Unit, &[&str])] = &[
    (RPM, &["rpm", "rev/min", "revs", "r/min", "rpmdrop"]),
    (plain("krpm", Dimension::Speed, 1e3), &["krpm"]),
    (INCH, &["in", "inch", "inches"]),
    (plain("thou", Dimension::Length, 25.4e-6), &["thou", "mil", "mils"]),
    (FOOT, &["ft", "foot", "feet", "'"]),
    (plain("um", Dimension::Length, 1e-6), &["um", "micron", "microns"]),
    (plain("mm", Dimension::Length, 1e-3), &["mm", "millimetre", "millimetres", "millimeter", "millimeters"]),
    (plain("cm", Dimension::Length, 1e-2), &["cm", "centimetre", "centimetres", "centimeter", "centimeters"]),
    (METRE, &["m", "metre", "metres", "meter", "meters"]),
    (PSI, &["psi", "lb/in2", "lbs/in2", "psig"]),
    (plain("inHg", Dimension::Pressure, 3_386.389), &["inhg", "inchhg", "incheshg", "inchesofmercury"]),
    (plain("mmHg", Dimension::Pressure, 133.322_387), &["mmhg"]),
    (plain("mbar", Dimension::Pressure, 1e2), &["mbar", "mb", "millibar"]),
    (plain("bar", Dimension::Pressure, 1e5), &["bar", "bars"]),
    (PASCAL[0], &["pa"]),
    (PASCAL[1], &["hpa"]),
    (CELSIUS, &["c", "degc", "celsius", "degcelsius", "degreescelsius", "degreesc", "centigrade"]),
    (
        shifted("F", Dimension::Temperature, 5.0 / 9.0, 32.0),
        &["f", "degf", "fahrenheit", "degfahrenheit", "degreesfahrenheit", "degreesf"],
    ),
    (shifted("kelvin", Dimension::Temperature, 1.0, 273.15), &["kelvin", "kelvins"]),
    (FARAD[2], &["mfd", "ufd"]),
    (LITRE[0], &["ml", "cc"]),
    (LITRE[1], &["l", "litre", "liter"]),
    (SECOND, &["s", "sec", "secs", "second", "seconds"]),
    (plain("ms", Dimension::Time, 1e-3), &["ms", "msec", "millisecond", "milliseconds"]),
    (MINUTE, &["min", "mins", "minute", "minutes"]),
    (HOUR, &["h", "hr", "hrs", "hour", "hours"]),
    (plain("%", Dimension::Ratio, 0.01), &["%", "percent", "pct"]),
    (Unit::RATIO, &["times", "x", "ratio"]),
];

/// Families that take a prefix, with the spellings of the unit itself in small letters, longest first.
const PREFIXED: &[(&[Unit], &[&str])] = &[
    (&OHM, &["ohms", "ohm", "r"]),
    (&VOLT, &["volts", "volt", "vdc", "vac", "v"]),
    (&AMPERE, &["amperes", "ampere", "amps", "amp", "adc", "a"]),
    (&FARAD, &["farads", "farad", "f"]),
    (&PASCAL, &["pascals", "pascal", "pa"]),
];

/// The unit of the text after a number, among those of `want` where it is given. The text is normalised already.
pub(super) fn lookup(suffix: &str, want: Option<Dimension>) -> Option<Unit> {
    let compact: String = suffix.chars().filter(|c| *c != ' ' && *c != '.').collect();
    let small = compact.to_ascii_lowercase();
    if small.is_empty() {
        return None;
    }
    let wanted = |unit: &Unit| want.is_none_or(|dimension| unit.dimension == dimension);
    // Said of an angle and of a temperature alike, so only when the temperature is asked for.
    if want == Some(Dimension::Temperature) && small == "k" {
        return lookup("kelvin", want);
    }
    if let Some((unit, _)) = FIXED.iter().find(|(unit, names)| wanted(unit) && names.contains(&small.as_str())) {
        return Some(*unit);
    }
    if let Some(unit) = angle(&small).filter(wanted) {
        return Some(unit);
    }
    for (family, names) in PREFIXED {
        if !family.first().is_some_and(wanted) {
            continue;
        }
        for name in *names {
            let Some(length) = small.strip_suffix(name).map(str::len) else {
                continue;
            };
            let found = compact.get(..length).and_then(|prefix| scaled(family, prefix));
            if let Some(unit) = found {
                return Some(unit);
            }
        }
    }
    prefix_alone(&compact, want)
}

/// A prefix with no unit after it, which takes the unit of what is asked for: `8.2k`.
fn prefix_alone(compact: &str, want: Option<Dimension>) -> Option<Unit> {
    match want? {
        Dimension::Resistance => scaled(&OHM, compact),
        Dimension::Voltage => scaled(&VOLT, compact),
        Dimension::Current => scaled(&AMPERE, compact),
        Dimension::Capacitance => scaled(&FARAD, compact),
        Dimension::Speed if compact.eq_ignore_ascii_case("k") => lookup("krpm", Some(Dimension::Speed)),
        _ => None,
    }
}

fn scaled(family: &[Unit], prefix: &str) -> Option<Unit> {
    let factor = match prefix {
        // The one place where the case of a letter matters.
        "m" => 1e-3,
        "M" => 1e6,
        _ => match prefix.to_ascii_lowercase().as_str() {
            "" => 1.0,
            "g" | "gig" | "giga" => 1e9,
            "meg" | "mega" => 1e6,
            "k" | "kil" | "kilo" => 1e3,
            "milli" => 1e-3,
            "u" | "micr" | "micro" => 1e-6,
            "n" | "nano" => 1e-9,
            "p" | "pico" => 1e-12,
            _ => return None,
        },
    };
    // Both numbers are the same literals.
    #[allow(clippy::float_cmp)]
    family.iter().find(|unit| unit.factor == factor).copied()
}

fn angle(small: &str) -> Option<Unit> {
    let rest = ["degrees", "degree", "degs", "deg"].iter().find_map(|word| small.strip_prefix(word));
    match rest.unwrap_or(small) {
        "" | "crank" => rest.map(|_| DEG),
        "btdc" | "btc" | "before" | "beforetdc" | "beforetopdeadcentre" | "beforetopdeadcenter" => Some(BTDC),
        "atdc" | "atc" | "after" | "aftertdc" | "aftertopdeadcentre" | "aftertopdeadcenter" => Some(ATDC),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

    use super::*;

    #[test]
    fn every_spelling_in_the_table_and_every_symbol_names_its_unit() {
        for (unit, names) in FIXED {
            for name in *names {
                assert_eq!(lookup(name, Some(unit.dimension)).unwrap(), *unit, "{name}");
            }
            assert_eq!(Unit::parse(unit.symbol).unwrap(), *unit, "{}", unit.symbol);
        }
        for (family, _) in PREFIXED {
            for unit in *family {
                assert_eq!(Unit::parse(unit.symbol).unwrap(), *unit, "{}", unit.symbol);
            }
        }
        for unit in [DEG, BTDC, ATDC] {
            assert_eq!(Unit::parse(unit.symbol).unwrap(), unit);
        }
        for dimension in Dimension::ALL {
            let base = Unit::base(dimension);
            assert_eq!(base.dimension(), dimension);
            assert!((base.to_base(7.0) - 7.0).abs() < 1e-12);
        }
    }

    #[test]
    fn the_case_of_m_tells_a_thousandth_from_a_million() {
        let ohms = Some(Dimension::Resistance);
        for (suffix, factor) in [
            ("m", 1e-3),
            ("M", 1e6),
            ("mohm", 1e-3),
            ("mOhm", 1e-3),
            ("Mohm", 1e6),
            ("MOHM", 1e6),
            ("meg", 1e6),
            ("MEG", 1e6),
            ("megohms", 1e6),
            ("Megaohm", 1e6),
            ("milliohms", 1e-3),
            ("K", 1e3),
            ("KOHM", 1e3),
            ("kilohm", 1e3),
            ("R", 1.0),
            ("Ohms", 1.0),
            ("G", 1e9),
            ("microhm", 1e-6),
        ] {
            let unit = lookup(suffix, ohms).unwrap_or_else(|| panic!("{suffix}"));
            assert!((unit.factor / factor - 1.0).abs() < 1e-12, "{suffix}");
        }
        // A million volts is no unit of this trade: someone typed in capitals.
        assert_eq!(lookup("MV", Some(Dimension::Voltage)), None);
    }

    #[test]
    fn a_unit_is_written_and_read_back_by_its_symbol() {
        let kohm = Unit::parse("kilohm").unwrap();
        assert_eq!(serde_json::to_string(&kohm).unwrap(), "\"kohm\"");
        assert_eq!(serde_json::from_str::<Unit>("\"kohm\"").unwrap(), kohm);
        assert!(serde_json::from_str::<Unit>("\"furlong\"").is_err());
    }
}
