//! Practice: engines that are dealt, what they show, what is counted of a job, and that none of it reaches the shop's figures.
//!
//! Critical values of chi-square are those of the NIST/SEMATECH e-Handbook of Statistical Methods, table 1.3.6.7.4, upper tail 0.01.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeMap;
use std::sync::{Arc, OnceLock};

use rayon::prelude::*;
use roughrun::analysis::course;
use roughrun::job::{Ending, Entry, Job, Levels, Logged, Opening};
use roughrun::learn::Cases;
use roughrun::lint::lint_library;
use roughrun::measure::{Basis, Context, judge, parse_reading};
use roughrun::model::{AccessId, CauseId, CheckId, Event, Model, ProvocationId, Seen, Sees};
use roughrun::practise::{Bout, Debrief, Order, Progress, Row, Terms, Work};
use roughrun::shop::Shop;
use roughrun::study::{Level, Rule};
use roughrun::teststand::{Hidden, Played, Wanted, deal, do_hidden, play_hidden};
use roughrun::trees::Library;
use roughrun::work::{Action, Now, Setting};

/// Degrees of freedom and the critical value at 0.01.
const CHI_SQUARE: [(usize, f64); 3] = [(9, 21.666), (20, 37.566), (30, 50.892)];

fn critical(degrees: usize) -> f64 {
    CHI_SQUARE.iter().find(|(d, _)| *d == degrees).unwrap().1
}

fn library() -> &'static Library {
    static LIBRARY: OnceLock<Library> = OnceLock::new();
    LIBRARY.get_or_init(|| Library::embedded().unwrap_or_else(|d| panic!("{d:?}")))
}

fn model(layout: &str) -> Arc<Model> {
    let layout = library().layout(layout).unwrap_or_else(|d| panic!("{d:?}"));
    Arc::new(library().expand(&layout).unwrap_or_else(|d| panic!("{d:?}")))
}

fn open(model: &Arc<Model>, opening: Opening) -> Job {
    let entry = Entry::Opened(Box::new(opening));
    Job::replay(Arc::clone(model), vec![Logged { number: 1, when: String::new(), entry }]).unwrap()
}

fn enter(job: &mut Job, entry: Entry) -> u64 {
    let number = job.next_number();
    job.enter(Logged { number, when: String::new(), entry }).unwrap();
    number
}

fn dealt(model: &Arc<Model>, level: Level, seed: u64) -> (Job, Hidden) {
    let (complaint, hidden) = deal(model, Wanted { level, ..Wanted::default() }, seed).expect("a fault of this kind");
    let of = &model[complaint];
    (open(model, Opening::of(&model.layout.name, &of.name, of.site)), hidden)
}

#[test]
fn the_same_number_deals_the_same_engine_and_it_answers_alike_in_any_order() {
    let model = model("four-two-magnetos");
    for level in Level::ALL {
        let (job, hidden) = dealt(&model, level, 7);
        assert_eq!(dealt(&model, level, 7).1, hidden, "{}", level.name());
        assert_ne!(dealt(&model, level, 8).1, hidden, "{}", level.name());
        let looks = |order: &mut dyn Iterator<Item = usize>| {
            let mut all: Vec<_> = order.map(|at| (at, hidden.look(&job, CheckId(at)))).collect();
            all.sort_by_key(|(at, _)| *at);
            all
        };
        let count = model.checks.len();
        assert_eq!(looks(&mut (0..count)), looks(&mut (0..count).rev()));
    }
}

