//! How a job ends: what its record bears out, whatever it was closed as, and what is missing for a better end.

use crate::model::{CheckId, ComplaintId, Conditions, CorrectionKind, Model};
use crate::work::{Action, grounding_checks};

use super::entry::{Ending, Entry, Levels};
use super::names::levels_of;
use super::refusal::Refusal;
use super::state::State;
use super::tell::levels_words;

/// What a job still needs before it can end as cured and proven.
#[derive(Debug, Clone, PartialEq)]
pub struct Missing {
    /// What it is, as a clause.
    pub words: String,
    /// What brings it; none where nothing that can be suggested here does.
    pub action: Option<Action>,
    /// Minutes that takes from here.
    pub minutes: f64,
}

impl State {
    /// How the job ended by what its record bears out; none while it is open.
    #[must_use]
    pub fn ending(&self, model: &Model) -> Option<Ending> {
        self.ended.map(|closed_as| self.borne_out(model, closed_as))
    }

    /// What the record bears out where somebody closes the job so. Cured asks for a correction, a run that passed since under the conditions
    /// of every complaint, no side that may be live and nothing owed; not reproduced, that the complaint was never there in the work.
    #[must_use]
    pub fn borne_out(&self, model: &Model, closed_as: Ending) -> Ending {
        match closed_as {
            Ending::CuredProven if self.missing(model).is_empty() => Ending::CuredProven,
            Ending::NotFound if self.was_corrected(model) && !self.awaits_proof() => Ending::NotFound,
            Ending::CuredProven | Ending::CorrectedNotProven | Ending::NotFound | Ending::NotReproduced => {
                self.less_than_cured(model)
            }
            Ending::HandedOver | Ending::Stopped => closed_as,
        }
    }

    fn less_than_cured(&self, model: &Model) -> Ending {
        if self.was_corrected(model) {
            Ending::CorrectedNotProven
        } else if self.was_there_in_the_work(model) {
            Ending::NotFound
        } else {
            Ending::NotReproduced
        }
    }

    /// What is missing for an end as cured and proven; nothing where it can end so.
    #[must_use]
    pub fn missing(&self, model: &Model) -> Vec<Missing> {
        let minutes = |action: Option<Action>| action.map_or(0.0, |action| self.work(model, action).minutes);
        let missing = |words: String, action: Option<Action>| Missing { words, action, minutes: minutes(action) };
        let mut all = Vec::new();
        if !self.was_corrected(model) {
            all.push(missing("nothing was put right".to_owned(), None));
        }
        for (complaint, under) in self.runs_missing() {
            let elsewhere = self.unlike_report(model, complaint, under);
            let under = elsewhere.map_or_else(
                || "under the conditions of its report".to_owned(),
                |levels| format!("under conditions in which it showed here ({levels})"),
            );
            let words = format!(
                "not yet proven gone by a run {under}: {}, {}",
                model[complaint].title,
                model.site_words(model[complaint].site)
            );
            all.push(missing(words, Some(Action::ProofRun)));
        }
        let standing = self.left_standing(model).into_iter();
        all.extend(standing.map(|(words, check)| missing(words, check.map(Action::Check))));
        all
    }

    /// In which levels conditions differ from those of a complaint's report, in words; none where they do not.
    fn unlike_report(&self, model: &Model, complaint: ComplaintId, under: &Conditions) -> Option<String> {
        let (_, reported) = self.complaints().find(|(id, _)| *id == complaint)?;
        let levels = unlike(model, reported, under);
        (!levels.is_empty()).then(|| levels_words(&levels))
    }

    /// The levels of the proof run that comes next as they differ from the report of the complaint in hand; empty where it is made as
    /// reported.
    #[must_use]
    pub fn proof_levels(&self, model: &Model) -> Levels {
        unlike(model, self.in_hand().1, self.proof_under())
    }

