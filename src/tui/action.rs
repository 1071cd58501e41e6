//! The one table of what can be done on the screens.
//!
//! Owns each command's name, keys, one-line doc, where it holds and when. Hint bar, `?` and the key page are made from it,
//! so none of them can say what is not so. Must not know how a command is carried out.

mod table;

pub(crate) use table::TABLE;

use super::app::App;
use super::input::Key;

/// Something that is done on a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Action {
    /// Choose what to practise.
    Practise,
    /// How somebody gets on in practice.
    Progress,
    /// In practice: ask for the suggestion and the probabilities.
    Hint,
    /// In practice: say what is suspected.
    Suspect,
    /// Leave the program.
    Leave,
    /// Explain this screen.
    Help,
    /// One step back.
    Back,
    /// The row above.
    Up,
    /// The row below.
    Down,
    /// A page up.
    PageUp,
    /// A page down.
    PageDown,
    /// The first row.
    First,
    /// The last row.
    Last,
    /// To the left.
    Left,
    /// To the right.
    Right,
    /// Take what is marked.
    Enter,
    /// Take the last entry back.
    Undo,
    /// Take the marked entry back.
    TakeBack,
    /// Choose another check.
    Others,
    /// Say that conditions changed.
    Conditions,
    /// Say whether it shows now.
    Showing,
    /// Provoke the fault.
    Provoke,
    /// Put something right.
    Correct,
    /// Make the proof run.
    Proof,
    /// The check cannot be made here.
    NotPossible,
    /// Pass over for now.
    Skip,
    /// Write a note.
    Note,
    /// Close the job.
    Close,
    /// Show the write-up.
    Report,
    /// Show the entries.
    Timeline,
    /// Show the whole check.
    Card,
    /// Show all suspects.
    Suspects,
    /// Begin a reading.
    Reading,
    /// Show the engine.
    Engine,
    /// Show the fault tree.
    Tree,
    /// Answer one check at all its sites.
    Bulk,
    /// Show how the suspicion moved.
    Course,
    /// Show what the last entry changed.
    Changes,
    /// Find anything by a few letters.
    Palette,
    /// Large letters on or off.
    Big,
    /// Choose the site of a check on the engine.
    Where,
    /// Enter all that is in the grid.
    SaveAll,
    /// A row is pressed: it is marked; marked already, it is taken.
    Point(usize),
    /// A site of the engine is pressed.
    PointSite(crate::model::Site),
    /// A cell of the grid is pressed: row and column.
    PointCell(usize, usize),
    /// A caution was read.
    Acknowledge,
    /// Show the records, for the lead.
    Review,
    /// Show what the records teach.
    Learn,
    /// Choose what to narrow the list by.
    Narrow,
    /// Remark on the entry in front.
    Remark,
    /// Remark on the whole job.
    RemarkOnJob,
    /// Mark the job as gone through.
    Reviewed,
    /// To the next mark for talking over.
    NextMark,
    /// To the mark before.
    MarkBefore,
    /// Accept the marked figure, or not.
    Accept,
    /// Accept all figures that may be.
    AcceptAll,
    /// Write what is accepted to a file.
    WriteOut,
    /// Stop what is being worked out.
    StopWork,
    /// Stop the program for now.
    Suspend,
    /// Take a character away.
    Backspace,
    /// Take the next character away.
    Delete,
    /// Draw the screen anew.
    Redraw,
    /// The answer with this place.
    Choice(usize),
    /// The row with this number.
    Nth(usize),
    /// A character is typed.
    Type(char),
    /// A text is pasted.
    Paste(String),
}

/// Where keys mean what they mean.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Context {
    /// The bench.
    Bench,
    /// A short list with numbers.
    Choose,
    /// A long list that is searched by typing.
    Search,
    /// The list of entries.
    Entries,
    /// The intake, on a row of choices.
    Form,
    /// The intake, on a row that is written in.
    FormText,
    /// The walk.
    Walk,
    /// The walk, with a reading being typed.
    Reading,
    /// The walk, with a judged reading shown.
    Verdict,
    /// A caution.
    Caution,
    /// Conditions.
    Levels,
    /// A page to read.
    Page,
    /// A line to write.
    Write,
    /// The engine.
    Engine,
    /// The fault tree.
    Tree,
    /// The grid.
    Grid,
    /// How the suspicion moved.
    Course,
    /// The tour.
    Tour,
    /// The records, for the lead.
    Review,
    /// A record walked again.
    Replay,
    /// What the records teach.
    Learn,
}

impl Context {
    /// All of them.
    pub const ALL: [Self; 21] = [
        Self::Bench,
        Self::Choose,
        Self::Search,
        Self::Entries,
        Self::Form,
        Self::FormText,
        Self::Walk,
        Self::Reading,
        Self::Verdict,
        Self::Caution,
        Self::Levels,
        Self::Page,
        Self::Write,
        Self::Engine,
        Self::Tree,
        Self::Grid,
        Self::Course,
        Self::Tour,
        Self::Review,
        Self::Replay,
        Self::Learn,
    ];

    /// Whether characters are text here, and so no commands.
    #[must_use]
    pub fn types(self) -> bool {
        matches!(self, Self::Search | Self::FormText | Self::Reading | Self::Write | Self::Grid | Self::Review)
    }

    /// Its name on the key page.
    #[must_use]
    pub fn title(self) -> &'static str {
        match self {
            Self::Bench => "the bench",
            Self::Choose => "short lists",
            Self::Search => "lists searched by typing",
            Self::Entries => "the entries",
            Self::Form => "the intake",
            Self::FormText => "the intake, in a text",
            Self::Walk => "the walk",
            Self::Reading => "typing a reading",
            Self::Verdict => "a judged reading",
            Self::Caution => "a caution",
            Self::Levels => "conditions",
            Self::Page => "pages to read",
            Self::Write => "writing a line",
            Self::Engine => "the engine",
            Self::Tree => "the fault tree",
            Self::Grid => "the grid",
            Self::Course => "the course",
            Self::Tour => "the tour",
            Self::Review => "the records",
            Self::Replay => "a record walked again",
            Self::Learn => "what the records teach",
        }
    }
}

/// A row of the table.
pub(super) struct Row {
    /// What is done.
    pub action: Action,
    /// A word or two for the hint bar.
    pub name: &'static str,
    /// Its keys, the one shown first.
    pub keys: &'static [Key],
    /// One line on what it does.
    pub doc: &'static str,
    /// Where it holds.
    pub contexts: &'static [Context],
    /// Whether the hint bar shows it.
    pub hint: bool,
    /// Whether it can be done now.
    pub enabled: fn(&App) -> bool,
}

impl Row {
    /// The keys that mean this in a context; where text is typed, a character is text.
    pub(super) fn keys_in(&self, context: Context) -> impl Iterator<Item = Key> + '_ {
        let here = self.contexts.contains(&context);
        let text = move |key: &Key| context.types() && matches!(key, Key::Char(_));
        self.keys.iter().copied().filter(move |key| here && !text(key))
    }
}

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
