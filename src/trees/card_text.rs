//! Cards laid out as text of 80 columns: a label, and beside it what it says, wrapped and set in.

use std::fmt::Write as _;

use super::card::{Card, CauseCard, CheckCard, CorrectionCard, OutcomeCard, RecentWorkCard, Sourced};
use crate::text::wrap;

/// Columns of a line.
pub(super) const WIDE: usize = 80;
/// Columns of the labels.
const LABEL: usize = 14;

/// Lines with labels.
struct Layout(String);

impl Layout {
    /// A label with a text; nothing where the text is empty.
    fn field(&mut self, label: &str, text: &str) {
        self.hanging(label, "", text);
    }

    /// A label with texts, each on lines of its own after a mark such as `1 `.
    fn each(&mut self, label: &str, texts: &[String], mark: impl Fn(usize) -> String) {
        for (at, text) in texts.iter().enumerate() {
            self.hanging(if at == 0 { label } else { "" }, &mark(at), text);
        }
    }

    fn hanging(&mut self, label: &str, mark: &str, text: &str) {
        if text.trim().is_empty() {
            return;
        }
        let indent = LABEL + mark.chars().count();
        for (at, line) in wrap(text, WIDE - 2 - indent).iter().enumerate() {
            // Writing into a String cannot fail.
            let _ = if at == 0 {
                writeln!(self.0, "  {label:<LABEL$}{mark}{line}")
            } else {
                writeln!(self.0, "  {:indent$}{line}", "")
            };
        }
    }

    fn source(&mut self, label: &str, source: &Sourced) {
        self.field(label, &source.words);
    }
}

/// A number with its own mark: "1 ", "2 ".
fn numbered(at: usize) -> String {
    format!("{} ", at + 1)
}

/// A dash before each.
fn dashed(_: usize) -> String {
    "- ".to_owned()
}

impl Card {
    /// The card as text of 80 columns, without a heading.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = Layout(String::new());
        match self {
            Self::Check(card) => check(card, &mut out),
            Self::Cause(card) => cause(card, &mut out),
            Self::Correction(card) => correction(card, &mut out),
            Self::RecentWork(card) => recent_work(card, &mut out),
        }
        out.field("always", "Follow the manufacturer's current instructions and local rules; they decide.");
        out.0
    }
}

fn check(card: &CheckCard, out: &mut Layout) {
    out.field("title", &card.title);
    out.field("purpose", &card.purpose);
    out.field("where", &card.place);
    out.field("sees", card.sees);
    out.field("takes", &format!("{} minutes, access not counted", card.minutes));
    out.field("engine", card.engine.as_deref().unwrap_or(""));
    out.field("tools", &or_none(&card.tools));
    access(&card.open, &card.closed, out);
    out.each("caution", &card.cautions, |_| String::new());
    out.each("do", &card.steps, numbered);
    out.field("normal", &card.expected);
    if let Some(limit) = &card.limit {
        out.field("limit", &format!("{} ({})", limit.title, limit.unit));
        out.each("", &limit.bands, dashed);
        if !limit.correction.is_empty() {
            out.field("", &format!("The reading is {}.", limit.correction));
        }
        out.source("limit from", &limit.source);
    }
    out.field("means", &format!("{}: speaks against all that it could have shown", card.normal));
    for outcome in &card.outcomes {
        let proves = match outcome {
            OutcomeCard { certain: true, .. } => "; leaves no doubt",
            OutcomeCard { proves: true, .. } => "; proves it",
            _ => "",
        };
        out.field("", &format!("{}: shows {}{proves}", outcome.title, outcome.shows.join("; ")));
    }
    out.each("mistakes", &card.mistakes, dashed);
    out.source("source", &card.source);
}

fn cause(card: &CauseCard, out: &mut Layout) {
    out.field("title", &card.title);
    out.field("how it fails", &card.how);
    out.field("part", &card.part);
    out.field("where", &card.place);
    out.field("how often", &format!("{} in 1,000 engine hours, at each", card.rate));
    out.source("", &card.rate_source);
    out.field("wakes", &card.wakes.join("; "));
    card.wakes_source.iter().for_each(|source| out.source("", source));
    out.field("life", card.life.as_deref().unwrap_or("none counted: it comes of setting, work, dirt or chance"));
    card.life_source.iter().for_each(|source| out.source("", source));
    out.each("brings", &card.brings, dashed);
    out.each("brought by", &card.brought_by, dashed);
    out.each("seen by", &card.seen_by, dashed);
    out.field("told by", card.told_by.as_deref().unwrap_or(""));
    out.field("hurts", card.hurts.as_deref().unwrap_or(""));
    out.each("put right", &card.corrections, dashed);
}

fn correction(card: &CorrectionCard, out: &mut Layout) {
    out.field("title", &card.title);
    out.field("kind", card.kind);
    out.field("where", &card.place);
    out.each("cures", &card.cures, dashed);
    out.field("takes", &format!("{} minutes, access not counted", card.minutes));
    out.field("engine", card.engine.as_deref().unwrap_or(""));
    out.field("parts", &or_none(&card.parts));
    out.field("cost", &format!("{} in money; the shop's own price decides", card.cost));
    access(&card.open, &[], out);
    out.each("caution", &card.cautions, |_| String::new());
    out.each("do", &card.steps, numbered);
    out.field("proven by", &card.proof);
    out.field("fails", &format!("{:.0} % of the time", card.fails * 100.0));
    out.each("can bring", &card.disturbs, dashed);
    out.source("source", &card.source);
}

fn recent_work(card: &RecentWorkCard, out: &mut Layout) {
    out.field("title", &card.title);
    out.field("where", &card.place);
    out.each("can bring", &card.brings, dashed);
    out.field("renews", &card.renews.join(", "));
    out.each("new but bad", &card.infant, dashed);
    out.source("source", &card.source);
}

fn access(open: &[String], closed: &[String], out: &mut Layout) {
    let words = match (open.is_empty(), closed.is_empty()) {
        (true, true) => "as it stands".to_owned(),
        (false, true) => format!("needs {}", open.join(", ")),
        (true, false) => format!("not with {}", closed.join(", ")),
        (false, false) => format!("needs {}; not with {}", open.join(", "), closed.join(", ")),
    };
    out.field("access", &words);
}

fn or_none(list: &[String]) -> String {
    if list.is_empty() { "none".to_owned() } else { list.join(", ") }
}
