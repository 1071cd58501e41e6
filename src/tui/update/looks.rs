//! The engine, the fault tree and the course: moving about on them.

use crate::model::{CheckId, Node, Site};
use crate::plan;
use crate::tui::action::Action;
use crate::tui::app::{App, Screen};
use crate::tui::effect::Effect;
use crate::tui::engine::{self, EngineView, Step};
use crate::tui::mode::Walk;
use crate::tui::pick::Pick;
use crate::tui::tree;

use super::show_list;

/// Shows one of them. From one to the other there is no pile of screens to go back through.
pub(super) fn show(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(job) = app.job().cloned() else { return Vec::new() };
    while app.stack.len() > 1
        && matches!(app.top(), Screen::Engine(_) | Screen::Tree(_) | Screen::Course(_) | Screen::Changes(_))
    {
        app.stack.pop();
    }
    let screen = match action {
        Action::Engine => {
            let in_front = app.front().and_then(|f| f.check()).map(|id| job.model()[id].site);
            let site = in_front.unwrap_or(job.model()[job.state().complaint].site);
            Screen::Engine(EngineView { at: site, kind: None })
        }
        Action::Tree => Screen::Tree(app.ranked().map(tree::begin).unwrap_or_default()),
        Action::Course => Screen::Course(0),
        _ => Screen::Changes(0),
    };
    app.show(screen);
    Vec::new()
}

/// Shows a site on the engine.
pub(super) fn show_site(app: &mut App, site: Site) -> Vec<Effect> {
    show(app, &Action::Engine);
    if let Some(Screen::Engine(view)) = app.stack.last_mut() {
        view.at = site;
    }
    Vec::new()
}

/// Shows the engine to pick the site of a check.
pub(super) fn pick_site(app: &mut App, check: CheckId) -> Vec<Effect> {
    let Some(job) = app.job() else { return Vec::new() };
    let check = &job.model()[check];
    let view = EngineView { at: check.site, kind: Some(check.name.clone()) };
    app.show(Screen::Engine(view));
    Vec::new()
}

pub(super) fn engine(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(job) = app.job().cloned() else { return Vec::new() };
    let Some(Screen::Engine(view)) = app.stack.last_mut() else { return Vec::new() };
    let model = job.model();
    let sites = view.kind.as_ref().map(|kind| engine::sites_of(model, kind));
    let lets = |site: Site| sites.as_ref().is_none_or(|sites| sites.contains(&site));
    let step = match action {
        Action::Up => Some(Step::Up),
        Action::Down => Some(Step::Down),
        Action::Left => Some(Step::Left),
        Action::Right => Some(Step::Right),
        _ => None,
    };
    if let Some(step) = step {
        view.at = engine::settle(&model.layout, engine::step(&model.layout, view.at, step, lets), lets);
        return Vec::new();
    }
    match action {
        Action::PointSite(site) if view.at != *site => {
            if lets(*site) {
                view.at = *site;
            }
            Vec::new()
        }
        Action::Enter | Action::PointSite(_) => {
            let (at, kind) = (view.at, view.kind.clone());
            let check = kind.and_then(|kind| model.find_check(&kind, at));
            match check {
                Some(id) => {
                    app.back_to(|s| matches!(s, Screen::Walk));
                    app.set_walk(Walk { chosen: Some(plan::Action::Check(id)), ..Walk::default() });
                    Vec::new()
                }
                None => show_list(app, Pick::AtSite(at)),
            }
        }
        _ => Vec::new(),
    }
}

pub(super) fn tree(app: &mut App, action: &Action) -> Vec<Effect> {
    let Some(job) = app.ranked().cloned() else { return Vec::new() };
    let page = usize::from(app.size.1.saturating_sub(9)).max(1);
    let Some(Screen::Tree(view)) = app.stack.last_mut() else { return Vec::new() };
    let rows = tree::rows(&job, view);
    let last = rows.len().saturating_sub(1);
    let at = view.cursor.min(last);
    let Some(twig) = rows.get(at) else { return Vec::new() };
    let is_open = twig.has_more && view.open.contains(&twig.node);
    let parent = rows[..at].iter().rposition(|r| r.depth < twig.depth);
    view.cursor = match action {
        Action::Up => at.checked_sub(1).unwrap_or(last),
        Action::Down => (at + 1) % (last + 1),
        Action::PageUp => at.saturating_sub(page),
        Action::PageDown => (at + page).min(last),
        Action::First => 0,
        Action::Last => last,
        Action::Left if !is_open => parent.unwrap_or(at),
        Action::Point(row) => (*row).min(last),
        _ => at,
    };
    match action {
        Action::Left if is_open => _ = view.open.remove(&twig.node),
        Action::Right if twig.has_more => _ = view.open.insert(twig.node),
        Action::Point(row) if *row != at => {}
        Action::Enter | Action::Point(_) => match twig.what {
            Node::Cause(id) => return show_list(app, Pick::Suspect(id)),
            _ if is_open => _ = view.open.remove(&twig.node),
            _ => _ = view.open.insert(twig.node),
        },
        _ => {}
    }
    Vec::new()
}

pub(super) fn course(app: &mut App, action: &Action) -> Vec<Effect> {
    let last = app.newest_course().map_or(0, |(_, moments)| moments.len().saturating_sub(1));
    if let Some(Screen::Course(back)) = app.stack.last_mut() {
        *back = match action {
            Action::Left => (*back + 1).min(last),
            Action::Right => back.saturating_sub(1),
            Action::First => last,
            Action::Last => 0,
            _ => *back,
        };
    }
    Vec::new()
}