    /// The proof run that comes next, as it is entered.
    #[must_use]
    pub fn proof_run(&self, model: &Model, showing: bool) -> Entry {
        Entry::ProofRun { showing, levels: self.proof_levels(model) }
    }

    /// What keeps the job from ending as cured or as not found: sides that may be live, and checks that are owed.
    #[must_use]
    pub fn keeps_open(&self, model: &Model) -> Vec<String> {
        self.left_standing(model).into_iter().map(|(words, _)| words).collect()
    }

    /// The same, each with the check that settles it.
    fn left_standing(&self, model: &Model) -> Vec<(String, Option<CheckId>)> {
        // With the engine at rest it is proven of a side whether that fires or not.
        let grounding = |side| grounding_checks(model, side).min_by_key(|id| model[*id].manner.engine);
        let live = self.ledger.live().iter();
        let live = live.map(|side| (format!("the {side} side is not proven grounded"), grounding(*side)));
        let owed = self.ledger.owed().into_iter().map(|(id, _)| id);
        let coming = self.ledger.owed_once_closed(model, self.setting.open.iter()).into_iter().map(|(id, _)| id);
        let words = |id: CheckId| format!("owed: {}, {}", model[id].title, model.site_words(model[id].site));
        live.chain(owed.chain(coming).map(|id| (words(id), Some(id)))).collect()
    }

    /// Whether an end that the record bears out asks for a reason: something is left to do.
    #[must_use]
    pub fn wants_reason(&self, model: &Model, how: Ending) -> bool {
        match how {
            Ending::CorrectedNotProven | Ending::Stopped => true,
            Ending::HandedOver => !self.keeps_open(model).is_empty(),
            Ending::CuredProven | Ending::NotFound | Ending::NotReproduced => false,
        }
    }

    /// Whether a job may be closed so.
    ///
    /// # Errors
    /// What keeps it from ending so, that a reason is asked for, or what the record bears out instead.
    pub(super) fn may_end(&self, model: &Model, how: Ending, note: &str) -> Result<(), Refusal> {
        let keeps = self.keeps_open(model);
        let borne_out = self.borne_out(model, how);
        match how {
            Ending::CuredProven if borne_out != how => {
                let missing = self.missing(model).into_iter().map(|m| m.words).collect::<Vec<_>>();
                let instead = if borne_out.is_lost() && !keeps.is_empty() { Ending::Stopped } else { borne_out };
                Err(Refusal::NotProven { missing: missing.join("; "), instead: instead.words() })
            }
            _ if how.is_lost() && !keeps.is_empty() => Err(Refusal::KeepsOpen(keeps.join("; "))),
            _ if borne_out != how => Err(Refusal::NotBorneOut { how: how.words(), instead: borne_out.words() }),
            _ if note.trim().is_empty() && self.wants_reason(model, how) => {
                let standing = if keeps.is_empty() { self.unproven_words(model) } else { keeps.join("; ") };
                Err(Refusal::SayWhy(standing))
            }
            _ => Ok(()),
        }
    }

    fn unproven_words(&self, model: &Model) -> String {
        let titles: Vec<&str> = self.unproven().iter().map(|id| model[*id].title.as_str()).collect();
        if titles.is_empty() {
            "nothing is left to do".to_owned()
        } else {
            format!("not proven: {}", titles.join("; "))
        }
    }

    fn was_corrected(&self, model: &Model) -> bool {
        self.done.iter().any(|done| model[done.correction].kind != CorrectionKind::HandOver)
    }

    /// Whether a complaint was there at any moment of the work: said so, or seen by a check on the running engine.
    fn was_there_in_the_work(&self, model: &Model) -> bool {
        !self.shown_in.is_empty() || self.given.iter().any(|given| given.is_abnormal_run(model))
    }
}

/// The levels of conditions that differ from others.
fn unlike(model: &Model, from: &Conditions, levels: &Conditions) -> Levels {
    let from = levels_of(model, from);
    levels_of(model, levels).into_iter().filter(|(name, level)| from.get(name) != Some(level)).collect()
}
