//! The one page of a job: what was reported, found, done, proven and left open, what is owed and due, and the draft entry, as rows of
//! text. Text and HTML print the same rows; what has no room is counted, and stands in the whole report.

use super::account::Account;
use super::course::CorrectionLine;
use super::entry;
use super::found::{FoundLine, lower};
use super::when::moment;
use crate::analysis::Standing;
use crate::job::{Job, State};
use crate::text::{rounded, wrap};

/// Columns of the text of a row of the page.
pub const COLUMNS: usize = 80;
/// The label of a warning.
pub const WARNS: &str = "WARNING";
/// Lines that all rows may take together.
const MOST_LINES: usize = 48;

/// A row of the page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    /// What it tells of.
    pub label: &'static str,
    /// A paragraph each.
    pub items: Vec<String>,
    /// Lines that it keeps whatever the room.
    least: usize,
    /// Whether it is a warning.
    pub warns: bool,
    /// Whether it belongs to the draft entry.
    pub entry: bool,
}

impl Row {
    fn new(label: &'static str, least: usize, items: Vec<String>) -> Self {
        Self { label, items, least, warns: false, entry: false }
    }

    fn lines(&self) -> usize {
        self.items.iter().map(|item| wrap(item, COLUMNS).len().max(1)).sum()
    }

    /// One line or one item fewer, counted at its end.
    fn shorten(&mut self) {
        let more =
            self.items.last().and_then(|last| last.strip_prefix("and ")?.split_once(" more")?.0.parse::<usize>().ok());
        if more.is_some() {
            self.items.pop();
        }
        if self.items.len() > 1 {
            self.items.pop();
            self.items.push(format!("and {} more in the whole report", more.unwrap_or(0) + 1));
        } else if let Some(only) = self.items.pop() {
            let mut lines = wrap(&only, COLUMNS);
            lines.truncate(lines.len().saturating_sub(2));
            let mut text = lines.join(" ");
            text.push_str(" ... (cut; the whole is in the whole report)");
            self.items.push(text.trim().to_owned());
            if let Some(more) = more {
                self.items.push(format!("and {more} more in the whole report"));
            }
        }
    }
}

/// The rows of a job's page, cut to fit.
pub(super) fn rows(account: &Account, job: &Job) -> Vec<Row> {
    let state = job.state();
    let mut rows = vec![
        Row::new("Job", 1, vec![format!("{}, printed {}", account.job, moment(&account.printed))]),
        Row::new("Record head", 1, vec![account.head.clone()]),
        Row::new("Aircraft", 1, vec![account.aircraft.clone().unwrap_or_default()]),
        Row::new("Engine", 1, vec![account.engine.clone()]),
        Row::new("Mechanic", 1, vec![mechanic(account)]),
        Row::new("Complaint", 1, vec![format!("{}{}", account.complaint, account.when_reported())]),
        Row::new("Pilot's words", 1, vec![account.words.replace('\n', " ")]),
        Row::new("Work before", 1, vec![account.recent_work.clone().unwrap_or_default()]),
        Row::new("Ended", 2, vec![ended(account)]),
    ];
    rows.extend(
        account.warnings.iter().map(|warning| Row { warns: true, ..Row::new(WARNS, 9, vec![warning.clone()]) }),
    );
    rows.push(Row::new("Found", 4, found(account)));
    rows.push(Row::new("Done", 4, done(account)));
    rows.push(Row::new("Proof", 2, proof(account)));
    rows.push(Row::new("Left open", 3, left_open(account, state)));
    rows.push(Row::new("Does not fit", 1, account.misfit_words().take(1).map(str::to_owned).collect()));
    rows.push(Row::new("Shown good", 1, shown_good(account)));
    rows.push(Row::new("Still owed", 3, account.owed.clone()));
    let next = account.next_due.iter().map(|next| format!("next: {next}"));
    rows.push(Row::new("Parts due", 1, account.upkeep.iter().cloned().chain(next).collect()));
    rows.push(Row::new("Record", 4, account.record_notes.clone()));
    rows.push(Row { entry: true, ..Row::new("Draft entry", 9, vec![entry::WHOSE_WORD.to_owned()]) });
    for (at, (label, words)) in account.entry.items().into_iter().enumerate() {
        rows.push(Row { entry: true, ..Row::new(label, if at == 0 { 7 } else { 2 }, vec![words]) });
    }
    rows.iter_mut().for_each(|row| row.items.retain(|item| !item.trim().is_empty()));
    rows.retain(|row| !row.items.is_empty());
    fit(&mut rows);
    rows
}

/// Takes from the rows that have most to spare until all fit.
fn fit(rows: &mut [Row]) {
    while rows.iter().map(Row::lines).sum::<usize>() > MOST_LINES {
        let spare = |row: &Row| row.lines().saturating_sub(row.least);
        match rows.iter_mut().filter(|row| spare(row) > 0).max_by_key(|row| spare(row)) {
            Some(row) => row.shorten(),
            None => return,
        }
    }
}

