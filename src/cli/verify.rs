//! `roughrun verify`: check every hash and chain of records.

use std::fmt::Write as _;

use super::args::{Places, Verify};
use super::{CliError, Outcome, out};
use crate::record::{self, Class, FileReport, Report};
use crate::shop::{self, ShopError};
use crate::text::safe_text;

pub(super) fn run(places: &Places, args: &Verify) -> Outcome {
    let path = match &args.path {
        Some(path) => path.clone(),
        None => shop::records_folder(places.records.as_deref())?,
    };
    let report = record::verify(&path).map_err(|fault| CliError::from(ShopError::Record(fault)))?;
    out::print(&page(&report))?;
    Ok(report.class().exit_code())
}

fn page(report: &Report) -> String {
    let mut page = String::new();
    for file in &report.files {
        file_lines(&mut page, file);
    }
    for sentence in report.joins.iter().chain(&report.skipped) {
        // Writing into a String cannot fail.
        let _ = writeln!(page, "{sentence}");
    }
    let count = |class| report.files.iter().filter(|f| f.class == class).count();
    let _ = writeln!(
        page,
        "{} files: {} whole, {} with an unfinished last line, {} damaged.",
        report.files.len(),
        count(Class::Ok),
        count(Class::Torn),
        count(Class::Damaged)
    );
    let _ = writeln!(
        page,
        "A file cut off after a whole line, or written anew with all its hashes, shows only by its head: hold it against the one on a printed report."
    );
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
