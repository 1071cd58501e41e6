//! The one table of what can be done on the screens: every command, one row each.
//!
//! Owns each command's name, keys, one-line doc, where it holds and when. Hint bar, `?` and the key page are made from it,
//! so none of them can say what is not so. Must not know how anything is carried out or drawn.

use super::action::{Action, Context};
use super::app::{App, Screen};
use super::input::Key;
use super::lead::Long;
use super::pick::Pick;

use Context as C;
use Key::{Char, Ctrl};

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

const JOB: &[C] = &[C::Walk, C::Caution];
const WALK: &[C] = &[C::Walk];
/// Where the job can be looked at from.
const LOOKS: &[C] = &[C::Walk, C::Caution, C::Engine, C::Tree, C::Course];

fn always(_: &App) -> bool {
    true
}
fn open(app: &App) -> bool {
    !app.is_read_only() && app.job().is_some_and(|j| j.state().ended.is_none())
}
fn has_job(app: &App) -> bool {
    app.job().is_some()
}
fn can_undo(app: &App) -> bool {
    !app.is_practice()
        && !app.is_read_only()
        && seen_entries(app)
        && app.job().is_some_and(|j| j.last_standing().is_some())
}
/// Help and the whole check are read over the walk; nothing is taken back unseen from there.
fn seen_entries(app: &App) -> bool {
    has_job(app) && !matches!(app.top(), Screen::Help(_) | Screen::Card(_) | Screen::Stands(_))
}
fn is_check(app: &App) -> bool {
    open(app) && !app.is_practice() && app.front().is_some_and(|f| f.check().is_some())
}
/// Something that the work in front asks for can be wanting: a tool, a gauge, a way to provoke.
fn can_lack(app: &App) -> bool {
    let lacks = |front: super::front::Front, job: &crate::job::Job| match front.action {
        crate::plan::Action::Check(id) => !job.model()[id].equipment().is_empty(),
        crate::plan::Action::Provoke(_) => true,
        _ => false,
    };
    open(app) && !app.is_practice() && app.front().zip(app.job()).is_some_and(|(front, job)| lacks(front, job))
}
fn paused(app: &App) -> bool {
    open(app) && app.job().is_some_and(|job| job.state().paused.is_some())
}
fn can_look_again(app: &App) -> bool {
    open(app) && !app.is_practice() && app.second_look().is_some()
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
    open(app) && app.job().is_some_and(|j| !j.model().provocations.is_empty())
}
fn off_bench(app: &App) -> bool {
    !matches!(app.top(), Screen::Help(_))
}
fn can_take_back(app: &App) -> bool {
    !app.is_practice() && !app.is_read_only() && has_job(app)
}

fn can_bulk(app: &App) -> bool {
    let several = |id: crate::model::CheckId| {
        app.job().is_some_and(|j| j.model().checks.iter().filter(|c| c.name == j.model()[id].name).count() > 1)
    };
    open(app) && !app.is_practice() && app.front().and_then(|f| f.check()).is_some_and(several)
}
/// The write-up on the screen has another form.
fn folds(app: &App) -> bool {
    matches!(app.top(), Screen::Report(view) if !view.folded.is_empty())
}
fn has_found(app: &App) -> bool {
    matches!(app.top(), Screen::Report(view) if view.searches())
}
/// Not while practice keeps back what is believed.
fn tells(app: &App) -> bool {
    has_job(app) && !app.hides()
}
/// In practice conditions change by what is done; only those of the proof run are chosen.
fn can_condition(app: &App) -> bool {
    let of_run = || app.front().is_some_and(|f| f.action == crate::plan::Action::ProofRun);
    open(app) && (!app.is_practice() || of_run())
}
fn practises(app: &App) -> bool {
    open(app) && app.is_practice()
}
fn can_hint(app: &App) -> bool {
    open(app) && app.hides()
}
fn on_checks(app: &App) -> bool {
    matches!(app.top(), Screen::Pick(Pick::Checks, _))
}
fn no_palette(app: &App) -> bool {
    !matches!(app.top(), Screen::Pick(Pick::Palette, _))
}

