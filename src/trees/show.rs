//! A tree shown to those who ask what is in it: names and titles, and all that one declaration says.
//!
//! Shows declarations as they are written, by kind of site. Must not know a layout.

use std::collections::BTreeSet;
use std::fmt::Write as _;

use serde::ser::{Serialize, SerializeMap, Serializer};

use super::card::{Card, Cards};
use super::card_text::WIDE;
use super::declared::Decl;
use super::library::Library;
use super::node::{Node, NodeKind};
use crate::text::{safe_text, wrap};

/// A name with its title.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Named {
    /// Its name in the tree.
    pub name: String,
    /// Title for people, without a site.
    pub title: String,
}

/// What is in a tree, by name and in the order of declaration.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Summary {
    /// The causes, without the unknown one.
    pub causes: Vec<Named>,
    /// The checks.
    pub checks: Vec<Named>,
    /// The complaints.
    pub complaints: Vec<Named>,
    /// The kinds of work done before a job.
    pub recent_work: Vec<Named>,
    /// The layouts.
    pub layouts: Vec<Named>,
}

/// All that one declaration says.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Sheet {
    /// Its section: `causes`, `checks` and so on.
    pub section: &'static str,
    /// Its name.
    pub name: String,
    /// The file that declares it.
    pub file: String,
    /// The line there, from 1.
    pub line: usize,
    /// Its fields as they are written.
    pub says: Said,
    /// Of a cause, check, correction or kind of work: the same put together for a reader.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub card: Option<Card>,
    /// Of a cause or effect: the checks that see it, each with the outcome that shows it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub seen_by: Vec<String>,
    /// Of a cause: the corrections that cure it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub cured_by: Vec<String>,
}

/// A value as it is written, in the order it is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Said {
    /// A text or number.
    Text(String),
    /// A list.
    List(Vec<Said>),
    /// Fields with their names.
    Fields(Vec<(String, Said)>),
}

impl Serialize for Said {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Text(text) => serializer.serialize_str(text),
            Self::List(items) => serializer.collect_seq(items),
            Self::Fields(fields) => {
                let mut map = serializer.serialize_map(Some(fields.len()))?;
                for (name, said) in fields {
                    map.serialize_entry(name, said)?;
                }
                map.end()
            }
        }
    }
}

impl Said {
    fn of(node: &Node) -> Self {
        match &node.kind {
            NodeKind::Scalar(text) => Self::Text(safe_text(text.trim()).into_owned()),
            NodeKind::List(items) => Self::List(items.iter().map(Self::of).collect()),
            NodeKind::Map(entries) => Self::Fields(
                entries.iter().map(|(key, value)| (safe_text(&key.text).into_owned(), Self::of(value))).collect(),
            ),
        }
    }

    /// On one line, where it fits on one: a text, a list of names, or a few fields of texts.
    fn short(&self) -> Option<String> {
        let text = |said: &Self| match said {
            Self::Text(text) => Some(text.clone()),
            _ => None,
        };
        let line = match self {
            Self::Text(line) => return Some(line.clone()),
            Self::List(items) => {
                let names = items.iter().map(|item| text(item).filter(|name| !name.contains(' ')));
                names.collect::<Option<Vec<_>>>()?.join(", ")
            }
            Self::Fields(fields) => {
                let each = fields.iter().map(|(name, said)| text(said).map(|t| format!("{name}: {t}")));
                each.collect::<Option<Vec<_>>>()?.join(", ")
            }
        };
        (line.chars().count() <= 90).then_some(line)
    }

    /// Indented lines, one for each field or item.
    fn lines(&self, depth: usize, out: &mut String) {
        let indent = "  ".repeat(depth);
        let mut put = |head: &str, said: &Self| {
            // Writing into a String cannot fail.
            let line = said.short().map_or_else(|| head.to_owned(), |line| format!("{head} {line}"));
            for (at, line) in wrap(&line, WIDE - 2 - indent.len()).iter().enumerate() {
                let _ = writeln!(out, "{indent}{}{line}", if at == 0 { "" } else { "  " });
            }
            if said.short().is_none() {
                said.lines(depth + 1, out);
            }
        };
        match self {
            Self::Text(_) => put("", self),
            Self::List(items) => items.iter().for_each(|item| put("-", item)),
            Self::Fields(fields) => fields.iter().for_each(|(name, said)| put(&format!("{name}:"), said)),
        }
    }
}

impl Sheet {
    /// The sheet in plain lines of 80 columns: the card where it has one, else the fields as they are written.
    #[must_use]
    pub fn text(&self) -> String {
        let mut out = format!("{} ({}, {} line {})\n", self.name, self.section, self.file, self.line);
        if let Some(card) = &self.card {
            out.push_str(&card.text());
            return out;
        }
        self.says.lines(1, &mut out);
        for (head, names) in [("seen by", &self.seen_by), ("cured by", &self.cured_by)] {
            if !names.is_empty() {
                let line = format!("{head}: {}", names.join(", "));
                wrap(&line, WIDE - 4).iter().enumerate().for_each(|(at, line)| {
                    let _ = writeln!(out, "  {}{line}", if at == 0 { "" } else { "  " });
                });
            }
        }
        out
    }
}

