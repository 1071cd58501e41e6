//! What a message changes: `update(&mut App, Message) -> Vec<Effect>`. Nothing else changes the state.
//!
//! Owns the way from screen to screen. Must not draw, and must not reach the disk: that is what effects are for.

mod grid;
mod intake;
mod lead;
mod looks;
mod outcome;
mod pick;
mod practice;
mod report;
mod typing;
mod walk;

use super::action::Action;
use super::app::{App, LevelsForm, Purpose, Screen};
use super::effect::{Effect, Then};
use super::field::Field;
use super::message::{Given, Message, Wanted};
use super::mode::{Mode, Saving, Walk};
use super::pick::{List, Pick};
use super::report::ReportView;
use super::think::Told;
use crate::job::Entry;

/// Takes in what happened, and says what has to be done in the world.
pub(super) fn update(app: &mut App, message: Message) -> Vec<Effect> {
    let effects = match message {
        Message::Act(action) => act(app, action),
        Message::Done(outcome) => outcome::done(app, *outcome),
        Message::Thought(told) => {
            thought(app, told);
            Vec::new()
        }
        Message::News(news) => {
            lead::heard(app, news);
            Vec::new()
        }
        Message::Resized(columns, rows) => {
            app.size = (columns, rows);
            Vec::new()
        }
        Message::Drawn(drawn) => {
            app.drawn = drawn;
            Vec::new()
        }
        Message::Tour => {
            app.show(Screen::Tour);
            Vec::new()
        }
        Message::Given(given) => {
            begin_with(app, &given);
            Vec::new()
        }
    };
    // The cautions of a check come before its grid.
    if app.walk().wants_grid && matches!(app.top(), Screen::Walk) && app.cautions().is_empty() {
        grid::open(app);
    }
    effects
}

/// Takes note of what was worked out of the job, or could not be.
fn thought(app: &mut App, told: Told) {
    let Some(held) = app.mode.held_mut() else { return };
    match told {
        Told::Ranked(analysis) => held.notice_ranked(analysis),
        // It is in the analysis that the screens draw from.
        Told::Done => {}
        Told::Failed(failure) => {
            if held.notice_failure(failure) {
                let kept = app.kept_words();
                app.fault(format!("A fault of this program: something could not be worked out. {kept}"));
            }
        }
    }
}

fn act(app: &mut App, action: Action) -> Vec<Effect> {
    // What was said is gone with the next key; a hint stands long enough to be read until then.
    app.notice = None;
    if let (Some(saving), true) = (app.saving_mut(), action != Action::Leave) {
        saving.ask_again();
    }
    change(app, action)
}

/// Whether the person is asked first, because something is not saved: two presses of Ctrl-C in a row leave without it.
fn asks_first(app: &mut App) -> bool {
    let Some(waiting) = app.saving_mut().and_then(Saving::ask) else { return false };
    let is_entry = waiting.entry.is_some();
    let what = if is_entry { "One entry is not saved." } else { "The record is not in its place." };
    if !matches!(app.top(), Screen::Write(Purpose::Elsewhere(..), _)) {
        let wanted = waiting.entry.map_or(Wanted::Job, Wanted::Entry);
        let purpose = Purpose::Elsewhere(wanted, waiting.folder);
        app.show(Screen::Write(purpose, Field::default()));
    }
    app.fault(format!("{what} Save it here; or leave without it: Ctrl-C. It is tried once more then."));
    true
}

/// Leaves the job, for the bench.
fn put_away(app: &mut App) -> Vec<Effect> {
    if asks_first(app) { Vec::new() } else { vec![Effect::ToBench] }
}

/// Has the job written up.
fn write_up(app: &App) -> Vec<Effect> {
    let id = app.mode.id().unwrap_or_default();
    app.mode.held().map(|held| Effect::Report(held.task(), id.to_owned())).into_iter().collect()
}