#[test]
fn levels_are_what_they_say() {
    for layout in ["four-two-magnetos", "four-magneto-electronic"] {
        let model = model(layout);
        for seed in 0..4 {
            let awake = |job: &Job, hidden: &Hidden| {
                hidden.engine(job.model(), job.state()).faults().iter().map(|f| f.awake).collect::<Vec<_>>()
            };
            let (job, hidden) = dealt(&model, Level::Awake, seed);
            assert!(!model[hidden.causes[0]].waking.can_sleep() && hidden.causes.len() == 1);
            assert_eq!(awake(&job, &hidden), [true]);
            let (job, hidden) = dealt(&model, Level::Asleep, seed);
            assert_eq!(awake(&job, &hidden), [false]);
            let (job, hidden) = dealt(&model, Level::Two, seed);
            assert_eq!(hidden.causes.len(), 2);
            assert!(hidden.engine(&model, job.state()).faults().iter().all(|f| f.brought));
            let (_, hidden) = dealt(&model, Level::LookAlike, seed);
            assert!(model[hidden.causes[0]].not_ignition);
            // The first correction leaves it as it was; the proof run says so, and the second cures it or may fail by the tree's chance.
            let (mut job, hidden) = dealt(&model, Level::NotCured, seed);
            let mend = model.cures(hidden.causes[0])[0];
            do_hidden(&mut job, &hidden, Action::Correct(mend)).unwrap();
            assert!(!hidden.cured(&job), "seed {seed} on {layout}");
            let cured = (0..4).any(|_| {
                do_hidden(&mut job, &hidden, Action::Correct(mend)).unwrap();
                hidden.cured(&job)
            });
            assert!(cured, "seed {seed} on {layout}");
        }
    }
}

/// The chance of each abnormal outcome of a check, then of normal, with exactly this cause awake: outcomes are tried in order.
fn chances(model: &Model, id: CheckId, cause: CauseId) -> Vec<f64> {
    let mut left = 1.0;
    let mut all = Vec::new();
    for outcome in &model[id].outcomes {
        let Event { causes, leak, .. } = &outcome.event;
        let shows = causes.iter().find(|(c, _)| *c == cause).map_or(0.0, |(_, p)| *p);
        let here = 1.0 - (1.0 - leak) * (1.0 - shows);
        all.push(left * here);
        left *= 1.0 - here;
    }
    all.push(left);
    all
}

#[test]
fn outcomes_come_as_often_as_the_tree_says() {
    const ENGINES: u64 = 2_000;
    let model = model("six-two-impulse");
    let complaint = &model[roughrun::model::ComplaintId(0)];
    let job = open(&model, Opening::of(&model.layout.name, &complaint.name, complaint.site));
    // Causes that are always awake, and checks that show them neither nearly always nor nearly never, without gates.
    let pairs: Vec<(CheckId, CauseId)> = (0..model.causes.len())
        .map(CauseId)
        .filter(|c| *c != model.unknown() && !model[*c].waking.can_sleep())
        .flat_map(|cause| (0..model.checks.len()).map(move |at| (CheckId(at), cause)))
        .filter(|(id, cause)| {
            let plain = model[*id].outcomes.iter().all(|o| o.event.gates.is_empty());
            let normal = *chances(&model, *id, *cause).last().unwrap();
            plain && (0.05..0.95).contains(&normal)
        })
        .step_by(3)
        .take(20)
        .collect();
    assert_eq!(pairs.len(), 20, "the tree has enough of them");
    let sum: f64 = pairs
        .par_iter()
        .map(|(id, cause)| {
            let normal = (0..ENGINES)
                .filter(|n| {
                    let root = n.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (id.0 as u64) << 32 ^ cause.0 as u64;
                    let hidden = Hidden { causes: vec![*cause], root, stubborn: false };
                    hidden.look(&job, *id).0 == Seen::Normal
                })
                .count() as f64;
            let expected = ENGINES as f64 * chances(&model, *id, *cause).last().unwrap();
            let far = (normal - expected).powi(2);
            far / expected + far / (ENGINES as f64 - expected)
        })
        .sum();
    assert!(sum < critical(20), "chi-square {sum:.1}");
}

