//! The engine with its hidden faults.

use std::collections::BTreeMap;

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::model::{
    CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Event, Model, Seen, Sees, Trigger, Waking,
};

use super::draw::pick_at;

/// A fault in the engine.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "four plain facts that go together in any way")]
pub struct Fault {
    /// What it is.
    pub cause: CauseId,
    /// What wakes it.
    pub trigger: Trigger,
    /// Whether it is still there.
    pub there: bool,
    /// Whether it is awake in this spell.
    pub awake: bool,
    /// Whether it was asleep when the complaint was reported.
    pub slept: bool,
    /// Whether it has had a part in the complaint whenever that showed: at the report, in a run at work, or since.
    pub brought: bool,
    /// How many corrections were to cure it so far.
    pub mends: u64,
}

/// An engine with hidden faults that answers checks as the model says it would.
///
/// Whether a look shows a cause is drawn once for that look and that cause, so that what a check misses once it misses again, and so
/// that engines of the same seed answer the same check alike in whatever order they are asked.
#[derive(Debug, Clone)]
pub struct Engine<'m> {
    model: &'m Model,
    complaint: ComplaintId,
    faults: Vec<Fault>,
    /// What the chance of each look to show a cause is drawn from.
    root: u64,
    /// What was seen in this spell; the same look shows the same again.
    seen: BTreeMap<Option<CheckId>, Seen>,
    /// What the run that was looked at for the complaint last met awake.
    met: Vec<CauseId>,
    /// Number of the spell, as the job counts it.
    spell: usize,
    /// Whether the first correction of each fault does not cure it, where the tree says that this can be.
    stubborn: bool,
    luck: Luck,
}

/// How chance goes.
#[derive(Debug, Clone)]
enum Luck {
    /// Drawn from a seed, one after the other as things are asked.
    Drawn(Box<ChaCha8Rng>),
    /// Each thing drawn from a root and its own name, so that it does not matter what was asked before.
    Keyed(u64),
    /// Whatever is likelier than not happens: no false alarms, no misses of a good check, corrections cure.
    Typical,
}

/// What is left to chance, by name: the root of a keyed engine and this give one draw.
#[derive(Debug, Clone, Copy)]
enum Draw {
    /// What wakes a cause.
    Trigger(CauseId),
    /// Whether a cause is awake in a spell.
    Wakes(CauseId, usize),
    /// Whether an outcome of a look is a false alarm in a spell.
    Leaks(Option<CheckId>, usize, usize),
    /// Whether a gate shows as an outcome of a look in a spell.
    Gate(Option<CheckId>, usize, usize),
    /// Whether a look meets a cause that shows for moments, in a spell.
    Meets(Option<CheckId>, CauseId, usize),
    /// Whether the correction of this number leaves a cause as it was.
    Fails(CauseId, u64),
}

impl Draw {
    fn key(self) -> u64 {
        let look = |look: Option<CheckId>| look.map_or(0, |id| id.0 as u64 + 1);
        let parts = match self {
            Self::Trigger(cause) => [1, cause.0 as u64, 0, 0],
            Self::Wakes(cause, spell) => [2, cause.0 as u64, spell as u64, 0],
            Self::Leaks(of, outcome, spell) => [3, look(of), outcome as u64, spell as u64],
            Self::Gate(of, outcome, spell) => [4, look(of), outcome as u64, spell as u64],
            Self::Fails(cause, mends) => [5, cause.0 as u64, mends, 0],
            Self::Meets(of, cause, spell) => [6, look(of), cause.0 as u64, spell as u64],
        };
        parts.into_iter().fold(0, |key, part| mix(key ^ part))
    }
}

impl Luck {
    fn happens(&mut self, chance: f64, draw: Draw) -> bool {
        match self {
            Self::Drawn(rng) => rng.random::<f64>() < chance,
            Self::Keyed(root) => share(mix(*root ^ draw.key())) < chance,
            Self::Typical => chance >= 0.5,
        }
    }

    /// What wakes a cause that was reported of these conditions.
    fn trigger(&mut self, cause: CauseId, waking: &Waking, reported: &Conditions) -> Trigger {
        let triggers = waking.triggers();
        let place = match self {
            Self::Drawn(rng) => rng.random::<f64>(),
            Self::Keyed(root) => share(mix(*root ^ Draw::Trigger(cause).key())),
            Self::Typical => {
                let brings = |t: &(Trigger, f64)| t.1 * t.0.awake(&reported.0);
                let best = triggers.iter().max_by(|a, b| brings(a).total_cmp(&brings(b)));
                return best.map_or(Trigger::Steady, |(trigger, _)| trigger.clone());
            }
        };
        let weights: Vec<f64> = triggers.iter().map(|(_, weight)| *weight).collect();
        pick_at(&weights, place).map_or(Trigger::Steady, |at| triggers[at].0.clone())
    }

