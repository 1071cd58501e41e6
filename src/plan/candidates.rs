//! What can be looked at next: checks now, checks in the spell a provocation would begin, and whether the complaint shows.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use crate::model::{CauseId, CheckId, Conditions, ProvocationId, Sees, Site};
use crate::work::{Action, Now, Work};

use super::candidate::{Candidate, worth};
use super::forecast::{Moment, Prospect};
use super::hypotheses::Hypotheses;
use super::look::Look;
use super::rounds::rounds;
use super::situation::Situation;
use super::value::Detours;
use super::waking::Waking;

/// The share of newly opened access that one check is charged with; the rest is for those that follow it there.
const OWN_SHARE_OF_ACCESS: f64 = 0.6;
/// The share of a provocation that the first check in it is charged with.
const OWN_SHARE_OF_PROVOCATION: f64 = 0.5;
/// What an earlier miss of the same check leaves of its chance to show, where the cause may have slept then.
const FRESH_AFTER_A_MISS: f64 = 0.5;
/// Information below which a check is not worth suggesting, in nats.
const NOTHING_TO_LEARN: f64 = 1e-4;

/// What the first line of the complaint's printed order counts for while nothing has been looked at: a report can be wrong, which the model
/// does not hold, and what is seen then is what the proof run is held against. Common practice.
const FIRST_OF_THE_CHART: f64 = 8.0;
/// Probability that something is wrong at a place from which a swap with it is thought of.
const WORTH_SWAPPING: f64 = 0.2;
/// Checks on the running engine that are worked out for when the complaint shows.
const ON_THE_RUN: usize = 6;

/// A check that may be made, as something to look at.
struct Open<'a> {
    id: CheckId,
    look: Look<'a>,
    /// What it would tell if all that is left were awake, in nats; 0 where it sees what is there, awake or not.
    awake_nats: f64,
}

/// Everything that would teach something, unsorted.
pub(super) fn candidates(situation: &Situation<'_>, hypotheses: &Hypotheses) -> Vec<Candidate> {
    let model = situation.model;
    let mut found = Vec::new();
    let suspected = suspected(situation, hypotheses);
    // There are more pairs to swap between than everything else: only those with a place that is suspected are worked out.
    let worth_swapping = |id: &CheckId| match model[*id].site {
        Site::Pair(pair) => pair.sites().iter().any(|site| suspected.contains(site)),
        _ => true,
    };
    let looks: Vec<Open<'_>> = (0..model.checks.len())
        .map(CheckId)
        .filter(|id| !situation.barred.contains(id) && worth_swapping(id))
        .map(|id| {
            let look = look(situation, id);
            let sees_awake = look.sees == Sees::Awake;
            let awake_nats = if sees_awake { Prospect::of(hypotheses, &look, &Moment::AllAwake).nats } else { 0.0 };
            Open { id, look, awake_nats }
        })
        .collect();
    let spells = Spells::new(situation);
    let detours = Detours::new(situation, hypotheses);
    let mut works = Vec::new();
    for Open { id, look, .. } in &looks {
        let check = &model[*id];
        let work = situation.now.work(Action::Check(*id));
        let stays = work.during == *situation.spell;
        let answered = |(other, now): &(CheckId, bool)| other == id && (*now && stays || look.sees == Sees::Present);
        if situation.answered.iter().any(answered) {
            continue;
        }
        let own = if work.same_look { 0.0 } else { check.minutes };
        let charged = own + OWN_SHARE_OF_ACCESS * detours.minutes(&work.after, work.moving);
        let prospect = Prospect::of(hypotheses, look, &spells.moment(&work.during));
        found.push(Candidate::new(Action::Check(*id), &work, charged, prospect));
        works.push(work);
    }
    for (first, worth, round) in rounds(situation, hypotheses, &detours, &found, &works) {
        found[first].round = Some((worth, round));
    }
    if situation.showing != Some(true) {
        let see = see(situation, hypotheses, &looks, &spells, situation.now);
        if situation.showing.is_none() || see.work.during != *situation.spell {
            found.push(Candidate::new(Action::SeeWhetherItShows, &see.work, see.charged, see.prospect));
        }
    }
    let provocations = if situation.just_provoked { 0 } else { model.provocations.len() };
    let ledger = situation.now.ledger;
    let offered = |id: &ProvocationId| !ledger.is_some_and(|ledger| ledger.is_refused(*id));
    for id in (0..provocations).map(ProvocationId).filter(offered) {
        found.extend(best_in_provocation(situation, hypotheses, &looks, &spells, &detours, id));
    }
    found.retain(|c| c.prospect.nats > NOTHING_TO_LEARN);
    if situation.answered.is_empty() && situation.showing.is_none() && situation.corrected.is_empty() {
        let complaint = &model[situation.complaint];
        let first = |c: &Candidate| match c.action {
            Action::Check(id) => {
                let here = model[id].site == complaint.site || complaint.site == Site::Engine;
                here && complaint.first_order.first() == Some(&model[id].name)
            }
            _ => false,
        };
        found.iter_mut().filter(|c| first(c)).for_each(|c| c.boost = FIRST_OF_THE_CHART);
    }
    found
}

/// The sites whose causes together are likely enough for a swap.
fn suspected(situation: &Situation<'_>, hypotheses: &Hypotheses) -> BTreeSet<Site> {
    let mut shares: BTreeMap<Site, f64> = BTreeMap::new();
    for (at, cause) in situation.model.causes.iter().enumerate() {
        *shares.entry(cause.site).or_default() += hypotheses.of_cause(CauseId(at));
    }
    shares.into_iter().filter(|(_, share)| *share >= WORTH_SWAPPING).map(|(site, _)| site).collect()
}

