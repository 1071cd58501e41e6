//! Laws that every job on the shipped trees keeps, whatever is entered in whatever order.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod laws_support;

use std::collections::BTreeSet;
use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

use laws_support::{Draw, answer, engines, entries, job as bare, levels, numbered, opened};
use proptest::prelude::*;
use roughrun::analysis::Ranked;
use roughrun::job::{Entry, Job, Logged, Refusal};
use roughrun::model::{CauseId, Check, CheckId, ComplaintId, Event, Model, Sees, Trigger};
use roughrun::work::{Action, Now, Setting};

static ENGINES: LazyLock<Vec<(String, Arc<Model>)>> = LazyLock::new(engines);

fn model(which: usize) -> &'static Arc<Model> {
    &ENGINES[which % ENGINES.len()].1
}

fn cases(cases: u32) -> ProptestConfig {
    ProptestConfig { cases, failure_persistence: None, max_shrink_iters: 200, ..ProptestConfig::default() }
}

fn draws(most: usize) -> impl Strategy<Value = Vec<Draw>> {
    proptest::collection::vec(any::<Draw>(), 1..=most)
}

fn job(model: &Arc<Model>, entries: impl IntoIterator<Item = Entry>) -> Ranked {
    Ranked::of(bare(model, entries))
}

/// Every number of a posterior as its bits.
fn bits(job: &Ranked) -> Vec<u64> {
    let found = job.posterior();
    let beliefs = found.causes.iter().flat_map(|b| [b.present, b.awake, b.ever]);
    let listed = found.explanations.iter().flat_map(|e| e.now.iter().map(|(_, p)| *p).chain([e.probability]));
    beliefs.chain(listed).chain([found.log_evidence, found.error]).map(f64::to_bits).collect()
}

/// Every cause that an event speaks of.
fn members(event: &Event) -> BTreeSet<CauseId> {
    let gated = event.gates.iter().flat_map(|(formula, _)| formula.causes());
    event.causes.iter().map(|(c, _)| *c).chain(gated).collect()
}

fn scope(check: &Check) -> BTreeSet<CauseId> {
    check.outcomes.iter().flat_map(|o| members(&o.event)).collect()
}

/// Checks that are made in the conditions of now and leave them, so that no new spell begins.
fn still(model: &Model) -> Vec<CheckId> {
    let at_rest = |id: &CheckId| {
        let rest = Setting::resting(model, false);
        let now = Now { model, complaint: ComplaintId(0), setting: &rest, reported: None, ledger: None };
        let work = now.work(Action::Check(*id));
        work.during == rest.conditions && work.after.conditions == rest.conditions
    };
    (0..model.checks.len()).map(CheckId).filter(at_rest).collect()
}

