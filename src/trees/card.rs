//! What one cause, check or correction says, put together for the one who is to do it or to learn it: names are turned into
//! words, limits into sentences, sources into documents with the mark of what has none.
//!
//! Speaks of declarations, by kind of site. Must not know a layout.

use serde::Serialize;

use super::declared::{Decl, Declared};
use super::lower;
use super::recent_work_twin::{BroughtTwin, RecentWorkTwin};
use super::shapes::{Cite, Figure};
use super::twin::{BasisTwin, CauseTwin, CheckTwin, CorrectionTwin, KindTwin, LimitTwin, SeesTwin, ShowTwin, SwapTwin};
use super::wakes::{Named, WakesTwin};
use super::work::Work;
use super::work_twin::EngineTwin;
use crate::model::{CorrectionKind, Mode, Source};

/// The card of one declaration.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(untagged)]
pub enum Card {
    /// Of a check.
    Check(Box<CheckCard>),
    /// Of a cause.
    Cause(Box<CauseCard>),
    /// Of a correction.
    Correction(Box<CorrectionCard>),
    /// Of a kind of work done before a job.
    RecentWork(Box<RecentWorkCard>),
}

/// A figure's or a method's source, with how much it is worth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Sourced {
    /// Document, edition and place, or that there is none.
    pub words: String,
    /// `read`, `remembered`, `common` (common practice) or `placeholder`.
    pub mark: &'static str,
}

/// A check, as an apprentice can follow it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CheckCard {
    /// Title.
    pub title: String,
    /// At which kind of site, and only where.
    pub place: String,
    /// What it separates.
    pub purpose: String,
    /// Whether it shows what is failing now, or what is there.
    pub sees: &'static str,
    /// Minutes, without access.
    pub minutes: f64,
    /// What the engine does meanwhile; none where it is at rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub engine: Option<String>,
    /// Tools; none where none are needed.
    pub tools: Vec<String>,
    /// What must be open, with what that needs.
    pub open: Vec<String>,
    /// What must be closed.
    pub closed: Vec<String>,
    /// Cautions in full.
    pub cautions: Vec<String>,
    /// What to do.
    pub steps: Vec<String>,
    /// What is expected when all is well.
    pub expected: String,
    /// The limit that a reading is judged by.
    pub limit: Option<LimitCard>,
    /// Title of the normal outcome.
    pub normal: String,
    /// The other outcomes.
    pub outcomes: Vec<OutcomeCard>,
    /// Common mistakes.
    pub mistakes: Vec<String>,
    /// Where the method comes from.
    pub source: Sourced,
}

/// An outcome and what it means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct OutcomeCard {
    /// Its name.
    pub name: String,
    /// Its title.
    pub title: String,
    /// What it shows, the surest first.
    pub shows: Vec<String>,
    /// Whether it proves what it shows.
    pub proves: bool,
    /// Whether it leaves no doubt that something it shows is there.
    pub certain: bool,
}

/// A limit in words.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct LimitCard {
    /// What is limited.
    pub title: String,
    /// The unit of a bare number.
    pub unit: String,
    /// Each band, from low to high: its edge and the outcome.
    pub bands: Vec<String>,
    /// How the reading is brought to like before it is judged; empty where it is taken as it is.
    pub correction: String,
    /// Where the figures come from.
    pub source: Sourced,
}

/// A cause: how it fails and how it looks, how often, and what is done about it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CauseCard {
    /// Title.
    pub title: String,
    /// At which kind of site, and only where.
    pub place: String,
    /// The part it is of.
    pub part: String,
    /// How it fails and how it looks.
    pub how: String,
    /// Failures per 1,000 engine hours at each site.
    pub rate: f64,
    /// Where that comes from.
    pub rate_source: Sourced,
    /// Life of the part in hours and years, where it wears.
    pub life: Option<String>,
    /// Where that comes from.
    pub life_source: Option<Sourced>,
    /// When it is awake.
    pub wakes: Vec<String>,
    /// Where that comes from.
    pub wakes_source: Vec<Sourced>,
    /// Of a look-alike: the check that tells it from ignition.
    pub told_by: Option<String>,
    /// What it can do to somebody while it is not found.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hurts: Option<String>,
    /// Complaints that it can bring.
    pub brings: Vec<String>,
    /// Kinds of work before a job that can bring it, each with its chance.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub brought_by: Vec<String>,
    /// Checks that see it.
    pub seen_by: Vec<String>,
    /// How it is put right.
    pub corrections: Vec<String>,
}

