//! From the lines of a record to a row. Reads no more of an entry than the row shows, so that ten thousand are listed at once.
//!
//! Must not know files or the index.

use chrono::DateTime;
use serde_json::Value;

use super::{ReviewMark, Row, Soundness, State};
use crate::job::Ending;
use crate::record::{self, Class, JobRecord};
use crate::shop::Purpose;

/// The most characters of words that are kept for searching.
const MOST_WORDS: usize = 4_000;

/// An entry that stands: its number, kind, body and wall time.
struct Standing<'a> {
    number: u64,
    kind: &'a str,
    body: &'a Value,
    when: &'a str,
}

/// The row of a record; none where it was begun and nothing was saved in it.
pub(super) fn row(record: &JobRecord) -> Option<Row> {
    let class = record.class();
    let trouble = record.trouble();
    let id = record.id.to_string();
    if record.holds_nothing() {
        let why = trouble.unwrap_or_else(|| "The file holds no record.".to_owned());
        let soundness = sound(class, record);
        return Some(Row { soundness, ..Row::unread(id, record.files.clone(), why) }.made_safe());
    }
    let in_branches: usize = record.branches.iter().map(|b| b.entries.len()).sum();
    let entries = record.entries.len() + in_branches;
    if entries == 0 && class != Class::Damaged {
        return None;
    }
    let standing = standing(&record.entries);
    let field = |name: &str| record.extra.get(name).and_then(Value::as_str).unwrap_or_default().to_owned();
    let last_line = record.branches.iter().find_map(|b| b.entries.last()).or(record.entries.last());
    let last = last_line.map_or(record.started.as_str(), |e| e.stamp.wall.as_str());
    let closed = standing.iter().rfind(|e| e.kind == "closed");
    let opened = record.entries.first().map_or(record.started.as_str(), |e| e.stamp.wall.as_str());
    let found = Found::of(&standing);
    let row = Row {
        id,
        files: record.files.clone(),
        aircraft: field("aircraft"),
        layout: field("layout"),
        complaint: field("complaint"),
        at: field("at"),
        mechanic: field("mechanic"),
        purpose: Purpose::of(&record.devices, &record.extra),
        state: state(record, closed),
        soundness: sound(class, record),
        clock_minutes: minutes_between(opened, closed.map_or(last, |e| e.when)),
        opened: record.started.clone(),
        last: last.to_owned(),
        entries,
        seen: found.seen,
        put_right: found.held,
        old_end: closed.is_some_and(|entry| entry.body.get("minutes").is_none()),
        worked: None,
        reviewed: review_mark(&record.entries, &standing),
        remarks: standing.iter().filter(|e| e.kind == "remark").count(),
        head: record.head.clone(),
        ends: record.branches.iter().map(|b| b.head.clone()).collect(),
        trouble,
        notes: record.notes.clone(),
        words: words(record),
    };
    Some(row.made_safe())
}

fn sound(class: Class, record: &JobRecord) -> Soundness {
    match class {
        Class::Damaged => Soundness::Damaged,
        _ if record.branches.len() > 1 => Soundness::Parted,
        Class::Torn => Soundness::Torn,
        Class::Ok => Soundness::Whole,
    }
}

/// The entries that stand: those taken back left out, those put right in their new form.
fn standing(entries: &[record::Entry]) -> Vec<Standing<'_>> {
    let mut standing: Vec<Standing<'_>> = Vec::new();
    for line in entries {
        let of = || line.body.get("of").and_then(Value::as_u64);
        match line.kind.as_str() {
            "undo" => standing.retain(|e| Some(e.number) != of()),
            "amend" => {
                let by = line.body.get("by");
                let parts = by.and_then(|by| Some((by.get("kind")?.as_str()?, by.get("body")?)));
                let entry = standing.iter_mut().find(|e| Some(e.number) == of());
                if let (Some(entry), Some((kind, body))) = (entry, parts) {
                    (entry.kind, entry.body) = (kind, body);
                }
            }
            kind => {
                standing.push(Standing { number: line.seq, kind, body: &line.body, when: &line.stamp.wall });
            }
        }
    }
    standing
}

