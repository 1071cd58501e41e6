//! An aircraft's card as a job needs it: its facts, and the engine with the card's limits.

use std::path::Path;

use super::{ShopError, clock};
use crate::job::{AircraftFacts, PartAge};
use crate::model::{Fitted, Model};
use crate::trees::{EngineLayout, Library};

/// An aircraft's card, read.
#[derive(Debug, Clone)]
pub struct Card {
    /// What a job keeps of it.
    pub facts: AircraftFacts,
    /// Name of its layout.
    pub layout: String,
    engine: EngineLayout,
}

/// Reads the text of an aircraft's card.
///
/// # Errors
/// All faults of the card.
pub fn read_card(library: &Library, text: &str) -> Result<Card, ShopError> {
    let (aircraft, engine) = library.aircraft_text(text, clock::today()).map_err(ShopError::Trees)?;
    let part = |fitted: &Fitted| PartAge {
        part: fitted.part.clone(),
        at: fitted.site,
        hours: fitted.hours,
        years: fitted.years,
    };
    let facts = AircraftFacts {
        parts: aircraft.parts.iter().map(part).collect(),
        registration: aircraft.registration,
        title: aircraft.title,
        engine_hours: aircraft.engine_hours,
        lacks: aircraft.lacks,
        card: text.to_owned(),
    };
    Ok(Card { facts, layout: aircraft.layout, engine })
}

/// The tree expanded over the card's engine, else over the layout of this name or at this path.
///
/// # Errors
/// Faults of the layout, and a layout other than the card's.
pub fn model(library: &Library, layout: &str, card: Option<&Card>) -> Result<Model, ShopError> {
    let engine = match card {
        Some(card) if layout.is_empty() || layout == card.layout => card.engine.clone(),
        Some(card) => {
            return Err(ShopError::OtherLayout {
                card: card.layout.clone(),
                asked: crate::text::safe_text(layout).into(),
            });
        }
        None => library.layout(layout).map_err(ShopError::Trees)?,
    };
    library.expand(&engine).map_err(ShopError::Trees)
}

/// The largest card taken, in bytes: the same as for trees.
const LARGEST: u64 = 4 * 1024 * 1024;

/// The text of a card's file.
///
/// # Errors
/// Why it cannot be read, as a sentence.
pub fn read_card_file(path: &Path) -> Result<String, String> {
    let shown = crate::text::safe_text(&path.to_string_lossy()).into_owned();
    // Opening a pipe or a device can wait for ever, so the kind of file is looked at first.
    match std::fs::metadata(path) {
        Err(fault) => return Err(format!("The card {shown} cannot be read: {fault}.")),
        Ok(about) if !about.is_file() => return Err(format!("The card {shown} is not an ordinary file.")),
        Ok(about) if about.len() > LARGEST => return Err(format!("The card {shown} is larger than 4 MiB.")),
        Ok(_) => {}
    }
    std::fs::read_to_string(path).map_err(|fault| format!("The card {shown} cannot be read: {fault}."))
}
