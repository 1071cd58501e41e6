//! Twins of tree files: what each section may hold, field by field.
//!
//! They exist only to be deserialised, and only here; their docs are the descriptions in the schema. Must not know what a value means or whether a name is known.

use schemars::JsonSchema;
use serde::Deserialize;

use super::shapes::{Cite, Figure, Names, Ordered};
use super::wakes::WakesTwin;
use super::work_twin::{EngineTwin, LeavesTwin, NeedTwin, ReportWarnsTwin};
use crate::model::{Mode, SiteKind};

/// A published or other source of figures.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SourceTwin {
    /// The document, as one would ask for it.
    pub document: String,
    /// Its edition or date; "undated" where it has none.
    pub edition: String,
    /// Whether the passage relied on was read; false where it is quoted from memory.
    pub read: bool,
}

/// Something that can wake a sleeping fault.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ConditionTwin {
    /// Title for people.
    pub title: String,
    /// Its levels, the resting one first; no two conditions share a level's name.
    pub levels: Vec<String>,
    /// Minutes of running, from the start with the resting level, until a level is reached.
    #[serde(default)]
    pub rises_running: Ordered<f64>,
    /// Minutes that a level lasts with the engine at rest before it falls to the one before.
    #[serde(default)]
    pub falls_at_rest: Ordered<f64>,
    /// Minutes that a level lasts with the engine running before it falls to the one before.
    #[serde(default)]
    pub falls_running: Ordered<f64>,
    /// Where the minutes come from; needed where there are some.
    pub source: Option<Cite>,
}

#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum StandsTwin {
    #[default]
    OncePerAccess,
    UntilGrounded,
}

/// A hazard, with the caution shown before work that names or brings it.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct HazardTwin {
    /// Title for people.
    pub title: String,
    /// Full sentences, shown before the check and acknowledged.
    pub caution: String,
    /// How long an acknowledgement holds.
    #[serde(default)]
    pub stands: StandsTwin,
    /// Parts and things by name; the hazard comes with all work that touches one of them.
    #[serde(default)]
    pub of_parts: Vec<String>,
    /// Minutes after a run within which it comes with all work at rest that has something open.
    #[schemars(range(min = 0, max = 10_000))]
    pub after_run: Option<f64>,
}

/// A state of the engine that work needs open or closed.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct AccessTwin {
    /// Title for people.
    pub title: String,
    /// What closing it is, as an instruction, as in `put the plug in`; `close: ` and the title where left out.
    #[serde(default)]
    pub closing: Option<String>,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// Minutes to open it.
    #[schemars(range(min = 0, max = 10_000))]
    pub open: f64,
    /// Minutes to close it again.
    #[schemars(range(min = 0, max = 10_000))]
    pub close: f64,
    /// States that must be open first.
    #[serde(default)]
    pub needs: Vec<String>,
    /// States that must be closed everywhere while this one is open.
    #[serde(default)]
    pub not_with: Vec<String>,
    /// Hazards that come with all work that has it open.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// Modes of the engine, beside at-rest, in which it may stay open.
    #[serde(default)]
    pub stays_open_in: Vec<EngineTwin>,
    /// Causes that having had it open can bring.
    #[serde(default)]
    pub upsets: Vec<String>,
    /// Checks that have to be made, and be normal, after it was open and before the job can end.
    #[serde(default)]
    pub owes: Vec<String>,
    /// Checks that have to be made, and be normal, after it was open and before the engine is started.
    #[serde(default)]
    pub owes_before_run: Vec<String>,
    /// A standing warning while it is open.
    #[serde(default)]
    pub warns: Option<ReportWarnsTwin>,
    /// Left the format for `modes:`; read so that the fault can say so.
    #[serde(default)]
    #[schemars(skip)]
    pub opens_with: Ordered<String>,
    /// As `opens-with`.
    #[serde(default)]
    #[schemars(skip)]
    pub closes_with: Ordered<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum BasisTwin {
    Absolute,
    PerFoot,
    RatioToPeers,
    DifferenceToOtherSide,
    ChangeFromBefore,
}

