//! What a report says of faults by how they are known: seen or measured, put right without, shown good, never looked at.

use std::collections::BTreeMap;

use serde::Serialize;

use super::account::safe;
use super::course::{self, CorrectionLine};
use crate::analysis::{Analysis, Finding, Found, Good};
use crate::model::{CauseId, Model, Site};

/// A cause by name and place.
#[derive(Debug, Clone, Serialize)]
pub struct Named {
    /// Name in the tree.
    pub cause: String,
    /// Where.
    pub at: String,
    /// Title with site.
    pub title: String,
    /// Title alone, and the site in words.
    #[serde(skip)]
    pub(super) apart: (String, String),
}

/// Something at fault that somebody saw or measured.
#[derive(Debug, Clone, Serialize)]
pub struct FoundLine {
    /// `seen` or `measured`.
    pub by: &'static str,
    /// Number of the entry that says so.
    pub entry: u64,
    /// What is at fault, with its site: the causes that the look names, or its outcome where it names none.
    pub what: String,
    /// Where.
    pub at: String,
    /// Name of the check in the tree; none where the cause itself was confirmed.
    pub check: Option<String>,
    /// Title of the check, or what stands for it.
    pub look: String,
    /// Title of the outcome; empty where the cause itself was confirmed.
    pub outcome: String,
    /// The reading as typed; empty where there is none.
    pub reading: String,
    /// The causes that the look names: one where it is certain which, several where it leaves it open.
    pub causes: Vec<Named>,
}

/// A normal look that shows causes good.
#[derive(Debug, Clone, Serialize)]
pub struct GoodLine {
    /// Number of the entry.
    pub entry: u64,
    /// Name of the check in the tree.
    pub check: String,
    /// Where.
    pub at: String,
    /// Title of the check.
    pub look: String,
    /// The causes that it shows good.
    pub causes: Vec<Named>,
}

/// A cause that can hurt somebody, and that nobody looked at.
#[derive(Debug, Clone, Serialize)]
pub struct HurtLine {
    /// The cause.
    #[serde(flatten)]
    pub cause: Named,
    /// What it can do, as a clause.
    pub hurts: String,
}

/// Everything of one job by how it is known.
#[derive(Debug, Clone, Serialize)]
pub struct Known {
    /// What somebody saw or measured at fault.
    pub found: Vec<FoundLine>,
    /// Corrections whose cause nobody saw or measured.
    pub replaced_unseen: Vec<CorrectionLine>,
    /// The looks that show causes good.
    pub shown_good: Vec<GoodLine>,
    /// Causes that could bring the complaint and hurt somebody, and that nobody looked at.
    pub not_looked_at: Vec<HurtLine>,
}

/// Places named of one cause in a sentence before they are counted.
const FEW_PLACES: usize = 3;

impl Known {
    /// What can hurt somebody and was not looked at, one for each kind of harm: the causes, and what they can do.
    pub(super) fn harms(&self) -> Vec<(Vec<String>, &str)> {
        let mut harms: Vec<&str> = Vec::new();
        self.not_looked_at.iter().for_each(|line| {
            if !harms.contains(&line.hurts.as_str()) {
                harms.push(&line.hurts);
            }
        });
        let of = |hurts: &str| {
            let lines = self.not_looked_at.iter().filter(|line| line.hurts == hurts);
            families(lines.map(|line| (line.cause.apart.0.as_str(), line.cause.apart.1.as_str())), FEW_PLACES)
        };
        harms.into_iter().map(|hurts| (of(hurts), hurts)).collect()
    }

    /// The same, a sentence each.
    pub(super) fn harm_words(&self) -> impl Iterator<Item = String> {
        let words = |(causes, hurts): (Vec<String>, &str)| {
            format!("Nobody looked for this: {}. Where it is there, {hurts}.", causes.join("; "))
        };
        self.harms().into_iter().map(words)
    }

    /// The looks that show causes good, a line each.
    pub(super) fn good_words(&self) -> Vec<String> {
        let line = |line: &GoodLine| {
            let causes: Vec<&str> = line.causes.iter().map(|cause| cause.title.as_str()).collect();
            format!(
                "{} at {} (entry {}): {}",
                line.look.trim_end_matches(['.', '?']),
                line.at,
                line.entry,
                causes.join("; ")
            )
        };
        self.shown_good.iter().map(line).collect()
    }
}

impl FoundLine {
    /// How it is known: "measured, OL".
    pub(super) fn how(&self) -> String {
        if self.reading.is_empty() { self.by.to_owned() } else { format!("{}, {}", self.by, self.reading) }
    }

