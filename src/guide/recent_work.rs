//! Work done before the job: what is asked of it, and what is said of a suspect that it can have brought.

use crate::job::State;
use crate::model::{CauseId, Model};

/// What every intake asks of recent work.
pub const RECENT_WORK_QUESTION: &str = "What was worked on since it last ran well?";

/// The work before the job that can have brought a suspect, with its places; none where none was told.
#[must_use]
pub fn came_with(model: &Model, state: &State, id: CauseId) -> Option<String> {
    let mut words: Vec<String> = Vec::new();
    for (work, _) in state.recently_brought(model, id) {
        let one = format!("{}, {}", model[work].title, model.site_words(model[work].site));
        if !words.contains(&one) {
            words.push(one);
        }
    }
    (!words.is_empty()).then(|| words.join("; "))
}
