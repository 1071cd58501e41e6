//! One job: the closed list of entries, and the fold that makes the state. The only way a state changes is an entry.
//!
//! It must not know the disk, the clock or any screen: entries come with their number and time, and the record keeps them.

mod alike;
mod clock;
mod course;
mod entry;
mod evidence;
mod fold;
mod names;
mod refusal;
mod review;
mod standing;
mod state;
mod tell;
pub mod weigh;

use std::sync::{Arc, OnceLock};

pub use alike::{Alike, SAME_CHANCE};
pub use course::{Contribution, Moment};
pub use entry::{AircraftFacts, Answer, Disturbed, Ending, Entry, Levels, Logged, Opening, PartAge};
pub use evidence::problem;
pub use names::with_levels;
pub use refusal::Refusal;
pub use review::{Remark, ReviewMark};
pub use standing::{Against, Standing};
pub use state::{Done, Given, Origin, Pause, Spell, State};
pub use tell::tell;

use crate::belief::{Belief, Extent, Posterior, infer};
use crate::model::{CauseId, CheckId, CorrectionId, CorrectionKind, Model, Prices};
use crate::plan::{Advice, Situation, advise};
use crate::upkeep::{self, Reminder, Way};

/// How far explanations are listed for planning and for the eye.
pub const EXTENT: Extent = Extent { most: 120, share: 0.985 };

/// One job, open or closed.
#[derive(Debug, Clone)]
pub struct Job {
    model: Arc<Model>,
    log: Vec<Logged>,
    state: State,
    posterior: OnceLock<Posterior>,
    advice: OnceLock<Advice>,
    course: OnceLock<Vec<Moment>>,
    alike: OnceLock<Vec<Alike>>,
}

impl Job {
    /// A job from its entries; the first is its opening.
    ///
    /// # Errors
    /// The number of the first entry that does not fit the model, and why.
    pub fn replay(model: Arc<Model>, log: Vec<Logged>) -> Result<Self, (u64, Refusal)> {
        let state = fold::fold(&model, &log)?;
        Ok(Self {
            model,
            log,
            state,
            posterior: OnceLock::new(),
            advice: OnceLock::new(),
            course: OnceLock::new(),
            alike: OnceLock::new(),
        })
    }

    /// Whether an entry would be taken. Ask before it is saved.
    ///
    /// # Errors
    /// Why it does not fit.
    pub fn test(&self, entry: &Entry) -> Result<(), Refusal> {
        self.after(Logged { number: self.next_number(), when: String::new(), entry: entry.clone() }).map(|_| ())
    }

    /// Takes an entry.
    ///
    /// # Errors
    /// Why it does not fit; the job is as it was.
    pub fn enter(&mut self, logged: Logged) -> Result<(), Refusal> {
        *self = self.after(logged)?;
        Ok(())
    }

    fn after(&self, logged: Logged) -> Result<Self, Refusal> {
        let mut log = self.log.clone();
        log.push(logged);
        Self::replay(Arc::clone(&self.model), log).map_err(|(_, refusal)| refusal)
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
        fold::standing(&self.log).unwrap_or_default()
    }

    /// The entry that would be taken back next: the last that stands, the opening excepted. What a shop lead said is taken back only
    /// by its number, never by the way.
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

    /// How likely everything is. Worked out once, when first asked for.
    #[must_use]
    pub fn posterior(&self) -> &Posterior {
        self.posterior.get_or_init(|| infer(&problem(&self.model, &self.state), EXTENT))
    }

    /// What was believed after the opening and after each entry that tells something. Worked out once, when first asked for.
    #[must_use]
    pub fn course(&self) -> &[Moment] {
        self.course.get_or_init(|| course::course(&self.model, &self.log, None))
    }

    /// As [`Job::course`], taking over from an earlier state of the same job what it has worked out already.
    pub fn course_after(&self, earlier: &Self) -> &[Moment] {
        let known = earlier.course.get().map(|moments| (earlier.log.as_slice(), moments.as_slice()));
        self.course.get_or_init(|| course::course(&self.model, &self.log, known))
    }

