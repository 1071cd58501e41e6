//! Tables of what is typed and what becomes of it, and the laws that hold for anything typed.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use proptest::prelude::*;

use super::*;
use Dimension::{
    Angle, Capacitance, Current, Length, Pressure, Ratio, Resistance, Speed, Temperature, Time, Voltage, Volume,
};

fn unit(name: &str) -> Unit {
    Unit::parse(name).unwrap()
}

fn close(left: f64, right: f64) -> bool {
    (left - right).abs() <= 1e-12 * right.abs().max(1e-12)
}

#[test]
fn readings_by_notation() {
    // typed, asked for, unit of a bare number, value, last digit
    for (typed, dimension, default, value, step) in [
        ("8.2k", Resistance, "ohm", 8200.0, 100.0),
        ("8k2", Resistance, "ohm", 8200.0, 100.0),
        ("8K25", Resistance, "ohm", 8250.0, 10.0),
        ("85", Resistance, "ohm", 85.0, 1.0),
        ("85", Resistance, "kohm", 85_000.0, 1000.0),
        ("8.2k", Resistance, "kohm", 8200.0, 100.0),
        ("0.085 kohm", Resistance, "ohm", 85.0, 1.0),
        ("  8.2   K  Ohm ", Resistance, "ohm", 8200.0, 100.0),
        ("8.20 kΩ", Resistance, "ohm", 8200.0, 10.0),
        ("8.20\u{a0}k\u{2126}", Resistance, "ohm", 8200.0, 10.0),
        ("8,2k", Resistance, "ohm", 8200.0, 100.0),
        ("8,25 kohm", Resistance, "ohm", 8250.0, 10.0),
        ("2,400", Resistance, "ohm", 2400.0, 1.0),
        ("2,400 ohms", Resistance, "ohm", 2400.0, 1.0),
        ("0,018", Length, "in", 0.018 * 0.0254, 0.001 * 0.0254),
        ("1.2M", Resistance, "ohm", 1.2e6, 1e5),
        ("1M", Resistance, "ohm", 1e6, 1e6),
        ("60 M", Resistance, "ohm", 60e6, 1e6),
        ("60 Mohm", Resistance, "ohm", 60e6, 1e6),
        ("60 megohms", Resistance, "ohm", 60e6, 1e6),
        ("60 MEG", Resistance, "ohm", 60e6, 1e6),
        ("60 m", Resistance, "ohm", 0.06, 0.001),
        ("2.5 mohm", Resistance, "ohm", 0.0025, 0.0001),
        ("4R7", Resistance, "ohm", 4.7, 0.1),
        ("short", Resistance, "ohm", 0.0, 0.1),
        ("0", Resistance, "ohm", 0.0, 1.0),
        ("-0.0", Resistance, "ohm", 0.0, 0.1),
        (".018", Length, "in", 0.018 * 0.0254, 0.001 * 0.0254),
        ("18 thou", Length, "in", 0.018 * 0.0254, 0.001 * 0.0254),
        ("0.018\"", Length, "mm", 0.018 * 0.0254, 0.001 * 0.0254),
        (".45 mm", Length, "in", 0.45e-3, 0.01e-3),
        ("3.5ft", Length, "in", 3.5 * 0.3048, 0.1 * 0.3048),
        ("1m", Length, "ft", 1.0, 1.0),
        ("150 rpm", Speed, "rpm", 150.0, 1.0),
        ("150RPM", Speed, "rpm", 150.0, 1.0),
        ("2,400 rpm", Speed, "rpm", 2400.0, 1.0),
        ("2 400", Speed, "rpm", 2400.0, 1.0),
        ("1.7k", Speed, "rpm", 1700.0, 100.0),
        ("25 btdc", Angle, "deg", 25.0, 1.0),
        ("25 BTDC", Angle, "deg", 25.0, 1.0),
        ("25 deg before TDC", Angle, "deg", 25.0, 1.0),
        ("25° B.T.D.C.", Angle, "deg", 25.0, 1.0),
        ("25 atdc", Angle, "deg", -25.0, 1.0),
        ("-5", Angle, "deg", -5.0, 1.0),
        ("5", Angle, "atdc", -5.0, 1.0),
        ("12.4v", Voltage, "V", 12.4, 0.1),
        ("12V4", Voltage, "V", 12.4, 0.1),
        ("240 mV", Voltage, "V", 0.24, 0.001),
        ("240 mv", Voltage, "V", 0.24, 0.001),
        ("-0.3 V", Voltage, "V", -0.3, 0.1),
        ("\u{2212}0.3 V", Voltage, "V", -0.3, 0.1),
        ("10 kV", Voltage, "V", 1e4, 1e3),
        ("12.4 V DC", Voltage, "V", 12.4, 0.1),
        ("250 mA", Current, "A", 0.25, 0.001),
        ("3.5 amps", Current, "A", 3.5, 0.1),
        ("0.35uF", Capacitance, "uF", 0.35e-6, 0.01e-6),
        ("0.35", Capacitance, "uF", 0.35e-6, 0.01e-6),
        ("0.35 µF", Capacitance, "uF", 0.35e-6, 0.01e-6),
        ("0.35 \u{3bc}f", Capacitance, "uF", 0.35e-6, 0.01e-6),
        ("120 mL", Volume, "mL", 120.0, 1.0),
        ("0.12 litre", Volume, "mL", 120.0, 10.0),
        ("350n", Capacitance, "uF", 350e-9, 1e-9),
        ("0.35 MFD", Capacitance, "uF", 0.35e-6, 0.01e-6),
        ("75", Pressure, "psi", 75.0 * 6_894.757_293_168_361, 6_894.757_293_168_361),
        ("28.5 in Hg", Pressure, "psi", 28.5 * 3_386.389, 338.638_9),
        ("68 F", Temperature, "C", 20.0, 5.0 / 9.0),
        ("20", Temperature, "C", 20.0, 1.0),
        ("20°C", Temperature, "F", 20.0, 1.0),
        ("293.15 K", Temperature, "C", 20.0, 0.01),
        ("20 min", Time, "s", 1200.0, 60.0),
        ("120 %", Ratio, "times", 1.2, 0.01),
        ("1.2x", Ratio, "times", 1.2, 0.1),
        ("1e3", Resistance, "ohm", 1000.0, 1000.0),
    ] {
        let reading = parse_reading(typed, dimension, Some(&unit(default)));
        let Ok(Reading::Value { quantity, resolution }) = reading else {
            panic!("{typed:?}: {reading:?}");
        };
        assert_eq!(quantity.dimension, dimension, "{typed:?}");
        // Kelvin loses digits to the shift.
        let near = (quantity.value - value).abs() <= 1e-12 * value.abs().max(1e-3);
        assert!(near && close(resolution, step), "{typed:?}: {quantity:?} {resolution}");
        assert!(quantity.value.is_sign_positive() || quantity.value < 0.0, "{typed:?}");
    }
}