fn change(app: &mut App, action: Action) -> Vec<Effect> {
    match action {
        Action::Leave if asks_first(app) => Vec::new(),
        Action::Leave => vec![Effect::Loop(Then::Quit)],
        Action::Suspend => vec![Effect::Loop(Then::Suspend)],
        Action::Redraw => vec![Effect::Loop(Then::Clear)],
        Action::Help => {
            app.show(Screen::Help(0));
            Vec::new()
        }
        Action::Undo => {
            let last = app.job().and_then(|j| j.last_standing());
            if last.is_none() {
                app.say("There is nothing to take back.");
            }
            last.map(|(of, _)| Effect::Enter(Entry::Undo { of })).into_iter().collect()
        }
        Action::Review => lead::show_records(app),
        Action::Learn => lead::show_lessons(app),
        Action::StopWork => lead::stop(app),
        Action::Narrow => show_list(app, Pick::Narrow),
        Action::Timeline => show_list(app, Pick::Entries),
        Action::Engine | Action::Tree | Action::Course | Action::Changes => looks::show(app, &action),
        Action::Bulk => grid::open(app),
        Action::Palette => show_list(app, Pick::Palette),
        Action::Big => {
            app.big = !app.big;
            Vec::new()
        }
        Action::Suspects => show_list(app, Pick::Suspects),
        Action::Practise => show_list(app, Pick::Practise),
        Action::Progress => vec![Effect::Progress],
        Action::Hint | Action::Suspect => practice::command(app, &action),
        Action::Others => show_list(app, Pick::Checks),
        Action::Provoke => show_list(app, Pick::Provoke),
        Action::Correct => show_list(app, Pick::Correct),
        Action::Showing if app.is_practice() => {
            let chosen = Some(crate::plan::Action::SeeWhetherItShows);
            app.set_walk(Walk { chosen, ..Default::default() });
            Vec::new()
        }
        Action::Showing => show_list(app, Pick::Showing),
        Action::Close => show_list(app, Pick::Ending),
        Action::Conditions => conditions(app),
        Action::Card => {
            app.show(Screen::Card(0));
            Vec::new()
        }
        Action::Stands => {
            app.show(Screen::Stands(0));
            Vec::new()
        }
        Action::NotToBeHad => show_list(app, Pick::NotToBeHad),
        Action::Still => {
            let still = app.job().and_then(|job| job.state().still_as_before(job.model()));
            still.map(Effect::Enter).into_iter().collect()
        }
        Action::Report => write_up(app),
        Action::Unfold | Action::Search | Action::Headings | Action::SaveReport | Action::Copy => {
            report::command(app, &action)
        }
        Action::Note => {
            app.show(Screen::Write(Purpose::Note, Field::default()));
            Vec::new()
        }
        Action::Proof
        | Action::LookAgain
        | Action::NotPossible
        | Action::Skip
        | Action::Acknowledge
        | Action::Choice(_) => walk::command(app, &action),
        Action::Paste(text) if matches!(app.top(), Screen::Grid(_)) => grid::paste(app, &text),
        Action::Paste(text) if matches!(app.top(), Screen::Review(_)) => lead::paste(app, &text),
        Action::Paste(text) => text.chars().fold(Vec::new(), |mut effects, c| {
            effects.extend(typing::typed(app, &Action::Type(c)));
            effects
        }),
        Action::Type(_) | Action::Backspace | Action::Delete | Action::Reading => typing::typed(app, &action),
        Action::Back => back(app),
        other => on_screen(app, &other),
    }
}

/// Moving about and taking what is marked: what it does depends on the screen.
fn on_screen(app: &mut App, action: &Action) -> Vec<Effect> {
    if app.context().types()
        && !matches!(app.top(), Screen::Grid(_))
        && matches!(action, Action::Left | Action::Right | Action::First | Action::Last)
    {
        return typing::moved(app, action);
    }
    match app.top() {
        Screen::Pick(..) => pick::act(app, action),
        Screen::Intake => intake::act(app, action),
        Screen::Walk => walk::act(app, action),
        Screen::Levels(_) => levels(app, action),
        Screen::Write(..) => typing::written(app, action),
        Screen::Engine(_) => looks::engine(app, action),
        Screen::Tree(_) => looks::tree(app, action),
        Screen::Course(_) => looks::course(app, action),
        Screen::Grid(_) => grid::act(app, action),
        Screen::Report(_) => report::act(app, action),
        Screen::Review(_) => lead::review(app, action),
        Screen::Replay(_) => lead::replay(app, action),
        Screen::Learn(_) => lead::learn(app, action),
        Screen::Tour => {
            if *action == Action::Enter {
                app.stack.pop();
                return vec![Effect::TourSeen];
            }
            Vec::new()
        }
        Screen::Card(_)
        | Screen::Stands(_)
        | Screen::Debrief(..)
        | Screen::Progress(..)
        | Screen::Help(_)
        | Screen::Changes(_) => {
            scroll(app, action);
            Vec::new()
        }
    }
}

pub(super) fn show_list(app: &mut App, pick: Pick) -> Vec<Effect> {
    let mut list = List::default();
    if pick == Pick::Entries {
        // The newest entry is the one most often wanted.
        list.cursor = app.job().map_or(0, |j| j.log().len().saturating_sub(1));
    }
    app.show(Screen::Pick(pick, list));
    Vec::new()
}