    fn root(&mut self) -> u64 {
        match self {
            Self::Drawn(rng) => rng.next_u64(),
            Self::Keyed(root) => *root,
            Self::Typical => 0,
        }
    }
}

/// Draws until the report comes true before the faults are given up as unable to bring the complaint.
const MOST_TRIES: usize = 20_000;

impl<'m> Engine<'m> {
    /// An engine with these causes, on which the complaint showed under the reported conditions, and did not under the quiet
    /// ones where the complaint says so. None where these causes hardly ever bring that complaint.
    #[must_use]
    pub fn new(
        model: &'m Model,
        complaint: ComplaintId,
        reported: &Conditions,
        causes: &[CauseId],
        seed: u64,
    ) -> Option<Self> {
        let mut luck = Luck::Drawn(Box::new(ChaCha8Rng::seed_from_u64(seed)));
        for _ in 0..MOST_TRIES {
            let mut engine = Self::with(model, complaint, reported, causes, luck);
            if engine.reported(reported) {
                return Some(engine);
            }
            luck = engine.luck;
        }
        None
    }

    /// An engine with these causes on which everything goes as it is likelier to go than not. None where the complaint would
    /// then not have been reported.
    #[must_use]
    pub fn typical(
        model: &'m Model,
        complaint: ComplaintId,
        reported: &Conditions,
        causes: &[CauseId],
    ) -> Option<Self> {
        let mut engine = Self::with(model, complaint, reported, causes, Luck::Typical);
        engine.reported(reported).then_some(engine)
    }

    /// An engine with these causes whose chance depends on nothing but the root and what is asked: it can be built anew at any
    /// moment of a job, and shows the same however the job came there. `stubborn` makes the first correction of each fault fail where
    /// the tree says that it can.
    pub(super) fn keyed(
        model: &'m Model,
        complaint: ComplaintId,
        causes: &[CauseId],
        root: u64,
        stubborn: bool,
    ) -> Self {
        Self { stubborn, ..Self::with(model, complaint, &model[complaint].usual, causes, Luck::Keyed(root)) }
    }

    fn with(
        model: &'m Model,
        complaint: ComplaintId,
        reported: &Conditions,
        causes: &[CauseId],
        mut luck: Luck,
    ) -> Self {
        let fault = |cause: &CauseId| {
            let trigger = luck.trigger(*cause, &model[*cause].waking, reported);
            Fault { cause: *cause, trigger, there: true, awake: false, slept: false, brought: false, mends: 0 }
        };
        let faults = causes.iter().map(fault).collect();
        let root = luck.root();
        Self { model, complaint, faults, root, seen: BTreeMap::new(), met: Vec::new(), spell: 0, stubborn: false, luck }
    }

    /// Whether it goes as the pilot said; leaves the engine at rest.
    fn reported(&mut self, reported: &Conditions) -> bool {
        self.begin(reported);
        // A pilot tells of whole flights.
        let shown = self.shows_within(f64::INFINITY);
        self.note_sleepers();
        let quiet = self.model[self.complaint].quiet.as_ref().filter(|quiet| *quiet != reported).is_none_or(|quiet| {
            self.begin(quiet);
            !self.shows_within(f64::INFINITY)
        });
        self.begin(&Conditions::resting(&self.model.conditions));
        shown && quiet
    }

    /// Begins a spell under conditions: every fault wakes or sleeps anew.
    pub fn begin(&mut self, conditions: &Conditions) {
        self.begin_as(self.spell + 1, conditions);
    }

    /// As [`Engine::begin`], as the spell of this number.
    pub(super) fn begin_as(&mut self, spell: usize, conditions: &Conditions) {
        self.seen.clear();
        self.spell = spell;
        for fault in &mut self.faults {
            let chance = fault.trigger.awake(&conditions.0);
            fault.awake = self.luck.happens(chance, Draw::Wakes(fault.cause, spell));
        }
    }

    /// Notes which faults sleep now, which is the report.
    pub(super) fn note_sleepers(&mut self) {
        self.faults.iter_mut().for_each(|f| f.slept = !f.awake);
    }

    /// What a check shows now.
    pub fn look(&mut self, id: CheckId) -> Seen {
        let check = &self.model[id];
        let events: Vec<&Event> = check.outcomes.iter().map(|o| &o.event).collect();
        self.see(Some(id), check.sees, check.minutes, &events)
    }

    /// Whether the complaint shows now, in a run of the minutes of its proof run.
    pub fn showing(&mut self) -> bool {
        self.shows_within(self.model[self.complaint].proof.minutes)
    }

    fn shows_within(&mut self, minutes: f64) -> bool {
        let event = &self.model[self.complaint].event;
        let shows = self.see(None, Sees::Awake, minutes, &[event]) != Seen::Normal;
        if shows {
            let awake = self.met.clone();
            let parts: Vec<CauseId> = awake.iter().copied().filter(|cause| self.has_part(*cause, &awake)).collect();
            self.faults.iter_mut().filter(|f| parts.contains(&f.cause)).for_each(|f| f.brought = true);
        }
        shows
    }