    /// The course, where it is worked out already.
    #[must_use]
    pub fn course_now(&self) -> Option<&[Moment]> {
        self.course.get().map(Vec::as_slice)
    }

    /// Takes over what an earlier state of the same job has worked out, where nothing was entered since that could change it: a caution
    /// that was read, a note.
    #[must_use]
    pub fn knowing(mut self, earlier: &Self) -> Self {
        let mut state = earlier.state.clone();
        state.acknowledged.clone_from(&self.state.acknowledged);
        state.acknowledged_for_next.clone_from(&self.state.acknowledged_for_next);
        if Arc::ptr_eq(&self.model, &earlier.model) && state == self.state {
            self.posterior = earlier.posterior.clone();
            self.advice = earlier.advice.clone();
            self.alike = earlier.alike.clone();
        }
        self
    }

    /// Whether the posterior is worked out already, so that asking for a belief does not take long.
    #[must_use]
    pub fn is_ranked(&self) -> bool {
        self.posterior.get().is_some()
    }

    /// What to do next, where it is worked out already.
    #[must_use]
    pub fn advice_now(&self) -> Option<&Advice> {
        self.advice.get()
    }

    /// What each entry did to the odds of a cause, in order.
    #[must_use]
    pub fn contributions(&self, id: CauseId) -> Vec<Contribution> {
        course::contributions(self.course(), id)
    }

    /// Why a cause stands where it does: the entries that moved its odds enough to be worth naming, the strongest first, each in
    /// words.
    #[must_use]
    pub fn because(&self, id: CauseId) -> Vec<(Contribution, String)> {
        let standing = self.standing_entries();
        let words = |number: u64| {
            let entry = standing.iter().find(|(n, _)| *n == number).map(|(_, entry)| entry)?;
            Some(tell(&self.model, entry))
        };
        let mut found: Vec<(Contribution, String)> = self
            .contributions(id)
            .into_iter()
            .filter(Contribution::is_worth_naming)
            .filter_map(|c| Some((c, words(c.number)?)))
            .collect();
        found.sort_by(|a, b| b.0.factor.ln().abs().total_cmp(&a.0.factor.ln().abs()));
        found
    }

    /// What to do next. Worked out once, when first asked for.
    #[must_use]
    pub fn advice(&self) -> &Advice {
        self.advice.get_or_init(|| advise(&self.situation()))
    }

