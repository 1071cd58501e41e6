//! What could be done in the place of a suggestion, and what that would cost.

use super::advice::{Advice, Suggestion};
use crate::model::Model;
use crate::work::Action;

/// Alternatives named beside a suggestion.
const ALTERNATIVES: usize = 2;

impl Advice {
    /// The best that could be done in the place of an action: at most two, closing the job left out. The same work at another site is
    /// named only where there is nothing else.
    #[must_use]
    pub fn instead_of(&self, model: &Model, action: Action) -> Vec<&Suggestion> {
        let mut kinds = vec![kind(model, action)];
        let (mut other, mut same) = (Vec::new(), Vec::new());
        for suggestion in self.next.iter().filter(|s| s.action != action && !s.action.closes()) {
            let its = kind(model, suggestion.action);
            if kinds.contains(&its) {
                same.push(suggestion);
            } else {
                kinds.push(its);
                other.push(suggestion);
            }
        }
        other.into_iter().chain(same).take(ALTERNATIVES).collect()
    }
}

/// What is done, without regard to where.
fn kind(model: &Model, action: Action) -> (&'static str, &str) {
    let name = match action {
        Action::Check(id) => model[id].name.as_str(),
        Action::Provoke(id) => model[id].name.as_str(),
        Action::Correct(id) => model[id].name.as_str(),
        _ => "",
    };
    (action.name(), name)
}

impl Suggestion {
    /// In words, with its site; that it is a second look where it is one.
    #[must_use]
    pub fn title(&self, model: &Model) -> String {
        let title = self.action.title(model);
        if self.again { format!("Look again: {title}") } else { title }
    }

    /// What it is and what it costs: "Spark test, left: 12 min, then about 95 min in all to a proven cure". Parts where it spends any.
    #[must_use]
    pub fn cost_words(&self, model: &Model) -> String {
        let then = self.then.map(|id| format!(", then {}", Action::Check(id).title(model))).unwrap_or_default();
        let parts = match self.action {
            Action::Correct(id) if model[id].cost > 0.0 => format!(", parts about {:.0}", model[id].cost),
            _ => String::new(),
        };
        format!(
            "{}{then}: {:.0} min{parts}; about {:.0} min in all to a proven cure",
            self.title(model),
            self.minutes,
            self.expected_minutes
        )
    }
}
