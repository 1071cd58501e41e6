//! What the table offers now, what a key means by it, and the pages of keys made from it.
//!
//! Must not know how a command is carried out.

use super::action::{Action, Context};
use super::app::App;
use super::input::Key;
use super::table::{Row, TABLE};

/// The rows that can be done now in a context, with the key to show.
pub(super) fn offered(app: &App, context: Context) -> impl Iterator<Item = (&'static Row, Key)> + '_ {
    TABLE.iter().filter_map(move |row| Some((row, row.keys_in(context).next()?))).filter(|(row, _)| (row.enabled)(app))
}

/// What a key means now.
#[must_use]
pub(super) fn meaning(app: &App, key: Key) -> Option<Action> {
    let context = app.context();
    let row = TABLE.iter().find(|row| row.keys_in(context).any(|k| k == key) && (row.enabled)(app));
    if let Some(row) = row {
        return Some(row.action.clone());
    }
    let Key::Char(c) = key else { return None };
    let digit = c.to_digit(10).and_then(|d| usize::try_from(d).ok());
    match context {
        Context::Bench | Context::Choose => digit.filter(|d| *d > 0).map(|d| Action::Nth(d - 1)),
        Context::Walk => match app.front()?.by_key(c) {
            Some(at) => Some(Action::Choice(at)),
            None if c.is_ascii_digit() || c == '.' || c == '-' => Some(Action::Type(c)),
            None => None,
        },
        Context::Verdict => app.verdict_choice(c).map(Action::Choice),
        _ if context.types() => Some(Action::Type(c)),
        _ => None,
    }
}

/// The keys of one place, for pages about them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeysOf {
    /// Where they hold: "the walk".
    pub place: &'static str,
    /// Each command's keys, and what they do.
    pub keys: Vec<(Vec<String>, &'static str)>,
}

/// All keys, place by place, made from the table.
#[must_use]
pub fn keys() -> Vec<KeysOf> {
    let of = |context: Context| {
        let rows = TABLE.iter().map(|row| (row.keys_in(context).map(|k| k.to_string()).collect::<Vec<_>>(), row.doc));
        KeysOf { place: context.title(), keys: rows.filter(|(keys, _)| !keys.is_empty()).collect() }
    };
    Context::ALL.map(of).to_vec()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn no_key_means_two_things_in_one_context() {
        for context in Context::ALL {
            let mut seen = BTreeSet::new();
            for row in TABLE {
                for key in row.keys_in(context) {
                    assert!(seen.insert(key), "{key} means two things in {}: also {}", context.title(), row.name);
                }
            }
        }
    }

    #[test]
    fn every_row_has_a_doc_a_name_and_a_key_somewhere() {
        for row in TABLE {
            assert!(row.doc.ends_with('.') && row.doc.len() > 10, "{}", row.name);
            assert!(!row.name.is_empty() && !row.keys.is_empty());
            for context in row.contexts {
                assert!(row.keys_in(*context).next().is_some(), "{} has no key in {}", row.name, context.title());
            }
        }
    }

    #[test]
    fn commands_take_no_letter_from_answers() {
        for row in TABLE.iter().filter(|r| r.contexts.contains(&Context::Walk)) {
            for key in row.keys_in(Context::Walk) {
                let Key::Char(c) = key else { continue };
                assert!(!c.is_ascii_lowercase() || "jk".contains(c), "{c} is kept for answers");
                assert!(!c.is_ascii_digit() && c != '.' && c != '-', "{c} begins a reading");
            }
        }
    }

    #[test]
    fn the_pages_of_keys_name_every_row() {
        let named: BTreeSet<&str> = keys().iter().flat_map(|of| of.keys.iter().map(|(_, doc)| *doc)).collect();
        TABLE.iter().for_each(|row| assert!(named.contains(row.doc), "{}", row.name));
    }
}