/// Every reading of every engine with one fault that a few roots give: the check, what is there, what the instrument shows.
fn readings(model: &Arc<Model>, roots: u64) -> Vec<(CheckId, Seen, roughrun::teststand::Measured)> {
    let complaint = &model[roughrun::model::ComplaintId(0)];
    let job = open(model, Opening::of(&model.layout.name, &complaint.name, complaint.site));
    let mut all = Vec::new();
    for at in (0..model.checks.len()).map(CheckId).filter(|id| model[*id].limit.is_some()) {
        let shown = model[at].outcomes.iter().filter_map(|o| o.event.causes.first()).map(|(cause, _)| *cause);
        for (n, cause) in shown.enumerate() {
            for root in 0..roots {
                let root = (root + 1).wrapping_mul(0xD1B5_4A32_D192_ED03) ^ (at.0 * 64 + n) as u64;
                let hidden = Hidden { causes: vec![cause], root, stubborn: false };
                let (seen, measured) = hidden.look(&job, at);
                all.extend(measured.map(|m| (at, seen, m)));
            }
        }
    }
    all
}

#[test]
fn a_clear_reading_says_what_is_there_and_few_are_too_close_to_call() {
    for layout in ["four-two-magnetos", "six-two-electronic", "six-retard-electronic"] {
        let model = model(layout);
        let (mut clear, mut all) = (0.0, 0.0);
        for (id, seen, measured) in readings(&model, 12) {
            let check = &model[id];
            let limit = &model.limits[check.limit.unwrap()];
            let reading = parse_reading(&measured.typed, limit.dimension, Some(&limit.unit))
                .unwrap_or_else(|why| panic!("{} reads {}: {why}", check.name, measured.typed));
            let feet = match check.site {
                roughrun::model::Site::Plug(side, n) => model.layout.side(side).lead_feet.get(&n).copied(),
                _ => None,
            };
            if limit.basis == Basis::RatioToPeers {
                continue;
            }
            let context = Context { feet, celsius: measured.celsius, ..Context::default() };
            let judged = judge(limit, &reading, &context).unwrap();
            let name = check.outcome_name(seen);
            if judged.clear {
                let outcomes = judged.outcomes();
                // An error of the instrument can bring it exactly to the edge, which belongs to the band above.
                let at_the_edge = judged.words.contains("exactly at the limit");
                assert!(
                    at_the_edge || outcomes.contains(&name),
                    "{}: {} is {name}, judged {}",
                    check.name,
                    measured.typed,
                    judged.words
                );
            } else {
                assert!(judged.weights.iter().any(|(n, _)| n == name), "{}: {}", check.name, measured.typed);
            }
            clear += f64::from(u8::from(judged.clear));
            all += 1.0;
        }
        assert!(all > 300.0 && clear / all > 0.8, "{layout}: {clear} of {all} clear");
        assert!(clear < all, "{layout}: instruments have errors, so some readings are too close to call");
    }
}

#[test]
fn instruments_are_off_evenly_within_their_accuracy_and_parts_differ() {
    let model = model("six-two-impulse");
    let all = readings(&model, 150);
    let errors: Vec<f64> = all.iter().filter(|(_, _, m)| m.actual.is_some()).map(|(_, _, m)| m.error).collect();
    assert!(errors.len() > 1_000 && errors.iter().all(|e| (-1.0..=1.0).contains(e)));
    let mut bins = [0.0; 10];
    for error in &errors {
        let at = (0..10).rfind(|i| f64::from(*i) * 0.2 - 1.0 <= *error).unwrap();
        bins[usize::try_from(at).unwrap()] += 1.0;
    }
    let expected = errors.len() as f64 / 10.0;
    let sum: f64 = bins.iter().map(|count: &f64| (count - expected).powi(2) / expected).sum();
    assert!(sum < critical(9), "chi-square {sum:.1} of {bins:?}");
    // Normal readings of one check: many different numbers, none of them all over the band.
    let mut normal: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (id, seen, measured) in &all {
        if *seen == Seen::Normal {
            normal.entry(&model[*id].name).or_default().push(&measured.typed);
        }
    }
    let varied = normal.values().filter(|typed| {
        let mut different = (*typed).clone();
        different.sort_unstable();
        different.dedup();
        different.len() > 3
    });
    assert!(varied.count() > normal.len() / 2, "{:?}", normal.keys());
}

