//! Text from outside, made safe to show or export.
//!
//! Owns which characters may reach a terminal or a page as they are, and where a line of them breaks. Whatever a file, a note, a
//! path or an error message brings along passes through here first. The raw text stays in the record only.
//! It knows nothing of screens, files or jobs.

use std::borrow::Cow;
use std::fmt::Write as _;

use unicode_segmentation::UnicodeSegmentation as _;
use unicode_width::{UnicodeWidthChar as _, UnicodeWidthStr as _};

/// How many marks without a width of their own (accents and the like) may follow each other. Living scripts need
/// three or four; long piles of them overwrite the lines above and below.
pub const MARKS_IN_A_ROW: usize = 8;

/// So many of them, in words: `1 job`, `2 jobs`.
///
/// ```
/// use roughrun::text::counted;
/// assert_eq!((counted(1, "job"), counted(0, "job")), ("1 job".to_owned(), "0 jobs".to_owned()));
/// ```
#[must_use]
pub fn counted(count: usize, one: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {one}s") }
}

/// So much in whole numbers, in words: `1 minute`, `8 minutes`.
///
/// ```
/// use roughrun::text::rounded;
/// assert_eq!((rounded(1.2, "minute"), rounded(7.6, "minute")), ("1 minute".to_owned(), "8 minutes".to_owned()));
/// ```
#[must_use]
pub fn rounded(amount: f64, one: &str) -> String {
    let whole = format!("{amount:.0}");
    if whole == "1" { format!("1 {one}") } else { format!("{whole} {one}s") }
}

/// Makes one line of foreign text safe: every control, direction, invisible and tag character, line ends
/// included, is replaced by a visible form such as `<U+202E>`. Nothing is dropped silently.
///
/// ```
/// use roughrun::text::safe_text;
/// assert_eq!(safe_text("lead\u{1b}]0;x\u{7} left 3"), "lead<U+001B>]0;x<U+0007> left 3");
/// ```
#[must_use]
pub fn safe_text(text: &str) -> Cow<'_, str> {
    clean(text, false)
}

/// As [`safe_text`], for fields that may have several lines: a line feed stays a line feed.
#[must_use]
pub fn safe_lines(text: &str) -> Cow<'_, str> {
    clean(text, true)
}

fn clean(text: &str, lines: bool) -> Cow<'_, str> {
    if text.bytes().all(|b| (b' '..=b'~').contains(&b)) || cfg!(broken = "raw-text") {
        return Cow::Borrowed(text);
    }
    let mut out = String::with_capacity(text.len() + 16);
    let (mut marks, mut cut) = (0_usize, 0_usize);
    for c in text.chars() {
        let hidden = is_hidden(c) && !(lines && c == '\n');
        if !hidden && c.width() == Some(0) {
            marks += 1;
            if marks > MARKS_IN_A_ROW {
                cut += 1;
                continue;
            }
        } else {
            note_cut(&mut out, cut);
            (marks, cut) = (0, 0);
        }
        if hidden {
            // Writing to a String cannot fail.
            let _ = write!(out, "<U+{:04X}>", u32::from(c));
        } else {
            out.push(c);
        }
    }
    note_cut(&mut out, cut);
    Cow::Owned(out)
}

fn note_cut(out: &mut String, cut: usize) {
    if cut > 0 {
        let _ = write!(out, "<{cut} more marks>");
    }
}

/// Wraps a text at blanks to a number of columns; longer words are broken.
#[must_use]
pub fn wrap(text: &str, columns: usize) -> Vec<String> {
    let columns = columns.max(1);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let gap = usize::from(!line.is_empty());
            if line.width() + gap + word.width() <= columns {
                if gap == 1 {
                    line.push(' ');
                }
                line.push_str(word);
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            for grapheme in word.graphemes(true) {
                if line.width() + grapheme.width() > columns && !line.is_empty() {
                    lines.push(std::mem::take(&mut line));
                }
                line.push_str(grapheme);
            }
        }
        lines.push(line);
    }
    lines
}

/// Characters that steer a terminal, turn the reading direction or cannot be seen.
#[must_use]
pub fn is_hidden(c: char) -> bool {
    matches!(c,
        '\u{0}'..='\u{1f}' | '\u{7f}'..='\u{9f}'
        // Reading direction.
        | '\u{61c}' | '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}'
        // No width at all.
        | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}'
        // Line and paragraph separators: a line end by another name.
        | '\u{2028}' | '\u{2029}'
        // Tags: a hidden alphabet.
        | '\u{e0000}'..='\u{e007f}')
}

/// Text with the characters that mean something in HTML and SVG written out.
#[must_use]
pub fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    for c in text.chars() {
        match c {
            c if cfg!(broken = "raw-html") => out.push(c),
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\'' => out.push_str("&#39;"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn plain_text_passes_untouched() {
        assert!(matches!(safe_text("8.2 kohm at left 3"), Cow::Borrowed(_)));
        assert_eq!(safe_text("Zündkerze 4 °C Ω é"), "Zündkerze 4 °C Ω é");
    }

    #[test]
    fn each_dangerous_character_is_shown_by_its_number() {
        for (given, shown) in [
            ("\u{0}", "<U+0000>"),
            ("a\tb", "a<U+0009>b"),
            ("a\r\nb", "a<U+000D><U+000A>b"),
            ("\u{7f}", "<U+007F>"),
            ("x\u{9b}31m", "x<U+009B>31m"),
            ("ok\u{202e}gpj", "ok<U+202E>gpj"),
            ("\u{2066}\u{2069}\u{61c}", "<U+2066><U+2069><U+061C>"),
            ("a\u{200b}b\u{feff}", "a<U+200B>b<U+FEFF>"),
            ("\u{e0041}", "<U+E0041>"),
            ("a\u{2028}b", "a<U+2028>b"),
        ] {
            assert_eq!(safe_text(given), shown);
        }
    }

    #[test]
    fn line_feeds_stay_only_where_lines_are_allowed() {
        assert_eq!(safe_lines("one\ntwo\r\n"), "one\ntwo<U+000D>\n");
        assert_eq!(safe_text("one\ntwo"), "one<U+000A>two");
    }

    #[test]
    fn long_piles_of_marks_are_cut_and_said() {
        let pile = format!("a{}b", "\u{301}".repeat(20));
        let shown = safe_text(&pile);
        assert_eq!(shown, format!("a{}<12 more marks>b", "\u{301}".repeat(8)));
        let few = format!("a{}b", "\u{301}".repeat(8));
        assert_eq!(safe_text(&few), few);
    }

    proptest! {
        #[test]
        fn nothing_dangerous_comes_out_and_a_second_pass_changes_nothing(text in "\\PC*|(?s:.*)") {
            let once = safe_text(&text).into_owned();
            prop_assert!(!once.chars().any(is_hidden));
            prop_assert_eq!(safe_text(&once), once.as_str());
            let lines = safe_lines(&text).into_owned();
            prop_assert!(!lines.chars().any(|c| is_hidden(c) && c != '\n'));
        }
    }
}
