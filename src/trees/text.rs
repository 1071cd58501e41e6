//! Foreign text made safe to show.

use std::fmt::Write as _;

/// Whether a character can steer a terminal, hide, or turn the order of the text around it.
pub(super) fn is_unseen(c: char) -> bool {
    c.is_control()
        || matches!(c, '\u{61C}' | '\u{200B}'..='\u{200F}' | '\u{2028}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}' | '\u{E0000}'..='\u{E007F}')
}

/// The text with each such character written out as its code point, so that it shows and does nothing.
pub(super) fn safe(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        push_safe(&mut out, c);
    }
    out
}

/// The same, cut after `most` characters.
pub(super) fn safe_short(text: &str, most: usize) -> String {
    let mut out: String = safe(&text.chars().take(most).collect::<String>());
    if text.chars().nth(most).is_some() {
        out.push_str("...");
    }
    out
}

/// Appends one character, written out where it would not show.
pub(super) fn push_safe(out: &mut String, c: char) {
    if c == '\t' {
        out.push(' ');
    } else if is_unseen(c) {
        // Writing into a String cannot fail.
        let _ = write!(out, "<U+{:04X}>", u32::from(c));
    } else {
        out.push(c);
    }
}
