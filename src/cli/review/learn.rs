//! `roughrun review learn`: what closed jobs teach.

use std::collections::BTreeMap;
use std::path::Path;

use super::args::{Learn, Places};
use super::tree::pretty;
use super::{CliError, Kind, Outcome, out};
use crate::job::Job;
use crate::learn::{Cases, learn};
use crate::review;
use crate::shop::{self, Shop};

pub(super) fn run(places: &Places, args: &Learn) -> Outcome {
    // What is learnt is learnt over the tree's own figures, never over what was learnt before.
    let library = shop::library(places.trees.as_deref(), None)?.without_learnt();
    let mut hours = BTreeMap::new();
    for path in &args.aircraft {
        let text = shop::read_card_file(path).map_err(|why| CliError::new(Kind::Usage, why))?;
        let facts = shop::read_card(&library, &text)?.facts;
        hours.insert(facts.registration, facts.engine_hours);
    }
    let mut folders: Vec<Option<&Path>> = args.folders.iter().map(|folder| Some(folder.as_path())).collect();
    if folders.is_empty() {
        folders.push(places.records.as_deref());
    }
    let mut jobs: Vec<(String, Job, bool)> = Vec::new();
    let mut today = String::new();
    for folder in folders {
        let shop = Shop::with(library.clone(), folder)?;
        let history = shop.history(args.layout.as_deref())?;
        history.unread.iter().for_each(|sentence| out::remark(sentence));
        jobs.extend(history.jobs.into_iter().map(|past| (past.id, past.job, past.practice)));
        today = shop.today_words();
    }
    // Names begin with the time a job was begun; a job that is in two folders counts once.
    jobs.sort_by(|a, b| a.0.cmp(&b.0));
    jobs.dedup_by(|a, b| a.0 == b.0);
    let lessons = learn(&Cases::of(jobs.into_iter().map(|(_, job, practice)| (job, practice)).collect(), &hours));
    out::print(&if args.json { pretty(&lessons)? } else { review::page(&lessons) })?;
    let Some(path) = &args.write else { return Ok(0) };
    let overlay = review::overlay(&lessons, &today);
    if overlay.is_empty() {
        return Err(CliError::new(
            Kind::Fault,
            "Nothing was written: no learnt figure has forecast the later jobs better than the tree.",
        )
        .hint("More closed jobs, and faults confirmed by eye, make figures that can."));
    }
    shop::put(path, overlay.text().as_bytes())?;
    out::remark(&format!(
        "Written to {}. Read it, keep it under version control, and use it with --learnt or ROUGHRUN_LEARNT.",
        path.display()
    ));
    Ok(0)
}
