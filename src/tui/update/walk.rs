//! The walk: answers, readings, cautions and what else is entered from it.

use crate::guide;
use crate::job::{Entry, Levels};
use crate::plan;
use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::front::{self, Meaning};
use crate::tui::mode::Walk;
use crate::tui::pick::Pick;

/// A command of the walk.
pub(super) fn command(app: &mut App, action: &Action) -> Vec<Effect> {
    if *action == Action::Proof {
        app.set_walk(Walk { chosen: Some(plan::Action::ProofRun), ..Default::default() });
        return Vec::new();
    }
    if *action == Action::LookAgain {
        if let Some(again) = app.second_look().map(|(again, _)| again.action) {
            app.set_walk(Walk { chosen: Some(again), ..Default::default() });
        }
        return Vec::new();
    }
    let Some(front) = app.front() else { return Vec::new() };
    match action {
        Action::Acknowledge => {
            let (most, room) = caution_rows(app);
            let at = app.walk().scroll;
            if at < most {
                // What stands below was not read yet; with this nothing is passed over.
                let page = room.saturating_sub(1).max(1);
                app.on_walk(|walk| walk.scroll = (at + page).min(most));
                return Vec::new();
            }
            app.on_walk(|walk| walk.scroll = 0);
            return acknowledged(app);
        }
        Action::NotPossible => {
            if let Some(id) = front.check() {
                app.show(Screen::Write(Purpose::WhyNot(id), Field::default()));
            }
        }
        Action::Skip => {
            if let (Some(id), Some(job)) = (front.check(), app.job()) {
                let check = &job.model()[id];
                return vec![Effect::Enter(Entry::Skipped { check: check.name.clone(), at: check.site })];
            }
        }
        Action::Choice(at) if app.walk().verdict.is_some() => {
            app.on_walk(|walk| walk.cursor = Some(*at));
            return enter_verdict(app);
        }
        Action::Choice(at) => return choose(app, *at),
        _ => {}
    }
    Vec::new()
}

/// Moving about on the walk, and Enter.
pub(super) fn act(app: &mut App, action: &Action) -> Vec<Effect> {
    if !app.cautions().is_empty() && app.walk().field.is_none() {
        let (most, _) = caution_rows(app);
        let page = usize::from(app.size.1 / 2).max(1);
        let at = app.walk().scroll;
        let to = match action {
            Action::Up => at.saturating_sub(1),
            Action::Down => at + 1,
            Action::PageUp => at.saturating_sub(page),
            Action::PageDown => at + page,
            Action::First => 0,
            Action::Last => most,
            _ => at,
        };
        app.on_walk(|walk| walk.scroll = to.min(most));
        return Vec::new();
    }
    match action {
        Action::Point(at) if app.walk().cursor == Some(*at) && app.walk().verdict.is_some() => {
            return enter_verdict(app);
        }
        Action::Point(at) if app.walk().cursor == Some(*at) => return choose(app, *at),
        Action::Point(at) => app.on_walk(|walk| walk.cursor = Some(*at)),
        Action::Up | Action::Down => mark(app, *action == Action::Down),
        Action::Enter if app.walk().verdict.is_some() => return enter_verdict(app),
        Action::Enter if app.walk().field.is_some() => judge(app),
        Action::Enter => match app.walk().cursor {
            Some(at) => return choose(app, at),
            // The first press only marks: a glove that hits Enter twice by mistake still enters nothing unseen.
            None => mark(app, true),
        },
        _ => {}
    }
    Vec::new()
}

/// How far the caution on the screen can be scrolled, and how many rows of it are there at once.
fn caution_rows(app: &App) -> (usize, usize) {
    (app.drawn.rows.saturating_sub(app.drawn.room), app.drawn.room)
}

/// The cautions that are on the screen are read; of those that wait, only these.
fn acknowledged(app: &App) -> Vec<Effect> {
    let (Some(job), waiting) = (app.job(), app.cautions()) else { return Vec::new() };
    let read = app.drawn.cautions.iter().filter(|hazard| waiting.contains(hazard));
    let entry = |hazard: &crate::model::HazardId| Entry::Acknowledged { hazard: job.model()[*hazard].name.clone() };
    read.map(|hazard| Effect::Enter(entry(hazard))).collect()
}

