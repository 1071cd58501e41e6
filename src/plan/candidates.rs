//! What can be looked at next: checks now, checks in the spell a provocation would begin, and whether the complaint shows.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use crate::model::{AccessSet, CheckId, Conditions, ProvocationId, Sees};

use super::Situation;
use super::advice::Action;
use super::forecast::{Moment, Prospect, waking};
use super::hypotheses::Hypotheses;
use super::look::Look;
use super::value::minutes_of_doubt;

/// The share of newly opened access that one check is charged with; the rest is for those that follow it there.
const OWN_SHARE_OF_ACCESS: f64 = 0.6;
/// The share of a provocation that the first check in it is charged with.
const OWN_SHARE_OF_PROVOCATION: f64 = 0.5;
/// What an earlier miss of the same check leaves of its chance to show, where the cause may have slept then.
const FRESH_AFTER_A_MISS: f64 = 0.5;
/// Information below which a check is not worth suggesting, in nats.
const NOTHING_TO_LEARN: f64 = 1e-4;

/// A way to learn more, with its worth.
pub(super) struct Candidate {
    pub(super) action: Action,
    pub(super) then: Option<CheckId>,
    pub(super) minutes: f64,
    /// Minutes charged to it when worths are compared.
    charged: f64,
    pub(super) prospect: Prospect,
}

impl Candidate {
    /// Minutes of doubt saved per minute charged.
    pub(super) fn worth(&self) -> f64 {
        minutes_of_doubt(self.prospect.nats) / self.charged.max(0.5)
    }
}

/// Everything that would teach something, unsorted.
pub(super) fn candidates(situation: &Situation<'_>, hypotheses: &Hypotheses) -> Vec<Candidate> {
    let model = situation.model;
    let mut found = Vec::new();
    let looks: Vec<(CheckId, Look<'_>)> = (0..model.checks.len())
        .map(CheckId)
        .filter(|id| !situation.barred.contains(id))
        .map(|id| (id, look(situation, id)))
        .collect();
    let spells = Spells::new(situation);
    for (id, look) in &looks {
        let check = &model[*id];
        let (access, moving) = model.reach(situation.access, &check.open, &check.closed);
        let conditions = model.conditions_after(situation.access, &access, &situation.conditions);
        let stays = conditions == situation.conditions;
        let answered = |(other, now): &(CheckId, bool)| other == id && (*now && stays || look.sees == Sees::Present);
        if situation.answered.iter().any(answered) {
            continue;
        }
        found.push(Candidate {
            action: Action::Check(*id),
            then: None,
            minutes: check.minutes + moving,
            charged: check.minutes + OWN_SHARE_OF_ACCESS * moving,
            prospect: Prospect::of(hypotheses, look, &spells.moment(&conditions)),
        });
    }
    if situation.showing != Some(true) {
        let (access, conditions) = (situation.access, &situation.conditions);
        let see = see(situation, hypotheses, &looks, &spells, access, conditions);
        if situation.showing.is_none() || see.conditions != situation.conditions {
            let (minutes, charged) = (see.minutes, see.charged);
            let prospect = see.prospect;
            found.push(Candidate { action: Action::SeeWhetherItShows, then: None, minutes, charged, prospect });
        }
    }
    for id in (0..model.provocations.len()).map(ProvocationId) {
        found.extend(best_in_provocation(situation, hypotheses, &looks, &spells, id));
    }
    found.retain(|c| c.prospect.nats > NOTHING_TO_LEARN);
    found
}

/// The chance of each cause to be awake, for every set of conditions that the next step can reach.
struct Spells<'a> {
    situation: &'a Situation<'a>,
    chances: RefCell<BTreeMap<Vec<usize>, Rc<[f64]>>>,
}

impl<'a> Spells<'a> {
    fn new(situation: &'a Situation<'a>) -> Self {
        Self { situation, chances: RefCell::default() }
    }

    /// The moment of a look under conditions: now where they are as they are, else a new spell.
    fn moment(&self, conditions: &Conditions) -> Moment {
        if *conditions == self.situation.conditions {
            return Moment::Now;
        }
        let mut chances = self.chances.borrow_mut();
        let known = chances.entry(conditions.0.clone());
        Moment::New(Rc::clone(known.or_insert_with(|| waking(self.situation.model, &conditions.0).into())))
    }
}

