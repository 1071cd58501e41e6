//! Why a job says what it says: suspects that cannot be told apart, what could be done instead, and what each answer did - on every
//! surface that is not a screen.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "learning/small.rs"]
mod small;

use std::sync::Arc;

use roughrun::analysis::{Analysis, SAME_CHANCE};
use roughrun::diagnose::Findings;
use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::model::{CauseId, Model, Site};
use roughrun::plan::Action;
use roughrun::report::{self, Extent, Facts, Reader};

fn open(model: &Arc<Model>, layout: &str, complaint: &str, at: Site) -> Analysis {
    let entry = Entry::Opened(Box::new(Opening::of(layout, complaint, at)));
    Analysis::of(Job::replay(Arc::clone(model), vec![Logged { number: 1, when: String::new(), entry }]).unwrap())
}

fn enter(job: &Job, entry: Entry) -> Analysis {
    let mut job = job.clone();
    job.enter(Logged { number: job.next_number(), when: String::new(), entry }).unwrap();
    Analysis::of(job)
}

fn answer(check: &str, at: Site, outcome: &str) -> Entry {
    Entry::Answer(Answer::outcome(check, at, outcome))
}

/// The twins of the small tree have one correction, and one check that tells them apart.
#[test]
fn twins_are_named_once_their_check_cannot_be_made() {
    let job = open(&small::model(), small::LAYOUT_NAME, "rough", Site::Engine);
    assert!(job.alike().is_empty(), "{:?}", job.alike());
    let barred = Entry::NotPossible { check: "twin-look".into(), at: Site::Engine, why: String::new() };
    let job = enter(&job, barred);
    let model = job.model();
    let [set] = job.alike() else { panic!("{:?}", job.alike()) };
    let names: Vec<&str> = set.causes.iter().map(|id| model[*id].name.as_str()).collect();
    assert_eq!(names, ["twin-a", "twin-b"]);
    let sum: f64 = set.causes.iter().map(|id| job.belief(*id).present).sum();
    assert!((set.probability - sum).abs() < 1e-12);
    assert!(set.one_cures_all(model));
    assert_eq!(model[set.mends[0].0].name, "mend-twins");
    assert!(set.advice(model).contains("one correction cures them all"), "{}", set.advice(model));

    // Said in the findings, the report and its three forms.
    let findings = Findings::of(&job);
    assert_eq!(findings.alike.len(), 1);
    assert_eq!(findings.alike[0].causes, ["twin-a at engine", "twin-b at engine"]);
    assert_eq!(findings.alike[0].corrections, ["mend-twins at engine"]);
    let facts = Facts::default();
    for page in [
        report::text(&job, &facts, Reader::Shop, Extent::Whole),
        report::html(&job, &facts, Reader::Shop, Extent::Whole),
        report::json(&job, &facts),
    ] {
        assert!(page.contains("twin a") && page.contains("one correction cures them"), "{page}");
    }
}

/// Without a correction of both, the cheapest of their own comes first.
#[test]
fn the_cheapest_correction_comes_first_where_none_cures_all() {
    let mut model = Model::clone(&small::model());
    let at = model.corrections.iter().position(|c| c.name == "mend-twins").unwrap();
    let both = model.corrections[at].cures.clone();
    let mut other = model.corrections[at].clone();
    (model.corrections[at].cures, model.corrections[at].minutes) = (vec![both[0]], 50.0);
    (other.cures, other.minutes, other.name) = (vec![both[1]], 20.0, "mend-b".into());
    model.corrections.push(other);
    let job = open(&Arc::new(model), small::LAYOUT_NAME, "rough", Site::Engine);
    let barred = Entry::NotPossible { check: "twin-look".into(), at: Site::Engine, why: String::new() };
    let job = enter(&job, barred);
    let [set] = job.alike() else { panic!("{:?}", job.alike()) };
    let mends: Vec<&str> = set.mends.iter().map(|(id, _)| job.model()[*id].name.as_str()).collect();
    assert_eq!(mends, ["mend-b", "mend-twins"]);
    assert!(!set.one_cures_all(job.model()) && set.advice(job.model()).contains("cheapest first"));
}

/// The small tree with another chance of one check to show the second twin; the check that tells the twins apart cannot be made.
fn with_twin_b_shown_at(chance: f64) -> Analysis {
    let mut model = Model::clone(&small::model());
    let twin_b = model.find_cause("twin-b", Site::Engine).unwrap();
    let look = model.find_check("twins-look", Site::Engine).unwrap();
    let shown = model.checks[look.0].outcomes[0].event.causes.iter_mut().find(|(c, _)| *c == twin_b).unwrap();
    shown.1 = chance;
    let job = open(&Arc::new(model), small::LAYOUT_NAME, "rough", Site::Engine);
    enter(&job, Entry::NotPossible { check: "twin-look".into(), at: Site::Engine, why: String::new() })
}

