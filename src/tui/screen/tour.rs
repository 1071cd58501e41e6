//! The tour of keys: one page, shown once.

use crate::tui::app::App;
use crate::tui::text::pad;
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, Row};

/// A key, what it does, in the order in which a newcomer meets them; and the same in few words for a small terminal.
const KEYS: [(&str, &str, &str); 7] = [
    ("1 to 9", "take a row of a short list; arrows and Enter do it too", "take a row of a short list"),
    ("letters", "small letters answer: each answer shows its own", "answer; each shows its own"),
    ("figures", "just type a reading; it is judged before it counts", "a reading: just type it"),
    ("a", "a caution was read", "a caution was read"),
    ("U", "take the last answer back; nothing is ever erased", "take the last answer back"),
    (":", "find any check, cause, site or command by a few letters", "find anything by its name"),
    ("?", "explains the screen you are on", "explains the screen"),
];

pub(crate) fn lines(app: &App, columns: usize) -> Vec<Row> {
    let mut page = Page::new(app.theme, columns);
    page.row(&[(Role::Title, "Seven keys, then work".into())]);
    if app.size.1 >= 16 {
        page.text(
            Role::Text,
            "roughrun names the next check and why, takes what you saw, and says what is left. It advises; the manufacturer's current instructions, local rules and licensed practice decide.",
        );
        page.blank();
    }
    for (key, does, briefly) in KEYS {
        let does = if app.size.1 >= 16 { does } else { briefly };
        page.hanging("", &(Role::Key, pad(key, 9)), Role::Text, does);
    }
    if app.size.1 >= 16 {
        page.blank();
        page.text(
            Role::Faint,
            "A demo job on an invented aircraft waits on the bench. This page is shown once; ? always helps.",
        );
    }
    page.into_rows()
}
