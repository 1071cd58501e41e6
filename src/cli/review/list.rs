//! `roughrun review list`: all records of one or more folders, newest first.

use std::fmt::Write as _;

use serde_json::{Value, json};

use super::args::{List, Places};
use super::tree::pretty;
use super::{AT_A_TIME, CliError, Kind, Outcome, cache_folder, out};
use crate::figures::Filter;
use crate::review::listing::{self, Listing, Query, Row, Soundness};
use crate::shop::{self, Shop};
use crate::text::safe_text;

pub(super) fn run(places: &Places, args: &List) -> Outcome {
    let query = query(args).map_err(|fault| CliError::new(Kind::Usage, fault.to_string()))?;
    let folders = super::folders(places, &args.folders)?;
    let mut listing = listing::list(&folders, cache_folder().as_deref()).map_err(shop::ShopError::from)?;
    if args.worked || listing.rows.iter().any(Row::end_in_doubt) {
        work_out(places, &mut listing, args.worked)?;
    }
    let only = args.only.query()?;
    let filter = args.only.filter(listing.rows.iter().filter(|row| !only.fits(row)).count());
    let found = query.find(&listing.rows);
    let rows: Vec<&Row> = found.iter().map(|at| &listing.rows[*at]).filter(|row| only.fits(row)).collect();
    out::print(&if args.json {
        pretty(&as_json(&rows, &listing, &filter))?
    } else {
        as_text(&rows, listing.rows.len(), &filter)
    })?;
    listing.skipped.iter().chain(&listing.notes).for_each(|sentence| out::remark(sentence));
    Ok(0)
}

fn query(args: &List) -> Result<Query, listing::QueryFault> {
    let query = Query::parse(args.search.as_deref().unwrap_or_default())?;
    if args.state.is_empty() { Ok(query) } else { query.and_state(&args.state.join(",")) }
}

/// Works out what is not known yet, newest first, and keeps it in the index: of all jobs, or only of those whose end is in doubt.
fn work_out(places: &Places, listing: &mut Listing, all: bool) -> Result<(), CliError> {
    let shop = Shop::with(places.library()?, places.records.as_deref())?;
    let digest = shop.library().digest().to_owned();
    let wanted = |(_, row): &(usize, &Row)| row.wants_work(&digest) && (all || row.end_in_doubt());
    let wanting: Vec<usize> = listing.rows.iter().enumerate().filter(wanted).map(|(at, _)| at).collect();
    for (done, some) in wanting.chunks(AT_A_TIME).enumerate() {
        out::progress((done * AT_A_TIME) as u64, wanting.len() as u64);
        let rows: Vec<&Row> = some.iter().map(|at| &listing.rows[*at]).collect();
        let worked = listing::work_out(&shop, &rows);
        for (at, worked) in some.iter().zip(worked) {
            if let Some(worked) = worked {
                listing.take(*at, worked);
            }
        }
    }
    if !wanting.is_empty() {
        out::progress(wanting.len() as u64, wanting.len() as u64);
        listing.keep();
    }
    Ok(())
}

fn as_text(rows: &[&Row], of: usize, filter: &Filter) -> String {
    let mut text = String::new();
    for row in rows {
        // Writing into a String cannot fail.
        let name = if row.id.is_empty() { file(row) } else { row.id.clone() };
        let begun = row.opened.get(..16).map_or("-", |when| when).replace('T', " ");
        let minutes = row.minutes().map_or_else(|| "-".to_owned(), |minutes| format!("{minutes:.0} min"));
        let aircraft = if row.aircraft.is_empty() { &row.layout } else { &row.aircraft };
        let _ = writeln!(
            text,
            "{name}  {begun}  {:<21}  {minutes:>8}  {aircraft}: {}, {}{}",
            state(row),
            row.complaint,
            row.at,
            if row.mechanic.is_empty() { String::new() } else { format!("  ({})", row.mechanic) },
        );
        let (how, what) = row.came_of_it();
        if !what.is_empty() {
            let _ = writeln!(text, "    {how}: {}", what.join("; "));
        }
        if let Some(mark) = &row.reviewed {
            let since = if mark.before_changes { ", changed since" } else { "" };
            let _ = writeln!(text, "    reviewed by {} on {}{since}", mark.by, mark.when);
        }
        let why_not = row.worked.iter().filter_map(|worked| worked.why_not.as_ref());
        for sentence in row.trouble.iter().chain(&row.notes).chain(why_not) {
            let _ = writeln!(text, "    {sentence}");
        }
    }
    let _ = match rows.len() {
        1 if of == 1 => writeln!(text, "1 record."),
        shown if shown == of => writeln!(text, "{shown} records."),
        shown => writeln!(text, "{shown} of {of} records."),
    };
    if let Some(words) = filter.words() {
        let _ = writeln!(text, "{}", safe_text(&words));
    }
    text
}

/// The state, and what is wrong with the record where something is.
fn state(row: &Row) -> String {
    match row.soundness {
        Soundness::Whole => row.state.words().to_owned(),
        other => format!("{}, {}", row.state.words(), other.words()),
    }
}

fn file(row: &Row) -> String {
    row.files.first().map(|path| safe_text(&path.to_string_lossy()).into_owned()).unwrap_or_default()
}

fn as_json(rows: &[&Row], listing: &Listing, filter: &Filter) -> Value {
    let one = |row: &&Row| {
        let mut value = serde_json::to_value(row).unwrap_or_default();
        let files: Vec<String> = row.files.iter().map(|f| safe_text(&f.to_string_lossy()).into_owned()).collect();
        value["files"] = json!(files);
        value["ending"] = json!(row.state.ending());
        value
    };
    json!({"format": "roughrun-list-1", "records": listing.rows.len(), "rows": rows.iter().map(one).collect::<Vec<_>>(),
        "filter": filter, "skipped": listing.skipped})
}
