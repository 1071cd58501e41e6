//! Figures that can be, but hardly are: minutes, rates and lives outside what the trade sees.

use std::ops::RangeInclusive;

use super::Findings;
use crate::trees::declared::{Decl, Declared};
use crate::trees::faults::code;

/// Ranges of minutes: common practice on a piston single or twin.
const MODE: RangeInclusive<f64> = 0.0..=60.0;
const RISES: RangeInclusive<f64> = 0.5..=120.0;
const FALLS: RangeInclusive<f64> = 1.0..=1_440.0;
const CHECK: RangeInclusive<f64> = 0.5..=180.0;
const ACCESS: RangeInclusive<f64> = 0.0..=180.0;
const PROVOCATION: RangeInclusive<f64> = 1.0..=180.0;
const CORRECTION: RangeInclusive<f64> = 2.0..=1_440.0;
const PROOF: RangeInclusive<f64> = 2.0..=120.0;
/// Failures of one site per 1,000 engine hours: from once in a million hours to twice in a 1,000.
const RATE: RangeInclusive<f64> = 0.001..=2.0;
/// Lives between those of a consumable and of the engine's whole time in the air.
const LIFE_HOURS: RangeInclusive<f64> = 20.0..=6_000.0;
const LIFE_YEARS: RangeInclusive<f64> = 0.5..=40.0;
/// Shape of wear: below 1 parts get better with age; above 6 all fail on one day.
const SHAPE: RangeInclusive<f64> = 1.0..=6.0;

pub(super) fn look(declared: &Declared, found: &mut Findings) {
    for mode in &declared.modes.items {
        minutes(found, mode, mode.twin.there, "there", MODE);
        minutes(found, mode, mode.twin.back, "back", MODE);
    }
    for condition in &declared.conditions.items {
        let twin = &condition.twin;
        for (course, field, range) in [
            (&twin.rises_running, "rises-running", RISES),
            (&twin.falls_at_rest, "falls-at-rest", FALLS),
            (&twin.falls_running, "falls-running", FALLS),
        ] {
            for (level, value) in &course.0 {
                minutes(found, condition, *value, &format!("{field}/{level}"), range.clone());
            }
        }
    }
    for access in &declared.access.items {
        minutes(found, access, access.twin.open, "open", ACCESS);
        minutes(found, access, access.twin.close, "close", ACCESS);
    }
    for check in &declared.checks.items {
        minutes(found, check, check.twin.minutes, "minutes", CHECK);
    }
    for correction in &declared.corrections.items {
        minutes(found, correction, correction.twin.minutes, "minutes", CORRECTION);
    }
    for provocation in &declared.provocations.items {
        minutes(found, provocation, provocation.twin.minutes, "minutes", PROVOCATION);
    }
    for complaint in &declared.complaints.items {
        minutes(found, complaint, complaint.twin.proof.minutes, "proof/minutes", PROOF);
    }
    for cause in &declared.causes.items {
        let rate = "a rate per 1,000 engine hours of one site";
        odd(found, code::ODD_RATE, cause, cause.twin.rate, "rate", rate, RATE);
        let Some(life) = &cause.twin.life else { continue };
        odd(found, code::ODD_RATE, cause, life.shape, "life/shape", "the shape of wear", SHAPE);
        for (value, path, range) in [(life.hours, "life/hours", LIFE_HOURS), (life.years, "life/years", LIFE_YEARS)] {
            if let Some(value) = value {
                odd(found, code::ODD_RATE, cause, value, path, "a part's life", range);
            }
        }
    }
    if let Some(unknown) = declared.unknown.items.first() {
        odd(found, code::ODD_RATE, unknown, unknown.twin.rate, "rate", "the rate of the unknown cause", RATE);
    }
}

fn minutes<T>(found: &mut Findings, decl: &Decl<T>, value: f64, path: &str, range: RangeInclusive<f64>) {
    odd(found, code::ODD_MINUTES, decl, value, path, "a time in minutes", range);
}

fn odd<T>(
    found: &mut Findings,
    code: &'static str,
    decl: &Decl<T>,
    value: f64,
    path: &str,
    what: &str,
    range: RangeInclusive<f64>,
) {
    if !range.contains(&value) {
        found.add(
            code,
            [decl.name.as_str()],
            decl.at(path),
            format!(
                "{value} is an odd value for {what} (\"{}\"): the trade sees {} to {}.",
                decl.name,
                range.start(),
                range.end()
            ),
            "Look for a slip of the decimal point or of the unit; where the figure is right, say why under allow.",
        );
    }
}
