//! A line of text being typed.
//!
//! Owns the text and where the next character goes. Must not know what it is for.

use unicode_segmentation::UnicodeSegmentation;

/// Longest text a field takes, in bytes.
pub(super) const LONGEST: usize = 4096;

/// A field of one line. The caret stands between graphemes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Field {
    text: String,
    caret: usize,
}

impl Field {
    /// A field with text in it, the caret at its end.
    #[must_use]
    pub(super) fn of(text: &str) -> Self {
        Self { text: text.to_owned(), caret: text.len() }
    }

    /// The text.
    #[must_use]
    pub(super) fn text(&self) -> &str {
        &self.text
    }

    /// The text before and behind the caret.
    #[must_use]
    pub(super) fn around(&self) -> (&str, &str) {
        self.text.split_at(self.caret)
    }

    /// Whether nothing was typed.
    #[must_use]
    pub(super) fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// Whether there is room for this character.
    #[must_use]
    pub(super) fn takes(&self, c: char) -> bool {
        self.text.len() + c.len_utf8() <= LONGEST
    }

    /// Types a character at the caret, where there is room for it. Line ends become blanks.
    pub(super) fn push(&mut self, c: char) {
        if !self.takes(c) {
            return;
        }
        let c = if c == '\n' || c == '\r' || c == '\t' { ' ' } else { c };
        self.text.insert(self.caret, c);
        self.caret += c.len_utf8();
    }

    /// Takes the character before the caret away.
    pub(super) fn backspace(&mut self) {
        let before = self.before();
        self.text.replace_range(before..self.caret, "");
        self.caret = before;
    }

    /// Takes the character behind the caret away.
    pub(super) fn delete(&mut self) {
        let after = self.after();
        self.text.replace_range(self.caret..after, "");
    }

    /// Moves the caret one to the left.
    pub(super) fn left(&mut self) {
        self.caret = self.before();
    }

    /// Moves the caret one to the right.
    pub(super) fn right(&mut self) {
        self.caret = self.after();
    }

    /// Moves the caret to the start or the end.
    pub(super) fn jump(&mut self, end: bool) {
        self.caret = if end { self.text.len() } else { 0 };
    }

    fn before(&self) -> usize {
        self.text[..self.caret].grapheme_indices(true).next_back().map_or(0, |(at, _)| at)
    }

    fn after(&self) -> usize {
        self.caret + self.text[self.caret..].graphemes(true).next().map_or(0, str::len)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typing_moving_and_taking_away() {
        let mut field = Field::default();
        "8k2".chars().for_each(|c| field.push(c));
        field.left();
        field.backspace();
        field.push('.');
        assert_eq!(field.text(), "8.2");
        field.jump(false);
        field.delete();
        field.right();
        field.right();
        field.right();
        field.push('x');
        assert_eq!(field.text(), ".2x");
        assert_eq!(field.around(), (".2x", ""));
    }

    #[test]
    fn accents_go_with_their_letter_and_length_is_capped() {
        let mut field = Field::of("ae\u{301}");
        field.backspace();
        assert_eq!(field.text(), "a");
        (0..5000).for_each(|_| field.push('x'));
        assert_eq!(field.text().len(), LONGEST);
    }
}
