//! `roughrun` alone, and the commands that open the screens.

use super::args::Places;
use super::{CliError, Kind, Outcome};

/// Opens the bench.
pub(super) fn bench(_places: &Places) -> Outcome {
    Err(none())
}

/// Why the screens cannot be opened.
pub(super) fn none() -> CliError {
    CliError::new(Kind::Usage, "This build has no screens.")
        .hint("Work line by line with: roughrun trace --plain")
        .hint("All commands: roughrun --help")
}
