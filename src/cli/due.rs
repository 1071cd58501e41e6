//! `roughrun due`: parts due, overdue or unknown, of one aircraft or a folder of them.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::args::{Due as Args, Places};
use super::{CliError, Kind, Outcome, out, tree};
use crate::shop::{self, ShopError};
use crate::text::{safe_lines, safe_text};
use crate::trees::{Diagnostic, Library, is_card, render_all};
use crate::upkeep::{Count, Due, Horizon, Item, items, part_words};

/// One aircraft with its parts.
struct Sheet {
    file: String,
    registration: String,
    title: String,
    engine_hours: f64,
    items: Vec<Item>,
}

pub(super) fn run(places: &Places, args: &Args) -> Outcome {
    if !(args.hours >= 0.0 && args.days >= 0.0) {
        return Err(CliError::new(Kind::Usage, "The hours and days ahead must be 0 or more."));
    }
    let library = places.library()?;
    let horizon = Horizon { hours: args.hours, years: args.days / 365.25 };
    let (mut sheets, mut faults) = (Vec::new(), Vec::new());
    for card in cards(&args.path)? {
        match sheet(&library, &card, horizon) {
            Ok(sheet) => sheets.push(sheet),
            Err(found) => faults.extend(found),
        }
    }
    if args.json {
        out::print(&tree::pretty(&as_json(&sheets, &faults))?)?;
    } else {
        out::print(&safe_lines(&as_text(&sheets, args.all)))?;
        if !faults.is_empty() {
            return Err(ShopError::Trees(faults).into());
        }
    }
    Ok(if faults.is_empty() { 0 } else { Kind::Fault.exit_code() })
}

/// The card itself, or the cards among the `.yaml` files of a folder, by name.
fn cards(path: &Path) -> Result<Vec<PathBuf>, CliError> {
    let cannot = |why: &std::io::Error| {
        CliError::new(Kind::Usage, format!("{} cannot be read: {why}.", path.display()))
            .hint("Name an aircraft's card or a folder of them.")
    };
    if !path.is_dir() {
        return Ok(vec![path.to_owned()]);
    }
    let mut found = Vec::new();
    for entry in std::fs::read_dir(path).map_err(|fault| cannot(&fault))? {
        let file = entry.map_err(|fault| cannot(&fault))?.path();
        let yaml = file.extension().is_some_and(|e| e == "yaml");
        if yaml && shop::read_card_file(&file).is_ok_and(|text| is_card(text.as_bytes())) {
            found.push(file);
        }
    }
    found.sort();
    if found.is_empty() {
        let message = format!("There is no aircraft card in {}.", path.display());
        return Err(CliError::new(Kind::Usage, message)
            .hint("A card is a .yaml file that starts with: format: roughrun-aircraft-1"));
    }
    Ok(found)
}

fn sheet(library: &Library, card: &Path, horizon: Horizon) -> Result<Sheet, Vec<Diagnostic>> {
    let (aircraft, engine) = library.aircraft(card, shop::today())?;
    let model = library.expand(&engine)?;
    Ok(Sheet {
        file: safe_text(&card.to_string_lossy()).into_owned(),
        items: items(&model, &aircraft.parts, horizon),
        registration: aircraft.registration,
        title: aircraft.title,
        engine_hours: aircraft.engine_hours,
    })
}

fn as_text(sheets: &[Sheet], all: bool) -> String {
    let mut text = String::new();
    let mut total: BTreeMap<Due, usize> = BTreeMap::new();
    for sheet in sheets {
        // Writing into a String cannot fail.
        let title = if sheet.title.is_empty() { String::new() } else { format!(", {}", sheet.title) };
        let _ =
            writeln!(text, "{}{title}: {:.0} engine hours ({})", sheet.registration, sheet.engine_hours, sheet.file);
        for item in &sheet.items {
            *total.entry(item.due).or_default() += 1;
            if item.due != Due::Later || all {
                let (part, at) = (part_words(&item.part), item.at());
                let _ = writeln!(text, "  {:<8} {:<36} {}", item.due.words(), format!("{part}, {at}"), item.words());
            }
        }
        let later = sheet.items.iter().filter(|item| item.due == Due::Later).count();
        if later > 0 && !all {
            let _ = writeln!(text, "  {later} due later: list them with --all");
        }
        let _ = writeln!(text);
    }
    let count = |due| total.get(&due).copied().unwrap_or(0);
    let _ = writeln!(
        text,
        "{} aircraft: {} overdue, {} due, {} unknown. Lives are the trees' figures; the current manual and the maintenance programme decide.",
        sheets.len(),
        count(Due::Overdue),
        count(Due::Due),
        count(Due::Unknown)
    );
    text
}

fn as_json(sheets: &[Sheet], faults: &[Diagnostic]) -> Value {
    let count = |count: Option<Count>| count.map(|c| json!({"age": c.age, "life": c.life, "left": c.left()}));
    let item = |item: &Item| {
        json!({"part": item.part, "at": item.places.iter().map(ToString::to_string).collect::<Vec<_>>(),
            "state": item.due.words(), "hours": count(item.hours), "years": count(item.years)})
    };
    let sheet = |sheet: &Sheet| {
        json!({"card": sheet.file, "registration": sheet.registration, "title": sheet.title,
            "engine_hours": sheet.engine_hours, "items": sheet.items.iter().map(item).collect::<Vec<_>>()})
    };
    let (year, month, day) = shop::today();
    json!({"format": "roughrun-due-1", "today": format!("{year:04}-{month:02}-{day:02}"),
        "aircraft": sheets.iter().map(sheet).collect::<Vec<_>>(),
        "faults": if faults.is_empty() { Value::Null } else { Value::String(render_all(faults)) }})
}
