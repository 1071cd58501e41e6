//! Small trees: models of a few causes that are always awake, a few checks and one access state, written by hand or drawn from a seed.
//!
//! On these the least expected minutes to a proven cure can be worked out exactly, and the planner be held against them.

mod follow;
mod optimum;
#[cfg(test)]
mod tests;

use std::collections::BTreeMap;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

pub use follow::followed;
pub use optimum::optimum;

use crate::job::Refusal;
use crate::model::ORDINARY_WINDOW_HOURS;
use crate::model::{
    Access, AccessId, Cause, CauseId, Check, Cited, Complaint, Conditions, Correction, CorrectionKind, Event,
    FaultGraph, Layout, Manner, Mode, ModeFacts, Model, Outcome, ProofRun, Sees, SideLayout, Site, Source, SourceId,
    SystemKind, Waking,
};

/// A small tree, before it is made a model.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallTree {
    /// The chance of each cause to be there, above 0 and below 1. Each brings the complaint for certain.
    pub causes: Vec<f64>,
    /// The checks.
    pub checks: Vec<SmallCheck>,
    /// The corrections; together they cure every cause, each for certain.
    pub corrections: Vec<SmallCorrection>,
    /// Minutes to take the cowling off, and to put it on.
    pub cowl: (f64, f64),
    /// Minutes of the proof run, with the cowling on.
    pub proof: f64,
}

/// A check with one abnormal outcome.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallCheck {
    /// Minutes.
    pub minutes: f64,
    /// Whether the cowling has to be off.
    pub cowl_off: bool,
    /// The causes it shows, each with its chance.
    pub shows: Vec<(usize, f64)>,
    /// The chance of a false alarm.
    pub leak: f64,
}

/// A correction that never fails.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallCorrection {
    /// Minutes.
    pub minutes: f64,
    /// Whether the cowling has to be off.
    pub cowl_off: bool,
    /// The causes it cures.
    pub cures: Vec<usize>,
}

/// The largest number of causes of a small tree.
pub const MOST_CAUSES: usize = 5;
/// The largest number of checks of a small tree.
pub const MOST_CHECKS: usize = 6;

impl SmallTree {
    /// Draws a small tree: skewed chances, perfect or noisy checks, corrections of one cause or two, half of it under the cowling.
    #[must_use]
    pub fn draw(seed: u64, number: u64) -> Self {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        let minutes = [1.0, 2.0, 3.0, 5.0, 8.0, 13.0];
        let causes: Vec<f64> =
            (0..rng.random_range(2..=MOST_CAUSES)).map(|_| 0.001 * 50f64.powf(rng.random::<f64>())).collect();
        let noisy = rng.random_bool(0.5);
        let checks = (0..rng.random_range(2..=MOST_CHECKS))
            .map(|_| {
                let mut shows: Vec<(usize, f64)> = Vec::new();
                for cause in 0..causes.len() {
                    if rng.random_bool(0.45) {
                        shows.push((cause, if noisy { 0.6 + 0.38 * rng.random::<f64>() } else { 1.0 }));
                    }
                }
                if shows.is_empty() {
                    shows.push((rng.random_range(0..causes.len()), if noisy { 0.8 } else { 1.0 }));
                }
                let leak = if noisy { 0.01 + 0.04 * rng.random::<f64>() } else { LEAST };
                SmallCheck { minutes: minutes[rng.random_range(0..6)], cowl_off: rng.random_bool(0.5), shows, leak }
            })
            .collect();
        let mut corrections: Vec<SmallCorrection> = Vec::new();
        for cause in 0..causes.len() {
            match corrections.last_mut() {
                Some(last) if last.cures.len() == 1 && rng.random_bool(0.25) => last.cures.push(cause),
                _ => corrections.push(SmallCorrection {
                    minutes: 5.0 + 55.0 * rng.random::<f64>(),
                    cowl_off: rng.random_bool(0.5),
                    cures: vec![cause],
                }),
            }
        }
        Self { causes, checks, corrections, cowl: (12.0, 12.0), proof: 8.0 }
    }