fn conditions(app: &mut App) -> Vec<Effect> {
    let Some(job) = app.job() else { return Vec::new() };
    let of_run = app.front().is_some_and(|f| f.action == crate::plan::Action::ProofRun);
    let mut levels = if of_run { job.state().proof_under().0.clone() } else { job.state().conditions().0 };
    let before = levels.clone();
    if of_run {
        for (at, kind) in job.model().conditions.iter().enumerate() {
            let set = app.walk().run_levels.get(&kind.name).and_then(|l| kind.levels.iter().position(|x| x == l));
            levels[at] = set.unwrap_or(levels[at]);
        }
    }
    app.show(Screen::Levels(LevelsForm { levels, before, row: 0, of_run }));
    Vec::new()
}

fn levels(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(job) = app.job() else { return Vec::new() };
    let counts: Vec<usize> = job.model().conditions.iter().map(|c| c.levels.len().max(1)).collect();
    let Some(Screen::Levels(form)) = app.stack.last_mut() else { return Vec::new() };
    let last = counts.len().saturating_sub(1);
    match action {
        Action::Up => form.row = form.row.checked_sub(1).unwrap_or(last),
        Action::Down => form.row = if form.row >= last { 0 } else { form.row + 1 },
        Action::Left | Action::Right => {
            if let (Some(level), Some(count)) = (form.levels.get_mut(form.row), counts.get(form.row)) {
                let step = if *action == Action::Right { 1 } else { count - 1 };
                *level = (*level + step) % count;
            }
        }
        Action::Enter => return walk::take_levels(app),
        _ => {}
    }
    Vec::new()
}

fn scroll(app: &mut App, action: &Action) {
    let page = usize::from(app.size.1.saturating_sub(6)).max(1);
    let most = app.drawn.rows.saturating_sub(page);
    let Some(
        Screen::Card(at)
        | Screen::Stands(at)
        | Screen::Help(at)
        | Screen::Changes(at)
        | Screen::Debrief(_, at)
        | Screen::Progress(_, at)
        | Screen::Report(ReportView { scroll: at, .. }),
    ) = app.stack.last_mut()
    else {
        return;
    };
    *at = match action {
        Action::Up => at.saturating_sub(1),
        Action::Down => *at + 1,
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => *at + page,
        Action::First => 0,
        Action::Last => most,
        _ => *at,
    }
    .min(most);
}

fn back(app: &mut App) -> Vec<Effect> {
    match app.top() {
        Screen::Grid(_) => grid::leave(app),
        Screen::Walk if app.walk().verdict.is_some() => {
            app.on_walk(|walk| (walk.verdict, walk.cursor) = (None, None));
        }
        Screen::Walk if app.walk().field.is_some() => app.on_walk(|walk| walk.field = None),
        Screen::Walk if app.walk().cursor.is_some() => app.on_walk(|walk| walk.cursor = None),
        Screen::Walk if app.walk().chosen.is_some() => app.set_walk(Walk::default()),
        Screen::Pick(pick, list) if pick.is_searched() && !list.search.is_empty() => {
            if let Some(Screen::Pick(_, list)) = app.stack.last_mut() {
                *list = List::default();
            }
        }
        Screen::Review(_) | Screen::Replay(_) | Screen::Learn(_) => return lead::back(app),
        Screen::Report(view) if view.searches() => report::leave_search(app),
        Screen::Report(_) if app.walked().is_some() => _ = app.stack.pop(),
        // A closed record has no walk behind it.
        // What was looked at from the bench leads back to it.
        Screen::Debrief(..) | Screen::Progress(..) if app.job().is_none() => drop(app.stack.pop()),
        Screen::Walk | Screen::Debrief(..) => return put_away(app),
        Screen::Report(_) if app.job().is_none_or(|j| app.is_read_only() || j.state().ended.is_some()) => {
            return put_away(app);
        }
        _ if app.stack.len() > 1 => {
            app.stack.pop();
            if app.stack.len() == 1 && matches!(app.mode, Mode::Intake(_)) {
                app.mode = Mode::Bench;
            }
        }
        _ => {}
    }
    Vec::new()
}

/// Takes what was named on the command line, as if it had been chosen; what does not fit is said, and left to choose.
fn begin_with(app: &mut App, given: &Given) {
    let Some(intake) = app.intake_mut() else { return };
    if let Some(name) = &given.mechanic {
        intake.mechanic = Field::of(name);
    }
    let Some(name) = given.complaint.as_deref() else { return };
    let model = std::sync::Arc::clone(&intake.model);
    match given.at.map(|site| model.find_complaint(name, site)) {
        Some(Some(id)) => pick::place(app, id),
        _ if !model.complaints.iter().any(|c| c.name == name) => {
            app.fault(format!(
                "There is no complaint named \"{}\" for this engine. Choose one.",
                super::text::clean(name)
            ));
        }
        Some(None) => {
            pick::complaint(app, name);
            app.fault("This complaint is not at the site that was named. Choose where it is.");
        }
        None => pick::complaint(app, name),
    }
}
