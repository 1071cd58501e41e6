//! The law of work: for every action that is offered at random moments of random jobs on every layout, the minutes shown, charged and
//! reckoned with are one number; nothing cranks, runs or flies with something open that may not be; every hazard of its mode, access and
//! part is among its cautions; evidence that is gone and tools that were refused are not asked for.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use std::collections::BTreeSet;
use std::sync::Arc;

use rand::{RngExt as _, SeedableRng as _, seq::IndexedRandom as _};
use rand_chacha::ChaCha8Rng;
use roughrun::analysis::Analysis;
use roughrun::guide::Told;
use roughrun::job::{Answer, Entry, Job, Levels, Logged, Opening};
use roughrun::model::{AccessId, CheckId, CorrectionId, HazardId, Mode, Model, ProvocationId};
use roughrun::trees::Library;
use roughrun::work::{Action, Work};

/// Steps over all layouts, and actions held against the law at each.
const STEPS: usize = 10_000;
const HELD: usize = 8;
/// Steps of one job.
const JOB: usize = 28;
/// Every so many steps the planner is asked too.
const PLANNED: usize = 40;

fn offered(job: &Job) -> Vec<Action> {
    let (model, state) = (job.model(), job.state());
    let ready = state.all_ready(model);
    let checks = (0..model.checks.len()).map(CheckId).filter(|id| ready(*id).is_ok()).map(Action::Check);
    let provocations = (0..model.provocations.len()).map(ProvocationId);
    let provocations = provocations.filter(|id| !state.ledger.is_refused(*id)).map(Action::Provoke);
    let corrections = (0..model.corrections.len()).map(CorrectionId).map(Action::Correct);
    checks.chain(provocations).chain(corrections).chain([Action::SeeWhetherItShows, Action::ProofRun]).collect()
}

fn entry(model: &Model, action: Action, rng: &mut ChaCha8Rng) -> Entry {
    match action {
        Action::Check(id) => {
            let check = &model[id];
            let all: Vec<_> = check.all_seen().collect();
            // Most looks are normal, as in a hangar.
            let seen = if rng.random_bool(0.8) { all[0] } else { *all.choose(rng).unwrap() };
            Entry::Answer(Answer::seen(check, seen))
        }
        Action::Provoke(id) => Entry::Provoked { provocation: model[id].name.clone() },
        Action::Correct(id) => Entry::Corrected { correction: model[id].name.clone(), at: model[id].site },
        Action::SeeWhetherItShows => Entry::Showing { showing: Some(rng.random_bool(0.3)), ran: true },
        Action::ProofRun => Entry::ProofRun { showing: rng.random_bool(0.5), levels: Levels::default() },
        _ => panic!("no ends are played"),
    }
}

fn after(job: &Job, entry: Entry) -> Job {
    let mut job = job.clone();
    job.enter(Logged { number: job.next_number(), when: String::new(), entry }).expect("an entry that is offered");
    job
}

/// What the tree says of a mode and of those it is reached from.
fn modes(model: &Model, mode: Mode) -> Vec<Mode> {
    let mut found = vec![mode];
    while *found.last().unwrap() != Mode::AtRest {
        found.push(model[*found.last().unwrap()].from);
    }
    found
}

/// The mode of an action, read from the tree again.
fn mode(job: &Job, action: Action) -> Mode {
    let model = job.model();
    match action {
        Action::Check(id) => model[id].manner.engine,
        Action::Provoke(id) => model[id].manner.engine,
        Action::Correct(id) => model[id].manner.engine,
        _ => model[job.state().complaint].proof.engine,
    }
}

/// Everything open while the engine does what the action asks of it.
fn open_in_it(work: &Work) -> Vec<AccessId> {
    // What is looked at after a run on one side is opened after it.
    let opened_after = work.engine == Mode::RunAlone;
    work.after.open.iter().filter(|id| !(opened_after && work.opens.contains(id))).collect()
}

fn hazards(job: &Job, action: Action, work: &Work) -> BTreeSet<HazardId> {
    let (model, state) = (job.model(), job.state());
    let mut found = BTreeSet::new();
    let (own, open, touches) = match action {
        Action::Check(id) => (&model[id].hazards, model[id].open.clone(), model[id].manner.touches.clone()),
        Action::Provoke(id) => (&model[id].hazards, model[id].open.clone(), model[id].manner.touches.clone()),
        Action::Correct(id) => (&model[id].hazards, model[id].open.clone(), model[id].manner.touches.clone()),
        _ => (&model[state.complaint].proof.hazards, Vec::new(), Vec::new()),
    };
    found.extend(own);
    for mode in modes(model, work.engine) {
        found.extend(&model[mode].hazards);
    }
    for id in open.iter().chain(&work.opens).chain(&model[work.engine].open) {
        found.extend(&model[*id].hazards);
    }
    for (at, hazard) in model.hazards.iter().enumerate() {
        if hazard.of_parts.iter().any(|part| touches.contains(part)) {
            found.insert(HazardId(at));
        }
        let since = state.setting.since_run().filter(|_| !open.is_empty() && !work.engine.turns());
        if hazard.after_run.zip(since).is_some_and(|(within, since)| since <= within) {
            found.insert(HazardId(at));
        }
    }
    found
}

