//! The one page of a job fits a page, whatever the job, and says nothing that nobody saw.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "page/found.rs"]
mod found;
mod laws_support;

use std::sync::Arc;

use laws_support::{Draw, engine, engines, entries, job};
use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;
use roughrun::analysis::Analysis;
use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::model::{CauseId, ComplaintId, Model, Site};
use roughrun::report::{self, Extent, Facts, Reader};
use roughrun::teststand::{Engine, play};
use unicode_width::UnicodeWidthStr as _;

/// The most lines and columns of a page.
const LINES: usize = 60;
const COLUMNS: usize = 100;

fn facts() -> Facts {
    Facts { id: "01M8AG42Q7ES3TS5NQNHJ5J556".into(), head: "0123456789abcdef".into(), ..Facts::default() }
}

fn page(job: &Job, reader: Reader) -> String {
    report::text(&Analysis::of(job.clone()), &facts(), reader, Extent::Page)
}

#[track_caller]
fn fits(page: &str) {
    assert!(page.lines().count() <= LINES, "{} lines:\n{page}", page.lines().count());
    for line in page.lines() {
        assert!(line.width() <= COLUMNS, "{} columns: {line}", line.width());
    }
}

/// A job that somebody works as the planner says, on an engine with one fault.
fn played(model: &Arc<Model>, number: usize) -> Option<Job> {
    let cause = CauseId(number * 37 % model.causes.len());
    let brings = |id: &ComplaintId| model[*id].event.causes.iter().any(|(c, chance)| *c == cause && *chance >= 0.3);
    let complaint = (0..model.complaints.len()).map(ComplaintId).find(brings)?;
    let of = &model[complaint];
    let opening = Opening { mechanic: "A. Demo".into(), ..Opening::of(&model.layout.name, &of.name, of.site) };
    let first = Logged { number: 1, when: "2026-11-30T08:00:00+01:00".into(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(Arc::clone(model), vec![first]).unwrap();
    let reported = job.state().reported.clone();
    let mut engine = Engine::typical(model, complaint, &reported, &[cause])?;
    play(&mut job, &mut engine, 60).unwrap();
    Some(job)
}

#[test]
fn simulated_jobs_fit_a_page() {
    let engines = engines();
    let jobs = (0..).filter_map(|number| played(&engines[number % engines.len()].1, number)).take(30);
    for job in jobs {
        [Reader::Shop, Reader::Owner, Reader::Record].into_iter().for_each(|reader| fits(&page(&job, reader)));
    }
}

/// Answers, corrections and conditions as they fall: more on a page than any job has.
#[test]
fn random_jobs_fit_a_page_and_keep_what_is_signed() {
    let engines = engines();
    for seed in 0..60 {
        let model = &engines[seed % engines.len()].1;
        let mut rng = ChaCha8Rng::seed_from_u64(seed as u64);
        let count = rng.random_range(1..40);
        let draws: Vec<Draw> = (0..count).map(|_| (rng.random(), rng.random(), rng.random())).collect();
        let job = job(model, entries(model, rng.random_range(0..1000), &draws, 30));
        for reader in [Reader::Shop, Reader::Record] {
            let page = page(&job, reader);
            fits(&page);
            for kept in [
                "Found  ",
                "Done  ",
                "Proof  ",
                "1 Work done",
                "2 Completed",
                "3 Done by",
                "4 Signature",
                "Certificate",
            ] {
                assert!(page.contains(kept), "no {kept} in\n{page}");
            }
            for warning in job.warnings() {
                let flat = page.split_whitespace().collect::<Vec<_>>().join(" ");
                assert!(flat.contains(&warning), "{warning} is cut in\n{page}");
            }
        }
        let letter = page(&job, Reader::Owner);
        fits(&letter);
        assert!(!letter.contains('%') && !letter.contains("shake"), "{letter}");
    }
}

/// A plug that was recorded clean and whole is no finding, though it was replaced and the run passed; a lead measured open is one.
#[test]
fn only_what_was_seen_or_measured_is_found() {
    let model = engine("four-two-magnetos");
    let (left_1, left_3) = ("left 1".parse::<Site>().unwrap(), "left 3".parse::<Site>().unwrap());
    let opening = Opening::of("four-two-magnetos", "rough-one-side", "left".parse().unwrap());
    let opened = || Entry::Opened(Box::new(opening.clone()));
    let plug = model.corrections.iter().find(|c| c.site == left_1 && c.name == "replace-plug").unwrap();
    let corrected = || Entry::Corrected { correction: plug.name.clone(), at: left_1 };
    let proof = || Entry::ProofRun { showing: false, levels: roughrun::job::Levels::new() };
    let clean =
        job(&model, [opened(), Entry::Answer(Answer::outcome("plug-look", left_1, "normal")), corrected(), proof()]);
    let shop = page(&clean, Reader::Shop);
    assert!(
        shop.contains("Found         Nobody saw or measured the fault itself; that the work cured it was proven"),
        "{shop}"
    );
    assert!(shop.contains("the cause was not seen or") && !shop.contains("fouled"), "{shop}");
    let json: serde_json::Value = serde_json::from_str(&report::json(&Analysis::of(clean), &facts())).unwrap();
    assert_eq!(json["found"], serde_json::json!([]));
    assert_eq!(json["replaced_unseen"][0]["number"], 3);
    let good = json["shown_good"].as_array().unwrap();
    assert!(good.iter().any(|look| look["check"] == "plug-look" && look["entry"] == 2), "{good:?}");
    assert!(json["owed"].is_array() && json["warnings"].is_array());

    let open = job(&model, [opened(), Entry::Answer(Answer::reading("lead-continuity", left_3, "OL"))]);
    let flat = page(&open, Reader::Shop).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("Found: lead open or lead end or spring damaged, left 3 upper (measured, OL)."), "{flat}");
    let json: serde_json::Value = serde_json::from_str(&report::json(&Analysis::of(open), &facts())).unwrap();
    assert_eq!((&json["found"][0]["by"], &json["found"][0]["entry"]), (&"measured".into(), &2.into()));

    let swap = model.checks.iter().find(|c| c.name == "swap-plug").unwrap();
    let swapped =
        job(&model, [opened(), Entry::Answer(Answer::outcome("swap-plug", swap.site, &swap.outcomes[0].name))]);
    let json: serde_json::Value = serde_json::from_str(&report::json(&Analysis::of(swapped), &facts())).unwrap();
    assert_eq!(json["found"], serde_json::json!([]), "a swap says where to look, and finds nothing by itself");
}

/// No drop, and nobody measured the P-lead: the page says so, and what it can do; it calls nothing shown good or ruled out.
#[test]
fn what_can_hurt_and_was_not_looked_at_is_named() {
    let model = engine("four-two-magnetos");
    let opening = Opening::of("four-two-magnetos", "no-drop", "left".parse().unwrap());
    let job = job(&model, [Entry::Opened(Box::new(opening))]);
    let flat = page(&job, Reader::Shop).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat.contains("WARNING") && flat.contains("may be live"), "{flat}");
    assert!(flat.contains("P-lead open") && flat.contains("the propeller can be live with the switch off"), "{flat}");
    assert!(!flat.to_lowercase().contains("ruled out") && !flat.contains("Shown good"), "{flat}");
}
