//! The shop: trees, records and the open job put together.
//!
//! Owns where the trees and the records are, how a job is started, gone on with and looked at, and the one order in which
//! an entry is taken: tested, saved, then in the job. Must not know any screen, command, question or page.

mod card;
mod clock;
mod error;
mod history;
mod jobs;
mod last_word;
mod lead;
mod open;
mod put;
mod replay;

use std::path::{Path, PathBuf};

use serde_json::json;

pub use card::{Card, model, read_card, read_card_file};
pub use error::{EnterError, ShopError};
pub(crate) use history::PRACTICE;
pub use history::{History, Past, Purpose, is_practice};
pub use jobs::{JobLine, JobState, ToGoOn};
pub use last_word::{LastWord, Unsure};
pub use lead::{Said, SayError};
pub use open::{MadeSure, OpenJob};
pub use put::{PutError, put};

use clock::Clock;

use crate::job::{Entry, Job, Opening};
use crate::model::{Model, Prices};
use crate::record::{Device, FaultKind, JobId, JobRecord, Journal, os_random, places, read_job, read_listed};
use crate::trees::Library;

/// Trees and a records folder.
#[derive(Debug)]
pub struct Shop {
    library: Library,
    records: PathBuf,
    clock: Clock,
    device: Device,
}

/// Today, as dates of cards are counted to.
#[must_use]
pub fn today() -> crate::trees::Day {
    clock::today()
}

/// Reads the trees of a folder, or those shipped inside the program, with an overlay of learnt figures where one is named.
///
/// # Errors
/// All faults of the trees.
pub fn library(trees: Option<&Path>, learnt: Option<&Path>) -> Result<Library, ShopError> {
    let named = |path: Option<&'_ Path>| path.filter(|path| !path.as_os_str().is_empty()).map(Path::to_owned);
    Library::open(named(trees).as_deref(), named(learnt).as_deref()).map_err(ShopError::Trees)
}

/// The name of a shop file that is found without being named.
const SHOP_FILE: &str = "shop.yaml";

/// A shop's prices, from the file named, else as [`Shop::with_prices`] says.
///
/// # Errors
/// All faults of the file.
pub fn prices(library: &Library, named: Option<&Path>) -> Result<Option<Prices>, ShopError> {
    let named = named.filter(|file| !file.as_os_str().is_empty()).map(Path::to_owned);
    let home = places::data_folder().and_then(|records| Some(records.parent()?.join(SHOP_FILE)));
    let found = [Some(PathBuf::from(SHOP_FILE)), home].into_iter().flatten().find(|file| file.is_file());
    named.or(found).map(|file| library.prices(&file)).transpose().map_err(ShopError::Trees)
}

/// The records folder: the one named, else `sessions` in the working folder, else the user's own. It need not exist yet.
///
/// # Errors
/// Where there is no place at all.
pub fn records_folder(named: Option<&Path>) -> Result<PathBuf, ShopError> {
    let working = std::env::current_dir().unwrap_or_else(|_| PathBuf::from("."));
    Ok(places::choose(named, &working, places::data_folder())?.folder)
}

impl Shop {
    /// Opens the shop. The records folder is not written to yet: [`Shop::check_writing`], [`Shop::start`] and [`Shop::resume`] do.
    ///
    /// # Errors
    /// Faults of the trees, or no place for records.
    pub fn open(trees: Option<&Path>, records: Option<&Path>) -> Result<Self, ShopError> {
        Self::with(library(trees, None)?, records)
    }

    /// Opens the shop on trees that are read already.
    ///
    /// # Errors
    /// No place for records.
    pub fn with(library: Library, records: Option<&Path>) -> Result<Self, ShopError> {
        Ok(Self { library, records: records_folder(records)?, clock: Clock::start(), device: clock::device() })
    }

    /// The same shop with the prices of its shop file: the one named, else `shop.yaml` in the working folder, else beside this
    /// user's own records; none where none of them is there.
    ///
    /// # Errors
    /// All faults of the file.
    pub fn with_prices(mut self, named: Option<&Path>) -> Result<Self, ShopError> {
        let prices = prices(&self.library, named)?;
        self.library = self.library.with_prices(prices);
        Ok(self)
    }

