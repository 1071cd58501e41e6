//! The shop lead's part of the desk over the shop: lists, replays and lessons on a thread of their own.
//!
//! Owns the order of that work. Must not know any screen.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::work::{News, Stopped, Teller, Work, Worker};
use crate::job::Job;
use crate::learn::{Cases, learn_while};
use crate::record::places;
use crate::review::listing::{self, Row};
use crate::review::replay;
use crate::shop::Shop;
use crate::trees::Library;

/// Rows that are worked out between two looks at whether to stop.
const AT_A_TIME: usize = 8;

/// Starts the work.
pub(super) fn start(work: Work, library: Library, folders: Vec<PathBuf>) -> Result<Worker, String> {
    let started = match work {
        Work::List => Worker::start(move |tell| list(tell, &library, &folders)),
        Work::Replay(job) => Worker::start(move |tell| walk(tell, &job)),
        Work::Learn => Worker::start(move |tell| learn(tell, &library, &folders)),
    };
    started.map_err(|why| format!("The system gives no thread for this work: {why}."))
}

fn list(tell: &Teller, library: &Library, folders: &[PathBuf]) -> Result<(), Stopped> {
    let mut listing = match listing::list(folders, places::cache_folder().as_deref()) {
        Ok(listing) => listing,
        Err(why) => {
            tell.tell(News::Listed(Vec::new(), Vec::new()))?;
            return tell.tell(News::Failed(why.to_string()));
        }
    };
    let notes = listing.skipped.iter().chain(&listing.notes).cloned().collect();
    tell.tell(News::Listed(listing.rows.clone(), notes))?;
    // What only the job on its engine's model can tell follows, the newest first.
    let folder: Option<&Path> = folders.first().map(PathBuf::as_path);
    let Ok(shop) = Shop::with(library.clone(), folder) else { return Ok(()) };
    let digest = shop.library().digest().to_owned();
    let wanting: Vec<usize> =
        listing.rows.iter().enumerate().filter(|(_, row)| row.wants_work(&digest)).map(|(at, _)| at).collect();
    let mut ended = Ok(());
    for (chunk, some) in wanting.chunks(AT_A_TIME).enumerate() {
        ended = tell.tell(News::Far(chunk * AT_A_TIME, wanting.len()));
        if ended.is_err() {
            break;
        }
        let rows: Vec<&Row> = some.iter().map(|at| &listing.rows[*at]).collect();
        let worked = listing::work_out(&shop, &rows);
        let made: Vec<_> = some.iter().copied().zip(worked).filter_map(|(at, w)| Some((at, w?))).collect();
        for (at, worked) in &made {
            listing.take(*at, worked.clone());
        }
        ended = tell.tell(News::Worked(made));
        if ended.is_err() {
            break;
        }
    }
    // Stopped or not, what was worked out is kept for the next time.
    if !wanting.is_empty() {
        listing.keep();
    }
    ended
}

fn walk(tell: &Teller, job: &Arc<Job>) -> Result<(), Stopped> {
    let steps = replay::steps(job);
    let of = steps.len();
    for (at, step) in steps.enumerate() {
        tell.tell(News::Step(Box::new(step)))?;
        tell.tell(News::Far(at + 1, of))?;
    }
    Ok(())
}

fn learn(tell: &Teller, library: &Library, folders: &[PathBuf]) -> Result<(), Stopped> {
    // What is learnt is learnt over the tree's own figures, never over what was learnt before.
    let library = library.clone().without_learnt();
    let (mut jobs, mut unread) = (Vec::new(), Vec::new());
    for folder in folders {
        tell.go_on()?;
        let history = Shop::with(library.clone(), Some(folder)).and_then(|shop| shop.history(None));
        match history {
            Ok(history) => {
                unread.extend(history.unread);
                jobs.extend(history.jobs.into_iter().map(|past| (past.id, past.job, past.practice)));
            }
            Err(why) => unread.push(why.to_string()),
        }
    }
    // Names begin with the time a job was begun; a job that is in two folders counts once.
    jobs.sort_by(|a, b| a.0.cmp(&b.0));
    jobs.dedup_by(|a, b| a.0 == b.0);
    let jobs = jobs.into_iter().map(|(_, job, practice)| (job, practice)).collect();
    let cases = Cases::of(jobs, &BTreeMap::new());
    let lessons = learn_while(&cases, |done, of| tell.tell(News::Far(done, of)))?;
    tell.tell(News::Learnt(Box::new(lessons), unread))
}
