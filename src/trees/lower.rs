//! From twins to the model's words, one declaration at a time and without regard to sites.
//!
//! Names that lead nowhere are left out here; the rules have refused them before.

use super::declared::{Decl, Declared};
use super::shapes::{Cite, Ordered};
use super::twin::{CauseTwin, KindTwin, LifeTwin, SeesTwin, SideTwin, StandsTwin, UnknownTwin, WarnsTwin};
use super::wakes::{Named, WakesTwin};
use super::work_twin::{EngineTwin, LeavesTwin, ModeTwin};
use crate::model::{
    Cause, Cited, Condition, Conditions, CorrectionKind, Hazard, HazardId, Life, Manner, Mode, ModeFacts, Sees, Side,
    Site, Source, SourceId, Standing, Trigger, UNLISTED, Waking, Warning,
};

/// Sources that need no declaration, with their words.
const BUILT_IN: [(&str, &str); 2] =
    [("common", "common practice, no published source"), ("placeholder", "our own guess, not a published figure")];

/// Names of the sources that need no declaration.
pub(super) const MARKS: [&str; 2] = ["common", "placeholder"];

/// The sources of a tree, those that need no declaration first.
pub(super) fn sources(declared: &Declared) -> Vec<Source> {
    let built_in = BUILT_IN.iter().map(|(name, document)| Source {
        name: (*name).to_string(),
        document: (*document).to_string(),
        edition: String::new(),
        read: false,
    });
    let own = declared.sources.items.iter().map(|s| Source {
        name: s.name.clone(),
        document: s.twin.document.clone(),
        edition: s.twin.edition.clone(),
        read: s.twin.read,
    });
    built_in.chain(own).collect()
}

/// A source with its place; `placeholder` where none is given.
pub(super) fn cited(declared: &Declared, cite: Option<&Cite>) -> Cited {
    let name = cite.map_or("placeholder", |c| c.name.as_str());
    let built_in = MARKS.iter().position(|mark| *mark == name);
    let source = built_in.or_else(|| declared.sources.position(name).map(|i| i + MARKS.len())).unwrap_or(1);
    Cited { source: SourceId(source), place: cite.map_or_else(String::new, |c| c.place.clone()) }
}

/// The conditions of a tree.
pub(super) fn conditions(declared: &Declared) -> Vec<Condition> {
    let minutes = |c: &Decl<super::twin::ConditionTwin>, of: &Ordered<f64>| {
        c.twin.levels.iter().map(|level| of.get(level).copied()).collect::<Vec<_>>()
    };
    let lower = |c: &Decl<super::twin::ConditionTwin>| Condition {
        name: c.name.clone(),
        title: c.twin.title.clone(),
        levels: c.twin.levels.clone(),
        rises_running: minutes(c, &c.twin.rises_running),
        falls_at_rest: minutes(c, &c.twin.falls_at_rest),
        falls_running: minutes(c, &c.twin.falls_running),
    };
    declared.conditions.items.iter().map(lower).collect()
}

/// A condition and a level of it, by their names.
pub(super) fn level(declared: &Declared, condition: &str, level: &str) -> Option<(usize, usize)> {
    let at = declared.conditions.position(condition)?;
    let levels = &declared.conditions.items.get(at)?.twin.levels;
    Some((at, levels.iter().position(|l| l == level)?))
}

/// Levels by name, the other conditions at rest.
pub(super) fn levels(declared: &Declared, named: &Ordered<String>) -> Conditions {
    let mut found = Conditions(vec![0; declared.conditions.items.len()]);
    for (condition, name) in &named.0 {
        if let Some((at, to)) = level(declared, condition, name) {
            found.0[at] = to;
        }
    }
    found
}

/// Levels by name as indexes.
pub(super) fn level_ids(declared: &Declared, named: &Ordered<String>) -> Vec<(usize, usize)> {
    named.0.iter().filter_map(|(condition, name)| level(declared, condition, name)).collect()
}

/// What is said of a mode, without what must be open in it.
pub(super) fn mode(declared: &Declared, mode: Mode, twin: &ModeTwin) -> ModeFacts {
    ModeFacts {
        title: twin.title.trim().to_owned(),
        from: twin.from.map_or_else(|| reached_from(mode), Into::into),
        there: twin.there,
        back: twin.back,
        open: Vec::new(),
        hazards: hazard_ids(declared, &twin.hazards),
        sets: level_ids(declared, &twin.sets),
        leaves: level_ids(declared, &twin.leaves),
        formerly: twin.formerly.clone(),
    }
}

/// The mode that another is reached from where the tree does not say it.
pub(super) fn reached_from(mode: Mode) -> Mode {
    match mode {
        Mode::RunAtPower | Mode::Flown => Mode::Run,
        _ => Mode::AtRest,
    }
}

/// How an action is done.
pub(super) fn manner(engine: EngineTwin, leaves: Option<LeavesTwin>, waiting: f64, touches: &[String]) -> Manner {
    Manner { engine: engine.into(), stops: leaves == Some(LeavesTwin::AtRest), waiting, touches: texts(touches) }
}

/// The hazards of a tree.
pub(super) fn hazards(declared: &Declared) -> Vec<Hazard> {
    let lower = |h: &Decl<super::twin::HazardTwin>| Hazard {
        name: h.name.clone(),
        title: h.twin.title.clone(),
        caution: h.twin.caution.trim().to_string(),
        standing: match h.twin.stands {
            StandsTwin::OncePerAccess => Standing::OncePerAccess,
            StandsTwin::UntilGrounded => Standing::UntilGrounded,
        },
        of_parts: texts(&h.twin.of_parts),
        after_run: h.twin.after_run,
    };
    declared.hazards.items.iter().map(lower).collect()
}