/// One band of a limit.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct BandTwin {
    /// Its upper end, not itself in the band.
    pub below: Option<Figure>,
    /// Its upper end, itself in the band.
    pub up_to: Option<Figure>,
    /// The outcome of a reading in it, or several that the reading alone cannot tell apart.
    pub is: Names,
}

/// A limit, or an override of one: any subset of its fields.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct LimitTwin {
    /// Title for people.
    pub title: Option<String>,
    /// The unit that a bare number is taken in.
    pub unit: Option<String>,
    /// What a reading is judged against; absolute where left out.
    pub basis: Option<BasisTwin>,
    /// The temperature that the reading is corrected to, by the law for copper: "20 C".
    pub at_temperature: Option<Figure>,
    /// Bands in rising order; the last has no upper end.
    pub bands: Option<Vec<BandTwin>>,
    /// The outcome of a reading of OL, where one can occur.
    pub open: Option<Names>,
    /// What a reading can be at all; one outside it is refused.
    pub possible: Option<PossibleTwin>,
    /// Where the figures come from.
    pub source: Option<Cite>,
}

/// From where to where a reading can be at all.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct PossibleTwin {
    /// The least that can be read.
    pub from: Figure,
    /// The most that can be read.
    pub to: Figure,
}

/// How a part wears.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("anyOf" = [{"required": ["hours"]}, {"required": ["years"]}]))]
pub(super) struct LifeTwin {
    /// Its life in engine hours.
    #[schemars(range(min = 0.1, max = 100_000))]
    pub hours: Option<f64>,
    /// Its life in years.
    #[schemars(range(min = 0.1, max = 200))]
    pub years: Option<f64>,
    /// Shape of the wear: 1 is none, 2 to 4 wears out.
    #[schemars(range(min = 0.1, max = 10))]
    pub shape: f64,
    /// Where the life comes from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

/// One way that one part at one site fails.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CauseTwin {
    /// Title without the site: "lead open".
    pub title: String,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// What is handled and what wears; causes of one part share its age.
    pub part: String,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// Failures of one site in 1,000 engine hours.
    #[schemars(range(min = 0, max = 1000))]
    pub rate: f64,
    /// Where the rate comes from.
    #[schemars(required)]
    pub rate_source: Option<Cite>,
    /// How the part wears, where it does.
    pub life: Option<LifeTwin>,
    /// What wakes it; always awake where left out.
    pub wakes: Option<WakesTwin>,
    /// True for look-alikes: they end in a hand-over.
    #[serde(default)]
    pub not_ignition: bool,
    /// For a look-alike: the check that tells it from ignition.
    pub told_by: Option<String>,
    /// What it can do to somebody while it is not found, as a clause: "the propeller can be live with the switch off".
    pub hurts: Option<String>,
    /// How it fails and how it looks, in a sentence or three.
    pub how: String,
}

/// A gate that asks for a number of its members.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct CountTwin {
    /// How many must be there.
    #[schemars(range(min = 1))]
    pub count: usize,
    /// Causes or effects.
    pub of: Vec<String>,
}

/// An event between causes and complaints.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
#[schemars(extend("oneOf" = [{"required": ["any"]}, {"required": ["all"]}, {"required": ["at-least"]}]))]
pub(super) struct EffectTwin {
    /// Title without the site.
    pub title: String,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// Causes or effects, one of which is enough.
    pub any: Option<Vec<String>>,
    /// Causes or effects, all of which must be there.
    pub all: Option<Vec<String>>,
    /// So many of these.
    pub at_least: Option<CountTwin>,
}

/// A cause or effect with the chance that it is shown.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(extend("oneOf" = [{"required": ["cause"]}, {"required": ["effect"]}]))]
pub(super) struct ShowTwin {
    /// Name of a cause.
    pub cause: Option<String>,
    /// Name of an effect; the chance holds for each of its causes.
    pub effect: Option<String>,
    /// The chance that it is seen where it is there.
    #[schemars(range(min = 0, max = 1))]
    pub chance: f64,
}

