//! Figures learnt from the records of a shop, to be laid over those of a tree.

use std::collections::BTreeMap;

use super::{Cited, Model, Source, SourceId};

/// What a check shows of a cause: names of the check, of its outcome and of the cause.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Shown {
    /// The check.
    pub check: String,
    /// Its abnormal outcome.
    pub outcome: String,
    /// The cause.
    pub cause: String,
}

/// An abnormal outcome: names of the check and of the outcome.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Alarm {
    /// The check.
    pub check: String,
    /// Its abnormal outcome.
    pub outcome: String,
}

/// Figures that stand in the place of a tree's own. What is not named keeps the tree's figure.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Learnt {
    /// Where they come from: "learnt from 412 records of this shop".
    pub document: String,
    /// The day they were learnt, in words.
    pub edition: String,
    /// Rates of causes by name, per site and 1,000 engine hours, above 0.
    pub rates: BTreeMap<String, f64>,
    /// Chances that an outcome shows a cause, above 0 and below 1.
    pub shows: BTreeMap<Shown, f64>,
    /// Chances of an outcome with no such fault there, above 0 and below 1.
    pub alarms: BTreeMap<Alarm, f64>,
}

impl Learnt {
    /// The name of its source in a model.
    pub const SOURCE: &'static str = "learnt";

    /// Whether it names no figure.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.rates.is_empty() && self.shows.is_empty() && self.alarms.is_empty()
    }
}

impl Model {
    /// The model with learnt figures in the place of its own, each rate marked with where it comes from. A name that this layout does
    /// not have changes nothing, nor does a chance of a cause that the outcome cannot show at that site.
    #[must_use]
    pub fn with_learnt(mut self, learnt: &Learnt) -> Self {
        if learnt.is_empty() {
            return self;
        }
        let source = SourceId(self.sources.len());
        self.sources.push(Source {
            name: Learnt::SOURCE.to_owned(),
            document: learnt.document.clone(),
            edition: learnt.edition.clone(),
            read: true,
        });
        for cause in &mut self.causes {
            if let Some(rate) = learnt.rates.get(&cause.name) {
                cause.rate = *rate;
                cause.rate_source = Cited { source, place: String::new() };
            }
        }
        let names: Vec<String> = self.causes.iter().map(|c| c.name.clone()).collect();
        for check in &mut self.checks {
            for outcome in &mut check.outcomes {
                for (cause, chance) in &mut outcome.event.causes {
                    let key = Shown {
                        check: check.name.clone(),
                        outcome: outcome.name.clone(),
                        cause: names[cause.0].clone(),
                    };
                    if let Some(learnt) = learnt.shows.get(&key) {
                        *chance = *learnt;
                    }
                }
                let key = Alarm { check: check.name.clone(), outcome: outcome.name.clone() };
                if let Some(leak) = learnt.alarms.get(&key) {
                    outcome.event.leak = *leak;
                }
            }
        }
        self
    }
}
