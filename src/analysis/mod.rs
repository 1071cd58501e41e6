//! What a job's entries come to: how likely each cause is, what to do next, how the job went, what cannot be told
//! apart.
//!
//! A [`Job`] is entries and what they say. What is believed of it is a value of its own, made on purpose: [`Ranked`]
//! has the causes ranked, [`Analysis`] has the rest beside it. Whoever holds a job alone cannot reach a belief or a
//! recommendation, and whoever holds a [`Ranked`] cannot set off long work. Must not know the disk, the clock or any
//! screen.

mod alike;
mod course;
mod evidence;
mod found;
mod looks;
mod misfits;
mod ranked;
mod replaced;
mod situation;
mod standing;
pub mod weigh;

use std::ops::Deref;
use std::sync::{Arc, OnceLock};

pub use alike::{Alike, SAME_CHANCE};
pub use course::{Contribution, Moment, because, course};
pub use evidence::{problem, share_of_rate};
pub use found::{Found, Good, findings};
pub use looks::{By, Finding, NAMES, SHOWS_GOOD, named, tells_of, would_show};
pub use misfits::Misfit;
pub use ranked::{EXTENT, Ranked};
pub use replaced::{Replaced, Was, replaced};
pub use situation::situation;
pub use standing::{Against, STILL_LIKELY, Standing};

use crate::job::Job;
use crate::model::CauseId;
use crate::plan::{Advice, Situation, Suggestion, advise};

/// A job worked out. Making it ranks the causes; the rest is worked out when first asked for, once, by whichever thread
/// asks first. It is a [`Ranked`] job with more.
#[derive(Debug, Clone)]
pub struct Analysis {
    ranked: Ranked,
    advice: OnceLock<Advice>,
    doubting: OnceLock<Advice>,
    course: OnceLock<Vec<Moment>>,
    alike: OnceLock<Vec<Alike>>,
    misfits: OnceLock<Vec<Misfit>>,
}

impl Deref for Analysis {
    type Target = Ranked;

    fn deref(&self) -> &Ranked {
        &self.ranked
    }
}

impl From<Ranked> for Analysis {
    fn from(ranked: Ranked) -> Self {
        Self {
            ranked,
            advice: OnceLock::new(),
            doubting: OnceLock::new(),
            course: OnceLock::new(),
            alike: OnceLock::new(),
            misfits: OnceLock::new(),
        }
    }
}

impl Analysis {
    /// Ranks the causes of a job: tens of milliseconds.
    #[must_use]
    pub fn of(job: impl Into<Arc<Job>>) -> Self {
        Ranked::of(job).into()
    }

    /// The analysis of a later state of the same job, where nothing was entered since that could change it: a caution
    /// that was read, a note. Its course alone is worked out anew. None where something was.
    #[must_use]
    pub fn carried(&self, later: &Arc<Job>) -> Option<Self> {
        let ranked = self.ranked.carried(later)?;
        let (advice, doubting) = (self.advice.clone(), self.doubting.clone());
        let (alike, misfits) = (self.alike.clone(), self.misfits.clone());
        Some(Self { ranked, advice, doubting, course: OnceLock::new(), alike, misfits })
    }

    /// As [`Analysis::of`], taking over from an earlier state of the same job what still holds: all of it where nothing was entered that
    /// could change it, and what is believed where only the engine cooled, something was opened, or the like.
    #[must_use]
    pub fn after(job: impl Into<Arc<Job>>, earlier: &Self) -> Self {
        let job = job.into();
        let believed = || {
            let ranked = earlier.ranked.with_same_evidence(&job)?;
            Some(Self { misfits: earlier.misfits.clone(), ..ranked.into() })
        };
        earlier.carried(&job).or_else(believed).unwrap_or_else(|| Self::of(job))
    }

    /// The job with its causes ranked, and nothing else.
    #[must_use]
    pub fn ranked(&self) -> &Ranked {
        &self.ranked
    }

    /// What to do next.
    #[must_use]
    pub fn advice(&self) -> &Advice {
        self.advice.get_or_init(|| advise(&self.situation()))
    }

    /// What to do next, with second looks at answers that do not fit. One inference an answer: for what is not waited for by a key.
    #[must_use]
    pub fn advice_with_doubts(&self) -> &Advice {
        let doubts = || self.misfits().iter().filter_map(|misfit| misfit.doubt(self)).collect::<Vec<_>>();
        self.doubting.get_or_init(|| match doubts() {
            none if none.is_empty() => self.advice().clone(),
            doubts => advise(&Situation { doubts, ..self.situation() }),
        })
    }

    /// The second look that is worth most, and whether it comes before everything else, where that is worked out already.
    #[must_use]
    pub fn second_look_now(&self) -> Option<(&Suggestion, bool)> {
        let next = &self.doubting.get()?.next;
        let at = next.iter().position(|suggestion| suggestion.again)?;
        next.get(at).map(|suggestion| (suggestion, at == 0))
    }

    /// What to do next, where it is worked out already.
    #[must_use]
    pub fn advice_now(&self) -> Option<&Advice> {
        self.advice.get()
    }

    /// What was believed after the opening and after each entry that tells something.
    #[must_use]
    pub fn course(&self) -> &[Moment] {
        self.course.get_or_init(|| course(self))
    }

    /// As [`Analysis::course`], taking over from an earlier state of the same job what it has worked out already.
    pub fn course_after(&self, earlier: &Self) -> &[Moment] {
        let known = earlier.course.get().map(|moments| (earlier.log(), moments.as_slice()));
        self.course.get_or_init(|| course::course_after(self, known))
    }

    /// The course, where it is worked out already.
    #[must_use]
    pub fn course_now(&self) -> Option<&[Moment]> {
        self.course.get().map(Vec::as_slice)
    }

    /// What each entry did to the odds of a cause, in order.
    #[must_use]
    pub fn contributions(&self, id: CauseId) -> Vec<Contribution> {
        course::contributions(self.course(), id)
    }

    /// As [`because`], by the course of this job.
    #[must_use]
    pub fn because(&self, id: CauseId) -> Vec<(Contribution, String)> {
        because(self, self.course(), id)
    }

    /// The suspects that no check left in the tree can tell apart, in sets, the likeliest first.
    #[must_use]
    pub fn alike(&self) -> &[Alike] {
        self.alike.get_or_init(|| alike::alike(self.model(), self.state(), self.posterior()))
    }

    /// As [`Analysis::alike`], where it is worked out already; none else.
    #[must_use]
    pub fn alike_now(&self) -> &[Alike] {
        self.alike.get().map(Vec::as_slice).unwrap_or_default()
    }

    /// The answers that fit the others least, the least fitting first, at most two. One inference an answer.
    #[must_use]
    pub fn misfits(&self) -> &[Misfit] {
        self.misfits.get_or_init(|| misfits::misfits(self))
    }

    /// As [`Analysis::misfits`], where they are worked out already; none else.
    #[must_use]
    pub fn misfits_now(&self) -> &[Misfit] {
        self.misfits.get().map(Vec::as_slice).unwrap_or_default()
    }
}