#[test]
fn open_circuits_by_notation() {
    for typed in [
        "OL",
        "ol",
        " O.L ",
        "0L",
        "0.L",
        "O.L.",
        "OL Mohm",
        "OL kΩ",
        "0L M",
        "open",
        "Open circuit",
        "no continuity",
        "OVERLOAD",
    ] {
        assert_eq!(parse_reading(typed, Resistance, None), Ok(Reading::Open), "{typed:?}");
        let error = parse_reading(typed, Voltage, None).unwrap_err();
        assert_eq!(error, ReadingError::OpenNotHere(Voltage), "{typed:?}");
        assert!(error.to_string().contains("higher range"));
    }
}

// A table is as long as it has rows.
#[allow(clippy::too_many_lines)]
#[test]
fn refusals_by_what_they_say() {
    for (typed, dimension, says) in [
        ("", Resistance, "Nothing was typed. Type it like 85, 8.2k"),
        ("   ", Voltage, "Type it like 12.4 V"),
        ("12.4 V", Resistance, "is a voltage, and a resistance is asked for"),
        ("150 rpm", Voltage, "is a speed, and a voltage is asked for"),
        ("8.2 kohm", Voltage, "is a resistance, and a voltage is asked for"),
        ("-85", Resistance, "a resistance cannot be below nought. Make sure that the circuit is dead"),
        ("-60 rpm", Speed, "without the minus sign"),
        ("90,000 rpm", Speed, "the most that can be met here is 10000 rpm"),
        ("90000", Speed, "the most that can be met here is 10000 rpm"),
        ("400 btdc", Angle, "the most that can be met here is 180 deg before TDC"),
        ("-5 atdc", Angle, "Type the degrees without the sign"),
        ("240 MV", Voltage, "Small m is a thousandth and capital M a million"),
        ("0.35 MF", Capacitance, "The unit \"MF\" is not known for a capacitance"),
        ("5000 F", Temperature, "the most that can be met here is 2552 F"),
        ("8.2 furlongs", Length, "The unit \"furlongs\" is not known for a length"),
        ("NaN", Resistance, "is not a number that a meter can show"),
        ("inf", Resistance, "or OL where an ohmmeter shows an open circuit"),
        ("-infinity", Voltage, "is not a number that a meter can show"),
        ("∞", Resistance, "is not a number that a meter can show"),
        ("1e999", Resistance, "is not a number that a meter can show"),
        ("1e-999", Resistance, "is not a number that a meter can show"),
        ("1e15", Resistance, "the most that can be met here is 1000 gigohm"),
        ("eight", Resistance, "cannot be read as a number"),
        ("1.2.3", Voltage, "cannot be read as a number"),
        ("12,400 V", Voltage, "can mean 12.4 V as well as 12.4 kV"),
        ("8,200 kohm", Resistance, "can mean 8.2 kohm as well as 8.2 megohm. Type the one that is meant"),
        ("\u{1b}[2J", Voltage, "\"\u{fffd}[2J\" cannot be read"),
        ("8 \u{202e}k", Resistance, "The unit \"\u{fffd}k\" is not known"),
    ] {
        let error = parse_reading(typed, dimension, None).unwrap_err().to_string();
        assert!(error.contains(says), "{typed:?}: {error}");
        assert!(error.ends_with('.'), "{typed:?}: {error}");
    }
    let long = "1".repeat(LONGEST_INPUT + 1);
    assert_eq!(parse_reading(&long, Resistance, None), Err(ReadingError::TooLong(65)));
    // A comma that only one reading makes possible is taken that way.
    let turns = parse_reading("25,000 deg", Angle, None).unwrap();
    assert_eq!(turns, Reading::Value { quantity: Quantity::new(Angle, 25.0), resolution: 0.001 });
}