fn mark(app: &mut App, down: bool) {
    let Some(front) = app.front() else { return };
    let fits: Vec<usize> = match &app.walk().verdict {
        Some(v) if v.fits.len() > 1 => {
            (0..front.choices.len()).filter(|i| front.choices[*i].seen.is_some_and(|s| v.fits.contains(&s))).collect()
        }
        Some(_) => return,
        None => (0..front.choices.len()).collect(),
    };
    let now = app.walk().cursor.and_then(|c| fits.iter().position(|f| *f == c));
    let next = match (now, down) {
        (None, true) => 0,
        (None, false) => fits.len().saturating_sub(1),
        (Some(at), true) => (at + 1) % fits.len().max(1),
        (Some(at), false) => at.checked_sub(1).unwrap_or(fits.len().saturating_sub(1)),
    };
    app.on_walk(|walk| walk.cursor = fits.get(next).copied());
}

fn choose(app: &mut App, at: usize) -> Vec<Effect> {
    let Some(choice) = app.front().and_then(|f| f.choices.get(at).cloned()) else { return Vec::new() };
    match choice.meaning {
        Meaning::Enter(entry) if app.job().is_some_and(|job| guide::asks_sight(job.model(), &entry)) => {
            super::show_list(app, Pick::Sight(at))
        }
        Meaning::Enter(entry) => vec![Effect::Enter(amended(app, *entry))],
        Meaning::Close => super::show_list(app, Pick::Ending),
        Meaning::SomethingElse => super::show_list(app, Pick::SomethingElse),
        Meaning::Engine => super::practice::done(app),
    }
}

/// Enters a choice of the walk that leaves no doubt, or only looks so.
pub(super) fn seen_or_looks_so(app: &App, at: usize, looks_so: bool) -> Vec<Effect> {
    let Some(Meaning::Enter(entry)) = app.front().and_then(|f| Some(f.choices.get(at)?.meaning.clone())) else {
        return Vec::new();
    };
    let entry = if looks_so { guide::only_looks_so(*entry) } else { *entry };
    vec![Effect::Enter(amended(app, entry))]
}

/// The entry, or the one that puts an earlier entry right by it.
fn amended(app: &App, entry: Entry) -> Entry {
    match (app.walk().amend, &entry) {
        (Some(of), Entry::Answer(_)) => Entry::Amend { of, by: Box::new(entry) },
        _ => entry,
    }
}

fn judge(app: &mut App) {
    let (Some(job), Some(field)) = (app.job(), &app.walk().field) else { return };
    let Some(id) = app.front().and_then(|f| f.check()) else { return };
    if field.text().trim().is_empty() {
        app.fault("Type the reading first, as in 8.2k, 85 or OL, or go back with Esc and choose an outcome.");
        return;
    }
    match front::verdict(job, id, field.text()) {
        Ok(front::Verdict { slip: Some((typed, meant)), .. }) => {
            let typed = (typed, format!("{}!", field.text().trim()));
            super::show_list(app, Pick::Slip { meant, typed });
        }
        Ok(verdict) => {
            app.on_walk(|walk| (walk.cursor, walk.verdict) = (None, Some(verdict)));
        }
        Err(why) => app.fault(why),
    }
}

/// Takes a reading as this text, and judges it.
pub(super) fn read_as(app: &mut App, text: &str) {
    app.on_walk(|walk| walk.field = Some(Field::of(text)));
    judge(app);
}

fn enter_verdict(app: &mut App) -> Vec<Effect> {
    let (Some(job), Some(verdict), Some(front)) = (app.job(), &app.walk().verdict, app.front()) else {
        return Vec::new();
    };
    let Some(id) = front.check() else { return Vec::new() };
    // Without a word from the mechanic the reading counts for every outcome it fits; only a chosen one is named.
    let seen = app.walk().cursor.and_then(|c| front.choices.get(c)?.seen).filter(|s| verdict.fits.contains(s));
    let entry = Entry::Answer(front::answer(&job.model()[id], seen, Some(&verdict.reading)));
    vec![Effect::Enter(amended(app, entry))]
}

/// Takes the conditions shown: of the proof run, or as a new spell.
pub(super) fn take_levels(app: &mut App) -> Vec<Effect> {
    let (Some(job), Screen::Levels(form)) = (app.job(), app.top()) else { return Vec::new() };
    let kinds = job.model().conditions.iter().enumerate();
    let changed = kinds.filter(|(at, _)| form.of_run || form.levels[*at] != form.before[*at]);
    let levels: Levels =
        changed.filter_map(|(at, k)| Some((k.name.clone(), k.levels.get(form.levels[at])?.clone()))).collect();
    let of_run = form.of_run;
    app.stack.pop();
    if of_run {
        app.on_walk(|walk| walk.run_levels = levels);
        return Vec::new();
    }
    if levels.is_empty() {
        app.say("Nothing was changed: the conditions are as they were.");
        return Vec::new();
    }
    vec![Effect::Enter(Entry::Conditions { levels })]
}