/// What the word means, held against inference itself: no outcome of any check that can still be made moves the odds between two
/// suspects of one set by more than the log of the ratio of chances that differ by the stated tolerance; between a suspect of the set
/// and one outside it some outcome does.
#[test]
fn no_answer_tells_apart_what_is_said_to_be_alike() {
    // The other twin is shown at 0.8.
    let job = with_twin_b_shown_at(0.76);
    let [set] = job.alike() else { panic!("{:?}", job.alike()) };
    let (a, b) = (set.causes[0], set.causes[1]);
    let outsider = job.model().find_cause("fault-3", Site::Engine).unwrap();
    assert!(!set.causes.contains(&outsider) && job.belief(outsider).present > 0.02);
    let odds = |job: &Analysis, a: CauseId, b: CauseId| (job.belief(a).present / job.belief(b).present).ln();
    let most = (0.24_f64 / 0.2).ln() + 1e-6;
    let (mut checks, mut apart) = (0, 0.0_f64);
    for check in job.model().checks.iter().filter(|c| c.name != "twin-look") {
        for seen in check.all_seen() {
            let after = enter(&job, answer(&check.name, check.site, check.outcome_name(seen)));
            let moved = (odds(&after, a, b) - odds(&job, a, b)).abs();
            assert!(moved <= most, "{} {}: {moved}", check.name, check.outcome_name(seen));
            apart = apart.max((odds(&after, a, outsider) - odds(&job, a, outsider)).abs());
            checks += 1;
        }
    }
    assert!(checks > 20 && apart > 1.0, "{checks} {apart}");
}

#[test]
fn chances_further_apart_than_the_tolerance_tell_suspects_apart() {
    assert_eq!(with_twin_b_shown_at(0.8 - SAME_CHANCE + 0.001).alike().len(), 1);
    assert_eq!(with_twin_b_shown_at(0.8 - SAME_CHANCE - 0.001).alike().len(), 0);
}

#[test]
fn each_recommendation_has_two_alternatives_with_their_cost() {
    let job = open(&small::model(), small::LAYOUT_NAME, "rough", Site::Engine);
    let job = enter(&job, answer("wide-look-0", Site::Engine, "seen"));
    let findings = Findings::of(&job);
    let first = &findings.next[0];
    assert_eq!(first.instead.len(), 2);
    assert_eq!(first.instead[0].title, findings.next[1].title);
    for other in &first.instead {
        assert!(
            other.title != first.title && other.minutes > 0.0 && other.expected_minutes >= other.minutes,
            "{other:?}"
        );
    }
    let second = &findings.next[1];
    assert_eq!(second.instead[0].title, first.title, "the best there is stands first among what could be done instead");
    let closing = job
        .advice()
        .next
        .iter()
        .filter(|s| matches!(s.action, Action::CloseCured | Action::CloseHandedOver | Action::CloseNotFound));
    for suggestion in closing {
        assert!(findings.next.iter().flat_map(|n| &n.instead).all(|i| i.action != suggestion.action.name()));
    }
    // The report of an open job says it too.
    let facts = Facts::default();
    let json: serde_json::Value = serde_json::from_str(&report::json(&job, &facts)).unwrap();
    assert_eq!(json["next"]["instead"].as_array().unwrap().len(), 2);
    assert!(
        report::text(&job, &facts, Reader::Shop, Extent::Whole).contains("WHAT WAS SUGGESTED NEXT")
            || report::text(&job, &facts, Reader::Shop, Extent::Whole).contains("What was suggested next")
    );
    assert!(report::html(&job, &facts, Reader::Shop, Extent::Whole).contains("What was suggested next"));
}

/// The numbers beside a cause multiply to the whole change of its odds, and the report gives them as numbers.
#[test]
fn what_each_answer_did_is_a_number_in_the_report() {
    let job = open(&small::model(), small::LAYOUT_NAME, "rough", Site::Engine);
    let before = job.clone();
    let job = enter(&job, answer("wide-look-1", Site::Engine, "normal"));
    let job = enter(&job, answer("look-2", Site::Engine, "normal"));
    let model = job.model();
    let id = model.find_cause("fault-7", Site::Engine).unwrap();
    let odds = |job: &Analysis| job.belief(id).ever / (1.0 - job.belief(id).ever);
    let json: serde_json::Value = serde_json::from_str(&report::json(&job, &Facts::default())).unwrap();
    let lists = [&json["unlikely"], &json["left"]["causes"]];
    let line = lists.iter().flat_map(|l| l.as_array().unwrap()).find(|c| c["cause"] == "fault-7").unwrap();
    let because = line["because"].as_array().unwrap();
    let product: f64 = because.iter().map(|r| r["factor"].as_f64().unwrap()).product();
    assert!((product - odds(&job) / odds(&before)).abs() < 1e-9, "{because:?}");
    for reason in because {
        assert!(reason["says"].as_str().unwrap().contains("times less likely"), "{reason}");
    }
    let text = report::text(&job, &Facts::default(), Reader::Shop, Extent::Whole);
    assert!(text.contains("times less likely"), "{text}");
}