#[test]
fn quantities_of_trees() {
    for (text, default, dimension, value) in [
        ("8 kohm", Some("ohm"), Resistance, 8000.0),
        ("0.016 in", Some("mm"), Length, 0.016 * 0.0254),
        ("20 C", None, Temperature, 20.0),
        ("68 F", None, Temperature, 20.0),
        ("3 ft", None, Length, 0.9144),
        ("0.3 uF", None, Capacitance, 0.3e-6),
        ("60", Some("ohm"), Resistance, 60.0),
        ("-0.2 ohm", Some("ohm"), Resistance, -0.2),
        ("5 atdc", Some("deg"), Angle, -5.0),
        ("100 Mohm", None, Resistance, 1e8),
        ("2 m", None, Length, 2.0),
    ] {
        let quantity = parse_quantity(text, default.map(unit).as_ref()).unwrap();
        assert_eq!(quantity.dimension, dimension, "{text}");
        assert!((quantity.value - value).abs() <= 1e-12 * value.abs().max(1e-3), "{text}: {quantity:?}");
    }
    let bare = parse_quantity("8", None).unwrap_err();
    assert!(bare.to_string().contains("has no unit"));
    assert!(matches!(parse_quantity("8k", None), Err(ReadingError::UnknownUnit { .. })));
    assert!(matches!(parse_quantity("3 ft", Some(&unit("ohm"))), Err(ReadingError::WrongUnit { .. })));
    assert!(matches!(parse_quantity("-400 C", None), Err(ReadingError::Impossible { .. })));
}

