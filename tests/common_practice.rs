//! Common practice of the trade on the shipped trees: each reading gets the right verdict. None of these values has a published source;
//! they are common practice, and the trees mark them so.

#![allow(clippy::unwrap_used, clippy::panic)]

use std::sync::Arc;

use roughrun::job::{Answer, Entry, Job, Logged, Opening};
use roughrun::model::{Cause, Model};
use roughrun::trees::Library;

fn model(layout: &str) -> Arc<Model> {
    let library = Library::embedded().unwrap_or_else(|d| panic!("{d:?}"));
    let layout = library.layout(layout).unwrap_or_else(|d| panic!("{d:?}"));
    Arc::new(library.expand(&layout).unwrap_or_else(|d| panic!("{d:?}")))
}

/// The outcomes that a reading of a check can mean on a layout, likeliest first; one where the verdict is clear.
fn verdict(layout: &str, check: &str, at: &str, reading: &str) -> Vec<String> {
    let model = model(layout);
    let opening = Opening::of(layout, "rough-one-side", "left".parse().unwrap());
    let answer = Answer::reading(check, at.parse().unwrap(), reading);
    let log = vec![
        Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) },
        Logged { number: 2, when: String::new(), entry: Entry::Answer(answer) },
    ];
    let job = Job::replay(Arc::clone(&model), log).unwrap_or_else(|f| panic!("{f:?}"));
    let given = &job.state().given[0];
    let check = &model[given.check];
    let mut found: Vec<(f64, String)> = check
        .all_seen()
        .map(|seen| {
            let place = match seen {
                roughrun::model::Seen::Normal => check.outcomes.len(),
                roughrun::model::Seen::Abnormal(i) => i,
            };
            (given.weights.get(place).copied().unwrap_or(0.0), check.outcome_name(seen).to_owned())
        })
        .filter(|(weight, _)| *weight > 0.0)
        .collect();
    found.sort_by(|a, b| b.0.total_cmp(&a.0));
    found.into_iter().map(|(_, name)| name).collect()
}

const COIL: (&str, &str, &str) = ("six-two-electronic", "coil-secondary-reading", "left coil A");

#[test]
fn a_coil_between_its_high_tension_terminals_reads_8_to_8_and_a_half_kilohm() {
    let (layout, check, at) = COIL;
    for good in ["8.0k", "8.2k", "8.5 kohm"] {
        assert_eq!(verdict(layout, check, at, good), ["normal"], "{good}");
    }
    for shorted in ["3k", "5.1k"] {
        assert_eq!(verdict(layout, check, at, shorted), ["shorted"], "{shorted}");
    }
    assert_eq!(verdict(layout, check, at, "OL"), ["open"]);
}

#[test]
fn a_suppression_lead_reads_50_to_60_ohm_a_foot() {
    let check = "suppression-lead-reading";
    let model = model("six-two-electronic");
    let mut lengths: Vec<(u8, f64)> = model.layout.left.lead_feet.iter().map(|(n, feet)| (*n, *feet)).collect();
    lengths.sort_by(|a, b| a.1.total_cmp(&b.1));
    for (cylinder, feet) in [lengths[0], lengths[lengths.len() - 1]] {
        let at = format!("left {cylinder}");
        let good = format!("{:.0} ohm", 55.0 * feet);
        assert_eq!(verdict("six-two-electronic", check, &at, &good), ["normal"], "{feet} ft, {good}");
        assert_eq!(verdict("six-two-electronic", check, &at, "OL"), ["open"]);
        // Makers differ, so that up to 12 kohm a foot the set of leads tells, or the maker's figure.
        let unclear = format!("{:.0} ohm", 400.0 * feet);
        assert_eq!(verdict("six-two-electronic", check, &at, &unclear), ["normal", "high"], "{feet} ft, {unclear}");
        let high = format!("{:.0} ohm", 13_000.0 * feet);
        assert_eq!(verdict("six-two-electronic", check, &at, &high), ["high"], "{feet} ft, {high}");
    }
}

