//! What is known of the marked row of a list.

use crate::analysis::because;
use crate::guide::{Told, came_with, ends};
use crate::job::Job;
use crate::model::CauseId;
use crate::plan::Action;
use crate::tui::app::App;
use crate::tui::held::Seen;
use crate::tui::pick::{Does, Item, Pick};
use crate::tui::text::clean;
use crate::tui::theme::Role;
use crate::tui::widget::page::Page;
use crate::tui::words;

pub(super) fn fill(app: &App, pick: &Pick, row: &Item, page: &mut Page) {
    if let Pick::DoubtfulEnd(_, end) = pick {
        page.blank();
        end.iter().for_each(|sentence| page.text(Role::Warn, &clean(sentence)));
        return;
    }
    match &row.does {
        Does::Resume(id) | Does::Look(id) | Does::Debrief(id) => {
            page.blank();
            let damage = app.jobs.iter().find(|j| j.id == *id).and_then(|j| j.damage.as_ref());
            if let Some(damage) = damage {
                page.label("damage", Role::Warn, &clean(damage));
            }
            page.label("record", Role::Faint, &clean(id));
        }
        Does::Start => {
            page.blank();
            let words = "Follow the manufacturer's current instructions and local rules. Only a person authorised to do so returns the aircraft to service.";
            page.text(Role::Faint, words);
        }
        Does::NoWork(_) => {
            page.blank();
            page.text(Role::Faint, "Nothing is suspected more. The record keeps which of the two was said.");
        }
        Does::Work(work) | Does::WorkAt(work, _) => recent_work(app, work, page),
        Does::Front(action) => {
            if let Some(job) = app.job() {
                self::action(app, job, *action, page);
            }
        }
        Does::Suspect(id) => {
            if let Some(seen) = app.seen() {
                suspect(app, seen, *id, page);
            }
        }
        Does::Demo => {
            page.blank();
            page.text(
                Role::Faint,
                "An invented four-seat tourer is rough on the left. Its engine answers: the walk says what it shows, and you press the letter.",
            );
        }
        Does::PracticeList | Does::Practise(_) | Does::Progress => {
            page.blank();
            page.text(Role::Faint, &crate::tui::practice_items::about(app, &row.does));
        }
        Does::Lacking(_) | Does::NotProvoked(_) => {
            page.blank();
            page.text(Role::Faint, "No check that asks for it is suggested in this job any more, at no site. Take the entry back and they are.");
        }
        Does::Sight(at, _) => {
            if let Some(choice) = app.front().and_then(|front| front.choices.get(*at).cloned()) {
                page.blank();
                page.label("answer", Role::Text, &clean(&choice.title));
            }
        }
        Does::Showing(_) if *pick == Pick::Showing => {
            page.blank();
            page.text(Role::Faint, "It holds for the conditions of now. A check that passes while it shows is decisive; one that passes while it sleeps says little.");
        }
        // What is missing for a better end stands there whichever row is marked.
        Does::Ending(_) => {
            for end in app.job().map(|job| ends(job).1).unwrap_or_default() {
                page.blank();
                page.text(Role::Faint, &format!("For \"{}\" there is still missing:", end.how.words()));
                for missing in &end.missing {
                    page.text(Role::Text, &format!("- {}", clean(missing)));
                }
            }
        }
        _ => {}
    }
}

/// What a kind of work can bring, the likeliest first.
fn recent_work(app: &App, work: &str, page: &mut Page) {
    let Some(intake) = app.intake() else { return };
    let model = &intake.model;
    let mut brings: Vec<(&str, f64)> = Vec::new();
    for brought in model.recent_work.iter().filter(|one| one.name == work).flat_map(|one| &one.brings) {
        let title = model[brought.cause].title.as_str();
        if !brings.iter().any(|(known, _)| *known == title) {
            brings.push((title, brought.chance));
        }
    }
    brings.sort_by(|a, b| b.1.total_cmp(&a.1));
    let titles: Vec<String> = brings.iter().map(|(title, _)| clean(title)).collect();
    page.blank();
    page.text(
        Role::Faint,
        "Enter marks and unmarks, Esc goes back. What it brings is suspected more, and nothing else:",
    );
    page.label("brings", Role::Text, &titles.join(", "));
}

fn action(app: &App, job: &Job, action: Action, page: &mut Page) {
    let model = job.model();
    page.blank();
    let suggestion = app.advice_now().and_then(|a| a.next.iter().find(|s| s.action == action));
    match (suggestion.filter(|s| !s.why.is_empty()), action) {
        (Some(suggestion), _) => page.label("why", Role::Text, &clean(&suggestion.why)),
        (None, Action::Check(id)) => page.label("why", Role::Text, &clean(&model[id].purpose)),
        (None, Action::Correct(id)) => {
            let cures: Vec<String> = model[id].cures.iter().map(|c| clean(&model[*c].title)).collect();
            page.label("cures", Role::Text, &cures.join(", "));
        }
        _ => {}
    }
    if let Some(suggestion) = suggestion.filter(|s| s.expected_minutes > 0.0) {
        let words = format!("about {} to a proven cure", words::minutes(suggestion.expected_minutes));
        page.label("in all", Role::Text, &words);
    }
    if !action.closes() {
        page.label("access", Role::Text, &words::access(&Told::of(job, action)));
    }
}

pub(super) fn suspect(app: &App, seen: Seen<'_>, id: CauseId, page: &mut Page) {
    let model = seen.job.model();
    page.blank();
    if !model[id].how.is_empty() {
        page.label("how", Role::Text, &clean(&model[id].how));
    }
    if let Some(work) = came_with(model, seen.job.state(), id) {
        page.label("work", Role::Text, &format!("can have come with {}", clean(&work)));
    }
    let Some(job) = seen.ranked else { return };
    let belief = job.belief(id);
    page.label(
        "now",
        Role::Text,
        &format!(
            "{} there, {} awake under these conditions",
            words::percent(belief.present),
            words::percent(belief.awake)
        ),
    );
    if let Some(set) = app.alike_now().iter().find(|set| set.causes.contains(&id)) {
        let others: Vec<String> = set.causes.iter().filter(|c| **c != id).map(|c| words::cause(model, *c)).collect();
        page.label("like", Role::Text, &format!("{}. {}", others.join("; "), clean(&set.advice(model))));
    }
    // The course comes last of what is worked out; without it the checks against the cause still stand below.
    let told = app.job().map(AsRef::as_ref).zip(app.course_now());
    let reasons = told.map(|(job, course)| because(job, course, id)).unwrap_or_default();
    for (contribution, says) in reasons.iter().take(4) {
        let words = format!("#{} {}: {}", contribution.number, clean(says), contribution.words());
        page.label("because", Role::Text, &words);
    }
    for against in job.against(id).iter().take(3) {
        let words = format!(
            "#{} {}: {} as likely with this fault as without",
            against.number,
            words::check(model, against.check),
            words::percent(against.factor)
        );
        page.label("against", Role::Text, &words);
    }
}