/// A correction.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CorrectionCard {
    /// Title.
    pub title: String,
    /// At which kind of site, and only where.
    pub place: String,
    /// Clean, adjust, replace, overhaul, exchange or hand over.
    pub kind: &'static str,
    /// What it puts right.
    pub cures: Vec<String>,
    /// Chance that it does not cure.
    pub fails: f64,
    /// Minutes, without access.
    pub minutes: f64,
    /// Money of parts.
    pub cost: f64,
    /// What the engine does meanwhile; none where it is at rest.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub engine: Option<String>,
    /// Parts and materials.
    pub parts: Vec<String>,
    /// What must be open.
    pub open: Vec<String>,
    /// Cautions in full.
    pub cautions: Vec<String>,
    /// What to do.
    pub steps: Vec<String>,
    /// How the cure is proven.
    pub proof: String,
    /// What the work can bring.
    pub disturbs: Vec<String>,
    /// Where it comes from.
    pub source: Sourced,
}

/// A kind of work done before a job.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RecentWorkCard {
    /// Title.
    pub title: String,
    /// At which kind of site, and only where.
    pub place: String,
    /// What the work itself can bring, the likeliest first, each with its chance and how much that is worth.
    pub brings: Vec<String>,
    /// Parts that are new after it.
    pub renews: Vec<String>,
    /// What parts fitted new can have from the start, as `brings`.
    pub infant: Vec<String>,
    /// Where the choice of causes and the size of all their chances together come from.
    pub source: Sourced,
}

/// Makes cards of one tree.
pub(super) struct Cards<'a> {
    declared: &'a Declared,
    sources: Vec<Source>,
}

impl<'a> Cards<'a> {
    pub(super) fn of(declared: &'a Declared) -> Self {
        Self { declared, sources: lower::sources(declared) }
    }

    /// A source in words, with its mark.
    pub(super) fn sourced(&self, cite: Option<&Cite>) -> Sourced {
        let cited = lower::cited(self.declared, cite);
        let source = &self.sources[cited.source.0];
        Sourced { words: source.words(&cited.place), mark: source.mark() }
    }

    pub(super) fn check(&self, decl: &Decl<CheckTwin>) -> CheckCard {
        let twin = &decl.twin;
        let limit = twin.reading.as_ref().and_then(|r| self.declared.limits.get(&r.limit)).map(|l| &l.twin);
        let outcomes = twin.outcomes.0.iter().map(|(name, outcome)| OutcomeCard {
            name: name.clone(),
            title: outcome.title.trim().to_owned(),
            shows: self.shows(&outcome.shows),
            proves: outcome.proves,
            certain: outcome.sight.is_some(),
        });
        let swap = twin.swap.iter().flat_map(|swap| self.swap_outcomes(swap));
        CheckCard {
            title: twin.title.clone(),
            place: place(twin.at, &twin.only, twin.swap.is_some()),
            purpose: twin.purpose.trim().to_owned(),
            sees: match twin.sees {
                SeesTwin::Awake => "only what is failing now; a pass while the fault sleeps says little",
                SeesTwin::Present => "what is there, failing now or not",
            },
            minutes: twin.minutes,
            engine: self.engine(twin.engine),
            tools: lower::texts(&twin.tools),
            open: self.open(&twin.into()),
            closed: self.access(&twin.access.closed),
            cautions: self.cautions(&twin.into()),
            steps: general(&lower::texts(&twin.steps)),
            expected: general(&[twin.expected.trim().to_owned()]).concat(),
            limit: limit.map(|limit| self.limit(limit, twin)),
            normal: twin.normal.trim().to_owned(),
            outcomes: outcomes.chain(swap).collect(),
            mistakes: lower::texts(&twin.mistakes),
            source: self.sourced(twin.source.as_ref()),
        }
    }

    /// What a swap tells: what went along, what stayed, and both.
    fn swap_outcomes(&self, swap: &SwapTwin) -> [OutcomeCard; 3] {
        let line = |name: &str, place: &str, shows: Vec<String>| OutcomeCard {
            name: name.to_owned(),
            title: format!("{} {place}", swap.seen.trim()),
            shows,
            proves: false,
            certain: false,
        };
        let (mut goes, mut stays) = (Vec::new(), Vec::new());
        for show in sorted(&swap.misses) {
            let words = self.show(show);
            let name = show.cause.as_ref().or(show.effect.as_ref()).map_or("", String::as_str);
            let parts = self.parts_in(name);
            let moves = |part: &&str| swap.parts.iter().any(|moved| moved == part);
            match (parts.iter().any(moves), parts.iter().all(moves)) {
                (true, true) => goes.push(words),
                (true, false) => {
                    let of = swap.parts.join(" or ").replace('-', " ");
                    goes.push(format!("{words}, for what sits in the {of}"));
                    stays.push(format!("{words}, for all else"));
                }
                (false, _) => stays.push(words),
            }
        }
        [
            line("went-along", "where it was not before: it went along", goes),
            line("stayed", "where it was before: it stayed", stays),
            line("at-both", "at both places", vec!["one fault of each, or what both places share".to_owned()]),
        ]
    }

