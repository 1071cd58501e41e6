//! The rows of each list, made from the app's state.
//!
//! Owns what is listed and in which order. Must not draw.

use crate::analysis::Standing;
use crate::guide;
use crate::job::{Ending, Entry, Job, NoWork, RecentWork};
use crate::model::{CauseId, CheckId, ComplaintId, CorrectionId, Model, ProvocationId, Site, SiteKind};
use crate::plan::Action;

use super::app::{App, Screen};
use super::held::Seen;
use super::intake::Intake;
use super::pick::{Does, Item, Pick};
use super::text::clean;
use super::words;

/// All rows of a list.
#[must_use]
pub(super) fn items(app: &App, pick: &Pick) -> Vec<Item> {
    match pick {
        Pick::Bench => bench(app),
        Pick::DoubtfulEnd(id, _) => vec![
            Item::new("Look at the record, and change nothing", "", Does::Look(id.clone())),
            Item::new("Go on without that end", "its bytes stay in the file", Does::GoOnWithout(id.clone())),
        ],
        Pick::Engine => engines(app),
        Pick::Complaint | Pick::Place(_) | Pick::RecentWork | Pick::WorkPlace(_) => intake(app, pick),
        Pick::Showing => vec![
            Item::new("Yes, it shows", "", Does::Showing(Some(true))),
            Item::new("No, it does not show", "", Does::Showing(Some(false))),
            Item::new("Not known", "takes an earlier word back", Does::Showing(None)),
        ],
        Pick::Slip { meant, typed: (shown, text) } => vec![
            Item::new(meant, "the unit slipped", Does::ReadAs(meant.clone())),
            Item::new(shown, "as typed", Does::ReadAs(text.clone())),
        ],
        Pick::Sight(at) => {
            let rows = guide::SIGHT_ANSWERS.into_iter().zip([false, true]);
            rows.map(|((answer, means), looks_so)| Item::new(answer, means, Does::Sight(*at, looks_so))).collect()
        }
        Pick::SomethingElse => app.job().map(|job| complaints(job)).unwrap_or_default(),
        Pick::NotToBeHad => not_to_be_had(app),
        Pick::Ending => endings(app),
        Pick::Practise => super::practice_items::items(app),
        // What is believed follows a little behind what is entered.
        Pick::Correct | Pick::Suspects | Pick::AtSite(_) => {
            app.seen().map(|seen| of_job(app, seen, pick)).unwrap_or_default()
        }
        Pick::Palette => super::palette::items(app),
        Pick::Headings => headings(app),
        Pick::Narrow => super::lead::narrowings(app.rows())
            .into_iter()
            .map(|(by, count)| Item::new(clean(&by), format!("{count} records"), Does::Narrow(by)))
            .collect(),
        _ => app.job().map(|job| of_job(app, Seen { job, ranked: None }, pick)).unwrap_or_default(),
    }
}

/// The headings of the write-up below; those of what is folded say so.
fn headings(app: &App) -> Vec<Item> {
    let view =
        app.stack.iter().rev().find_map(|screen| if let Screen::Report(view) = screen { Some(view) } else { None });
    let Some(view) = view else { return Vec::new() };
    let here = crate::report::headings(&view.text).len();
    let line = |(number, heading): (usize, crate::report::Heading)| {
        let set_in = if heading.is_label { "  " } else { "" };
        let right = if number < here { "" } else { "unfolds" };
        Item::new(format!("{set_in}{}", clean(&heading.title)), right, Does::Heading(number))
    };
    view.headings().into_iter().enumerate().map(line).collect()
}

fn of_job(app: &App, seen: Seen<'_>, pick: &Pick) -> Vec<Item> {
    let job = seen.job;
    match pick {
        Pick::AtSite(site) => at_site(app, seen, *site),
        Pick::Checks => checks(app, job),
        Pick::Provoke => provocations(job),
        Pick::Correct => corrections(seen),
        Pick::Suspects => suspects(seen),
        Pick::Suspect(id) => about(job, *id),
        Pick::Entries => entries(job),
        _ => Vec::new(),
    }
}

