//! A draft of the description of the work, for the person who writes and signs the entry.

use std::fmt::Write as _;

use super::account::Account;

/// What was reported, found and done, in sentences. Nothing that was not entered is claimed.
pub(super) fn description(account: &Account) -> String {
    // Writing into a String cannot fail.
    let mut out = format!("Reported: {} (conditions: {}).", account.complaint, account.reported);
    if !account.words.is_empty() {
        let _ = write!(out, " Pilot's words: \"{}\".", account.words.replace('\n', " "));
    }
    if account.proven.is_empty() {
        out.push_str(" No cause was proven.");
        if let Some(likely) = account.left.corrected.first() {
            let _ = write!(out, " Corrected as likely ({:.0} %): {}.", 100.0 * likely.at_first, likely.title);
        }
    } else {
        let found: Vec<&str> = account.proven.iter().map(|c| c.title.as_str()).collect();
        let _ = write!(out, " Found: {}.", found.join("; "));
    }
    if account.corrections.is_empty() {
        out.push_str(" Nothing was corrected.");
    } else {
        let done: Vec<String> = account.corrections.iter().map(|c| format!("{} ({})", c.title, c.kind)).collect();
        let _ = write!(out, " Done: {}.", done.join("; "));
        out.push_str(" Data followed: ____________________ (manufacturer's document and revision).");
        out.push_str(" Parts fitted, with part and serial numbers: ____________________.");
    }
    match account.proof_runs.last() {
        Some(run) => {
            let _ = write!(out, " Proof run: {run}.");
        }
        None => out.push_str(" No proof run was made."),
    }
    out
}