fn hold(job: &Job, action: Action, rng: &mut ChaCha8Rng) {
    let (model, state) = (job.model(), job.state());
    let words = || format!("{} in {}: {}", action.title(model), model.layout.name, action.name());
    let work = state.work(model, action);
    let opening = work.opens.iter().map(|id| model[*id].open).sum::<f64>();
    let handling = opening + work.closes.iter().map(|id| model[*id].close).sum::<f64>();
    assert!((work.access - handling).abs() < 1e-9 && work.access <= work.moving + 1e-9, "{}", words());
    assert!((state.spent.total() - state.minutes).abs() < 1e-6, "{}", words());
    let told = Told::of(job, action);
    let done = after(job, entry(model, action, rng));
    let charged = done.state().minutes - state.minutes;
    assert!((told.work.minutes - charged).abs() < 1e-9, "{}: shown {}, charged {charged}", words(), told.work.minutes);

    // What it takes adds up from the tree's own figures.
    let opened: f64 = work.opens.iter().map(|id| model[*id].open).sum();
    let closed: f64 = work.closes.iter().map(|id| model[*id].close).sum();
    assert!(work.moving >= opened + closed - 1e-9, "{}: access is charged less than it takes", words());
    assert!(work.minutes >= work.moving - 1e-9 && work.minutes.is_finite(), "{}", words());

    // Nothing is open that may not be.
    let engine = mode(job, action);
    assert_eq!(engine, work.engine, "{}", words());
    if engine.turns() && state.setting.just_ran_alone(site_side(job, action)).is_none() {
        for id in open_in_it(&work) {
            assert!(
                model[id].stays_open_in.contains(&engine),
                "{}: {} stands open while the engine is {}",
                words(),
                model[id].name,
                engine.name()
            );
        }
        for id in &model[engine].open {
            assert!(work.after.open.has(*id), "{}: {} is shut", words(), model[*id].name);
        }
    }
    if engine.lasts() && !work.after.engine.lasts() {
        assert_eq!(work.after.engine, Mode::AtRest, "{}", words());
    }

    // Every hazard is among the cautions.
    let all: BTreeSet<HazardId> = told.cautions.iter().copied().collect();
    for hazard in hazards(job, action, &work) {
        assert!(all.contains(&hazard), "{}: the caution \"{}\" is missing", words(), model[hazard].name);
    }

    // Evidence that is gone and tools that were refused are not asked for.
    if let Action::Check(id) = action {
        assert!(!state.ledger.is_spent(id), "{}: what it looks at is gone", words());
        let lacking = state.ledger.lacking();
        assert!(model[id].equipment().iter().all(|tool| !lacking.contains(tool)), "{}: refused", words());
    }
}

fn site_side(job: &Job, action: Action) -> Option<roughrun::model::Side> {
    match action {
        Action::Check(id) => job.model()[id].site.side(),
        Action::Correct(id) => job.model()[id].site.side(),
        _ => None,
    }
}

#[test]
fn shown_is_charged_is_reckoned_and_nothing_runs_open() {
    let library = Library::embedded().unwrap();
    let models: Vec<Arc<Model>> =
        library.layouts().iter().map(|layout| Arc::new(library.expand(layout).unwrap())).collect();
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    let (mut steps, mut held, mut planned) = (0, 0, 0);
    'all: loop {
        for model in &models {
            let complaint = model.complaints.choose(&mut rng).unwrap();
            let opening = Opening::of(&model.layout.name, &complaint.name, complaint.site);
            let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
            let mut job = Job::replay(Arc::clone(model), vec![first]).unwrap();
            for _ in 0..JOB {
                let actions = offered(&job);
                for _ in 0..HELD {
                    hold(&job, *actions.choose(&mut rng).unwrap(), &mut rng);
                    held += 1;
                }
                if steps % PLANNED == 0 {
                    for suggestion in &Analysis::of(job.clone()).advice().next {
                        let work = job.state().work(model, suggestion.action);
                        assert!(
                            (suggestion.minutes - work.minutes).abs() < 1e-9,
                            "{}: reckoned {}, takes {}",
                            suggestion.action.title(model),
                            suggestion.minutes,
                            work.minutes
                        );
                        planned += 1;
                    }
                }
                if rng.random_bool(0.05) {
                    let with_tools: Vec<&String> = model.checks.iter().flat_map(|c| &c.tools).collect();
                    if let Some(what) = with_tools.choose(&mut rng) {
                        job = after(&job, Entry::Lacking { what: (*what).clone() });
                    }
                }
                let action = *actions.choose(&mut rng).unwrap();
                if let Action::Check(id) = action
                    && job.state().ready(model, id).is_err()
                {
                    continue;
                }
                let entry = entry(model, action, &mut rng);
                job = after(&job, entry);
                steps += 1;
                if steps >= STEPS {
                    break 'all;
                }
            }
        }
    }
    println!("{steps} steps over {} layouts: {held} actions and {planned} suggestions held", models.len());
}
