//! What counts as found, as put right unseen, as shown good and as not looked at.

use std::sync::Arc;

use roughrun::analysis::{Analysis, By, Found, SHOWS_GOOD, Standing};
use roughrun::job::{Answer, Entry, Job, Opening};
use roughrun::model::{CauseId, Mode, Model, Sees, Site};

use crate::laws_support::{engine, job};

fn opened(complaint: &str, at: &str) -> Entry {
    Entry::Opened(Box::new(Opening::of("four-two-magnetos", complaint, at.parse().unwrap())))
}

fn answer(check: &str, at: &str, outcome: &str) -> Entry {
    Entry::Answer(Answer::outcome(check, at.parse().unwrap(), outcome))
}

fn read(check: &str, at: &str, typed: &str) -> Answer {
    Answer::reading(check, at.parse().unwrap(), typed)
}

fn corrected(name: &str, at: &str) -> Entry {
    Entry::Corrected { correction: name.into(), at: at.parse().unwrap() }
}

fn found(model: &Arc<Model>, entries: impl IntoIterator<Item = Entry>) -> (Analysis, Found) {
    let job: Job = job(model, entries);
    let job = Analysis::of(job);
    let found = Found::of(&job);
    (job, found)
}

fn names(model: &Model, causes: &[CauseId]) -> Vec<String> {
    causes.iter().map(|id| format!("{} at {}", model[*id].name, model[*id].site)).collect()
}

#[test]
fn the_eye_sees_and_the_meter_measures() {
    let model = engine("four-two-magnetos");
    let entries = [
        opened("rough-one-side", "left"),
        answer("plug-look", "left 1", "oily"),
        Entry::Answer(read("lead-continuity", "left 3", "OL")),
        // The choice stands against what the figure says, so it is the eye's.
        Entry::Answer(Answer { outcome: Some("wide".to_owned()), ..read("plug-gap-reading", "left 2", "0.016 in") }),
        Entry::Confirmed { cause: "plug-loose".into(), at: "left 4".parse().unwrap() },
        // Too rough on the run, and a swap, say only where to look.
        answer("run-up-drop", "left", "too-much-rough"),
    ];
    let (_, found) = found(&model, entries);
    let told: Vec<(u64, By, Vec<String>)> =
        found.found.iter().map(|f| (f.number, f.by, names(&model, &f.causes))).collect();
    let own = |names: &[&str]| names.iter().map(|n| (*n).to_owned()).collect::<Vec<_>>();
    let wanted = [
        (2, By::Seen, own(&["plug-oil at left 1"])),
        (3, By::Measured, own(&["lead-open at left 3", "lead-end-damaged at left 3"])),
        (4, By::Seen, own(&["plug-gap-wide at left 2"])),
        (5, By::Seen, own(&["plug-loose at left 4"])),
    ];
    assert_eq!(told, wanted);
}

#[test]
fn a_correction_answers_what_was_found_since_the_last_one() {
    let model = engine("four-two-magnetos");
    let oily = || answer("plug-look", "left 1", "oily");
    let entries = [
        opened("rough-one-side", "left"),
        oily(),
        corrected("replace-plug", "left 1"),
        corrected("replace-plug", "left 1"),
        corrected("replace-plug", "left 2"),
    ];
    let (_, found) = found(&model, entries);
    let unseen: Vec<u64> = found.replaced_unseen.iter().map(|done| done.number).collect();
    assert_eq!(unseen, [4, 5], "the first put right what was seen; the second and the other plug did not");
}

#[test]
fn a_look_shows_good_what_it_would_have_shown() {
    let model = engine("four-two-magnetos");
    let cold = [
        opened("rough-one-side", "left"),
        answer("plug-look", "left 1", "normal"),
        answer("lead-continuity", "left 1", "normal"),
    ];
    let (job, found) = found(&model, cold);
    let good: Vec<String> = found.shown_good.iter().flat_map(|good| names(&model, &good.causes)).collect();
    assert!(good.contains(&"plug-oil at left 1".to_owned()), "{good:?}");
    assert!(!good.contains(&"plug-cracked at left 1".to_owned()), "a look misses three cracks of ten: {good:?}");
    assert!(!good.contains(&"lead-open at left 1".to_owned()), "a lead that opens hot reads well cold: {good:?}");
    for id in found.unlikely.iter().chain(&found.not_looked_at) {
        assert_ne!(job.standing(*id), Standing::ShownGood);
    }
}

/// What is shown good is so until work that can bring the fault.
#[test]
fn work_that_can_bring_a_fault_takes_back_that_it_was_shown_good() {
    let model = engine("four-two-magnetos");
    let shows = |id: CauseId| {
        model.checks.iter().find(|check| {
            let rests = check.manner.engine == Mode::AtRest && check.sees == Sees::Present;
            rests && !matches!(check.site, Site::Pair(_)) && check.shows(id) >= SHOWS_GOOD
        })
    };
    let mut tried = 0;
    for access in &model.access {
        let Some((id, check)) = access.upsets.iter().find_map(|id| Some((*id, shows(*id)?))) else { continue };
        let look = || answer(&check.name, &check.site.to_string(), "normal");
        let worked = |open| Entry::Access { access: access.name.clone(), at: access.site, open };
        let is_good = |entries: Vec<Entry>| {
            let (_, found) = found(&model, entries);
            found.shown_good.iter().any(|good| good.causes.contains(&id))
        };
        let before = vec![opened("rough-one-side", "left"), look()];
        let after = [before.clone(), vec![worked(true), worked(false)]].concat();
        assert!(!is_good(after), "{}", access.name);
        tried += usize::from(is_good(before));
    }
    assert!(tried > 0, "no work on this engine can bring what a look shows good");
}

/// The OFF test goes the whole way from the switch to the magneto, so after it nobody can say that no one looked for a P-lead.
#[test]
fn the_off_test_is_a_look_for_what_leaves_a_side_live() {
    let model = engine("four-two-magnetos");
    let open = |entries: Vec<Entry>| {
        let (_, found) = found(&model, entries);
        names(&model, &found.not_looked_at)
    };
    let before = open(vec![opened("no-drop", "left")]);
    assert!(before.iter().any(|name| name.starts_with("p-lead-")), "{before:?}");
    let after = open(vec![opened("no-drop", "left"), answer("off-test", "engine", "normal")]);
    assert!(!after.iter().any(|name| name.starts_with("p-lead-")), "{after:?}");
}