    /// The parts that a cause or an effect can sit in.
    fn parts_in(&self, name: &str) -> Vec<&str> {
        let (mut waiting, mut seen, mut parts) = (vec![name], Vec::new(), Vec::new());
        while let Some(name) = waiting.pop() {
            if seen.contains(&name) {
                continue;
            }
            seen.push(name);
            if let Some(cause) = self.declared.causes.get(name) {
                parts.push(cause.twin.part.as_str());
            }
            if let Some(effect) = self.declared.effects.get(name) {
                waiting.extend(effect.twin.gate().1.iter().map(String::as_str));
            }
        }
        parts
    }

    fn limit(&self, limit: &LimitTwin, check: &CheckTwin) -> LimitCard {
        let unit = limit.unit.clone().unwrap_or_default();
        let title_of = |name: &String| match name.as_str() {
            "normal" => check.normal.trim().to_owned(),
            other => check.outcomes.get(other).map_or_else(|| other.to_owned(), |o| o.title.trim().to_owned()),
        };
        let is = |names: &[String]| names.iter().map(title_of).collect::<Vec<_>>().join(", or ");
        let ratio = limit.basis == Some(BasisTwin::RatioToPeers);
        let figure = |figure: &Figure| match figure {
            Figure::Bare(number) if ratio => format!("{} % of the others", number * 100.0),
            Figure::Bare(number) => format!("{number} {unit}"),
            Figure::Text(text) => text.clone(),
        };
        let mut bands: Vec<String> = limit
            .bands
            .iter()
            .flatten()
            .map(|band| {
                let edge = match (&band.below, &band.up_to) {
                    (Some(edge), _) => format!("below {}", figure(edge)),
                    (None, Some(edge)) => format!("up to {}", figure(edge)),
                    (None, None) => "above".to_owned(),
                };
                format!("{edge}: {}", is(&band.is.0))
            })
            .collect();
        bands.extend(limit.open.iter().map(|open| format!("reads open: {}", is(&open.0))));
        let mut corrections: Vec<String> = match limit.basis.unwrap_or(BasisTwin::Absolute) {
            BasisTwin::Absolute => Vec::new(),
            BasisTwin::PerFoot => vec!["divided by the length of the lead in feet".to_owned()],
            BasisTwin::RatioToPeers => vec!["compared with the median of the like readings of this job".to_owned()],
            BasisTwin::DifferenceToOtherSide => vec!["less the reading of the other side".to_owned()],
            BasisTwin::ChangeFromBefore => vec!["less the reading before".to_owned()],
        };
        corrections.extend(
            limit.at_temperature.iter().map(|at| {
                format!("brought to {}, as copper rises with heat, where the temperature is given", figure(at))
            }),
        );
        LimitCard {
            title: limit.title.clone().unwrap_or_default(),
            unit,
            bands,
            correction: corrections.join("; "),
            source: self.sourced(limit.source.as_ref()),
        }
    }

