//! A draft of the maintenance-record entry, for the person who writes and signs it: the items that 14 CFR 43.9(a) asks for.

use std::fmt::Write as _;

use serde::Serialize;

use super::CorrectionLine;
use super::account::Account;
use super::found::{FoundLine, lower};
use super::when::day;

/// Who decides, above the items.
pub(super) const WHOSE_WORD: &str = "The items that 14 CFR 43.9(a) asks for, not signed; where other rules hold, they say what an entry holds. The authorised person checks it, writes the entry in words of their own and decides on the return to service; a signature there approves only the work that it describes.";

/// A line to be written by hand.
pub(super) const BLANK: &str = "______________________________";

/// The draft.
#[derive(Debug, Clone, Default, Serialize)]
pub struct DraftEntry {
    /// Item 1: what was reported, found and done. Nothing that was not entered is claimed.
    pub description: String,
    /// Item 2: when the work was completed, as far as the job knows.
    pub completed: String,
    /// Item 3: who did the work, if somebody else signs.
    pub performed_by: String,
}

impl DraftEntry {
    /// The items in their order, each with what is known of it; what is left to write is blank.
    pub(super) fn items(&self) -> [(&'static str, String); 6] {
        let or_blank = |words: &str| if words.is_empty() { BLANK.to_owned() } else { format!("{words} {BLANK}") };
        [
            ("1 Work done", self.description.clone()),
            ("  By data of", format!("{BLANK} (manufacturer's document and revision)")),
            ("2 Completed", or_blank(&self.completed)),
            ("3 Done by", format!("{} (if not the person who signs)", or_blank(&self.performed_by))),
            ("4 Signature", BLANK.to_owned()),
            ("  Certificate", format!("{BLANK} (number and kind)")),
        ]
    }
}

/// The draft of a job.
pub(super) fn draft(account: &Account) -> DraftEntry {
    let closed = account.closed.as_ref().map(|closed| day(&closed.when));
    DraftEntry {
        description: description(account),
        completed: closed
            .map_or_else(|| "(job not closed yet)".to_owned(), |day| format!("(job closed here on {day})")),
        performed_by: account.mechanic.clone(),
    }
}

fn description(account: &Account) -> String {
    // Writing into a String cannot fail.
    let mut out = format!("Reported: {}{}.", lower(&account.complaint), account.when_reported());
    let mut found: Vec<String> = Vec::new();
    for line in account.known.found.iter().map(|line: &FoundLine| format!("{} ({})", line.what, line.how())) {
        if !found.contains(&line) {
            found.push(line);
        }
    }
    if found.is_empty() {
        let _ = write!(out, " {}", account.nothing_found());
    } else {
        let _ = write!(out, " Found: {}.", found.join("; "));
    }
    let unseen = |line: &CorrectionLine| account.known.replaced_unseen.iter().any(|other| other.number == line.number);
    let line = |line: &CorrectionLine| {
        format!("{}{}", lower(&line.title), if unseen(line) { " (its cause was not seen)" } else { "" })
    };
    let (over, done): (Vec<_>, Vec<_>) = account.corrections.iter().partition(|line| line.hands_over());
    if done.is_empty() {
        out.push_str(" Nothing was corrected.");
    } else {
        let _ = write!(out, " Done: {}.", done.into_iter().map(line).collect::<Vec<_>>().join("; "));
        let _ = write!(out, " Parts fitted, part and serial numbers: {BLANK}.");
    }
    for line in over {
        let _ = write!(out, " Not done here: {}.", lower(&line.title));
    }
    if account.last_proofs.is_empty() {
        out.push_str(" No proof run was made.");
    }
    for run in &account.last_proofs {
        let _ = write!(out, " {run}");
    }
    for warning in &account.warnings {
        let _ = write!(out, " STANDS: {warning}");
    }
    if !account.owed.is_empty() {
        let _ = write!(out, " STILL TO BE DONE: {}.", account.owed.join("; "));
    }
    out
}