/// Hazards by name.
pub(super) fn hazard_ids(declared: &Declared, names: &[String]) -> Vec<HazardId> {
    names.iter().filter_map(|name| declared.hazards.position(name)).map(HazardId).collect()
}

/// A cause at one site.
pub(super) fn cause(declared: &Declared, decl: &Decl<CauseTwin>, site: Site) -> Cause {
    let twin = &decl.twin;
    Cause {
        name: decl.name.clone(),
        site,
        title: twin.title.clone(),
        part: twin.part.clone(),
        rate: twin.rate,
        rate_source: cited(declared, twin.rate_source.as_ref()),
        life: twin.life.as_ref().map(|life| lower_life(declared, life)),
        waking: twin.wakes.as_ref().map_or_else(Waking::always, |wakes| waking(declared, wakes)),
        not_ignition: twin.not_ignition,
        told_by: twin.told_by.clone(),
        hurts: twin.hurts.as_ref().map(|words| words.trim().to_string()),
        how: twin.how.trim().to_string(),
    }
}

/// The cause that stands for everything the tree does not list.
pub(super) fn unknown(declared: &Declared, decl: &Decl<UnknownTwin>) -> Cause {
    Cause {
        name: UNLISTED.to_string(),
        site: Site::Engine,
        title: decl.twin.title.clone(),
        part: "unknown".to_string(),
        rate: decl.twin.rate,
        rate_source: cited(declared, decl.twin.source.as_ref()),
        life: None,
        waking: Waking::of(of_luck(0.6).into_iter().chain(of_moments(0.2)).chain([(Trigger::Steady, 0.2)])),
        not_ignition: false,
        told_by: None,
        hurts: None,
        how: "Nothing this tree lists. It leads where the answers fit none of the causes that are listed.".to_string(),
    }
}

fn lower_life(declared: &Declared, life: &LifeTwin) -> Life {
    Life { hours: life.hours, years: life.years, shape: life.shape, source: cited(declared, life.source.as_ref()) }
}

fn waking(declared: &Declared, wakes: &WakesTwin) -> Waking {
    let of = |(named, weight): (Named<'_>, f64)| match named {
        Named::Steady => vec![(Trigger::Steady, weight)],
        Named::AtTimes => of_luck(weight),
        Named::Moments => of_moments(weight),
        Named::Level(condition, level) => {
            let levels = levels_of_trigger(declared, condition, level);
            levels.map(|(condition, levels)| (Trigger::Level { condition, levels }, weight)).into_iter().collect()
        }
    };
    Waking::of(wakes.weights().into_iter().flat_map(of))
}

/// The levels at which a trigger of this one holds: where running brings the levels one after the other, those beyond it are passed
/// only with it, so what wakes warm is awake hot; the resting level stands for itself.
fn levels_of_trigger(declared: &Declared, condition: &str, name: &str) -> Option<(usize, Vec<usize>)> {
    let (at, from) = level(declared, condition, name)?;
    let twin = &declared.conditions.items.get(at)?.twin;
    let rises = !twin.rises_running.0.is_empty();
    let to = if rises && from > 0 { twin.levels.len() } else { from + 1 };
    Some((at, (from..to).collect()))
}

/// Where it wakes at times, how often is not known: each chance as likely.
fn of_luck(weight: f64) -> Vec<(Trigger, f64)> {
    let share = weight / Trigger::CHANCES.len() as f64;
    Trigger::CHANCES.iter().map(|chance| (Trigger::AtTimes(*chance), share)).collect()
}

/// The same where it shows for moments.
fn of_moments(weight: f64) -> Vec<(Trigger, f64)> {
    let share = weight / Trigger::CHANCES_OF_A_MINUTE.len() as f64;
    Trigger::CHANCES_OF_A_MINUTE.iter().map(|chance| (Trigger::Moments(*chance), share)).collect()
}

/// Texts without the line ends that YAML leaves at them.
pub(super) fn texts(list: &[String]) -> Vec<String> {
    list.iter().map(|text| text.trim().to_string()).collect()
}

impl From<SeesTwin> for Sees {
    fn from(twin: SeesTwin) -> Self {
        match twin {
            SeesTwin::Awake => Self::Awake,
            SeesTwin::Present => Self::Present,
        }
    }
}

impl From<SideTwin> for Side {
    fn from(twin: SideTwin) -> Self {
        match twin {
            SideTwin::Left => Self::Left,
            SideTwin::Right => Self::Right,
        }
    }
}

impl From<WarnsTwin> for Warning {
    fn from(twin: WarnsTwin) -> Self {
        match twin {
            WarnsTwin::SideLive => Self::SideLive,
            WarnsTwin::OtherSideLive => Self::OtherSideLive,
            WarnsTwin::SideGrounded => Self::SideGrounded,
            WarnsTwin::SideSilent => Self::SideSilent,
        }
    }
}

impl From<KindTwin> for CorrectionKind {
    fn from(twin: KindTwin) -> Self {
        match twin {
            KindTwin::Clean => Self::Clean,
            KindTwin::Adjust => Self::Adjust,
            KindTwin::Replace => Self::Replace,
            KindTwin::Overhaul => Self::Overhaul,
            KindTwin::Exchange => Self::Exchange,
            KindTwin::HandOver => Self::HandOver,
        }
    }
}
