//! The lead's screens: moving about in the list, in a record walked again, and in what the records teach.

use std::sync::Arc;

use super::outcome;
use crate::job::{Entry, Job};
use crate::review::listing::Row;
use crate::review::proposals;
use crate::review::replay::Replay;
use crate::shop::Said;
use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::held::Held;
use crate::tui::lead::{LearnView, Learning, Long, ReplayView, ReviewView, Walked};
use crate::tui::mode::Mode;
use crate::tui::pick::Pick;
use crate::tui::text::clean;
use crate::tui::work::{News, Work};

/// Where a mark of a list goes.
fn moved(action: &Action, at: usize, last: usize, page: usize) -> usize {
    match action {
        Action::Up => at.checked_sub(1).unwrap_or(last),
        Action::Down if at >= last => 0,
        Action::Down => at + 1,
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => (at + page).min(last),
        Action::First => 0,
        Action::Last => last,
        Action::Point(row) => (*row).min(last),
        _ => at,
    }
}

fn page(app: &App) -> usize {
    usize::from(app.size.1.saturating_sub(9)).max(1)
}

pub(super) fn review(app: &mut App, action: &Action) -> Vec<Effect> {
    let page = page(app);
    let Some(Screen::Review(view)) = app.stack.last_mut() else { return Vec::new() };
    let before = view.cursor;
    view.cursor = moved(action, before, view.found.len().saturating_sub(1), page);
    let takes = *action == Action::Enter || matches!(action, Action::Point(row) if *row == before);
    match view.found.get(view.cursor).copied() {
        Some(row) if takes => walk(app, row),
        _ => Vec::new(),
    }
}

pub(super) fn typed(app: &mut App, action: &Action) -> Vec<Effect> {
    let rows = rows(app);
    if let Some(Screen::Review(view)) = app.stack.last_mut() {
        match action {
            Action::Type(c) if !c.is_control() => view.search.push(*c),
            Action::Backspace => view.search.backspace(),
            Action::Delete => view.search.delete(),
            _ => {}
        }
        view.cursor = 0;
        view.find(&rows);
    }
    Vec::new()
}

pub(super) fn paste(app: &mut App, text: &str) -> Vec<Effect> {
    if let Some(Screen::Review(view)) = app.stack.last_mut() {
        text.chars().filter(|c| !c.is_control()).for_each(|c| view.search.push(c));
    }
    typed(app, &Action::Redraw)
}

/// Narrows the list by a word such as `state:open`; it takes the place of one of the same kind.
pub(super) fn narrow(app: &mut App, by: &str) {
    let rows = rows(app);
    if let Some(Screen::Review(view)) = app.stack.last_mut() {
        let place = by.split_once(':').map_or(by, |(place, _)| place);
        let kept: Vec<String> =
            terms(view.search.text()).into_iter().filter(|term| !term.starts_with(&format!("{place}:"))).collect();
        let text = kept.into_iter().chain([by.to_owned()]).collect::<Vec<_>>().join(" ");
        view.search = Field::of(&text);
        view.cursor = 0;
        view.find(&rows);
    }
}

/// The words of a search, blanks within quotes kept.
fn terms(search: &str) -> Vec<String> {
    let (mut terms, mut quoted) = (vec![String::new()], false);
    for c in search.chars() {
        quoted ^= c == '"';
        match terms.last_mut() {
            Some(term) if quoted || !c.is_whitespace() => term.push(c),
            _ => terms.push(String::new()),
        }
    }
    terms.retain(|term| !term.is_empty());
    terms
}

pub(super) fn replay(app: &mut App, action: &Action) -> Vec<Effect> {
    match action {
        Action::Remark => {
            let of = app.step().map(|step| step.number);
            return speak(app, Purpose::LeadRemark(of));
        }
        Action::RemarkOnJob => return speak(app, Purpose::LeadRemark(None)),
        Action::Reviewed => return speak(app, Purpose::Reviewed),
        Action::TakeBack => {
            return app.leads_word().map(|of| say(app, Entry::Undo { of })).unwrap_or_default();
        }
        _ => {}
    }
    let Some(walked) = app.walked() else { return Vec::new() };
    let marked: Vec<usize> =
        walked.steps.iter().enumerate().filter(|(_, step)| !step.marks.is_empty()).map(|(at, _)| at).collect();
    let last = walked.steps.len().saturating_sub(1);
    let page = page(app);
    let Some(Screen::Replay(view)) = app.stack.last_mut() else { return Vec::new() };
    match action {
        Action::PageUp => view.scroll = view.scroll.saturating_sub(page / 2),
        Action::PageDown => view.scroll = (view.scroll + page / 2).min(200),
        _ => {
            let at = view.at.min(last);
            view.at = match action {
                // At the ends it stays: a job has a beginning and an end.
                Action::Up => at.saturating_sub(1),
                Action::Down => (at + 1).min(last),
                Action::NextMark => marked.iter().copied().find(|m| *m > at).or(marked.first().copied()).unwrap_or(at),
                Action::MarkBefore => {
                    marked.iter().copied().rfind(|m| *m < at).or(marked.last().copied()).unwrap_or(at)
                }
                other => moved(other, at, last, 1),
            };
            if view.at != at {
                view.scroll = 0;
            }
        }
    }
    Vec::new()
}

