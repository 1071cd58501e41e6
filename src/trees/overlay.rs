//! Overlays of learnt figures: what a file says, whether it fits the tree, and how such a file is written.
//!
//! An overlay changes rates and chances only, never names, texts or limits. It says what the tree's figures were when it was learnt, so
//! that it is not laid over others unnoticed.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use schemars::JsonSchema;
use serde::Deserialize;

use super::declared::{Declared, Section};
use super::faults::{Faults, code};
use super::node::{File, Node, Place};
use super::parse;
use super::shapes::Ordered;
use crate::model::{Alarm, Learnt, Shown};

/// The format of an overlay.
pub(super) const LEARNT_FORMAT: &str = "roughrun-learnt-1";
/// The least share of the tree's figure that an overlay may leave: what was seldom found in one shop is still possible.
const LEAST_SHARE: f64 = 0.2;
/// How far two figures may differ and still be the same, as a share.
const SAME: f64 = 1e-3;

/// An overlay as it is written.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Overlay {
    /// Where the figures come from, in a line: "learnt from 412 records of this shop".
    pub document: String,
    /// The day, in words.
    pub edition: String,
    /// Rates, by name of cause.
    pub rates: Vec<(String, Figure)>,
    /// Chances that outcomes show causes.
    pub shows: Vec<(Shown, Figure)>,
    /// Chances of outcomes with no such fault there.
    pub alarms: Vec<(Alarm, Figure)>,
}

/// A learnt figure with what it stands in the place of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The figure.
    pub now: f64,
    /// The tree's.
    pub was: f64,
    /// The interval it lies in with 95 %.
    pub interval: (f64, f64),
    /// Events or trials that it was learnt from.
    pub from: f64,
}

/// Figures learnt from records, laid over those of a tree.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
pub(super) struct OverlayTwin {
    #[serde(rename = "format")]
    _format: String,
    /// Where the figures come from, in a line: learnt from 412 records of this shop.
    document: String,
    /// The day they were learnt.
    edition: String,
    /// Rates by name of cause, per site and 1,000 engine hours.
    #[serde(default)]
    rates: Ordered<RateTwin>,
    /// Chances that outcomes show causes that are there.
    #[serde(default)]
    shows: Vec<ChanceTwin>,
    /// Chances of outcomes with no such fault there.
    #[serde(default)]
    false_alarms: Vec<AlarmTwin>,
}

/// A learnt rate.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct RateTwin {
    /// The rate learnt.
    rate: f64,
    /// The tree's rate when it was learnt.
    was: f64,
    /// The 2.5 % point.
    #[serde(rename = "low")]
    _low: Option<f64>,
    /// The 97.5 % point.
    #[serde(rename = "high")]
    _high: Option<f64>,
    /// Faults it was learnt from.
    #[serde(rename = "events")]
    _events: Option<f64>,
}

/// How well an outcome shows a cause.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct ChanceTwin {
    /// Name of the check.
    check: String,
    /// Name of its outcome.
    outcome: String,
    /// Name of the cause.
    cause: String,
    /// The chance learnt, above 0 and below 1.
    chance: f64,
    /// The tree's chance when it was learnt.
    was: f64,
    /// The 2.5 % point.
    #[serde(rename = "low")]
    _low: Option<f64>,
    /// The 97.5 % point.
    #[serde(rename = "high")]
    _high: Option<f64>,
    /// Answers it was learnt from.
    #[serde(rename = "trials")]
    _trials: Option<f64>,
}

/// How often an outcome is there with no such fault.
#[derive(Debug, Clone, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
struct AlarmTwin {
    /// Name of the check.
    check: String,
    /// Name of its outcome.
    outcome: String,
    /// The chance learnt, above 0 and below 1.
    chance: f64,
    /// The tree's chance when it was learnt.
    was: f64,
    /// The 2.5 % point.
    #[serde(rename = "low")]
    _low: Option<f64>,
    /// The 97.5 % point.
    #[serde(rename = "high")]
    _high: Option<f64>,
    /// Answers it was learnt from.
    #[serde(rename = "trials")]
    _trials: Option<f64>,
}