    /// The trees.
    #[must_use]
    pub fn library(&self) -> &Library {
        &self.library
    }

    /// The records folder.
    #[must_use]
    pub fn records(&self) -> &Path {
        &self.records
    }

    /// Keeps records in another folder from now on. It need not exist yet.
    pub fn keep_in(&mut self, folder: PathBuf) {
        self.records = folder;
    }

    /// A number to deal practice by, for whoever names none: six digits can be told to a class by voice.
    #[must_use]
    pub fn new_seed(&self) -> u64 {
        clock::unix_ms() % 1_000_000
    }

    /// The engine that an opening is on.
    pub(crate) fn model_of(&self, opening: &Opening) -> Result<Model, ShopError> {
        replay::model(self, opening)
    }

    /// The job of a record that was read.
    pub(crate) fn job_of(&self, record: &JobRecord) -> Result<Job, ShopError> {
        replay::job(self, record, &[]).map(|(job, _)| job)
    }

    /// Today, as an edition is dated: `2026-11-25`.
    #[must_use]
    pub fn today_words(&self) -> String {
        let (year, month, day) = clock::today();
        format!("{year}-{month:02}-{day:02}")
    }

    /// The moment now, as people read it: `2026-11-25 09:36`.
    #[must_use]
    pub fn now_words(&self) -> String {
        clock::now_words()
    }

    /// Makes the records folder where it is missing, and makes sure that it can be written to.
    ///
    /// # Errors
    /// Why not, and what to do.
    pub fn check_writing(&self) -> Result<(), ShopError> {
        Ok(places::make_ready(&self.records, std::process::id())?)
    }

    /// Starts a job: expands the layout, tests the opening, begins the record and saves the opening as its first entry.
    ///
    /// The trees' digest and the facts of the aircraft's card are filled in here; an empty layout is taken from the card.
    ///
    /// # Errors
    /// Faults of layout or card, an opening that does not fit, or a record that cannot be begun. Nothing is left open then.
    pub fn start(&self, opening: Opening, card: Option<&str>) -> Result<OpenJob, ShopError> {
        self.start_with(opening, card, &serde_json::Map::new())
    }

    /// As [`Shop::start`], with more in the record's header.
    pub(crate) fn start_with(
        &self,
        mut opening: Opening,
        card: Option<&str>,
        more: &serde_json::Map<String, serde_json::Value>,
    ) -> Result<OpenJob, ShopError> {
        let card = card.map(|text| read_card(&self.library, text)).transpose()?;
        let model = model(&self.library, &opening.layout, card.as_ref())?;
        if let Some(card) = card {
            opening.layout = card.layout;
            opening.aircraft = Some(card.facts);
        }
        self.library.digest().clone_into(&mut opening.trees);
        let mut extra = header(&opening, &model);
        if let Some(fields) = extra.as_object_mut() {
            fields.extend(more.clone());
        }
        let entry = Entry::Opened(Box::new(opening));
        replay::first(&model, &entry).map_err(ShopError::Opening)?;
        self.check_writing()?;
        let id = JobId::new(clock::unix_ms(), os_random)?;
        let journal = Journal::create(&self.records, &id, &self.device, extra, &self.clock.stamp())?;
        OpenJob::begin(journal, model, entry, self.clock, &self.records)
    }

    /// What a person has to see before a job is gone on with: what is said of last lines that cannot be read, with what
    /// can be read of them. Empty where the end is whole.
    ///
    /// # Errors
    /// No such job, or a record that cannot be read.
    pub fn doubtful_end(&self, id: &str) -> Result<Vec<String>, ShopError> {
        let record = read_job(&self.records, &self.find(id)?)?;
        let torn = record.faults.iter().filter(|fault| fault.kind == FaultKind::Torn);
        Ok(torn.map(|fault| fault.sentence.clone()).collect())
    }

