//! Lists: moving the mark, and what taking a row does.

use crate::guide;
use crate::job::{Entry, RecentWork};
use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::mode::Walk;
use crate::tui::pick::{Does, List, Pick};
use crate::tui::pick_items::items;
use crate::tui::shown::shown;

use super::show_list;

pub(super) fn act(app: &mut App, action: &Action) -> Vec<Effect> {
    let Screen::Pick(pick, list) = app.top().clone() else { return Vec::new() };
    let rows = shown(app, &pick, &list);
    let last = rows.len().saturating_sub(1);
    let page = usize::from(app.size.1.saturating_sub(9)).max(1);
    let at = list.cursor.min(last);
    let moved = match action {
        Action::Up => at.checked_sub(1).unwrap_or(last),
        Action::Down => {
            if at >= last {
                0
            } else {
                at + 1
            }
        }
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => (at + page).min(last),
        Action::First => 0,
        Action::Last => last,
        Action::Nth(n) | Action::Point(n) if *n <= last => *n,
        _ => at,
    };
    if let Some(Screen::Pick(_, list)) = app.stack.last_mut() {
        list.cursor = moved;
    }
    let Some(row) = rows.get(moved) else { return Vec::new() };
    match action {
        Action::TakeBack => match row.does {
            Does::Entry(of, _) => vec![Effect::Enter(Entry::Undo { of })],
            _ => Vec::new(),
        },
        Action::Enter => take(app, &pick, &row.does),
        // The first press marks, the second takes.
        Action::Point(_) if moved == at => take(app, &pick, &row.does),
        Action::Where => match row.does {
            Does::Front(crate::plan::Action::Check(id)) => super::looks::pick_site(app, id),
            _ => Vec::new(),
        },
        Action::Nth(n) if *n == moved => take(app, &pick, &row.does),
        _ => Vec::new(),
    }
}

/// Enters that a tool, a gauge or a way to provoke it is not to be had.
fn not_to_be_had(app: &mut App, does: &Does) -> Vec<Effect> {
    app.back_to(|s| matches!(s, Screen::Walk));
    let entry = match does {
        Does::Lacking(what) => Some(Entry::Lacking { what: what.clone() }),
        Does::NotProvoked(id) => {
            app.job().map(|job| Entry::NotProvoked { provocation: job.model()[*id].name.clone(), why: String::new() })
        }
        _ => None,
    };
    entry.map(Effect::Enter).into_iter().collect()
}

fn take(app: &mut App, pick: &Pick, does: &Does) -> Vec<Effect> {
    match does {
        Does::Demo => return vec![Effect::Demo],
        Does::Narrow(by) => {
            app.stack.pop();
            super::lead::narrow(app, by);
        }
        Does::Command(action) => {
            if *pick == Pick::Palette {
                app.stack.pop();
            }
            return super::change(app, action.clone());
        }
        Does::Heading(number) => super::report::to_heading(app, *number),
        Does::Site(site) => {
            app.stack.pop();
            return super::looks::show_site(app, *site);
        }
        Does::Start => return show_list(app, Pick::Engine),
        Does::PracticeList => return show_list(app, Pick::Practise),
        Does::Practise(choice) => {
            let last = app.jobs.iter().find(|j| j.practice).or(app.jobs.first()).map(|j| j.mechanic.clone());
            app.show(Screen::Write(Purpose::Practises(choice.clone()), Field::of(&last.unwrap_or_default())));
        }
        Does::Progress => return vec![Effect::Progress],
        Does::Debrief(id) => return vec![Effect::PastDebrief(id.clone())],
        Does::Resume(id) => return vec![Effect::Resume(id.clone(), false)],
        Does::GoOnWithout(id) => return vec![Effect::Resume(id.clone(), true)],
        // A file from which no job can be read has no name to be looked at by.
        Does::Look(id) if id.is_empty() => {
            app.fault(
                "No job can be read from this file. `roughrun verify` tells what is wrong and what can be saved.",
            );
        }
        Does::Look(id) => return vec![Effect::Look(id.clone())],
        Does::Engine(name) => return vec![Effect::Layout(name.clone())],
        Does::CardFile => app.show(Screen::Write(Purpose::CardFile, Field::default())),
        Does::Complaint(name) => complaint(app, name),
        Does::Place(id) => place(app, *id),
        Does::NoWork(_) | Does::Work(_) | Does::WorkAt(..) => return recent_work(app, does),
        Does::Suspect(id) => {
            if *pick == Pick::Palette {
                app.stack.pop();
            }
            if app.is_practice() && app.job().is_some_and(|j| j.state().ended.is_none()) {
                app.show(Screen::Write(Purpose::Sure(*id), Field::default()));
                return Vec::new();
            }
            return show_list(app, Pick::Suspect(*id));
        }
        _ if app.is_read_only() || app.job().is_none_or(|j| j.state().ended.is_some()) => return closed(app, does),
        Does::Grid(id) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            let chosen = Some(crate::plan::Action::Check(*id));
            app.set_walk(Walk { chosen, wants_grid: true, ..Walk::default() });
        }
        Does::Front(action) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            app.set_walk(Walk { chosen: Some(*action), ..Walk::default() });
        }
        Does::Confirm(id) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            if let Some(job) = app.job() {
                let cause = &job.model()[*id];
                return vec![Effect::Enter(Entry::Confirmed { cause: cause.name.clone(), at: cause.site })];
            }
        }
        Does::Lacking(_) | Does::NotProvoked(_) => return not_to_be_had(app, does),
        Does::EngineRuns(runs) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            return vec![Effect::Enter(Entry::engine(*runs))];
        }
        Does::Complained(id) => return complained(app, pick, *id),
        Does::ReadAs(text) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            super::walk::read_as(app, text);
        }
        Does::Sight(at, looks_so) => {
            app.back_to(|s| matches!(s, Screen::Walk));
            return super::walk::seen_or_looks_so(app, *at, *looks_so);
        }
        Does::Showing(showing) => {
            app.stack.pop();
            return vec![Effect::Enter(Entry::Showing { showing: *showing, ran: false })];
        }
        Does::Ending(how) => ending(app, *how),
        Does::Entry(of, Some(id)) if *pick == Pick::Entries => {
            app.back_to(|s| matches!(s, Screen::Walk));
            let chosen = Some(crate::plan::Action::Check(*id));
            app.set_walk(Walk { chosen, amend: Some(*of), ..Walk::default() });
            app.say(format!(
                "Entry {of} is being put right: give the answer that should stand. Esc leaves it as it is."
            ));
        }
        Does::Entry(..) => {
            app.fault("Only an answer to a check can be put right. Take this entry back, then enter it anew.");
        }
    }
    Vec::new()
}

