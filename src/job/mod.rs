//! One job: the closed list of entries, and the fold that makes the state. The only way a state changes is an entry.
//!
//! It must not know what is believed or recommended, the disk, the clock or any screen: entries come with their number
//! and time, and the record keeps them.

mod clock;
mod ending;
mod entry;
mod fold;
mod names;
mod refusal;
mod review;
mod state;
mod tell;

use std::sync::Arc;

pub use ending::Missing;
pub use entry::{
    AircraftFacts, Answer, Disturbed, Ending, Entry, Levels, Logged, NoWork, Opening, PartAge, RecentWork, WorkDone,
};
pub use names::{KIND_OF_WORK, levels_of, with_levels};
pub use refusal::Refusal;
pub use review::{Remark, ReviewMark};
pub use state::{Also, Done, Given, Origin, Pause, Spell, State};
pub use tell::{levels_words, tell, tell_recent_work};

use crate::model::{CorrectionId, Model};
use crate::upkeep::{self, Reminder};

/// One job, open or closed.
#[derive(Debug, Clone)]
pub struct Job {
    model: Arc<Model>,
    log: Vec<Logged>,
    state: State,
}

/// Numbers of the entries of a log that stand (amended ones in their new form); none where an entry points nowhere.
#[must_use]
pub fn standing_entries(log: &[Logged]) -> Vec<(u64, Entry)> {
    fold::standing(log).unwrap_or_default()
}

impl Job {
    /// A job from its entries; the first is its opening.
    ///
    /// # Errors
    /// The number of the first entry that does not fit the model, and why.
    pub fn replay(model: Arc<Model>, log: Vec<Logged>) -> Result<Self, (u64, Refusal)> {
        let state = fold::fold(&model, &log)?;
        Ok(Self { model, log, state })
    }

    /// Whether an entry would be taken. Ask before it is saved.
    ///
    /// # Errors
    /// Why it does not fit.
    pub fn test(&self, entry: &Entry) -> Result<(), Refusal> {
        self.after(Logged { number: self.next_number(), when: String::new(), entry: entry.clone() }).map(|_| ())
    }

    /// The entry as it is saved: a closing keeps the minutes of the job, so that they stay what they were when the trees change.
    #[must_use]
    pub fn with_figures(&self, entry: Entry) -> Entry {
        match entry {
            Entry::Closed { how, note, minutes: None } => {
                Entry::Closed { how, note, minutes: Some(self.state.minutes) }
            }
            entry => entry,
        }
    }

    /// Takes an entry.
    ///
    /// # Errors
    /// Why it does not fit; the job is as it was.
    pub fn enter(&mut self, logged: Logged) -> Result<(), Refusal> {
        *self = self.after(logged)?;
        Ok(())
    }

    /// Takes an entry as a record is read: what would be asked before it is saved is not asked.
    ///
    /// # Errors
    /// Why it does not fit; the job is as it was.
    pub fn take(&mut self, logged: Logged) -> Result<(), Refusal> {
        *self = self.with(logged)?;
        Ok(())
    }

    fn with(&self, logged: Logged) -> Result<Self, Refusal> {
        let mut log = self.log.clone();
        log.push(logged);
        Self::replay(Arc::clone(&self.model), log).map_err(|(_, refusal)| refusal)
    }

    fn after(&self, logged: Logged) -> Result<Self, Refusal> {
        let ends = logged.entry.end().map(|(how, note)| (how, note.to_owned()));
        let answers = match &logged.entry {
            Entry::Answer(_) => Some(logged.number),
            Entry::Amend { of, by } if matches!(**by, Entry::Answer(_)) => Some(*of),
            _ => None,
        };
        let after = self.with(logged)?;
        if let Some(given) = answers.and_then(|number| after.state.given.iter().find(|g| g.number == number)) {
            given.may_be(&after.model)?;
        }
        // A record that was closed otherwise stays readable; a job that is open is closed by what it bears out alone.
        if let Some((how, note)) = ends.filter(|_| !cfg!(broken = "any-end")) {
            after.state.may_end(&after.model, how, &note)?;
        }
        Ok(after)
    }

    /// Lets the time pass that has gone by since the last entry: what is hot has cooled, what is wet has dried, and an engine that was left
    /// running for long was shut down. The next entry reckons with it by itself. Whether that changed anything.
    pub fn let_pass(&mut self, when: &str) -> bool {
        let idle = clock::idle(&self.log, when).filter(|_| self.state.follows_engine && self.state.ended.is_none());
        let Some((minutes, mut state)) = idle.zip(fold::fold(&self.model, &self.log).ok()) else { return false };
        state.pauses(&self.model, minutes);
        let changed = state.setting != self.state.setting;
        self.state = state;
        changed
    }

    /// The number the next entry will have, one past the last.
    #[must_use]
    pub fn next_number(&self) -> u64 {
        self.log.last().map_or(1, |l| l.number + 1)
    }

    /// The engine's model.
    #[must_use]
    pub fn model(&self) -> &Model {
        &self.model
    }

    /// The engine's model, to share.
    #[must_use]
    pub fn shared_model(&self) -> Arc<Model> {
        Arc::clone(&self.model)
    }

    /// Every entry, undone and amended ones included.
    #[must_use]
    pub fn log(&self) -> &[Logged] {
        &self.log
    }

    /// Numbers of the entries that stand (amended ones in their new form).
    #[must_use]
    pub fn standing_entries(&self) -> Vec<(u64, Entry)> {
        standing_entries(&self.log)
    }

    /// The entry that would be taken back next: the last that stands, the opening excepted. What a shop lead said is
    /// taken back only by its number, never by the way.
    #[must_use]
    pub fn last_standing(&self) -> Option<(u64, Entry)> {
        self.standing_entries().into_iter().skip(1).rfind(|(_, entry)| !entry.is_leads_word())
    }

    /// The remarks that stand, in order.
    #[must_use]
    pub fn remarks(&self) -> Vec<Remark> {
        review::remarks(&self.log, &self.standing_entries())
    }

    /// The last review mark that stands, where the job was gone through.
    #[must_use]
    pub fn review(&self) -> Option<ReviewMark> {
        review::mark(&self.log, &self.standing_entries())
    }

    /// How the job was opened.
    #[must_use]
    pub fn opening(&self) -> Option<&Opening> {
        self.log.iter().find_map(|l| match &l.entry {
            Entry::Opened(opening) => Some(opening.as_ref()),
            _ => None,
        })
    }

    /// What is known.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// What may be live: what every surface says until it is proven otherwise. Empty where nothing is known against it.
    #[must_use]
    pub fn warnings(&self) -> Vec<String> {
        let live = self.state.ledger.live().iter().map(|side| {
            format!(
                "The {side} side may be live: nothing yet proves that its switch grounds it. Keep clear of the propeller until a check \
                 proves it grounded."
            )
        });
        let off = self.state.ungrounded(&self.model).into_iter().map(|id| {
            let access = &self.model[id];
            let of = self.model.site_words(access.site);
            format!(
                "{}, {of}: no switch grounds this magneto now. Keep clear of the propeller until it is back on.",
                access.title
            )
        });
        live.chain(off).collect()
    }

    /// Parts that are due or overdue by the aircraft's card and can be renewed while the access is open.
    #[must_use]
    pub fn reminders(&self) -> Vec<Reminder> {
        let done: Vec<CorrectionId> = self.state.done.iter().map(|d| d.correction).collect();
        upkeep::reminders(&self.model, &self.state.ages, &self.state.setting, &done)
    }
}