fn bench(app: &App) -> Vec<Item> {
    let start = Item::new("Start a job", "", Does::Start);
    let line = |job: &super::desk::JobLine| {
        let state = match (&job.damage, job.open) {
            (Some(_), _) => "damaged",
            (None, true) => "open",
            (None, false) => "closed",
        };
        let left = format!("{}  {}", clean(&job.aircraft), clean(&job.complaint));
        let state = if job.practice { format!("practice, {state}") } else { state.to_owned() };
        let right = [clean(&job.mechanic), clean(&job.when), state];
        let right = right.iter().filter(|w| !w.is_empty()).cloned().collect::<Vec<_>>().join("  ");
        let does = match (job.open, job.practice && job.damage.is_none()) {
            (true, _) => Does::Resume(job.id.clone()),
            (false, true) => Does::Debrief(job.id.clone()),
            (false, false) => Does::Look(job.id.clone()),
        };
        Item { faint: !job.open, ..Item::new(left, right, does) }
    };
    // What is open is gone on with first; both keep their order, newest first.
    // What needs a look comes first, so that nothing is gone on with in its place unseen.
    let doubtful = app.jobs.iter().filter(|j| j.damage.is_some()).map(line);
    let open = app.jobs.iter().filter(|j| j.open && j.damage.is_none()).map(line);
    let closed = app.jobs.iter().filter(|j| !j.open && j.damage.is_none()).map(line);
    let demo = Item::new("Demo job on an invented aircraft", "nothing of it is kept", Does::Demo);
    // On an empty bench the demo waits for a newcomer; with jobs on record it goes to the end.
    let (before, behind) = if app.jobs.is_empty() { (Some(demo), None) } else { (None, Some(demo)) };
    let lead = (!app.jobs.is_empty()).then(|| {
        [
            Item::new("Review the records", "for the shop lead", Does::Command(super::action::Action::Review)),
            Item::new("Learn from the records", "old rates and new ones", Does::Command(super::action::Action::Learn)),
        ]
    });
    let practise =
        Item::new("Practise on an engine with a hidden fault", "lessons, sets, progress", Does::PracticeList);
    std::iter::once(start)
        .chain(before)
        .chain(doubtful)
        .chain(open)
        .chain(closed)
        .chain(lead.into_iter().flatten())
        .chain(behind)
        .chain([practise])
        .collect()
}

fn engines(app: &App) -> Vec<Item> {
    let layout = |l: &super::desk::LayoutLine| Item::new(clean(&l.title), clean(&l.name), Does::Engine(l.name.clone()));
    let card = Item::new("An aircraft card from a file", "its hours and parts count too", Does::CardFile);
    app.layouts.iter().map(layout).chain([card]).collect()
}

fn intake(app: &App, pick: &Pick) -> Vec<Item> {
    let Some(intake) = app.intake() else { return Vec::new() };
    let model = &intake.model;
    let all = (0..model.complaints.len()).map(ComplaintId);
    match pick {
        Pick::Complaint => {
            let mut found: Vec<Item> = Vec::new();
            for id in all {
                let does = Does::Complaint(model[id].name.clone());
                if !found.iter().any(|item| item.does == does) {
                    let usual = words::conditions(model, &model[id].usual);
                    found.push(Item::new(clean(&model[id].title), usual, does));
                }
            }
            found
        }
        Pick::Place(name) => all
            .filter(|id| model[*id].name == *name)
            .map(|id| Item::new(place(model, model[id].site), "", Does::Place(id)))
            .collect(),
        Pick::WorkPlace(work) => work_places(intake, work),
        _ => recent_work(intake),
    }
}

fn place(model: &Model, site: Site) -> String {
    match site.kind() {
        SiteKind::Engine => "the whole engine".into(),
        SiteKind::Side => {
            site.side().map_or(String::new(), |side| format!("{side} ({})", model.layout.side(side).words()))
        }
        _ => model.site_words(site),
    }
}

