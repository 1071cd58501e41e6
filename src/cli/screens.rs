//! `roughrun` alone, and the commands that open the screens.

use std::path::PathBuf;

use super::args::Places;
use super::look::{self, Look};
use super::{CliError, Kind, Outcome};
use crate::shop::Shop;
use crate::tui::{self, Begin, ExitKind, Options, TuiError};

/// Opens the bench.
pub(super) fn bench(places: &Places, look: &Look) -> Outcome {
    open(places.shop()?, look, Begin::Bench)
}

/// Opens the list of records for the lead.
pub(super) fn review(places: &Places, look: &Look, folders: &[PathBuf]) -> Outcome {
    open(places.shop()?, look, Begin::Review(folders.to_vec()))
}

/// Opens the screens.
pub(super) fn open(shop: Shop, look: &Look, begin: Begin) -> Outcome {
    let chosen = look.choose(|name| std::env::var(name).ok())?;
    let (theme, big, mouse) = (chosen.theme, chosen.big, chosen.mouse);
    match tui::run(shop, Options { theme, big, mouse, tour: look::tour_file(), begin }) {
        Ok(ExitKind::Left) => Ok(0),
        // As a shell counts a program that a signal ended.
        Ok(ExitKind::Signal(number)) => Ok(u8::try_from(128 + number).unwrap_or(1)),
        Err(fault @ TuiError::NoTerminal(_)) => Err(CliError::new(Kind::Usage, sentence(&fault))
            .hint("Work line by line with: roughrun trace --plain")
            .hint("All commands: roughrun --help")),
        Err(fault @ TuiError::Lost(_)) => {
            Err(CliError::new(Kind::Fault, sentence(&fault)).hint("Go on with: roughrun resume"))
        }
    }
}

fn sentence(fault: &TuiError) -> String {
    let words = fault.to_string();
    let mut letters = words.chars();
    letters.next().map_or(String::new(), |first| format!("{}{}.", first.to_uppercase(), letters.as_str()))
}
