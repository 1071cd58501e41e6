//! `roughrun verify`: check every hash and chain of records.

use std::fmt::Write as _;
use std::path::Path;

use super::args::{Places, Verify};
use super::{CliError, Outcome, out};
use crate::record::{self, Class, FileReport, HeadFound, Place, Report};
use crate::shop::{self, ShopError};
use crate::text::safe_text;

pub(super) fn run(places: &Places, args: &Verify) -> Outcome {
    let path = match &args.path {
        Some(path) => path.clone(),
        None => shop::records_folder(places.records.as_deref())?,
    };
    let report = record::verify(&path).map_err(|fault| CliError::from(ShopError::Record(fault)))?;
    let mut page = page(&report);
    let mut code = report.exit_code();
    if report.files.is_empty() {
        // Writing into a String cannot fail.
        let _ = writeln!(page, "There is no record in {}, so nothing was checked.", safe_text(&path.to_string_lossy()));
    } else if !path.is_dir() {
        page.push_str(
            "Only this file was looked at, not the job's other files; name the records folder for the whole job.\n",
        );
    } else if !report.skipped.is_empty() {
        page.push_str("Not everything in the folder was looked at: see above.\n");
    }
    if let Some(head) = &args.head {
        let found = record::find_head(&path, head).map_err(|fault| CliError::from(ShopError::Record(fault)))?;
        page.push_str(&head_line(head, found.as_ref()));
        if !matches!(&found, Some(HeadFound { place: Place::OnPath(_) | Place::InFile(_), .. })) {
            code = Class::Damaged.exit_code();
        }
    }
    out::print(&page)?;
    Ok(code)
}

/// What the hashes prove, and what not.
const PROVES: &str = "\
Whole means that no line of the file was changed, left out, put in, doubled or moved since it was written.
A file cut off after a whole line, or written anew with all its hashes, shows only by its head: hold the one on a printed report against it with --head.
Hashes do not show who made an entry, when, or whether it is true. They are no signature.
";

/// What a head that was written down says of the record.
fn head_line(head: &str, found: Option<&HeadFound>) -> String {
    let shown = |path: &Path| safe_text(&path.to_string_lossy()).into_owned();
    match found {
        Some(HeadFound { path, line, place: Place::OnPath(0) | Place::InFile(0) }) => {
            format!("The head is line {line} of {}, the last one there.\n", shown(path))
        }
        Some(HeadFound { path, line, place: Place::OnPath(after) | Place::InFile(after) }) => format!(
            "The head is line {line} of {}. Up to it the job is as it was when the head was written down; lines added since: {after}.\n",
            shown(path)
        ),
        Some(HeadFound { path, line, place: Place::Aside(by) }) => format!(
            "THE HEAD IS NOT IN THE JOB ANY MORE: it is line {line} of {}, and the job goes on another way{}. What was written down with this head is not what the job says now. Where nobody chose that, the record was forged.\n",
            shown(path),
            by.as_ref().map_or_else(String::new, |by| format!(", since {} set that end aside", shown(by)))
        ),
        None => format!(
            "NO LINE HAS THE HEAD {}: what was saved up to it was cut off or written anew, or the head was copied wrongly ({} characters or more, digits and a to f).\n",
            safe_text(head),
            record::SHORTEST_HEAD
        ),
    }
}

fn page(report: &Report) -> String {
    let mut page = String::new();
    for file in &report.files {
        file_lines(&mut page, file);
    }
    for sentence in report.ends.iter().chain(&report.joins).chain(&report.set_aside).chain(&report.skipped) {
        // Writing into a String cannot fail.
        let _ = writeln!(page, "{sentence}");
    }
    let count = |class| report.files.iter().filter(|f| f.class == class).count();
    let files = report.files.len();
    let _ = writeln!(
        page,
        "{}: {} whole, {} with an unfinished last line, {} damaged.",
        crate::text::counted(files, "file"),
        count(Class::Ok),
        count(Class::Torn),
        count(Class::Damaged)
    );
    if !report.files.is_empty() {
        page.push_str(PROVES);
    }
    page
}

fn file_lines(page: &mut String, file: &FileReport) {
    let class = match file.class {
        Class::Ok => "whole",
        Class::Torn => "unfinished last line",
        Class::Damaged => "DAMAGED",
    };
    let path = file.path.to_string_lossy();
    let head = shop::short_head(&file.head);
    let _ = writeln!(page, "{}: {class}, {} entries, head {head}", safe_text(&path), file.entries);
    for sentence in file.faults.iter().map(|f| &f.sentence).chain(&file.notes) {
        let _ = writeln!(page, "  {sentence}");
    }
}
