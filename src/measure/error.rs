//! Why a typed reading was not taken, and what to type instead.
//!
//! Must not know how a surface shows it: each message is a full sentence or two.

use thiserror::Error;

use super::{Dimension, parse::LONGEST_INPUT};

/// A typed reading that could not be taken. The message says why, and how to mend it.
///
/// Text of the mechanic's that is repeated in a message has its control characters replaced, so that it is safe to show.
#[derive(Debug, Clone, PartialEq, Eq, Error)]
pub enum ReadingError {
    /// Nothing was typed.
    #[error("Nothing was typed. {}", mend(*.0))]
    Empty(Option<Dimension>),
    /// More was typed than any reading needs.
    #[error("A reading has at most {LONGEST_INPUT} characters, and this has {0}. Type the number and its unit only.")]
    TooLong(usize),
    /// The text does not begin with a number.
    #[error("\"{typed}\" cannot be read as a number. {}", mend(*.wanted))]
    NotANumber {
        /// What was typed.
        typed: String,
        /// What was asked for, where that is known.
        wanted: Option<Dimension>,
    },
    /// A comma that can be a decimal comma as well as a mark of thousands.
    #[error(
        "\"{typed}\" can mean {as_decimal} as well as {as_thousands}. Type the one that is meant, with a point and without the comma."
    )]
    Ambiguous {
        /// What was typed.
        typed: String,
        /// The reading if the comma is a decimal comma.
        as_decimal: String,
        /// The reading if the comma marks thousands.
        as_thousands: String,
    },
    /// A unit that is not known.
    #[error("The unit \"{unit}\" is not known{}. Small m is a thousandth and capital M a million. {}", named(*.wanted), mend(*.wanted))]
    UnknownUnit {
        /// The unit as typed.
        unit: String,
        /// What was asked for, where that is known.
        wanted: Option<Dimension>,
    },
    /// A number without a unit where none is understood.
    #[error("\"{0}\" has no unit. Type the unit after the number, such as 8.2 kohm or 0.018 in.")]
    NoUnit(String),
    /// A unit of another kind of quantity.
    #[error("\"{typed}\" is {}, and {} is asked for. Check the meter's setting, then {}", .found.with_article(), .wanted.with_article(), small(*.wanted))]
    WrongUnit {
        /// What was typed.
        typed: String,
        /// The kind of quantity typed.
        found: Dimension,
        /// The kind of quantity asked for.
        wanted: Dimension,
    },
    /// A value that cannot be there.
    #[error("{typed} cannot be right: {reason}. {mend}")]
    Impossible {
        /// What was typed.
        typed: String,
        /// Why it cannot be.
        reason: String,
        /// What to do.
        mend: String,
    },
    /// Not a number, an infinity, or a number too great to hold.
    #[error(
        "\"{0}\" is not a number that a meter can show. Type the digits on the display, or OL where an ohmmeter shows an open circuit."
    )]
    NotFinite(String),
    /// OL where the reading is not a resistance.
    #[error("OL means an open circuit only when ohms are measured, and {asked} is asked for. Turn the meter to a higher range or check its leads, then {mend}", asked = .0.with_article(), mend = small(*.0))]
    OpenNotHere(Dimension),
}

fn mend(wanted: Option<Dimension>) -> String {
    wanted.map_or_else(
        || "Type a number and its unit, such as 8.2 kohm or 0.018 in.".to_owned(),
        |dimension| format!("Type it like {}.", dimension.examples()),
    )
}

fn small(wanted: Dimension) -> String {
    format!("type it like {}.", wanted.examples())
}

fn named(wanted: Option<Dimension>) -> String {
    wanted.map_or_else(String::new, |dimension| format!(" for {}", dimension.with_article()))
}
