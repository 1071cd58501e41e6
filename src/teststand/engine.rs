//! The engine with its hidden faults.

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::model::{CauseId, CheckId, ComplaintId, Conditions, CorrectionId, Event, Model, Seen, Sees};

/// A fault in the engine.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// What it is.
    pub cause: CauseId,
    /// Its chance of being awake in a quiet spell.
    pub base: f64,
    /// Whether it is still there.
    pub there: bool,
    /// Whether it is awake in this spell.
    pub awake: bool,
}

/// An engine with hidden faults that answers checks as the model says it would.
#[derive(Debug, Clone)]
pub struct Engine<'m> {
    model: &'m Model,
    complaint: ComplaintId,
    faults: Vec<Fault>,
    /// Whether a look (a check, or none for the complaint) with this outcome shows this cause; drawn once for all spells.
    shows: BTreeMap<(Option<CheckId>, usize, CauseId), bool>,
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
            Fault { cause: *cause, base, there: true, awake: false }
        };
        let faults = causes.iter().map(fault).collect();
        Self { model, complaint, faults, shows: BTreeMap::new(), seen: BTreeMap::new(), luck }
    }

    /// Whether it goes as the pilot said; leaves the engine at rest.
    fn reported(&mut self, reported: &Conditions) -> bool {
        self.begin(reported);
        let shown = self.showing();
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
        let complaint = &self.model[self.complaint];
        self.see(None, Sees::Awake, &[&complaint.event]) != Seen::Normal
    }

    /// Carries out a correction; it may fail to cure, by the tree's chance.
    pub fn correct(&mut self, id: CorrectionId) {
        let correction = &self.model[id];
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
            for (cause, chance) in event.causes.iter().filter(|(c, _)| there.contains(c)) {
                let luck = &mut self.luck;
                shown |= *self.shows.entry((look, at, *cause)).or_insert_with(|| match (look, &luck) {
                    // The complaint was reported of these faults, so on a typical engine they bring it however rarely they do.
                    (None, Luck::Typical) => *chance > 0.0,
                    _ => luck.happens(*chance),
                });
            }
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
