//! Judgements by basis, and the laws they keep.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::float_cmp)]

use proptest::prelude::*;

use super::*;
use crate::measure::{Edge, Quantity, Unit, parse_edge, parse_reading};

fn band(basis: Basis, unit: Unit, end: &str, is: &[&str]) -> Band {
    let upper = match end.split_once(' ') {
        Some(("below", at)) => Some((at, false)),
        Some(("up-to", at)) => Some((at, true)),
        _ => None,
    };
    Band {
        upper: upper.map(|(at, inclusive)| Edge { at: parse_edge(at, basis, &unit).unwrap(), inclusive }),
        is: is.iter().map(|name| (*name).to_owned()).collect(),
    }
}

fn limit(unit: &str, basis: Basis, bands: &[(&str, &[&str])]) -> Limit {
    let unit = Unit::parse(unit).unwrap();
    let bands = bands.iter().map(|(end, is)| band(basis, unit, end, is)).collect();
    Limit::new("the-limit", unit, basis, bands).unwrap().from_source("own")
}

fn read(limit: &Limit, typed: &str) -> Reading {
    parse_reading(typed, limit.dimension, Some(&limit.unit)).unwrap()
}

fn judged(limit: &Limit, typed: &str, context: &Context) -> Judgement {
    judge(limit, &read(limit, typed), context).unwrap()
}

fn coil() -> Limit {
    limit("ohm", Basis::Absolute, &[("below 8 kohm", &["shorted"]), ("up-to 8.5 kohm", &["normal"]), ("", &["high"])])
        .with_open(vec!["open".to_owned()])
}

#[test]
fn a_reading_is_clear_or_shares_its_weight() {
    let context = Context::default();
    let clear = judged(&coil(), "8.2k", &context);
    assert_eq!(clear.outcomes(), ["normal"]);
    assert_eq!(clear.weights, [("normal".to_owned(), 1.0)]);
    let close = judged(&coil(), "8.05k", &context);
    assert!(!close.clear && close.outcomes().is_empty());
    let total: f64 = close.weights.iter().map(|(_, weight)| weight).sum();
    assert!((total - 1.0).abs() < 1e-6, "{close:?}");
    // u = (80.5 + 30) / sqrt 3, 50 ohm above the limit.
    let below = normal_cdf(-50.0 / (110.5 / 3.0_f64.sqrt()));
    assert!((close.weights[0].1 - below).abs() < 1e-9 && close.weights[0].0 == "shorted");
    let open = judged(&coil(), "OL", &context);
    assert_eq!((open.outcomes(), open.compared), (vec!["open"], None));
}

#[test]
fn words_say_what_was_compared_and_how_near() {
    let context = Context::default();
    assert_eq!(
        judged(&coil(), "8.2k", &context).words,
        "8.2 kohm: at least 8 kohm and up to 8.5 kohm (normal). The nearest limit is 0.2 kohm away, more than the guard \
         band of 0.15 kohm for an ordinary multimeter (common practice)."
    );
    let close = judged(&coil().from_source("common"), "8.05k", &context).words;
    assert!(
        close.starts_with("8.05 kohm: too close to the limit of 8 kohm to call, within the guard band of 0.13 kohm"),
        "{close}"
    );
    assert!(close.contains("It counts as 21.66 % shorted, 78.34 % normal until then."), "{close}");
    assert!(close.ends_with("the manufacturer's current figure goes before it."), "{close}");
    assert_eq!(judged(&coil(), "open", &context).words, "The meter shows an open circuit (open).");
}

