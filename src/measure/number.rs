//! The number at the head of a typed reading.
//!
//! Owns points, commas, marks of thousands, exponents and the `8k2` way of writing. Must not know units: what follows
//! the number is handed back as text.

/// A number as typed: its value, the size of its last digit, and what follows it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Typed {
    /// Whether a minus sign was typed.
    pub(super) negative: bool,
    /// The magnitude.
    pub(super) number: Number,
    /// The other reading of its comma, where a decimal comma and a mark of thousands look alike:
    /// `number` then takes it for a mark of thousands, and this for a decimal comma.
    pub(super) decimal: Option<Number>,
    /// The text after the number, trimmed.
    pub(super) suffix: String,
}

/// A magnitude and the size of its last typed digit. Either can be infinite where the exponent is absurd.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Number {
    pub(super) value: f64,
    pub(super) step: f64,
}

/// Splits a normalised text into its number and the rest, or `None` where it does not begin with a number.
pub(super) fn scan(text: &str) -> Option<Typed> {
    let (negative, unsigned) = match text.strip_prefix('-') {
        Some(rest) => (true, rest),
        None => (false, text.strip_prefix('+').unwrap_or(text)),
    };
    let unsigned = unsigned.trim_start();
    let (head, rest) = unsigned.split_at(digits_end(unsigned));
    let (exponent, rest) = exponent(rest);
    let rest = rest.trim_start();
    if exponent.is_empty()
        && let Some((digits, suffix)) = infix(head, rest)
    {
        return Some(Typed { negative, number: number(head, digits, exponent)?, decimal: None, suffix });
    }
    let (whole, fraction, ambiguous) = separate(head)?;
    let decimal = match ambiguous {
        Some((left, right)) => Some(number(left, right, exponent)?),
        None => None,
    };
    Some(Typed { negative, number: number(&whole, &fraction, exponent)?, decimal, suffix: rest.trim_end().to_owned() })
}

/// Where the digits end: digits, points, commas, and blanks that stand between digits.
fn digits_end(text: &str) -> usize {
    let bytes = text.as_bytes();
    let digit = |at: usize| bytes.get(at).is_some_and(u8::is_ascii_digit);
    let mut end = 0;
    while let Some(byte) = bytes.get(end) {
        let inside = match byte {
            b'0'..=b'9' | b'.' | b',' => true,
            b' ' => end > 0 && digit(end - 1) && digit(end + 1),
            _ => false,
        };
        if !inside {
            break;
        }
        end += 1;
    }
    end
}

/// `e6`, `E-3`: the exponent's digits with their sign, and what follows.
fn exponent(text: &str) -> (&str, &str) {
    let Some(after) = text.strip_prefix(['e', 'E']) else {
        return ("", text);
    };
    let sign = usize::from(after.starts_with(['+', '-']));
    let digits = after.get(sign..).unwrap_or_default();
    let count = digits.bytes().take_while(u8::is_ascii_digit).count();
    if count == 0 {
        return ("", text);
    }
    after.split_at(sign + count)
}

/// `8k2`, `4R7`, `12V4`: a letter in the place of the point. Gives the digits after it, and the unit.
fn infix<'a>(head: &str, rest: &'a str) -> Option<(&'a str, String)> {
    let letter = rest.chars().next().filter(|c| "rRkKmMuUnNpPgGvV".contains(*c))?;
    let after = rest.get(1..)?;
    let count = after.bytes().take_while(u8::is_ascii_digit).count();
    if count == 0 || head.is_empty() || !head.bytes().all(|b| b.is_ascii_digit()) {
        return None;
    }
    let (digits, unit) = after.split_at(count);
    let unit = unit.trim();
    // The letter is the unit itself and can be said again after the digits: 4R7 ohm, 12V4 V.
    let said_again = letter.eq_ignore_ascii_case(&'r') && !unit.is_empty()
        || letter.eq_ignore_ascii_case(&'v') && unit.eq_ignore_ascii_case("v");
    let suffix = if said_again { unit.to_owned() } else { format!("{letter}{unit}") };
    Some((digits, suffix))
}

type Separated<'a> = (String, String, Option<(&'a str, &'a str)>);

/// Tells marks of thousands from the decimal mark: the whole part, the fraction, and the other way to read it.
fn separate(head: &str) -> Option<Separated<'_>> {
    if !head.bytes().any(|b| b.is_ascii_digit()) {
        return None;
    }
    let points = head.matches('.').count();
    let commas = head.matches(',').count();
    let (decimal, group) = match (points, commas) {
        (0, 0) => (None, None),
        (1, 0) => (head.find('.'), None),
        (0, 1) => return lone_comma(head),
        (_, 0) => (None, Some('.')),
        (0, _) => (None, Some(',')),
        // Of both, the last is the decimal mark.
        _ => match (head.rfind('.'), head.rfind(',')) {
            (Some(point), Some(comma)) if point > comma && points == 1 => (Some(point), Some(',')),
            (Some(point), Some(comma)) if comma > point && commas == 1 => (Some(comma), Some('.')),
            _ => return None,
        },
    };
    let (whole, fraction) = match decimal {
        Some(at) => (head.get(..at)?, head.get(at + 1..)?),
        None => (head, ""),
    };
    Some((ungrouped(whole, group)?, only_digits(fraction)?, None))
}