fn has_row(app: &App) -> bool {
    matches!(app.top(), Screen::Review(view) if view.marked(app.rows()).is_some())
}
fn has_marks(app: &App) -> bool {
    app.walked().is_some_and(|walked| walked.steps.iter().any(|step| !step.marks.is_empty()))
}
fn can_say(app: &App) -> bool {
    app.walked().is_some() && has_job(app)
}
fn on_leads_word(app: &App) -> bool {
    can_say(app) && app.leads_word().is_some()
}
fn can_accept(app: &App) -> bool {
    app.proposal().is_some_and(|proposal| proposal.may)
}
fn can_accept_any(app: &App) -> bool {
    app.learn()
        .and_then(|learn| learn.learnt.as_ref())
        .is_some_and(|learnt| learnt.proposals.iter().any(|proposal| proposal.may))
}
fn accepts_any(app: &App) -> bool {
    can_accept_any(app) && app.learn().is_some_and(|learn| !learn.accepted.is_empty())
}
fn is_busy(app: &App) -> bool {
    app.long() != Long::Idle
}

macro_rules! row {
    ($action:ident, $name:literal, [$($key:expr),+], $contexts:expr, $hint:literal, $enabled:expr, $doc:literal) => {
        Row { action: Action::$action, name: $name, keys: &[$($key),+], doc: $doc, contexts: $contexts, hint: $hint, enabled: $enabled }
    };
}

