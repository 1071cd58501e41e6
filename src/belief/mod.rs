//! How likely each cause is, given everything seen in every spell.
//!
//! Owns priors, likelihood and the posterior. It must not know screens, files, readings as typed, or what to do next.
//!
//! The method, in short: a cause is present or not; while present it comes and goes in one of its ways, kept for the whole job: asleep
//! or awake throughout each spell, or there for moments that a look meets the likelier the longer it is. Normal readings
//! only scale a cause's branches, so they cost nothing. Each abnormal finding is one bit that awake causes set. Causes are
//! walked one by one over the sets of bits explained so far, and the way back gives every probability.

mod bits;
mod bound;
mod cut;
mod eliminate;
mod explain;
mod findings;
mod habits;
mod kernel;
mod moments;
mod posterior;
mod prior;
mod problem;
mod repeats;
mod schedule;
mod view;
mod ways;

pub use explain::{Explanation, Extent, Now};
pub use posterior::{Belief, Posterior, infer};
pub use prior::{Exposure, prior, with_work};
pub use problem::{Arrival, CauseInput, Comes, Corrected, Event, Habit, Observation, Problem};

#[cfg(test)]
mod tests;