fn lone_comma(head: &str) -> Option<Separated<'_>> {
    let (left, right) = head.split_once(',')?;
    let whole = ungrouped(left, None)?;
    let fraction = only_digits(right)?;
    let like_thousands = right.len() == 3 && (1..=3).contains(&left.len()) && !left.starts_with('0');
    if like_thousands {
        Some((format!("{whole}{fraction}"), String::new(), Some((left, right))))
    } else {
        Some((whole, fraction, None))
    }
}

/// The digits of a whole part; marks of thousands (or blanks) must stand before every group of three.
fn ungrouped(whole: &str, group: Option<char>) -> Option<String> {
    let mark = group.or_else(|| whole.contains(' ').then_some(' '));
    let Some(mark) = mark.filter(|mark| whole.contains(*mark)) else {
        return only_digits(whole);
    };
    let mut groups = whole.split(mark);
    let first = groups.next()?;
    if !(1..=3).contains(&first.len()) {
        return None;
    }
    let mut digits = only_digits(first)?;
    for part in groups {
        if part.len() != 3 {
            return None;
        }
        digits.push_str(&only_digits(part)?);
    }
    Some(digits)
}

fn only_digits(text: &str) -> Option<String> {
    text.bytes().all(|b| b.is_ascii_digit()).then(|| text.to_owned())
}

/// Read by the standard library from its decimal digits, so that it is the nearest number there is.
fn number(whole: &str, fraction: &str, exponent: &str) -> Option<Number> {
    let exponent = if exponent.is_empty() { "0" } else { exponent };
    let value = format!("{whole}.{fraction}e{exponent}").parse().ok()?;
    // An exponent too long for an integer is as absurd as any other that is too great.
    let power = exponent.parse::<i64>().unwrap_or(i64::from(i32::MAX));
    let places = i64::try_from(fraction.len()).ok()?;
    let step = format!("1e{}", power.saturating_sub(places)).parse().ok()?;
    Some(Number { value, step })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::float_cmp)]

    use super::*;

    #[test]
    fn numbers_by_notation() {
        // typed, value, last digit, suffix
        for (text, value, step, suffix) in [
            ("85", 85.0, 1.0, ""),
            ("8.2k", 8.2, 0.1, "k"),
            ("8.20 k", 8.2, 0.01, "k"),
            (".018", 0.018, 0.001, ""),
            ("5.", 5.0, 1.0, ""),
            ("8k2", 8.2, 0.1, "k"),
            ("8K25 ohm", 8.25, 0.01, "Kohm"),
            ("4R7", 4.7, 0.1, "R"),
            ("4R7 ohm", 4.7, 0.1, "ohm"),
            ("12V4", 12.4, 0.1, "V"),
            ("8,2k", 8.2, 0.1, "k"),
            ("0,018 in", 0.018, 0.001, "in"),
            ("1,234.5", 1234.5, 0.1, ""),
            ("1.234,5", 1234.5, 0.1, ""),
            ("1,234,567", 1_234_567.0, 1.0, ""),
            ("1.234.567", 1_234_567.0, 1.0, ""),
            ("2 400 rpm", 2400.0, 1.0, "rpm"),
            ("1e3", 1000.0, 1000.0, ""),
            ("1.5E-3 A", 0.0015, 0.0001, "A"),
            ("+ 7 V", 7.0, 1.0, "V"),
            ("5e", 5.0, 1.0, "e"),
        ] {
            let typed = scan(text).unwrap_or_else(|| panic!("{text}"));
            assert!((typed.number.value - value).abs() <= 1e-12 * value, "{text}: {typed:?}");
            assert!((typed.number.step - step).abs() <= 1e-12 * step, "{text}: {typed:?}");
            assert_eq!(typed.suffix, suffix, "{text}");
            assert!(!typed.negative && typed.decimal.is_none(), "{text}");
        }
    }

    #[test]
    fn a_comma_before_three_digits_is_read_both_ways() {
        let typed = scan("2,400 rpm").unwrap();
        assert_eq!(typed.number, Number { value: 2400.0, step: 1.0 });
        assert_eq!(typed.decimal.unwrap().value, 2.4);
    }

    #[test]
    fn what_is_no_number_is_refused() {
        for text in [
            "",
            "-",
            ".",
            ",",
            "k",
            "--5",
            "1,23,456",
            "1.2.3",
            "1,2,3",
            "8 2",
            "12 34",
            "1,2345.6.7",
            "abc",
            "- -1",
            "1,,000",
        ] {
            assert_eq!(scan(text), None, "{text:?}");
        }
    }

    #[test]
    fn an_absurd_exponent_is_infinite_or_nothing() {
        assert!(scan("1e999").unwrap().number.value.is_infinite());
        assert!(scan("1e99999999999999999999").unwrap().number.value.is_infinite());
        assert_eq!(scan("1e-999").unwrap().number.value, 0.0);
    }
}
