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
    rng: ChaCha8Rng,
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
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        for _ in 0..MOST_TRIES {
            let faults = causes
                .iter()
                .map(|cause| {
                    let bases = model[*cause].waking.bases();
                    let base = bases[rng.random_range(0..bases.len())];
                    Fault { cause: *cause, base, there: true, awake: false }
                })
                .collect();
            let mut engine =
                Self { model, complaint, faults, shows: BTreeMap::new(), seen: BTreeMap::new(), rng: rng.clone() };
            engine.begin(reported);
            let shown = engine.showing();
            let quiet = model[complaint].quiet.as_ref().filter(|quiet| *quiet != reported).is_none_or(|quiet| {
                engine.begin(quiet);
                !engine.showing()
            });
            if shown && quiet {
                engine.begin(&Conditions::resting(&model.conditions));
                return Some(engine);
            }
            rng = engine.rng;
        }
        None
    }

    /// Begins a spell under conditions: every fault wakes or sleeps anew.
    pub fn begin(&mut self, conditions: &Conditions) {
        self.seen.clear();
        for fault in &mut self.faults {
            let chance = self.model[fault.cause].waking.awake(fault.base, &conditions.0);
            fault.awake = self.rng.random::<f64>() < chance;
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
                fault.there = self.rng.random::<f64>() < correction.fails;
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
            let mut shown = look.is_some() && self.rng.random::<f64>() < event.leak;
            for (cause, chance) in event.causes.iter().filter(|(c, _)| there.contains(c)) {
                let rng = &mut self.rng;
                shown |= *self.shows.entry((look, at, *cause)).or_insert_with(|| rng.random::<f64>() < *chance);
            }
            for (formula, chance) in &event.gates {
                shown |= formula.holds(&|c| there.contains(&c)) && self.rng.random::<f64>() < *chance;
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