#[test]
fn like_parts_of_one_engine_read_alike_and_the_same_part_again_nearly_the_same() {
    let model = model("six-two-impulse");
    let complaint = &model[roughrun::model::ComplaintId(0)];
    let job = open(&model, Opening::of(&model.layout.name, &complaint.name, complaint.site));
    let like: Vec<CheckId> =
        (0..model.checks.len()).map(CheckId).filter(|id| model[*id].name == "plug-gap-reading").collect();
    assert!(like.len() >= 6);
    let elsewhere = model.find_cause("condenser-leaky", "right".parse().unwrap()).unwrap();
    let spread = |values: &[f64]| {
        let (low, high) = values.iter().fold((f64::MAX, f64::MIN), |(l, h), v| (l.min(*v), h.max(*v)));
        high - low
    };
    let mut between = Vec::new();
    let mut within = 0.0;
    for root in 0..30_u64 {
        let hidden = Hidden { causes: vec![elsewhere], root: root * 7_919, stubborn: false };
        let gaps: Vec<f64> = like
            .iter()
            .map(|id| hidden.look(&job, *id))
            .filter(|(seen, _)| *seen == Seen::Normal)
            .map(|(_, m)| m.unwrap().actual.unwrap())
            .collect();
        within += spread(&gaps) / 30.0;
        between.push(gaps[0]);
    }
    assert!(within < spread(&between), "{within} within an engine, {} between", spread(&between));
}

#[test]
fn what_fails_hot_passes_cold() {
    let model = model("six-two-impulse");
    let lead = model.find_cause("lead-open", "left 3".parse().unwrap()).unwrap();
    let check = model.find_check("lead-continuity", "left 3".parse().unwrap()).unwrap();
    assert_eq!(model[check].sees, Sees::Awake);
    let complaint = model.find_complaint("rough-hot", "engine".parse().unwrap()).unwrap();
    let job = open(&model, Opening::of(&model.layout.name, "rough-hot", model[complaint].site));
    let warm = (0..model.provocations.len()).map(ProvocationId).find(|id| model[*id].name == "heat-soak").unwrap();
    let mut hot = job.clone();
    enter(&mut hot, Entry::Provoked { provocation: model[warm].name.clone() });
    let (mut cold_passes, mut hot_passes) = (0, 0);
    for root in 0..200_u64 {
        let hidden = Hidden { causes: vec![lead], root: root.wrapping_mul(0x9E37_79B9_7F4A_7C15), stubborn: false };
        let asleep = hidden.engine(&model, job.state()).faults().iter().all(|f| !f.awake);
        let seen = hidden.look(&job, check).0;
        assert!(!asleep || seen == Seen::Normal || model[check].outcomes.iter().any(|o| o.event.leak > 1e-3));
        cold_passes += u32::from(seen == Seen::Normal);
        hot_passes += u32::from(hidden.look(&hot, check).0 == Seen::Normal);
    }
    assert!(cold_passes > 120 && hot_passes < cold_passes, "{cold_passes} cold, {hot_passes} hot of 200");
}

/// 1,000 of them: `cargo run --release --example practice_jobs 1000`.
#[test]
fn practice_jobs_played_by_the_planner_end() {
    let models = [model("four-two-magnetos"), model("four-magneto-electronic")];
    (0..12_usize).into_par_iter().for_each(|at| {
        let (mut job, hidden) = dealt(&models[at % 2], Level::ALL[at / 2], 40 + at as u64);
        let played = play_hidden(&mut job, &hidden, 240).unwrap();
        assert!(matches!(played, Played::Closed(_)), "{at}: {played:?} of {hidden:?}");
    });
}