/// The chance of each cause to be awake, for every set of conditions that the next step can reach.
struct Spells<'a> {
    situation: &'a Situation<'a>,
    /// Of what is awake in the spell it is now.
    now: Rc<Waking>,
    chances: RefCell<BTreeMap<Vec<usize>, Rc<Waking>>>,
}

impl<'a> Spells<'a> {
    fn new(situation: &'a Situation<'a>) -> Self {
        let now = Rc::new(Waking::of_awake(situation, &situation.spell.0));
        Self { situation, now, chances: RefCell::default() }
    }

    /// The moment of a look under conditions: now where they are those of the spell it is, else a new one.
    fn moment(&self, conditions: &Conditions) -> Moment {
        if conditions == self.situation.spell {
            return Moment::Now(Rc::clone(&self.now));
        }
        let mut chances = self.chances.borrow_mut();
        let known = chances.entry(conditions.0.clone());
        Moment::New(Rc::clone(known.or_insert_with(|| Waking::under(self.situation, &conditions.0).into())))
    }
}

/// The best check in the spell that a provocation would begin.
fn best_in_provocation(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    looks: &[Open<'_>],
    spells: &Spells<'_>,
    detours: &Detours<'_>,
    id: ProvocationId,
) -> Option<Candidate> {
    let model = situation.model;
    let provoked = situation.now.work(Action::Provoke(id));
    if provoked.during == *situation.conditions() || situation.leads_away(&provoked.during) {
        return None;
    }
    let after = situation.now.at(&provoked.after);
    let own = OWN_SHARE_OF_PROVOCATION * (provoked.minutes - provoked.moving);
    let of_check = |Open { id: check, look, .. }: &Open<'_>| {
        let work = after.work(Action::Check(*check));
        let detour = detours.minutes(&work.after, provoked.moving + work.moving);
        let charged = own + OWN_SHARE_OF_ACCESS * detour + model[*check].minutes;
        let prospect = Prospect::of(hypotheses, look, &spells.moment(&work.during));
        Candidate::new(Action::Provoke(id), &provoked, charged, prospect).then(Some(*check), &work)
    };
    // At the very best all is awake and no access has to change.
    let at_best = |open: &Open<'_>| worth(open.awake_nats, own + model[open.id].minutes);
    let mut promising: Vec<(f64, &Open<'_>)> =
        looks.iter().filter(|open| open.awake_nats > NOTHING_TO_LEARN).map(|open| (at_best(open), open)).collect();
    promising.sort_by(|a, b| b.0.total_cmp(&a.0));
    let see = see(situation, hypotheses, looks, spells, after);
    let charged = OWN_SHARE_OF_PROVOCATION * provoked.minutes + see.charged;
    let mut best = Candidate::new(Action::Provoke(id), &provoked, charged, see.prospect).then(None, &see.work);
    for (at_best, open) in promising {
        if at_best <= best.worth() {
            break;
        }
        let candidate = of_check(open);
        if candidate.worth() > best.worth() {
            best = candidate;
        }
    }
    Some(best)
}

fn look<'a>(situation: &Situation<'a>, id: CheckId) -> Look<'a> {
    let check = &situation.model[id];
    let before = situation.answered.iter().filter(|(c, now)| *c == id && !now).count();
    let fresh = FRESH_AFTER_A_MISS.powi(i32::try_from(before).unwrap_or(i32::MAX));
    Look::new(check.sees, check.minutes, check.outcomes.iter().map(|o| &o.event), fresh)
}

/// Whether the complaint shows, as something to look at.
pub(super) fn showing<'a>(situation: &Situation<'a>) -> Look<'a> {
    let complaint = &situation.model[situation.complaint];
    Look::new(Sees::Awake, complaint.proof.minutes, std::iter::once(&complaint.event), 1.0)
}

/// Running the engine to see whether the complaint shows, and what that opens the way to.
struct See {
    work: Work,
    charged: f64,
    prospect: Prospect,
}

/// What seeing whether it shows brings: by itself, and by the best check on the running engine once it does show, when
/// what is at fault is known to be awake.
fn see(
    situation: &Situation<'_>,
    hypotheses: &Hypotheses,
    looks: &[Open<'_>],
    spells: &Spells<'_>,
    from: Now<'_>,
) -> See {
    let model = situation.model;
    let work = from.work(Action::SeeWhetherItShows);
    let mut prospect = Prospect::of(hypotheses, &showing(situation), &spells.moment(&work.during));
    let mut charged = work.minutes;
    let yes = prospect.outcomes.first().copied().unwrap_or(0.0);
    let awake = prospect.given(hypotheses, 0);
    let rate = |open: &Open<'_>| worth(open.awake_nats, model[open.id].minutes);
    let mut promising: Vec<(f64, &Open<'_>)> =
        looks.iter().filter(|open| open.awake_nats > NOTHING_TO_LEARN).map(|open| (rate(open), open)).collect();
    promising.sort_by(|a, b| b.0.total_cmp(&a.0));
    let after = from.at(&work.after);
    let on_the_run = promising.iter().filter_map(|(_, open)| {
        let then = after.work(Action::Check(open.id));
        (then.during == work.during).then_some((open, then.minutes))
    });
    let worked_out = on_the_run
        .take(ON_THE_RUN)
        .map(|(open, minutes)| (Prospect::of(&awake, &open.look, &Moment::Now(Rc::clone(&spells.now))).nats, minutes));
    let best = worked_out.max_by(|a, b| worth(a.0, a.1).total_cmp(&worth(b.0, b.1)));
    if let Some((nats, minutes)) = best.filter(|(nats, _)| yes * nats > NOTHING_TO_LEARN) {
        prospect.nats += yes * nats;
        charged += yes * minutes;
    }
    See { work, charged, prospect }
}