fn complained(app: &mut App, pick: &Pick, id: crate::model::ComplaintId) -> Vec<Effect> {
    let run = (*pick == Pick::SomethingElse).then(|| app.front().and_then(|front| front.not_showing()));
    app.back_to(|s| matches!(s, Screen::Walk));
    let Some(job) = app.job() else { return Vec::new() };
    guide::something_else(job, run.flatten(), id).into_iter().map(Effect::Enter).collect()
}

/// What was worked on before: a word, a kind of work, or a kind at a site.
fn recent_work(app: &mut App, does: &Does) -> Vec<Effect> {
    match does {
        Does::NoWork(word) => {
            if let Some(intake) = app.intake_mut() {
                intake.recent_work = RecentWork::Said(*word);
            }
            app.stack.pop();
        }
        Does::Work(work) => return worked_on(app, work),
        Does::WorkAt(work, at) => mark_work(app, work, *at),
        _ => {}
    }
    Vec::new()
}

/// Asks where work of this kind was done; where it can be at one site only, that one is marked or unmarked.
fn worked_on(app: &mut App, work: &str) -> Vec<Effect> {
    let sites = app.intake().map(|intake| intake.model.recent_work_sites(work)).unwrap_or_default();
    if let [only] = sites.as_slice() {
        mark_work(app, work, *only);
        return Vec::new();
    }
    end_search(app, &Does::Work(work.to_owned()));
    show_list(app, Pick::WorkPlace(work.to_owned()))
}

/// Marks or unmarks what was worked on.
fn mark_work(app: &mut App, work: &str, at: crate::model::Site) {
    if let Some(intake) = app.intake_mut() {
        intake.mark_work(work, at);
    }
    let row = match app.top() {
        Screen::Pick(Pick::WorkPlace(_), _) => Does::WorkAt(work.to_owned(), at),
        _ => Does::Work(work.to_owned()),
    };
    end_search(app, &row);
}

/// Shows all rows of the list again, with the mark on the one that was taken, for others to be taken beside it.
fn end_search(app: &mut App, taken: &Does) {
    let Screen::Pick(pick, _) = app.top().clone() else { return };
    let cursor = items(app, &pick).iter().position(|item| item.does == *taken).unwrap_or(0);
    if let Some(Screen::Pick(_, list)) = app.stack.last_mut() {
        *list = List { cursor, ..List::default() };
    }
}

/// Asks for a closing remark, or says what is missing for this end.
fn ending(app: &mut App, how: crate::job::Ending) {
    let held = app.job().and_then(|job| guide::ends(job).1.into_iter().find(|end| end.how == how));
    match held {
        Some(end) => app.fault(format!("It cannot end as \"{}\" yet: {}.", how.words(), end.words())),
        None => app.show(Screen::Write(Purpose::Remark(how), Field::default())),
    }
}

fn closed(app: &mut App, does: &Does) -> Vec<Effect> {
    if !matches!(does, Does::Entry(..)) || !app.is_read_only() {
        app.fault("This job is closed. Take the closing back to go on with it.");
    } else {
        app.fault("This record is only looked at; nothing in it can be changed.");
    }
    Vec::new()
}

pub(super) fn complaint(app: &mut App, name: &str) {
    let Some(intake) = app.intake() else { return };
    let ids = (0..intake.model.complaints.len()).map(crate::model::ComplaintId);
    let ids: Vec<_> = ids.filter(|id| intake.model[*id].name == name).collect();
    match ids.as_slice() {
        [only] => place(app, *only),
        _ => drop(show_list(app, Pick::Place(name.to_owned()))),
    }
}

pub(super) fn place(app: &mut App, id: crate::model::ComplaintId) {
    if let Some(intake) = app.intake_mut() {
        intake.take(id);
    }
    app.back_to(|s| matches!(s, Screen::Intake | Screen::Pick(Pick::Bench, _)));
    if !matches!(app.top(), Screen::Intake) {
        app.show(Screen::Intake);
    }
}