proptest! {
    #![proptest_config(cases(40))]

    #[test]
    fn order_within_a_spell_does_not_matter(
        which in any::<usize>(), first in any::<usize>(),
        looks in proptest::collection::btree_map(any::<u16>(), any::<u8>(), 2..12), turn in any::<usize>(),
    ) {
        let model = model(which);
        let still = still(model);
        // Each check once: of two answers of one check in one spell the later stands, so their order counts.
        let mut seen = BTreeSet::new();
        let mut answers = Vec::new();
        for (id, outcome) in looks {
            let id = still[id as usize % still.len()];
            if seen.insert(id) {
                answers.push(answer(model, id, if outcome % 3 == 0 { outcome as usize } else { 0 }));
            }
        }
        let start = opened(model, ComplaintId(first % model.complaints.len()));
        let there = job(model, [start.clone()].into_iter().chain(answers.clone()));
        let by = turn % answers.len();
        answers.rotate_left(by);
        answers.reverse();
        let back = job(model, [start].into_iter().chain(answers));
        prop_assert_eq!(there.state().spells.len(), back.state().spells.len());
        for (a, b) in there.posterior().causes.iter().zip(&back.posterior().causes) {
            prop_assert!((a.present - b.present).abs() < 1e-9 && (a.awake - b.awake).abs() < 1e-9);
            prop_assert!((a.ever - b.ever).abs() < 1e-9);
        }
    }

    #[test]
    fn undo_gives_back_the_very_same_numbers(
        which in any::<usize>(), first in any::<usize>(), before in draws(25), more in draws(6),
    ) {
        let model = model(which);
        let log = entries(model, first, &before, 20);
        let was = job(model, log.clone());
        // What undone entries may not do is name earlier ones: those are entries of their own that stand.
        let kept: Vec<Draw> = more.into_iter().map(|(k, a, b)| (if matches!(k % 32, 5 | 6) { 12 } else { k }, a, b)).collect();
        let added = entries(model, first, &kept, 20).into_iter().skip(1);
        let mut log: Vec<Entry> = log.into_iter().chain(added).collect();
        let first_added = was.log().len() as u64 + 1;
        for of in (first_added..=log.len() as u64).rev() {
            log.push(Entry::Undo { of });
        }
        let now = job(model, log);
        prop_assert_eq!(now.state(), was.state());
        prop_assert_eq!(bits(&now), bits(&was));
    }

    #[test]
    fn passes_in_one_sleeping_spell_leave_the_chance_of_sleeping(
        which in any::<usize>(), first in any::<usize>(), pick in any::<usize>(),
    ) {
        let model = model(which);
        let sleepers: Vec<CauseId> =
            (0..model.causes.len()).map(CauseId).filter(|c| model[*c].waking.can_sleep()).collect();
        let cause = sleepers[pick % sleepers.len()];
        // Where a complaint takes two causes at once, a pass against the one speaks against the other too; not so here.
        let plain: Vec<ComplaintId> =
            (0..model.complaints.len()).map(ComplaintId).filter(|c| model[*c].event.gates.is_empty()).collect();
        let start = opened(model, plain[first % plain.len()]);
        let before = job(model, [start.clone()]);
        let still = still(model);
        let sees = |id: &&CheckId| model[**id].sees == Sees::Awake && scope(&model[**id]).contains(&cause);
        let passes: Vec<Entry> = still.iter().filter(sees).map(|id| answer(model, *id, 0)).collect();
        prop_assume!(!passes.is_empty());
        let after = job(model, [start].into_iter().chain(passes));
        prop_assert_eq!(before.state().spells.len(), after.state().spells.len());
        let (was, now) = (before.belief(cause), after.belief(cause));
        // Asleep now and there: no pass speaks against that more than against the cause's not being there at all.
        let asleep = was.present - was.awake;
        let floor = asleep / (asleep + 1.0 - was.present);
        prop_assert!(now.present >= floor - 1e-9, "{} {now:?}, {was:?}, floor {floor}", model[cause].name);
    }

    #[test]
    fn a_pass_while_it_shows_is_decisive(which in any::<usize>(), pick in any::<usize>(), passes in 1..4usize) {
        // A cause alone in the scope of the complaint has to be awake while that shows; then a pass counts in full.
        let mut model: Model = (**model(which)).clone();
        let pairs: Vec<(CauseId, f64, CheckId)> = model.checks.iter().enumerate()
            .filter(|(_, check)| check.sees == Sees::Awake)
            .flat_map(|(at, check)| check.outcomes.iter().flat_map(move |o| o.event.causes.iter().map(move |(c, p)| (*c, *p, CheckId(at)))))
            .filter(|(c, p, check)| model[*c].waking.can_sleep() && *p >= 0.9 && still(&model).contains(check))
            .collect();
        prop_assume!(!pairs.is_empty());
        let (cause, _, check) = pairs[pick % pairs.len()];
        let event = Event { causes: vec![(cause, 1.0)], gates: Vec::new(), leak: 1e-6 };
        model.complaints[0].event = event;
        let model = Arc::new(model);
        let passes = std::iter::repeat_n(answer(&model, check, 0), passes);
        let showing = Entry::Showing { showing: Some(true), ran: false };
        let start = opened(&model, ComplaintId(0));
        let quiet = job(&model, [start.clone()].into_iter().chain(passes.clone()));
        let shown = job(&model, [start.clone(), showing.clone()]);
        let decided = job(&model, [start, showing].into_iter().chain(passes));
        let odds = |job: &Ranked| { let p = job.belief(cause).present; p / (1.0 - p) };
        // It falls by what the check misses of an awake cause, and not by a share of waking.
        let missed = model[check].outcomes.iter().flat_map(|o| &o.event.causes).filter(|(c, _)| *c == cause);
        let missed: f64 = missed.map(|(_, p)| 1.0 - p).product();
        let fell = odds(&decided) / odds(&shown);
        // One that shows for moments can have been missed by a short look.
        let habits = model[cause].waking.triggers().iter().zip(&shown.posterior().habits[cause.0]);
        let momentary: f64 = habits.filter(|((trigger, _), _)| matches!(trigger, Trigger::Moments(_))).map(|(_, p)| p).sum();
        prop_assert!(fell <= missed + momentary + 1e-2, "{} by {}: {fell} of {missed}", model[cause].name, model[check].name);
        prop_assert!(odds(&quiet) / odds(&job(&model, [opened(&model, ComplaintId(0))])) >= fell - 1e-9);
    }

    #[test]
    fn a_check_that_cannot_see_a_cause_leaves_it_alone(
        which in any::<usize>(), first in any::<usize>(), before in draws(12), pick in any::<usize>(), how in any::<usize>(),
    ) {
        let model = model(which);
        let mut log = entries(model, first, &before, 10);
        let was = job(model, log.clone());
        let still: Vec<CheckId> = (0..model.checks.len()).map(CheckId).collect();
        let id = still[pick % still.len()];
        log.push(answer(model, id, how));
        let now = job(model, log);
        // A new spell has new sleepers; only what is there and was there can be compared then.
        let same_spell = now.state().spells.len() == was.state().spells.len();
        // The causes that share a finding, directly or through others.
        let mut tied = scope(&model[id]);
        let complaint = members(&model[was.state().complaint].event);
        let mut groups: Vec<BTreeSet<CauseId>> = vec![complaint];
        groups.extend(was.state().given.iter().map(|g| scope(&model[g.check])));
        loop {
            let size = tied.len();
            for group in groups.iter().filter(|g| !g.is_disjoint(&tied)).cloned().collect::<Vec<_>>() {
                tied.extend(group);
            }
            if tied.len() == size { break }
        }
        for (at, (a, b)) in was.posterior().causes.iter().zip(&now.posterior().causes).enumerate() {
            if !tied.contains(&CauseId(at)) {
                prop_assert!((a.present - b.present).abs() < 1e-9 && (a.ever - b.ever).abs() < 1e-9, "{}", model.causes[at].name);
                prop_assert!(!same_spell || (a.awake - b.awake).abs() < 1e-9);
            }
        }
    }
}

