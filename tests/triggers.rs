//! What wakes a fault is drawn once and kept: laws of a belief that knows it, on the shipped trees.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

mod laws_support;

use std::sync::{Arc, LazyLock};

use laws_support::{engines, job as bare, opened};
use roughrun::analysis::Ranked;
use roughrun::job::Entry;
use roughrun::model::{CauseId, ComplaintId, Conditions, Model, Trigger, Waking};

static ENGINES: LazyLock<Vec<(String, Arc<Model>)>> = LazyLock::new(engines);

/// A run in a new spell under these conditions, in which the complaint did not show.
fn pass(model: &Model, conditions: &Conditions) -> [Entry; 2] {
    let named = model.conditions.iter().zip(&conditions.0);
    let levels = named.map(|(kind, level)| (kind.name.clone(), kind.levels[*level].clone())).collect();
    [Entry::Conditions { levels }, Entry::Showing { showing: Some(false), ran: false }]
}

fn after(model: &Arc<Model>, complaint: ComplaintId, passes: &[&Conditions]) -> Ranked {
    let runs = passes.iter().flat_map(|conditions| pass(model, conditions));
    Ranked::of(bare(model, [opened(model, complaint)].into_iter().chain(runs)))
}

/// What all causes together weigh: their number expected, were they independent.
fn left(job: &Ranked) -> f64 {
    let all = (0..job.model().causes.len()).map(CauseId);
    -all.map(|id| (-job.belief(id).present).ln_1p()).sum::<f64>()
}

#[test]
fn each_pass_under_the_same_conditions_says_less_than_the_one_before() {
    let mut tenths = 0;
    for (name, model) in ENGINES.iter() {
        for complaint in (0..model.complaints.len()).map(ComplaintId) {
            let usual = &model[complaint].usual;
            let jobs: Vec<Ranked> = (0..=10).map(|n| after(model, complaint, &vec![usual; n])).collect();
            // How surprising each pass is, in nats, by all that was known before it: what it says.
            let log = |job: &Ranked| job.posterior().log_evidence;
            let says: Vec<f64> = jobs.windows(2).map(|pair| log(&pair[0]) - log(&pair[1])).collect();
            let complaint = &model[complaint].name;
            // Two sides out at once take a gate for each pass; past a few of them what two causes say together is left out.
            let known = jobs.iter().take_while(|job| job.posterior().error < 0.002).count().saturating_sub(1);
            let says = &says[..known];
            assert!(says.len() >= 4, "{name}, {complaint}: known for {known} passes");
            let error = |at: usize| jobs[at..at + 3].iter().map(|job| job.posterior().error).sum::<f64>();
            let falls = |(at, pair): (usize, &[f64])| pair[1] < pair[0] + 2.0 * error(at);
            assert!(says.windows(2).enumerate().all(falls), "{name}, {complaint}: {says:?}");
            assert!(says[1] < 0.8 * says[0], "{name}, {complaint}: the second pass says {} of {}", says[1], says[0]);
            if let Some(tenth) = says.get(9) {
                assert!(*tenth < 0.1 * says[0], "{name}, {complaint}: the tenth pass says {tenth} of {}", says[0]);
                tenths += 1;
            }
        }
    }
    assert!(tenths > 100, "{tenths}");
}

#[test]
fn conditions_that_no_suspect_answers_to_are_no_new_throw() {
    for (name, model) in ENGINES.iter() {
        for (at, condition) in model.conditions.iter().enumerate() {
            let mut deaf: Model = (**model).clone();
            for cause in &mut deaf.causes {
                let answers = |t: &&(Trigger, f64)| !matches!(t.0, Trigger::Level { condition, .. } if condition == at);
                cause.waking = Waking::of(cause.waking.triggers().iter().filter(answers).cloned());
            }
            let deaf = Arc::new(deaf);
            let complaint = ComplaintId(0);
            let usual = &deaf[complaint].usual;
            for level in 0..condition.levels.len() {
                let set = usual.with(&[(at, level)]);
                let (again, other) =
                    (after(&deaf, complaint, &[usual, usual]), after(&deaf, complaint, &[usual, &set]));
                for id in (0..deaf.causes.len()).map(CauseId) {
                    let apart = (again.belief(id).present - other.belief(id).present).abs();
                    assert!(apart < 1e-9, "{name}, {}: {apart}", condition.levels[level]);
                }
            }
        }
    }
}

#[test]
fn a_pass_where_it_was_reported_says_more_than_one_elsewhere() {
    let mut compared = 0;
    for (name, model) in ENGINES.iter() {
        for complaint in (0..model.complaints.len()).map(ComplaintId) {
            let usual = &model[complaint].usual;
            let resting = Conditions::resting(&model.conditions);
            if *usual == resting {
                continue;
            }
            let (here, elsewhere) = (after(model, complaint, &[usual]), after(model, complaint, &[&resting]));
            let (here, elsewhere) = (left(&here), left(&elsewhere));
            assert!(here <= elsewhere + 1e-9, "{name}, {}: {here} left, {elsewhere} elsewhere", model[complaint].name);
            compared += 1;
        }
    }
    assert!(compared > 50, "{compared}");
}

#[test]
fn what_is_not_in_the_tree_falls_with_every_round_in_which_nothing_shows() {
    for (name, model) in ENGINES.iter() {
        for complaint in (0..model.complaints.len()).map(ComplaintId) {
            let usual = &model[complaint].usual;
            let rounds: Vec<f64> =
                (0..=5).map(|n| after(model, complaint, &vec![usual; n]).belief(model.unknown()).present).collect();
            let shown: Vec<String> = rounds.iter().map(|p| format!("{:5.2}", 100.0 * p)).collect();
            println!("{name:28} {:24} {}", model[complaint].name, shown.join(" "));
            // The first passes acquit what always shows, so that what sleeps gains among what can have brought the report.
            assert!(
                rounds[3..].windows(2).all(|pair| pair[1] < pair[0]),
                "{name}, {}: {rounds:?}",
                model[complaint].name
            );
        }
    }
}
