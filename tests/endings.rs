//! How a job ends: what its record bears out, entry by entry, whatever it is closed as.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod job_support;

use std::sync::Arc;

use job_support::{MODEL, access, answer, at, begun, enter};
use roughrun::guide::{ends, other_complaints, something_else};
use roughrun::job::{Ending, Entry, Job, Levels, Logged, Opening, Refusal};
use roughrun::model::{Model, Site};

fn opened(follows_engine: bool) -> Job {
    begun(Opening { follows_engine, ..Opening::of("four-two-magnetos", "rough-one-side", at("left")) }, "")
}

fn after(entries: &[Entry]) -> Job {
    let mut job = opened(true);
    entries.iter().for_each(|entry| enter(&mut job, entry.clone()));
    job
}

fn corrected() -> Entry {
    Entry::Corrected { correction: "replace-plug".into(), at: at("left 3") }
}

fn handed_over() -> Entry {
    let correction = MODEL.corrections.iter().find(|c| c.kind == roughrun::model::CorrectionKind::HandOver).unwrap();
    Entry::Corrected { correction: correction.name.clone(), at: correction.site }
}

fn proof(showing: bool) -> Entry {
    Entry::ProofRun { showing, levels: Levels::new() }
}

fn shows(showing: bool) -> Entry {
    Entry::Showing { showing: Some(showing), ran: true }
}

fn refused(job: &Job, how: Ending, note: &str) -> Option<Refusal> {
    job.test(&Entry::closed(how, note.into())).err()
}

/// What the record bears out, by the words of the rule, for jobs of one complaint whose proof runs are made as reported. Where it showed
/// hotter than it was reported, such a run does not prove it gone.
fn by_the_rule(job: &Job, entries: &[Entry], how: Ending) -> Ending {
    let heat = MODEL.conditions.iter().position(|kind| kind.name == "heat").unwrap();
    let hotter = job.state().spells.iter().enumerate().any(|(at, spell)| {
        job.state().shown_in.contains(&at) && spell.conditions.0[heat] > job.state().reported.0[heat]
    });
    let corrected = entries.iter().rposition(|e| *e == corrected());
    let ran = entries.iter().rposition(|e| matches!(e, Entry::ProofRun { .. }));
    let since = |from: usize| entries[from..].iter().any(|e| *e == shows(true) || *e == proof(true));
    let handed = entries.iter().rposition(|e| *e == handed_over());
    let proven = corrected.zip(ran).is_some_and(|(c, r)| c.max(handed.unwrap_or(0)) < r && !since(r)) && !hotter;
    let showed_in_a_run = |c: usize| entries[c..].contains(&proof(true));
    let awaits = corrected.max(handed).is_some_and(|c| ran.is_none_or(|r| r < c) || hotter && !showed_in_a_run(c));
    match how {
        Ending::HandedOver | Ending::Stopped => how,
        Ending::CuredProven if proven => how,
        Ending::NotFound if corrected.is_some() && !awaits => how,
        _ if corrected.is_some() => Ending::CorrectedNotProven,
        _ if since(0) => Ending::NotFound,
        _ => Ending::NotReproduced,
    }
}

#[test]
fn every_short_record_ends_as_the_rule_says() {
    let kinds = [corrected(), handed_over(), proof(false), proof(true), shows(true), shows(false)];
    let mut tried = 0;
    for length in 0..=4_u32 {
        for number in 0..kinds.len().pow(length) {
            let pick = |place: u32| kinds[number / kinds.len().pow(place) % kinds.len()].clone();
            let entries: Vec<Entry> = (0..length).map(pick).collect();
            let job = after(&entries);
            for how in Ending::ALL {
                let wanted = by_the_rule(&job, &entries, how);
                assert_eq!(job.state().borne_out(&MODEL, how), wanted, "{how:?} after {entries:?}");
                // Closed as what it is not, the job stays open; a record that was closed so says what it is.
                assert_eq!(refused(&job, how, "A reason.").is_none(), wanted == how, "{how:?} after {entries:?}");
                let mut log = job.log().to_vec();
                let entry = Entry::closed(how, "A reason.".into());
                log.push(Logged { number: job.next_number(), when: String::new(), entry });
                let read = Job::replay(Arc::clone(&MODEL), log).unwrap();
                assert_eq!(read.state().ending(&MODEL), Some(wanted));
            }
            tried += 1;
        }
    }
    assert_eq!(tried, 1 + 6 + 36 + 216 + 1296);
}