#[test]
fn how_near_a_limit_is_is_said_in_the_unit_and_digits_of_the_reading() {
    let drop = limit("V", Basis::Absolute, &[("up-to 50 mV", &["normal"]), ("", &["high"])]);
    let primary = limit("ohm", Basis::Absolute, &[("below 800 ohm", &["shorted"]), ("", &["normal"])]);
    let per_foot = limit("ohm", Basis::PerFoot, &[("up-to 60 ohm per foot", &["normal"]), ("", &["high"])]);
    let four = Context { feet: Some(4.0), ..Context::default() };
    let context = Context::default();
    for (limit, typed, context, says) in [
        (&drop, "40 mV", &context, "10 mV away, more than the guard band of 1 mV for"),
        (&drop, "49 mV", &context, "within the guard band of 2 mV for"),
        (&drop, "49.5 mV", &context, "within the guard band of 1 mV for"),
        (&drop, "0.9 mV", &context, "49.1 mV away, more than the guard band of 0.4 mV for"),
        (&coil(), "30k", &context, "21 kohm away, more than the guard band of 1 kohm for"),
        (&coil(), "11.4k", &context, "2.9 kohm away, more than the guard band of 0.2 kohm for"),
        (&primary, "916 ohm", &context, "116 ohm away, more than the guard band of 15 ohm for"),
        (&per_foot, "220", &four, "5 ohm per foot away, more than the guard band of 1.6 ohm per foot for"),
    ] {
        let words = judged(limit, typed, context).words;
        assert!(words.contains(says), "{typed}: {words}");
    }
    // A guard band is never shown narrower than it is, a distance never longer, and the one is seen to be less than the other.
    for ohms in 1..400 {
        let at = 8000.0 + f64::from(ohms);
        let judgement = judged(&coil(), &format!("{at}"), &context);
        let number = |after: &str| {
            let rest = judgement.words.split_once(after).unwrap().1;
            rest.split(' ').next().unwrap().parse::<f64>().unwrap() * 1e3
        };
        let guard = number("guard band of ");
        assert!(guard >= judgement.guard - 1e-6 && guard <= judgement.guard + 1.0, "{}", judgement.words);
        if judgement.clear {
            let away = number("The nearest limit is ");
            let real = (at - 8000.0).min((8500.0 - at).abs());
            assert!(away <= real + 1e-6 && away > guard, "{}", judgement.words);
        }
    }
}

#[test]
fn a_counted_reading_at_its_limit_goes_where_the_limit_says() {
    let up_to = limit("rpm", Basis::DifferenceToOtherSide, &[("up-to 50", &["normal"]), ("", &["apart"])]);
    let context = Context { other_side: Some(48.0), ..Context::default() };
    let at = judged(&up_to, "98", &context);
    assert_eq!((at.outcomes(), at.clear, at.at_limit, at.compared), (vec!["normal"], true, true, Some(50.0)));
    assert_eq!(
        at.words,
        "98 rpm and 48 rpm on the other side are 50 rpm apart: up to 50 rpm (normal). It is exactly at the limit of \
         50 rpm, and so not over it."
    );
    let below = limit("rpm", Basis::DifferenceToOtherSide, &[("below 50", &["normal"]), ("", &["apart"])]);
    assert_eq!(judged(&below, "98", &context).outcomes(), ["apart"]);
    // A needle read to 25 rpm cannot tell.
    let needle = Instrument { name: "a needle".to_owned(), percent: 0.0, digits: 0.5, resolution: Some(25.0) };
    let by_needle = Context { instrument: Some(needle), ..context };
    assert!(!judged(&up_to, "98", &by_needle).clear);
}

