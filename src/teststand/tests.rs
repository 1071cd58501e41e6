#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::sync::Arc;

use super::small::SmallTree;
use super::*;
use crate::model::{CauseId, ComplaintId, Conditions, Event, Formula, Model, Trigger, Waking};
use crate::plan::Action;

/// Two causes under an "all" gate, a third that brings the complaint alone but is nearly always asleep.
fn gated() -> Model {
    let mut tree = SmallTree::draw(1, 0);
    tree.causes = vec![0.01, 0.02, 0.01];
    tree.checks.clear();
    tree.corrections =
        (0..3).map(|at| small::SmallCorrection { minutes: 10.0, cowl_off: false, cures: vec![at] }).collect();
    let mut model = tree.model();
    let any = |at| Formula::Any(vec![CauseId(at)]);
    model.complaints[0].event = Event {
        causes: vec![(CauseId(2), 1.0)],
        gates: vec![(Formula::AtLeast { count: 2, of: vec![any(0), any(1)] }, 1.0)],
        leak: 1e-15,
    };
    model.causes[2].waking = Waking::of([(Trigger::AtTimes(0.02), 1.0)]);
    model
}

const COMPLAINT: ComplaintId = ComplaintId(0);

fn engine<'m>(model: &'m Model, causes: &[usize], seed: u64) -> Engine<'m> {
    let causes: Vec<CauseId> = causes.iter().map(|c| CauseId(*c)).collect();
    Engine::new(model, COMPLAINT, &Conditions::default(), &causes, seed).unwrap()
}

#[test]
fn a_gate_is_cured_by_mending_one_of_its_members() {
    let model = gated();
    let mut engine = engine(&model, &[0, 1], 1);
    assert!(!engine.cured());
    engine.correct(model.find_correction("correction-0", model.causes[0].site).unwrap());
    assert!(engine.cured());
}

#[test]
fn a_fault_that_never_showed_is_no_part_of_the_complaint() {
    let model = gated();
    // Of many engines on which it slept at the report, mending the gate is enough.
    let mut engine = (0..50).map(|seed| engine(&model, &[0, 1, 2], seed)).find(|e| e.faults()[2].slept).unwrap();
    assert!(!engine.faults()[2].brought);
    engine.correct(model.find_correction("correction-1", model.causes[0].site).unwrap());
    assert!(engine.cured());
    // Once it has brought the complaint, it is.
    engine.come_back(&Conditions::default());
    assert!(engine.faults()[2].brought);
    assert!(!engine.cured());
}

#[test]
fn one_alone_of_a_gate_brings_nothing() {
    let model = gated();
    assert!(Engine::new(&model, COMPLAINT, &Conditions::default(), &[CauseId(0)], 1).is_none());
}

#[test]
fn closing_too_early_comes_back() {
    let model = Arc::new(gated());
    let mut stand = Stand::open(&model, COMPLAINT, engine(&model, &[0, 1], 2)).unwrap();
    stand.carry_out(Action::CloseNotFound).unwrap();
    assert!(!stand.is_over());
    let score = stand.score();
    assert_eq!((score.come_backs, score.resolved), (1, false));
    assert!((score.minutes - COME_BACK_MINUTES - UNRESOLVED_MINUTES).abs() < 1e-9);
    assert_eq!(stand.job().state().last_proof().unwrap().showing, Some(true));
    for _ in 1..MOST_COME_BACKS {
        stand.carry_out(Action::CloseCured).unwrap();
    }
    assert!(stand.is_over() && !stand.score().resolved);
    assert!(stand.carry_out(Action::ProofRun).is_err());
}

#[test]
fn a_cure_is_timed_by_the_work_alone() {
    let model = Arc::new(gated());
    let mut stand = Stand::open(&model, COMPLAINT, engine(&model, &[0, 1], 3)).unwrap();
    stand.carry_out(Action::Correct(model.find_correction("correction-0", model.causes[0].site).unwrap())).unwrap();
    stand.carry_out(Action::ProofRun).unwrap();
    stand.carry_out(Action::CloseCured).unwrap();
    let score = stand.score();
    assert!(score.resolved && score.come_backs == 0 && score.good_parts == 0);
    assert!((score.minutes - 18.0).abs() < 1e-9, "{score:?}");
}

#[test]
fn engines_of_a_seed_answer_alike_in_any_order() {
    // False alarms are drawn as they come, so that this is about trees without.
    let mut tree = SmallTree::draw(4, 5);
    tree.checks.iter_mut().for_each(|check| check.leak = 1e-15);
    let model = tree.model();
    let looks = |order: &[usize]| {
        let mut engine = engine(&model, &[0, 1], 9);
        let mut seen: Vec<_> = order.iter().map(|at| (*at, engine.look(crate::model::CheckId(*at)))).collect();
        seen.sort_unstable();
        seen
    };
    let forward: Vec<usize> = (0..model.checks.len()).collect();
    let backward: Vec<usize> = forward.iter().rev().copied().collect();
    assert_eq!(looks(&forward), looks(&backward));
}

#[test]
fn the_same_seed_gives_the_same_jobs() {
    let model = Arc::new(SmallTree::draw(2, 3).model());
    let fields = [Field::of(model, None).unwrap()];
    for number in 0..20 {
        assert_eq!(work(&fields, 7, number).unwrap(), work(&fields, 7, number).unwrap());
    }
}

#[test]
fn every_way_of_working_resolves_faults_that_are_always_awake() {
    for tree in 0..10 {
        let model = Arc::new(SmallTree::draw(3, tree).model());
        let fields = [Field::of(model, None).unwrap()];
        for number in 0..5 {
            let worked = work(&fields, 11, number).unwrap().unwrap();
            for (policy, score) in Policy::ALL.into_iter().zip(&worked.scores) {
                assert!(score.resolved, "{} on tree {tree}, job {number}: {worked:?}", policy.name());
            }
        }
    }
}
