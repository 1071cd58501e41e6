//! What a typed reading means.
//!
//! Owns quantities and units, the reading of what a mechanic types, instruments and their accuracy, limits, the
//! judgement of a reading against a limit, and the comparison of like readings. All values are kept in base units
//! (ohm, volt, ampere, rpm, degree, metre, pascal, degree Celsius, farad, second, 1).
//!
//! Must not know any other room but `text`: not what a cause, a check or a site is. Outcomes are names to it. It reads no file, no
//! clock and no environment, and draws nothing at random.
#![deny(missing_docs)]

mod basis;
mod copper;
mod dimension;
mod error;
mod instrument;
mod judge;
mod limit;
mod normal;
mod number;
mod parse;
mod peers;
mod quantity;
mod text;
mod unit;
mod words;

pub use basis::NeedsMore;
pub use copper::{COPPER_ZERO, copper_resistance_at, copper_temperature, wire_drop, wire_resistance};
pub use dimension::Dimension;
pub use error::ReadingError;
pub use instrument::Instrument;
pub use judge::{Context, Guard, Judgement, judge, judge_guarded};
pub use limit::{Band, Basis, Edge, Limit, LimitError};
pub use normal::{erf, erfc, normal_cdf};
pub use parse::{LONGEST_INPUT, Reading, parse_difference, parse_edge, parse_quantity, parse_reading};
pub use peers::{ODD_SCORE, OddOne, mad, median, odd_one_out, robust_scores};
pub use quantity::Quantity;
pub use unit::Unit;