/// Says something of the record, once it is known who says it.
pub(super) fn speak(app: &mut App, what: Purpose) -> Vec<Effect> {
    if app.lead_name.trim().is_empty() {
        app.show(Screen::Write(Purpose::LeadName(Box::new(what)), Field::default()));
        return Vec::new();
    }
    if what == Purpose::Reviewed {
        let seen = app.job().and_then(|job| job.review()).filter(|mark| mark.since == 0);
        if let Some(mark) = seen.filter(|mark| mark.by == app.lead_name) {
            app.say(format!("You have marked this job already, as entry {}; nothing has changed since.", mark.number));
            return Vec::new();
        }
        return say(app, Entry::Reviewed { by: app.lead_name.clone() });
    }
    app.show(Screen::Write(what, Field::default()));
    Vec::new()
}

pub(super) fn learn(app: &mut App, action: &Action) -> Vec<Effect> {
    let page = page(app);
    let (Mode::Learn(learn), Some(Screen::Learn(view))) = (&mut app.mode, app.stack.last_mut()) else {
        return Vec::new();
    };
    let Some(learnt) = learn.learnt.clone() else { return Vec::new() };
    let before = view.cursor;
    view.cursor = moved(action, before, learnt.proposals.len().saturating_sub(1), page);
    let accepted = &mut learn.accepted;
    let toggles = *action == Action::Accept || matches!(action, Action::Point(row) if *row == before);
    match action {
        _ if toggles => {
            let marked = learnt.proposals.get(view.cursor);
            if let Some(proposal) = marked.filter(|proposal| proposal.may) {
                if !accepted.remove(&proposal.key) {
                    accepted.insert(proposal.key.clone());
                }
            } else if marked.is_some() {
                app.fault("This figure may not be accepted: figures of its kind have not forecast the later jobs better than the tree's.");
            }
        }
        Action::AcceptAll => {
            let may = || learnt.proposals.iter().filter(|proposal| proposal.may);
            if may().all(|proposal| accepted.contains(&proposal.key)) {
                accepted.clear();
            } else {
                accepted.extend(may().map(|proposal| proposal.key.clone()));
            }
        }
        Action::WriteOut => app.show(Screen::Write(Purpose::LearntFile, Field::of("learnt.yaml"))),
        _ => {}
    }
    Vec::new()
}

/// The records, listed anew.
pub(super) fn show_records(app: &mut App) -> Vec<Effect> {
    app.mode = Mode::Review(Box::default());
    app.show(Screen::Review(ReviewView::default()));
    vec![Effect::Work(Work::List)]
}

/// What the records teach, learnt anew.
pub(super) fn show_lessons(app: &mut App) -> Vec<Effect> {
    app.mode = Mode::Learn(Box::default());
    app.show(Screen::Learn(LearnView::default()));
    vec![Effect::Work(Work::Learn)]
}

/// Long work has begun.
pub(super) fn working(app: &mut App) {
    set_long(app, Long::Begun);
}

fn set_long(app: &mut App, long: Long) {
    match &mut app.mode {
        Mode::Review(review) => review.long = long,
        Mode::Learn(learn) => learn.long = long,
        Mode::Bench | Mode::Intake(_) | Mode::Job(_) | Mode::Record(_) => {}
    }
}

/// Long work is to stop.
pub(super) fn stop(app: &mut App) -> Vec<Effect> {
    set_long(app, Long::Idle);
    app.say("Stopped. What was worked out so far stays.");
    vec![Effect::StopWork]
}

pub(super) fn back(app: &mut App) -> Vec<Effect> {
    match app.stack.last_mut() {
        Some(Screen::Replay(_)) => {
            if let Mode::Review(review) = &mut app.mode {
                review.walked = None;
            }
            app.back_to(|s| matches!(s, Screen::Review(_) | Screen::Pick(Pick::Bench, _)));
            // What was said meanwhile is in the list, and what was left to work out goes on.
            vec![Effect::StopWork, Effect::PutAway, Effect::Work(Work::List)]
        }
        Some(Screen::Review(view)) if !view.search.is_empty() => {
            view.search = Field::default();
            search(app);
            Vec::new()
        }
        _ => vec![Effect::StopWork, Effect::Bench],
    }
}

/// The record at a place of the list is walked again.
fn walk(app: &mut App, at: usize) -> Vec<Effect> {
    let Some(row) = app.rows().get(at).cloned() else { return Vec::new() };
    if row.id.is_empty() {
        app.fault("No job can be read from this file. `roughrun verify` tells what is wrong and what can be saved.");
        return Vec::new();
    }
    vec![Effect::Read(Box::new(row))]
}

