//! The state of a job: what the fold of its entries says, and nothing else.

use std::collections::BTreeSet;

use crate::measure::{Judgement, Quantity, Reading};
use crate::model::{
    AccessId, AccessSet, CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Fitted, HazardId, Mode, Model,
    RecentWorkId, Seen, Sees, Side, Site, Warning,
};
use crate::work::{Action, Known, Ledger, Minutes, NotReady, Now, Setting, Work, ready};

use super::entry::{Ending, Entry};
use super::refusal::Refusal;

/// A stretch of work under one set of conditions.
#[derive(Debug, Clone, PartialEq)]
pub struct Spell {
    /// Its conditions.
    pub conditions: Conditions,
    /// How it came about.
    pub origin: Origin,
    /// The complaint that is looked for in it.
    pub complaint: ComplaintId,
    /// Whether that shows in it, where known.
    pub showing: Option<bool>,
    /// How long it was looked for, in minutes; infinite for what a pilot tells of flights.
    pub looked: f64,
    /// Number of the entry that began it.
    pub number: u64,
}

impl Spell {
    /// A spell in which nobody has looked yet. What a pilot tells of flights is taken as looked for long enough.
    pub(super) fn begun(
        number: u64,
        conditions: Conditions,
        origin: Origin,
        complaint: ComplaintId,
        showing: Option<bool>,
    ) -> Self {
        let told = matches!(origin, Origin::Reported | Origin::ReportedQuiet);
        let looked = if told { f64::INFINITY } else { 0.0 };
        Self { conditions, origin, complaint, showing, looked, number }
    }

    /// Whether it tells, as a run, of a complaint under conditions: one in which that showed, or one under just these.
    fn speaks_for(&self, id: ComplaintId, under: &Conditions) -> bool {
        match self.showing {
            Some(true) => self.complaint == id,
            _ => self.conditions == *under,
        }
    }
}

/// How a spell came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// The pilot's report.
    Reported,
    /// The pilot's word that it does not show under other conditions.
    ReportedQuiet,
    /// Work on the aircraft.
    Work,
    /// A proof run.
    Proof,
}

impl Origin {
    /// In words.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::Reported => "as the pilot reported it",
            Self::ReportedQuiet => "where it is said not to show",
            Self::Work => "at work",
            Self::Proof => "proof run",
        }
    }
}

/// A check that was made.
#[derive(Debug, Clone, PartialEq)]
pub struct Given {
    /// Number of its entry.
    pub number: u64,
    /// The check.
    pub check: CheckId,
    /// The spell it was made in.
    pub spell: usize,
    /// The outcome chosen, where one was.
    pub chosen: Option<Seen>,
    /// The outcomes, by their indices, that it can have been, where it was chosen by a name that is several now.
    pub either: Vec<usize>,
    /// The reading, where one was typed.
    pub reading: Option<Reading>,
    /// The reading as typed.
    pub typed: String,
    /// Temperature of the part, in degrees Celsius, where taken.
    pub celsius: Option<f64>,
    /// What the limit says of the reading, or what it still needs to say it.
    pub judged: Option<Result<Judgement, String>>,
    /// Whether it was said that it only looks so.
    pub looks_so: bool,
    /// Whether the reading is as typed, though a slip of its unit would make it ordinary.
    pub as_typed: bool,
    /// What the reading has to be multiplied by to be ordinary, where a slip of the unit's prefix explains it and nobody said otherwise.
    pub slip: Option<f64>,
    /// Weight of each abnormal outcome in order, then of normal; empty while it cannot be judged.
    pub weights: Vec<f64>,
}

impl Given {
    /// The outcome, where one is clear.
    #[must_use]
    pub fn seen(&self) -> Option<Seen> {
        let mut possible = self.weights.iter().enumerate().filter(|(_, w)| **w > 0.0).map(|(i, _)| i);
        let only = possible.next()?;
        if possible.next().is_some() {
            return None;
        }
        Some(if only + 1 == self.weights.len() { Seen::Normal } else { Seen::Abnormal(only) })
    }

