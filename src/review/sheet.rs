//! From a record and its job to rows.

use std::collections::BTreeMap;

use chrono::DateTime;

use crate::analysis::{Analysis, By, Moment, Ranked, Replaced, Standing, findings, replaced, tells_of};
use crate::job::{Entry, Given, Job, Opening, RecentWork, tell};
use crate::measure::Reading;
use crate::model::{Cause, CauseId, Fitted, Model, Site, age_of};
use crate::record::JobRecord;
use crate::shop::{Past, Purpose};
use crate::tables::{CauseRow, EntryRow, JobRow, PartRow, ReadingRow, ReplacedRow, Sheet};

/// The rows of a record. Where its job could not be read, there are the header's words, the entries' kinds, and why.
#[must_use]
pub fn sheet(record: &JobRecord, past: Result<Past, String>) -> Sheet {
    let mut row = of_header(record);
    match past {
        Ok(past) => worked_sheet(row, &Analysis::of(past.job)),
        Err(why) => {
            "unread".clone_into(&mut row.state);
            if row.trouble.is_empty() {
                row.trouble = why;
            }
            let entries = record.entries.iter().map(|line| bare(&row.job, line)).collect();
            Sheet { job: row, entries, ..Sheet::default() }
        }
    }
}

/// The rows of a job of which this much is known from its record.
#[must_use]
pub fn worked_sheet(mut row: JobRow, job: &Analysis) -> Sheet {
    fill(&mut row, job);
    Sheet {
        entries: entries(&row.job, job),
        readings: readings(&row.job, job),
        causes: causes(&row.job, job),
        parts: parts(&row.job, job),
        replaced: replaced_parts(&row.job, job),
        job: row,
    }
}

fn of_header(record: &JobRecord) -> JobRow {
    let field = |name: &str| record.extra.get(name).and_then(|v| v.as_str()).unwrap_or_default().to_owned();
    let in_branches: usize = record.branches.iter().map(|b| b.entries.len()).sum();
    JobRow {
        job: record.id.to_string(),
        purpose: Purpose::of(&record.devices, &record.extra).name().to_owned(),
        opened: record.started.clone(),
        aircraft: field("aircraft"),
        layout: field("layout"),
        mechanic: field("mechanic"),
        complaint: field("complaint"),
        complaint_at: field("at"),
        entries: Some((record.entries.len() + in_branches) as u64),
        head: record.head.clone(),
        trouble: record.trouble().unwrap_or_default(),
        ..JobRow::default()
    }
}

fn fill(row: &mut JobRow, job: &Analysis) {
    let (model, state) = (job.model(), job.state());
    let complaint = &model[state.complaint];
    row.complaint.clone_from(&complaint.title);
    row.complaint_at = complaint.site.to_string();
    if let Some(opening) = job.opening() {
        row.layout.clone_from(&opening.layout);
        row.mechanic.clone_from(&opening.mechanic);
        row.words.clone_from(&opening.words);
        row.trees.clone_from(&opening.trees);
        row.recent_work = recent_work(opening);
        row.engine_hours = opening.aircraft.as_ref().map(|a| a.engine_hours);
        if let Some(aircraft) = &opening.aircraft {
            row.aircraft.clone_from(&aircraft.registration);
        }
    }
    if let Some(first) = job.log().first() {
        row.opened.clone_from(&first.when);
    }
    state.ending(model).map_or("open", crate::job::Ending::name).clone_into(&mut row.state);
    if state.ended.is_some() {
        row.closed = closed_at(job).unwrap_or_default();
    }
    row.clock_minutes = minutes_between(&row.opened, &row.closed);
    row.window_hours = Some(state.window_hours);
    model.layout.left.kind.name().clone_into(&mut row.system_left);
    model.layout.right.kind.name().clone_into(&mut row.system_right);
    row.minutes = Some(state.minutes);
    row.minutes_access = Some(state.spent.access);
    row.minutes_checking = Some(state.spent.checking);
    row.minutes_correcting = Some(state.spent.correcting);
    row.minutes_provoking = Some(state.spent.provoking);
    row.minutes_running = Some(state.spent.running);
    row.minutes_waiting = Some(state.spent.waiting);
    row.planned_minutes = job.course().first().filter(|m| m.minutes == 0.0).map(|m| m.expected);
    row.checks = Some(state.given.len() as u64);
    row.corrections = Some(state.done.len() as u64);
    row.proof_runs = Some(state.spells.iter().filter(|s| s.origin == crate::job::Origin::Proof).count() as u64);
    row.proof_passed = Some(state.proof_passed());
}

