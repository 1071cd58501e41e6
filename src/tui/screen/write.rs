//! A line to write: a note, a reason, a remark, a path.

use ratatui::layout::Rect;

use super::intake::caret;
use crate::tui::app::{App, Purpose};
use crate::tui::canvas::Canvas;
use crate::tui::field::Field;
use crate::tui::message::Wanted;
use crate::tui::text::{clean, cut, wrap};
use crate::tui::theme::Role;
use crate::tui::widget::page::{Page, paint};
use crate::tui::words;

pub(crate) fn draw(app: &App, purpose: &Purpose, field: &Field, area: Rect, canvas: &mut Canvas<'_>) {
    let columns = usize::from(area.width);
    let mut page = Page::new(app.theme, columns);
    let (title, about) = match purpose {
        Purpose::Note => ("A note for the record".to_owned(), "Anything the next mechanic should know."),
        Purpose::WhyNot(id) => {
            let check = app.job().map(|j| words::check(j.model(), *id)).unwrap_or_default();
            (
                format!("Not possible: {check}"),
                "Why, in your words; Enter alone gives no reason. It is not asked again in this job.",
            )
        }
        Purpose::Remark(how) => (
            format!("Close the job: {}", how.words()),
            "A closing remark, or Enter alone. Closing returns no aircraft to service: only a person authorised to do so does.",
        ),
        Purpose::Sure(id) => {
            let cause = app.job().map(|j| words::cause(j.model(), *id)).unwrap_or_default();
            (
                format!("Suspected: {cause}"),
                "How sure, in per cent, and why if you like: 60 the drop was on this side. Sure and wrong costs more than it brings.",
            )
        }
        Purpose::Practises(_) => {
            ("Who practises?".to_owned(), "The name that progress is kept under. It can be left empty.")
        }
        Purpose::CardFile => ("An aircraft card".to_owned(), "The path of the card's file. Paste it, or type it."),
        Purpose::LeadName(_) => (
            "Who looks at this record?".to_owned(),
            "Your name, as it is to stand in the record beside what you say. It is asked once.",
        ),
        Purpose::LeadRemark(of) => (
            of.map_or_else(|| "A remark on the job".to_owned(), |of| format!("A remark on entry {of}")),
            "It is an entry of the record, by your name and the time. It changes nothing of the job and can be taken back, never erased.",
        ),
        Purpose::Reviewed => ("Reviewed".to_owned(), ""),
        Purpose::ReportFile => (
            "Write the report to a file".to_owned(),
            "The path of the file: the text as it is shown, folded or not. A file of that name is replaced whole; never a record, and nothing through a link.",
        ),
        Purpose::LearntFile => (
            "Write what is accepted".to_owned(),
            "The path of the file. It is laid over the trees with --learnt; the trees themselves are never changed.",
        ),
        Purpose::Elsewhere(..) => (
            "Try again, or save somewhere else".to_owned(),
            "Enter alone tries again in the same folder. Or write another that can be written to, such as one on a memory stick: the job goes on there.",
        ),
    };
    page.row(&[(Role::Title, title)]);
    page.text(Role::Faint, about);
    if let Purpose::Elsewhere(wanted, folder) = purpose {
        let model = app.job().map(|job| job.model());
        let waits = match (wanted, model) {
            (Wanted::Entry(entry), Some(model)) => words::entry(model, entry),
            (Wanted::Job, _) => "all of the job, which is in memory only".to_owned(),
            _ => "the new job".to_owned(),
        };
        // One row: a long note would leave none to write in.
        let waits = cut(&waits, columns.saturating_sub(page.margin()), app.theme.glyphs().more);
        page.label("waits", Role::Strong, &waits);
        page.label("folder", Role::Text, &clean(folder));
    }
    page.blank();
    let text = caret(app, field, usize::MAX);
    let rows = wrap(&text, columns.saturating_sub(2));
    // The end of a long text, where the caret mostly is.
    let room = usize::from(area.height).saturating_sub(page.len() + 1).max(1);
    for line in rows.iter().skip(rows.len().saturating_sub(room)) {
        page.row(&[(Role::Text, "  ".into()), (Role::Field, line.clone())]);
    }
    paint(canvas, area, &page.into_rows(), 0);
}