/// The best check in the spell that a provocation would begin.
fn best_in_provocation(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    looks: &[(CheckId, Look<'_>)],
    spells: &Spells<'_>,
    id: ProvocationId,
) -> Option<Candidate> {
    let model = situation.model;
    let provocation = &model[id];
    let (access, opening) = model.reach(situation.access, &provocation.open, &[]);
    let conditions = model.conditions_after(situation.access, &access, &situation.conditions).with(&provocation.sets);
    if conditions == situation.conditions {
        return None;
    }
    let before = opening + provocation.minutes;
    let in_it = |then: Option<CheckId>, look: &Look<'_>, conditions: &Conditions, moving: f64, own: f64| Candidate {
        action: Action::Provoke(id),
        then,
        minutes: before + moving + own,
        charged: OWN_SHARE_OF_PROVOCATION * before + OWN_SHARE_OF_ACCESS * moving + own,
        prospect: Prospect::of(hypotheses, look, &spells.moment(conditions)),
    };
    let checks = looks.iter().filter(|(_, look)| look.sees == Sees::Awake).map(|(check, look)| {
        let (reached, moving) = model.reach(&access, &model[*check].open, &model[*check].closed);
        let conditions = model.conditions_after(&access, &reached, &conditions);
        in_it(Some(*check), look, &conditions, moving, model[*check].minutes)
    });
    let see = see(situation, hypotheses, looks, spells, &access, &conditions);
    let shows = Candidate {
        action: Action::Provoke(id),
        then: None,
        minutes: before + see.minutes,
        charged: OWN_SHARE_OF_PROVOCATION * before + see.charged,
        prospect: see.prospect,
    };
    checks.chain([shows]).max_by(|a, b| a.worth().total_cmp(&b.worth()))
}

fn look<'a>(situation: &Situation<'a>, id: CheckId) -> Look<'a> {
    let check = &situation.model[id];
    let before = situation.answered.iter().filter(|(c, now)| *c == id && !now).count();
    let fresh = FRESH_AFTER_A_MISS.powi(i32::try_from(before).unwrap_or(i32::MAX));
    Look::new(check.sees, check.outcomes.iter().map(|o| &o.event), fresh)
}

/// Whether the complaint shows, as something to look at.
pub(super) fn showing<'a>(situation: &Situation<'a>) -> Look<'a> {
    Look::new(Sees::Awake, std::iter::once(&situation.model[situation.complaint].event), 1.0)
}

/// Running the engine to see whether the complaint shows, and what that opens the way to.
struct See {
    conditions: Conditions,
    minutes: f64,
    charged: f64,
    prospect: Prospect,
}

/// What seeing whether it shows brings: by itself, and by the best check on the running engine once it does show, when
/// what is at fault is known to be awake.
fn see(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    looks: &[(CheckId, Look<'_>)],
    spells: &Spells<'_>,
    access: &AccessSet,
    conditions: &Conditions,
) -> See {
    let model = situation.model;
    let (reached, conditions, minutes) = run(situation, access, conditions);
    let mut prospect = Prospect::of(hypotheses, &showing(situation), &spells.moment(&conditions));
    let mut charged = minutes;
    let yes = prospect.outcomes.first().copied().unwrap_or(0.0);
    let awake = prospect.given(hypotheses, 0);
    let on_the_run = looks.iter().filter_map(|(id, look)| {
        let check = &model[*id];
        let (then, moving) = model.reach(&reached, &check.open, &check.closed);
        let stays = look.sees == Sees::Awake && model.conditions_after(&reached, &then, &conditions) == conditions;
        stays.then(|| (Prospect::of(&awake, look, &Moment::Now).nats, moving + check.minutes))
    });
    let best = on_the_run.max_by(|a, b| (a.0 / a.1.max(0.5)).total_cmp(&(b.0 / b.1.max(0.5))));
    if let Some((nats, minutes)) = best.filter(|(nats, _)| yes * nats > NOTHING_TO_LEARN) {
        prospect.nats += yes * nats;
        charged += yes * minutes;
    }
    See { conditions, minutes, charged, prospect }
}

/// The access, conditions and minutes of running the engine, from an access state, to see whether the complaint shows.
pub(super) fn run(
    situation: &Situation<'_>,
    access: &AccessSet,
    conditions: &Conditions,
) -> (AccessSet, Conditions, f64) {
    let model = situation.model;
    let running = model.running();
    let others: Vec<_> = access.iter().filter(|id| !running.contains(id)).collect();
    let (closed, closing) = model.reach(access, &[], &others);
    let (reached, _) = model.reach(&closed, &running, &[]);
    let conditions = model.conditions_after(access, &reached, conditions);
    (reached, conditions, closing + model[situation.complaint].proof.minutes)
}