/// The answers to what was worked on: two words, then the kinds of work with where they are marked.
fn recent_work(intake: &Intake) -> Vec<Item> {
    let model = &intake.model;
    let word = |left: &str, word: NoWork| {
        let on = intake.recent_work == RecentWork::Said(word);
        Item::new(left, if on { "as it stands" } else { "" }, Does::NoWork(word))
    };
    let kind = |(name, title): (&str, &str)| {
        let marked: Vec<String> =
            intake.marked_sites(name).into_iter().map(|site| clean(&model.site_words(site))).collect();
        Item::new(clean(title), marked.join(", "), Does::Work(name.to_owned()))
    };
    let words = [word("Not known", NoWork::NotKnown), word("Nothing", NoWork::Nothing)];
    words.into_iter().chain(model.recent_kinds().into_iter().map(kind)).collect()
}

/// The sites of a kind of work.
fn work_places(intake: &Intake, work: &str) -> Vec<Item> {
    let marked = intake.marked_sites(work);
    let row = |site: Site| {
        let with = marked.iter().find(|outer| intake.model.layout.encloses(**outer, site));
        let right = match with {
            Some(outer) if *outer != site && !marked.contains(&site) => {
                format!("with {}", place(&intake.model, *outer))
            }
            Some(_) => "worked on".to_owned(),
            None => String::new(),
        };
        Item::new(clean(&place(&intake.model, site)), right, Does::WorkAt(work.to_owned(), site))
    };
    intake.model.recent_work_sites(work).into_iter().map(row).collect()
}

fn checks(app: &App, job: &Job) -> Vec<Item> {
    let model = job.model();
    let state = job.state();
    let suggested =
        app.advice_now().map(|a| a.next.as_slice()).unwrap_or_default().iter().filter_map(|s| match s.action {
            Action::Check(id) => Some((id, s.bits)),
            _ => None,
        });
    let suggested: Vec<(CheckId, f64)> = suggested.collect();
    let most = suggested.iter().map(|(_, bits)| *bits).fold(f64::MIN_POSITIVE, f64::max);
    let answered = state.answered_now();
    let again = app.second_look().map(|(again, _)| again.action);
    let again = |id: &CheckId| again == Some(Action::Check(*id));
    let row = |id: CheckId, bits: Option<f64>| {
        let word = if state.not_possible.contains(&id) {
            "not possible"
        } else if again(&id) {
            "look again"
        } else if answered.contains(&id) {
            "answered"
        } else if state.skipped.contains(&id) {
            "skipped"
        } else {
            match bits {
                Some(bits) if bits >= 0.3 => "tells much",
                Some(bits) if bits >= 0.05 => "tells some",
                // Nothing is said of a check before what it tells is worked out.
                None if app.advice_now().is_none() => "",
                _ => "tells little",
            }
        };
        Item {
            left: words::check(model, id),
            right: format!("{:>7}  {word:<12}", words::minutes(state.work(model, Action::Check(id)).minutes)),
            bar: app.advice_now().map(|_| bits.map_or(0.0, |bits| bits / most)),
            faint: answered.contains(&id) && !again(&id) || state.not_possible.contains(&id),
            does: Does::Front(Action::Check(id)),
        }
    };
    let rest = (0..model.checks.len()).map(CheckId).filter(|id| !suggested.iter().any(|(s, _)| s == id));
    let mut rest: Vec<Item> = rest.map(|id| row(id, None)).collect();
    rest.sort_by_key(|item| (!matches!(item.does, Does::Front(Action::Check(id)) if again(&id)), item.faint));
    suggested.iter().map(|(id, bits)| row(*id, Some(*bits))).chain(rest).collect()
}