#[test]
fn each_basis_compares_what_it_says() {
    let per_foot = limit("ohm", Basis::PerFoot, &[("up-to 60 ohm per foot", &["normal"]), ("", &["high"])]);
    let context = Context { feet: Some(4.0), ..Context::default() };
    let lead = judged(&per_foot, "220", &context);
    assert_eq!((lead.compared, lead.outcomes()), (Some(55.0), vec!["normal"]));
    assert!(
        lead.words.starts_with("220 ohm, over 4 ft that is 55 ohm per foot: up to 60 ohm per foot (normal)."),
        "{}",
        lead.words
    );

    let ratio =
        limit("ohm", Basis::RatioToPeers, &[("below 0.8", &["low"]), ("up-to 1.2", &["normal"]), ("", &["high"])]);
    let context = Context { peers: vec![13e3, 13e3, 14e3], ..Context::default() };
    let peer = judged(&ratio, "19.5k", &context);
    assert_eq!((peer.compared, peer.outcomes()), (Some(1.5), vec!["high"]));
    assert!(
        peer.words
            .starts_with("19.5 kohm is 1.5 times the median of 3 like readings, 13 kohm: above 1.2 times (high)."),
        "{}",
        peer.words
    );

    let change =
        limit("ohm", Basis::ChangeFromBefore, &[("below -1", &["fell"]), ("up-to 1", &["same"]), ("", &["rose"])]);
    let context = Context { before: Some(12.0), ..Context::default() };
    let fell = judged(&change, "8.0", &context);
    assert_eq!((fell.compared, fell.outcomes()), (Some(-4.0), vec!["fell"]));
    assert!(fell.words.starts_with("8 ohm, 4 ohm less than 12 ohm before: below -1 ohm (fell)."), "{}", fell.words);
}

#[test]
fn what_is_missing_is_said() {
    let bands: &[(&str, &[&str])] = &[("up-to 60", &["normal"]), ("", &["high"])];
    let empty = Context::default();
    for (basis, needs) in [
        (Basis::PerFoot, NeedsMore::Feet),
        (Basis::RatioToPeers, NeedsMore::Peers),
        (Basis::DifferenceToOtherSide, NeedsMore::OtherSide),
        (Basis::ChangeFromBefore, NeedsMore::Before),
    ] {
        let limit = limit("ohm", basis, bands);
        assert_eq!(judge(&limit, &read(&limit, "50"), &empty), Err(needs));
        // Above everything, whatever it is compared with.
        assert_eq!(judge(&limit, &Reading::Open, &empty).unwrap().outcomes(), ["high"]);
    }
    let winding = coil().at_celsius(20.0).unwrap();
    let untaken = judge(&winding, &read(&winding, "8.2k"), &empty).unwrap();
    let taken =
        judge(&winding, &read(&winding, "8.2k"), &Context { celsius: Some(20.0), ..Context::default() }).unwrap();
    assert!(untaken.uncertainty > taken.uncertainty, "a temperature nobody took adds doubt");
    assert!(untaken.words.contains("no temperature was given"), "{}", untaken.words);
    let rpm = limit("rpm", Basis::Absolute, bands);
    assert_eq!(judge(&rpm, &Reading::Open, &empty), Err(NeedsMore::Number(Dimension::Speed)));
    let ohms = read(&coil(), "50");
    let wrong = NeedsMore::Dimension { read: Dimension::Resistance, limit: Dimension::Speed };
    assert_eq!(judge(&rpm, &ohms, &empty), Err(wrong));
    let nan = Reading::Value { quantity: Quantity::new(Dimension::Speed, f64::NAN), resolution: 1.0 };
    assert_eq!(judge(&rpm, &nan, &empty), Err(NeedsMore::NotFinite));
    let broken = Instrument { name: "x".to_owned(), percent: f64::NAN, digits: 0.0, resolution: None };
    let context = Context { instrument: Some(broken), ..empty };
    assert_eq!(judge(&rpm, &read(&rpm, "50"), &context), Err(NeedsMore::Instrument));
}

#[test]
fn a_band_of_several_outcomes_gives_each_its_weight_and_asks() {
    let drop =
        limit("rpm", Basis::Absolute, &[("up-to 150", &["normal"]), ("", &["too-much-smooth", "too-much-rough"])]);
    let over = judged(&drop, "200", &Context::default());
    assert_eq!(over.weights, [("too-much-smooth".to_owned(), 1.0), ("too-much-rough".to_owned(), 1.0)]);
    assert!(
        over.words.contains("above 150 rpm (too much smooth or too much rough). The reading alone"),
        "{}",
        over.words
    );
}

