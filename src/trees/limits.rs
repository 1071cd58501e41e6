//! Limits: overrides laid over them, and their twins turned into what judges a reading.

use super::declared::{Decl, Declared};
use super::twin::LimitTwin;
use crate::measure::Limit;

impl LimitTwin {
    /// Every outcome a reading can end in.
    pub(super) fn outcomes(&self) -> impl Iterator<Item = &str> {
        let bands = self.bands.iter().flatten().flat_map(|band| band.is.0.iter());
        bands.chain(self.open.iter().flat_map(|open| open.0.iter())).map(String::as_str)
    }

    /// This limit with the fields of another laid over it.
    fn under(&mut self, over: &Self) {
        fn lay<T: Clone>(under: &mut Option<T>, over: Option<&T>) {
            if let Some(over) = over {
                *under = Some(over.clone());
            }
        }
        lay(&mut self.title, over.title.as_ref());
        lay(&mut self.unit, over.unit.as_ref());
        lay(&mut self.basis, over.basis.as_ref());
        lay(&mut self.at_temperature, over.at_temperature.as_ref());
        lay(&mut self.bands, over.bands.as_ref());
        lay(&mut self.open, over.open.as_ref());
        lay(&mut self.source, over.source.as_ref());
    }
}

/// The limits of a tree with overrides laid over them, later ones over earlier ones; in the order of declaration.
pub(super) fn in_force(declared: &Declared, overrides: &[Decl<LimitTwin>]) -> Vec<LimitTwin> {
    let mut limits: Vec<LimitTwin> = declared.limits.items.iter().map(|decl| decl.twin.clone()).collect();
    for over in overrides {
        if let Some(limit) = declared.limits.position(&over.name).and_then(|i| limits.get_mut(i)) {
            limit.under(&over.twin);
        }
    }
    limits
}

/// Limits as the judgement of readings wants them.
pub(super) fn lower(limits: &[LimitTwin]) -> Vec<Limit> {
    limits
        .iter()
        .map(|limit| Limit { dimension: 0, unit: limit.unit.clone(), name: limit.title.clone().unwrap_or_default() })
        .collect()
}