/// What was worked on before, by the names of records.
fn recent_work(opening: &Opening) -> String {
    match &opening.recent_work {
        Some(RecentWork::Said(word)) => word.name().to_owned(),
        done => {
            let done = done.iter().flat_map(RecentWork::done).map(|done| format!("{} at {}", done.work, done.at));
            let parts = opening.disturbed.iter().map(|part| format!("{} at {}", part.what, part.at));
            done.chain(parts).collect::<Vec<_>>().join("; ")
        }
    }
}

fn closed_at(job: &Job) -> Option<String> {
    let standing = job.standing_entries();
    let (number, _) = standing.iter().rfind(|(_, entry)| matches!(entry, Entry::Closed { .. }))?;
    Some(time(job, *number))
}

fn minutes_between(from: &str, to: &str) -> Option<f64> {
    let at = |wall: &str| DateTime::parse_from_rfc3339(wall).ok().map(|t| t.timestamp());
    let seconds = at(to)? - at(from)?;
    // A clock that was put back tells nothing.
    (seconds >= 0).then_some(seconds as f64 / 60.0)
}

fn time(job: &Job, number: u64) -> String {
    job.log().iter().find(|l| l.number == number).map(|l| l.when.clone()).unwrap_or_default()
}

fn bare(id: &str, line: &crate::record::Entry) -> EntryRow {
    EntryRow {
        job: id.to_owned(),
        entry: Some(line.seq),
        time: line.stamp.wall.clone(),
        kind: line.kind.clone(),
        ..EntryRow::default()
    }
}

fn entries(id: &str, job: &Job) -> Vec<EntryRow> {
    let standing = job.standing_entries();
    let row = |logged: &crate::job::Logged| {
        let stands = standing.iter().find(|(number, _)| *number == logged.number).map(|(_, entry)| entry);
        // Undos and amendments are no entries of their own kind that could stand; what they did shows in the others.
        let own_word = matches!(logged.entry, Entry::Undo { .. } | Entry::Amend { .. });
        let entry = stands.unwrap_or(&logged.entry);
        let (what, site) = named(entry);
        EntryRow {
            job: id.to_owned(),
            entry: Some(logged.number),
            time: logged.when.clone(),
            kind: entry.kind().to_owned(),
            stands: Some(stands.is_some() || own_word),
            what,
            site: site.map(|s| s.to_string()).unwrap_or_default(),
            said: tell(job.model(), entry),
        }
    };
    job.log().iter().map(row).collect()
}

/// The tree's name of what an entry is about, and its site.
fn named(entry: &Entry) -> (String, Option<Site>) {
    match entry {
        Entry::Opened(opening) => (opening.complaint.clone(), Some(opening.at)),
        Entry::Complained { complaint, at, .. } => (complaint.clone(), Some(*at)),
        Entry::Provoked { provocation } | Entry::NotProvoked { provocation, .. } => (provocation.clone(), None),
        Entry::Answer(answer) => (answer.check.clone(), Some(answer.at)),
        Entry::NotPossible { check, at, .. } | Entry::Skipped { check, at } => (check.clone(), Some(*at)),
        Entry::Confirmed { cause, at } | Entry::Suspected { cause, at, .. } => (cause.clone(), Some(*at)),
        Entry::Corrected { correction, at } => (correction.clone(), Some(*at)),
        Entry::Acknowledged { hazard } => (hazard.clone(), None),
        Entry::Access { access, at, .. } => (access.clone(), Some(*at)),
        Entry::Conditions { .. }
        | Entry::Lacking { .. }
        | Entry::Showing { .. }
        | Entry::ProofRun { .. }
        | Entry::Hinted
        | Entry::Note { .. }
        | Entry::Undo { .. }
        | Entry::Amend { .. }
        | Entry::Closed { .. }
        | Entry::Remark { .. }
        | Entry::Reviewed { .. } => (String::new(), None),
    }
}

