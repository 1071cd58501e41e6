//! The write-up: moving about in it, searching it, and handing it on.

use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::{Effect, Then};
use crate::tui::field::Field;
use crate::tui::pick::Pick;
use crate::tui::report::ReportView;
use crate::tui::text::clean;

/// Bytes of text that terminals are known to take by OSC 52: some drop what has more than 100,000 characters once it is
/// encoded, which makes four of three (common practice).
const MOST_COPIED: usize = 74_994;

/// The write-up that is read, under a list or a line about it too.
pub(super) fn view(app: &mut App) -> Option<&mut ReportView> {
    app.stack.iter_mut().rev().find_map(|screen| if let Screen::Report(view) = screen { Some(view) } else { None })
}

/// Columns that it is set to.
fn columns(app: &App) -> usize {
    usize::from(app.size.0.saturating_sub(2))
}

pub(super) fn act(app: &mut App, action: &Action) -> Vec<Effect> {
    match action {
        Action::Enter => {
            if let Some(view) = view(app) {
                view.is_typing = false;
            }
        }
        Action::NextFound => to_found(app, |at, count| (at + 1) % count),
        Action::FoundBefore => to_found(app, |at, count| (at + count - 1) % count),
        Action::NextHeading | Action::HeadingBefore => to_next_heading(app, *action == Action::NextHeading),
        _ => super::scroll(app, action),
    }
    Vec::new()
}

/// What is done with the write-up from anywhere over it.
pub(super) fn command(app: &mut App, action: &Action) -> Vec<Effect> {
    match action {
        Action::Search => {
            if let Some(view) = view(app) {
                (view.search, view.is_typing, view.at) = (Field::default(), true, 0);
            }
        }
        Action::Headings => return super::show_list(app, Pick::Headings),
        Action::SaveReport => {
            let id = app.mode.id().unwrap_or_default();
            let plain = !id.is_empty() && id.chars().all(|c| c.is_ascii_alphanumeric() || c == '-');
            let name = if plain { format!("{id}.txt") } else { "report.txt".to_owned() };
            app.show(Screen::Write(Purpose::ReportFile, Field::of(&name)));
        }
        Action::Copy => return copy(app),
        _ => {
            if let Some(view) = view(app) {
                view.unfold();
            }
        }
    }
    Vec::new()
}

/// One step back within it: the search goes first.
pub(super) fn leave_search(app: &mut App) {
    if let Some(view) = view(app) {
        (view.search, view.is_typing, view.at) = (Field::default(), false, 0);
    }
}

/// Something else is searched: the first place from the top of the screen on comes to the front.
pub(super) fn sought(app: &mut App) {
    let columns = columns(app);
    let Some(view) = view(app) else { return };
    let (_, found) = view.set(columns);
    let below = found.iter().position(|place| place.first().is_some_and(|(row, _)| *row >= view.scroll));
    view.at = below.unwrap_or(0);
    to_found(app, |at, _| at);
}

fn to_found(app: &mut App, step: impl Fn(usize, usize) -> usize) {
    let (columns, room) = (columns(app), app.drawn.room.max(1));
    let Some(view) = view(app) else { return };
    let (lines, found) = view.set(columns);
    if found.is_empty() {
        return;
    }
    view.at = step(view.at.min(found.len() - 1), found.len());
    let row = found.get(view.at).and_then(|place| place.first()).map_or(0, |(row, _)| *row);
    // The foot of the screen says how many rows follow.
    if !(view.scroll..(view.scroll + room).saturating_sub(2)).contains(&row) {
        view.scroll = row.saturating_sub(room / 3).min(lines.len().saturating_sub(room));
    }
}

fn to_next_heading(app: &mut App, down: bool) {
    let (columns, room) = (columns(app), app.drawn.room.max(1));
    let Some(view) = view(app) else { return };
    let (lines, _) = view.set(columns);
    let most = lines.len().saturating_sub(room);
    let scroll = view.scroll.min(most);
    let rows = crate::report::headings(&view.text).into_iter().filter_map(|heading| row_of(&lines, heading.line));
    let found = if down { rows.clone().find(|row| *row > scroll) } else { rows.rev().find(|row| *row < scroll) };
    match found {
        Some(row) if down && scroll == most && row > most => app.say("All headings from here on are on the screen."),
        Some(row) => view.scroll = row.min(most),
        None if down => app.say("There is no heading further down."),
        None => app.say("There is no heading further up."),
    }
}

fn row_of(lines: &[crate::tui::report::Line], of: usize) -> Option<usize> {
    lines.iter().position(|line| line.of == of)
}

/// Goes to a heading of the list, and unfolds what it is in.
pub(super) fn to_heading(app: &mut App, number: usize) {
    app.back_to(|screen| matches!(screen, Screen::Report(_)));
    let (columns, room) = (columns(app), app.drawn.room.max(1));
    let Some(view) = view(app) else { return };
    let all = view.headings();
    if number >= crate::report::headings(&view.text).len() {
        view.unfold();
    }
    let (lines, _) = view.set(columns);
    let row = all.get(number).and_then(|heading| row_of(&lines, heading.line)).unwrap_or(0);
    view.scroll = row.min(lines.len().saturating_sub(room));
}

/// The text that is shown, safe for whatever it is given to.
fn shown(view: &ReportView) -> String {
    view.text.lines().map(|line| clean(line) + "\n").collect()
}

fn copy(app: &mut App) -> Vec<Effect> {
    let Some(view) = view(app) else { return Vec::new() };
    let text = shown(view);
    let count = text.lines().count();
    if text.len() > MOST_COPIED {
        let bytes = text.len();
        app.fault(format!(
            "Not copied: it has {bytes} bytes, and terminals drop what has more than {MOST_COPIED}. Fold it with O and copy the page, or write it to a file with S."
        ));
        return Vec::new();
    }
    app.tell(format!(
        "{count} lines sent to the clipboard of the terminal. Whether it takes them the terminal decides, and does not tell: paste once to see. If it does not, S writes them to a file."
    ));
    vec![Effect::Loop(Then::Copy(text))]
}

/// Writes what is shown to a file of this name.
pub(super) fn write(app: &mut App, path: String) -> Vec<Effect> {
    view(app).map(|view| Effect::WriteReport(path, shown(view))).into_iter().collect()
}

/// It is written.
pub(super) fn written(app: &mut App, path: &str, text: &str) {
    app.back_to(|screen| matches!(screen, Screen::Report(_)));
    let form = view(app).map_or("", |view| {
        let is_page = !view.folded.is_empty() && view.text.len() < view.folded.len();
        if is_page { " of the page; what is behind it is not in the file" } else { "" }
    });
    app.tell(format!("Written to {}: {} lines{form}.", clean(path), text.lines().count()));
}
