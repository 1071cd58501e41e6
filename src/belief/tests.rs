//! The walk against plain enumeration of every world, on small models of every kind.
#![allow(clippy::unwrap_used, clippy::panic, clippy::needless_pass_by_value, clippy::needless_range_loop)]

use proptest::prelude::*;

use super::*;
use crate::model::{CauseId, Formula, Sees};

/// Every way a problem can have gone, one by one. Slow and simple on purpose.
struct Brute<'a> {
    problem: &'a Problem,
    evidence: f64,
    sums: Vec<Belief>,
}

#[derive(Clone)]
struct World {
    /// For each cause: the spells from which it is there and from which it is gone (`usize::MAX`: never), or none if it never was there.
    end: Vec<Option<(usize, usize)>>,
    awake: Vec<Vec<bool>>,
    /// For each cause that shows for moments, the chance of a minute.
    moments: Vec<Option<f64>>,
    weight: f64,
}

impl<'a> Brute<'a> {
    fn run(problem: &'a Problem) -> Self {
        let n = problem.causes.len();
        let mut brute = Self { problem, evidence: 0.0, sums: vec![Belief::default(); n] };
        brute.cause(
            0,
            World {
                end: vec![None; n],
                awake: vec![vec![false; problem.spells]; n],
                moments: vec![None; n],
                weight: 1.0,
            },
        );
        for b in &mut brute.sums {
            b.present /= brute.evidence;
            b.awake /= brute.evidence;
            b.ever /= brute.evidence;
        }
        brute
    }

    fn cause(&mut self, i: usize, world: World) {
        if world.weight == 0.0 {
            return;
        }
        let Some(cause) = self.problem.causes.get(i) else { return self.shown(&world) };
        self.from(i, &world, 0, cause.prior);
        let mut absent = 1.0 - cause.prior;
        for arrival in &cause.arrivals {
            self.from(i, &world, arrival.from, absent * arrival.chance);
            absent *= 1.0 - arrival.chance;
        }
        let mut never = world;
        never.weight *= absent;
        self.cause(i + 1, never);
    }

    /// The worlds in which a cause is there from a spell on.
    fn from(&mut self, i: usize, world: &World, begun: usize, chance: f64) {
        let cause = &self.problem.causes[i];
        let mut surviving = world.weight * chance;
        let mut ends = Vec::new();
        for c in cause.corrections.iter().filter(|c| begun == 0 || c.from > begun) {
            ends.push((c.from, surviving * (1.0 - c.fails)));
            surviving *= c.fails;
        }
        ends.push((usize::MAX, surviving));
        for (end, weight) in ends {
            for habit in &cause.habits {
                for mask in 0..1usize << self.problem.spells {
                    let mut there = world.clone();
                    there.end[i] = Some((begun, end));
                    there.weight = weight * habit.weight;
                    let awake_in = |s: usize| match &habit.comes {
                        Comes::Spells(awake) => awake[s],
                        Comes::Moments(_) => 1.0,
                    };
                    there.moments[i] = match habit.comes {
                        Comes::Moments(each_minute) => Some(each_minute),
                        Comes::Spells(_) => None,
                    };
                    for s in 0..self.problem.spells {
                        let awake = mask >> s & 1 == 1;
                        if s >= end || s < begun {
                            if awake {
                                there.weight = 0.0;
                            }
                        } else {
                            there.awake[i][s] = awake;
                            there.weight *= if awake { awake_in(s) } else { 1.0 - awake_in(s) };
                        }
                    }
                    self.cause(i + 1, there);
                }
            }
        }
    }