#[test]
fn a_reading_of_copper_is_corrected_and_its_doubt_with_it() {
    let winding = coil().at_celsius(20.0).unwrap();
    let context = Context { celsius: Some(60.0), ..Context::default() };
    let hot = judged(&winding, "9.50k", &context);
    let cold = 9500.0 * 254.5 / 294.5;
    assert!((hot.compared.unwrap() - cold).abs() < 1e-9);
    let meter = (95.0 + 30.0) / 3.0_f64.sqrt() * 254.5 / 294.5;
    let heat = cold * 5.0 / 3.0_f64.sqrt() / 294.5;
    assert!((hot.uncertainty - meter.hypot(heat)).abs() < 1e-9);
    assert!(hot.words.starts_with("9.5 kohm at 60 C is 8.21 kohm at 20 C: "), "{}", hot.words);
}

#[test]
fn a_length_is_said_in_the_limits_unit() {
    let gap =
        limit("mm", Basis::Absolute, &[("below 0.4 mm", &["narrow"]), ("up-to 0.53 mm", &["normal"]), ("", &["wide"])]);
    let words = judged(&gap, "0.47", &Context::default()).words;
    assert!(words.starts_with("0.47 mm: at least 0.4 mm and up to 0.53 mm (normal)."), "{words}");
}

proptest! {
    #[test]
    fn weights_are_a_distribution_and_one_hot_when_clear(
        value in 0.0..20e3_f64, step in 1e-3..1e3_f64, percent in 0.0..5.0_f64, digits in 0.0..9.0_f64,
    ) {
        let limit = coil();
        let meter = Instrument { name: "a meter".to_owned(), percent, digits, resolution: None };
        let context = Context { instrument: Some(meter), ..Context::default() };
        let reading = Reading::Value { quantity: Quantity::new(Dimension::Resistance, value), resolution: step };
        let found = judge(&limit, &reading, &context).unwrap();
        let total: f64 = found.weights.iter().map(|(_, weight)| weight).sum();
        prop_assert!((total - 1.0).abs() < 1e-7, "{:?}", found);
        prop_assert_eq!(found.clear, found.outcomes().len() == 1);
        // The more guard, the less is clear.
        let bold = judge_guarded(&limit, &reading, &context, Guard::NONE).unwrap();
        prop_assert!(bold.clear);
    }

    #[test]
    fn there_is_no_cliff_at_a_limit(offset in -0.5..0.5_f64) {
        let limit = coil();
        let weight = |value: f64| {
            let reading = Reading::Value { quantity: Quantity::new(Dimension::Resistance, value), resolution: 10.0 };
            let found = judge(&limit, &reading, &Context::default()).unwrap();
            found.weights.iter().find(|(name, _)| name == "shorted").map_or(0.0, |(_, weight)| *weight)
        };
        prop_assert!((weight(8000.0 + offset) - weight(8000.0)).abs() < 0.01);
    }

    #[test]
    fn nothing_finite_or_not_panics(value in any::<f64>(), step in any::<f64>(), feet in any::<f64>(), other in any::<f64>(), celsius in any::<f64>()) {
        let context = Context {
            feet: Some(feet), peers: vec![other, value], other_side: Some(other), before: Some(other),
            celsius: Some(celsius), instrument: None,
        };
        for basis in [Basis::Absolute, Basis::PerFoot, Basis::RatioToPeers, Basis::DifferenceToOtherSide, Basis::ChangeFromBefore] {
            let limit = limit("ohm", basis, &[("up-to 60", &["normal"]), ("", &["high"])]);
            let reading = Reading::Value { quantity: Quantity::new(Dimension::Resistance, value), resolution: step };
            if let Ok(found) = judge(&limit, &reading, &context) {
                prop_assert!(found.weights.iter().all(|(_, weight)| (0.0..=1.0).contains(weight)));
            }
        }
    }
}