fn readings(id: &str, job: &Analysis) -> Vec<ReadingRow> {
    let (model, state) = (job.model(), job.state());
    let row = |given: &Given| {
        let check = &model[given.check];
        let spell = &state.spells[given.spell];
        let seen = given.seen();
        let change = change(job.course(), given.number);
        let (value, unit) = match given.reading {
            Some(Reading::Value { quantity, .. }) => (Some(quantity.value), quantity.dimension.base_unit().to_owned()),
            Some(Reading::Open) | None => (None, String::new()),
        };
        ReadingRow {
            job: id.to_owned(),
            entry: Some(given.number),
            time: time(job, given.number),
            check_name: check.name.clone(),
            site: check.site.to_string(),
            title: check.title.clone(),
            minutes: Some(check.minutes),
            outcome: seen.map(|seen| check.outcome_name(seen).to_owned()).unwrap_or_default(),
            normal: seen.map(|seen| seen == crate::model::Seen::Normal),
            typed: given.typed.clone(),
            value,
            unit,
            celsius: given.celsius,
            conditions: spell.conditions.named(&model.conditions),
            showing: spell.showing,
            moved: change.map(|c| c.0),
            leader_changed: change.map(|c| c.1),
        }
    };
    state.given.iter().map(row).collect()
}

/// What an entry did: the largest change to any one cause, and whether another leads. What was there at any time is compared, which a
/// correction in between leaves as it is.
fn change(course: &[Moment], number: u64) -> Option<(f64, bool)> {
    let at = course.iter().position(|m| m.number == number)?;
    let (before, after) = (&course[at.checked_sub(1)?], &course[at]);
    let pairs = before.causes.iter().zip(&after.causes);
    let moved = pairs.map(|(b, a)| (a.ever - b.ever).abs()).fold(0.0, f64::max);
    Some((moved, leader(before) != leader(after)))
}

fn leader(moment: &Moment) -> Option<usize> {
    (0..moment.causes.len()).max_by(|a, b| moment.causes[*a].ever.total_cmp(&moment.causes[*b].ever))
}

/// What causes share one fault by: that one correction cured them, or that one finding names them and leaves it open which it is.
#[derive(PartialEq, Clone, Copy)]
enum Together {
    Cured(u64),
    Found(u64),
    Alone,
}

/// The causes that were proven or put right, and those that somebody saw or measured where none of what a finding names was proven: then
/// with the number of that finding.
pub(super) fn told_causes(job: &Ranked) -> Vec<(CauseId, Option<u64>)> {
    let found = findings(job);
    let is_settled = |id: &CauseId| matches!(job.standing(*id), Standing::Proven | Standing::PutRight);
    let open: Vec<_> = found.iter().filter(|f| !f.causes.iter().any(is_settled)).collect();
    let told = |id: CauseId| {
        let finding = open.iter().find(|f| f.causes.contains(&id)).filter(|_| !is_settled(&id)).map(|f| f.number);
        (is_settled(&id) || finding.is_some()).then_some((id, finding))
    };
    (0..job.model().causes.len()).map(CauseId).filter_map(told).collect()
}

/// The rows of these causes.
fn causes(id: &str, job: &Ranked) -> Vec<CauseRow> {
    let (model, state) = (job.model(), job.state());
    let found = findings(job);
    // The last correction of it is the one that held.
    let done = |id: &CauseId| state.done.iter().rfind(|d| model[d.correction].cures.contains(id));
    let together = |id: &CauseId, finding: Option<u64>| match (done(id), finding) {
        (Some(done), _) => Together::Cured(done.number),
        (None, Some(number)) => Together::Found(number),
        (None, None) => Together::Alone,
    };
    let told: Vec<(CauseId, bool, Together)> =
        told_causes(job).into_iter().map(|(id, finding)| (id, finding.is_none(), together(&id, finding))).collect();
    let row = |(at, settled, with): &(CauseId, bool, Together)| {
        let cause = &model[*at];
        let ever = |c: &CauseId| job.belief(*c).ever;
        let among: Vec<CauseId> = told.iter().filter(|(_, _, other)| other == with).map(|(c, _, _)| *c).collect();
        let share = match with {
            Together::Alone => 1.0,
            _ => share(ever(at), among.iter().map(ever).sum(), among.len()),
        };
        let age = age_of(&state.ages, &model.layout, &cause.part, cause.site);
        let by = found.iter().filter(|f| f.causes.contains(at)).map(|f| f.by).max();
        CauseRow {
            job: id.to_owned(),
            cause: cause.name.clone(),
            site: cause.site.to_string(),
            title: cause.title.clone(),
            part: cause.part.clone(),
            system: system(model, cause.site),
            standing: if *settled { job.standing(*at).words() } else { "found" }.to_owned(),
            by_eye: Some(state.confirmed.contains(at)),
            share: Some(share),
            probability: Some(ever(at)),
            corrected_by: done(at).map(|d| model[d.correction].name.clone()).unwrap_or_default(),
            corrected_entry: done(at).map(|d| d.number),
            age_hours: age.and_then(|a| a.hours),
            age_years: age.and_then(|a| a.years),
            life_spent: age.and_then(|a| life_spent(cause, a)),
            found_by: by.map_or("", By::words).to_owned(),
        }
    };
    told.iter().map(row).collect()
}

