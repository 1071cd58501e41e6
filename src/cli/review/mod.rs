//! `roughrun review`: the shop lead's commands.

mod export;
mod figures;
mod learn;
mod list;
mod replay;
mod say;

use std::path::PathBuf;

use super::args::{Only, Places, Review};
use super::{CliError, Kind, Outcome, args, out, tree};
use crate::figures::Filter;
use crate::record::JobId;
use crate::record::places::cache_folder;
use crate::review::listing::{self, Listing, Query, Row};
use crate::shop::{self, Purpose, Shop};
use crate::tables::Sheet;

pub(super) fn run(places: &Places, command: &Review) -> Outcome {
    match command {
        Review::Learn(learn) => learn::run(places, learn),
        Review::List(list) => list::run(places, list),
        Review::Figures(figures) => figures::run(places, figures),
        Review::Export(export) => export::run(places, export),
        Review::Replay(replay) => replay::run(places, replay),
        Review::Remark(remark) => say::remark(places, remark),
        Review::Mark(mark) => say::mark(places, mark),
    }
}

impl Only {
    /// As a search.
    fn query(&self) -> Result<Query, CliError> {
        let query = Query::default().only(self.from.as_deref(), self.to.as_deref(), &self.aircraft);
        query.map_err(|fault| CliError::new(Kind::Usage, fault.to_string()))
    }

    /// What it asks for, with the number of jobs that it left aside.
    fn filter(&self, left_aside: usize) -> Filter {
        let (from, to) = (self.from.clone(), self.to.clone());
        Filter { from, to, aircraft: self.aircraft.clone(), left_aside }
    }
}

/// How many jobs are worked through before the bar is drawn anew.
const AT_A_TIME: usize = 64;

/// The folders named, or the records folder where none is.
fn folders(places: &Places, named: &[PathBuf]) -> Result<Vec<PathBuf>, CliError> {
    if named.is_empty() { Ok(vec![shop::records_folder(places.records.as_deref())?]) } else { Ok(named.to_vec()) }
}

/// The records of these folders, listed, and the trees and prices to read them by.
struct Records {
    shop: Shop,
    folders: Vec<PathBuf>,
    listing: Listing,
}

/// Jobs that were asked for, out of those listed.
struct Asked<'a> {
    rows: Vec<&'a Row>,
    /// Practice and demonstrations among those that fit.
    left_out: usize,
    filter: Filter,
}

impl Records {
    fn list(places: &Places, named: &[PathBuf]) -> Result<Self, CliError> {
        let folders = folders(places, named)?;
        let shop = places.shop()?;
        let listing = listing::list(&folders, cache_folder().as_deref()).map_err(shop::ShopError::from)?;
        Ok(Self { shop, folders, listing })
    }

    /// The jobs asked for: on aircraft, with practice and demonstrations where those are wanted too.
    fn rows(&self, only: &Only, practice: bool) -> Result<Asked<'_>, CliError> {
        let query = only.query()?;
        let (fitting, others): (Vec<&Row>, Vec<&Row>) = self.listing.rows.iter().partition(|row| query.fits(row));
        let wanted = |row: &&Row| practice || row.purpose == Purpose::Work;
        let left_aside = others.into_iter().filter(wanted).count();
        let (rows, left_out): (Vec<&Row>, Vec<&Row>) = fitting.into_iter().partition(wanted);
        Ok(Asked { rows, left_out: left_out.len(), filter: only.filter(left_aside) })
    }

    /// Makes the rows of each of these jobs. Returns why some could not be read, a sentence each.
    fn each_sheet(&self, rows: &[&Row], mut take: impl FnMut(Sheet)) -> Vec<String> {
        let named = |row: &&Row| Some((JobId::parse(&row.id).ok()?, row.files.clone()));
        let jobs: Vec<_> = rows.iter().filter_map(named).collect();
        let nameless = rows.iter().filter(|row| row.id.is_empty()).filter_map(|row| row.trouble.clone());
        let mut unread: Vec<String> = nameless.collect();
        for (done, some) in jobs.chunks(AT_A_TIME).enumerate() {
            out::progress((done * AT_A_TIME) as u64, jobs.len() as u64);
            for sheet in self.shop.each_past(some, crate::review::sheet) {
                if sheet.job.state == "unread" {
                    unread.push(sheet.job.trouble.clone());
                }
                take(sheet);
            }
        }
        out::progress(jobs.len() as u64, jobs.len() as u64);
        unread
    }

    /// Says what the list could not look at.
    fn remark(&self) {
        self.listing.skipped.iter().chain(&self.listing.notes).for_each(|sentence| out::remark(sentence));
    }
}
