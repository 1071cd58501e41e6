//! From the lines of a record to a job.

use std::sync::Arc;

use serde_json::json;

use super::{Shop, ShopError};
use crate::job::{Entry, Job, Logged, Opening, Refusal};
use crate::model::Model;
use crate::record::{self, JobRecord};

/// Whether an opening fits a model.
pub(super) fn first(model: &Model, entry: &Entry) -> Result<(), Refusal> {
    let logged = Logged { number: 1, when: String::new(), entry: entry.clone() };
    Job::replay(Arc::new(model.clone()), vec![logged]).map(|_| ()).map_err(|(_, refusal)| refusal)
}

/// The job of a record, followed by the entries of a branch, and what differs from when it was opened.
pub(super) fn job(shop: &Shop, record: &JobRecord, branch: &[record::Entry]) -> Result<(Job, Vec<String>), ShopError> {
    let id = record.id.to_string();
    let log = log(record, branch)?;
    let Some(Entry::Opened(opening)) = log.first().map(|l| &l.entry) else {
        let why = "the record does not start with the opening of a job".to_owned();
        return Err(ShopError::NotUnderstood { id, number: log.first().map_or(1, |l| l.number), why });
    };
    let mut notes = Vec::new();
    if opening.trees != shop.library.digest() {
        notes.push(
            "The trees differ from those this job was opened on, so its figures can differ from what was seen then."
                .to_owned(),
        );
    }
    let model = model(shop, opening)?;
    let job =
        Job::replay(Arc::new(model), log).map_err(|(number, refusal)| ShopError::DoesNotFit { id, number, refusal })?;
    Ok((job, notes))
}

/// The entries of a record, followed by those of a branch.
pub(super) fn log(record: &JobRecord, branch: &[record::Entry]) -> Result<Vec<Logged>, ShopError> {
    let id = record.id.to_string();
    record.entries.iter().chain(branch).map(|line| logged(&id, line)).collect()
}

/// The engine of a job, with the limits of the aircraft's card it was opened with.
pub(super) fn model(shop: &Shop, opening: &Opening) -> Result<Model, ShopError> {
    let card = opening.aircraft.as_ref().map(|a| a.card.as_str()).filter(|text| !text.trim().is_empty());
    let card = card.map(|text| super::read_card(&shop.library, text)).transpose()?;
    super::model(&shop.library, &opening.layout, card.as_ref())
}

fn logged(id: &str, line: &record::Entry) -> Result<Logged, ShopError> {
    let entry = serde_json::from_value(json!({ "kind": line.kind, "body": line.body }));
    let entry = entry.map_err(|fault| ShopError::NotUnderstood {
        id: id.to_owned(),
        number: line.seq,
        why: crate::text::safe_text(&fault.to_string()).into_owned(),
    })?;
    Ok(Logged { number: line.seq, when: line.stamp.wall.clone(), entry })
}

/// The kind and body of an entry, as the record keeps them.
pub(super) fn line_of(entry: &Entry) -> (String, serde_json::Value) {
    // Entries are made of texts, numbers, lists and maps with text keys, all of which have a form in JSON.
    let mut value = serde_json::to_value(entry).unwrap_or_default();
    let kind = value.get("kind").and_then(|k| k.as_str()).unwrap_or_default().to_owned();
    (kind, value.get_mut("body").map(serde_json::Value::take).unwrap_or_default())
}

/// The whole hash of an end whose first characters were given; what was given where none begins so.
pub(super) fn whole_head(record: &JobRecord, given: &str) -> String {
    let heads = record.branches.iter().map(|b| &b.head).chain([&record.head]);
    let mut fitting = heads.filter(|h| given.len() >= 8 && h.starts_with(given));
    fitting.next().cloned().unwrap_or_else(|| given.to_owned())
}