    pub(super) fn cause(&self, decl: &Decl<CauseTwin>, seen_by: Vec<String>) -> CauseCard {
        let twin = &decl.twin;
        let life = twin.life.as_ref().map(|life| {
            let hours = life.hours.map(|hours| format!("{hours} h"));
            let years = life.years.map(|years| format!("{years} years"));
            let span: Vec<String> = hours.into_iter().chain(years).collect();
            format!("{} (shape {})", span.join(" or "), life.shape)
        });
        let wakes = match &twin.wakes {
            None => vec!["always awake: it shows whenever it is looked for".to_owned()],
            Some(wakes) => {
                let weights = wakes.weights();
                let whole: f64 = weights.iter().map(|(_, weight)| weight).sum();
                let words = weights.into_iter().map(|(named, weight)| {
                    let of = percent(weight / whole);
                    match named {
                        Named::Steady => format!("{of} steady"),
                        Named::Level(condition, level) => format!("{of} woken by {condition} {level}"),
                        Named::AtTimes => format!("{of} at times, by luck"),
                        Named::Moments => format!("{of} for moments"),
                    }
                });
                words.collect()
            }
        };
        let named = |c: &&Decl<CorrectionTwin>| c.twin.cures.contains(&decl.name);
        let corrections = self.declared.corrections.items.iter().filter(named).map(|c| {
            let proof =
                c.twin.proof.as_deref().map_or_else(String::new, |proof| format!(" Proven by: {}", proof.trim()));
            format!("{} ({}), {} min, parts {}.{proof}", c.twin.title, kind(c.twin.kind), c.twin.minutes, c.twin.cost)
        });
        let effects = self.effects_with(&decl.name);
        let brings = self.declared.complaints.items.iter().filter_map(|complaint| {
            let own = complaint.twin.shows.iter().find(|s| s.cause.as_ref() == Some(&decl.name));
            let through =
                complaint.twin.shows.iter().filter(|s| s.effect.as_ref().is_some_and(|e| effects.contains(e)));
            let best = || through.map(|s| s.chance).reduce(f64::max);
            let chance = own.map(|s| s.chance).or_else(best).filter(|chance| *chance > 0.0)?;
            Some(format!("{} ({})", complaint.twin.title, percent(chance)))
        });
        let works = self.declared.recent_work.items.iter().flat_map(|kind| {
            kind.twin
                .all()
                .filter(|(_, _, brought)| brought.cause == decl.name)
                .map(|(_, infant, brought)| {
                    let new = if infant { ", as a new part" } else { "" };
                    format!("{} ({} in 1,000{new})", kind.twin.title, per_thousand(brought.chance))
                })
                .collect::<Vec<_>>()
        });
        CauseCard {
            title: twin.title.clone(),
            place: place(twin.at, &twin.only, false),
            part: twin.part.replace('-', " "),
            how: twin.how.trim().to_owned(),
            rate: twin.rate,
            rate_source: self.sourced(twin.rate_source.as_ref()),
            life,
            life_source: twin.life.as_ref().map(|life| self.sourced(life.source.as_ref())),
            wakes,
            wakes_source: twin.wakes.iter().flat_map(WakesTwin::sources).map(|cite| self.sourced(Some(cite))).collect(),
            told_by: twin.told_by.as_ref().map(|name| self.title_of_check(name)),
            hurts: twin.hurts.clone(),
            brings: brings.collect(),
            brought_by: works.collect(),
            seen_by,
            corrections: corrections.collect(),
        }
    }

    pub(super) fn correction(&self, decl: &Decl<CorrectionTwin>) -> CorrectionCard {
        let twin = &decl.twin;
        let causes = |names: &[String]| names.iter().map(|name| self.title_of_cause(name)).collect();
        CorrectionCard {
            title: twin.title.clone(),
            place: place(twin.at, &twin.only, false),
            kind: kind(twin.kind),
            cures: causes(&twin.cures),
            fails: twin.fails,
            minutes: twin.minutes,
            cost: twin.cost,
            engine: self.engine(twin.engine),
            parts: lower::texts(&twin.parts),
            open: self.open(&twin.into()),
            cautions: self.cautions(&twin.into()),
            steps: lower::texts(&twin.steps),
            proof: twin.proof.as_deref().unwrap_or("").trim().to_owned(),
            disturbs: causes(&twin.disturbs),
            source: self.sourced(twin.source.as_ref()),
        }
    }

    pub(super) fn recent_work(&self, decl: &Decl<RecentWorkTwin>) -> RecentWorkCard {
        let twin = &decl.twin;
        let brought = |list: &[BroughtTwin]| {
            let mut sorted: Vec<&BroughtTwin> = list.iter().collect();
            sorted.sort_by(|a, b| b.chance.total_cmp(&a.chance));
            let line = |one: &BroughtTwin| {
                let mark = self.sourced(one.source.as_ref()).mark;
                format!("{} ({} in 1,000; {mark})", self.title_of_cause(&one.cause), per_thousand(one.chance))
            };
            sorted.into_iter().map(line).collect()
        };
        RecentWorkCard {
            title: twin.title.clone(),
            place: place(twin.at, &twin.only, false),
            brings: brought(&twin.brings),
            renews: twin.renews.iter().map(|part| part.replace('-', " ")).collect(),
            infant: brought(&twin.infant),
            source: self.sourced(twin.source.as_ref()),
        }
    }

    /// The effects that a cause is part of, by whatever way.
    fn effects_with(&self, cause: &str) -> Vec<String> {
        let mut found: Vec<String> = vec![cause.to_owned()];
        let mut at = 0;
        while let Some(name) = found.get(at).cloned() {
            let of = self.declared.effects.items.iter().filter(|e| e.twin.gate().1.contains(&name));
            let more: Vec<String> = of.map(|e| e.name.clone()).filter(|e| !found.contains(e)).collect();
            found.extend(more);
            at += 1;
        }
        found
    }

