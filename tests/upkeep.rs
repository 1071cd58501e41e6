//! Parts by their lives: that they move the prior, what is due, what is remembered while the access is open, and what each way of
//! putting a part right costs, held against sums worked by hand.
#![allow(clippy::unwrap_used, clippy::float_cmp)]

use std::path::Path;
use std::sync::Arc;

use roughrun::analysis::problem;
use roughrun::job::{AircraftFacts, Answer, Entry, Job, Logged, Opening, PartAge};
use roughrun::model::{Fitted, Model, Price, Prices, Site};
use roughrun::trees::Library;
use roughrun::upkeep::{Due, Horizon, items, reminders, ways};
use roughrun::work::Setting;

/// Points can be set or replaced by themselves, or go with the unit, whose bearing wears too.
const UNIT: &str = "
format: roughrun-tree-1
causes:
  bearing-worn:
    title: bearing worn
    at: side
    part: bearing
    only: [magneto]
    rate: 0.01
    rate-source: placeholder
    life: {hours: 500, shape: 2, source: common}
    how: It rumbles.
checks:
  bearing-feel:
    title: Feel of the bearing
    at: side
    only: [magneto]
    purpose: It shows a worn bearing.
    sees: present
    minutes: 5
    access: {open: [cowl-off]}
    steps: [Feel it.]
    expected: Smooth.
    source: common
    normal: Smooth
    outcomes:
      rough: {title: Rough, shows: [{cause: bearing-worn, chance: 0.8}]}
corrections:
  set-points:
    title: Set the points
    kind: adjust
    at: side
    cures: [points-worn]
    fails: 0.2
    minutes: 30
    cost: 0
    access: {open: [cowl-off]}
    source: common
  replace-points:
    title: Replace the points
    kind: replace
    at: side
    cures: [points-worn]
    minutes: 60
    cost: 120
    access: {open: [cowl-off]}
    source: common
  exchange-unit:
    title: Exchange the unit
    kind: exchange
    at: side
    only: [magneto]
    cures: [points-worn, bearing-worn]
    minutes: 90
    cost: 1500
    access: {open: [cowl-off]}
    source: common
";

fn model() -> Model {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/plain");
    let mut files = vec![("unit.yaml".to_owned(), UNIT.as_bytes().to_vec())];
    for (prefix, dir) in [("", folder.clone()), ("layouts/", folder.join("layouts"))] {
        for entry in std::fs::read_dir(dir).unwrap() {
            let path = entry.unwrap().path();
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            // Its overhaul of the whole side would be one way more.
            if name == "work.yaml" {
                let text = std::fs::read_to_string(&path).unwrap();
                files.push((
                    name,
                    text.replace("cures: [points-worn, box-dead, coil-dead]", "cures: [box-dead, coil-dead]").into(),
                ));
            } else if path.is_file() {
                files.push((format!("{prefix}{name}"), std::fs::read(&path).unwrap()));
            }
        }
    }
    let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
    let library = Library::from_files(&files).unwrap();
    library.expand(&library.layout("four-magneto").unwrap()).unwrap()
}

fn fitted(part: &str, at: &str, hours: Option<f64>, years: Option<f64>) -> Fitted {
    Fitted { part: part.to_owned(), site: at.parse().unwrap(), hours, years }
}

fn prices() -> Prices {
    let own = Price { parts: Some(140.0), ..Price::default() };
    Prices {
        currency: "EUR".to_owned(),
        labour: 90.0,
        hours_per_year: None,
        of: [("replace-points".to_owned(), own)].into_iter().collect(),
    }
}

fn left() -> Site {
    "left".parse().unwrap()
}

/// A job on an aircraft whose parts have these ages.
fn job(ages: &[Fitted], entries: Vec<Entry>) -> Job {
    let mut opening = Opening::of("four-magneto", "rough-one-side", left());
    let part = |f: &Fitted| PartAge { part: f.part.clone(), at: f.site, hours: f.hours, years: f.years };
    opening.aircraft = Some(AircraftFacts {
        registration: "ZZ-TRY".to_owned(),
        title: String::new(),
        engine_hours: 1240.0,
        parts: ages.iter().map(part).collect(),
        lacks: Vec::new(),
        card: String::new(),
    });
    let entries = std::iter::once(Entry::Opened(Box::new(opening))).chain(entries);
    let log = (1..).zip(entries).map(|(number, entry)| Logged { number, when: String::new(), entry });
    Job::replay(Arc::new(model()), log.collect()).unwrap()
}

