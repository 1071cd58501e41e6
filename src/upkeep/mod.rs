//! Parts by their lives: what is due, overdue or unknown; what can be renewed while the access is open; what each way of putting
//! a part right costs for the hours it leaves.
//!
//! It must not know files, screens, dates or entries: ages come counted, in engine hours and years.

mod cost;
mod due;
mod remind;

pub use cost::{Way, ways};
pub use due::{Count, Due, Horizon, Item, items};
pub use remind::{Reminder, next_due, reminders, still_due};

/// The name of a part for people.
#[must_use]
pub fn part_words(part: &str) -> String {
    part.replace('-', " ")
}