#[test]
fn what_is_missing_for_the_cure_is_named_with_its_minutes_and_brings_it() {
    let mut job = after(&[corrected()]);
    let (can, cannot) = ends(&job);
    let names: Vec<Ending> = can.iter().map(|end| end.how).collect();
    assert_eq!(names, [Ending::CorrectedNotProven, Ending::HandedOver, Ending::Stopped]);
    let cure = cannot.iter().find(|end| end.how == Ending::CuredProven).unwrap();
    let run = job.state().work(&MODEL, roughrun::work::Action::ProofRun).minutes;
    assert!((cure.minutes - run).abs() < 1e-9 && run > 0.0, "{cure:?}");
    assert!(matches!(refused(&job, Ending::CorrectedNotProven, " "), Some(Refusal::SayWhy(_))));
    assert!(matches!(refused(&job, Ending::CuredProven, ""), Some(Refusal::NotProven { .. })));
    enter(&mut job, proof(false));
    assert_eq!(ends(&job).0[0].how, Ending::CuredProven);
    assert_eq!(refused(&job, Ending::CuredProven, ""), None);
}

#[test]
fn something_else_that_showed_is_worked_on_and_proven_gone_too() {
    let mut job = after(&[corrected()]);
    let popping = MODEL.find_complaint("backfires", Site::Engine).unwrap();
    assert!(other_complaints(&job).iter().any(|(id, _)| *id == popping));
    for entry in something_else(&job, Some(proof(false)), popping) {
        enter(&mut job, entry);
    }
    assert!(other_complaints(&job).iter().all(|(id, _)| *id != popping));
    // The first complaint is gone; the one that showed in its run is in hand, under the conditions of that run.
    assert_eq!(job.state().unproven(), [popping]);
    assert_eq!(job.state().in_hand().0, popping);
    assert_eq!(job.state().in_hand().1, &job.state().reported);
    assert!(matches!(refused(&job, Ending::CuredProven, ""), Some(Refusal::NotProven { .. })));
    assert_eq!(job.state().borne_out(&MODEL, Ending::CuredProven), Ending::CorrectedNotProven);
    // A run that shows neither proves both: it is made under the conditions of both.
    enter(&mut job, Entry::Corrected { correction: "clean-plug".into(), at: at("left 1") });
    assert_eq!(job.state().unproven().len(), 2, "a correction can bring the first back");
    enter(&mut job, proof(false));
    assert_eq!(job.state().unproven(), []);
    assert_eq!(refused(&job, Ending::CuredProven, ""), None);
}

#[test]
fn a_complaint_under_other_conditions_asks_for_its_own_run() {
    let mut job = after(&[]);
    let hot = MODEL.find_complaint("rough-hot", Site::Engine).unwrap();
    assert_ne!(MODEL[hot].usual, job.state().reported);
    for entry in something_else(&job, None, hot) {
        enter(&mut job, entry);
    }
    enter(&mut job, corrected());
    enter(&mut job, proof(false));
    assert_eq!(job.state().unproven(), [hot]);
    enter(&mut job, proof(false));
    assert_eq!(job.state().unproven(), [], "the second run is the one of the complaint in hand");
    assert_eq!(job.state().last_proof().unwrap().conditions, MODEL[hot].usual);
    // Where it shows afterwards, it is not gone.
    enter(&mut job, shows(true));
    assert_eq!(job.state().unproven().len(), 1);
}

#[test]
fn what_showed_under_other_conditions_is_proven_gone_under_them_too() {
    let hot = Entry::Conditions { levels: [("heat".to_owned(), "hot".to_owned())].into() };
    let mut job = after(&[hot, shows(true), corrected()]);
    let (model, heat) = (&*MODEL, "heat".to_owned());
    assert_eq!(job.state().runs_to_make().len(), 2, "{:?}", job.state().runs_to_make());
    // As it was reported first; then as it showed here.
    assert_eq!(job.state().proof_levels(model), Levels::new());
    enter(&mut job, proof(false));
    assert!(job.state().awaits_proof() && !job.state().proof_passed());
    assert_eq!(job.state().proof_levels(model), [(heat, "hot".to_owned())].into());
    let told = roughrun::guide::Told::of(&job, roughrun::work::Action::ProofRun);
    assert_eq!(told.title, "Proof run under conditions in which it showed here (heat hot)");
    let missing = job.state().missing(model);
    assert!(missing.iter().any(|m| m.words.contains("in which it showed here (heat hot)")), "{missing:?}");
    assert!(matches!(refused(&job, Ending::CuredProven, ""), Some(Refusal::NotProven { .. })));
    let run = job.state().proof_run(model, false);
    enter(&mut job, run);
    assert!(job.state().proof_passed());
    assert_eq!(refused(&job, Ending::CuredProven, ""), None);
    // Records of the first rule ask for what they asked for.
    let mut old = opened(false);
    for entry in [shows(true), corrected(), proof(false)] {
        enter(&mut old, entry);
    }
    assert!(old.state().proof_passed());
}