    /// The abnormal outcome that it is clear was seen, where nobody said that it only looks so.
    #[must_use]
    pub fn found(&self) -> Option<usize> {
        match self.seen().filter(|_| !self.looks_so)? {
            Seen::Abnormal(at) => Some(at),
            Seen::Normal => None,
        }
    }

    /// Whether its reading can be what was read.
    ///
    /// # Errors
    /// That nothing can have such a reading, or that a slip of its unit would make it ordinary and nobody was asked.
    pub fn may_be(&self, model: &Model) -> Result<(), Refusal> {
        let limit = model[self.check].limit.map(|limit| &model.limits[limit]);
        let Some((limit, reading)) = limit.zip(self.reading.as_ref()) else { return Ok(()) };
        if let Some(possible) = limit.cannot_be(reading) {
            let (typed, title) = (self.typed.clone(), limit.title.clone());
            return Err(Refusal::CannotBe { typed, title, possible });
        }
        let (Some(by), Reading::Value { quantity, .. }) = (self.slip, reading) else { return Ok(()) };
        let shown = |value| Quantity::new(limit.dimension, value).show(Some(&limit.unit));
        Err(Refusal::Slip { typed: shown(quantity.value), meant: shown(quantity.value * by) })
    }

    /// Whether it leaves no doubt that a cause it shows is there: nobody said that it only looks so, and a reading is far outside its limit.
    #[must_use]
    pub fn is_certain(&self, model: &Model) -> bool {
        let check = &model[self.check];
        let Some(at) = self.found() else { return false };
        let judged = self.judged.iter().flatten().zip(check.limit);
        let mut judged = judged.map(|(judged, limit)| judged.leaves_no_doubt(&model.limits[limit], "normal"));
        check.outcomes[at].looks_so.is_some() && judged.next().unwrap_or(true)
    }

    /// Whether it saw on the running engine that something is awake.
    #[must_use]
    pub fn is_abnormal_run(&self, model: &Model) -> bool {
        let check = &model[self.check];
        let on_the_run = check.sees == Sees::Awake && check.manner.engine.runs();
        on_the_run && matches!(self.seen(), Some(Seen::Abnormal(_)))
    }
}

/// A correction that was carried out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Done {
    /// Number of its entry.
    pub number: u64,
    /// The correction.
    pub correction: CorrectionId,
    /// The first spell after it.
    pub from: usize,
}

/// A complaint that came to a job after it was opened: reported later, or something else that showed in a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Also {
    /// The complaint.
    pub complaint: ComplaintId,
    /// Conditions when it was there.
    pub reported: Conditions,
    /// Number of its entry.
    pub number: u64,
    /// The spell of its report.
    pub spell: usize,
}

/// A pause in which nothing was entered, and the engine cooled or dried by the clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Pause {
    /// Minutes by the clock of the record.
    pub minutes: f64,
    /// Conditions before it.
    pub before: Conditions,
}

