//! Worked examples of causes that add up as in a noisy-or, and of passes over a fault that sleeps.
//! Each test says which values are published ones that were recomputed, and which are exact answers of our own.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use roughrun::belief::{Belief, CauseInput, Event, Extent, Habit, Observation, Posterior, Problem, infer};
use roughrun::model::{CauseId, Sees};

const FEW: Extent = Extent { most: 1, share: 1.0 };

fn hard(prior: f64) -> CauseInput {
    CauseInput { prior, habits: Habit::only(vec![1.0]), corrections: Vec::new(), arrivals: Vec::new() }
}

fn event(causes: &[(usize, f64)], leak: f64) -> Event {
    Event { causes: causes.iter().map(|(c, p)| (CauseId(*c), *p)).collect(), gates: Vec::new(), leak }
}

fn look(key: usize, events: Vec<Event>, outcome: Option<usize>) -> Observation {
    Observation::clear(0, Sees::Present, key, events, outcome)
}

fn ask(causes: Vec<CauseInput>, observations: Vec<Observation>) -> Posterior {
    let found = infer(&Problem { spells: 1, causes, observations }, FEW);
    assert!(found.error == 0.0, "exact");
    found
}

fn near(left: f64, right: f64, within: f64) {
    assert!((left - right).abs() <= within, "{left} is not {right} within {within}");
}

/// Checks that failed, checks that passed, probability of that, and of each cause after it.
type Case = (&'static [usize], &'static [usize], f64, [f64; 4]);

/// Our own small network of four causes and three checks, answered by brute force (not published).
#[test]
fn four_causes_and_three_checks() {
    let priors = [0.01, 0.02, 0.05, 0.1];
    let checks: [(&[(usize, f64)], f64); 3] =
        [(&[(0, 0.8), (1, 0.3)], 0.01), (&[(1, 0.7), (2, 0.6)], 0.02), (&[(0, 0.2), (2, 0.9), (3, 0.4)], 0.05)];

    let cases: [Case; 6] = [
        (&[0], &[], 0.023_812_480_000_000_01, [0.337_297_081_194_398_8, 0.262_504_367_457_737_36, 0.05, 0.1]),
        (
            &[0, 1],
            &[],
            0.005_335_797_081_600_002,
            [0.095_845_741_841_188_38, 0.837_410_788_541_483, 0.151_741_427_422_726_1, 0.1],
        ),
        (
            &[0, 1, 2],
            &[],
            0.001_186_931_253_740_544_6,
            [0.252_895_448_049_731_1, 0.539_869_899_598_259_7, 0.623_723_654_162_006_6, 0.231_079_595_431_007_95],
        ),
        (
            &[0],
            &[1],
            0.018_476_682_918_400_01,
            [0.407_024_713_451_717_15, 0.096_479_761_344_216_82, 0.020_618_556_701_030_924, 0.1],
        ),
        (
            &[1, 2],
            &[0],
            0.029_572_980_492_819_454,
            [0.002_394_563_596_937_761, 0.046_197_465_598_869_19, 0.917_803_081_712_652_5, 0.135_251_294_377_054_58],
        ),
        (
            &[],
            &[0, 1, 2],
            0.822_077_829_234_579_5,
            [0.001_613_553_852_359_821_8, 0.004_267_425_320_056_899, 0.002_100_840_336_134_453_3, 0.0625],
        ),
    ];
    for (failed, passed, evidence, marginals) in cases {
        let seen = |at: &usize, outcome| look(*at, vec![event(checks[*at].0, checks[*at].1)], outcome);
        let looks = failed.iter().map(|at| seen(at, Some(0))).chain(passed.iter().map(|at| seen(at, None)));
        let found = ask(priors.iter().map(|p| hard(*p)).collect(), looks.collect());
        near(found.log_evidence.exp(), evidence, 1e-12);
        for (belief, expected) in found.causes.iter().zip(marginals) {
            near(belief.present, expected, 1e-12);
        }
    }
}

/// Passes over a fault that is there but shows on a share `duty` of the trials: pi (1 - d)^n / (pi (1 - d)^n + 1 - pi).
/// Our own numbers by that formula (not published). Trials are independent spells, and the check never misses an awake fault.
#[test]
fn runs_of_passes_over_an_intermittent_fault() {
    #[rustfmt::skip]
    let cases = [
        (0.3, 0.1, 1, 0.278_350_515_463_917_54), (0.3, 0.1, 3, 0.238_053_771_633_830_43), (0.3, 0.1, 10, 0.130_006_304_802_176_6),
        (0.3, 0.3, 1, 0.230_769_230_769_230_78), (0.3, 0.3, 3, 0.128_160_418_482_999_1), (0.3, 0.3, 10, 0.011_961_277_887_868_54),
        (0.3, 0.9, 1, 0.041_095_890_410_958_895), (0.3, 0.9, 3, 0.000_428_387_833_785_520_24), (0.3, 0.9, 10, 4.285_714_285_530_603e-11),
        (0.5, 0.1, 1, 0.473_684_210_526_315_8), (0.5, 0.1, 3, 0.421_631_000_578_369_05), (0.5, 0.1, 10, 0.258_533_412_956_573_06),
        (0.5, 0.3, 1, 0.411_764_705_882_352_87), (0.5, 0.3, 3, 0.255_398_361_876_396_1), (0.5, 0.3, 10, 0.027_471_522_387_323_172),
        (0.5, 0.9, 1, 0.090_909_090_909_090_88), (0.5, 0.9, 3, 0.000_999_000_999_000_998_6), (0.5, 0.9, 10, 9.999_999_998_999_978e-11),
        (0.9, 0.1, 1, 0.890_109_890_109_890_2), (0.9, 0.1, 3, 0.867_742_362_121_412_5), (0.9, 0.1, 10, 0.758_343_549_090_147_2),
        (0.9, 0.3, 1, 0.863_013_698_630_137), (0.9, 0.3, 3, 0.755_321_751_896_256_3), (0.9, 0.3, 10, 0.202_696_622_961_692_88),
        (0.9, 0.9, 1, 0.473_684_210_526_315_54), (0.9, 0.9, 3, 0.008_919_722_497_522_304), (0.9, 0.9, 10, 8.999_999_991_899_982e-10),
    ];
    for (prior, duty, passes, expected) in cases {
        let found = after_passes(prior, duty, passes);
        assert!((found.present - expected).abs() <= 1e-9 * expected, "{prior} {duty} {passes}: {}", found.present);
    }
    // Trials it takes to see a fault with 95 %: the first number of passes that leaves at most 5 % of (1 - d)^n.
    for (duty, trials) in [(0.05, 59), (0.1, 29), (0.2, 14), (0.3, 9), (0.5, 5)] {
        let missed = |n: usize| {
            let odds = after_passes(0.5, duty, n).present;
            odds / (1.0 - odds)
        };
        assert!(missed(trials) <= 0.05 && missed(trials - 1) > 0.05, "{duty}");
    }
}

fn after_passes(prior: f64, duty: f64, passes: usize) -> Belief {
    let cause =
        CauseInput { prior, habits: Habit::only(vec![duty; passes]), corrections: Vec::new(), arrivals: Vec::new() };
    let pass = |spell| Observation::clear(spell, Sees::Awake, 0, vec![event(&[(0, 1.0)], 1e-9)], None);
    let problem = Problem { spells: passes, causes: vec![cause], observations: (0..passes).map(pass).collect() };
    infer(&problem, FEW).causes[0]
}