impl Library {
    /// Names and titles of what is in the tree.
    #[must_use]
    pub fn summary(&self) -> Summary {
        let named = |name: &str, title: &str| Named { name: name.to_string(), title: title.to_string() };
        let all = &self.declared;
        Summary {
            causes: all.causes.items.iter().map(|d| named(&d.name, &d.twin.title)).collect(),
            checks: all.checks.items.iter().map(|d| named(&d.name, &d.twin.title)).collect(),
            complaints: all.complaints.items.iter().map(|d| named(&d.name, &d.twin.title)).collect(),
            recent_work: all.recent_work.items.iter().map(|d| named(&d.name, &d.twin.title)).collect(),
            layouts: self.layouts().iter().map(|l| named(&l.layout.name, &l.layout.title)).collect(),
        }
    }

    /// All that the declarations of this name say, one sheet for each section that has it; none where no section has.
    #[must_use]
    pub fn card(&self, name: &str) -> Vec<Sheet> {
        let all = &self.declared;
        let cards = Cards::of(all);
        let mut sheets = Vec::new();
        sheets.extend(all.causes.get(name).map(|d| {
            let card = cards.cause(d, self.seen_by(name));
            Sheet { card: Some(Card::Cause(Box::new(card))), ..self.sheet("causes", d) }
        }));
        sheets.extend(all.effects.get(name).map(|d| self.sheet("effects", d)));
        for sheet in &mut sheets {
            sheet.seen_by = self.seen_by(name);
            let cures = all.corrections.items.iter().filter(|c| c.twin.cures.iter().any(|cure| cure == name));
            sheet.cured_by = cures.map(|c| c.name.clone()).collect();
        }
        sheets.extend(
            all.checks
                .get(name)
                .map(|d| Sheet { card: Some(Card::Check(Box::new(cards.check(d)))), ..self.sheet("checks", d) }),
        );
        sheets.extend(all.complaints.get(name).map(|d| self.sheet("complaints", d)));
        sheets.extend(all.corrections.get(name).map(|d| Sheet {
            card: Some(Card::Correction(Box::new(cards.correction(d)))),
            ..self.sheet("corrections", d)
        }));
        sheets.extend(all.provocations.get(name).map(|d| self.sheet("provocations", d)));
        sheets.extend(all.recent_work.get(name).map(|d| Sheet {
            card: Some(Card::RecentWork(Box::new(cards.recent_work(d)))),
            ..self.sheet("recent-work", d)
        }));
        sheets.extend(all.limits.get(name).map(|d| self.sheet("limits", d)));
        sheets.extend(all.modes.get(name).map(|d| self.sheet("modes", d)));
        sheets.extend(all.access.get(name).map(|d| self.sheet("access", d)));
        sheets.extend(all.hazards.get(name).map(|d| self.sheet("hazards", d)));
        sheets.extend(all.conditions.get(name).map(|d| self.sheet("conditions", d)));
        sheets.extend(all.sources.get(name).map(|d| self.sheet("sources", d)));
        sheets.extend(all.unknown.get(name).map(|d| self.sheet("unknown", d)));
        sheets
    }

    /// Every name that [`Library::card`] knows, for "did you mean".
    #[must_use]
    pub fn card_names(&self) -> BTreeSet<&str> {
        let all = &self.declared;
        let sections =
            all.causes.names().chain(all.effects.names()).chain(all.checks.names()).chain(all.complaints.names());
        let sections =
            sections.chain(all.corrections.names()).chain(all.provocations.names()).chain(all.limits.names());
        sections
            .chain(all.recent_work.names())
            .chain(all.modes.names())
            .chain(all.access.names())
            .chain(all.hazards.names())
            .chain(all.conditions.names())
            .chain(all.sources.names())
            .collect()
    }

    fn sheet<T>(&self, section: &'static str, decl: &Decl<T>) -> Sheet {
        let place = decl.place();
        let file = self.files.0.get(place.file);
        Sheet {
            section,
            name: decl.name.clone(),
            file: file.map_or_else(String::new, |file| safe_text(&file.name).into_owned()),
            line: file.map_or(0, |file| file.line_of(place.start).0),
            says: Said::of(decl.node()),
            card: None,
            seen_by: Vec::new(),
            cured_by: Vec::new(),
        }
    }

    /// The checks with the outcomes that show a cause or effect, by itself or by an effect that it is part of.
    fn seen_by(&self, name: &str) -> Vec<String> {
        let mut names: BTreeSet<&str> = BTreeSet::from([name]);
        let mut more = true;
        while more {
            let part_of = self
                .declared
                .effects
                .items
                .iter()
                .filter(|e| e.twin.gate().1.iter().any(|m| names.contains(m.as_str())));
            let found: Vec<&str> = part_of.map(|e| e.name.as_str()).filter(|e| !names.contains(e)).collect();
            more = !found.is_empty();
            names.extend(found);
        }
        let mut found = Vec::new();
        for check in &self.declared.checks.items {
            for (outcome, show) in check.twin.shown() {
                let line = format!("{} ({outcome})", check.name);
                let shown = show.cause.iter().chain(&show.effect).any(|shown| names.contains(shown.as_str()));
                if shown && found.last() != Some(&line) {
                    found.push(line);
                }
            }
        }
        found
    }
}
