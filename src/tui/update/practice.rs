//! Practice: doing what is chosen, hints, and saying what one suspects.

use crate::job::Entry;
use crate::model::CauseId;
use crate::tui::action::Action;
use crate::tui::app::{App, Screen};
use crate::tui::effect::Effect;
use crate::tui::pick::Pick;
use crate::tui::practice::Choice;
use crate::tui::report::ReportView;

use super::show_list;

/// A hint, or the list of causes to suspect one of.
pub(super) fn command(app: &mut App, action: &Action) -> Vec<Effect> {
    match action {
        Action::Hint => vec![Effect::Enter(Entry::Hinted)],
        _ => show_list(app, Pick::Suspects),
    }
}

/// What is in front is done, and the engine answers.
pub(super) fn done(app: &mut App) -> Vec<Effect> {
    let (Some(job), Some(bout), Some(front)) = (app.job(), app.bout(), app.front()) else { return Vec::new() };
    match bout.answer(job, front.action, &app.walk().run_levels) {
        Some(entry) => vec![Effect::Enter(entry)],
        None => show_list(app, Pick::Ending),
    }
}

/// Takes how sure one is: a per cent, and why behind it.
pub(super) fn sure(app: &mut App, id: CauseId, text: &str) -> Vec<Effect> {
    let (number, why) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
    let sure = number.trim_end_matches('%').parse::<f64>().ok().filter(|p| (0.0..=100.0).contains(p));
    let (Some(sure), Some(job)) = (sure, app.job()) else {
        app.fault("Begin with how sure you are in per cent, from 0 to 100, as in 60.");
        return Vec::new();
    };
    let cause = &job.model()[id];
    let why = why.trim().trim_start_matches("because ").to_owned();
    let entry = Entry::Suspected { cause: cause.name.clone(), at: cause.site, sure: sure / 100.0, why };
    app.back_to(|s| matches!(s, Screen::Walk));
    vec![Effect::Enter(entry)]
}

/// Shows what a lesson is about, over the walk, where one was chosen.
pub(super) fn show_lesson(app: &mut App, choice: &Choice) {
    let Choice::Lesson(name) = choice else { return };
    let Some(lesson) = app.study.lesson(name) else { return };
    let text = format!("{}\n\n{}\n", lesson.title, lesson.idea.join("\n\n"));
    app.show(Screen::Report(ReportView::plain(text)));
}
