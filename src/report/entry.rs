//! A draft of the maintenance-record entry, for the person who writes and signs it: the items that 14 CFR 43.9(a) asks for.

use std::fmt::Write as _;

use serde::Serialize;

use super::CorrectionLine;
use super::account::Account;
use crate::model::CorrectionKind;

/// Who decides, above the items.
pub(super) const WHOSE_WORD: &str = "A draft with the items that 14 CFR 43.9(a) asks for; where other rules hold, they say what an entry holds. It is not signed. The authorised person checks it, writes the entry in words of their own, and decides what is done and returned to service; a signature there approves only the work that it describes.";

/// A line to be written by hand.
pub(super) const BLANK: &str = "________________________________________";

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
            ("1 Work performed", self.description.clone()),
            ("  Data followed", format!("{BLANK} (manufacturer's document and revision)")),
            ("2 Completed on", or_blank(&self.completed)),
            ("3 Performed by", format!("{} (if not the person who signs)", or_blank(&self.performed_by))),
            ("4 Signature", BLANK.to_owned()),
            ("  Certificate", format!("{BLANK} (number and kind)")),
        ]
    }
}

/// The draft of a job.
pub(super) fn draft(account: &Account) -> DraftEntry {
    let completed = account.closed.as_ref().map(|closed| format!("(job closed here on {})", closed.when));
    DraftEntry {
        description: description(account),
        completed: completed.unwrap_or_else(|| "(job not closed yet)".to_owned()),
        performed_by: account.mechanic.clone(),
    }
}

fn description(account: &Account) -> String {
    // Writing into a String cannot fail.
    let mut out = format!("Reported: {} (conditions: {}).", account.complaint, account.reported);
    if !account.words.is_empty() {
        let _ = write!(out, " Pilot's words: \"{}\".", account.words.replace('\n', " "));
    }
    if account.proven.is_empty() {
        out.push_str(" No cause was proven.");
        if let Some(likely) = account.left.corrected.first() {
            let _ = write!(out, " Corrected as likely ({:.0} %): {}.", 100.0 * likely.was, likely.title);
        }
    } else {
        let found: Vec<&str> = account.proven.iter().map(|c| c.title.as_str()).collect();
        let _ = write!(out, " Found: {}.", found.join("; "));
    }
    let handed_over = |c: &&CorrectionLine| c.kind == CorrectionKind::HandOver.words();
    let (over, done): (Vec<_>, Vec<_>) = account.corrections.iter().partition(handed_over);
    if done.is_empty() {
        out.push_str(" Nothing was corrected.");
    } else {
        let done: Vec<String> = done.iter().map(|c| format!("{} ({})", c.title, c.kind)).collect();
        let _ = write!(out, " Done: {}.", done.join("; "));
        let _ = write!(out, " Parts fitted, with part and serial numbers: {BLANK}.");
    }
    for line in over {
        let _ = write!(out, " Not done here: {}.", line.title);
    }
    match account.proof_runs.last() {
        Some(run) => {
            let _ = write!(out, " Proof run: {run}.");
        }
        None => out.push_str(" No proof run was made."),
    }
    for warning in &account.warnings {
        let _ = write!(out, " STANDS: {warning}");
    }
    if !account.owed.is_empty() {
        let _ = write!(out, " STILL TO BE DONE: {}.", account.owed.join("; "));
    }
    out
}