#[test]
fn what_showed_tells_of_the_complaint_that_was_looked_for() {
    use roughrun::analysis::Analysis;
    // The complaint that came later is evidence of its own: it moves what is believed towards what brings it.
    let alone = after(&[]);
    let mut both = after(&[]);
    let hot = MODEL.find_complaint("rough-hot", Site::Engine).unwrap();
    something_else(&both, None, hot).into_iter().for_each(|entry| enter(&mut both, entry));
    let share = |job: &Job| {
        let analysis = Analysis::of(job.clone());
        let brings = MODEL[hot].event.causes.iter().filter(|(_, chance)| *chance > 0.5);
        brings.map(|(cause, _)| analysis.posterior().causes[cause.0].ever).sum::<f64>()
    };
    assert!(share(&both) > share(&alone), "{} {}", share(&both), share(&alone));
}

#[test]
fn a_closed_job_keeps_its_own_minutes() {
    let mut job = after(&[corrected(), proof(false)]);
    let minutes = job.state().minutes;
    let closing = job.with_figures(Entry::closed(Ending::CuredProven, String::new()));
    assert_eq!(closing, Entry::Closed { how: Ending::CuredProven, note: String::new(), minutes: Some(minutes) });
    enter(&mut job, closing);
    assert!((job.state().minutes - minutes).abs() < f64::EPSILON);
    // Trees that say otherwise later change nothing of it.
    let mut other = Model::clone(&MODEL);
    other.corrections.iter_mut().for_each(|c| c.minutes += 100.0);
    let read = Job::replay(Arc::new(other), job.log().to_vec()).unwrap();
    assert!((read.state().minutes - minutes).abs() < f64::EPSILON);
}

#[test]
fn a_side_is_live_while_its_lead_is_off_and_again_when_it_shows() {
    let open = |open| access("p-lead-off", "left", open);
    let mut job = after(&[open(true)]);
    assert!(job.warnings().iter().any(|w| w.contains("no switch grounds this magneto")), "{:?}", job.warnings());
    enter(&mut job, answer("p-lead-off-reading", "left", "normal"));
    assert!(!job.warnings().is_empty(), "a good lead grounds nothing while it is off");
    enter(&mut job, open(false));
    assert!(job.warnings().is_empty(), "{:?}", job.warnings());

    // No drop on the left: proven grounded, then the complaint shows again in the proof run.
    let mut job = job_support::opened("no-drop", "left", "");
    let side = roughrun::model::Side::Left;
    let check = roughrun::work::grounding_checks(&MODEL, side).find(|id| MODEL[*id].site == Site::Side(side)).unwrap();
    enter(&mut job, answer(&MODEL[check].name, "left", "normal"));
    assert!(job.state().ledger.live().is_empty());
    enter(&mut job, proof(true));
    assert!(job.state().ledger.live().contains(&side));
}

#[test]
fn time_that_goes_by_is_reckoned_with_before_the_next_entry() {
    let opening = Opening::of("four-two-magnetos", "rough-one-side", at("left"));
    let entries =
        [Entry::Opened(Box::new(opening)), Entry::Provoked { provocation: "warm-up-run".into() }, shows(false)];
    let log =
        (1..).zip(entries).map(|(number, entry)| Logged { number, when: "2026-11-30T09:00:00+00:00".into(), entry });
    let mut job = Job::replay(Arc::clone(&MODEL), log.collect()).unwrap();
    let hot = job.state().conditions();
    assert!(!job.let_pass("2026-11-30T09:00:00+00:00"));
    assert!(job.let_pass("2026-11-30T15:00:00+00:00"));
    assert_ne!(job.state().conditions(), hot, "six hours cool an engine");
    assert!(job.state().still_as_before(&MODEL).is_some());
    // Nothing was entered, and what is entered then reckons for itself.
    assert_eq!(job.log().len(), 3);
    let still = job.state().still_as_before(&MODEL).unwrap();
    job.enter(Logged { number: 4, when: "2026-11-30T15:00:00+00:00".into(), entry: still }).unwrap();
    assert_eq!(job.state().conditions(), hot);
    // In a record of the first rule nothing happens by itself.
    let mut old = opened(false);
    assert!(!old.let_pass("2026-11-30T15:00:00+00:00"));
}

#[test]
fn the_engine_can_be_said_to_be_shut_down() {
    let mut job = after(&[shows(true)]);
    assert!(job.state().setting.engine.turns());
    // The record names the mode.
    assert_eq!(Entry::engine(false), Entry::Access { access: "run".into(), at: Site::Engine, open: false });
    enter(&mut job, Entry::engine(false));
    assert!(!job.state().setting.engine.turns());
}