fn provocations(job: &Job) -> Vec<Item> {
    let model = job.model();
    let row = |id: ProvocationId| {
        let provocation = &model[id];
        let sets: Vec<&str> = provocation
            .sets
            .iter()
            .filter_map(|(c, l)| model.conditions.get(*c)?.levels.get(*l).map(String::as_str))
            .collect();
        let right = format!(
            "{}  {:>7}",
            clean(&sets.join(", ")),
            words::minutes(job.state().work(model, Action::Provoke(id)).minutes)
        );
        Item::new(clean(&provocation.title), right, Does::Front(Action::Provoke(id)))
    };
    (0..model.provocations.len()).map(ProvocationId).map(row).collect()
}

fn corrections(seen: Seen<'_>) -> Vec<Item> {
    let job = seen.job;
    let model = job.model();
    let chance = |id: CorrectionId| {
        let present = |c: &CauseId| seen.ranked.map_or(0.0, |job| job.belief(*c).present);
        model[id].cures.iter().map(present).fold(0.0, f64::max)
    };
    let mut ids: Vec<CorrectionId> = (0..model.corrections.len()).map(CorrectionId).collect();
    ids.sort_by(|a, b| chance(*b).total_cmp(&chance(*a)).then(a.cmp(b)));
    let row = |id: CorrectionId| {
        let correction = &model[id];
        let share = seen.ranked.map(|_| words::percent(chance(id))).unwrap_or_default();
        let right =
            format!("{:>7}  {share:>5}", words::minutes(seen.job.state().work(model, Action::Correct(id)).minutes));
        Item {
            bar: seen.ranked.map(|_| chance(id)),
            ..Item::new(words::at(model, &correction.title, correction.site), right, Does::Front(Action::Correct(id)))
        }
    };
    ids.into_iter().map(row).collect()
}

fn suspects(seen: Seen<'_>) -> Vec<Item> {
    let model = seen.job.model();
    let Some(job) = seen.ranked else {
        let row = |id: CauseId| Item::new(words::cause(model, id), "", Does::Suspect(id));
        return (0..model.causes.len()).map(CauseId).map(row).collect();
    };
    let row = |id: CauseId| {
        let present = job.belief(id).present;
        let standing = job.standing(id);
        let by = job.shown_good_by(id).map(|look| format!(" by #{}", look.number)).unwrap_or_default();
        let word = match standing {
            Standing::ShownGood => format!("shown good{by}"),
            other => words::standing(other).to_owned(),
        };
        Item {
            bar: Some(present),
            faint: standing == Standing::ShownGood,
            ..Item::new(
                words::cause(model, id),
                format!("{:>5}  {word:<18}", words::percent(present)),
                Does::Suspect(id),
            )
        }
    };
    job.ranking().into_iter().map(row).collect()
}

/// The causes at a site, then the checks that are made there, the most telling of them first.
fn at_site(app: &App, seen: Seen<'_>, site: Site) -> Vec<Item> {
    let model = seen.job.model();
    let causes = super::practice::causes_at(seen, site);
    let all = suspects(seen);
    let here = |item: &Item| matches!(item.does, Does::Suspect(id) if causes.contains(&id));
    let checks = checks(app, seen.job).into_iter().filter(|item| match item.does {
        Does::Front(Action::Check(id)) => model[id].site == site,
        _ => false,
    });
    all.into_iter().filter(here).chain(checks).collect()
}

fn about(job: &Job, id: CauseId) -> Vec<Item> {
    let model = job.model();
    let minutes = |m: f64| words::minutes(m);
    let checks = (0..model.checks.len()).map(CheckId).filter(|c| model[*c].shows(id) >= 0.3);
    let mut checks: Vec<(f64, Item)> = checks
        .map(|c| {
            let shows = model[c].shows(id);
            let right = format!("shows it {} of the time  {:>7}", words::percent(shows), minutes(model[c].minutes));
            (shows, Item::new(words::check(model, c), right, Does::Front(Action::Check(c))))
        })
        .collect();
    checks.sort_by(|a, b| b.0.total_cmp(&a.0));
    let cures = model.cures(id).into_iter().map(|c| {
        let title = words::at(model, &model[c].title, model[c].site);
        Item::new(title, format!("puts it right  {:>7}", minutes(model[c].minutes)), Does::Front(Action::Correct(c)))
    });
    let certain = Item::new("It was found for certain, by eye", "enters it as proven", Does::Confirm(id));
    let may_be_certain = !model.is_unlisted(id) && !job.state().confirmed.contains(&id);
    checks.into_iter().map(|(_, item)| item).take(5).chain(cures).chain(may_be_certain.then_some(certain)).collect()
}

