//! What work leaves behind beside the setting: evidence that is gone, checks that are owed, what was just looked at, and what cannot be
//! had here.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{
    AccessId, CauseId, Check, CheckId, ComplaintId, CorrectionId, Model, ProvocationId, Seen, Side, Site, Spends,
    Warning,
};

use super::taken::Work;

/// A check that work made necessary.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Owed {
    /// Number of the entry that made it so.
    pub since: u64,
    /// Whether it comes before the engine is started again; else before the job ends.
    pub before_run: bool,
}

/// What work has left behind so far.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ledger {
    /// Checks whose evidence is gone for good.
    spent: BTreeSet<CheckId>,
    /// Checks that the last look answers too, without another minute.
    same_look: BTreeSet<CheckId>,
    /// Checks that were answered by the last look: to answer one anew is to look again.
    answered: BTreeSet<CheckId>,
    /// Checks that work made necessary, and that were not made since with a normal result.
    owed: BTreeMap<CheckId, Owed>,
    /// Tools and gauges that are not to be had.
    lacking: BTreeSet<String>,
    /// Provocations that are refused.
    refused: BTreeSet<ProvocationId>,
    /// Sides that may be live: what was reported or seen says that their switch does not ground them.
    live: BTreeSet<Side>,
    /// Sides proven grounded, and not worked on since.
    grounded: BTreeSet<Side>,
    /// Sides that fired when the engine was last run on them alone.
    firing: BTreeSet<Side>,
}

impl Ledger {
    /// As it is when a complaint is reported on an aircraft that lacks these tools and gauges.
    #[must_use]
    pub fn opened(model: &Model, complaint: ComplaintId, lacks: impl IntoIterator<Item = String>) -> Self {
        let mut ledger = Self { lacking: lacks.into_iter().collect(), ..Self::default() };
        ledger.complained(model, complaint);
        ledger
    }

    /// A complaint was reported: it can say that a side may be live.
    pub fn complained(&mut self, model: &Model, complaint: ComplaintId) {
        let complaint = &model[complaint];
        self.warned(sides(complaint.site.side()), complaint.warning);
    }

    /// Takes down what doing something has left behind.
    pub fn did(&mut self, model: &Model, number: u64, work: &Work) {
        if !work.same_look {
            self.looked_away();
        }
        for id in &work.opens {
            self.spend(model, Spends::Opened(*id));
        }
        for id in &work.closes {
            let access = &model[*id];
            self.owe(number, &access.owes, &access.owes_before_run);
            self.no_longer_grounded(model, &access.upsets);
        }
    }

    /// Takes down a correction.
    pub fn corrected(&mut self, model: &Model, number: u64, id: CorrectionId) {
        let correction = &model[id];
        self.looked_away();
        self.spend(model, Spends::Corrected(id));
        self.owe(number, &correction.owes, &correction.owes_before_run);
        self.no_longer_grounded(model, &correction.cures);
        self.no_longer_grounded(model, &correction.disturbs);
    }

    /// Takes down what a check showed; `None` where it cannot be told.
    pub fn answered(&mut self, model: &Model, id: CheckId, seen: Option<Seen>) {
        let check = &model[id];
        self.same_look.extend(&check.same_look);
        self.answered.insert(id);
        if seen == Some(Seen::Normal) {
            self.owed.remove(&id);
        }
        let Some(seen) = seen else { return };
        let word = match seen {
            Seen::Normal => proves_grounding(check).then_some(Warning::SideGrounded),
            Seen::Abnormal(at) => check.outcomes.get(at).and_then(|o| o.warning),
        };
        if let Some(side) = check.site.side().filter(|_| tells_firing(check)) {
            if word == Some(Warning::SideSilent) {
                self.firing.remove(&side);
            } else {
                self.firing.insert(side);
            }
        }
        let mut of = sides(check.site.side());
        if word == Some(Warning::SideGrounded) && check.site.side().is_none() && check.manner.engine.runs() {
            of.retain(|side| self.may_have_been_stopped(model, *side));
        }
        self.warned(of, word);
    }

    /// Whether an engine that stopped on OFF says anything of a side: it fired when it was last run alone. A side that does not fire stops
    /// nothing and keeps nothing going. Where the tree has no check that tells, it is held to fire.
    fn may_have_been_stopped(&self, model: &Model, side: Side) -> bool {
        let tells = model.checks.iter().any(|check| check.site == Site::Side(side) && tells_firing(check));
        self.firing.contains(&side) || !tells
    }

    /// Something is not to be had here: a tool or a gauge, by its name.
    pub fn lacks(&mut self, what: String) {
        self.lacking.insert(what);
    }

    /// A provocation is not to be offered again.
    pub fn refuse(&mut self, id: ProvocationId) {
        self.refused.insert(id);
    }

    /// A new stretch of time has begun: the last look is over.
    pub fn looked_away(&mut self) {
        self.same_look.clear();
        self.answered.clear();
    }

    fn spend(&mut self, model: &Model, by: Spends) {
        let gone = |id: &CheckId| model[*id].gone_after.contains(&by);
        self.spent.extend((0..model.checks.len()).map(CheckId).filter(gone));
    }

