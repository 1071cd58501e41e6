//! Foreign text made safe and short enough to show.

use crate::text::safe_text;

/// The text made safe, cut after `most` characters.
pub(super) fn safe_short(text: &str, most: usize) -> String {
    match text.char_indices().nth(most) {
        None => safe_text(text).into_owned(),
        Some((end, _)) => format!("{}...", safe_text(&text[..end])),
    }
}
