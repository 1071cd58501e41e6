//! Aircraft cards: one aircraft's layout, hours and parts.

use std::collections::BTreeSet;
use std::path::Path;

use chrono::NaiveDate;

use super::diagnostic::Diagnostic;
use super::engine_twin::{AircraftTwin, FittedTwin};
use super::faults::{Faults, code};
use super::folder::Found;
use super::layouts::{self, EngineLayout};
use super::library::{Library, format_of, looks_like_path, take};
use super::limits;
use super::lower::texts;
use super::node::{Files, Node, Place};
use super::parse;
use crate::model::{Aircraft, Fitted, Site};

/// The format of an aircraft card.
pub(super) const AIRCRAFT_FORMAT: &str = "roughrun-aircraft-1";
/// The most hours an engine is believed to have run.
const MOST_HOURS: f64 = 100_000.0;
/// Days of a year, on the average of four.
const YEAR: f64 = 365.25;

/// A day: year, month from 1, day from 1.
pub type Day = (i32, u32, u32);

/// Whether a file's text says that it is an aircraft card, faulty or not.
#[must_use]
pub fn is_card(text: &[u8]) -> bool {
    let found = Found { name: String::new(), bytes: text.to_vec() };
    let read = take(&mut Files::default(), 0, found, &mut Faults::default());
    read.is_some_and(|(_, root)| format_of(&root) == AIRCRAFT_FORMAT)
}

impl Library {
    /// An aircraft's card, with its layout and the limits the card overrides. `today` is the day the ages of parts are
    /// counted to. A layout given as a path is looked for in the folder of the card.
    ///
    /// # Errors
    /// All faults of the card, and of the layout file that it names.
    pub fn aircraft(&self, path: &Path, today: Day) -> Result<(Aircraft, EngineLayout), Vec<Diagnostic>> {
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        let read = self.read_card(path, today, &mut extra, &mut faults);
        match read {
            Some((aircraft, layout)) if faults.is_empty() => Ok((aircraft, EngineLayout { extra, ..layout })),
            _ => Err(faults.into_diagnostics(&self.files.with(&extra))),
        }
    }

    /// An aircraft's card from its text, as a record keeps it. A layout given as a path is looked for in the working folder.
    ///
    /// # Errors
    /// As [`Library::aircraft`].
    pub fn aircraft_text(&self, text: &str, today: Day) -> Result<(Aircraft, EngineLayout), Vec<Diagnostic>> {
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        let found = Found { name: "aircraft card".to_owned(), bytes: text.as_bytes().to_vec() };
        let read = take(&mut extra, self.files.0.len(), found, &mut faults)
            .and_then(|(index, root)| self.card_from(index, &root, Path::new(""), today, &mut extra, &mut faults));
        match read {
            Some((aircraft, layout)) if faults.is_empty() => Ok((aircraft, EngineLayout { extra, ..layout })),
            _ => Err(faults.into_diagnostics(&self.files.with(&extra))),
        }
    }

    /// Reads a card; what is wrong is noted.
    pub(super) fn read_card(
        &self,
        path: &Path,
        today: Day,
        extra: &mut Files,
        faults: &mut Faults,
    ) -> Option<(Aircraft, EngineLayout)> {
        let (index, root) = self.take_extra(path, extra, faults)?;
        let folder = path.parent().unwrap_or(Path::new(""));
        self.card_from(index, &root, folder, today, extra, faults)
    }

    fn card_from(
        &self,
        index: usize,
        root: &Node,
        folder: &Path,
        today: Day,
        extra: &mut Files,
        faults: &mut Faults,
    ) -> Option<(Aircraft, EngineLayout)> {
        if !parse::format_is(AIRCRAFT_FORMAT, index, root, faults) {
            return None;
        }
        let file = extra.0.get(index - self.files.0.len())?.clone();
        let start = Place { file: index, start: root.start, end: root.start };
        let twin: AircraftTwin = parse::twin(&file, index, root, start, faults)?;
        let card = Card { library: self, root, file: index, today: date(today) };
        card.head(&twin, faults);
        let overrides = layouts::overrides(&twin.limits.0, index, root);
        limits::look_at_overrides(&self.declared, &overrides, faults);
        let mut layout = card.layout(&twin.layout, folder, extra, faults)?;
        layout.overrides.extend(overrides);
        let parts = twin.parts.iter().enumerate().filter_map(|(i, part)| card.fitted(i, part, &twin, &layout, faults));
        let parts = parts.collect();
        let aircraft = Aircraft {
            registration: twin.registration.trim().to_string(),
            title: twin.title.trim().to_string(),
            layout: layout.layout.name.clone(),
            engine_hours: twin.engine_hours,
            parts,
            lacks: texts(&twin.lacks),
        };
        Some((aircraft, layout))
    }
}