/// How the proof run is made.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ProofTwin {
    /// What the engine does in it; it runs where left out.
    pub engine: Option<EngineTwin>,
    /// Minutes without access.
    #[schemars(range(min = 0, max = 10_000))]
    pub minutes: f64,
    /// What to do, step by step.
    #[schemars(length(min = 1))]
    pub steps: Vec<String>,
    /// Hazards whose cautions come first.
    #[serde(default)]
    pub hazards: Vec<String>,
}

impl ProofTwin {
    /// What the engine does in it.
    pub(super) fn mode(&self) -> Mode {
        self.engine.map_or(Mode::Run, Into::into)
    }
}

/// What the pilot reports.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct ComplaintTwin {
    /// Title without the site.
    pub title: String,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// What brings it, and how often one that is awake does.
    #[schemars(length(min = 1))]
    pub shows: Vec<ShowTwin>,
    /// The chance that it shows with none of them there; 0.01 where left out.
    #[schemars(range(min = 0, max = 0.99))]
    pub leak: Option<f64>,
    /// Conditions offered first when it is taken in.
    #[serde(default)]
    pub usual: Ordered<String>,
    /// Conditions under which the pilot says that it does not show.
    pub quiet: Option<Ordered<String>>,
    /// A standing warning that it raises as soon as it is reported.
    pub warns: Option<ReportWarnsTwin>,
    /// How the proof run is made.
    pub proof: ProofTwin,
    /// Checks in the order of an ordinary printed chart.
    #[serde(default)]
    pub first_order: Vec<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SeesTwin {
    Awake,
    Present,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum WarnsTwin {
    SideLive,
    OtherSideLive,
    SideGrounded,
    SideSilent,
}

/// Access that must be open and closed.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ReachTwin {
    /// States that must be open.
    #[serde(default)]
    pub open: Vec<String>,
    /// States that must be closed.
    #[serde(default)]
    pub closed: Vec<String>,
}

/// Access that must be open.
#[derive(Debug, Clone, Default, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct OpenTwin {
    /// States that must be open.
    #[serde(default)]
    pub open: Vec<String>,
}

/// A reading that the check takes.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ReadingTwin {
    /// Name of the limit it is judged by; its bands name outcomes of this check.
    pub limit: String,
}

/// An abnormal outcome.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct OutcomeTwin {
    /// Title for people.
    pub title: String,
    /// A key of its own: one small letter, once in a check.
    #[schemars(regex(pattern = "^[a-z]$"))]
    pub key: Option<String>,
    /// What brings it, and how often.
    #[schemars(length(min = 1))]
    pub shows: Vec<ShowTwin>,
    /// The chance of seeing it with no such fault there; 0.01 where left out.
    #[schemars(range(min = 0, max = 0.99))]
    pub leak: Option<f64>,
    /// Whether seeing it proves the cause, where only one is listed.
    #[serde(default)]
    pub proves: bool,
    /// `certain`: seen with one's own eyes, or read far outside the limit, it leaves no doubt that a cause it shows is there.
    /// The leak is then its chance with no such fault there when it only looks so.
    pub sight: Option<SightTwin>,
    /// A standing warning that it raises or lifts.
    pub warns: Option<WarnsTwin>,
    /// Where it tells of one side alone: it shows what is of that side, and what is of neither.
    pub of_side: Option<SideTwin>,
    /// The name that an outcome had which is several now; an answer by that name counts for each of them.
    pub formerly: Option<String>,
}

/// A side.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SideTwin {
    Left,
    Right,
}

/// How sure it is what an outcome shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum SightTwin {
    /// It leaves no doubt.
    Certain,
}

/// Between which sites a part can be swapped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum BetweenTwin {
    /// Two of one side.
    SameSide,
    /// Two of one side, or of two sides that are both magnetos or both electronic.
    Alike,
    /// Any two.
    Any,
}

