//! A share as a bar of characters.

use crate::tui::theme::Theme;

/// A bar of a number of columns for a share of 0 to 1; a share above nought always shows.
pub(crate) fn bar(theme: Theme, share: f64, columns: usize) -> (String, String) {
    let glyphs = theme.glyphs();
    let halves = (share.clamp(0.0, 1.0) * 2.0 * columns as f64).round();
    // A few columns: the cast cannot lose anything.
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)]
    let halves = (halves as usize).max(usize::from(share > 0.0));
    let full = (halves / 2).min(columns);
    let half = usize::from(halves % 2 == 1 && full < columns);
    let filled = glyphs.full.repeat(full) + &glyphs.half.repeat(half);
    (filled, glyphs.empty.repeat(columns - full - half))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_bar_is_as_wide_as_asked_and_never_empty_for_something() {
        let theme = Theme { ascii: true, ..Theme::default() };
        assert_eq!(bar(theme, 0.5, 4), ("##".into(), "..".into()));
        assert_eq!(bar(theme, 0.001, 4), ("+".into(), "...".into()));
        assert_eq!(bar(theme, 1.0, 4), ("####".into(), String::new()));
        assert_eq!(bar(theme, 0.0, 0), (String::new(), String::new()));
    }
}