    fn owe(&mut self, since: u64, at_the_end: &[CheckId], before_run: &[CheckId]) {
        for id in at_the_end {
            self.owed.entry(*id).or_insert(Owed { since, before_run: false }).since = since;
        }
        for id in before_run {
            self.owed.insert(*id, Owed { since, before_run: true });
        }
    }

    fn warned(&mut self, sides: Vec<Side>, word: Option<Warning>) {
        for side in sides {
            match word {
                Some(Warning::SideLive) => self.may_be_live(side),
                Some(Warning::OtherSideLive) => self.may_be_live(side.other()),
                Some(Warning::SideGrounded) => {
                    self.live.remove(&side);
                    self.grounded.insert(side);
                }
                Some(Warning::SideSilent) | None => {}
            }
        }
    }

    fn may_be_live(&mut self, side: Side) {
        self.live.insert(side);
        self.grounded.remove(&side);
    }

    /// Work on what grounds a side means that it has to be proven again.
    fn no_longer_grounded(&mut self, model: &Model, worked_on: &[CauseId]) {
        if worked_on.is_empty() || self.grounded.is_empty() {
            return;
        }
        let shows_live = |side: Side| {
            let of_side = model.checks.iter().filter(|c| c.site.side().is_none_or(|s| s == side));
            let live = of_side.flat_map(|c| &c.outcomes).filter(|o| o.warning == Some(Warning::SideLive));
            let mut shown = live.flat_map(|o| &o.event.causes);
            shown.any(|(cause, _)| worked_on.contains(cause))
        };
        self.grounded.retain(|side| !shows_live(*side));
    }

    /// Whether what a check looks at is gone for good.
    #[must_use]
    pub fn is_spent(&self, id: CheckId) -> bool {
        self.spent.contains(&id)
    }

    /// Whether the last look answers this check too.
    #[must_use]
    pub fn is_same_look(&self, id: CheckId) -> bool {
        self.same_look.contains(&id) && !self.answered.contains(&id)
    }

    /// Checks that work made necessary, those before a start first.
    #[must_use]
    pub fn owed(&self) -> Vec<(CheckId, Owed)> {
        let mut owed: Vec<(CheckId, Owed)> = self.owed.iter().map(|(id, owed)| (*id, *owed)).collect();
        owed.sort_by_key(|(id, owed)| (!owed.before_run, owed.since, *id));
        owed
    }

    /// Checks that will be necessary too once what is open now is closed, and before what.
    #[must_use]
    pub fn owed_once_closed(&self, model: &Model, open: impl Iterator<Item = AccessId>) -> Vec<(CheckId, bool)> {
        let mut found: BTreeMap<CheckId, bool> = BTreeMap::new();
        for id in open {
            model[id].owes.iter().for_each(|check| *found.entry(*check).or_insert(false) |= false);
            model[id].owes_before_run.iter().for_each(|check| *found.entry(*check).or_insert(true) |= true);
        }
        found.retain(|check, _| !self.owed.contains_key(check));
        found.into_iter().collect()
    }

    /// Tools and gauges that are not to be had.
    #[must_use]
    pub fn lacking(&self) -> &BTreeSet<String> {
        &self.lacking
    }

    /// Whether a tool or gauge is not to be had: by its name, or as a kind of one that is not, as a multimeter with a needle is.
    #[must_use]
    pub fn is_lacking(&self, what: &str) -> bool {
        let kind_of = |lacking: &String| {
            what.strip_prefix(lacking.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
        };
        self.lacking.iter().any(kind_of)
    }

    /// Whether a provocation was refused.
    #[must_use]
    pub fn is_refused(&self, id: ProvocationId) -> bool {
        self.refused.contains(&id)
    }

    /// Sides that may be live.
    #[must_use]
    pub fn live(&self) -> &BTreeSet<Side> {
        &self.live
    }

    /// Sides proven grounded, and not worked on since.
    #[must_use]
    pub fn grounded(&self) -> &BTreeSet<Side> {
        &self.grounded
    }
}

/// Whether a check's normal outcome proves that the P-lead of its side grounds.
#[must_use]
pub fn proves_grounding(check: &Check) -> bool {
    check.outcomes.iter().any(|o| o.warning == Some(Warning::SideLive))
}

/// The checks that prove a side grounded, or find that it is not.
pub fn grounding_checks(model: &Model, side: Side) -> impl Iterator<Item = CheckId> + '_ {
    let of_side = move |id: &CheckId| model[*id].site.side().is_none_or(|s| s == side);
    (0..model.checks.len()).map(CheckId).filter(of_side).filter(|id| proves_grounding(&model[*id]))
}

/// Whether a check on the engine run on one side alone tells whether that side fires.
fn tells_firing(check: &Check) -> bool {
    check.outcomes.iter().any(|o| o.warning == Some(Warning::SideSilent))
}

fn sides(side: Option<Side>) -> Vec<Side> {
    side.map_or(Side::BOTH.to_vec(), |side| vec![side])
}