/// A part changed between two sites, and what is then seen at each.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct SwapTwin {
    /// Parts that change places; causes of other parts stay.
    pub parts: Vec<String>,
    /// Between which sites.
    pub between: BetweenTwin,
    /// In a few words, what is looked for at a place.
    pub seen: String,
    /// What brings it at a place, before the swap.
    pub misses: Vec<ShowTwin>,
    /// Chance that it is seen with nothing there.
    pub leak: Option<f64>,
}

/// Something the mechanic does and sees.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CheckTwin {
    /// Title without the site.
    pub title: String,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// What it separates, in one sentence.
    pub purpose: String,
    /// Whether it shows only what is failing now (awake) or what is there, asleep or not (present).
    pub sees: SeesTwin,
    /// Minutes without access.
    #[schemars(range(min = 0, max = 10_000))]
    pub minutes: f64,
    /// States that must be open or closed.
    #[serde(default)]
    pub access: ReachTwin,
    /// What the engine does meanwhile; it is at rest where left out.
    #[serde(default)]
    pub engine: EngineTwin,
    /// Where the engine is stopped at its end, though it would go on.
    pub leaves: Option<LeavesTwin>,
    /// Of its minutes, those in which nobody stands beside it.
    #[serde(default)]
    #[schemars(range(min = 0, max = 10_000))]
    pub waiting: f64,
    /// Parts and things touched that bring hazards, by the names of hazards' of-parts.
    #[serde(default)]
    pub touches: Vec<String>,
    /// Access states and corrections after which what it looks at is gone for good.
    #[serde(default)]
    pub gone_after: Vec<String>,
    /// Access states while which are open there is nothing to look at.
    #[serde(default)]
    pub gone_while: Vec<String>,
    /// Facts without which it makes no sense.
    #[serde(default)]
    pub needs: Vec<NeedTwin>,
    /// Checks that the same look answers; one that names itself answers all its sites by one look.
    #[serde(default)]
    pub same_look_as: Vec<String>,
    /// Tools, each in a few words.
    #[serde(default)]
    pub tools: Vec<String>,
    /// Hazards whose cautions come first.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// What to do, one step each.
    #[schemars(length(min = 1))]
    pub steps: Vec<String>,
    /// What is seen when all is well, with value and unit.
    pub expected: String,
    /// Common mistakes, a sentence each.
    #[serde(default)]
    pub mistakes: Vec<String>,
    /// Checks of the same cylinders, coils or sides that are answered beside it where all are answered at once, in this order before it.
    #[serde(default)]
    pub beside: Vec<String>,
    /// Where method and figures come from.
    #[schemars(required)]
    pub source: Option<Cite>,
    /// The reading it takes, where it takes one.
    pub reading: Option<ReadingTwin>,
    /// The swap that it is, where it is one.
    pub swap: Option<SwapTwin>,
    /// Title of the normal outcome.
    pub normal: String,
    /// Abnormal outcomes by name, tried in this order: the first that is true is what is there to see.
    #[serde(default)]
    pub outcomes: Ordered<OutcomeTwin>,
}