    /// The planner's view of the job.
    #[must_use]
    pub fn situation(&self) -> Situation<'_> {
        self.situation_with(self.posterior())
    }

    /// Whether this spell was begun by a provocation, and nothing was seen in it yet.
    fn just_provoked(&self) -> bool {
        let state = &self.state;
        let began = state.spells.last().map(|spell| spell.number);
        let provoked = |l: &Logged| Some(l.number) == began && matches!(l.entry, Entry::Provoked { .. });
        self.log.iter().rev().any(provoked)
            && state.showing().is_none()
            && !state.given.iter().any(|given| given.spell == state.now())
    }

    /// Checks that are not to be suggested: not possible here, passed over, or without sense now.
    fn barred(&self) -> Vec<CheckId> {
        let ready = self.state.all_ready(&self.model);
        let barred = |id: &CheckId| {
            self.state.not_possible.contains(id) || self.state.skipped.contains(id) || ready(*id).is_err()
        };
        (0..self.model.checks.len()).map(CheckId).filter(barred).collect()
    }

    /// The planner's view of the job by another belief.
    #[must_use]
    pub fn situation_with<'a>(&'a self, posterior: &'a Posterior) -> Situation<'a> {
        let state = &self.state;
        // Where it has shown since, handing it over was not the end of it.
        let shown_since = |from: usize| state.spells[from..].iter().any(|s| s.showing == Some(true));
        Situation {
            model: &self.model,
            complaint: state.complaint,
            posterior,
            now: state.now_for_work(&self.model),
            reported: &state.reported,
            showing: state.showing(),
            just_provoked: self.just_provoked(),
            answered: state.given.iter().map(|g| (g.check, g.spell == state.now())).collect(),
            seen_since_corrected: {
                let from = state.done.last().map_or(0, |done| done.from);
                state.given.iter().filter(|g| g.spell >= from).map(|g| (g.check, g.seen())).collect()
            },
            barred: self.barred(),
            awaits_proof: state.awaits_proof(),
            proof_passed: state.proof_passed(),
            confirmed: state.confirmed.iter().copied().collect(),
            handed_over: state
                .done
                .iter()
                .any(|d| self.model[d.correction].kind == CorrectionKind::HandOver && !shown_since(d.from)),
            corrected: state.done.iter().map(|d| d.correction).collect(),
        }
    }

    /// What is believed of a cause.
    #[must_use]
    pub fn belief(&self, id: CauseId) -> Belief {
        self.posterior().causes.get(id.0).copied().unwrap_or_default()
    }

    /// Where a cause stands.
    #[must_use]
    pub fn standing(&self, id: CauseId) -> Standing {
        standing::standing(&self.model, &self.state, self.posterior(), id)
    }

    /// The checks that speak against a cause, the strongest first.
    #[must_use]
    pub fn against(&self, id: CauseId) -> Vec<Against> {
        standing::against(&self.model, &self.state, id)
    }

    /// The suspects that no check left in the tree can tell apart, in sets, the likeliest first. Worked out once, when first asked
    /// for.
    #[must_use]
    pub fn alike(&self) -> &[Alike] {
        self.alike.get_or_init(|| alike::alike(&self.model, &self.state, self.posterior()))
    }

    /// As [`Job::alike`], where it is worked out already; none else.
    #[must_use]
    pub fn alike_now(&self) -> &[Alike] {
        self.alike.get().map(Vec::as_slice).unwrap_or_default()
    }

    /// What may be live: what every surface says until it is proven otherwise. Empty where nothing is known against it.
    #[must_use]
    pub fn warnings(&self) -> Vec<String> {
        let live = self.state.ledger.live().iter();
        live.map(|side| {
            format!(
                "The {side} side may be live: nothing yet proves that its switch grounds it. Keep clear of the propeller until a check \
                 proves it grounded."
            )
        })
        .collect()
    }

    /// Parts that are due or overdue by the aircraft's card and can be renewed while the access is open.
    #[must_use]
    pub fn reminders(&self) -> Vec<Reminder> {
        let done: Vec<CorrectionId> = self.state.done.iter().map(|d| d.correction).collect();
        upkeep::reminders(&self.model, &self.state.ages, &self.state.setting, &done)
    }

    /// The ways to put right what a correction is most likely wanted for, each with its sum by the shop's prices; none where the
    /// shop gives none.
    #[must_use]
    pub fn ways(&self, id: CorrectionId) -> Option<(&Prices, Vec<Way>)> {
        let prices = self.model.prices.as_ref()?;
        let cures = self.model[id].cures.iter();
        let cause = cures.max_by(|a, b| self.belief(**a).present.total_cmp(&self.belief(**b).present))?;
        Some((prices, upkeep::ways(&self.model, &self.state.ages, &self.state.setting, prices, *cause)))
    }

    /// All causes, most probable first (by what is present now, then by what was at first).
    #[must_use]
    pub fn ranking(&self) -> Vec<CauseId> {
        let mut ids: Vec<CauseId> = (0..self.model.causes.len()).map(CauseId).collect();
        ids.sort_by(|a, b| {
            let (x, y) = (self.belief(*a), self.belief(*b));
            y.present.total_cmp(&x.present).then(y.ever.total_cmp(&x.ever)).then(a.cmp(b))
        });
        ids
    }
}
