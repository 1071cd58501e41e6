//! What is drawn on: the buffer, and beside it what a press of the mouse does where.
//!
//! Owns the spots. Must not know what is drawn, nor what an action does.

use ratatui::buffer::Buffer;
use ratatui::layout::{Position, Rect};

use super::action::Action;

/// A buffer with the spots that can be pressed.
pub(crate) struct Canvas<'a> {
    /// The cells.
    pub(crate) buf: &'a mut Buffer,
    spots: Vec<(Rect, Action)>,
}

impl<'a> Canvas<'a> {
    pub(crate) fn new(buf: &'a mut Buffer) -> Self {
        Self { buf, spots: Vec::new() }
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
