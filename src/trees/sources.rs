//! Where every figure and method of a tree comes from, as a table: by source and paragraph, and what has none.
//!
//! Must not know a layout, but counts what layouts override.

use super::wakes::WakesTwin;
use std::collections::BTreeMap;
use std::fmt::Write as _;

use serde::Serialize;

use super::library::Library;
use super::lower::{self, MARKS};
use super::shapes::Cite;

/// One use of a source.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub struct Use {
    /// Paragraph, table or page; empty where none is given.
    pub place: String,
    /// What stands on it: `limit plug-gap`, `rate of lead-open`.
    pub what: String,
}

/// A source with all that stands on it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SourceRow {
    /// Its name in the tree.
    pub name: String,
    /// The document.
    pub document: String,
    /// Its edition.
    pub edition: String,
    /// `read`, `remembered`, `common` (common practice) or `placeholder`.
    pub mark: &'static str,
    /// What stands on it, by paragraph.
    pub uses: Vec<Use>,
}

impl Library {
    /// All sources in the order of declaration, each with what stands on it; then common practice and placeholders.
    #[must_use]
    pub fn sources(&self) -> Vec<SourceRow> {
        let mut uses: BTreeMap<String, Vec<Use>> = BTreeMap::new();
        for (what, cite) in self.citations() {
            let (name, place) = cite.map_or(("placeholder", ""), |c| (c.name.as_str(), c.place.as_str()));
            uses.entry(name.to_owned()).or_default().push(Use { place: place.to_owned(), what });
        }
        let mut all = lower::sources(&self.declared);
        all.rotate_left(MARKS.len());
        all.into_iter()
            .map(|source| {
                let mut uses = uses.remove(&source.name).unwrap_or_default();
                uses.sort();
                let mark = source.mark();
                SourceRow { name: source.name, document: source.document, edition: source.edition, mark, uses }
            })
            .collect()
    }

    /// Everything that must have a source, with the one it names.
    fn citations(&self) -> Vec<(String, Option<&Cite>)> {
        let all = &self.declared;
        let mut found: Vec<(String, Option<&Cite>)> = Vec::new();
        found.extend(all.limits.items.iter().map(|d| (format!("limit {}", d.name), d.twin.source.as_ref())));
        let timed = all.conditions.items.iter().filter(|d| d.twin.source.is_some());
        found.extend(timed.map(|d| (format!("course of {}", d.name), d.twin.source.as_ref())));
        for cause in &all.causes.items {
            found.push((format!("rate of {}", cause.name), cause.twin.rate_source.as_ref()));
            let life = cause.twin.life.iter().map(|life| (format!("life of {}", cause.name), life.source.as_ref()));
            found.extend(life);
            let wakes = cause.twin.wakes.iter().flat_map(WakesTwin::sources);
            found.extend(wakes.map(|cite| (format!("waking of {}", cause.name), Some(cite))));
        }
        found.extend(all.checks.items.iter().map(|d| (format!("check {}", d.name), d.twin.source.as_ref())));
        found.extend(all.corrections.items.iter().map(|d| (format!("correction {}", d.name), d.twin.source.as_ref())));
        found
            .extend(all.provocations.items.iter().map(|d| (format!("provocation {}", d.name), d.twin.source.as_ref())));
        for kind in &all.recent_work.items {
            found.push((format!("recent-work {}", kind.name), kind.twin.source.as_ref()));
            let chance = |cause: &str| format!("chance of {cause} by {}", kind.name);
            found.extend(kind.twin.all().map(|(_, _, brought)| (chance(&brought.cause), brought.source.as_ref())));
        }
        found.extend(
            all.unknown.items.iter().map(|d| ("rate of what is not listed".to_owned(), d.twin.source.as_ref())),
        );
        for layout in self.layouts() {
            let name = &layout.layout.name;
            let overrides = layout.overrides.iter().filter(|over| over.twin.source.is_some());
            found.extend(overrides.map(|over| (format!("limit {} of {name}", over.name), over.twin.source.as_ref())));
        }
        found
    }
}

/// The table of sources as a page in Markdown: documents first, then what stands on each paragraph, then what has no
/// published source.
#[must_use]
pub fn sources_page(rows: &[SourceRow]) -> String {
    let mut out = String::from(
        "# Sources of the trees\n\nMade by `roughrun tree sources` from the trees; a test keeps it current. Do not edit it by hand.\n\n\
         Every figure is a general one: the current manual of the aircraft, the engine and the ignition system decides.\n\
         **Read** means that the passage relied on was read, often as a copy or an extract; **remembered** that it is quoted from\n\
         memory and has to be checked before it is relied on.\n\n## Documents\n\n| name | document | edition | passage | stands on it |\n|---|---|---|---|---|\n",
    );
    let published = |row: &&SourceRow| !MARKS.contains(&row.name.as_str());
    // Writing into a String cannot fail.
    for row in rows.iter().filter(published) {
        let _ = writeln!(
            out,
            "| `{}` | {} | {} | {} | {} |",
            row.name,
            cell(&row.document),
            cell(&row.edition),
            row.mark,
            row.uses.len()
        );
    }
    out.push_str(
        "\n## What stands on which paragraph\n\n| source | paragraph, table or page | what |\n|---|---|---|\n",
    );
    for row in rows.iter().filter(published) {
        let mut by_place: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        row.uses.iter().for_each(|used| by_place.entry(&used.place).or_default().push(&used.what));
        for (place, what) in by_place {
            let place = if place.is_empty() { "-".to_owned() } else { cell(place) };
            let _ = writeln!(out, "| `{}` | {place} | {} |", row.name, what.join(", "));
        }
    }
    for (name, title, words) in [
        ("common", "Common practice", "Known in the trade, without a published source."),
        (
            "placeholder",
            "Placeholders",
            "Our own guesses, to be replaced by figures from closed records or from documents.",
        ),
    ] {
        let _ = write!(out, "\n## {title}\n\n{words}\n\n| what | number | which |\n|---|---|---|\n");
        let mut by_kind: BTreeMap<&str, Vec<String>> = BTreeMap::new();
        for used in rows.iter().filter(|row| row.name == name).flat_map(|row| &row.uses) {
            let (kind, rest) = used.what.split_once(' ').unwrap_or((&used.what, ""));
            let rest = rest.strip_prefix("of ").unwrap_or(rest);
            let place = if used.place.is_empty() { String::new() } else { format!(" ({})", cell(&used.place)) };
            by_kind.entry(kind).or_default().push(format!("{rest}{place}"));
        }
        for (kind, which) in by_kind {
            let _ = writeln!(out, "| {kind} | {} | {} |", which.len(), which.join(", "));
        }
    }
    out
}

/// A text as a cell of a table.
fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}
