//! What is asked before the first check.
//!
//! Owns the intake's rows and their defaults, and makes the opening of them. Must not draw.

use std::sync::Arc;

use crate::job::{AircraftFacts, Levels, NoWork, Opening, RecentWork, WorkDone};
use crate::model::ORDINARY_WINDOW_HOURS;
use crate::model::{ComplaintId, Conditions, Model, Site};

use super::field::Field;

/// A row of the intake.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Line {
    /// The engine: a layout or an aircraft card.
    Engine,
    /// The complaint and its site.
    Complaint,
    /// One condition when it was seen.
    Seen(usize),
    /// When it does not show.
    Quiet,
    /// Hours since it last ran well.
    Hours,
    /// What was worked on before.
    RecentWork,
    /// The mechanic's name.
    Mechanic,
    /// The pilot's words.
    Words,
}

/// What the pilot says of when it does not show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Quiet {
    /// As the complaint has it in the tree.
    Usual,
    /// Nothing was said.
    NotSaid,
    /// With everything at rest: the first level of each condition.
    AtRest,
}

/// The intake as filled in so far.
#[derive(Debug, Clone)]
pub(super) struct Intake {
    /// Name of the layout.
    pub layout: String,
    /// The engine's model.
    pub model: Arc<Model>,
    /// The aircraft's card, where one was read.
    pub card: Option<AircraftFacts>,
    /// The complaint.
    pub complaint: Option<ComplaintId>,
    /// Conditions when it was seen.
    pub reported: Vec<usize>,
    /// When it does not show.
    pub quiet: Quiet,
    /// Hours since it last ran well, as typed.
    pub hours: Field,
    /// What was worked on before.
    pub recent_work: RecentWork,
    /// The mechanic's name.
    pub mechanic: Field,
    /// The pilot's words.
    pub words: Field,
    /// The row.
    pub row: usize,
}

impl Intake {
    /// An intake for an engine, nothing else filled in.
    #[must_use]
    pub(super) fn new(layout: String, model: Arc<Model>, card: Option<AircraftFacts>, mechanic: &str) -> Self {
        Self {
            layout,
            reported: Conditions::resting(&model.conditions).0,
            model,
            card,
            complaint: None,
            quiet: Quiet::NotSaid,
            hours: Field::default(),
            recent_work: RecentWork::Said(NoWork::NotKnown),
            mechanic: Field::of(mechanic),
            words: Field::default(),
            row: 0,
        }
    }

    /// Takes a complaint, with the conditions it usually comes with.
    pub(super) fn take(&mut self, id: ComplaintId) {
        let complaint = &self.model[id];
        self.reported.clone_from(&complaint.usual.0);
        self.quiet = if complaint.quiet.is_some() { Quiet::Usual } else { Quiet::NotSaid };
        self.complaint = Some(id);
    }

    /// The rows.
    #[must_use]
    pub(super) fn lines(&self) -> Vec<Line> {
        let seen = (0..self.model.conditions.len()).map(Line::Seen);
        // A tree without kinds of work has nothing to ask.
        let recent_work = (!self.model.recent_work.is_empty()).then_some(Line::RecentWork);
        let rest = [Line::Quiet, Line::Hours].into_iter().chain(recent_work).chain([Line::Mechanic, Line::Words]);
        [Line::Engine, Line::Complaint].into_iter().chain(seen).chain(rest).collect()
    }

    /// The row the keys go to.
    #[must_use]
    pub(super) fn line(&self) -> Line {
        self.lines().get(self.row).copied().unwrap_or(Line::Engine)
    }

    /// Whether that row is written in.
    #[must_use]
    pub(super) fn on_text(&self) -> bool {
        matches!(self.line(), Line::Hours | Line::Mechanic | Line::Words)
    }

    /// The field of the row, where it is written in.
    pub(super) fn field(&mut self) -> Option<&mut Field> {
        match self.line() {
            Line::Hours => Some(&mut self.hours),
            Line::Mechanic => Some(&mut self.mechanic),
            Line::Words => Some(&mut self.words),
            _ => None,
        }
    }