/// Reads an overlay from a file that passed the fence and holds it against the tree.
pub(super) fn read(file: &File, index: usize, root: &Node, declared: &Declared, faults: &mut Faults) -> Option<Learnt> {
    if !parse::format_is(LEARNT_FORMAT, index, root, faults) {
        return None;
    }
    let start = Place { file: index, start: root.start, end: root.start };
    let twin: OverlayTwin = parse::twin(file, index, root, start, faults)?;
    let before = faults.count();
    let mut rule = Rule { root, file: index, declared, faults };
    rule.words("document", &twin.document);
    rule.words("edition", &twin.edition);
    twin.rates.0.iter().for_each(|(name, rate)| rule.rate(name, rate));
    let mut seen = std::collections::BTreeSet::new();
    for (at, show) in twin.shows.iter().enumerate() {
        let path = format!("shows/{at}");
        rule.outcome(&path, &show.check, &show.outcome);
        rule.known("cause", &declared.causes, &show.cause, &format!("{path}/cause"));
        rule.chance(&path, show.chance, show.was);
        rule.once(&mut seen, &path, (&show.check, &show.outcome, &show.cause));
    }
    for (at, alarm) in twin.false_alarms.iter().enumerate() {
        let path = format!("false-alarms/{at}");
        rule.outcome(&path, &alarm.check, &alarm.outcome);
        rule.chance(&path, alarm.chance, alarm.was);
        rule.once(&mut seen, &path, (&alarm.check, &alarm.outcome, ""));
    }
    (faults.count() == before).then(|| lower(twin))
}

fn lower(twin: OverlayTwin) -> Learnt {
    let show = |s: ChanceTwin| (Shown { check: s.check, outcome: s.outcome, cause: s.cause }, s.chance);
    let alarm = |a: AlarmTwin| (Alarm { check: a.check, outcome: a.outcome }, a.chance);
    Learnt {
        document: twin.document.trim().to_string(),
        edition: twin.edition.trim().to_string(),
        rates: twin.rates.0.into_iter().map(|(name, rate)| (name, rate.rate)).collect(),
        shows: twin.shows.into_iter().map(show).collect(),
        alarms: twin.false_alarms.into_iter().map(alarm).collect::<BTreeMap<_, _>>(),
    }
}

/// The rules for one overlay.
struct Rule<'a> {
    root: &'a Node,
    file: usize,
    declared: &'a Declared,
    faults: &'a mut Faults,
}

impl<'a> Rule<'a> {
    fn at(&self, path: &str) -> Place {
        let (start, end) = self.root.span_of(path).unwrap_or((self.root.start, self.root.start));
        Place { file: self.file, start, end }
    }

    fn words(&mut self, field: &str, words: &str) {
        if words.trim().is_empty() || words.trim().contains('\n') {
            let place = self.at(field);
            let message = format!("The {field} must be one line of words.");
            self.faults.add(code::EMPTY_TEXT, place, message, "Say in a line where the figures come from.");
        }
    }

    fn known<T>(&mut self, what: &str, section: &'a Section<T>, name: &str, path: &str) -> bool {
        let knows = section.knows(name);
        if !knows {
            let place = self.at(path);
            self.faults.unknown(what, name, place, section.names());
        }
        knows
    }

    fn rate(&mut self, name: &str, rate: &RateTwin) {
        let path = format!("rates/{name}");
        if !self.known("cause", &self.declared.causes, name, &path) {
            return;
        }
        self.figure(&format!("{path}/rate"), rate.rate, "a rate per 1,000 engine hours", (0.0, 1_000.0));
        self.floor(&format!("{path}/rate"), rate.rate, rate.was);
        let Some(tree) = self.declared.causes.get(name) else { return };
        if (tree.twin.rate - rate.was).abs() > SAME * tree.twin.rate {
            let place = self.at(&format!("{path}/was"));
            let message =
                format!("The tree's rate of \"{name}\" is {}, and this was learnt over another.", tree.twin.rate);
            self.faults.add(code::BAD_VALUE, place, message, "Learn again from the records, or delete this line.");
        }
    }

    fn outcome(&mut self, path: &str, check: &str, outcome: &str) {
        if !self.known("check", &self.declared.checks, check, &format!("{path}/check")) {
            return;
        }
        let Some(decl) = self.declared.checks.get(check) else { return };
        if decl.twin.outcomes.get(outcome).is_none() {
            let place = self.at(&format!("{path}/outcome"));
            let known = decl.twin.outcomes.0.iter().map(|(name, _)| name.as_str());
            self.faults.unknown("outcome of that check", outcome, place, known);
        }
    }

