//! What is seen beyond doubt is certain, what only looks so is a sign, and a reading that cannot be is not believed.

#![allow(clippy::unwrap_used, clippy::panic)]

mod job_support;

use std::sync::Arc;

use job_support::{answer, at, enter, opened, try_enter};
use roughrun::analysis::Ranked;
use roughrun::job::{Answer, Entry, Job, Logged, Opening, Refusal};
use roughrun::model::Model;
use roughrun::trees::Library;

fn read(check: &str, site: &str, typed: &str) -> Answer {
    Answer::reading(check, at(site), typed)
}

fn ever(job: &Job, cause: &str, site: &str) -> f64 {
    let id = job.model().find_cause(cause, at(site)).unwrap();
    Ranked::of(job.clone()).belief(id).ever
}

/// Every outcome of every layout that is said to leave no doubt: one of the causes it shows is there, whatever the complaint; and where it
/// only looks so, less is believed.
#[test]
fn what_leaves_no_doubt_is_certain_and_what_only_looks_so_is_not() {
    let library = Library::embedded().unwrap();
    let mut looked = 0;
    for name in library.layout_names() {
        let model = Arc::new(library.expand(&library.layout(name).unwrap()).unwrap());
        for (n, check) in model.checks.iter().enumerate() {
            // One site of each kind of check is enough.
            if model.checks.iter().position(|other| other.name == check.name) != Some(n) {
                continue;
            }
            for outcome in check.outcomes.iter().filter(|outcome| outcome.looks_so.is_some()) {
                let seen = |looks_so| {
                    let mut job = job(&model, name);
                    let said = answer(&check.name, &check.site.to_string(), &outcome.name);
                    let Entry::Answer(said) = said else { panic!("an answer") };
                    enter(&mut job, Entry::Answer(Answer { looks_so, ..said }));
                    let ranked = Ranked::of(job);
                    // Where several can look so, they share it: one of them is there.
                    outcome.event.causes.iter().map(|(id, _)| ranked.belief(*id).ever).sum::<f64>()
                };
                let (certain, sign) = (seen(false), seen(true));
                assert!(certain > 0.999_9, "{} {} at {}: {certain}", check.name, outcome.name, check.site);
                assert!(sign < certain, "{} {} at {}: {sign}", check.name, outcome.name, check.site);
                looked += 1;
            }
        }
    }
    assert!(looked > 800, "{looked}");
}

fn job(model: &Arc<Model>, layout: &str) -> Job {
    let complaint = &model.complaints[0];
    let opening = Opening::of(layout, &complaint.name, complaint.site);
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    Job::replay(Arc::clone(model), vec![first]).unwrap()
}

#[test]
fn an_open_circuit_is_certain_and_a_reading_a_little_past_its_limit_is_a_sign() {
    let after = |typed: &str| {
        let mut job = opened("rough-one-side", "left", "");
        enter(&mut job, Entry::Answer(read("mag-coil-secondary-reading", "left", typed)));
        ever(&job, "mag-coil-open", "left")
    };
    // The ordinary band is 10 to 25 kohm (placeholder): its own width past it, or half as much again, is far.
    assert!(after("OL") > 0.999_9);
    assert!(after("60 kohm") > 0.999_9);
    assert!(after("27 kohm") < 0.9, "{}", after("27 kohm"));
}

#[test]
fn a_finding_that_only_looks_so_is_not_told_as_found() {
    let mut job = opened("rough-one-side", "left", "");
    let Entry::Answer(said) = answer("gear-look", "left", "teeth") else { panic!("an answer") };
    enter(&mut job, Entry::Answer(Answer { looks_so: true, ..said.clone() }));
    let found = |job: &Job| roughrun::analysis::Found::of(&Ranked::of(job.clone())).found.len();
    assert_eq!(found(&job), 0);
    let of = job.next_number() - 1;
    enter(&mut job, Entry::Amend { of, by: Box::new(Entry::Answer(said)) });
    assert_eq!(found(&job), 1);
}

#[test]
fn a_slip_of_the_unit_is_asked_about_and_what_cannot_be_is_refused() {
    let mut job = opened("rough-one-side", "left", "");
    let gap = read("plug-gap-reading", "left 1", "0.018");
    // A bare figure is in the check's own unit.
    enter(&mut job, Entry::Answer(gap.clone()));
    let wide = |typed: &str| Answer { reading: Some(typed.into()), ..read("plug-gap-reading", "left 2", "") };
    // 18 inches cannot be; 18 mm is no slip of a prefix that would make it ordinary, and cannot be either.
    let refused = try_enter(&mut job, "", Entry::Answer(wide("18")));
    assert!(
        matches!(&refused, Err(Refusal::CannotBe { possible, .. }) if possible == "0 in to 0.25 in"),
        "{refused:?}"
    );

    let slipped = read("mag-coil-secondary-reading", "left", "15 ohm");
    let refused = try_enter(&mut job, "", Entry::Answer(slipped.clone()));
    let Err(Refusal::Slip { typed, meant }) = &refused else { panic!("{refused:?}") };
    assert_eq!((typed.as_str(), meant.as_str()), ("15 ohm", "15 kohm"));
    // Nothing was saved; what was meant is ordinary, and as typed it is a shorted winding.
    let coil = |job: &Job| ever(job, "mag-coil-shorted", "left");
    let before = coil(&job);
    let mut meant = job.clone();
    enter(&mut meant, Entry::Answer(read("mag-coil-secondary-reading", "left", "15 kohm")));
    assert!(coil(&meant) < before);
    let mut typed = job.clone();
    enter(&mut typed, Entry::Answer(Answer { as_typed: true, ..slipped.clone() }));
    assert!(coil(&typed) > 0.999_9);
    // Unasked, as in a record of old or an evidence file, it counts as either.
    let mut unasked = job.clone();
    unasked.take(Logged { number: job.next_number(), when: String::new(), entry: Entry::Answer(slipped) }).unwrap();
    assert!(coil(&unasked) < 0.5 && coil(&unasked) > coil(&meant), "{}", coil(&unasked));

    let rpm = try_enter(&mut job, "", Entry::Answer(read("run-up-drop", "left", "9999 rpm")));
    assert!(matches!(rpm, Err(Refusal::CannotBe { .. })), "{rpm:?}");
}