/// A part of a whole, or an even part of so many where the whole is nothing.
fn share(part: f64, whole: f64, of: usize) -> f64 {
    if whole > 0.0 { part / whole } else { 1.0 / of.max(1) as f64 }
}

/// The parts of which a check told by itself, with a clear answer.
fn parts(id: &str, job: &Ranked) -> Vec<PartRow> {
    let (model, state) = (job.model(), job.state());
    let mut told: BTreeMap<(&str, Site), PartRow> = BTreeMap::new();
    let clear = state.given.iter().filter(|given| given.seen().is_some());
    for given in clear {
        for (part, site) in tells_of(model, &model[given.check]) {
            let row = told.entry((part, site)).or_insert_with(|| PartRow {
                job: id.to_owned(),
                part: part.to_owned(),
                site: site.to_string(),
                system: system(model, site),
                measured: Some(false),
                looked_at: Some(false),
                found: String::new(),
            });
            let what = if given.reading.is_some() { &mut row.measured } else { &mut row.looked_at };
            *what = Some(true);
        }
    }
    let found = findings(job);
    for ((part, site), row) in &mut told {
        let of_it = |cause: &CauseId| model[*cause].part == *part && model[*cause].site == *site;
        let by = found.iter().filter(|f| f.causes.iter().any(of_it)).map(|f| f.by).max();
        by.map_or("", By::words).clone_into(&mut row.found);
    }
    told.into_values().collect()
}

/// The parts that were replaced, overhauled or exchanged.
fn replaced_parts(id: &str, job: &Ranked) -> Vec<ReplacedRow> {
    let model = job.model();
    let row = |Replaced { done, was }: Replaced| {
        let correction = &model[done.correction];
        let parts = || correction.cures.iter().map(|id| model[*id].part.as_str());
        let most = |part: &&str| 2 * parts().filter(|other| other == part).count() > correction.cures.len();
        let prices = model.prices.as_ref();
        let money = prices.and_then(|prices| prices.price_of(correction).parts);
        ReplacedRow {
            job: id.to_owned(),
            entry: Some(done.number),
            time: time(job, done.number),
            correction: correction.name.clone(),
            site: correction.site.to_string(),
            title: correction.title.clone(),
            kind: correction.kind.words().to_owned(),
            part: parts().find(most).unwrap_or_default().to_owned(),
            system: system(model, correction.site),
            was: was.name().to_owned(),
            was_entry: was.entry(),
            minutes: Some(correction.minutes),
            parts_money: money,
            currency: prices.filter(|_| money.is_some()).map(|prices| prices.currency.clone()).unwrap_or_default(),
        }
    };
    replaced(job).into_iter().map(row).collect()
}

fn system(model: &Model, site: Site) -> String {
    site.side().map_or("engine", |side| model.layout.side(side).kind.name()).to_owned()
}

fn life_spent(cause: &Cause, age: &Fitted) -> Option<f64> {
    let life = cause.life.as_ref()?;
    let share = |t: Option<f64>, whole: Option<f64>| Some(t? / whole?);
    let (hours, years) = (share(age.hours, life.hours), share(age.years, life.years));
    hours.into_iter().chain(years).reduce(f64::max)
}
