//! The engine seen from above, nose up: what stands beside what.
//!
//! Owns places. Cylinders stand where the layout says, else in two rows from front to rear with odd numbers on the right (common
//! practice for opposed engines; a drawing says that it is assumed); an odd count stands in a ring with number one at the top.
//! Below stand the two systems with their coils.

use super::{Layout, Side, Site};

/// One row of the plan: what stands left and right of the middle.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Abreast {
    /// On the left.
    pub left: Option<Site>,
    /// On the right.
    pub right: Option<Site>,
}

/// Whether the cylinders stand in two rows, and not in a ring.
#[must_use]
pub fn stands_in_rows(layout: &Layout) -> bool {
    layout.rows.is_some() || layout.cylinders.is_multiple_of(2)
}

/// The cylinders in pairs, front to rear.
#[must_use]
pub fn cylinder_pairs(layout: &Layout) -> Vec<Abreast> {
    let n = layout.cylinders;
    let at = |n: u8| Some(Site::Cylinder(n));
    if let Some(rows) = &layout.rows {
        let deep = rows.left.len().max(rows.right.len());
        let in_row = |row: &[u8], place: usize| row.get(place).copied().and_then(at);
        return (0..deep).map(|i| Abreast { left: in_row(&rows.left, i), right: in_row(&rows.right, i) }).collect();
    }
    if stands_in_rows(layout) {
        return (1..=n).step_by(2).map(|odd| Abreast { left: at(odd + 1), right: at(odd) }).collect();
    }
    // Round the ring, clockwise from the top.
    let top = Abreast { left: None, right: at(1) };
    let pairs = (0..n / 2).map(|i| Abreast { left: at(n - i), right: at(2 + i) });
    std::iter::once(top).chain(pairs).collect()
}

/// The plug above and the plug below of a cylinder.
#[must_use]
pub fn plugs_above_and_below(layout: &Layout, cylinder: u8) -> [Site; 2] {
    let upper = if layout.fires_upper(Side::Left, cylinder) { Side::Left } else { Side::Right };
    [Site::Plug(upper, cylinder), Site::Plug(upper.other(), cylinder)]
}

/// The coils of both sides in pairs.
#[must_use]
pub fn coil_pairs(layout: &Layout) -> Vec<Abreast> {
    let of = |side: Side, at: usize| layout.side(side).coils.get(at).map(|c| Site::Coil(side, c.letter));
    let rows = Side::BOTH.iter().map(|s| layout.side(*s).coils.len()).max().unwrap_or(0);
    (0..rows).map(|at| Abreast { left: of(Side::Left, at), right: of(Side::Right, at) }).collect()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;
    use crate::model::CylinderRows;
    use crate::trees::Library;

    #[test]
    fn opposed_cylinders_stand_in_two_rows_and_an_odd_count_in_a_ring() {
        let mut four = Library::embedded().unwrap().layout("four-two-magnetos").unwrap().layout;
        let pair = |left, right| Abreast { left: Some(Site::Cylinder(left)), right: Some(Site::Cylinder(right)) };
        assert_eq!(cylinder_pairs(&four), [pair(2, 1), pair(4, 3)]);
        four.rows = Some(CylinderRows { left: vec![4, 2], right: vec![3, 1] });
        assert_eq!(cylinder_pairs(&four), [pair(4, 3), pair(2, 1)]);
        four.rows = None;
        four.cylinders = 5;
        assert_eq!(
            cylinder_pairs(&four),
            [Abreast { left: None, right: Some(Site::Cylinder(1)) }, pair(5, 2), pair(4, 3)]
        );
    }
}