/// Worked by hand from the model's formula: rate 0.02 per 1,000 h, window 50 h, shape 2; of 620 h in 1,000 and 9 years in 12 the
/// years are the greater share, so wear is 0.75.
#[test]
fn the_life_of_a_part_moves_the_prior() {
    let prior = |ages: &[Fitted]| {
        let job = job(ages, Vec::new());
        let cause = job.model().find_cause("lead-open", "left 1".parse().unwrap()).unwrap();
        problem(job.model(), job.state()).causes[cause.0].prior
    };
    let expected = |wear: f64| 1.0 - (-0.02 / 1000.0 * 50.0 * wear).exp();
    assert_eq!(prior(&[]), expected(1.0));
    assert_eq!(prior(&[fitted("lead", "left", Some(620.0), Some(9.0))]), expected(0.75));
    assert_eq!(prior(&[fitted("lead", "engine", Some(2500.0), None)]), expected(2.5));
    assert_eq!(prior(&[fitted("lead", "right", Some(2500.0), None)]), expected(1.0), "that of the other side");
}

#[test]
fn parts_are_due_by_hours_or_by_years_whichever_comes_first() {
    let model = model();
    let state = |ages: &[Fitted], part: &str| {
        let found = items(&model, ages, Horizon::ORDINARY);
        found.into_iter().filter(|item| item.part == part).map(|item| (item.at(), item.due)).collect::<Vec<_>>()
    };
    let lead = |hours: f64, years: f64| state(&[fitted("lead", "engine", Some(hours), Some(years))], "lead");
    let all = |due: Due| vec![("engine".to_owned(), due)];
    assert_eq!(lead(100.0, 1.0), all(Due::Later));
    assert_eq!(lead(960.0, 1.0), all(Due::Due), "40 h are left");
    assert_eq!(lead(100.0, 11.8), all(Due::Due), "a fifth of a year is left");
    assert_eq!(lead(1000.0, 1.0), all(Due::Overdue));
    assert_eq!(lead(100.0, 12.5), all(Due::Overdue));
    // One way known and well, the other not known: that is not enough. One way past its life is.
    assert_eq!(state(&[fitted("lead", "engine", Some(100.0), None)], "lead"), all(Due::Unknown));
    assert_eq!(state(&[fitted("lead", "engine", None, Some(13.0))], "lead"), all(Due::Overdue));
    assert_eq!(state(&[], "points"), all(Due::Unknown));
    // The first entry of a card that matches counts; what stands differently is listed by itself, the most pressing first.
    let ages = [fitted("lead", "left 3", Some(10.0), Some(0.1)), fitted("lead", "left", Some(1200.0), Some(3.0))];
    let found = state(&ages, "lead");
    let overdue = ("left 1, left 2, left 4".to_owned(), Due::Overdue);
    assert_eq!(found, [overdue, ("right".to_owned(), Due::Unknown), ("left 3".to_owned(), Due::Later)]);
}

#[test]
fn what_is_due_is_remembered_while_its_access_is_open() {
    let ages = [fitted("lead", "left", Some(1040.0), Some(3.0)), fitted("bearing", "engine", Some(10.0), None)];
    assert!(job(&ages, Vec::new()).reminders().is_empty(), "the cowling is on");
    let look = Entry::Answer(Answer::outcome("valve-feel", "cylinder 1".parse().unwrap(), "normal"));
    // The cowling off is 12 of the 13 minutes to a lead off its plug, and the lead is still on.
    let model = model();
    let cowl = model.access.iter().position(|a| a.name == "cowl-off").map(roughrun::model::AccessId).unwrap();
    let mut setting = Setting::resting(&model, false);
    setting.open.open(cowl);
    let found = reminders(&model, &ages, &setting, &[]);
    assert_eq!(
        found.iter().map(roughrun::upkeep::Reminder::words).collect::<Vec<_>>(),
        ["lead, left: 1040 h of 1000 h, 3.0 of 12 years, overdue, and cowling off now."]
    );
    let now = job(&ages, vec![look.clone()]);
    assert_eq!(now.reminders(), found, "the check opened the cowling");
    // A lead that was renewed in the job is left out, the others stay.
    let renewed = Entry::Corrected { correction: "replace-lead".to_owned(), at: "left 3".parse().unwrap() };
    let found = job(&ages, vec![look, renewed]).reminders();
    assert_eq!(found.iter().map(|r| r.item.at()).collect::<Vec<_>>(), ["left 1, left 2, left 4"]);
    assert!(job(&[], Vec::new()).reminders().is_empty(), "no card, nothing known");
}