    /// The next or the last choice of the row, where it has choices of its own.
    pub(super) fn change(&mut self, forward: bool) {
        match self.line() {
            Line::Seen(at) => {
                let count = self.model.conditions[at].levels.len().max(1);
                let step = if forward { 1 } else { count - 1 };
                self.reported[at] = (self.reported[at] + step) % count;
            }
            Line::Quiet => {
                let choices = self.quiet_choices();
                let at = choices.iter().position(|q| *q == self.quiet).unwrap_or(0);
                let step = if forward { 1 } else { choices.len() - 1 };
                self.quiet = choices[(at + step) % choices.len()];
            }
            _ => {}
        }
    }

    /// Marks or unmarks a piece of work that was done.
    pub(super) fn mark_work(&mut self, work: &str, at: Site) {
        let one = WorkDone { work: work.to_owned(), at };
        let mut done = self.recent_work.done().to_vec();
        match done.iter().position(|other| *other == one) {
            Some(found) => drop(done.remove(found)),
            None => done.push(one),
        }
        self.recent_work = if done.is_empty() { RecentWork::Said(NoWork::NotKnown) } else { RecentWork::Done(done) };
    }

    /// The sites at which work of this kind is marked.
    #[must_use]
    pub(super) fn marked_sites(&self, work: &str) -> Vec<Site> {
        self.recent_work.done().iter().filter(|done| done.work == work).map(|done| done.at).collect()
    }

    fn quiet_choices(&self) -> Vec<Quiet> {
        let usual = self.complaint.is_some_and(|id| self.model[id].quiet.is_some());
        let first = usual.then_some(Quiet::Usual);
        first.into_iter().chain([Quiet::NotSaid, Quiet::AtRest]).collect()
    }

    /// The words of the row about when it does not show.
    #[must_use]
    pub(super) fn quiet_words(&self) -> String {
        let kinds = &self.model.conditions;
        match self.quiet {
            Quiet::NotSaid => "nothing said".into(),
            Quiet::AtRest => super::words::conditions(&self.model, &Conditions::resting(kinds)),
            Quiet::Usual => {
                let usual = self.complaint.and_then(|id| self.model[id].quiet.as_ref());
                usual.map(|q| super::words::conditions(&self.model, q)).unwrap_or_default()
            }
        }
    }

    fn levels(&self, conditions: &[usize]) -> Levels {
        let kinds = self.model.conditions.iter().zip(conditions);
        kinds.filter_map(|(kind, level)| Some((kind.name.clone(), kind.levels.get(*level)?.clone()))).collect()
    }

    /// The opening of the job.
    ///
    /// # Errors
    /// What is missing or cannot be, and what to do.
    pub(super) fn opening(&self) -> Result<Opening, String> {
        let id = self.complaint.ok_or("Choose the complaint first: go to its row and press Right.")?;
        let typed = self.hours.text().trim();
        let window_hours = if typed.is_empty() {
            None
        } else {
            let number = typed.trim_end_matches(['h', ' ']).replace(',', ".").parse::<f64>().ok();
            let hours = number.filter(|h| h.is_finite() && *h > 0.0 && *h <= 5000.0);
            Some(hours.ok_or(format!(
                "Hours since it last ran well: give a number from 1 to 5,000, or leave it empty for {ORDINARY_WINDOW_HOURS}."
            ))?)
        };
        Ok(Opening {
            layout: self.layout.clone(),
            trees: String::new(),
            complaint: self.model[id].name.clone(),
            at: self.model[id].site,
            reported: self.levels(&self.reported),
            quiet: match self.quiet {
                Quiet::Usual => None,
                Quiet::NotSaid => Some(Levels::new()),
                Quiet::AtRest => Some(self.levels(&Conditions::resting(&self.model.conditions).0)),
            },
            window_hours,
            follows_engine: true,
            recent_work: (!self.model.recent_work.is_empty()).then(|| self.recent_work.clone()),
            disturbed: Vec::new(),
            aircraft: self.card.clone(),
            mechanic: self.mechanic.text().trim().to_owned(),
            words: self.words.text().trim().to_owned(),
        })
    }
}