    /// Sums over what each check shows of each cause: drawn once per check, cause and outcome, for all spells.
    fn shown(&mut self, world: &World) {
        let mut draws: Vec<(usize, usize, usize, f64)> = Vec::new();
        for o in &self.problem.observations {
            for (e, event) in o.events.iter().enumerate() {
                for (c, chance) in &event.causes {
                    let draw = (o.key, e, c.0, *chance);
                    if world.end[c.0].is_some() && !draws.iter().any(|d| (d.0, d.1, d.2) == (draw.0, draw.1, draw.2)) {
                        draws.push(draw);
                    }
                }
            }
        }
        // Then, for each look, whether it meets each cause that shows for moments.
        let shown = draws.len();
        for (look, o) in self.problem.observations.iter().enumerate().filter(|(_, o)| o.sees == Sees::Awake) {
            for (c, each_minute) in world.moments.iter().enumerate() {
                if let Some(each_minute) = each_minute.filter(|_| world.end[c].is_some()) {
                    draws.push((look, usize::MAX, c, crate::model::met(each_minute, o.minutes)));
                }
            }
        }
        assert!(draws.len() < 24);
        let mut likelihood = 0.0;
        for mask in 0..1usize << draws.len() {
            let mut weight = 1.0;
            for (i, d) in draws.iter().enumerate() {
                weight *= if mask >> i & 1 == 1 { d.3 } else { 1.0 - d.3 };
            }
            if weight == 0.0 {
                continue;
            }
            for (look, o) in self.problem.observations.iter().enumerate() {
                let meets = |c: usize| {
                    let of_look = draws.iter().skip(shown).position(|d| (d.0, d.2) == (look, c));
                    of_look.is_none_or(|i| mask >> (shown + i) & 1 == 1)
                };
                let there = |c: usize| match world.end[c] {
                    Some((begun, end)) if begun <= o.spell && o.spell < end => {
                        o.sees == Sees::Present || world.awake[c][o.spell] && meets(c)
                    }
                    _ => false,
                };
                let mut none_yet = 1.0;
                let mut seen = 0.0;
                for (e, event) in o.events.iter().enumerate() {
                    let direct = event.causes.iter().any(|(c, _)| {
                        there(c.0)
                            && draws
                                .iter()
                                .position(|d| (d.0, d.1, d.2) == (o.key, e, c.0))
                                .is_some_and(|i| mask >> i & 1 == 1)
                    });
                    let mut quiet = if direct { 0.0 } else { 1.0 - event.leak };
                    for (formula, chance) in &event.gates {
                        if formula.holds(&|c: CauseId| there(c.0)) {
                            quiet *= 1.0 - chance;
                        }
                    }
                    seen += o.weights[e] * none_yet * (1.0 - quiet);
                    none_yet *= quiet;
                }
                seen += o.weights[o.events.len()] * none_yet;
                weight *= seen;
            }
            likelihood += weight;
        }
        let weight = world.weight * likelihood;
        self.evidence += weight;
        let now = self.problem.spells - 1;
        for (i, sum) in self.sums.iter_mut().enumerate() {
            if let Some((_, end)) = world.end[i] {
                sum.ever += weight;
                if end == usize::MAX {
                    sum.present += weight;
                    if world.awake[i][now] {
                        sum.awake += weight;
                    }
                }
            }
        }
    }
}

fn chance() -> impl Strategy<Value = f64> {
    prop_oneof![4 => 0.05..0.95, 1 => Just(1.0)]
}

fn event(causes: usize) -> impl Strategy<Value = Event> {
    let pairs = proptest::collection::btree_map(0..causes, chance(), 0..=2);
    let any = proptest::collection::btree_set(0..causes, 1..=2)
        .prop_map(|c| Formula::Any(c.into_iter().map(CauseId).collect()));
    let gate =
        (proptest::collection::vec(any, 2..=3), 1..=2usize).prop_map(|(of, count)| Formula::AtLeast { count, of });
    (pairs, proptest::collection::vec((gate, chance()), 0..=1), 0.001..0.2).prop_map(|(pairs, gates, leak)| Event {
        causes: pairs.into_iter().map(|(c, p)| (CauseId(c), p)).collect(),
        gates,
        leak,
    })
}