fn mechanic(account: &Account) -> String {
    let work = format!("{} of work by the tree's figures, access included", rounded(account.minutes, "minute"));
    let opened = moment(&account.opened);
    let of = [account.mechanic.as_str(), opened.as_str()].into_iter().filter(|words| !words.is_empty());
    of.map(str::to_owned).chain([work]).collect::<Vec<_>>().join("; ")
}

/// How the job ended, by what its record bears out.
fn ended(account: &Account) -> String {
    let Some(closed) = &account.closed else { return "not ended yet".to_owned() };
    let note =
        if closed.note.is_empty() { String::new() } else { format!(" (\"{}\")", closed.note.replace('\n', " ")) };
    format!("{}{note}, {}", closed.how, moment(&closed.when)).trim_end_matches([',', ' ']).to_owned()
}

/// What was found, the same look with the same outcome once.
pub(super) fn found(account: &Account) -> Vec<String> {
    let found = &account.known.found;
    let mut lines: Vec<(&FoundLine, Vec<u64>)> = Vec::new();
    for line in found {
        let same = |other: &FoundLine| {
            (&other.what, &other.look, &other.outcome, &other.reading)
                == (&line.what, &line.look, &line.outcome, &line.reading)
        };
        match lines.iter_mut().find(|(other, _)| same(other)) {
            Some((_, entries)) => entries.push(line.entry),
            None => lines.push((line, vec![line.entry])),
        }
    }
    if lines.is_empty() {
        return vec![account.nothing_found().to_owned()];
    }
    lines.into_iter().map(|(line, entries)| line.words(&entry_words(&entries))).collect()
}

fn entry_words(entries: &[u64]) -> String {
    let numbers: Vec<String> = entries.iter().map(u64::to_string).collect();
    match numbers.split_last() {
        Some((last, rest)) if !rest.is_empty() => format!("entries {} and {last}", rest.join(", ")),
        _ => format!("entry {}", numbers.join("")),
    }
}

fn done(account: &Account) -> Vec<String> {
    let line = |line: &CorrectionLine| {
        if line.hands_over() {
            return format!("Not done here: {} (entry {})", lower(&line.title), line.number);
        }
        let parts = if line.parts.is_empty() { String::new() } else { format!("; parts: {}", line.parts.join(", ")) };
        let unseen = account.known.replaced_unseen.iter().any(|other| other.number == line.number);
        let unseen = if unseen { "; the cause was not seen or measured" } else { "" };
        format!("{} ({}; entry {}{parts}{unseen})", line.title, line.kind, line.number)
    };
    match account.corrections.as_slice() {
        [] => vec!["Nothing was corrected.".to_owned()],
        lines => lines.iter().map(line).collect(),
    }
}

fn proof(account: &Account) -> Vec<String> {
    let earlier = account.proof_runs.len().saturating_sub(1);
    match account.last_proofs.as_slice() {
        [] => vec!["No proof run was made.".to_owned()],
        [last] if earlier > 0 => vec![format!("{last} ({earlier} earlier)")],
        each => each.to_vec(),
    }
}

/// What is left open: what nobody looked at where it can hurt somebody, and the likeliest causes where no cure is proven.
fn left_open(account: &Account, state: &State) -> Vec<String> {
    let certain = account.proven.iter().filter(|cause| cause.standing == Standing::Proven.words());
    let unseen =
        |title: &&str| !account.known.found.iter().flat_map(|line| &line.causes).any(|cause| cause.title == *title);
    let inferred = certain.chain(&account.left.causes).map(|cause| cause.of.title.as_str()).filter(unseen);
    let likely: Vec<&str> = inferred.take(4).collect();
    let cured = state.proof_passed() && account.corrections.iter().any(|line| !line.hands_over());
    let likely = (!cured && !likely.is_empty())
        .then(|| format!("Likeliest by all entries together (inferred, not seen): {}.", likely.join("; ")));
    let open: Vec<String> = likely.into_iter().chain(account.known.harm_words()).collect();
    if open.is_empty() { vec!["Nothing that is known of.".to_owned()] } else { open }
}

/// The looks that were normal and would have shown a cause, each check once with its sites.
fn shown_good(account: &Account) -> Vec<String> {
    let mut looks: Vec<(&str, Vec<&str>)> = Vec::new();
    for line in &account.known.shown_good {
        match looks.iter_mut().find(|(look, _)| *look == line.look) {
            Some((_, sites)) if sites.contains(&line.at.as_str()) => {}
            Some((_, sites)) => sites.push(&line.at),
            None => looks.push((&line.look, vec![&line.at])),
        }
    }
    looks.iter_mut().for_each(|(_, sites)| sites.sort_unstable());
    let one = |(look, sites): (&str, Vec<&str>)| match sites.as_slice() {
        ["engine"] => look.trim_end_matches(['.', '?']).to_owned(),
        sites => format!("{} ({})", look.trim_end_matches(['.', '?']), sites.join(", ")),
    };
    let looks: Vec<String> = looks.into_iter().map(one).collect();
    if looks.is_empty() { Vec::new() } else { vec![format!("Looked at and normal: {}.", looks.join("; "))] }
}