#[test]
fn edges_are_read_as_their_basis_wants_them() {
    let ohm = unit("ohm");
    let fahrenheit = unit("F");
    for (text, basis, unit, value) in [
        ("8 kohm", Basis::Absolute, ohm, 8000.0),
        ("60 ohm per foot", Basis::PerFoot, ohm, 60.0),
        ("60 ohm/ft", Basis::PerFoot, ohm, 60.0),
        ("60", Basis::PerFoot, ohm, 60.0),
        ("1.2", Basis::RatioToPeers, ohm, 1.2),
        ("120 %", Basis::RatioToPeers, ohm, 1.2),
        ("18 F", Basis::DifferenceToOtherSide, fahrenheit, 10.0),
        ("-18", Basis::ChangeFromBefore, fahrenheit, -10.0),
        ("68", Basis::Absolute, fahrenheit, 20.0),
    ] {
        let edge = parse_edge(text, basis, &unit).unwrap();
        assert!((edge - value).abs() < 1e-9, "{text}: {edge}");
    }
    assert!(parse_edge("1.2 ohm", Basis::RatioToPeers, &ohm).is_err());
}

proptest! {
    #[test]
    fn nothing_typed_panics(text in any::<String>(), which in 0..Dimension::ALL.len()) {
        let _ = parse_reading(&text, Dimension::ALL[which], None);
        let _ = parse_quantity(&text, None);
        let _ = parse_difference(&text, Some(&Unit::base(Dimension::ALL[which])));
        let _ = Unit::parse(&text);
    }

    #[test]
    fn nothing_like_a_reading_panics_or_leaves_its_bounds(
        text in "[-+ ]{0,2}[0-9.,eE ]{0,12}[kKmMuUnRVΩµ°\"'%a-zA-Z ]{0,8}[0-9]{0,3}",
        which in 0..Dimension::ALL.len(),
    ) {
        let dimension = Dimension::ALL[which];
        if let Ok(Reading::Value { quantity, resolution }) = parse_reading(&text, dimension, None) {
            let (least, most) = dimension.possible();
            prop_assert_eq!(quantity.dimension, dimension);
            prop_assert!(quantity.value >= least && quantity.value <= most);
            prop_assert!(resolution > 0.0 && resolution.is_finite());
        }
    }

    #[test]
    fn what_is_shown_can_be_typed(which in 0..Dimension::ALL.len(), part in 0.0..1.0_f64, small in 0..12_i32) {
        let dimension = Dimension::ALL[which];
        let (least, most) = dimension.possible();
        let value = (most * part * 0.1_f64.powi(small)).clamp(least, most);
        let shown = Quantity::new(dimension, value).show(None);
        let Ok(Reading::Value { quantity, .. }) = parse_reading(&shown, dimension, None) else {
            return Err(TestCaseError::fail(format!("{value} is shown as {shown}")));
        };
        // Four figures are shown.
        prop_assert!((quantity.value - value).abs() <= 6e-4 * value.abs() + 1e-14, "{} {}", value, shown);
    }

    #[test]
    fn a_typed_number_keeps_its_value_and_last_digit(whole in 1_u32..9999, tenths in 0_u32..10, prefix in "[kM]?") {
        let factor = match prefix.as_str() { "k" => 1e3, "M" => 1e6, _ => 1.0 };
        let text = format!("{whole}.{tenths} {prefix}ohm");
        let Ok(Reading::Value { quantity, resolution }) = parse_reading(&text, Resistance, None) else {
            return Err(TestCaseError::fail(text));
        };
        prop_assert!(close(quantity.value, (f64::from(whole) + f64::from(tenths) / 10.0) * factor));
        prop_assert!(close(resolution, 0.1 * factor));
    }
}