impl CheckTwin {
    /// All that it shows, each with the name of the outcome.
    pub(super) fn shown(&self) -> impl Iterator<Item = (&str, &ShowTwin)> {
        let outcomes = self.outcomes.0.iter().flat_map(|(name, o)| o.shows.iter().map(|show| (name.as_str(), show)));
        outcomes.chain(self.swap.iter().flat_map(|swap| swap.misses.iter().map(|show| ("swap", show))))
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub(super) enum KindTwin {
    Clean,
    Adjust,
    Replace,
    Overhaul,
    Exchange,
    HandOver,
}

/// What puts causes right.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct CorrectionTwin {
    /// Title without the site.
    pub title: String,
    pub kind: KindTwin,
    /// Its kind of site; it is expanded over the sites of a layout.
    pub at: SiteKind,
    /// Keeps it to sites with at least one of these tags; all sites where left out.
    #[serde(default)]
    pub only: Vec<String>,
    /// Causes that it puts right.
    #[schemars(length(min = 1))]
    pub cures: Vec<String>,
    /// The chance that it does not cure.
    #[serde(default)]
    #[schemars(range(min = 0, max = 0.99))]
    pub fails: f64,
    /// Minutes without access.
    #[schemars(range(min = 0, max = 10_000))]
    pub minutes: f64,
    /// Money of parts; 0 where none. The shop file has the shop's own.
    #[schemars(range(min = 0, max = 1_000_000))]
    pub cost: f64,
    /// States that must be open.
    #[serde(default)]
    pub access: OpenTwin,
    /// What the engine does meanwhile; it is at rest where left out.
    #[serde(default)]
    pub engine: EngineTwin,
    /// Where the engine is stopped at its end, though it would go on.
    pub leaves: Option<LeavesTwin>,
    /// Of its minutes, those in which nobody stands beside it.
    #[serde(default)]
    #[schemars(range(min = 0, max = 10_000))]
    pub waiting: f64,
    /// Parts and things touched that bring hazards, by the names of hazards' of-parts.
    #[serde(default)]
    pub touches: Vec<String>,
    /// Checks that have to be made, and be normal, after it and before the job can end.
    #[serde(default)]
    pub owes: Vec<String>,
    /// Checks that have to be made, and be normal, after it and before the engine is started.
    #[serde(default)]
    pub owes_before_run: Vec<String>,
    /// What to do, one step each.
    #[serde(default)]
    pub steps: Vec<String>,
    /// Parts and consumables, each in a few words.
    #[serde(default)]
    pub parts: Vec<String>,
    /// How the cure is proven, beside the proof run.
    pub proof: Option<String>,
    /// Causes that the work itself can bring.
    #[serde(default)]
    pub disturbs: Vec<String>,
    /// Hazards whose cautions come first.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// Where method and figures come from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

/// A way to change the conditions on purpose.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct ProvocationTwin {
    /// Title for people.
    pub title: String,
    /// The levels it brings, by condition.
    pub sets: Ordered<String>,
    /// Minutes without access.
    #[schemars(range(min = 0, max = 10_000))]
    pub minutes: f64,
    /// Hazards whose cautions come first.
    #[serde(default)]
    pub hazards: Vec<String>,
    /// States that must be open.
    #[serde(default)]
    pub access: OpenTwin,
    /// What the engine does meanwhile; it is at rest where left out.
    #[serde(default)]
    pub engine: EngineTwin,
    /// Where the engine is stopped at its end, though it would go on.
    pub leaves: Option<LeavesTwin>,
    /// Of its minutes, those in which nobody stands beside it.
    #[serde(default)]
    #[schemars(range(min = 0, max = 10_000))]
    pub waiting: f64,
    /// Parts and things touched that bring hazards, by the names of hazards' of-parts.
    #[serde(default)]
    pub touches: Vec<String>,
    /// What to do, one step each.
    #[serde(default)]
    pub steps: Vec<String>,
    /// Where the method comes from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

/// The cause that stands for all that the tree does not list.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct UnknownTwin {
    /// Title for people.
    pub title: String,
    /// Its rate in 1,000 engine hours, of the engine at large.
    #[schemars(range(min = 0, max = 1000))]
    pub rate: f64,
    /// The rate of something of one side that the tree does not list; none where left out.
    #[schemars(range(min = 0, max = 1000))]
    pub side: Option<f64>,
    /// The same of one cylinder.
    #[schemars(range(min = 0, max = 1000))]
    pub cylinder: Option<f64>,
    /// The same of what is outside the ignition.
    #[schemars(range(min = 0, max = 1000))]
    pub not_ignition: Option<f64>,
    /// Where the rates come from.
    #[schemars(required)]
    pub source: Option<Cite>,
}

/// An exception from a warning.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub(super) struct AllowTwin {
    /// The code of the warning.
    #[schemars(schema_with = "super::schema::warning_codes")]
    pub warning: String,
    /// What it is about: a name, or all the names.
    pub of: Names,
    /// Why the tree is right as it is, in a sentence.
    pub because: String,
}
