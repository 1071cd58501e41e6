//! Text being typed: the search of a list, a reading, the intake, a line.

use crate::job::Entry;
use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::{Field, LONGEST};

/// The field that characters go to.
fn field(app: &mut App) -> Option<&mut Field> {
    match app.stack.last_mut()? {
        Screen::Pick(pick, list) if pick.is_searched() => {
            // Another search shows other rows: the mark starts at the top.
            list.cursor = 0;
            Some(&mut list.search)
        }
        Screen::Intake => app.mode.intake_mut()?.field(),
        Screen::Walk => app.mode.walk_mut()?.field.as_mut(),
        Screen::Write(_, field) => Some(field),
        Screen::Review(view) => Some(&mut view.search),
        Screen::Report(view) if view.is_typing => Some(&mut view.search),
        _ => None,
    }
}

/// A character more or less.
pub(super) fn typed(app: &mut App, action: &Action) -> Vec<Effect> {
    if matches!(app.top(), Screen::Walk) && app.walk().field.is_none() {
        if app.limit_in_front().is_none() || app.walk().verdict.is_some() || !app.cautions().is_empty() {
            app.fault("What is in front takes no reading. Choose an answer by its letter.");
            return Vec::new();
        }
        app.on_walk(|walk| (walk.field, walk.cursor) = (Some(Field::default()), None));
    }
    if matches!(app.top(), Screen::Review(_)) {
        return super::lead::typed(app, action);
    }
    if matches!(app.top(), Screen::Grid(_)) {
        return super::grid::typed(app, action);
    }
    let Some(field) = field(app) else { return Vec::new() };
    let mut taken = true;
    match action {
        Action::Type(c) if !c.is_control() || *c == '\n' => {
            taken = field.takes(*c);
            field.push(*c);
        }
        Action::Backspace => field.backspace(),
        Action::Delete => field.delete(),
        _ => {}
    }
    if !taken {
        app.fault(format!("The line is full at {LONGEST} bytes: what came after was not taken. Enter the rest apart."));
    }
    if matches!(app.top(), Screen::Report(_)) {
        super::report::sought(app);
    }
    // A reading with nothing left in it is put away, so that letters are answers again.
    if *action == Action::Backspace && app.walk().field.as_ref().is_some_and(Field::is_empty) {
        app.on_walk(|walk| walk.field = None);
    }
    Vec::new()
}

/// The caret moves.
pub(super) fn moved(app: &mut App, action: &Action) -> Vec<Effect> {
    if let Some(field) = field(app) {
        match action {
            Action::Left => field.left(),
            Action::Right => field.right(),
            Action::First => field.jump(false),
            _ => field.jump(true),
        }
    }
    Vec::new()
}

/// A line was written.
pub(super) fn written(app: &mut App, action: &Action) -> Vec<Effect> {
    if *action != Action::Enter {
        return Vec::new();
    }
    let Screen::Write(purpose, field) = app.top().clone() else { return Vec::new() };
    let text = field.text().trim().to_owned();
    let needs_text =
        !matches!(purpose, Purpose::WhyNot(_) | Purpose::Remark(_) | Purpose::Practises(_) | Purpose::Elsewhere(..));
    if needs_text && text.is_empty() {
        app.fault("Nothing is written yet. Write it, or go back with Esc.");
        return Vec::new();
    }
    match purpose {
        Purpose::Note => {
            app.stack.pop();
            vec![Effect::Enter(Entry::Note { text })]
        }
        Purpose::WhyNot(id) => {
            app.stack.pop();
            let Some(job) = app.job() else { return Vec::new() };
            let check = &job.model()[id];
            vec![Effect::Enter(Entry::NotPossible { check: check.name.clone(), at: check.site, why: text })]
        }
        Purpose::Remark(how) => {
            let closing = Entry::closed(how, text);
            // Where a reason is wanted, the page stays until it is given.
            if let Some(Err(why)) = app.job().map(|job| job.test(&closing)) {
                app.fault(why.to_string());
                return Vec::new();
            }
            app.back_to(|s| matches!(s, Screen::Walk));
            vec![Effect::Enter(closing)]
        }
        Purpose::LeadName(then) => {
            app.stack.pop();
            app.lead_name = text;
            super::lead::speak(app, *then)
        }
        Purpose::LeadRemark(of) => super::lead::say(app, Entry::Remark { by: app.lead_name.clone(), text, of }),
        Purpose::Reviewed => Vec::new(),
        Purpose::ReportFile => super::report::write(app, text),
        Purpose::LearntFile => super::lead::write(app, text),
        Purpose::Sure(id) => super::practice::sure(app, id, &text),
        Purpose::Practises(choice) => vec![Effect::Practise(choice, text)],
        // These stay on the screen until they worked, so that a wrong path can be mended.
        Purpose::CardFile => vec![Effect::Card(text)],
        Purpose::Elsewhere(wanted, _) => vec![Effect::SaveElsewhere(text, wanted)],
    }
}
