//! The pieces screens are built of: a page of lines, the head, the hints, a bar.
//!
//! They are given what to show and hold nothing. Must not know which screen they are on.

pub(crate) mod bar;
pub(crate) mod head;
pub(crate) mod hints;
pub(crate) mod letters;
pub(crate) mod page;