/// The table. Rows come in the order in which hints are shown.
// One row a line: a table is read down its columns.
#[rustfmt::skip]
pub(crate) const TABLE: &[Row] = &[
    row!(Acknowledge, "I have read it", [Char('a'), Char('A')], &[C::Caution], true, open, "Enter that the caution was read, and go on."),
    row!(Enter, "take", [Key::Enter], &[C::Bench, C::Choose, C::Search], true, always, "Take the marked row."),
    row!(Enter, "put right", [Key::Enter], &[C::Entries], true, can_take_back, "Put the marked answer right: its check comes to the front again."),
    row!(TakeBack, "take back", [Char('U'), Key::Delete], &[C::Entries], true, can_take_back, "Take the marked entry back. It stays in the record."),
    row!(Enter, "causes and checks here", [Key::Enter], &[C::Engine], true, always, "List the causes and checks of the marked site; where a site is picked for a check, take it."),
    row!(Enter, "open", [Key::Enter, Char(' ')], &[C::Tree], true, always, "Open or fold the marked branch; on a cause: what can be done about it."),
    row!(Enter, "next", [Key::Enter, Key::Tab], &[C::Grid], true, always, "Go to the next cell; on the last row: enter all answers."),
    row!(SaveAll, "enter all", [Ctrl('s')], &[C::Grid], true, always, "Enter all answers of the grid, each as an entry of its own."),
    row!(Enter, "go on", [Key::Enter, Key::Esc, Char(' ')], &[C::Tour], true, always, "On to the bench. The tour is not shown again."),
    row!(Where, "pick on the engine", [Key::Tab], &[C::Search], true, on_checks, "Pick the site of the marked check on the drawing of the engine."),
    row!(Enter, "begin the job", [Key::Enter], &[C::Form, C::FormText], true, always, "Begin the job with what is shown."),
    row!(Enter, "mark, then enter", [Key::Enter], WALK, false, open, "Mark the first answer; again: enter the marked answer."),
    row!(Enter, "judge", [Key::Enter], &[C::Reading], true, always, "Judge the reading by its limit. Nothing is entered yet."),
    row!(Enter, "enter it", [Key::Enter], &[C::Verdict], true, always, "Enter the reading with the outcome marked."),
    row!(Enter, "save", [Key::Enter], &[C::Levels, C::Write], true, always, "Take what is shown."),
    row!(Enter, "walk", [Key::Enter], &[C::Review], true, has_row, "Walk the marked record again, step by step."),
    row!(Narrow, "narrow by", [Key::Tab], &[C::Review], true, has_row, "Narrow the list by a state, mechanic, aircraft, complaint or cause."),
    row!(Down, "next", [Key::Down, Key::Right, Char('j'), Char('l')], &[C::Replay], true, always, "The next entry."),
    row!(Up, "before", [Key::Up, Key::Left, Char('k'), Char('h')], &[C::Replay], true, always, "The entry before."),
    row!(NextMark, "next mark", [Char('n'), Key::Tab], &[C::Replay], true, has_marks, "To the next entry that is marked for talking over."),
    row!(MarkBefore, "mark before", [Char('b'), Key::BackTab], &[C::Replay], false, has_marks, "To the entry before that is marked for talking over."),
    row!(Remark, "remark", [Char('r')], &[C::Replay], true, can_say, "Write a remark on this entry. It is an entry of the record too; nothing is overwritten."),
    row!(RemarkOnJob, "on the job", [Char('R')], &[C::Replay], true, can_say, "Write a remark on the whole job."),
    row!(Reviewed, "reviewed", [Char('v')], &[C::Replay], true, can_say, "Mark the job as gone through, by your name and the time."),
    row!(TakeBack, "take back", [Char('U')], &[C::Replay], true, on_leads_word, "Take this remark or review mark back. It stays in the record."),
    row!(PageUp, "scroll up", [Key::PageUp], &[C::Replay], false, always, "Scroll what stands beside the entry up."),
    row!(PageDown, "scroll down", [Key::PageDown], &[C::Replay], false, always, "Scroll what stands beside the entry down."),
    row!(Accept, "accept", [Key::Enter, Char(' ')], &[C::Learn], true, can_accept, "Accept the marked figure, or take that back."),
    row!(AcceptAll, "accept all", [Char('A')], &[C::Learn], true, can_accept_any, "Accept all figures that may be, or none."),
    row!(WriteOut, "write", [Char('w')], &[C::Learn], true, accepts_any, "Write what is accepted to a file, to be read, kept under version control and used with --learnt."),
    row!(StopWork, "stop", [Ctrl('x')], &[C::Review, C::Replay, C::Learn], true, is_busy, "Stop what is being worked out; what is there stays."),
    row!(Review, "review", [Char('R')], &[C::Bench], true, always, "All records, for the shop lead: search them, walk one again, remark on it."),
    row!(Learn, "learn", [Char('L')], &[C::Bench], true, always, "What the closed jobs teach: old and new rates, to accept one by one."),
    row!(Practise, "practise", [Char('P')], &[C::Bench], true, always, "Choose a lesson, a set or a job to practise on: the fault is hidden, and the engine answers."),
    row!(Progress, "progress", [Ctrl('g')], &[C::Bench, C::Review], true, always, "How apprentices get on in practice: by level, part, set and name, over time."),
    row!(Suspect, "I suspect", [Char('%')], JOB, true, practises, "In practice: say what you suspect and how sure you are. It is scored at the end."),
    row!(Hint, "hint", [Char('!')], JOB, true, can_hint, "In practice: see the suggestion and the suspects until something is done. It costs points."),
    row!(Others, "other check", [Char('/')], JOB, true, open, "Choose another check from the list."),
    row!(Unfold, "all or the page", [Char('O')], &[C::Report], true, folds, "The report: unfold everything behind its page, or fold it again."),
    row!(Search, "search", [Char('/')], &[C::Report], true, always, "Search the report for some words. Those in what is folded are counted too."),
    row!(NextFound, "next found", [Char('n')], &[C::Report], true, has_found, "To the next place that has what is searched."),
    row!(FoundBefore, "before", [Char('b')], &[C::Report], true, has_found, "To the place before that has what is searched."),
    row!(Enter, "keep", [Key::Enter], &[C::ReportSearch], true, always, "Keep what is found, to go from one to the next."),
    row!(Headings, "headings", [Char('G')], &[C::Report], true, always, "List the headings and go to one; those of what is folded unfold it."),
    row!(NextHeading, "next heading", [Key::Tab], &[C::Report], true, always, "To the next heading."),
    row!(HeadingBefore, "heading before", [Key::BackTab], &[C::Report], false, always, "To the heading before."),
    row!(SaveReport, "to a file", [Char('S')], &[C::Report], true, always, "Write the report as it is shown to a file: whole or not at all, never over a record or through a link."),
    row!(Copy, "copy", [Char('C')], &[C::Report], true, always, "Send the report as it is shown to the clipboard of the terminal (OSC 52); the terminal decides whether it takes it."),
    row!(Palette, "find", [Char(':'), Ctrl('p')], &[C::Walk, C::Bench, C::Choose, C::Search, C::Entries, C::Caution, C::Levels, C::Page, C::Report, C::Engine, C::Tree, C::Course, C::Grid, C::Write, C::Form, C::FormText, C::Review, C::Replay, C::Learn], true, no_palette, "Find any check, cause, site or command by a few letters."),
    row!(Reading, "type a reading", [Char('=')], WALK, false, takes_reading, "Type a reading. A digit, a point or a minus begins one by itself."),
    row!(Card, "whole check", [Char('K')], JOB, true, has_card, "Read the whole of what is in front: steps, what each answer means, mistakes, source."),
    row!(Undo, "undo", [Char('U')], &[C::Walk, C::Caution, C::Page, C::Report], true, can_undo, "Take the last entry back. It stays in the record."),
    row!(Conditions, "conditions", [Char('C')], JOB, true, can_condition, "Say that conditions changed: a new spell of work begins."),
    row!(Showing, "showing?", [Char('W')], JOB, true, open, "Say whether the complaint shows right now."),
    row!(Provoke, "provoke", [Char('P')], JOB, true, can_provoke, "Change the conditions on purpose to wake the fault."),
    row!(Correct, "fix", [Char('F')], JOB, true, open, "Say what was put right, or choose what to put right."),
    row!(Proof, "proof run", [Char('R')], JOB, true, open, "Make the proof run under the reported conditions."),
    row!(Bulk, "all at once", [Char('G')], WALK, true, can_bulk, "Answer the check in front at all its sites in one grid."),
    row!(Engine, "engine", [Char('M')], &[C::Walk, C::Caution, C::Tree, C::Course, C::Page, C::Report, C::Replay], true, has_job, "Draw the engine, with the suspicion at every site."),
    row!(NotPossible, "not possible", [Char('X')], JOB, true, is_check, "This check cannot be made here; it is not asked again."),
    row!(NotToBeHad, "not to be had", [Char('B')], JOB, true, can_lack, "A tool or gauge it asks for, or this way to wake the fault, is not to be had: nothing asks for it again."),
    row!(Stands, "how it stands", [Char('J')], &[C::Walk, C::Caution], true, has_job, "How the aircraft stands: what the engine does, what is open, what must be closed and done, in order."),
    row!(Still, "still so", [Char('Y')], JOB, true, paused, "After a pause: it is still as warm and as wet as before it."),
    row!(LookAgain, "look again", [Char('A')], WALK, true, can_look_again, "Make the check anew whose answer does not fit the others. The later word stands for both; both stay in the record."),
    row!(Skip, "skip", [Char('S')], JOB, true, is_check, "Pass this check over until conditions change."),
    row!(Suspects, "suspects", [Char('L')], &[C::Walk, C::Caution, C::Replay], true, has_job, "List every cause with its standing, and the look that shows it good."),
    row!(Tree, "tree", [Char('D')], &[C::Walk, C::Caution, C::Engine, C::Course, C::Page, C::Report, C::Replay], true, tells, "Walk the fault tree down from the complaint."),
    row!(Course, "course", [Char('H')], &[C::Walk, C::Caution, C::Engine, C::Tree, C::Page, C::Report, C::Replay], true, tells, "Draw how the suspicion moved over the answers, with minutes so far and expected."),
    row!(Changes, "what changed", [Char('V')], LOOKS, true, tells, "Say what the last answer changed, cause by cause."),
    row!(Big, "large letters", [Char('Z')], WALK, false, always, "The question and its answers in large letters, or back."),
    row!(Timeline, "entries", [Char('T')], &[C::Walk, C::Caution, C::Page, C::Report, C::Engine, C::Tree, C::Course, C::Replay], true, seen_entries, "List the entries; put one right or take it back."),
    row!(Note, "note", [Char('N')], JOB, true, has_job, "Write a note into the record."),
    row!(Report, "report", [Char('O')], &[C::Walk, C::Caution, C::Replay], true, tells, "Read the job written up so far."),
    row!(Close, "end job", [Char('E')], JOB, true, open, "Close the job: cured, handed over, not found or stopped."),
    row!(Back, "back", [Key::Esc], &[C::Bench, C::Choose, C::Search, C::Entries, C::Form, C::FormText, C::Walk, C::Reading, C::Verdict, C::Caution, C::Levels, C::Page, C::Report, C::Write, C::Engine, C::Tree, C::Grid, C::Course, C::Review, C::ReportSearch, C::Replay, C::Learn], true, can_go_back, "One step back; nothing is entered."),
    row!(Up, "up", [Key::Up, Char('k')], &[C::Engine, C::Tree, C::Grid, C::Bench, C::Choose, C::Search, C::Entries, C::Form, C::FormText, C::Walk, C::Verdict, C::Caution, C::Levels, C::Page, C::Report, C::Review, C::Learn], false, always, "The row above."),
    row!(Down, "down", [Key::Down, Char('j')], &[C::Engine, C::Tree, C::Grid, C::Bench, C::Choose, C::Search, C::Entries, C::Form, C::FormText, C::Walk, C::Verdict, C::Caution, C::Levels, C::Page, C::Report, C::Review, C::Learn], false, always, "The row below."),
    row!(Left, "or Right changes", [Key::Left, Char('h')], &[C::Form, C::Levels], true, always, "The choice before."),
    row!(Right, "changes", [Key::Right, Char(' '), Char('l')], &[C::Form, C::Levels], false, always, "The choice after; opens the list where there is one."),
    row!(Left, "left", [Key::Left, Char('h')], &[C::Engine, C::Tree, C::Course, C::Grid], false, always, "To the left; on the tree: fold, or up to the branch; on the course: the entry before."),
    row!(Right, "right", [Key::Right, Char('l')], &[C::Engine, C::Tree, C::Course, C::Grid], false, always, "To the right; on the tree: open the branch; on the course: the entry after."),
    row!(Left, "caret left", [Key::Left], &[C::FormText, C::Reading, C::Write, C::Review, C::ReportSearch], false, always, "Move within the text."),
    row!(Right, "caret right", [Key::Right], &[C::FormText, C::Reading, C::Write, C::Review, C::ReportSearch], false, always, "Move within the text."),
    row!(First, "start", [Key::Home], &[C::Tree, C::Course, C::Bench, C::Choose, C::Search, C::Entries, C::FormText, C::Reading, C::Write, C::Page, C::Report, C::Caution, C::Review, C::ReportSearch, C::Replay, C::Learn], false, always, "To the start."),
    row!(Last, "end", [Key::End], &[C::Tree, C::Course, C::Bench, C::Choose, C::Search, C::Entries, C::FormText, C::Reading, C::Write, C::Page, C::Report, C::Caution, C::Review, C::ReportSearch, C::Replay, C::Learn], false, always, "To the end."),
    row!(PageUp, "page up", [Key::PageUp], &[C::Tree, C::Bench, C::Choose, C::Search, C::Entries, C::Page, C::Report, C::Caution, C::Review, C::Learn], false, always, "One page up."),
    row!(PageDown, "page down", [Key::PageDown], &[C::Tree, C::Bench, C::Choose, C::Search, C::Entries, C::Page, C::Report, C::Caution, C::Review, C::Learn], false, always, "One page down."),
    row!(PageDown, "next row", [Key::Tab], &[C::Form, C::FormText], false, always, "The next row."),
    row!(PageUp, "row before", [Key::BackTab], &[C::Form, C::FormText], false, always, "The row before."),
    row!(PageUp, "cell before", [Key::BackTab], &[C::Grid], false, always, "The cell before."),
    row!(Backspace, "take away", [Key::Backspace], &[C::Grid, C::Search, C::FormText, C::Reading, C::Write, C::Review, C::ReportSearch], false, always, "Take the last character away."),
    row!(Delete, "clear", [Key::Delete], &[C::Grid], false, always, "Clear the marked cell."),
    row!(Delete, "take away", [Key::Delete], &[C::FormText, C::Reading, C::Write, C::Review, C::ReportSearch], false, always, "Take the next character away."),
    row!(Help, "help", [Char('?'), Key::F1], &Context::ALL, true, off_bench, "Explain this screen and its keys."),
    row!(Leave, "leave", [Char('Q'), Ctrl('c')], &Context::ALL, true, always, "Leave the program. It is made sure first that all of the job is on disk."),
    row!(Suspend, "suspend", [Ctrl('z')], &Context::ALL, false, always, "Go back to the shell for now; `fg` brings the screen back."),
    row!(Redraw, "redraw", [Ctrl('l')], &Context::ALL, false, always, "Draw the screen anew."),
];