    /// Whether a cause has a part in the complaint when exactly these are awake.
    fn has_part(&self, cause: CauseId, awake: &[CauseId]) -> bool {
        let event = &self.model[self.complaint].event;
        let alone = event.causes.iter().any(|(c, chance)| *c == cause && self.shows(None, 0, cause, *chance));
        alone
            || event.gates.iter().any(|(formula, _)| {
                formula.holds(&|c| awake.contains(&c)) && formula.causes().binary_search(&cause).is_ok()
            })
    }

    /// Flies under conditions until the complaint shows again.
    pub fn come_back(&mut self, conditions: &Conditions) {
        for _ in 0..MOST_TRIES {
            self.begin(conditions);
            if self.shows_within(f64::INFINITY) {
                return;
            }
        }
        // It showed before, so it can again: what brought it is awake once more.
        self.seen.clear();
        self.faults.iter_mut().filter(|f| f.brought).for_each(|f| f.awake = true);
    }

    /// Whether the complaint is cured: what is left of the faults that had a part in it whenever it showed cannot bring it any more.
    ///
    /// A further fault that has slept through every showing so far is no part of this complaint: nobody could have known of it.
    #[must_use]
    pub fn cured(&self) -> bool {
        let left: Vec<CauseId> = self.faults.iter().filter(|f| f.there && f.brought).map(|f| f.cause).collect();
        !left.iter().any(|cause| self.has_part(*cause, &left))
    }

    /// Carries out a correction; it may fail to cure, by the tree's chance.
    pub fn correct(&mut self, id: CorrectionId) {
        let correction = &self.model[id];
        self.seen.clear();
        for fault in &mut self.faults {
            if fault.there && correction.cures.contains(&fault.cause) {
                let fails = self.luck.happens(correction.fails, Draw::Fails(fault.cause, fault.mends));
                fault.there = fails || self.stubborn && fault.mends == 0 && correction.fails > 0.0;
                fault.mends += 1;
            }
        }
    }

    /// The faults, for scoring; a job never sees them.
    #[must_use]
    pub fn faults(&self) -> &[Fault] {
        &self.faults
    }

    /// Whether a correction would cure anything that is there.
    #[must_use]
    pub fn needs(&self, id: CorrectionId) -> bool {
        let cures = &self.model[id].cures;
        self.faults.iter().any(|f| f.there && cures.contains(&f.cause))
    }

    /// Whether a look (a check, or none for the complaint) with this outcome shows this cause.
    fn shows(&self, look: Option<CheckId>, outcome: usize, cause: CauseId, chance: f64) -> bool {
        if matches!(self.luck, Luck::Typical) {
            // The complaint was reported of these faults, so on a typical engine they bring it however rarely they do.
            return if look.is_none() { chance > 0.0 } else { chance >= 0.5 };
        }
        let look = look.map_or(0, |id| id.0 as u64 + 1);
        share(mix(mix(mix(self.root ^ look) ^ outcome as u64) ^ cause.0 as u64)) < chance
    }

    fn see(&mut self, look: Option<CheckId>, sees: Sees, minutes: f64, events: &[&Event]) -> Seen {
        if let Some(seen) = self.seen.get(&look) {
            return *seen;
        }
        let (luck, spell) = (&mut self.luck, self.spell);
        let mut shows_itself = |fault: &&Fault| {
            let met = fault.trigger.met(minutes);
            fault.there
                && (sees == Sees::Present
                    || fault.awake && (met >= 1.0 || luck.happens(met, Draw::Meets(look, fault.cause, spell))))
        };
        let there: Vec<CauseId> = self.faults.iter().filter(|f| shows_itself(f)).map(|f| f.cause).collect();
        let mut seen = Seen::Normal;
        for (at, event) in events.iter().enumerate() {
            // A false alarm of the complaint would be a pilot who reports nothing; the model's floor for it is not drawn.
            let mut shown = look.is_some() && self.luck.happens(event.leak, Draw::Leaks(look, at, self.spell));
            shown |= event.causes.iter().any(|(c, chance)| there.contains(c) && self.shows(look, at, *c, *chance));
            for (formula, chance) in &event.gates {
                let holds = formula.holds(&|c| there.contains(&c));
                shown |= holds && self.luck.happens(*chance, Draw::Gate(look, at, self.spell));
            }
            if shown {
                seen = Seen::Abnormal(at);
                break;
            }
        }
        if look.is_none() {
            self.met = there;
        }
        self.seen.insert(look, seen);
        seen
    }
}

/// The upper 53 bits as a number from 0 to below 1.
pub(super) fn share(bits: u64) -> f64 {
    ((bits >> 11) as f64) * 2f64.powi(-53)
}

/// Scatters a number over all 64 bits (the finishing steps of the public-domain generator splitmix64).
pub(super) fn mix(value: u64) -> u64 {
    let mut z = value.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