fn date((year, month, day): Day) -> Option<NaiveDate> {
    NaiveDate::from_ymd_opt(year, month, day)
}

/// The rules for one card.
struct Card<'a> {
    library: &'a Library,
    root: &'a Node,
    file: usize,
    today: Option<NaiveDate>,
}

impl Card<'_> {
    fn at(&self, path: &str) -> Place {
        let (start, end) = self.root.span_of(path).unwrap_or((self.root.start, self.root.start));
        Place { file: self.file, start, end }
    }

    fn head(&self, twin: &AircraftTwin, faults: &mut Faults) {
        let marks = twin.registration.trim();
        if marks.is_empty() || marks.chars().count() > 20 || marks.contains('\n') {
            let message = "The registration must have 1 to 20 characters.";
            faults.add(code::EMPTY_TEXT, self.at("registration"), message, "Write the registration marks.");
        }
        if twin.title.trim().contains('\n') {
            faults.add(
                code::BAD_VALUE,
                self.at("title"),
                "The title has more than one line.",
                "Shorten it to one line.",
            );
        }
        for (i, _) in twin.lacks.iter().enumerate().filter(|(_, name)| name.trim().is_empty()) {
            let message = format!("Item {} of lacks is empty.", i + 1);
            faults.add(code::EMPTY_TEXT, self.at(&format!("lacks/{i}")), message, "Name the equipment, or delete it.");
        }
        if !(0.0..=MOST_HOURS).contains(&twin.engine_hours) {
            let message = format!("{} cannot be the hours of an engine.", twin.engine_hours);
            faults.add(code::BAD_NUMBER, self.at("engine-hours"), message, "Write the engine's hours now, 0 or more.");
        }
    }

    fn layout(&self, name: &str, folder: &Path, extra: &mut Files, faults: &mut Faults) -> Option<EngineLayout> {
        if let Some(layout) = self.library.known_layout(name) {
            return Some(layout.clone());
        }
        if looks_like_path(name) {
            return self.library.layout_file(&folder.join(name), extra, faults);
        }
        faults.unknown("layout", name, self.at("layout"), self.library.layout_names().into_iter());
        None
    }

    fn fitted(
        &self,
        i: usize,
        part: &FittedTwin,
        twin: &AircraftTwin,
        layout: &EngineLayout,
        faults: &mut Faults,
    ) -> Option<Fitted> {
        let at = |field: &str| self.at(&format!("parts/{i}/{field}"));
        let known: BTreeSet<&str> = self.library.declared.causes.items.iter().map(|c| c.twin.part.as_str()).collect();
        if !known.contains(part.part.as_str()) {
            faults.unknown("part", &part.part, at("part"), known.into_iter());
        }
        let hours = part.fitted_hours.map(|fitted| twin.engine_hours - fitted);
        if hours.is_some_and(|hours| !(0.0..=MOST_HOURS).contains(&hours)) {
            let message = "The part cannot have been fitted at these engine hours.";
            let mend = format!("Write the engine's hours when it was fitted, from 0 to {}.", twin.engine_hours);
            faults.add(code::BAD_NUMBER, at("fitted-hours"), message, mend);
        }
        let years = part.fitted.as_deref().and_then(|day| self.years(day, at("fitted"), faults));
        if part.fitted_hours.is_none() && part.fitted.is_none() {
            let mend =
                "Add fitted-hours: with the engine's hours then, or fitted: with the day, such as \"2018-05-01\".";
            faults.add(code::MISSING_FIELD, at("part"), "The card does not say when this part was fitted.", mend);
        }
        let site: Site = match part.at.parse() {
            Ok(site) => site,
            Err(why) => {
                faults.add(code::SITE, at("at"), format!("{why}."), "Write where the part sits on this engine.");
                return None;
            }
        };
        if !layout.layout.has(site) {
            let message = format!("The layout {} has no {site}.", layout.layout.name);
            faults.add(code::SITE, at("at"), message, "Write where the part sits on this engine.");
        }
        Some(Fitted { part: part.part.clone(), site, hours, years })
    }

    fn years(&self, day: &str, place: Place, faults: &mut Faults) -> Option<f64> {
        let fitted = NaiveDate::parse_from_str(day, "%Y-%m-%d");
        match (fitted, self.today) {
            (Ok(fitted), Some(today)) if fitted <= today => Some((today - fitted).num_days() as f64 / YEAR),
            (Ok(_), _) => {
                faults.add(
                    code::DATE,
                    place,
                    "The part was fitted after today.",
                    "Write the day it was fitted, as year-month-day.",
                );
                None
            }
            (Err(_), _) => {
                faults.add(
                    code::DATE,
                    place,
                    format!("\"{day}\" is not a day."),
                    "Write it as year-month-day, such as \"2018-05-01\".",
                );
                None
            }
        }
    }
}
