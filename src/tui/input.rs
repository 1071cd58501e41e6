//! What the hands do: terminal events turned into our own keys.
//!
//! Owns the only place beside `terminal` and `watchdog` that knows the terminal library. Must not know what a key is for.

use std::fmt;

use crossterm::event::{Event, KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEventKind};

/// Longest text taken from one paste, in characters.
pub(crate) const LONGEST_PASTE: usize = 4096;

/// One key, as the screens know it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) enum Key {
    /// A character, upper case by itself (no shift mark).
    Char(char),
    /// A character with Ctrl held.
    Ctrl(char),
    /// The Enter key.
    Enter,
    /// The Escape key.
    Esc,
    /// Backspace.
    Backspace,
    /// Delete.
    Delete,
    /// Arrow up.
    Up,
    /// Arrow down.
    Down,
    /// Arrow left.
    Left,
    /// Arrow right.
    Right,
    /// Tab.
    Tab,
    /// Shift and Tab.
    BackTab,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// The first function key.
    F1,
}

impl fmt::Display for Key {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Char(' ') => f.write_str("Space"),
            Self::Char(c) => write!(f, "{c}"),
            Self::Ctrl(c) => write!(f, "Ctrl-{}", c.to_ascii_uppercase()),
            Self::Enter => f.write_str("Enter"),
            Self::Esc => f.write_str("Esc"),
            Self::Backspace => f.write_str("Backspace"),
            Self::Delete => f.write_str("Delete"),
            Self::Up => f.write_str("Up"),
            Self::Down => f.write_str("Down"),
            Self::Left => f.write_str("Left"),
            Self::Right => f.write_str("Right"),
            Self::Tab => f.write_str("Tab"),
            Self::BackTab => f.write_str("Shift-Tab"),
            Self::PageUp => f.write_str("PgUp"),
            Self::PageDown => f.write_str("PgDn"),
            Self::Home => f.write_str("Home"),
            Self::End => f.write_str("End"),
            Self::F1 => f.write_str("F1"),
        }
    }
}

/// What came in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Input {
    /// A key was pressed.
    Key(Key),
    /// Text was pasted in one piece; longer ones are cut.
    Paste(String),
    /// The mouse was pressed at a column and a row.
    Press(u16, u16),
    /// The wheel was turned, towards the end of the page or back.
    Wheel(bool),
    /// The terminal has another size, or came back to the front.
    Redraw,
}

/// Turns a terminal event into an input; none where it means nothing to us.
pub(crate) fn read(event: Event) -> Option<Input> {
    match event {
        // Some terminals also report the release; it is no second press.
        Event::Key(key) if key.kind != KeyEventKind::Release => self::key(key).map(Input::Key),
        Event::Paste(text) => Some(Input::Paste(text.chars().take(LONGEST_PASTE).collect())),
        Event::Mouse(mouse) => match mouse.kind {
            MouseEventKind::Down(MouseButton::Left) => Some(Input::Press(mouse.column, mouse.row)),
            MouseEventKind::ScrollDown => Some(Input::Wheel(true)),
            MouseEventKind::ScrollUp => Some(Input::Wheel(false)),
            _ => None,
        },
        Event::Resize(..) | Event::FocusGained => Some(Input::Redraw),
        _ => None,
    }
}

fn key(event: KeyEvent) -> Option<Key> {
    let ctrl = event.modifiers.contains(KeyModifiers::CONTROL);
    let alt = event.modifiers.contains(KeyModifiers::ALT);
    let key = match event.code {
        KeyCode::Char(c) if ctrl => Key::Ctrl(c.to_ascii_lowercase()),
        // Alt and a letter is no letter: it would enter an answer nobody meant.
        KeyCode::Char(_) if alt => return None,
        KeyCode::Char(c) => Key::Char(c),
        KeyCode::Enter => Key::Enter,
        KeyCode::Esc => Key::Esc,
        KeyCode::Backspace => Key::Backspace,
        KeyCode::Delete => Key::Delete,
        KeyCode::Up => Key::Up,
        KeyCode::Down => Key::Down,
        KeyCode::Left => Key::Left,
        KeyCode::Right => Key::Right,
        KeyCode::Tab => Key::Tab,
        KeyCode::BackTab => Key::BackTab,
        KeyCode::PageUp => Key::PageUp,
        KeyCode::PageDown => Key::PageDown,
        KeyCode::Home => Key::Home,
        KeyCode::End => Key::End,
        KeyCode::F(1) => Key::F1,
        _ => return None,
    };
    Some(key)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_release_is_no_press() {
        let mut event = KeyEvent::new(KeyCode::Char('n'), KeyModifiers::NONE);
        assert_eq!(read(Event::Key(event)), Some(Input::Key(Key::Char('n'))));
        event.kind = KeyEventKind::Release;
        assert_eq!(read(Event::Key(event)), None);
    }

    #[test]
    fn ctrl_and_alt_are_told_apart_from_letters() {
        let ctrl = KeyEvent::new(KeyCode::Char('C'), KeyModifiers::CONTROL);
        assert_eq!(read(Event::Key(ctrl)), Some(Input::Key(Key::Ctrl('c'))));
        let alt = KeyEvent::new(KeyCode::Char('n'), KeyModifiers::ALT);
        assert_eq!(read(Event::Key(alt)), None);
        let shifted = KeyEvent::new(KeyCode::Char('U'), KeyModifiers::SHIFT);
        assert_eq!(read(Event::Key(shifted)), Some(Input::Key(Key::Char('U'))));
    }

    #[test]
    fn a_long_paste_is_cut() {
        let Some(Input::Paste(text)) = read(Event::Paste("x".repeat(1 << 20))) else { return };
        assert_eq!(text.len(), LONGEST_PASTE);
    }
}
