//! Text on a grid: wrapped, cut and padded by the width it takes on a terminal.
//!
//! Owns widths. Every foreign text passes `clean` on its way in. Must not know screens.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use crate::text::safe_text;

pub(crate) use crate::text::wrap;

/// A foreign text made safe to draw, on one line.
pub(crate) fn clean(text: &str) -> String {
    safe_text(text).into_owned()
}

/// Columns a text takes.
pub(crate) fn width(text: &str) -> usize {
    text.width()
}

/// Cuts a text to a number of columns, with a mark where something is left out.
pub(crate) fn cut(text: &str, columns: usize, more: &str) -> String {
    if width(text) <= columns {
        return text.to_owned();
    }
    let room = columns.saturating_sub(width(more));
    let mut out = String::new();
    for grapheme in text.graphemes(true) {
        if width(&out) + width(grapheme) > room {
            break;
        }
        out.push_str(grapheme);
    }
    if columns >= width(more) {
        out.push_str(more);
    }
    out
}

/// Cuts a text that ends in a site behind a comma, keeping the site: what differs between like rows must stay in sight.
pub(crate) fn cut_before_site(text: &str, columns: usize, more: &str) -> String {
    match text.rsplit_once(", ") {
        Some((title, site)) if width(text) > columns && width(site) + 6 <= columns => {
            format!("{}, {site}", cut(title, columns - width(site) - 2, more))
        }
        _ => cut(text, columns, more),
    }
}

/// Fills up with blanks to a number of columns.
pub(crate) fn pad(text: &str, columns: usize) -> String {
    let blank = columns.saturating_sub(width(text));
    format!("{text}{}", " ".repeat(blank))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn wraps_at_blanks_and_breaks_long_words() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("", 3), [""]);
        assert_eq!(wrap("a\nb", 3), ["a", "b"]);
        assert_eq!(wrap("wide", 0), ["w", "i", "d", "e"]);
    }

    #[test]
    fn cuts_by_columns_and_not_by_letters() {
        assert_eq!(cut("plug at left 3", 8, "~"), "plug at~");
        assert_eq!(cut("日本語", 4, "~"), "日~");
        assert_eq!(cut("abc", 0, "~"), "");
        assert_eq!(cut_before_site("plug fouled with lead, left 4", 22, "~"), "plug fouled w~, left 4");
        assert_eq!(cut_before_site("carburettor ice", 8, "~"), "carbure~");
        assert_eq!(pad("ab", 4), "ab  ");
    }

    #[test]
    fn foreign_text_cannot_steer_the_terminal() {
        assert_eq!(clean("lead\u{1b}[31m"), "lead<U+001B>[31m");
    }
}