/// Everything known of a job.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The complaint.
    pub complaint: ComplaintId,
    /// Conditions when it was reported.
    pub reported: Conditions,
    /// Complaints that came to it since.
    pub also: Vec<Also>,
    /// Spells; the last one is now.
    pub spells: Vec<Spell>,
    /// Spells at work in which a complaint was there, whatever was told of them later.
    pub shown_in: BTreeSet<usize>,
    /// Conditions other than those of its report under which a complaint showed in the work, each with its spell: a run that proves it gone is
    /// made under them too.
    pub shown_under: Vec<(usize, ComplaintId, Conditions)>,
    /// Checks that stand, in order.
    pub given: Vec<Given>,
    /// Checks that cannot be made on this aircraft.
    pub not_possible: BTreeSet<CheckId>,
    /// Checks passed over in this spell.
    pub skipped: BTreeSet<CheckId>,
    /// Causes that are certain.
    pub confirmed: BTreeSet<CauseId>,
    /// Causes that work done can have brought, with the spell from which they then are there; it may not have begun yet.
    pub upset: Vec<(usize, CauseId)>,
    /// Corrections carried out, in order.
    pub done: Vec<Done>,
    /// How the aircraft stands now.
    pub setting: Setting,
    /// What work has left behind.
    pub ledger: Ledger,
    /// Cautions acknowledged, with what was open and what the engine did when they were, and after the work they were read for.
    pub acknowledged: Vec<(HazardId, Mode, AccessSet)>,
    /// Cautions acknowledged since the last work, so for the next.
    pub acknowledged_for_next: Vec<HazardId>,
    /// Engine hours since it last ran well.
    pub window_hours: f64,
    /// The kinds of work done since, each at one of its sites, each once.
    pub recent_work: BTreeSet<RecentWorkId>,
    /// Parts or causes worked on, with the site, in records of the first rule.
    pub disturbed: Vec<(String, Site)>,
    /// Ages of parts.
    pub ages: Vec<Fitted>,
    /// Minutes of work so far by the tree's figures, access included; a quarter of those spent waiting.
    pub minutes: f64,
    /// The same minutes by what they went on. A closing that keeps other minutes, reckoned on trees of its day, leaves these as today's
    /// trees have them.
    pub spent: Minutes,
    /// Of the time so far, minutes in which nobody had to stand beside it, in full.
    pub waited: f64,
    /// A pause after which it is not sure how warm or wet the engine still is.
    pub paused: Option<Pause>,
    /// Whether conditions follow the engine and the clock.
    pub follows_engine: bool,
    /// How the job ended, where it did.
    pub ended: Option<Ending>,
}

impl State {
    /// The work before the job that can have brought a cause, each with its chance, 0 to 1.
    pub fn recently_brought(&self, model: &Model, id: CauseId) -> impl Iterator<Item = (RecentWorkId, f64)> {
        let works = self.recent_work.iter().flat_map(|work| model[*work].brings.iter().map(|brought| (*work, brought)));
        works.filter(move |(_, brought)| brought.cause == id).map(|(work, brought)| (work, brought.chance))
    }

    /// The spell it is now.
    ///
    /// A state always has its reported spell; the fallback is never met.
    #[must_use]
    pub fn now(&self) -> usize {
        self.spells.len().saturating_sub(1)
    }

    /// The number that a spell will have that begins next. A stretch of work in which nothing was looked at tells nothing: what follows
    /// takes its place, but not in records of the first rule.
    #[must_use]
    pub fn next_spell(&self) -> usize {
        let now = self.now();
        let empty = self.follows_engine
            && self.spells.last().is_some_and(|last| last.origin == Origin::Work && last.showing.is_none())
            && !self.given.iter().any(|given| given.spell == now);
        if empty { now } else { self.spells.len() }
    }

    /// Whether the spell it is now is under these conditions.
    #[must_use]
    pub fn is_under(&self, conditions: &Conditions) -> bool {
        self.spells.last().is_some_and(|last| last.conditions == *conditions)
    }

    /// Whether a check made under these conditions begins a spell: they are not those of the last one, and it sees only what is awake, or
    /// what work can have brought since. A crack is there whatever the conditions.
    #[must_use]
    pub fn begins_a_spell(&self, model: &Model, id: CheckId, during: &Conditions) -> bool {
        let now = self.now();
        let others = !self.is_under(during);
        let depends = model[id].sees == Sees::Awake || !self.follows_engine;
        others && (depends || self.upset.iter().any(|(from, _)| *from > now))
    }

