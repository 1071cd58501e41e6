//! The lead's screens: moving about in the list, in a record walked again, and in what the records teach.

use crate::job::Entry;
use crate::tui::action::Action;
use crate::tui::app::{App, Purpose, Screen};
use crate::tui::effect::Effect;
use crate::tui::field::Field;
use crate::tui::lead;
use crate::tui::lead_effect::Ask;

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
    match view.found.get(view.cursor) {
        Some(row) if takes => vec![Effect::Lead(Ask::Walk(*row))],
        _ => Vec::new(),
    }
}

pub(super) fn typed(app: &mut App, action: &Action) -> Vec<Effect> {
    let rows = std::sync::Arc::clone(&app.lead.rows);
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
    let rows = std::sync::Arc::clone(&app.lead.rows);
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
            let taken = app.leads_word().map(|of| Effect::Lead(Ask::Say(Entry::Undo { of })));
            return taken.into_iter().collect();
        }
        _ => {}
    }
    let Some(walked) = &app.lead.walked else { return Vec::new() };
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
    if app.lead.by.trim().is_empty() {
        app.show(Screen::Write(Purpose::LeadName(Box::new(what)), Field::default()));
        return Vec::new();
    }
    if what == Purpose::Reviewed {
        let seen = app.job.as_ref().and_then(|job| job.review()).filter(|mark| mark.since == 0);
        if let Some(mark) = seen.filter(|mark| mark.by == app.lead.by) {
            app.say(format!("You have marked this job already, as entry {}; nothing has changed since.", mark.number));
            return Vec::new();
        }
        return vec![Effect::Lead(Ask::Say(Entry::Reviewed { by: app.lead.by.clone() }))];
    }
    app.show(Screen::Write(what, Field::default()));
    Vec::new()
}

pub(super) fn learn(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(learnt) = app.lead.learnt.clone() else { return Vec::new() };
    let page = page(app);
    let Some(Screen::Learn(view)) = app.stack.last_mut() else { return Vec::new() };
    let before = view.cursor;
    view.cursor = moved(action, before, learnt.proposals.len().saturating_sub(1), page);
    let accepted = &mut app.lead.accepted;
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

pub(super) fn back(app: &mut App) -> Vec<Effect> {
    match app.stack.last_mut() {
        Some(Screen::Replay(_)) => vec![Effect::Lead(Ask::Leave)],
        Some(Screen::Review(view)) if !view.search.is_empty() => {
            view.search = Field::default();
            lead::search(app);
            Vec::new()
        }
        _ => vec![Effect::Lead(Ask::Close)],
    }
}