    /// In a line: what, how, by which look.
    pub(super) fn words(&self, entries: &str) -> String {
        let outcome = if self.outcome.is_empty() { String::new() } else { format!(": {}", lower(&self.outcome)) };
        let look = self.look.trim_end_matches(['.', '?']);
        format!("{} - {} ({look}{outcome}; {entries})", self.what, self.how())
    }
}

pub(super) fn named(model: &Model, id: CauseId) -> Named {
    let cause = &model[id];
    let apart = (safe(&cause.title), safe(&model.site_words(cause.site)));
    Named { cause: cause.name.clone(), at: cause.site.to_string(), title: format!("{}, {}", apart.0, apart.1), apart }
}

/// Each title once with its places: "exhaust leak (cylinder 1, cylinder 2)"; past a few they are counted.
pub(super) fn families<'a>(causes: impl Iterator<Item = (&'a str, &'a str)>, most: usize) -> Vec<String> {
    let mut families: Vec<(&str, Vec<&str>)> = Vec::new();
    for (title, site) in causes {
        match families.iter_mut().find(|(other, _)| *other == title) {
            Some((_, sites)) => sites.push(site),
            None => families.push((title, vec![site])),
        }
    }
    let words = |(title, sites): (&str, Vec<&str>)| match sites.as_slice() {
        [only] => format!("{title}, {only}"),
        sites if sites.len() > most => format!("{title} ({} places)", sites.len()),
        sites => format!("{title} ({})", sites.join(", ")),
    };
    families.into_iter().map(words).collect()
}

/// Everything of a job by how it is known.
pub(super) fn of(job: &Analysis, found: &Found) -> Known {
    let model = job.model();
    let unseen = |line: &CorrectionLine| found.replaced_unseen.iter().any(|done| done.number == line.number);
    let good = |good: &Good| GoodLine {
        entry: good.number,
        check: model[good.check].name.clone(),
        at: model[good.check].site.to_string(),
        look: safe(&model[good.check].title),
        causes: good.causes.iter().map(|id| named(model, *id)).collect(),
    };
    let hurt = |id: &CauseId| HurtLine {
        cause: named(model, *id),
        hurts: model[*id].hurts.as_deref().map(safe).unwrap_or_default(),
    };
    Known {
        found: found.found.iter().map(|finding| line(job, finding)).collect(),
        replaced_unseen: course::corrections(job).into_iter().filter(unseen).collect(),
        shown_good: found.shown_good.iter().map(good).collect(),
        not_looked_at: found.not_looked_at.iter().map(hurt).collect(),
    }
}

fn line(job: &Analysis, finding: &Finding) -> FoundLine {
    let model = job.model();
    let given = job.state().given.iter().find(|given| given.number == finding.number);
    let celsius = given.and_then(|g| g.celsius).map(|t| format!(" at {t} C")).unwrap_or_default();
    let reading = given.map(|g| g.typed.trim()).filter(|typed| !typed.is_empty());
    let (check, look, outcome, site) = if let Some((id, at)) = finding.outcome {
        let check = &model[id];
        let outcome = check.outcomes.get(at).map_or("", |outcome| outcome.title.as_str());
        (Some(check.name.clone()), check.title.as_str(), outcome, check.site)
    } else {
        let site = finding.causes.first().map_or(Site::Engine, |id| model[*id].site);
        (None, "found for certain", "", site)
    };
    FoundLine {
        by: finding.by.words(),
        entry: finding.number,
        what: safe(&what(model, finding, outcome, site)),
        at: site.to_string(),
        check,
        look: safe(look),
        outcome: safe(outcome),
        reading: reading.map(|typed| safe(&format!("{typed}{celsius}"))).unwrap_or_default(),
        causes: finding.causes.iter().map(|id| named(model, *id)).collect(),
    }
}

/// What is at fault: the causes that a look leaves open, or its outcome where it names none.
fn what(model: &Model, finding: &Finding, outcome: &str, site: Site) -> String {
    let mut places: BTreeMap<Site, Vec<&str>> = BTreeMap::new();
    for id in &finding.causes {
        places.entry(model[*id].site).or_default().push(&model[*id].title);
    }
    let place = |(site, titles): (Site, Vec<&str>)| format!("{}, {}", titles.join(" or "), model.site_words(site));
    if places.is_empty() {
        return format!("{outcome}, {}", model.site_words(site));
    }
    places.into_iter().map(place).collect::<Vec<_>>().join("; or ")
}

/// A title as the rest of a sentence: its first letter small, unless a sign or a word in capitals begins it.
pub(super) fn lower(title: &str) -> String {
    let mut letters = title.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), second) if second.is_none_or(|c| c.is_lowercase() || c == ' ') => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => title.to_owned(),
    }
}
