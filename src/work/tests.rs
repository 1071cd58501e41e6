//! Laws of conditions, of what work opens and closes, and of what it leaves behind, on the shipped trees.
#![allow(clippy::unwrap_used, clippy::panic, clippy::float_cmp)]

use std::sync::OnceLock;

use proptest::prelude::*;

use super::*;
use crate::model::{AccessId, CheckId, ComplaintId, CorrectionId, Mode, Model, ProvocationId, Side, Site};
use crate::trees::Library;

fn model() -> &'static Model {
    static MODEL: OnceLock<Model> = OnceLock::new();
    MODEL.get_or_init(|| {
        let library = Library::embedded().unwrap();
        library.expand(&library.layout("four-two-magnetos").unwrap()).unwrap()
    })
}

fn kind(name: &str) -> usize {
    model().conditions.iter().position(|c| c.name == name).unwrap()
}

fn level(setting: &Setting, name: &str) -> &'static str {
    let at = kind(name);
    &model().conditions[at].levels[setting.conditions.0[at]]
}

fn now<'a>(setting: &'a Setting, ledger: Option<&'a Ledger>) -> Now<'a> {
    Now { model: model(), complaint: ComplaintId(0), setting, reported: None, ledger }
}

fn access(name: &str, site: Site) -> AccessId {
    AccessId(model().access.iter().position(|a| a.name == name && a.site == site).unwrap())
}

fn provocation(name: &str) -> Action {
    Action::Provoke(model().find_provocation(name).unwrap())
}

fn running_for(minutes: f64) -> Setting {
    let rest = Setting::resting(model(), true);
    let mut setting = now(&rest, None).change_engine(Mode::Run).after;
    setting.pass(model(), minutes);
    setting
}

#[test]
fn an_engine_warms_while_it_runs_and_cools_by_the_clock() {
    let setting = running_for(0.0);
    assert_eq!(level(&setting, "heat"), "warm", "getting it to run takes the minutes that warm it");
    let setting = running_for(30.0);
    assert_eq!(level(&setting, "heat"), "hot");
    let stopped = now(&setting, None).change_engine(Mode::AtRest).after;
    assert_eq!(level(&stopped.clone().after_a_pause(model(), 10.0), "heat"), "hot");
    assert_eq!(level(&stopped.clone().after_a_pause(model(), 45.0), "heat"), "warm");
    assert_eq!(level(&stopped.after_a_pause(model(), 14.0 * 60.0), "heat"), "cold");
}

#[test]
fn mist_dries_on_an_hour_of_running() {
    let rest = Setting::resting(model(), true);
    let wet = now(&rest, None).work(provocation("water-mist")).after;
    assert_eq!(level(&wet, "damp"), "wet");
    assert_eq!(level(&wet.clone().after_a_pause(model(), 30.0), "damp"), "wet");
    let ran = now(&wet, None).work(provocation("warm-up-run")).after;
    assert_eq!(level(&ran, "damp"), "dry");
}

#[test]
fn a_high_power_run_does_not_cool_a_hot_engine() {
    let hot = running_for(40.0);
    let after = now(&hot, None).work(provocation("high-power-run")).after;
    assert_eq!(level(&after, "heat"), "hot");
}

#[test]
fn nothing_runs_with_the_magneto_on_the_bench() {
    let rest = Setting::resting(model(), true);
    let off = access("mag-off", Site::Side(Side::Left));
    let bench = reach(model(), &rest, &[off], &[]).after;
    for action in [provocation("heat-soak"), provocation("warm-up-run"), Action::SeeWhetherItShows, Action::ProofRun] {
        let work = now(&bench, None).work(action);
        assert!(work.closes.contains(&off), "{action:?} runs the engine with the magneto off");
        assert!(work.moving >= model()[off].close, "{action:?} takes nothing for putting it back");
    }
}