/// A record was opened.
pub(super) fn read(app: &mut App, row: Row, job: Job, notes: &[String]) -> Vec<Effect> {
    let job = Arc::new(job);
    let held = Held::new(Arc::clone(&job));
    let Mode::Review(review) = &mut app.mode else { return Vec::new() };
    review.walked = Some(Walked { row: Arc::new(row), held, steps: Arc::default(), totals: None, fresh: false });
    app.show(Screen::Replay(ReplayView::default()));
    if !notes.is_empty() {
        app.fault(outcome::said(notes));
    }
    vec![Effect::Work(Work::Replay(job))]
}

/// A lead's word on the record being walked.
pub(super) fn say(app: &App, entry: Entry) -> Vec<Effect> {
    let row = app.walked().map(|walked| Arc::clone(&walked.row));
    row.map(|row| Effect::Say(row, entry)).into_iter().collect()
}

/// A lead's word is saved.
pub(super) fn said(app: &mut App, said: Said) -> Vec<Effect> {
    app.back_to(|s| matches!(s, Screen::Replay(_)));
    let job = Arc::new(said.job);
    // The remark stands beside its entry at once; nothing else of the steps has changed but what comes behind.
    let Some(walked) = app.mode.walked_mut() else { return Vec::new() };
    walked.held.go_on(Arc::clone(&job));
    // It is walked anew, the step in front staying there.
    (walked.totals, walked.fresh) = (None, true);
    let words = format!("{} of the record.", said.saved.words());
    match said.saved.told() {
        Some(told) => app.fault(format!("{told} {words}")),
        None => app.say(words),
    }
    vec![Effect::Work(Work::Replay(job))]
}

/// What is accepted is to be written to a file.
pub(super) fn write(app: &App, path: String) -> Vec<Effect> {
    let Some(learn) = app.learn() else { return Vec::new() };
    let learnt = learn.learnt.clone();
    learnt.map(|learnt| Effect::WriteLearnt(path, learnt, learn.accepted.clone())).into_iter().collect()
}

/// It is written.
pub(super) fn written(app: &mut App, path: &str, count: usize) {
    app.back_to(|s| matches!(s, Screen::Learn(_)));
    app.say(format!(
        "{} written to {}. Read them, keep the file under version control, and use it with --learnt.",
        crate::text::counted(count, "figure"),
        clean(path)
    ));
}

/// Takes in what long work tells.
pub(super) fn heard(app: &mut App, news: News) {
    match (news, &mut app.mode) {
        (News::Failed(why), _) => app.fault(why),
        (News::Far(done, of), _) => set_long(app, Long::Far(done, of)),
        (News::Listed(rows, notes), Mode::Review(review)) => {
            (review.rows, review.notes, review.listed) = (Arc::new(rows), notes, true);
            search(app);
        }
        (News::Worked(worked), Mode::Review(review)) => {
            let rows = Arc::make_mut(&mut review.rows);
            for (at, worked) in worked {
                if let Some(row) = rows.get_mut(at) {
                    row.worked = Some(worked);
                }
            }
            search(app);
        }
        (News::Step(step), mode) => {
            let Some(walked) = mode.walked_mut() else { return };
            let steps = Arc::make_mut(&mut walked.steps);
            // Walked anew, each step takes the place of the one it was, so that nothing jumps.
            match walked.fresh.then(|| steps.iter_mut().find(|old| old.number == step.number)).flatten() {
                Some(old) => *old = *step,
                None => steps.push(*step),
            }
        }
        (News::Learnt(lessons, unread), Mode::Learn(learn)) => {
            let proposals = proposals(&lessons);
            learn.learnt = Some(Arc::new(Learning { lessons: *lessons, proposals, unread }));
        }
        (News::Done, mode) => {
            let whole = |walked: &&mut Walked| walked.held.job().log().len() == walked.steps.len();
            if let Some(walked) = mode.walked_mut().filter(whole) {
                walked.totals = Some(Replay::from_steps(walked.steps.to_vec()).totals);
            }
            set_long(app, Long::Idle);
        }
        // What was asked for was left meanwhile.
        (News::Listed(..) | News::Worked(_) | News::Learnt(..), _) => {}
    }
}

/// The rows of the records.
fn rows(app: &App) -> Arc<Vec<Row>> {
    app.review().map(|review| Arc::clone(&review.rows)).unwrap_or_default()
}

/// Searches the list anew, wherever it is among the screens; the mark stays on its record.
fn search(app: &mut App) {
    let rows = rows(app);
    for screen in &mut app.stack {
        if let Screen::Review(view) = screen {
            let marked = view.found.get(view.cursor).copied();
            view.find(&rows);
            if let Some(place) = marked.and_then(|row| view.found.iter().position(|found| *found == row)) {
                view.cursor = place;
            }
        }
    }
}