    fn shows(&self, shows: &[ShowTwin]) -> Vec<String> {
        sorted(shows).into_iter().filter(|show| show.chance > 0.0).map(|show| self.show(show)).collect()
    }

    fn show(&self, show: &ShowTwin) -> String {
        let title = match (&show.cause, &show.effect) {
            (Some(cause), _) => self.title_of_cause(cause),
            (None, Some(effect)) => {
                self.declared.effects.get(effect).map_or_else(|| effect.clone(), |e| e.twin.title.clone())
            }
            (None, None) => String::new(),
        };
        format!("{title} ({})", percent(show.chance))
    }

    fn title_of_cause(&self, name: &str) -> String {
        self.declared.causes.get(name).map_or_else(|| name.to_owned(), |c| c.twin.title.clone())
    }

    fn title_of_check(&self, name: &str) -> String {
        self.declared.checks.get(name).map_or_else(|| name.to_owned(), |c| format!("{} ({name})", c.twin.title))
    }

    /// Access states in words, each after what it needs.
    fn access(&self, names: &[String]) -> Vec<String> {
        let mut found: Vec<String> = Vec::new();
        let mut waiting: Vec<(&str, bool)> = names.iter().rev().map(|name| (name.as_str(), false)).collect();
        let mut seen: Vec<&str> = Vec::new();
        while let Some((name, needed)) = waiting.pop() {
            let Some(state) = self.declared.access.get(name) else { continue };
            if needed {
                if !found.contains(&state.twin.title) {
                    found.push(state.twin.title.clone());
                }
            } else if !seen.contains(&name) {
                seen.push(name);
                waiting.push((name, true));
                waiting.extend(state.twin.needs.iter().map(|need| (need.as_str(), false)));
            }
        }
        found
    }

    /// What work needs open, that of its mode of the engine included.
    fn open(&self, work: &Work<'_>) -> Vec<String> {
        let mode = self.declared.modes.get(work.engine.name());
        let names: Vec<String> = mode.iter().flat_map(|mode| &mode.twin.open).chain(work.open).cloned().collect();
        self.access(&names)
    }

    /// The title of a mode of the engine, where it is not at rest.
    fn engine(&self, mode: EngineTwin) -> Option<String> {
        let mode = Mode::from(mode);
        let title =
            || self.declared.modes.get(mode.name()).map_or(mode.name(), |decl| decl.twin.title.trim()).to_owned();
        mode.turns().then(title)
    }

    /// The cautions of work: those it names, in its order, then those that its mode, access and parts bring.
    fn cautions(&self, work: &Work<'_>) -> Vec<String> {
        let own = work.hazards.iter().map(String::as_str);
        let brought = work.brings(self.declared);
        let others = brought.into_iter().filter(|name| !work.hazards.iter().any(|own| own == name));
        let hazards = own.chain(others).filter_map(|name| self.declared.hazards.get(name));
        hazards.map(|h| format!("{}. {}", h.twin.title, h.twin.caution.trim())).collect()
    }
}

fn sorted(shows: &[ShowTwin]) -> Vec<&ShowTwin> {
    let mut sorted: Vec<&ShowTwin> = shows.iter().collect();
    sorted.sort_by(|a, b| b.chance.total_cmp(&a.chance));
    sorted
}

/// Texts of a swap without a pair of sites.
fn general(texts: &[String]) -> Vec<String> {
    texts
        .iter()
        .map(|text| text.replace("{first}", "the first place").replace("{second}", "the second place"))
        .collect()
}

fn percent(chance: f64) -> String {
    format!("{:.0} %", chance * 100.0)
}

/// A chance as so many in a thousand, without the noise of floating point.
fn per_thousand(chance: f64) -> f64 {
    (chance * 1e6).round() / 1e3
}

fn kind(twin: KindTwin) -> &'static str {
    CorrectionKind::from(twin).words()
}

/// "each plug; only magneto", "any two plugs".
fn place(at: crate::model::SiteKind, only: &[String], pair: bool) -> String {
    use crate::model::SiteKind as Kind;
    let (one, many) = match at {
        Kind::Engine => ("the engine", "engines"),
        Kind::Side => ("each side", "sides"),
        Kind::Coil => ("each coil", "coils"),
        Kind::Cylinder => ("each cylinder", "cylinders"),
        Kind::Plug => ("each plug", "plugs"),
    };
    let place = if pair { format!("any two {many}") } else { one.to_owned() };
    if only.is_empty() { place } else { format!("{place}; only {}", only.join(", ")) }
}