/// The complaints that can still come to this job.
pub(super) fn complaints(job: &Job) -> Vec<Item> {
    let row = |(id, title): (ComplaintId, String)| Item::new(clean(&title), "complaint", Does::Complained(id));
    guide::other_complaints(job).into_iter().map(row).collect()
}

fn not_to_be_had(app: &App) -> Vec<Item> {
    let Some((front, job)) = app.front().zip(app.job()) else { return Vec::new() };
    match front.action {
        Action::Check(id) => {
            let tools = job.model()[id].equipment();
            let row = |tool: String| Item::new(clean(&tool), "for no check", Does::Lacking(tool));
            tools.into_iter().map(row).collect()
        }
        Action::Provoke(id) => {
            vec![Item::new(clean(&job.model()[id].title), "not in this job", Does::NotProvoked(id))]
        }
        _ => Vec::new(),
    }
}

fn endings(app: &App) -> Vec<Item> {
    let Some(job) = app.job() else { return Vec::new() };
    let first = app.advice_now().and_then(|a| a.first()).map(|s| s.action);
    let suggested = match first {
        Some(Action::CloseCured) => Some(Ending::CuredProven),
        Some(Action::CloseHandedOver) => Some(Ending::HandedOver),
        Some(Action::CloseNotFound) => Some(job.state().borne_out(job.model(), Ending::NotFound)),
        _ => None,
    };
    let title = |how: Ending| {
        let what = if how == Ending::HandedOver { "not ignition, " } else { "" };
        let mut words = format!("{what}{}", how.words());
        if let Some(first) = words.get_mut(..1) {
            first.make_ascii_uppercase();
        }
        words
    };
    let (can, cannot) = guide::ends(job);
    let offered = can.into_iter().map(|end| {
        let word = match (suggested == Some(end.how), end.wants_reason) {
            (true, _) => "suggested",
            (false, true) => "with a reason",
            (false, false) => "",
        };
        Item::new(title(end.how), word, Does::Ending(end.how))
    });
    let held = cannot.into_iter().map(|end| {
        let word =
            if end.minutes > 0.0 { format!("not yet, {}", words::minutes(end.minutes)) } else { "not yet".into() };
        Item { faint: true, ..Item::new(title(end.how), word, Does::Ending(end.how)) }
    });
    offered.chain(held).collect()
}

fn entries(job: &Job) -> Vec<Item> {
    let model = job.model();
    let standing = job.standing_entries();
    let row = |logged: &crate::job::Logged| {
        let stands = standing.iter().find(|(n, _)| *n == logged.number);
        let check = match stands.map(|(_, entry)| entry) {
            Some(Entry::Answer(a)) => model.find_check(&a.check, a.at),
            _ => None,
        };
        let is_change = matches!(logged.entry, Entry::Undo { .. } | Entry::Amend { .. });
        let changed = stands.is_some_and(|(_, entry)| *entry != logged.entry);
        let word = match (stands, is_change) {
            (None, false) => "taken back",
            (Some(_), false) if changed => "put right later",
            _ => "",
        };
        let time = logged.when.get(11..16).unwrap_or("");
        Item {
            faint: stands.is_none() && !is_change,
            ..Item::new(
                format!("{:>3} {time} {}", logged.number, words::entry(model, &logged.entry)),
                word,
                Does::Entry(logged.number, check),
            )
        }
    };
    job.log().iter().map(row).collect()
}
