//! The question and its answers in large letters, for eyes at arm's length. Only the walk has it; everything else is a key away.

use ratatui::layout::Rect;

use crate::job::Job;
use crate::tui::action::Action;
use crate::tui::app::App;
use crate::tui::canvas::Canvas;
use crate::tui::front::Front;
use crate::tui::text::{clean, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::letters;
use crate::tui::widget::page::{Page, Row, paint};
use crate::tui::words;

pub(crate) fn draw(app: &App, job: &Job, front: &Front, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let height = usize::from(area.height);
    let question = words::action(job.model(), job, front.action);
    // The largest that fits: everything large, the question large, then spaced letters, then plain ones.
    let sizes = [(2, 2), (2, 1), (1, 1), (1, 0), (0, 0)];
    let set = |(ask, answer)| {
        let mut page = Page::new(app.theme, columns);
        said(app, &question, Role::Title, ask, &mut page);
        let expected = front.check().map(|id| clean(&job.model()[id].expected)).filter(|e| !e.is_empty());
        if let Some(expected) = expected.filter(|_| answer < 2 || height > 40) {
            page.text(Role::Text, &expected);
            page.blank();
        }
        answers(app, front, answer, &mut page);
        page.into_rows()
    };
    let fits = |rows: &Vec<Row>| rows.len() <= height;
    let rows = sizes.into_iter().map(set).find(fits).unwrap_or_else(|| set((0, 0)));
    paint(canvas, area, &rows, 0);
}

/// The reading being typed, or each answer with its letter.
fn answers(app: &App, front: &Front, size: usize, page: &mut Page) {
    if let Some(field) = &app.walk().field {
        said(app, &format!("{}_", clean(field.text())), Role::Field, size.max(1), page);
        page.text(Role::Faint, "Enter judges the reading.");
        return;
    }
    for (at, choice) in front.choices.iter().enumerate() {
        let marked = app.walk().cursor == Some(at);
        let role = if marked { Role::Chosen } else { Role::Strong };
        let from = page.len();
        // The letter stays as it is pressed: large letters are capitals, and capitals are commands.
        let mut key = choice.key.map_or_else(|| "    ".to_owned(), |c| format!("{c}   "));
        for line in large(app, &clean(&choice.title), size, page.width().saturating_sub(key.len())) {
            page.row(&[(Role::Key, key.clone()), (role, line)]);
            "    ".clone_into(&mut key);
        }
        page.does(from, &Action::Point(at));
    }
    if let Some(words) = super::walk::demo_words(app, front) {
        page.text(Role::Good, &words);
    }
    if app.limit_in_front().is_some() {
        page.text(Role::Faint, "0-9 type the reading");
    }
}

/// A text at one of three sizes, over the whole width.
fn said(app: &App, text: &str, role: Role, size: usize, page: &mut Page) {
    large(app, text, size, page.width()).into_iter().for_each(|line| page.row(&[(role, line)]));
}

/// The lines of a text at one of three sizes: plain, spaced, large.
fn large(app: &App, text: &str, size: usize, room: usize) -> Vec<String> {
    match (size, letters::wrap(text, room)) {
        (2, Some(lines)) => lines.iter().flat_map(|line| letters::draw(app.theme, line)).collect(),
        (0, _) => wrap(text, room),
        _ => {
            // Wrapped first: half as many letters have room.
            let lines = wrap(&text.to_uppercase(), (room / 2).max(1));
            let spaced = lines.iter().map(|line| line.chars().flat_map(|c| [c, ' ']).collect());
            spaced.chain([String::new()]).collect()
        }
    }
}
