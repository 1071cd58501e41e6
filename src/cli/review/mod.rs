//! `roughrun review`: the shop lead's commands.

mod export;
mod learn;
mod list;
mod replay;
mod say;

use std::path::{Path, PathBuf};

use super::args::{Places, Review};
use super::{CliError, Kind, Outcome, args, out, tree};
use crate::shop::Shop;

pub(super) fn run(places: &Places, command: &Review) -> Outcome {
    match command {
        Review::Learn(learn) => learn::run(places, learn),
        Review::List(list) => list::run(places, list),
        Review::Export(export) => export::run(places, export),
        Review::Replay(replay) => replay::run(places, replay),
        Review::Remark(remark) => say::remark(places, remark),
        Review::Mark(mark) => say::mark(places, mark),
    }
}

/// The shops of these folders, or that of the records folder where none is named.
fn shops(places: &Places, folders: &[PathBuf]) -> Result<Vec<Shop>, CliError> {
    let library = places.library()?;
    let mut folders: Vec<Option<&Path>> = folders.iter().map(|folder| Some(folder.as_path())).collect();
    if folders.is_empty() {
        folders.push(places.records.as_deref());
    }
    folders.into_iter().map(|folder| Ok(Shop::with(library.clone(), folder)?)).collect()
}
