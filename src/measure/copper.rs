//! Copper: how a winding's resistance goes with its temperature, and what a wire drops.
//!
//! Owns the published constants of copper and of aircraft wire. Must not know limits.

/// The temperature below nought Celsius at which the resistance of copper would run out on a straight line, in degree
/// Celsius (IEC 60034-1 and IEEE 118 form).
pub const COPPER_ZERO: f64 = 234.5;

/// Greatest resistance of copper wire at 20 C, in ohm per 1,000 ft, by gauge (FAA AC 43.13-1B, table 11-9).
const WIRE: [(u8, f64); 8] =
    [(24, 28.40), (22, 16.20), (20, 9.88), (18, 6.23), (16, 4.81), (14, 3.06), (12, 2.02), (10, 1.26)];

/// What `resistance` of copper at `from` degree Celsius becomes at `to`, in the unit it is given in:
/// R x (234.5 + to) / (234.5 + from). `None` where a temperature is at or below -234.5 C, or is not a number.
pub fn copper_resistance_at(resistance: f64, from: f64, to: f64) -> Option<f64> {
    let (from, to) = (COPPER_ZERO + from, COPPER_ZERO + to);
    (from > 0.0 && to > 0.0).then(|| resistance * to / from)
}

/// The temperature of a copper winding in degree Celsius, from its resistance now and its resistance at a known
/// temperature. `None` where a resistance is not above nought or the temperature is at or below -234.5 C.
pub fn copper_temperature(known: f64, at: f64, now: f64) -> Option<f64> {
    let from = COPPER_ZERO + at;
    (known > 0.0 && now > 0.0 && from > 0.0).then(|| from * now / known - COPPER_ZERO)
}

/// The greatest resistance in ohm of `feet` of copper wire of an American gauge at 20 C. `None` for a gauge that is
/// not in the table (10 to 24, even numbers) or a length below nought.
pub fn wire_resistance(gauge: u8, feet: f64) -> Option<f64> {
    let (_, per_thousand) = WIRE.iter().find(|(known, _)| *known == gauge)?;
    (feet >= 0.0).then(|| per_thousand * feet / 1000.0)
}

/// The greatest voltage in volt that `feet` of wire, out and back together, drops at `amperes`.
/// `None` as for [`wire_resistance`].
pub fn wire_drop(gauge: u8, feet: f64, amperes: f64) -> Option<f64> {
    wire_resistance(gauge, feet).map(|ohms| ohms * amperes)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn correcting_there_and_back_gives_the_same() {
        let hot = copper_resistance_at(3.3, 20.0, 100.0).unwrap();
        assert!((copper_resistance_at(hot, 100.0, 20.0).unwrap() - 3.3).abs() < 1e-12);
        assert!((copper_temperature(3.3, 20.0, hot).unwrap() - 100.0).abs() < 1e-9);
    }

    #[test]
    fn what_cannot_be_is_none() {
        assert_eq!(copper_resistance_at(1.0, -234.5, 20.0), None);
        assert_eq!(copper_resistance_at(1.0, 20.0, f64::NAN), None);
        assert_eq!(copper_temperature(0.0, 20.0, 1.0), None);
        assert_eq!(wire_resistance(11, 10.0), None);
        assert_eq!(wire_drop(18, -1.0, 5.0), None);
    }
}
