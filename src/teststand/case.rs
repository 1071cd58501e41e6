//! The jobs of a simulation: each drawn from the seed and its own number, and worked by each policy on the same engine.

use std::sync::Arc;

use rand::{RngExt, SeedableRng};
use rand_chacha::ChaCha8Rng;

use crate::job::Refusal;
use crate::model::{ComplaintId, Model};

use super::draw::{Ways, pick};
use super::engine::Engine;
use super::policy::Policy;
use super::stand::{Score, Stand};

/// The share of jobs with one, two and three faults. Placeholder: no published share of multiple faults was found.
pub(super) const FAULTS_AT_ONCE: [f64; 3] = [0.8, 0.15, 0.05];
/// Draws of causes that hardly bring the complaint together before a job is given up.
const MOST_DRAWS: usize = 60;

/// The complaints of one engine, the commoner the likelier to be drawn.
#[derive(Debug, Clone)]
pub struct Field {
    model: Arc<Model>,
    complaints: Vec<(ComplaintId, f64)>,
}

/// How each policy did on one job, in the order of [`Policy::ALL`].
#[derive(Debug, Clone, PartialEq)]
pub struct Worked {
    /// What kind of job it was.
    pub kind: CaseKind,
    /// Which of the fields given it came from.
    pub field: usize,
    /// Name of the complaint.
    pub complaint: String,
    /// The faults, in words: name and site, and "asleep" for one that slept at the report.
    pub faults: Vec<String>,
    /// The score of each policy.
    pub scores: [Score; 4],
}

/// The kinds of job that are told apart in the figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CaseKind {
    /// One fault that is always awake.
    Hard,
    /// One fault that comes and goes.
    Intermittent,
    /// Two or three faults.
    Several,
}

impl CaseKind {
    /// All kinds.
    pub const ALL: [Self; 3] = [Self::Hard, Self::Intermittent, Self::Several];

    /// Its name for programs.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Hard => "hard",
            Self::Intermittent => "intermittent",
            Self::Several => "several",
        }
    }
}

impl Field {
    /// The complaints of an engine, or those of one name. None where nothing brings any.
    #[must_use]
    pub fn of(model: Arc<Model>, complaint: Option<&str>) -> Option<Self> {
        let complaints: Vec<(ComplaintId, f64)> = (0..model.complaints.len())
            .map(ComplaintId)
            .filter(|id| complaint.is_none_or(|name| model[*id].name == name))
            .map(|id| (id, Ways::of(&model, id, &model[id].usual).weight()))
            .filter(|(_, weight)| *weight > 0.0)
            .collect();
        (!complaints.is_empty()).then_some(Self { model, complaints })
    }

    /// The engine's model.
    #[must_use]
    pub fn model(&self) -> &Arc<Model> {
        &self.model
    }

    /// Draws the job of this number: its complaint, and the engine with its faults. None where no faults bring the complaint.
    #[must_use]
    pub fn deal(&self, seed: u64, number: u64) -> Option<(ComplaintId, Engine<'_>)> {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        rng.set_stream(number);
        let rng = &mut rng;
        for _ in 0..MOST_DRAWS {
            let (complaint, _) = self.complaints[pick(self.complaints.iter().map(|(_, w)| *w), rng)?];
            let count = 1 + pick(FAULTS_AT_ONCE.into_iter(), rng)?;
            let usual = &self.model[complaint].usual;
            let Some(causes) = Ways::of(&self.model, complaint, usual).draw(count, rng) else { continue };
            let engine = Engine::new(&self.model, complaint, usual, &causes, rng.random());
            if let Some(engine) = engine {
                return Some((complaint, engine));
            }
        }
        None
    }
}

/// Draws the job of this number and works it by every policy. The same seed and number give the same result on any machine. The fields
/// take turns. None where no faults bring the complaint.
///
/// # Errors
/// An entry that a job refuses, which would be a fault of a policy.
pub fn work(fields: &[Field], seed: u64, number: u64) -> Result<Option<Worked>, Refusal> {
    let at = usize::try_from(number % (fields.len().max(1) as u64)).unwrap_or(0);
    let Some(field) = fields.get(at) else { return Ok(None) };
    let Some((complaint, engine)) = field.deal(seed, number) else { return Ok(None) };
    let [a, b, c, d] = Policy::ALL.map(|policy| run(policy, &field.model, complaint, engine.clone()));
    let model = &field.model;
    let faults = engine.faults().iter().map(|f| {
        let asleep = if f.slept { " (asleep at the report)" } else { "" };
        format!("{} at {}{asleep}", model[f.cause].name, model[f.cause].site)
    });
    let kind = match engine.faults() {
        [one] if model[one.cause].waking.can_sleep() => CaseKind::Intermittent,
        [_] => CaseKind::Hard,
        _ => CaseKind::Several,
    };
    Ok(Some(Worked {
        kind,
        field: at,
        complaint: model[complaint].name.clone(),
        faults: faults.collect(),
        scores: [a?, b?, c?, d?],
    }))
}

/// Works one job by one policy to its end.
///
/// # Errors
/// An entry that the job refuses.
pub fn run(policy: Policy, model: &Arc<Model>, complaint: ComplaintId, engine: Engine<'_>) -> Result<Score, Refusal> {
    let mut stand = Stand::open(model, complaint, engine)?;
    while !stand.is_over() {
        for action in policy.next(&stand) {
            if !stand.is_over() {
                stand.carry_out(action)?;
            }
        }
        stand.note_written_off(policy);
    }
    Ok(stand.score())
}