fn problem() -> impl Strategy<Value = Problem> {
    (1..=3usize, 1..=3usize).prop_flat_map(|(spells, n)| {
        let comes = prop_oneof![
            3 => proptest::collection::vec(chance(), spells).prop_map(Comes::Spells),
            1 => (0.02..0.5).prop_map(Comes::Moments),
        ];
        let habit = (0.1..1.0, comes).prop_map(|(weight, comes)| Habit { weight, comes });
        let cause = (
            0.01..0.6,
            proptest::collection::vec(habit, 1..=3).prop_map(|mut habits| {
                let whole: f64 = habits.iter().map(|h| h.weight).sum();
                habits.iter_mut().for_each(|h| h.weight /= whole);
                habits
            }),
            proptest::option::weighted(0.3, (1..=spells, 0.0..0.5)),
            proptest::collection::btree_map(1..spells.max(2), 0.01..0.4, 0..=2),
        )
            .prop_map(move |(prior, habits, corrected, brought)| CauseInput {
                prior,
                habits,
                corrections: corrected.map(|(from, fails)| Corrected { from, fails }).into_iter().collect(),
                arrivals: brought
                    .into_iter()
                    .filter(|(from, _)| *from < spells)
                    .map(|(from, chance)| Arrival { from, chance })
                    .collect(),
            });
        // Two checks with fixed events each, read in any spells, so that repeats of one check occur.
        let sees = prop_oneof![Just(Sees::Awake), Just(Sees::Present)];
        let check = (sees, proptest::collection::vec(event(n), 1..=2));
        let minutes = prop_oneof![0.0..10.0, Just(f64::INFINITY)];
        let reading = (minutes, 0..=2usize, proptest::option::weighted(0.3, 0.1..0.9));
        (
            proptest::collection::vec(cause, n),
            proptest::collection::vec(check, 2),
            proptest::collection::btree_map((0..2usize, 0..spells), reading, 0..=4),
        )
            .prop_map(move |(causes, checks, readings)| {
                let observations = readings
                    .into_iter()
                    .map(|((which, spell), (minutes, outcome, doubt))| {
                        let (sees, events) = checks[which].clone();
                        let outcome = outcome.min(events.len());
                        let mut o = Observation::clear(spell, sees, which, events, None);
                        o.minutes = minutes;
                        o.weights.fill(0.0);
                        o.weights[outcome] = 1.0;
                        if let Some(doubt) = doubt {
                            let other = (outcome + 1) % o.weights.len();
                            o.weights[outcome] = doubt;
                            o.weights[other] = 1.0 - doubt;
                        }
                        o
                    })
                    .collect();
                Problem { spells, causes, observations }
            })
    })
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-10
}

const ALL: Extent = Extent { most: 100_000, share: 1.0 };

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn the_walk_agrees_with_every_world_counted(problem in problem()) {
        let brute = Brute::run(&problem);
        let found = infer(&problem, ALL);
        prop_assert!(found.error == 0.0);
        prop_assert!((found.log_evidence - brute.evidence.ln()).abs() < 1e-9, "{} {}", found.log_evidence, brute.evidence.ln());
        for (a, b) in found.causes.iter().zip(&brute.sums) {
            prop_assert!(close(a.present, b.present) && close(a.awake, b.awake) && close(a.ever, b.ever), "{a:?} {b:?}");
        }
        let listed: f64 = found.explanations.iter().map(|e| e.probability).sum();
        prop_assert!((listed - 1.0).abs() < 1e-9, "explanations add up to {listed}");
        for e in &found.explanations {
            let parts: f64 = e.now.iter().map(|(_, p)| p).sum();
            prop_assert!(close(parts, e.probability));
        }
    }

    #[test]
    fn order_does_not_matter(problem in problem(), seed in any::<u64>()) {
        let mut shuffled = problem.clone();
        let n = shuffled.observations.len().max(1);
        shuffled.observations.rotate_left(usize::try_from(seed % n as u64).unwrap());
        shuffled.observations.reverse();
        let (a, b) = (infer(&problem, ALL), infer(&shuffled, ALL));
        for (x, y) in a.causes.iter().zip(&b.causes) {
            prop_assert!(close(x.present, y.present) && close(x.awake, y.awake));
        }
    }
}

fn one_cause(prior: f64, awake: &[f64]) -> Problem {
    let spells = awake.len();
    let cause =
        CauseInput { prior, habits: Habit::only(awake.to_vec()), corrections: Vec::new(), arrivals: Vec::new() };
    Problem { spells, causes: vec![cause], observations: Vec::new() }
}