#[test]
fn every_lesson_goes_and_every_job_of_every_set_is_dealt() {
    let study = library().study();
    assert_eq!(study.lessons.len(), 5);
    assert!(lint_library(library()).is_empty());
    for lesson in &study.lessons {
        assert!(lesson.learnt_when.contains(&Rule::Cured), "{}", lesson.name);
    }
    let mut models: BTreeMap<&str, Arc<Model>> = BTreeMap::new();
    for set in &study.sets {
        for (layout, seed) in set.each() {
            let model = models.entry(layout).or_insert_with(|| model(layout));
            let terms = Terms { seed, level: set.level, on: set.on, ..Terms::default() };
            assert!(Bout::deal(model, terms).is_ok(), "{} {layout} {seed}", set.name);
        }
    }
}

/// What a debrief counts, counted again from the entries alone.
fn recount(job: &Job, hidden: &[CauseId]) -> (f64, usize, usize, f64) {
    let model = job.model();
    let mut setting = Setting::resting(model, true);
    let (mut minutes, mut checks, mut good) = (0.0, 0, 0);
    let mut mended: Vec<CauseId> = Vec::new();
    let mut before: Vec<AccessId> = Vec::new();
    let mut again = 0.0;
    let mut ever: Vec<AccessId> = Vec::new();
    for (_, entry) in job.standing_entries() {
        let Some(action) = entry.action(model).filter(|action| !action.closes()) else { continue };
        let work = Now {
            model,
            complaint: job.state().complaint,
            setting: &setting,
            reported: Some(&job.state().reported),
            ledger: None,
        }
        .work(action);
        minutes += work.minutes;
        setting = work.after;
        checks += usize::from(matches!(action, Action::Check(_)));
        if let Action::Correct(id) = action {
            let correction = &model[id];
            let needed = hidden.iter().any(|c| correction.cures.contains(c) && !mended.contains(c));
            good += usize::from(correction.kind.spends_part() && !needed);
            mended.extend(&correction.cures);
        }
        let now: Vec<AccessId> = setting.open.iter().collect();
        for id in now.iter().filter(|id| !before.contains(id)) {
            if ever.contains(id) {
                again += model[*id].open + model[*id].close;
            } else {
                ever.push(*id);
            }
        }
        before = now;
    }
    (minutes, checks, good, again)
}