#[test]
fn a_plug_resistor_of_about_5_kilohm_is_not_condemned() {
    // An engine's own plugs differ: 5 kohm is grey, not a failure, and far more is one.
    let check = "plug-resistance-reading";
    assert!(verdict("six-two-electronic", check, "left 3", "4.8k").contains(&"normal".to_owned()));
    assert_eq!(verdict("six-two-electronic", check, "left 3", "60k"), ["high"]);
}

#[test]
fn a_trigger_sensor_is_fed_with_5_volt() {
    let check = "sensor-supply-reading";
    assert_eq!(verdict("six-two-electronic", check, "left", "5.0 V"), ["normal"]);
    assert_eq!(verdict("six-two-electronic", check, "left", "3.2 V"), ["low"]);
}

#[test]
fn the_sensor_lamp_is_looked_at_on_top_dead_centre_of_number_one() {
    let model = model("six-two-electronic");
    let check = model.find_check("sensor-lamp-look", "left".parse().unwrap()).unwrap();
    let text = format!("{} {} {}", model[check].title, model[check].expected, model[check].steps.join(" "));
    assert!(text.to_lowercase().contains("top dead centre"), "{text}");
    assert!(
        model[check].outcomes.iter().any(|o| o.event.causes.iter().any(|(c, _)| model[*c].name.starts_with("sensor")))
    );
}

#[test]
fn a_six_cylinder_engine_is_timed_at_25_degrees_before_top_dead_centre() {
    let check = "timing-to-engine-reading";
    // The plate of the engine says what it is timed at, 20 to 25 before the top: without it such a figure speaks for none alone.
    for (layout, reading) in [("six-retard-plain", "25 btdc"), ("six-two-impulse", "20 btdc")] {
        let verdict = verdict(layout, check, "left", reading);
        assert!(verdict.contains(&"normal".to_owned()) && verdict.len() > 1, "{layout}, {reading}: {verdict:?}");
    }
    assert_eq!(verdict("six-retard-plain", check, "left", "36 btdc"), ["early"]);
    assert_eq!(verdict("six-retard-plain", check, "left", "13 btdc"), ["late"]);
    // Each maker of electronic ignition has a figure and a state of the advance of its own: 25 degrees condemns nothing by itself.
    let verdict = |reading: &str| verdict("six-two-electronic", "trigger-timing-reading", "left", reading);
    assert!(verdict("25 btdc").contains(&"normal".to_owned()), "{:?}", verdict("25 btdc"));
}

fn cause<'a>(model: &'a Model, name: &str, at: &str) -> &'a Cause {
    let id = model.find_cause(name, at.parse().unwrap()).unwrap_or_else(|| panic!("{name} at {at}"));
    &model[id]
}

#[test]
fn parts_are_due_when_common_practice_says() {
    let six = model("six-two-impulse");
    let lead = cause(&six, "lead-open", "left 3").life.as_ref().unwrap();
    assert_eq!((lead.hours, lead.years), (Some(500.0), Some(10.0)), "leads at 500 h or 10 years");
    assert_eq!(cause(&six, "points-pitted", "left").life.as_ref().unwrap().hours, Some(500.0), "inside at 500 h");
    // The stop of an impulse coupling on six cylinders wears by half of that.
    let impulse =
        ["impulse-stop-worn", "impulse-rivets-worn"].map(|n| cause(&six, n, "left").life.as_ref().unwrap().hours);
    assert!(impulse.contains(&Some(250.0)), "{impulse:?}");
    let electronic = model("six-two-electronic");
    let lead = cause(&electronic, "lead-core-high", "left 3").life.as_ref().unwrap();
    assert_eq!((lead.hours, lead.years), (Some(500.0), Some(10.0)), "an electronic side's leads the same");
}

#[test]
fn an_open_lead_shows_as_popping_and_as_rough_on_its_side() {
    let model = model("six-two-electronic");
    let id = model.find_cause("lead-open", "left 3".parse().unwrap()).unwrap();
    let brings = |complaint: &str, at: &str| {
        let id_of = model.find_complaint(complaint, at.parse().unwrap()).unwrap();
        model[id_of].event.causes.iter().any(|(c, _)| *c == id)
    };
    assert!(brings("backfires", "engine"));
    assert!(brings("rough-one-side", "left"));
    assert!(!brings("rough-one-side", "right"));
}