    /// Whether a look made now would be a second one at what this answer looked at: nothing of it was worked on since, and what sees only what
    /// is awake would see it under the same conditions. Whoever has looked again already is not asked to once more.
    #[must_use]
    pub fn would_look_again(&self, model: &Model, first: &Given) -> bool {
        let same_conditions = || {
            let during = self.work(model, Action::Check(first.check)).during;
            self.spells.get(first.spell).is_some_and(|spell| spell.conditions == during)
        };
        self.looked_again(first).is_none()
            && self.is_untouched(model, first, (u64::MAX, self.next_spell()))
            && (model[first.check].sees == Sees::Present || same_conditions())
    }

    /// The later answer of the same check, where there is one.
    #[must_use]
    pub fn looked_again(&self, first: &Given) -> Option<&Given> {
        self.given.iter().find(|later| later.check == first.check && later.number > first.number)
    }

    /// Whether the later of two answers is a second look at the same thing, and says otherwise.
    pub(super) fn contradicts(&self, model: &Model, first: &Given, later: &Given) -> bool {
        let clear = first.seen().zip(later.seen()).is_some_and(|(first, later)| first != later);
        first.check == later.check
            && first.number < later.number
            && clear
            && model[first.check].sees == Sees::Present
            && self.is_untouched(model, first, (later.number, later.spell))
    }

    /// Whether nothing that a check shows was worked on after an answer of it, nor may have been brought by work, until an entry and a spell.
    fn is_untouched(&self, model: &Model, first: &Given, (entry, spell): (u64, usize)) -> bool {
        let shown = |id: &CauseId| model[first.check].shows(*id) > 0.0;
        let since = self.done.iter().filter(|done| first.number < done.number && done.number < entry);
        let mut brought = self.upset.iter().filter(|(from, _)| first.spell < *from && *from <= spell);
        !since.flat_map(|done| &model[done.correction].cures).any(shown) && !brought.any(|(_, id)| shown(id))
    }

    /// Whether another state of the same job has the same evidence, so that the same is believed by both.
    #[must_use]
    pub fn has_same_evidence(&self, other: &Self) -> bool {
        self.spells == other.spells
            && self.given == other.given
            && self.confirmed == other.confirmed
            && self.upset == other.upset
            && self.done == other.done
            && self.window_hours.total_cmp(&other.window_hours).is_eq()
            && self.recent_work == other.recent_work
            && self.disturbed == other.disturbed
            && self.ages == other.ages
    }

    /// Conditions now.
    #[must_use]
    pub fn conditions(&self) -> Conditions {
        self.setting.conditions.clone()
    }

    /// Whether the complaint shows now, where known: as in the last look that depended on conditions, while they are still those of that
    /// look, or running the engine would bring them back.
    #[must_use]
    pub fn showing(&self, model: &Model) -> Option<bool> {
        self.spells.last().and_then(|s| s.showing).filter(|_| self.is_still_that_spell(model))
    }

    fn is_still_that_spell(&self, model: &Model) -> bool {
        self.is_under(&self.setting.conditions) || self.is_under(&self.work(model, Action::SeeWhetherItShows).during)
    }

    /// Checks answered in this spell.
    #[must_use]
    pub fn answered_now(&self) -> BTreeSet<CheckId> {
        self.given.iter().filter(|g| g.spell == self.now()).map(|g| g.check).collect()
    }

    /// The last proof run, where one was made: whether the complaint showed in it.
    #[must_use]
    pub fn last_proof(&self) -> Option<&Spell> {
        self.spells.iter().rfind(|s| s.origin == Origin::Proof)
    }

    /// Whether something was corrected, and for one of the complaints no proof run has followed: none under its conditions, and none in which
    /// it showed.
    #[must_use]
    pub fn awaits_proof(&self) -> bool {
        let Some(from) = self.done.last().map(|done| done.from) else { return false };
        let runs = || self.spells.iter().skip(from).filter(|s| s.origin == Origin::Proof);
        self.runs_to_make().into_iter().any(|(id, under)| !runs().any(|run| run.speaks_for(id, under)))
    }

