//! Times and conditions as a person reads them.

use chrono::{DateTime, FixedOffset};

use crate::model::{Condition, Conditions};

/// "30 November 2026, 14:05" of a wall time with its offset; the text itself where it is none.
pub(super) fn moment(when: &str) -> String {
    parsed(when).map_or_else(|| when.to_owned(), |when| when.format("%-d %B %Y, %H:%M").to_string())
}

/// "30 November 2026" of a wall time with its offset; the text itself where it is none.
pub(super) fn day(when: &str) -> String {
    parsed(when).map_or_else(|| when.to_owned(), |when| when.format("%-d %B %Y").to_string())
}

/// As the record has it, or as the clock of a report says it.
fn parsed(when: &str) -> Option<DateTime<FixedOffset>> {
    let printed = || DateTime::parse_from_str(when, "%Y-%m-%d %H:%M %:z");
    DateTime::parse_from_rfc3339(when).or_else(|_| printed()).ok()
}

/// Levels that say nothing without the name of their condition.
const BARE: [&str; 3] = ["none", "low", "high"];

/// The conditions that are not those of an engine at rest: "warm, shaking, low load"; empty where all are.
pub(super) fn unlike_rest(conditions: &Conditions, kinds: &[Condition]) -> String {
    let resting = Conditions::resting(kinds);
    let levels = kinds.iter().zip(&conditions.0).zip(&resting.0).filter(|((_, level), rest)| level != rest);
    let word = |((kind, level), _): ((&Condition, &usize), &usize)| {
        let level = kind.levels.get(*level)?;
        Some(if BARE.contains(&level.as_str()) { format!("{level} {}", kind.name) } else { level.clone() })
    };
    levels.filter_map(word).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_said_as_people_say_them() {
        assert_eq!(moment("2026-11-05T09:07:00+01:00"), "5 November 2026, 09:07");
        assert_eq!(day("2026-11-30 10:05 +00:00"), "30 November 2026");
        assert_eq!(day("some day"), "some day");
    }
}
