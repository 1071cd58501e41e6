//! The one table of what can be done on the screens.
//!
//! Owns each command's name, keys, one-line doc, where it holds and when. Hint bar, `?` and the key page are made from it,
//! so none of them can say what is not so. Must not know how a command is carried out.

use super::app::{App, Screen};
use super::input::Key;

/// Something that is done on a screen.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Action {
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
    /// A caution was read.
    Acknowledge,
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
}

impl Context {
    /// All of them.
    pub const ALL: [Self; 13] = [
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
    ];

    /// Whether characters are text here, and so no commands.
    #[must_use]
    pub fn types(self) -> bool {
        matches!(self, Self::Search | Self::FormText | Self::Reading | Self::Write)
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

use Context as C;
use Key::{Char, Ctrl};

const JOB: &[C] = &[C::Walk, C::Caution];
const WALK: &[C] = &[C::Walk];

fn always(_: &App) -> bool {
    true
}
fn open(app: &App) -> bool {
    !app.read_only && app.job.as_ref().is_some_and(|j| j.state().ended.is_none())
}
fn has_job(app: &App) -> bool {
    app.job.is_some()
}
fn can_undo(app: &App) -> bool {
    !app.read_only && seen_entries(app) && app.job.as_ref().is_some_and(|j| j.last_standing().is_some())
}
/// Help and the whole check are read over the walk; nothing is taken back unseen from there.
fn seen_entries(app: &App) -> bool {
    has_job(app) && !matches!(app.top(), Screen::Help(_) | Screen::Card(_))
}
fn is_check(app: &App) -> bool {
    open(app) && app.front().is_some_and(|f| f.check().is_some())
}
fn takes_reading(app: &App) -> bool {
    is_check(app) && app.limit_in_front().is_some()
}
fn has_card(app: &App) -> bool {
    app.front().is_some_and(|f| !matches!(f.action, crate::plan::Action::SeeWhetherItShows))
}
fn can_go_back(app: &App) -> bool {
    app.can_go_back()
}
fn can_provoke(app: &App) -> bool {
    open(app) && app.job.as_ref().is_some_and(|j| !j.model().provocations.is_empty())
}
fn off_bench(app: &App) -> bool {
    !matches!(app.top(), Screen::Help(_))
}
fn can_take_back(app: &App) -> bool {
    !app.read_only && has_job(app)
}

macro_rules! row {
    ($action:ident, $name:literal, [$($key:expr),+], $contexts:expr, $hint:literal, $enabled:expr, $doc:literal) => {
        Row { action: Action::$action, name: $name, keys: &[$($key),+], doc: $doc, contexts: $contexts, hint: $hint, enabled: $enabled }
    };
}

/// The table. Rows come in the order in which hints are shown.
pub(super) const TABLE: &[Row] = &[
    row!(
        Acknowledge,
        "I have read it",
        [Char('a'), Char('A')],
        &[C::Caution],
        true,
        open,
        "Enter that the caution was read, and go on."
    ),
    row!(Enter, "take", [Key::Enter], &[C::Bench, C::Choose, C::Search], true, always, "Take the marked row."),
    row!(
        Enter,
        "put right",
        [Key::Enter],
        &[C::Entries],
        true,
        can_take_back,
        "Put the marked answer right: its check comes to the front again."
    ),
    row!(
        TakeBack,
        "take back",
        [Char('U'), Key::Delete],
        &[C::Entries],
        true,
        can_take_back,
        "Take the marked entry back. It stays in the record."
    ),
    row!(
        Enter,
        "begin the job",
        [Key::Enter],
        &[C::Form, C::FormText],
        true,
        always,
        "Begin the job with what is shown."
    ),
    row!(
        Enter,
        "mark, then enter",
        [Key::Enter],
        WALK,
        false,
        open,
        "Mark the first answer; again: enter the marked answer."
    ),
    row!(
        Enter,
        "judge",
        [Key::Enter],
        &[C::Reading],
        true,
        always,
        "Judge the reading by its limit. Nothing is entered yet."
    ),
    row!(Enter, "enter it", [Key::Enter], &[C::Verdict], true, always, "Enter the reading with the outcome marked."),
    row!(Enter, "save", [Key::Enter], &[C::Levels, C::Write], true, always, "Take what is shown."),
    row!(Others, "other check", [Char('/')], JOB, true, open, "Choose another check from the list."),
    row!(
        Reading,
        "type a reading",
        [Char('=')],
        WALK,
        false,
        takes_reading,
        "Type a reading. A digit, a point or a minus begins one by itself."
    ),
    row!(
        Card,
        "whole check",
        [Char('K')],
        JOB,
        true,
        has_card,
        "Read the whole of what is in front: steps, what each answer means, mistakes, source."
    ),
    row!(
        Undo,
        "undo",
        [Char('U')],
        &[C::Walk, C::Caution, C::Page],
        true,
        can_undo,
        "Take the last entry back. It stays in the record."
    ),
    row!(
        Conditions,
        "conditions",
        [Char('C')],
        JOB,
        true,
        open,
        "Say that conditions changed: a new spell of work begins."
    ),
    row!(Showing, "showing?", [Char('W')], JOB, true, open, "Say whether the complaint shows right now."),
    row!(
        Provoke,
        "provoke",
        [Char('P')],
        JOB,
        true,
        can_provoke,
        "Change the conditions on purpose to wake the fault."
    ),
    row!(Correct, "fix", [Char('F')], JOB, true, open, "Say what was put right, or choose what to put right."),
    row!(Proof, "proof run", [Char('R')], JOB, true, open, "Make the proof run under the reported conditions."),
    row!(
        NotPossible,
        "not possible",
        [Char('X')],
        JOB,
        true,
        is_check,
        "This check cannot be made here; it is not asked again."
    ),
    row!(Skip, "skip", [Char('S')], JOB, true, is_check, "Pass this check over until conditions change."),
    row!(
        Suspects,
        "suspects",
        [Char('L')],
        JOB,
        true,
        has_job,
        "List every cause with its standing, and the checks that ruled it out."
    ),
    row!(
        Timeline,
        "entries",
        [Char('T')],
        &[C::Walk, C::Caution, C::Page],
        true,
        seen_entries,
        "List the entries; put one right or take it back."
    ),
    row!(Note, "note", [Char('N')], JOB, true, has_job, "Write a note into the record."),
    row!(Report, "report", [Char('O')], JOB, true, has_job, "Read the job written up so far."),
    row!(Close, "end job", [Char('E')], JOB, true, open, "Close the job: cured, handed over, not found or stopped."),
    row!(
        Back,
        "back",
        [Key::Esc],
        &[
            C::Bench,
            C::Choose,
            C::Search,
            C::Entries,
            C::Form,
            C::FormText,
            C::Walk,
            C::Reading,
            C::Verdict,
            C::Caution,
            C::Levels,
            C::Page,
            C::Write
        ],
        true,
        can_go_back,
        "One step back; nothing is entered."
    ),
    row!(
        Up,
        "up",
        [Key::Up, Char('k')],
        &[
            C::Bench,
            C::Choose,
            C::Search,
            C::Entries,
            C::Form,
            C::FormText,
            C::Walk,
            C::Verdict,
            C::Caution,
            C::Levels,
            C::Page
        ],
        false,
        always,
        "The row above."
    ),
    row!(
        Down,
        "down",
        [Key::Down, Char('j')],
        &[
            C::Bench,
            C::Choose,
            C::Search,
            C::Entries,
            C::Form,
            C::FormText,
            C::Walk,
            C::Verdict,
            C::Caution,
            C::Levels,
            C::Page
        ],
        false,
        always,
        "The row below."
    ),
    row!(Left, "or Right changes", [Key::Left], &[C::Form, C::Levels], true, always, "The choice before."),
    row!(
        Right,
        "changes",
        [Key::Right, Char(' ')],
        &[C::Form, C::Levels],
        false,
        always,
        "The choice after; opens the list where there is one."
    ),
    row!(Left, "caret left", [Key::Left], &[C::FormText, C::Reading, C::Write], false, always, "Move within the text."),
    row!(
        Right,
        "caret right",
        [Key::Right],
        &[C::FormText, C::Reading, C::Write],
        false,
        always,
        "Move within the text."
    ),
    row!(
        First,
        "start",
        [Key::Home],
        &[C::Bench, C::Choose, C::Search, C::Entries, C::FormText, C::Reading, C::Write, C::Page, C::Caution],
        false,
        always,
        "To the start."
    ),
    row!(
        Last,
        "end",
        [Key::End],
        &[C::Bench, C::Choose, C::Search, C::Entries, C::FormText, C::Reading, C::Write, C::Page, C::Caution],
        false,
        always,
        "To the end."
    ),
    row!(
        PageUp,
        "page up",
        [Key::PageUp],
        &[C::Bench, C::Choose, C::Search, C::Entries, C::Page, C::Caution],
        false,
        always,
        "One page up."
    ),
    row!(
        PageDown,
        "page down",
        [Key::PageDown],
        &[C::Bench, C::Choose, C::Search, C::Entries, C::Page, C::Caution],
        false,
        always,
        "One page down."
    ),
    row!(PageDown, "next row", [Key::Tab], &[C::Form, C::FormText], false, always, "The next row."),
    row!(PageUp, "row before", [Key::BackTab], &[C::Form, C::FormText], false, always, "The row before."),
    row!(
        Backspace,
        "take away",
        [Key::Backspace],
        &[C::Search, C::FormText, C::Reading, C::Write],
        false,
        always,
        "Take the last character away."
    ),
    row!(
        Delete,
        "take away",
        [Key::Delete],
        &[C::FormText, C::Reading, C::Write],
        false,
        always,
        "Take the next character away."
    ),
    row!(Help, "help", [Char('?'), Key::F1], &Context::ALL, true, off_bench, "Explain this screen and its keys."),
    row!(
        Leave,
        "leave",
        [Char('Q'), Ctrl('c')],
        &Context::ALL,
        true,
        always,
        "Leave the program. Everything entered is saved already."
    ),
    row!(
        Suspend,
        "suspend",
        [Ctrl('z')],
        &Context::ALL,
        false,
        always,
        "Go back to the shell for now; `fg` brings the screen back."
    ),
    row!(Redraw, "redraw", [Ctrl('l')], &Context::ALL, false, always, "Draw the screen anew."),
];

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

/// The page of keys for the documentation, made from the table.
#[must_use]
pub fn key_page() -> String {
    let mut page = String::from("# Keys\n\nMade from the program's own table of actions.\n");
    for context in Context::ALL {
        page.push_str(&format!("\n## In {}\n\n| key | does |\n|---|---|\n", context.title()));
        for row in TABLE.iter().filter(|r| r.keys_in(context).next().is_some()) {
            let keys: Vec<String> = row.keys_in(context).map(|k| format!("`{k}`")).collect();
            page.push_str(&format!("| {} | {} |\n", keys.join(" "), row.doc));
        }
    }
    page
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
    fn the_key_page_names_every_row() {
        let page = key_page();
        TABLE.iter().for_each(|row| assert!(page.contains(row.doc), "{}", row.name));
    }
}