fn state(record: &JobRecord, closed: Option<&Standing<'_>>) -> State {
    if record.entries.is_empty() {
        return State::Unread;
    }
    let how = |entry: &Standing<'_>| serde_json::from_value::<Ending>(entry.body.get("how")?.clone()).ok();
    match closed {
        None => State::Open,
        // A closing of a kind that only a newer version knows.
        Some(entry) => how(entry).map_or(State::Unread, State::Closed),
    }
}

/// What the entries say was found.
#[derive(Default)]
struct Found {
    seen: Vec<String>,
    /// Corrections after which a proof run passed, as long as it has not shown since.
    held: Vec<String>,
}

impl Found {
    fn of(standing: &[Standing<'_>]) -> Self {
        let mut found = Self::default();
        let mut untried: Vec<String> = Vec::new();
        for entry in standing {
            let showing = || entry.body.get("showing").and_then(Value::as_bool);
            match entry.kind {
                "confirmed" => once(&mut found.seen, named(entry.body, "cause")),
                "corrected" => untried.extend(named(entry.body, "correction")),
                "proof-run" | "showing" if showing() == Some(true) => {
                    untried.clear();
                    found.held.clear();
                }
                "proof-run" if showing() == Some(false) => {
                    untried.drain(..).for_each(|correction| once(&mut found.held, Some(correction)));
                }
                _ => {}
            }
        }
        found
    }
}

/// Adds what is not there yet: what was put right twice is named once.
fn once(names: &mut Vec<String>, name: Option<String>) {
    names.extend(name.filter(|name| !names.contains(name)));
}

/// The tree's name of something and its site: `lead-open, left 3`.
fn named(body: &Value, field: &str) -> Option<String> {
    let name = body.get(field)?.as_str()?;
    Some(match body.get("at").and_then(Value::as_str) {
        Some(at) => format!("{name}, {at}"),
        None => name.to_owned(),
    })
}

fn review_mark(lines: &[record::Entry], standing: &[Standing<'_>]) -> Option<ReviewMark> {
    let mark = standing.iter().rfind(|e| e.kind == "reviewed")?;
    let own = |line: &record::Entry| !matches!(line.kind.as_str(), "reviewed" | "remark");
    // Taking a remark back changes nothing of the job.
    let lead = |line: &record::Entry| {
        let of = line.body.get("of").and_then(Value::as_u64);
        line.kind == "undo" && lines.iter().any(|l| Some(l.seq) == of && !own(l))
    };
    Some(ReviewMark {
        by: mark.body.get("by").and_then(Value::as_str).unwrap_or_default().to_owned(),
        when: mark.when.to_owned(),
        before_changes: lines.iter().any(|line| line.seq > mark.number && own(line) && !lead(line)),
    })
}

/// Everything people wrote, for searching: entries that were taken back too, since what somebody remembers may be in them.
fn words(record: &JobRecord) -> String {
    let mut words = String::new();
    let branches = record.branches.iter().flat_map(|b| &b.entries);
    for body in record.entries.iter().chain(branches).map(|line| &line.body) {
        for field in ["words", "text", "note", "why", "by"] {
            let Some(text) = body.get(field).and_then(Value::as_str).filter(|text| !text.is_empty()) else { continue };
            if !words.is_empty() {
                words.push(' ');
            }
            words.push_str(text);
        }
        if words.len() > MOST_WORDS {
            break;
        }
    }
    words.chars().take(MOST_WORDS).collect()
}

/// None where the clock was put back in between, which tells nothing.
fn minutes_between(from: &str, to: &str) -> Option<f64> {
    let at = |wall: &str| DateTime::parse_from_rfc3339(wall).ok().map(|t| t.timestamp());
    let seconds = at(to)? - at(from)?;
    (seconds >= 0).then_some(seconds as f64 / 60.0)
}
