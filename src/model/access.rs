//! Getting from one access state to another, and what it costs in minutes.

use super::{AccessId, AccessSet, Conditions, Model};

impl Model {
    /// The access state reached from `from` when `open` must be open and `closed` closed, and the minutes it takes.
    ///
    /// What an opened state cannot be open with is closed first, with everything that depends on it.
    #[must_use]
    pub fn reach(&self, from: &AccessSet, open: &[AccessId], closed: &[AccessId]) -> (AccessSet, f64) {
        let mut set = from.clone();
        let mut minutes = 0.0;
        for id in closed {
            self.shut(&mut set, *id, &mut minutes);
        }
        for id in open {
            let clashing: Vec<AccessId> = set
                .iter()
                .filter(|other| self[*id].not_with.contains(other) || self[*other].not_with.contains(id))
                .collect();
            for other in clashing {
                self.shut(&mut set, other, &mut minutes);
            }
        }
        for id in open {
            self.unshut(&mut set, *id, &mut minutes, self.access.len());
        }
        (set, minutes)
    }

    /// Conditions after the access has changed: what was closed first, then what was opened.
    #[must_use]
    pub fn conditions_after(&self, before: &AccessSet, after: &AccessSet, conditions: &Conditions) -> Conditions {
        let closed = before.iter().filter(|id| !after.has(*id)).flat_map(|id| &self[id].closes_with);
        let opened = after.iter().filter(|id| !before.has(*id)).flat_map(|id| &self[id].opens_with);
        let sets: Vec<(usize, usize)> = closed.chain(opened).copied().collect();
        conditions.with(&sets)
    }

    /// The access states that a running engine needs: those that bring conditions when opened.
    #[must_use]
    pub fn running(&self) -> Vec<AccessId> {
        (0..self.access.len()).map(AccessId).filter(|id| !self[*id].opens_with.is_empty()).collect()
    }

    /// Closes a state and all that needs it.
    fn shut(&self, set: &mut AccessSet, id: AccessId, minutes: &mut f64) {
        if !set.has(id) {
            return;
        }
        set.close(id);
        *minutes += self[id].close;
        let depending: Vec<AccessId> = set.iter().filter(|other| self[*other].needs.contains(&id)).collect();
        for other in depending {
            self.shut(set, other, minutes);
        }
    }

    /// Opens a state after all that it needs; `depth` guards against a loop of needs.
    fn unshut(&self, set: &mut AccessSet, id: AccessId, minutes: &mut f64, depth: usize) {
        if depth == 0 || set.has(id) {
            return;
        }
        for need in &self[id].needs {
            self.unshut(set, *need, minutes, depth - 1);
        }
        set.open(id);
        *minutes += self[id].open;
    }
}
