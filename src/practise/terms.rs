//! How a practice job was dealt: what its record's header says.

use serde::{Deserialize, Serialize};
use serde_json::{Map, Value, json};

use crate::shop::{PRACTICE, is_practice};
use crate::study::{Level, System};

/// The field that says how it was dealt.
const BOUT: &str = "bout";

/// How a practice job was dealt. Together with the trees it gives the engine, so it names no fault.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case", deny_unknown_fields)]
pub struct Terms {
    /// The number that it was dealt by.
    pub seed: u64,
    /// How hard it is.
    #[serde(default)]
    pub level: Level,
    /// The kind of system the fault is on, where that was asked for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub on: Option<System>,
    /// The complaint that was asked for; none where it was dealt too.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub complaint: Option<String>,
    /// The set it belongs to.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub set: Option<String>,
    /// The lesson it is.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lesson: Option<String>,
    /// The record it plays again.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from: Option<String>,
    /// Minutes that the planner took on the same engine, where it cured it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub par: Option<f64>,
}

impl Terms {
    /// What goes into the header beside what every job has there.
    #[must_use]
    pub fn header(&self) -> Map<String, Value> {
        let mut header = Map::new();
        header.insert(PRACTICE.to_owned(), json!(true));
        // Terms are made of numbers and texts, all of which have a form in JSON.
        header.insert(BOUT.to_owned(), serde_json::to_value(self).unwrap_or_default());
        header
    }

    /// What a header says. None where the job is no practice, or one of a version that kept it otherwise.
    #[must_use]
    pub fn of_header(extra: &Value) -> Option<Self> {
        let bout = extra.get(BOUT).filter(|_| is_practice(extra))?;
        serde_json::from_value(bout.clone()).ok()
    }

    /// What kind of practice it is, in words.
    #[must_use]
    pub fn words(&self) -> String {
        match (&self.lesson, &self.set, &self.from) {
            (Some(lesson), _, _) => format!("lesson {lesson}"),
            (None, Some(set), _) => format!("set {set}, seed {}", self.seed),
            (None, None, Some(from)) => format!("record {from} played again"),
            (None, None, None) => format!("{}, seed {}", self.level.words(), self.seed),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_header_reads_back() {
        let terms =
            Terms { seed: 7, level: Level::Two, on: Some(System::Magneto), par: Some(90.5), ..Terms::default() };
        let header = Value::Object(terms.header());
        assert!(is_practice(&header));
        assert_eq!(Terms::of_header(&header), Some(terms));
        assert_eq!(Terms::of_header(&json!({"practice": false, "bout": {"seed": 1}})), None);
        assert!(!is_practice(&json!({"layout": "x"})));
    }
}