    /// The model of it.
    #[must_use]
    #[expect(clippy::too_many_lines, reason = "a model has many fields, and each is plain")]
    pub fn model(&self) -> Model {
        let cited = || Cited { source: SourceId(0), place: String::new() };
        let cause = |name: String, chance: f64| Cause {
            title: name.clone(),
            name,
            site: Site::Engine,
            part: "part".into(),
            rate: -(-chance).ln_1p() / ORDINARY_WINDOW_HOURS * 1000.0,
            rate_source: cited(),
            life: None,
            waking: Waking::always(),
            not_ignition: false,
            told_by: None,
            hurts: None,
            how: String::new(),
        };
        let mut causes: Vec<Cause> =
            self.causes.iter().enumerate().map(|(at, chance)| cause(format!("cause-{at}"), *chance)).collect();
        causes.push(cause("not-in-this-tree".into(), 0.0));
        let open = |cowl_off: bool| if cowl_off { vec![AccessId(0)] } else { Vec::new() };
        let check = |(at, small): (usize, &SmallCheck)| Check {
            name: format!("check-{at}"),
            site: Site::Engine,
            title: format!("check {at}"),
            purpose: String::new(),
            sees: Sees::Present,
            minutes: small.minutes,
            open: open(small.cowl_off),
            closed: Vec::new(),
            manner: Manner::default(),
            gone_after: Vec::new(),
            gone_while: Vec::new(),
            needs: Vec::new(),
            same_look: Vec::new(),
            tools: Vec::new(),
            hazards: Vec::new(),
            steps: Vec::new(),
            expected: String::new(),
            mistakes: Vec::new(),
            beside: Vec::new(),
            source: cited(),
            limit: None,
            normal: "normal".into(),
            outcomes: vec![Outcome {
                name: "abnormal".into(),
                title: "abnormal".into(),
                key: None,
                event: event(small.shows.iter().map(|(c, chance)| (CauseId(*c), *chance)).collect(), small.leak),
                proves: false,
                looks_so: None,
                warning: None,
                formerly: None,
            }],
        };
        let correction = |(at, small): (usize, &SmallCorrection)| Correction {
            name: format!("correction-{at}"),
            site: Site::Engine,
            title: format!("correction {at}"),
            kind: CorrectionKind::Adjust,
            cures: small.cures.iter().map(|c| CauseId(*c)).collect(),
            fails: 0.0,
            minutes: small.minutes,
            cost: 0.0,
            open: open(small.cowl_off),
            steps: Vec::new(),
            parts: Vec::new(),
            proof: String::new(),
            disturbs: Vec::new(),
            manner: Manner::default(),
            owes: Vec::new(),
            owes_before_run: Vec::new(),
            hazards: Vec::new(),
            source: cited(),
        };
        Model {
            layout: layout(),
            sources: vec![Source {
                name: "placeholder".into(),
                document: String::new(),
                edition: String::new(),
                read: true,
            }],
            conditions: Vec::new(),
            hazards: Vec::new(),
            modes: vec![ModeFacts::default(); Mode::ALL.len()],
            access: vec![Access {
                name: "cowl-off".into(),
                site: Site::Engine,
                title: "cowling off".into(),
                closing: None,
                open: self.cowl.0,
                close: self.cowl.1,
                needs: Vec::new(),
                not_with: Vec::new(),
                stays_open_in: Vec::new(),
                warning: None,
                upsets: Vec::new(),
                owes: Vec::new(),
                owes_before_run: Vec::new(),
                hazards: Vec::new(),
            }],
            limits: Vec::new(),
            listed: causes.len() - 1,
            causes,
            effects: Vec::new(),
            complaints: vec![Complaint {
                name: "complaint".into(),
                site: Site::Engine,
                title: "complaint".into(),
                event: event((0..self.causes.len()).map(|c| (CauseId(c), 1.0)).collect(), LEAST),
                usual: Conditions::default(),
                quiet: None,
                proof: ProofRun { engine: Mode::Run, minutes: self.proof, hazards: Vec::new(), steps: Vec::new() },
                warning: None,
                first_order: Vec::new(),
            }],
            checks: self.checks.iter().enumerate().map(check).collect(),
            corrections: self.corrections.iter().enumerate().map(correction).collect(),
            provocations: Vec::new(),
            recent_work: Vec::new(),
            prices: None,
            graph: FaultGraph::default(),
        }
    }
}

/// The planner's expected minutes as a multiple of the optimum, on the small tree of this number. None where that has no optimum.
///
/// # Errors
/// An entry that the job refuses, which would be a fault of the planner.
pub fn ratio(seed: u64, number: u64) -> Result<Option<f64>, Refusal> {
    let tree = SmallTree::draw(seed, number);
    optimum(&tree).map(|best| Ok(followed(&tree)? / best)).transpose()
}

/// The chance of a false alarm of what gives none: a model wants it above zero.
const LEAST: f64 = 1e-15;

fn event(causes: Vec<(CauseId, f64)>, leak: f64) -> Event {
    Event { causes, gates: Vec::new(), leak }
}

fn layout() -> Layout {
    let side = SideLayout {
        kind: SystemKind::MagnetoPlain,
        tags: Vec::new(),
        upper: Vec::new(),
        coils: Vec::new(),
        lead_feet: BTreeMap::new(),
    };
    Layout {
        name: "small".into(),
        title: "small tree".into(),
        cylinders: 2,
        firing_order: vec![1, 2],
        rows: None,
        tags: Vec::new(),
        left: side.clone(),
        right: side,
    }
}

/// The sets of causes (bit by bit) that can be behind the complaint, with their probabilities given that it showed.
fn worlds(tree: &SmallTree) -> Vec<(u32, f64)> {
    let chance = |set: u32| -> f64 {
        let one = |(at, p): (usize, &f64)| if set >> at & 1 == 1 { *p } else { 1.0 - p };
        tree.causes.iter().enumerate().map(one).product()
    };
    let sets: Vec<(u32, f64)> = (1..1u32 << tree.causes.len()).map(|set| (set, chance(set))).collect();
    let whole: f64 = sets.iter().map(|(_, p)| p).sum();
    sets.into_iter().map(|(set, p)| (set, p / whole)).collect()
}

/// The chance that a check reads abnormal when these causes are there.
fn abnormal(check: &SmallCheck, there: u32) -> f64 {
    let shown = check.shows.iter().filter(|(cause, _)| there >> cause & 1 == 1);
    1.0 - shown.fold(1.0 - check.leak, |quiet, (_, chance)| quiet * (1.0 - chance))
}

/// The causes that a correction cures, bit by bit.
fn cured_by(correction: &SmallCorrection) -> u32 {
    correction.cures.iter().fold(0, |set, cause| set | 1 << cause)
}
