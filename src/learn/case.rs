//! Closed jobs to learn from: what was found to be at fault in each, and how well that was confirmed.
//!
//! What the program believed proves nothing here: a cause counts as found only where somebody saw it, or where a correction and the proof
//! run after it made the complaint go.

use std::collections::{BTreeMap, BTreeSet};

use crate::analysis::{Ranked, Standing, problem};
use crate::belief::{Extent, infer};
use crate::job::{Ending, Entry, Job, State};
use crate::model::{CauseId, CheckId, Model, Seen};

/// Engine hours after which a complaint that has not come back is taken to be mended for good; within them, the same complaint on the
/// same aircraft means that it was not. Placeholder: an inspection interval.
const HELD_HOURS: f64 = 50.0;
/// From this probability on, the one cause behind a cure is taken to be told apart from the others that the correction cures.
const TOLD_APART: f64 = 0.8;
/// From this probability on, what was seen of a cause is taken to be of that one.
const SEEN: f64 = 0.9;

/// How it was confirmed that a cause was there, from the best.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Confirmed {
    /// Seen: confirmed by eye, or by a finding that proves it by itself.
    Seen,
    /// The complaint went with its correction, and the aircraft has flown on without it.
    Held,
    /// The complaint went with its correction, in one proof run.
    Gone,
}

impl Confirmed {
    /// How much of a case it is worth, 0 to 1.
    #[must_use]
    pub fn weight(self) -> f64 {
        match self {
            Self::Seen => 1.0,
            Self::Held => 0.7,
            Self::Gone => 0.3,
        }
    }
}

/// A cause that was at fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Found {
    /// The cause.
    pub cause: CauseId,
    /// How sure it is that it was this one of those that the correction cures, 0 to 1; 1 where it was seen.
    pub share: f64,
    /// How it was confirmed.
    pub by: Confirmed,
    /// Whether it was confirmed by eye: by no check of this tree.
    pub by_eye: bool,
    /// The checks that saw it by themselves.
    pub seen_by: Vec<CheckId>,
    /// The first spell after its correction.
    pub until: usize,
}

impl Found {
    /// How much of a case it is worth.
    #[must_use]
    pub fn weight(&self) -> f64 {
        self.by.weight() * self.share
    }

    /// Whether it is this cause and no other of its correction.
    #[must_use]
    pub fn is_told_apart(&self) -> bool {
        self.share >= TOLD_APART
    }
}

/// Why a job teaches nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum LeftOut {
    /// It is still open.
    Open,
    /// It was practice or a demonstration.
    Practice,
    /// It ended without a passed proof run, or was handed over without anybody having seen the fault.
    NotProven,
    /// The complaint came back on the same aircraft soon after.
    CameBack,
}

impl LeftOut {
    /// In words, for a count of jobs.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Open => "still open",
            Self::Practice => "practice or demonstration",
            Self::NotProven => "not proven",
            Self::CameBack => "came back soon after",
        }
    }
}

/// A closed job whose faults were proven.
#[derive(Debug)]
pub struct Case {
    /// The job.
    pub job: Job,
    /// What was at fault; never empty.
    pub found: Vec<Found>,
    /// The watch it fell into, where the hours flown up to it are known: an index into those of [`Cases`].
    pub watch: Option<usize>,
}

impl Case {
    /// What is certain of it: the causes told apart.
    #[must_use]
    pub fn truth(&self) -> Vec<CauseId> {
        self.found.iter().filter(|f| f.is_told_apart()).map(|f| f.cause).collect()
    }

    /// Whether the truth of this case stands without what this check said: the cause was seen by eye or by another check, or the cure
    /// alone tells it apart from what else the correction cures.
    pub(super) fn stands_without(&self, found: &Found, check: CheckId) -> bool {
        let model = self.job.model();
        let other = |id: &CheckId| model[*id].name != model[check].name;
        if found.by_eye || found.seen_by.iter().any(other) {
            return true;
        }
        let mut state = self.job.state().clone();
        state.given.retain(|g| model[g.check].name != model[check].name);
        let believed = infer(&problem(model, &state), Extent { most: 1, share: 0.0 });
        believed.causes.get(found.cause.0).is_some_and(|b| b.ever >= TOLD_APART)
    }
}

/// Hours that one aircraft has flown since its first job, in which every fault would have made a record.
#[derive(Debug, Clone, PartialEq)]
pub struct Watch {
    /// Engine hours from its first job to now.
    pub hours: f64,
    /// Jobs in that time, the first one not counted.
    pub jobs: usize,
    /// Sites of each kind of cause.
    pub sites: BTreeMap<String, f64>,
}

/// Jobs sorted into cases and those left out.
#[derive(Debug, Default)]
pub struct Cases {
    /// What can be learnt from, oldest first.
    pub cases: Vec<Case>,
    /// Why the others cannot.
    pub left_out: Vec<LeftOut>,
    /// The aircraft whose hours are known.
    pub watches: Vec<Watch>,
}

impl Cases {
    /// Sorts jobs, oldest first, each with whether it was practice or a demonstration. `hours_now` are the engine hours of aircraft by
    /// registration as they are today; an aircraft that is not there gives no hours of exposure.
    #[must_use]
    pub fn of(jobs: Vec<(Job, bool)>, hours_now: &BTreeMap<String, f64>) -> Self {
        let flown: Vec<Option<Flown>> = jobs.iter().map(|(job, practice)| flown(job, *practice)).collect();
        let mut sorted = Self::default();
        let watch_of = sorted.watch(&jobs, &flown, hours_now);
        for (at, (job, practice)) in jobs.into_iter().enumerate() {
            let later = flown[at].as_ref().map(|of| of.later(&flown[at + 1..]));
            let found = match (practice, later) {
                (true, _) => Err(LeftOut::Practice),
                (false, Some(Later::CameBack)) => Err(LeftOut::CameBack),
                (false, later) => found(&job, later == Some(Later::Held)),
            };
            match found {
                Ok(found) => sorted.cases.push(Case { job, found, watch: watch_of[at] }),
                Err(why) => sorted.left_out.push(why),
            }
        }
        sorted
    }