    /// The runs that prove every complaint gone: each complaint under the conditions of its report, then under others in which it showed.
    #[must_use]
    pub fn runs_to_make(&self) -> Vec<(ComplaintId, &Conditions)> {
        let mut all: Vec<(ComplaintId, &Conditions)> = Vec::new();
        for (id, reported) in self.complaints() {
            let elsewhere = self.shown_under.iter().filter(|(_, shown, _)| *shown == id);
            for under in std::iter::once(reported).chain(elsewhere.map(|(_, _, under)| under)) {
                if !all.contains(&(id, under)) {
                    all.push((id, under));
                }
            }
        }
        all
    }

    /// Those of them that were not made, and passed, since the last correction and since the complaint last showed.
    #[must_use]
    pub fn runs_missing(&self) -> Vec<(ComplaintId, &Conditions)> {
        let corrected = self.done.last().map_or(0, |done| done.from);
        let proven = |(id, under): &(ComplaintId, &Conditions)| {
            // A run in which nothing showed speaks for every complaint of its conditions, and for no other; one in which something did, for
            // that alone.
            let tells = |spell: &&Spell| match (spell.origin, spell.showing) {
                (Origin::Proof, Some(false)) => spell.conditions == **under,
                (_, Some(true)) => spell.complaint == *id,
                _ => false,
            };
            let came = self.also.iter().rfind(|a| a.complaint == *id).map_or(0, |a| a.spell);
            let mut since = self.spells.iter().skip(corrected.max(came));
            since.rfind(tells).is_some_and(|last| last.showing == Some(false))
        };
        self.runs_to_make().into_iter().filter(|run| !proven(run)).collect()
    }

    /// Conditions of the proof run that comes next: those of the report of the complaint in hand until a run under them has passed, then
    /// others in which it showed.
    #[must_use]
    pub fn proof_under(&self) -> &Conditions {
        let (in_hand, reported) = self.in_hand();
        if self.shown_under.is_empty() {
            return reported;
        }
        self.runs_missing().into_iter().find(|(id, _)| *id == in_hand).map_or(reported, |(_, under)| under)
    }

    /// The last proof run that tells of a complaint, where there is one.
    pub fn last_proof_of(&self, id: ComplaintId) -> Option<&Spell> {
        let runs = self.spells.iter().filter(|spell| spell.origin == Origin::Proof);
        let under: Vec<&Conditions> =
            self.runs_to_make().into_iter().filter(|(of, _)| *of == id).map(|(_, under)| under).collect();
        runs.rev().find(|run| under.iter().any(|under| run.speaks_for(id, under)))
    }

    /// Whether the last word on every complaint is a proof run that passed, with nothing corrected after it.
    #[must_use]
    pub fn proof_passed(&self) -> bool {
        !self.awaits_proof() && self.unproven().is_empty()
    }

    /// Every complaint of the job with the conditions it was reported under, in the order in which they came.
    pub fn complaints(&self) -> impl Iterator<Item = (ComplaintId, &Conditions)> {
        std::iter::once((self.complaint, &self.reported)).chain(self.also.iter().map(|a| (a.complaint, &a.reported)))
    }

    /// The complaints that proof runs have not shown to be gone since the last correction, under the conditions of their report and others in
    /// which they showed, and since they last showed.
    #[must_use]
    pub fn unproven(&self) -> Vec<ComplaintId> {
        let mut unproven: Vec<ComplaintId> = self.runs_missing().into_iter().map(|(id, _)| id).collect();
        unproven.dedup();
        unproven
    }

    /// The complaint that is worked on, with the conditions of its report: the first that is not proven to be gone, else the last.
    #[must_use]
    pub fn in_hand(&self) -> (ComplaintId, &Conditions) {
        // Every piece of work that is reckoned asks for it; with one complaint there is nothing to choose.
        if self.also.is_empty() {
            return (self.complaint, &self.reported);
        }
        let unproven = self.unproven();
        let first = self.complaints().find(|(id, _)| unproven.contains(id));
        first.or_else(|| self.complaints().last()).unwrap_or((self.complaint, &self.reported))
    }