/// Worked by hand: the cowling takes 12 + 14 = 26 minutes, an hour costs 90.
/// Setting: 56 min = 84.00, cures 4 times in 5 = 105.00. Replacing: 86 min = 129.00 + 140 = 269.00. Exchanging: 116 min = 174.00 +
/// 1,500 = 1,674.00. With both parts 100 h old, 400 h are left on the bearing: 105 / 400 = 0.2625, 269 / 400 = 0.6725,
/// 1,674 / 500 = 3.348.
#[test]
fn ways_are_compared_by_what_an_hour_left_costs() {
    let model = model();
    let cause = model.find_cause("points-worn", left()).unwrap();
    let compare = |points: f64, bearing: Option<f64>| {
        let ages = [fitted("points", "left", Some(points), None), fitted("bearing", "left", bearing, None)];
        let found = ways(&model, &ages, &Setting::resting(&model, false), &prices(), cause);
        found.into_iter().map(|way| (model[way.correction].name.clone(), way)).collect::<Vec<_>>()
    };
    let figures = |points: f64, bearing: Option<f64>| {
        let round = |x: f64| (x * 1e4).round() / 1e4;
        let found = compare(points, bearing).into_iter();
        found.map(|(name, way)| (name, round(way.money), way.per_hour().map(round))).collect::<Vec<_>>()
    };
    let line = |name: &str, money: f64, per_hour: Option<f64>| (name.to_owned(), money, per_hour);
    assert_eq!(
        figures(100.0, Some(100.0)),
        [
            line("set-points", 105.0, Some(0.2625)),
            line("replace-points", 269.0, Some(0.6725)),
            line("exchange-unit", 1674.0, Some(3.348)),
        ]
    );
    // With 20 h left on the bearing new points are thrown away with the unit: 269 / 20 = 13.45.
    assert_eq!(
        figures(480.0, Some(480.0)),
        [
            line("exchange-unit", 1674.0, Some(3.348)),
            line("set-points", 105.0, Some(5.25)),
            line("replace-points", 269.0, Some(13.45)),
        ]
    );
    // Past its life nothing is left to divide by; where the age is not known there is no figure either.
    let spent = figures(520.0, Some(520.0));
    assert_eq!(spent[0], line("exchange-unit", 1674.0, Some(3.348)));
    assert!(spent[1..].iter().all(|(_, _, per_hour)| per_hour.is_none()), "{spent:?}");
    assert!(figures(100.0, None)[1..].iter().all(|(_, _, per_hour)| per_hour.is_none()));
    let (_, replace) = &compare(100.0, Some(100.0))[1];
    assert_eq!(
        replace.lines(&model, &prices()),
        [
            "work 60 min + access 26 min = 86 min",
            "labour 86 min x 90.00 EUR/h = 129.00 EUR",
            "parts 140.00 EUR (the shop's price)",
            "together 269.00 EUR",
            "hours left after it 400 (bearing, left: 100 h old, life 500 h)",
            "269.00 EUR / 400 h = 0.67 EUR per hour left",
        ]
    );
}

#[test]
fn the_shop_s_own_hours_minutes_and_use_count() {
    let model = model();
    let ages = [fitted("points", "left", Some(100.0), None), fitted("bearing", "left", Some(400.0), None)];
    let cause = model.find_cause("points-worn", left()).unwrap();
    let mut prices = prices();
    prices.of.insert("exchange-unit".to_owned(), Price { parts: Some(0.0), minutes: Some(34.0), hours: Some(1000.0) });
    let found = ways(&model, &ages, &Setting::resting(&model, false), &prices, cause);
    let exchange = found.iter().find(|way| model[way.correction].name == "exchange-unit").unwrap();
    // 34 + 26 minutes at 90 an hour, for 1,000 hours.
    assert_eq!((exchange.money, exchange.hours_left.clone()), (90.0, Ok(1000.0)));
    // A life in years needs to know how much the aircraft run: a lead of 11 years in 12, 120 h a year.
    let lead = model.find_cause("lead-open", "left 1".parse().unwrap()).unwrap();
    let ages = [fitted("lead", "left", Some(300.0), Some(11.0))];
    let hours =
        |prices: &Prices| ways(&model, &ages, &Setting::resting(&model, false), prices, lead)[0].hours_left.clone();
    assert_eq!(hours(&prices), Ok(1000.0), "new, by hours alone");
    prices.hours_per_year = Some(50.0);
    assert_eq!(hours(&prices), Ok(600.0), "new, 12 years of 50 h");
}
