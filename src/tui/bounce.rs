//! A key that is held down, or pressed twice by a glove, answers one check and not the next one too.
//!
//! Owns the moment after an entry in which the same key means nothing. Time comes in as a value. Must not know what keys do.

use std::time::{Duration, Instant};

use super::input::Input;

/// Nobody reads the next check and answers it in this time; a key that repeats does.
const TOO_SOON: Duration = Duration::from_millis(350);

/// The key that entered something last.
#[derive(Debug, Default)]
pub(crate) struct Bounce {
    last: Option<(Input, Instant)>,
}

impl Bounce {
    /// This input entered something.
    pub(crate) fn entered(&mut self, input: &Input, now: Instant) {
        self.last = Some((input.clone(), now));
    }

    /// Whether this input is the last one again, too soon to be meant. Repeats go on being swallowed while they last.
    pub(crate) fn swallows(&mut self, input: &Input, now: Instant) -> bool {
        let Some((last, at)) = &mut self.last else { return false };
        if last != input || now.duration_since(*at) > TOO_SOON {
            self.last = None;
            return false;
        }
        *at = now;
        true
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::input::Key;

    #[test]
    fn a_held_key_answers_once() {
        let (n, y) = (Input::Key(Key::Char('n')), Input::Key(Key::Char('y')));
        let start = Instant::now();
        let after = |ms| start + Duration::from_millis(ms);
        let mut bounce = Bounce::default();
        assert!(!bounce.swallows(&n, start));
        bounce.entered(&n, start);
        for ms in [30, 300, 600, 900] {
            assert!(bounce.swallows(&n, after(ms)), "{ms}");
        }
        assert!(!bounce.swallows(&n, after(1300)));
        bounce.entered(&n, after(1300));
        assert!(!bounce.swallows(&y, after(1310)));
    }
}