#[test]
fn a_rest_in_between_is_known_after_a_shut_down_on_one_side() {
    let rest = Setting::resting(model(), true);
    let cold = model().find_check("cold-cylinder", "cylinder 1".parse().unwrap());
    let cold = cold.or_else(|| model().find_check("cold-cylinder", "left 1".parse().unwrap())).unwrap();
    let first = now(&rest, None).work(Action::Check(cold));
    assert!(first.moving > 0.0, "it has to be run on that side first");
    let again = now(&first.after, None).work(Action::Check(cold));
    assert_eq!(again.moving, 0.0, "just run on it: nothing is run again");
    let proof = now(&first.after, None).work(Action::ProofRun);
    let later = now(&proof.after, None).work(Action::Check(cold));
    assert!(later.moving > 0.0, "a run on both sides since: it has to be run on that side again");
}

#[test]
fn what_the_last_look_answers_takes_no_time() {
    let rest = Setting::resting(model(), true);
    let twin = (0..model().checks.len()).map(CheckId).find(|id| !model()[*id].same_look.is_empty()).unwrap();
    let work = now(&rest, None).work(Action::Check(twin));
    let mut ledger = Ledger::default();
    ledger.did(model(), 2, &work);
    ledger.answered(model(), twin, None);
    let other = model()[twin].same_look[0];
    let free = now(&work.after, Some(&ledger)).work(Action::Check(other));
    assert!(free.same_look && free.minutes == 0.0, "{} after {}", model()[other].name, model()[twin].name);
}

/// Something to do, by numbers.
fn some_action() -> impl Strategy<Value = Action> {
    let (checks, corrections) = (model().checks.len(), model().corrections.len());
    let provocations = model().provocations.len();
    prop_oneof![
        6 => (0..checks).prop_map(|i| Action::Check(CheckId(i))),
        2 => (0..corrections).prop_map(|i| Action::Correct(CorrectionId(i))),
        2 => (0..provocations).prop_map(|i| Action::Provoke(ProvocationId(i))),
        1 => Just(Action::SeeWhetherItShows),
        1 => Just(Action::ProofRun),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn heat_and_damp_never_rise_by_themselves(minutes in 0.0..2000.0_f64, ran in 0.0..60.0_f64, wet in any::<bool>()) {
        let mut setting = running_for(ran);
        if wet {
            setting.set(model(), kind("damp"), 1);
        }
        let stopped = now(&setting, None).change_engine(Mode::AtRest).after;
        let later = stopped.clone().after_a_pause(model(), minutes);
        for name in ["heat", "damp"] {
            prop_assert!(later.conditions.0[kind(name)] <= stopped.conditions.0[kind(name)]);
        }
        // Two pauses are as long as one.
        let halves = stopped.clone().after_a_pause(model(), minutes / 2.0).after_a_pause(model(), minutes / 2.0);
        prop_assert_eq!(&halves.conditions, &later.conditions);
    }

    #[test]
    fn running_never_lowers_heat(first in 0.0..60.0_f64, more in 0.0..60.0_f64) {
        let one = running_for(first);
        let two = running_for(first + more);
        prop_assert!(two.conditions.0[kind("heat")] >= one.conditions.0[kind("heat")]);
    }

    #[test]
    fn a_provocation_that_runs_never_cools(actions in proptest::collection::vec(some_action(), 0..12)) {
        let mut setting = Setting::resting(model(), true);
        for action in actions {
            let work = now(&setting, None).work(action);
            let runs = matches!(action, Action::Provoke(id) if model()[id].manner.engine.runs());
            if runs && work.closes.is_empty() && work.opens.is_empty() {
                prop_assert!(work.during.0[kind("heat")] >= setting.conditions.0[kind("heat")], "{action:?}");
            }
            setting = work.after;
        }
    }

    #[test]
    fn closing_up_and_running_is_always_possible(actions in proptest::collection::vec(some_action(), 0..25)) {
        let mut setting = Setting::resting(model(), true);
        for action in actions {
            setting = now(&setting, None).work(action).after;
            let flown = now(&setting, None).change_engine(Mode::Flown);
            prop_assert!(flown.after.open.is_empty(), "after {action:?} something stays open in flight");
            prop_assert!(flown.minutes.is_finite());
        }
    }
}