proptest! {
    #![proptest_config(cases(14))]

    #[test]
    fn any_legal_job_has_sound_numbers_and_ends_soon(
        which in any::<usize>(), first in any::<usize>(), draws in draws(500), abnormal in 5..40u32, with_levels in any::<usize>(),
    ) {
        let model = model(which);
        let mut log = entries(model, first, &draws, abnormal);
        log.push(Entry::ProofRun { showing: with_levels % 2 == 0, levels: levels(model, with_levels) });
        let whole = numbered(log);
        // Half way and at the end, since later entries may take earlier ones back.
        for some in [whole[..=whole.len() / 2].to_vec(), whole] {
            let start = Instant::now();
            sound(model, some)?;
            prop_assert!(start.elapsed() < Duration::from_secs(15), "took {:?}", start.elapsed());
        }
    }
}

fn sound(model: &Arc<Model>, log: Vec<Logged>) -> Result<(), TestCaseError> {
    let replayed = Job::replay(Arc::clone(model), log);
    if matches!(replayed, Err((_, Refusal::TooMuch { .. }))) {
        // More than can be weighed together is refused in words.
        return Ok(());
    }
    prop_assert!(replayed.is_ok(), "{:?}", replayed.err());
    let Ok(job) = replayed else { return Ok(()) };
    let job = Ranked::of(job);
    let found = job.posterior();
    prop_assert!(found.log_evidence.is_finite() && found.log_evidence <= 1e-9, "evidence {}", found.log_evidence);
    prop_assert!((0.0..=1.0).contains(&found.error));
    for b in &found.causes {
        prop_assert!([b.present, b.awake, b.ever].iter().all(|p| (0.0..=1.0).contains(p)), "{b:?}");
        prop_assert!(b.awake <= b.present + 1e-9 && b.present <= b.ever + 1e-9, "{b:?}");
    }
    for id in &job.state().confirmed {
        prop_assert!(job.belief(*id).ever > 1.0 - 1e-9, "a certain cause was there");
    }
    prop_assert!(!found.explanations.is_empty());
    prop_assert!(found.explanations.iter().all(|e| e.probability > 0.0 && e.probability <= 1.0 + 1e-9));
    prop_assert!(found.explanations.iter().map(|e| e.probability).sum::<f64>() <= 1.0 + 1e-9);
    for id in (0..model.causes.len()).map(CauseId) {
        let _ = job.standing(id);
        prop_assert!(job.against(id).iter().all(|a| (0.0..=1.0).contains(&a.factor)));
    }
    Ok(())
}