fn sees_it(chance: f64) -> Vec<Event> {
    vec![Event { causes: vec![(CauseId(0), chance)], gates: Vec::new(), leak: 1e-6 }]
}

#[test]
fn passes_in_one_sleeping_spell_leave_the_chance_of_sleeping() {
    let mut problem = one_cause(0.5, &[0.3]);
    for key in 0..20 {
        problem.observations.push(Observation::clear(0, Sees::Awake, key, sees_it(0.95), None));
    }
    let found = infer(&problem, ALL);
    let floor = 0.5 * 0.7 / (0.5 * 0.7 + 0.5);
    assert!((found.causes[0].present - floor).abs() < 1e-9);
}

#[test]
fn a_repeated_check_counts_again_only_through_waking() {
    // methods section 3: P(n passes | fault) = 1 - s + s (1 - a)^n
    for n in 1..6 {
        let mut problem = one_cause(0.4, &vec![0.3; n]);
        for spell in 0..n {
            problem.observations.push(Observation::clear(spell, Sees::Awake, 7, sees_it(0.8), None));
        }
        let passes = 1.0 - 0.8 + 0.8 * 0.7f64.powi(i32::try_from(n).unwrap());
        let expected = 0.4 * passes / (0.4 * passes + 0.6);
        assert!((infer(&problem, ALL).causes[0].present - expected).abs() < 1e-9);
    }
}

#[test]
fn many_findings_stay_finite_and_the_bound_is_honest() {
    // Fifteen causes, each in doubt for each of forty findings: far more states than are kept.
    let causes = (0..15)
        .map(|i| CauseInput {
            prior: 0.05 + 0.01 * f64::from(i),
            habits: Habit::only(vec![0.5]),
            corrections: Vec::new(),
            arrivals: Vec::new(),
        })
        .collect();
    let observations = (0..40)
        .map(|key| {
            let seen = (0..15).map(|c| (CauseId(c), 0.1 + 0.05 * ((c * 7 + key * 3) % 11) as f64)).collect();
            Observation::clear(
                0,
                Sees::Awake,
                key,
                vec![Event { causes: seen, gates: Vec::new(), leak: 0.01 }],
                Some(0),
            )
        })
        .collect();
    let found = infer(&Problem { spells: 1, causes, observations }, Extent { most: 10, share: 0.5 });
    assert!(found.log_evidence.is_finite());
    assert!(found.causes.iter().all(|b| (0.0..=1.0).contains(&b.present)));
    assert!(found.error > 0.0 && found.error <= 1.0);
}

#[test]
fn an_explanation_keeps_its_probability_where_its_members_stand_in_more_ways_than_are_kept() {
    // Seven causes that only bring it together, each corrected since or not, awake again or not: 2,187 ways to stand.
    let all_of: Vec<Formula> = (0..7).map(|c| Formula::Any(vec![CauseId(c)])).collect();
    let together =
        Event { causes: Vec::new(), gates: vec![(Formula::AtLeast { count: 7, of: all_of }, 0.9)], leak: 1e-9 };
    let again = Event { causes: (0..7).map(|c| (CauseId(c), 0.3)).collect(), gates: Vec::new(), leak: 1e-6 };
    let causes = (0..7)
        .map(|_| CauseInput {
            prior: 0.2,
            habits: Habit::only(vec![0.9, 0.02]),
            corrections: vec![Corrected { from: 1, fails: 0.1 }],
            arrivals: Vec::new(),
        })
        .collect();
    let observations = vec![
        Observation::clear(0, Sees::Awake, 0, vec![together], Some(0)),
        Observation::clear(1, Sees::Awake, 1, vec![again], Some(0)),
    ];
    let found = infer(&Problem { spells: 2, causes, observations }, ALL);
    let listed: f64 = found.explanations.iter().map(|e| e.probability).sum();
    assert!((listed - 1.0).abs() < 1e-9, "explanations add up to {listed}");
    for e in &found.explanations {
        let parts: f64 = e.now.iter().map(|(_, p)| p).sum();
        assert!(e.probability > 0.0 && close(parts, e.probability), "{parts} for {}", e.probability);
    }
}
