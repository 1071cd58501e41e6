//! What doing one thing takes and leaves behind: the only place that knows minutes, access, the engine's mode, conditions, cautions,
//! evidence that is gone, and checks that are owed.
//!
//! The fold, the planner, the test stand and every surface ask [`Now`], so that what is shown, what is charged and what was reckoned
//! with is one number. It must not know entries, beliefs or screens.

mod action;
mod doing;
mod ledger;
mod minutes;
mod ready;
mod setting;
mod taken;
#[cfg(test)]
mod tests;

pub use action::Action;
pub use doing::{Now, WAITING_COUNTS, reach};
pub use ledger::{Ledger, Owed, grounding_checks, proves_grounding};
pub use minutes::{Minutes, On};
pub use ready::{Known, NotReady, ready};
pub use setting::{Setting, level_in};
pub use taken::Work;