#[test]
fn a_debrief_agrees_with_a_separate_recount() {
    let model = model("four-two-magnetos");
    let (complaint, bout) = Bout::deal(&model, Terms { seed: 21, level: Level::Awake, ..Terms::default() }).unwrap();
    let mut job = open(&model, Bout::opening(&model, complaint, "R. Vance"));
    let find = |name: &str, at: &str| model.find_check(name, at.parse().unwrap()).unwrap();
    let act = |job: &mut Job, action: Action| {
        let state = job.state();
        for hazard in state.cautions(&model, action) {
            enter(job, Entry::Acknowledged { hazard: model[hazard].name.clone() });
        }
        enter(job, bout.answer(job, action, &Levels::new()).unwrap())
    };
    // Clumsy on purpose: a plug out, back in for a run-up, out again and looked at twice; a hint; a good part thrown away.
    let wrong =
        (0..model.causes.len()).map(CauseId).find(|c| !bout.faults().contains(c) && model[*c].part == "lead").unwrap();
    let cause = &model[wrong];
    let suspected = |sure: f64, c: CauseId| Entry::Suspected {
        cause: model[c].name.clone(),
        at: model[c].site,
        sure,
        why: String::new(),
    };
    enter(&mut job, suspected(0.9, wrong));
    act(&mut job, Action::Check(find("plug-look", "left 1")));
    act(&mut job, Action::Check(find("run-up-drop", "left")));
    enter(&mut job, suspected(0.4, bout.faults()[0]));
    let twice = act(&mut job, Action::Check(find("plug-look", "left 1")));
    enter(&mut job, Entry::Hinted);
    let part = (0..model.corrections.len())
        .map(roughrun::model::CorrectionId)
        .find(|id| {
            let c = &model[*id];
            c.kind.spends_part() && c.cures.contains(&wrong) && !c.cures.iter().any(|x| bout.faults().contains(x))
        })
        .unwrap_or_else(|| panic!("a good part to throw away for {}", cause.name));
    let thrown = act(&mut job, Action::Correct(part));
    // Work that nobody read the caution of.
    let careless = find("off-test", "engine");
    let answer = bout.answer(&job, Action::Check(careless), &Levels::new()).unwrap();
    let unread = enter(&mut job, answer);
    let end = job.state().borne_out(job.model(), Ending::NotFound);
    enter(&mut job, Entry::closed(end, "No time left.".into()));

    let debrief = Debrief::of(&bout, &job, None);
    let (minutes, checks, good, again) = recount(&job, bout.faults());
    assert!((debrief.work.minutes - minutes).abs() < 1e-9, "{} and {minutes}", debrief.work.minutes);
    assert_eq!((debrief.work.checks, debrief.work.good_parts.len()), (checks, good));
    assert_eq!(debrief.work.good_parts, [thrown]);
    let counted: f64 = debrief.work.access_again.iter().map(|(_, m)| m).sum();
    assert!((counted - again).abs() < 1e-9 && again > 0.0, "{counted} and {again}");
    let spent: f64 = debrief.steps.iter().map(|p| p.step.minutes).sum();
    assert!((spent - minutes).abs() < 1e-9);
    assert!(debrief.steps.iter().find(|p| p.step.number == twice).unwrap().idle, "a second look at the same plug");
    assert_eq!(debrief.work.cautions.contains(&unread), !model[careless].hazards.is_empty());
    assert_eq!(debrief.work.hints, 1);
    // 0.9 on what is not at fault, 0.4 on what is, over the checks made.
    let by_hand = (-0.81 + (0.8 - 0.16)) / checks as f64;
    assert!((debrief.work.judgement().unwrap() - by_hand).abs() < 1e-12);
    assert!(!debrief.work.cured && debrief.points.time == 0.0 && debrief.points.cure == 0.0);
    let less = 5.0 + 10.0 * (debrief.work.good_parts.len() + debrief.work.cautions.len()) as f64;
    assert!((debrief.points.less - less).abs() < 1e-12);
    // The planner's way is its own job on the same engine.
    let planned = bout.by_planner(&job).unwrap();
    assert!((debrief.par.unwrap() - planned.state().minutes).abs() < 1e-9);
    assert_eq!(debrief.planner.len(), course(&planned).len());
    assert!(debrief.habit.is_some());
    assert!(debrief.text().contains("Work on next"));
}

/// A shop on the shipped trees with records of its own.
fn shop(folder: &std::path::Path) -> Shop {
    Shop::with(library().clone(), Some(folder)).unwrap()
}

fn order(seed: u64) -> Order {
    Order::Dealt { layout: "four-two-magnetos".into(), terms: Terms { seed, level: Level::Awake, ..Terms::default() } }
}

#[test]
fn a_practice_record_hides_its_fault_goes_on_alike_and_counts_nowhere() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path());
    let (mut open, bout) = shop.practise(&order(5), "R. Vance").unwrap();
    let (id, file) = (open.id().to_owned(), open.file());
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("\"practice\":true") && text.contains("\"seed\":5"));
    for cause in bout.faults() {
        let cause = &open.job().model()[*cause];
        assert!(!text.contains(&cause.name) && !text.contains(&cause.title), "the record gives {} away", cause.name);
    }
    let check = Action::Check(CheckId(0));
    let first = bout.answer(open.job(), check, &Levels::new()).unwrap();
    open.enter(first.clone()).unwrap();
    drop(open);
    // On another day: the same engine, and what it showed it shows again.
    let (mut open, notes) = shop.resume(&id).unwrap();
    assert!(notes.is_empty(), "{notes:?}");
    let again = shop.bout(&open).unwrap().unwrap();
    assert_eq!(again, bout);
    assert_eq!(again.answer(open.job(), check, &Levels::new()).unwrap(), first);
    let end = open.job().state().borne_out(open.job().model(), Ending::NotFound);
    open.enter(Entry::closed(end, String::new())).unwrap();
    drop(open);
    // Neither learning nor the shop's lists take it for work.
    let history = shop.history(None).unwrap();
    assert!(history.jobs.iter().all(|past| past.practice) && history.jobs.len() == 1);
    let cases = Cases::of(history.jobs.into_iter().map(|past| (past.job, past.practice)).collect(), &BTreeMap::new());
    assert!(cases.cases.is_empty());
    assert!(shop.jobs().unwrap().iter().all(|line| line.practice));
    // Progress does, under its name.
    let bouts = shop.bouts(Some("r. vance")).unwrap();
    assert_eq!((bouts.bouts.len(), bouts.unread.len()), (1, 0));
    assert!(shop.bouts(Some("someone else")).unwrap().bouts.is_empty());
    let rows: Vec<Row> = bouts.bouts.iter().filter_map(|b| Row::of(&b.id, &b.when, &b.by, &b.job, &b.bout)).collect();
    let progress = Progress::of(rows);
    assert_eq!(progress.all.as_ref().unwrap().jobs, 1);
    let work = Work::of(&bouts.bouts[0].bout, &bouts.bouts[0].job);
    assert!((progress.rows[0].points - work.points(bouts.bouts[0].bout.terms.par).total).abs() < 1e-12);
}