    fn chance(&mut self, path: &str, chance: f64, was: f64) {
        let path = format!("{path}/chance");
        self.figure(&path, chance, "a chance above 0 and below 1", (0.0, 1.0));
        self.floor(&path, chance, was);
    }

    /// A figure inside a range, its ends not included; NaN and infinities are in none.
    fn figure(&mut self, path: &str, value: f64, what: &str, (above, below): (f64, f64)) {
        if !(value > above && value < below) {
            let place = self.at(path);
            let mend = format!("Write a number above {above} and below {below}.");
            self.faults.add(code::BAD_NUMBER, place, format!("{value} cannot be {what}."), mend);
        }
    }

    fn floor(&mut self, path: &str, value: f64, was: f64) {
        if value < LEAST_SHARE * was * (1.0 - SAME) {
            let place = self.at(path);
            let message = format!("{value} is less than a fifth of the tree's {was}.");
            let mend =
                format!("Leave at least {:.3e}: what a shop has seldom found is still possible.", LEAST_SHARE * was);
            self.faults.add(code::BAD_NUMBER, place, message, mend);
        }
    }

    fn once(
        &mut self,
        seen: &mut std::collections::BTreeSet<(String, String, String)>,
        path: &str,
        (check, outcome, cause): (&str, &str, &str),
    ) {
        if !seen.insert((check.to_owned(), outcome.to_owned(), cause.to_owned())) {
            let place = self.at(path);
            let message = "The same figure stands twice.";
            self.faults.add(code::DUPLICATE_NAME, place, message, "Delete one of the two.");
        }
    }
}

impl Overlay {
    /// Whether it holds no figure.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rates.is_empty() && self.shows.is_empty() && self.alarms.is_empty()
    }

    /// The text of its file.
    #[must_use]
    pub fn text(&self) -> String {
        // Writing into a String cannot fail.
        let mut text = format!("format: {LEARNT_FORMAT}\n");
        let _ = writeln!(text, "# Figures learnt from records: read them, and keep the file under version control.");
        let _ = writeln!(text, "# `was` is the tree's figure, `low` and `high` hold the learnt one with 95 %.");
        let _ = writeln!(text, "document: \"{}\"\nedition: \"{}\"", plain(&self.document), plain(&self.edition));
        if !self.rates.is_empty() {
            let _ = writeln!(text, "rates:  # per site, per 1,000 engine hours");
        }
        for (cause, figure) in &self.rates {
            let _ = writeln!(text, "  {cause}: {{rate: {}, events: {:.1}}}", figure.words(), figure.from);
        }
        if !self.shows.is_empty() {
            let _ = writeln!(text, "shows:");
        }
        for (Shown { check, outcome, cause }, figure) in &self.shows {
            let _ = writeln!(
                text,
                "  - {{check: {check}, outcome: {outcome}, cause: {cause}, chance: {}, trials: {:.1}}}",
                figure.words(),
                figure.from
            );
        }
        if !self.alarms.is_empty() {
            let _ = writeln!(text, "false-alarms:");
        }
        for (Alarm { check, outcome }, figure) in &self.alarms {
            let _ = writeln!(
                text,
                "  - {{check: {check}, outcome: {outcome}, chance: {}, trials: {:.1}}}",
                figure.words(),
                figure.from
            );
        }
        text
    }
}

impl Figure {
    fn words(&self) -> String {
        let [now, was, low, high] = [self.now, self.was, self.interval.0, self.interval.1].map(digits);
        format!("{now}, was: {was}, low: {low}, high: {high}")
    }
}

/// A number with six digits that count, and no power of ten.
fn digits(value: f64) -> String {
    let (mut places, mut scaled) = (1, value * 10.0);
    while scaled < 1e5 && places < 12 {
        (places, scaled) = (places + 1, scaled * 10.0);
    }
    format!("{value:.places$}")
}

/// A text that can stand between double quotes.
fn plain(text: &str) -> String {
    text.chars().filter(|c| !matches!(c, '"' | '\\' | '\n')).collect()
}