    /// Goes on with a job. Beside it, what should be said about its record: a torn tail that was closed, trees that changed.
    ///
    /// # Errors
    /// No such job, a record in use, damaged or parted, or one that these trees do not fit.
    pub fn resume(&self, id: &str) -> Result<(OpenJob, Vec<String>), ShopError> {
        self.resume_at(id, None)
    }

    /// As [`Shop::resume`], from an end that a person has chosen where a job parts or is damaged: the hash of its line.
    ///
    /// # Errors
    /// As [`Shop::resume`], and where no such end is there.
    pub fn resume_at(&self, id: &str, head: Option<&str>) -> Result<(OpenJob, Vec<String>), ShopError> {
        let id = self.find(id)?;
        // Before the lock is taken and anything is written, the job has to fit these trees.
        let seen = read_job(&self.records, &id)?;
        let head = head.map(|head| replay::whole_head(&seen, head));
        let branch = head.as_ref().and_then(|head| seen.branches.iter().find(|b| b.head == *head));
        let more = branch.map_or(&[][..], |b| b.entries.as_slice());
        let (job, mut notes) = replay::job(self, &seen, more)?;
        let stamp = self.clock.stamp();
        let (journal, record) = match &head {
            Some(head) => Journal::resume_from(&self.records, &id, &self.device, &stamp, head)?,
            None => Journal::resume(&self.records, &id, &self.device, &stamp)?,
        };
        notes.extend(record.faults.iter().map(|f| f.sentence.clone()));
        notes.extend(record.notes.iter().cloned());
        notes.extend(journal.warning());
        // Between the look and the lock another program may have written on.
        let (job, _) = if record.head == seen.head { (job, Vec::new()) } else { replay::job(self, &record, more)? };
        Ok((OpenJob::resumed(journal, job, self.clock, &self.records), notes))
    }

    /// A job to look at, without its lock: the job, the head hash (16 characters, for people) and what should be said about its record.
    ///
    /// # Errors
    /// No such job, or one that cannot be read or does not fit these trees.
    pub fn look(&self, id: &str) -> Result<(Job, String, Vec<String>), ShopError> {
        let id = self.find(id)?;
        self.shown(&read_job(&self.records, &id)?)
    }

    /// As [`Shop::look`], from the files that a list has named as the job's, in whatever folders they are.
    ///
    /// # Errors
    /// As [`Shop::look`].
    pub fn look_among(&self, id: &JobId, files: &[PathBuf]) -> Result<(Job, String, Vec<String>), ShopError> {
        self.shown(&read_listed(id, files))
    }

    fn shown(&self, record: &JobRecord) -> Result<(Job, String, Vec<String>), ShopError> {
        let (job, mut notes) = replay::job(self, record, &[])?;
        notes.extend(record.faults.iter().map(|f| f.sentence.clone()));
        notes.extend(record.notes.iter().cloned());
        if record.branches.len() > 1 {
            notes.push(format!(
                "This job goes on in {} ways after entry {}; only what they share is shown. Their heads are {}.",
                record.branches.len(),
                record.head_seq,
                record.branches.iter().map(|b| short_head(&b.head)).collect::<Vec<_>>().join(", ")
            ));
        }
        Ok((job, short_head(&record.head), notes))
    }
}

/// The part of a hash that is printed for people.
#[must_use]
pub fn short_head(hash: &str) -> String {
    hash.chars().take(16).collect()
}

/// What the record's header holds for the list of jobs.
fn header(opening: &Opening, model: &Model) -> serde_json::Value {
    let title = model.find_complaint(&opening.complaint, opening.at).map(|id| model[id].title.clone());
    json!({
        "layout": opening.layout,
        "complaint": title.unwrap_or_else(|| opening.complaint.clone()),
        "at": opening.at.to_string(),
        "aircraft": opening.aircraft.as_ref().map(|a| a.registration.clone()).unwrap_or_default(),
        "mechanic": opening.mechanic,
    })
}