    /// Begins a watch with the first job of each aircraft whose hours now are known; its later jobs fall into it.
    fn watch(
        &mut self,
        jobs: &[(Job, bool)],
        flown: &[Option<Flown>],
        hours_now: &BTreeMap<String, f64>,
    ) -> Vec<Option<usize>> {
        let mut begun: BTreeMap<&str, usize> = BTreeMap::new();
        let mut watch_of = vec![None; jobs.len()];
        for (at, of) in flown.iter().enumerate() {
            let Some(of) = of else { continue };
            let hours = hours_now.get(&of.registration).map_or(0.0, |now| now - of.hours);
            match begun.get(of.registration.as_str()) {
                Some(watch) => {
                    watch_of[at] = Some(*watch);
                    self.watches[*watch].jobs += 1;
                }
                None if hours > 0.0 => {
                    begun.insert(&of.registration, self.watches.len());
                    let mut sites: BTreeMap<String, f64> = BTreeMap::new();
                    for cause in &jobs[at].0.model().causes {
                        *sites.entry(cause.name.clone()).or_default() += 1.0;
                    }
                    self.watches.push(Watch { hours, jobs: 0, sites });
                }
                None => {}
            }
        }
        watch_of
    }
}

/// An aircraft at the opening of a job.
struct Flown {
    registration: String,
    hours: f64,
    complaint: (String, crate::model::Site),
}

#[derive(PartialEq)]
enum Later {
    NotKnown,
    Held,
    CameBack,
}

fn flown(job: &Job, practice: bool) -> Option<Flown> {
    let opening = job.opening().filter(|_| !practice)?;
    let aircraft = opening.aircraft.as_ref()?;
    let complaint = (opening.complaint.clone(), opening.at);
    Some(Flown { registration: aircraft.registration.clone(), hours: aircraft.engine_hours, complaint })
}

impl Flown {
    /// What the later jobs on the same aircraft say.
    fn later(&self, jobs: &[Option<Self>]) -> Later {
        let mut of_it = jobs.iter().flatten().filter(|later| later.registration == self.registration);
        let soon = |later: &&Self| later.hours - self.hours < HELD_HOURS;
        if of_it.clone().any(|later| soon(&later) && later.complaint == self.complaint) {
            Later::CameBack
        } else if of_it.any(|later| !soon(&later)) {
            Later::Held
        } else {
            Later::NotKnown
        }
    }
}

/// What was at fault in a job.
fn found(job: &Job, held: bool) -> Result<Vec<Found>, LeftOut> {
    let (model, state) = (job.model(), job.state());
    let cured = match state.ending(model) {
        None => return Err(LeftOut::Open),
        Some(Ending::CuredProven) => true,
        Some(Ending::HandedOver) => false,
        Some(Ending::CorrectedNotProven | Ending::NotFound | Ending::NotReproduced | Ending::Stopped) => {
            return Err(LeftOut::NotProven);
        }
    };
    let job = &Ranked::of(job.clone());
    let put_right: BTreeSet<CauseId> =
        state.done.iter().flat_map(|d| model[d.correction].cures.iter().copied()).collect();
    let found: Vec<Found> = put_right
        .into_iter()
        .filter_map(|cause| {
            let done = state.done.iter().filter(|d| model[d.correction].cures.contains(&cause));
            let until = done.map(|d| d.from).min()?;
            let by_eye = confirmed(job, cause);
            let seen_by = seen_by(model, state, job.belief(cause).ever, cause);
            if by_eye || !seen_by.is_empty() {
                return Some(Found { cause, share: 1.0, by: Confirmed::Seen, by_eye, seen_by, until });
            }
            let by = if held { Confirmed::Held } else { Confirmed::Gone };
            let went = cured && job.standing(cause) == Standing::PutRight;
            went.then(|| Found { cause, share: job.belief(cause).ever, by, by_eye, seen_by, until })
        })
        .collect();
    if found.is_empty() { Err(LeftOut::NotProven) } else { Ok(found) }
}

fn confirmed(job: &Job, cause: CauseId) -> bool {
    let (model, cause) = (job.model(), &job.model()[cause]);
    job.standing_entries().iter().any(|(_, entry)| match entry {
        Entry::Confirmed { cause: name, at } => {
            *name == cause.name && model.find_cause(name, *at).is_some() && *at == cause.site
        }
        _ => false,
    })
}

/// The checks whose finding proves this cause by itself.
fn seen_by(model: &Model, state: &State, ever: f64, cause: CauseId) -> Vec<CheckId> {
    let proves = |check: CheckId, seen: Seen| match seen {
        Seen::Abnormal(at) => {
            let outcome = &model[check].outcomes[at];
            outcome.proves && outcome.event.causes.iter().any(|(c, chance)| *c == cause && *chance >= 0.3)
        }
        Seen::Normal => false,
    };
    let mut found: Vec<CheckId> = state
        .given
        .iter()
        .filter(|g| !g.looks_so && g.seen().is_some_and(|seen| proves(g.check, seen)))
        .map(|g| g.check)
        .collect();
    found.retain(|_| ever >= SEEN);
    found
}
