//! `roughrun` alone, and the commands that open the screens.

use std::path::PathBuf;

use super::args::Places;
use super::look::{self, Look};
use super::{CliError, Kind, Outcome, out};
use crate::shop::Shop;
use crate::tui::{self, Begin, ExitKind, Left, Options};

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
    let options = Options { theme, big, mouse, tour: look::tour_file(), begin };
    let ended = tui::run(shop, options).map_err(|fault| {
        CliError::new(Kind::Usage, fault.to_string())
            .hint("Work line by line with: roughrun trace --plain")
            .hint("All commands: roughrun --help")
    })?;
    if let Some(left) = &ended.left {
        said(left)?;
    }
    match ended.how {
        Ok(ExitKind::Left) => Ok(0),
        // As a shell counts a program that a signal ended.
        Ok(ExitKind::Signal(number)) => Ok(u8::try_from(128 + number).unwrap_or(1)),
        Err(fault) => {
            Err(CliError::new(Kind::Fault, format!("The terminal failed ({fault})."))
                .hint("Go on with: roughrun resume"))
        }
    }
}

/// Says of the job that was left whether all of it is on disk.
///
/// # Errors
/// Not all of it is: whatever ended the screens, that is what they end with.
fn said(left: &Left) -> Result<(), CliError> {
    let go_on = format!("Go on with: roughrun resume {}", left.id);
    match &left.sure {
        Ok(sure) => {
            sure.told.iter().for_each(|told| out::remark(told));
            out::remark(&sure.kept.words_of_place());
            if !left.closed {
                out::remark(&go_on);
            }
            Ok(())
        }
        Err(fault) => Err(CliError::new(Kind::Record, fault.clone()).hint(go_on)),
    }
}
