//! The engine with its hidden faults.

use std::collections::BTreeMap;

use rand::{Rng, RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::model::{CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Event, Model, Seen, Sees};

/// A fault in the engine.
#[derive(Debug, Clone, PartialEq)]
#[expect(clippy::struct_excessive_bools, reason = "four plain facts that go together in any way")]
pub struct Fault {
    /// What it is.
    pub cause: CauseId,
    /// Its chance of being awake in a quiet spell.
    pub base: f64,
    /// Whether it is still there.
    pub there: bool,
    /// Whether it is awake in this spell.
    pub awake: bool,
    /// Whether it was asleep when the complaint was reported.
    pub slept: bool,
    /// Whether it has had a part in the complaint whenever that showed: at the report, in a run at work, or since.
    pub brought: bool,
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
    luck: Luck,
}

/// How chance goes.
#[derive(Debug, Clone)]
enum Luck {
    /// Drawn from a seed.
    Drawn(Box<ChaCha8Rng>),
    /// Whatever is likelier than not happens: no false alarms, no misses of a good check, corrections cure.
    Typical,
}

impl Luck {
    fn happens(&mut self, chance: f64) -> bool {
        match self {
            Self::Drawn(rng) => rng.random::<f64>() < chance,
            Self::Typical => chance >= 0.5,
        }
    }

    fn choose(&mut self, from: &[f64]) -> f64 {
        match self {
            Self::Drawn(rng) => from[rng.random_range(0..from.len())],
            Self::Typical => from[from.len() / 2],
        }
    }

    fn root(&mut self) -> u64 {
        match self {
            Self::Drawn(rng) => rng.next_u64(),
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
            let mut engine = Self::with(model, complaint, causes, luck);
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
        let mut engine = Self::with(model, complaint, causes, Luck::Typical);
        engine.reported(reported).then_some(engine)
    }

    fn with(model: &'m Model, complaint: ComplaintId, causes: &[CauseId], mut luck: Luck) -> Self {
        let fault = |cause: &CauseId| {
            let base = luck.choose(model[*cause].waking.bases());
            Fault { cause: *cause, base, there: true, awake: false, slept: false, brought: false }
        };
        let faults = causes.iter().map(fault).collect();
        let root = luck.root();
        Self { model, complaint, faults, root, seen: BTreeMap::new(), luck }
    }

    /// Whether it goes as the pilot said; leaves the engine at rest.
    fn reported(&mut self, reported: &Conditions) -> bool {
        self.begin(reported);
        let shown = self.showing();
        self.faults.iter_mut().for_each(|f| f.slept = !f.awake);
        let quiet = self.model[self.complaint].quiet.as_ref().filter(|quiet| *quiet != reported).is_none_or(|quiet| {
            self.begin(quiet);
            !self.showing()
        });
        self.begin(&Conditions::resting(&self.model.conditions));
        shown && quiet
    }

    /// Begins a spell under conditions: every fault wakes or sleeps anew.
    pub fn begin(&mut self, conditions: &Conditions) {
        self.seen.clear();
        for fault in &mut self.faults {
            let chance = self.model[fault.cause].waking.awake(fault.base, &conditions.0);
            fault.awake = self.luck.happens(chance);
        }
    }

    /// What a check shows now.
    pub fn look(&mut self, id: CheckId) -> Seen {
        let check = &self.model[id];
        let events: Vec<&Event> = check.outcomes.iter().map(|o| &o.event).collect();
        self.see(Some(id), check.sees, &events)
    }

    /// Whether the complaint shows now.
    pub fn showing(&mut self) -> bool {
        let event = &self.model[self.complaint].event;
        let shows = self.see(None, Sees::Awake, &[event]) != Seen::Normal;
        if shows {
            let awake: Vec<CauseId> = self.faults.iter().filter(|f| f.there && f.awake).map(|f| f.cause).collect();
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
            if self.showing() {
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
                fault.there = self.luck.happens(correction.fails);
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
        let key = mix(mix(mix(self.root ^ look) ^ outcome as u64) ^ cause.0 as u64);
        // The upper 53 bits as a number from 0 to 1.
        ((key >> 11) as f64) * 2f64.powi(-53) < chance
    }

    fn see(&mut self, look: Option<CheckId>, sees: Sees, events: &[&Event]) -> Seen {
        if let Some(seen) = self.seen.get(&look) {
            return *seen;
        }
        let there: Vec<CauseId> =
            self.faults.iter().filter(|f| f.there && (sees == Sees::Present || f.awake)).map(|f| f.cause).collect();
        let mut seen = Seen::Normal;
        for (at, event) in events.iter().enumerate() {
            // A false alarm of the complaint would be a pilot who reports nothing; the model's floor for it is not drawn.
            let mut shown = look.is_some() && self.luck.happens(event.leak);
            shown |= event.causes.iter().any(|(c, chance)| there.contains(c) && self.shows(look, at, *c, *chance));
            for (formula, chance) in &event.gates {
                shown |= formula.holds(&|c| there.contains(&c)) && self.luck.happens(*chance);
            }
            if shown {
                seen = Seen::Abnormal(at);
                break;
            }
        }
        self.seen.insert(look, seen);
        seen
    }
}

/// Scatters a number over all 64 bits (the finishing steps of the public-domain generator splitmix64).
fn mix(value: u64) -> u64 {
    let mut z = value.wrapping_add(0x9E37_79B9_7F4A_7C15);
    z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
    z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
    z ^ (z >> 31)
}
