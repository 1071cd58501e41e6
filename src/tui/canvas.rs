//! What is drawn on: the buffer, and beside it what a press of the mouse does where, and what of something long was drawn.
//!
//! Owns the spots. Must not know what is drawn, nor what an action does.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::action::Action;
use crate::model::HazardId;

/// What a drawing showed of something that may be longer than the screen. It comes back as a message, so that scrolling and
/// acknowledging know what was on the screen without drawing it themselves.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(super) struct Drawn {
    /// Rows of all of it; none where nothing of the kind was drawn.
    pub rows: usize,
    /// Rows of it that there was room for.
    pub room: usize,
    /// The cautions among it.
    pub cautions: Vec<HazardId>,
}

/// A buffer with the spots that can be pressed.
pub(crate) struct Canvas<'a> {
    /// The cells.
    pub(crate) buf: &'a mut Buffer,
    /// What of something long was drawn.
    pub(super) drawn: Drawn,
    spots: Vec<(Rect, Action)>,
}

impl<'a> Canvas<'a> {
    pub(crate) fn new(buf: &'a mut Buffer) -> Self {
        Self { buf, drawn: Drawn::default(), spots: Vec::new() }
    }

    /// A press inside this means that.
    pub(crate) fn spot(&mut self, area: Rect, action: Action) {
        self.spots.push((area, action));
    }

    /// What a press at a column and a row means; what was drawn last lies on top.
    pub(crate) fn at(&self, column: u16, row: u16) -> Option<Action> {
        let hit = self.spots.iter().rev().find(|(area, _)| area.contains(Position::new(column, row)));
        hit.map(|(_, action)| action.clone())
    }
}