    /// This moment, as far as work goes.
    #[must_use]
    pub fn now_for_work<'a>(&'a self, model: &'a Model) -> Now<'a> {
        let (complaint, reported) = self.in_hand();
        Now {
            model,
            complaint,
            setting: &self.setting,
            reported: self.follows_engine.then_some(reported),
            ledger: Some(&self.ledger),
        }
    }

    /// What doing this takes now.
    #[must_use]
    pub fn work(&self, model: &Model, action: Action) -> Work {
        self.now_for_work(model).work(action)
    }

    /// Whether a check makes sense now.
    ///
    /// # Errors
    /// Why it does not.
    pub fn ready(&self, model: &Model, id: CheckId) -> Result<(), NotReady> {
        self.all_ready(model)(id)
    }

    /// Whether the complaint is known to show now: it was said so, or a check on the running engine was abnormal in this spell.
    #[must_use]
    pub fn shows_now(&self, model: &Model) -> bool {
        let abnormal_run = |g: &Given| g.spell == self.now() && g.is_abnormal_run(model);
        match self.spells.last().and_then(|last| last.showing) {
            Some(false) => false,
            told => (told.is_some() || self.given.iter().any(abnormal_run)) && self.is_still_that_spell(model),
        }
    }

    /// Asks of many checks whether they make sense now.
    pub fn all_ready<'a>(&'a self, model: &'a Model) -> impl Fn(CheckId) -> Result<(), NotReady> + 'a {
        let seen: Vec<(CheckId, Option<Seen>)> = self.given.iter().map(|g| (g.check, g.seen())).collect();
        let shows = self.shows_now(model);
        move |id| {
            let known = Known { complaint: self.in_hand().0, shows, seen: &seen };
            ready(model, &known, &self.setting, &self.ledger, id)
        }
    }

    /// The cautions to be read before this, those that were read for it already left out.
    #[must_use]
    pub fn cautions(&self, model: &Model, action: Action) -> Vec<HazardId> {
        let all = self.now_for_work(model).cautions(action);
        all.into_iter().filter(|hazard| self.must_caution(model, *hazard)).collect()
    }

    /// Whether a caution has to be shown before work with this hazard.
    #[must_use]
    pub fn must_caution(&self, model: &Model, hazard: HazardId) -> bool {
        match model[hazard].standing {
            crate::model::Standing::UntilGrounded => !self.all_grounded() && !self.acknowledged_here(hazard),
            crate::model::Standing::OncePerAccess => !self.acknowledged_here(hazard),
        }
    }

    /// Whether both sides are proven grounded and were not worked on since.
    #[must_use]
    pub fn all_grounded(&self) -> bool {
        Side::BOTH.iter().all(|side| self.ledger.grounded().contains(side))
    }

    /// What is open that leaves a magneto without its ground.
    #[must_use]
    pub fn ungrounded(&self, model: &Model) -> Vec<AccessId> {
        self.setting.open.iter().filter(|id| model[*id].warning == Some(Warning::SideLive)).collect()
    }

    /// The entry that says that nothing has changed in a pause: it is as warm and as wet as before. None where there was no such pause.
    #[must_use]
    pub fn still_as_before(&self, model: &Model) -> Option<Entry> {
        let pause = self.paused.as_ref()?;
        let levels = model.conditions.iter().zip(&pause.before.0).zip(&self.setting.conditions.0);
        let changed = levels.filter(|((_, before), now)| before != now);
        let named =
            changed.filter_map(|((kind, before), _)| Some((kind.name.clone(), kind.levels.get(*before)?.clone())));
        Some(Entry::Conditions { levels: named.collect() })
    }

    fn acknowledged_here(&self, hazard: HazardId) -> bool {
        let setting = &self.setting;
        self.acknowledged
            .iter()
            .any(|(h, engine, open)| *h == hazard && *engine == setting.engine && *open == setting.open)
    }
}
