//! Gates over causes, in the shape inference wants.

use super::CauseId;

/// When an effect is true, of the causes that are awake (or present).
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Formula {
    /// True if any of these causes is. The plain or-gate.
    Any(Vec<CauseId>),
    /// True if at least `count` of the parts are. `all` is a count of all; nesting is allowed.
    AtLeast {
        /// How many parts must be true, 1 or more.
        count: usize,
        /// The parts.
        of: Vec<Formula>,
    },
}

impl Formula {
    /// Every cause in it, each once, sorted.
    #[must_use]
    pub fn causes(&self) -> Vec<CauseId> {
        let mut found = Vec::new();
        self.collect(&mut found);
        found.sort_unstable();
        found.dedup();
        found
    }

    fn collect(&self, into: &mut Vec<CauseId>) {
        match self {
            Self::Any(causes) => into.extend(causes),
            Self::AtLeast { of, .. } => of.iter().for_each(|part| part.collect(into)),
        }
    }

    /// Whether it is true where `holds` tells of each cause whether it is.
    pub fn holds(&self, holds: &impl Fn(CauseId) -> bool) -> bool {
        match self {
            Self::Any(causes) => causes.iter().any(|c| holds(*c)),
            Self::AtLeast { count, of } => of.iter().filter(|part| part.holds(holds)).count() >= *count,
        }
    }
}
