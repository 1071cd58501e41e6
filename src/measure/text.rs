//! Typed text made plain before it is read, and made safe before it is shown again.
//!
//! Must not know numbers or units.

use super::{ReadingError, parse::LONGEST_INPUT};
use crate::text::is_hidden;

/// The text with its signs written in ASCII and its blanks collapsed. Everything else is left to whoever reads it.
pub(super) fn normalised(typed: &str) -> Result<String, ReadingError> {
    let length = typed.chars().count();
    if length > LONGEST_INPUT {
        return Err(ReadingError::TooLong(length));
    }
    let mut spelt = String::with_capacity(typed.len());
    for character in typed.chars() {
        match character {
            '\u{2126}' | '\u{03a9}' | '\u{03c9}' => spelt.push_str("ohm"),
            '\u{00b5}' | '\u{03bc}' => spelt.push('u'),
            '\u{2212}' | '\u{2013}' => spelt.push('-'),
            '\u{00b0}' | '\u{00ba}' => spelt.push_str("deg"),
            '"' | '\u{2033}' | '\u{201d}' => spelt.push_str("in"),
            '\u{2032}' | '\u{2019}' => spelt.push('\''),
            other if other.is_whitespace() => spelt.push(' '),
            other => spelt.push(other),
        }
    }
    let normal = spelt.split(' ').filter(|word| !word.is_empty()).collect::<Vec<_>>().join(" ");
    if normal.is_empty() {
        return Err(ReadingError::Empty(None));
    }
    Ok(normal)
}

/// Typed text as it may be repeated in a message: trimmed, and with everything replaced that is not seen or steers a terminal.
pub(super) fn shown(typed: &str) -> String {
    typed.trim().chars().map(|c| if is_hidden(c) { '\u{fffd}' } else { c }).collect()
}