#[test]
fn a_set_gives_its_jobs_one_after_the_other() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path());
    let set = shop.set("magneto-awake").unwrap().clone();
    for expected in set.first_seed..set.first_seed + 2 {
        let (mut open, bout) = shop.practise(&Order::Set(set.name.clone()), "A").unwrap();
        assert_eq!(bout.terms.seed, expected);
        open.enter(Entry::closed(Ending::Stopped, "No time left.".into())).unwrap();
    }
    let (mut open, other) = shop.practise(&Order::Set(set.name.clone()), "B").unwrap();
    assert_eq!(other.terms.seed, set.first_seed);
    // A note, or a closing that was taken back, ends no job: it is dealt again.
    open.enter(Entry::Note { text: "Back after lunch.".into() }).unwrap();
    assert_eq!(shop.practise(&Order::Set(set.name.clone()), "B").unwrap().1.terms.seed, set.first_seed);
}

#[test]
fn a_record_is_played_again_as_the_mechanic_met_it() {
    let folder = tempfile::tempdir().unwrap();
    let shop = shop(folder.path());
    let mut open =
        shop.start(Opening::of("four-two-magnetos", "rough-one-side", "left".parse().unwrap()), None).unwrap();
    let answer = |check: &str, at: &str, reading: &str| {
        Entry::Answer(roughrun::job::Answer::reading(check, at.parse().unwrap(), reading))
    };
    let met = answer("lead-continuity", "left 3", "OL");
    open.enter(answer("lead-continuity", "left 1", "41")).unwrap();
    open.enter(met.clone()).unwrap();
    open.enter(Entry::Confirmed { cause: "lead-open".into(), at: "left 3".parse().unwrap() }).unwrap();
    open.enter(Entry::Corrected { correction: "replace-lead".into(), at: "left 3".parse().unwrap() }).unwrap();
    open.enter(Entry::ProofRun { showing: false, levels: Levels::new() }).unwrap();
    open.enter(Entry::closed(Ending::CuredProven, String::new())).unwrap();
    let source = open.id().to_owned();
    drop(open);
    let (open, bout) = shop.practise(&Order::Record(source.clone()), "R. Vance").unwrap();
    let model = open.job().shared_model();
    let lead = model.find_cause("lead-open", "left 3".parse().unwrap()).unwrap();
    assert_eq!(bout.faults(), [lead]);
    assert_eq!(open.job().opening().unwrap().complaint, "rough-one-side");
    let check = Action::Check(model.find_check("lead-continuity", "left 3".parse().unwrap()).unwrap());
    assert_eq!(bout.answer(open.job(), check, &Levels::new()).unwrap(), met, "as it was met");
    // A job without anything proven cannot be played.
    let none = open.id().to_owned();
    drop(open);
    assert!(shop.practise(&Order::Record(none), "").is_err());
}
