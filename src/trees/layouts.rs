//! Layouts of engines: what a layout file says, and whether such an engine can be.

use super::declared::{Decl, good_name};
use super::engine_twin::{LayoutTwin, SideTwin, SystemTwin};
use super::faults::{Faults, code};
use super::node::{File, Files, Node, Place};
use super::parse;
use super::twin::LimitTwin;
use crate::model::{Coil, CylinderRows, Layout, Side, SideLayout, SystemKind};

/// The format of a layout file.
pub(super) const LAYOUT_FORMAT: &str = "roughrun-layout-1";
/// The fewest and the most cylinders.
const CYLINDERS: std::ops::RangeInclusive<u8> = 2..=9;
/// The longest ignition lead believed, in feet.
const LONGEST_LEAD: f64 = 30.0;

/// A layout with the limits that it, and an aircraft's card, override. [`super::Library::expand`] turns it into a model.
#[derive(Debug, Clone)]
pub struct EngineLayout {
    /// How the engine's ignition is put together.
    pub layout: Layout,
    pub(super) overrides: Vec<Decl<LimitTwin>>,
    /// Where its name stands.
    pub(super) place: Place,
    /// Files read beside those of the library; their indexes follow the library's.
    pub(super) extra: Files,
}

/// Reads a layout from a file that passed the fence.
pub(super) fn read(file: &File, index: usize, root: &Node, faults: &mut Faults) -> Option<EngineLayout> {
    if !parse::format_is(LAYOUT_FORMAT, index, root, faults) {
        return None;
    }
    let start = Place { file: index, start: root.start, end: root.start };
    let twin: LayoutTwin = parse::twin(file, index, root, start, faults)?;
    let at = Rule { root, file: index };
    let before = faults.count();
    at.engine(&twin, faults);
    let overrides = overrides(&twin.limits.0, index, root);
    if faults.count() > before {
        return None;
    }
    let layout = Layout {
        name: twin.name,
        title: twin.title,
        cylinders: twin.cylinders,
        firing_order: twin.firing_order,
        rows: twin.rows.map(|rows| CylinderRows { left: rows.left, right: rows.right }),
        tags: twin.tags,
        left: side(twin.left),
        right: side(twin.right),
    };
    Some(EngineLayout { layout, overrides, place: at.at("name"), extra: Files::default() })
}

/// The overrides of limits in a layout or a card, each with its place.
pub(super) fn overrides(limits: &[(String, LimitTwin)], file: usize, root: &Node) -> Vec<Decl<LimitTwin>> {
    let nodes = root.get("limits").map_or(&[][..], Node::entries);
    let place = |name: &String| nodes.iter().find(|(key, _)| key.text == *name);
    limits
        .iter()
        .filter_map(|(name, twin)| place(name).map(|(key, node)| Decl::new(key, node, file, twin.clone())))
        .collect()
}

fn side(twin: SideTwin) -> SideLayout {
    let letter = |name: &String| name.chars().next().unwrap_or('A');
    let mut coils: Vec<Coil> =
        twin.coils.0.iter().map(|(name, fires)| Coil { letter: letter(name), fires: fires.clone() }).collect();
    coils.sort_by_key(|coil| coil.letter);
    SideLayout { kind: twin.kind.into(), tags: twin.tags, upper: twin.upper, coils, lead_feet: twin.lead_feet }
}

impl From<SystemTwin> for SystemKind {
    fn from(twin: SystemTwin) -> Self {
        match twin {
            SystemTwin::MagnetoImpulse => Self::MagnetoImpulse,
            SystemTwin::MagnetoRetard => Self::MagnetoRetard,
            SystemTwin::MagnetoPlain => Self::MagnetoPlain,
            SystemTwin::MagnetoDual => Self::MagnetoDual,
            SystemTwin::Electronic => Self::Electronic,
        }
    }
}

/// The rules for one layout file.
struct Rule<'a> {
    root: &'a Node,
    file: usize,
}

impl Rule<'_> {
    fn at(&self, path: &str) -> Place {
        let (start, end) = self.root.span_of(path).unwrap_or((self.root.start, self.root.start));
        Place { file: self.file, start, end }
    }

    fn engine(&self, twin: &LayoutTwin, faults: &mut Faults) {
        good_name("layout", &twin.name, self.at("name"), faults);
        if twin.title.trim().is_empty() || twin.title.trim().contains('\n') {
            faults.add(
                code::EMPTY_TEXT,
                self.at("title"),
                "The title must be one line of words.",
                "Say in a line what engine this is.",
            );
        }
        for (i, tag) in twin.tags.iter().enumerate() {
            good_name("tag", tag, self.at(&format!("tags/{i}")), faults);
        }
        if !CYLINDERS.contains(&twin.cylinders) {
            let message = format!("{} cylinders are none that this program knows.", twin.cylinders);
            faults.add(code::CYLINDERS, self.at("cylinders"), message, "Write a number from 2 to 9.");
            return;
        }
        let all: Vec<u8> = (1..=twin.cylinders).collect();
        let mut order = twin.firing_order.clone();
        order.sort_unstable();
        if order != all {
            faults.add(
                code::FIRING_ORDER,
                self.at("firing-order"),
                format!("The firing order does not name each cylinder from 1 to {} once.", twin.cylinders),
                "Write each cylinder once, in the order they fire.",
            );
        }
        let mut upper: Vec<u8> = twin.left.upper.iter().chain(&twin.right.upper).copied().collect();
        upper.sort_unstable();
        if upper != all {
            faults.add(
                code::PLUGS,
                self.at("right/upper"),
                "The upper plug of each cylinder must be fired by one side, and not by both.",
                "Name each cylinder once, under upper: of the left or of the right side.",
            );
        }
        if let Some(rows) = &twin.rows {
            let mut stand: Vec<u8> = rows.left.iter().chain(&rows.right).copied().collect();
            stand.sort_unstable();
            if stand != all {
                faults.add(
                    code::CYLINDER_ROWS,
                    self.at("rows"),
                    format!("The rows do not name each cylinder from 1 to {} once.", twin.cylinders),
                    "Write each cylinder once, in the left or the right row, front first, as seen from above with the nose up.",
                );
            }
        }
        let dual = |side: &SideTwin| side.kind == SystemTwin::MagnetoDual;
        if dual(&twin.left) != dual(&twin.right) {
            faults.add(
                code::DUAL,
                self.at(if dual(&twin.left) { "right/kind" } else { "left/kind" }),
                "A dual magneto is both sides of an engine.",
                "Write kind: magneto-dual on both sides, or on neither.",
            );
        }
        for (side, twin_side) in [(Side::Left, &twin.left), (Side::Right, &twin.right)] {
            self.side(side, twin_side, twin, faults);
        }
    }

    fn side(&self, name: Side, side: &SideTwin, twin: &LayoutTwin, faults: &mut Faults) {
        for (i, tag) in side.tags.iter().enumerate() {
            good_name("tag", tag, self.at(&format!("{name}/tags/{i}")), faults);
        }
        for (cylinder, feet) in &side.lead_feet {
            let place = self.at(&format!("{name}/lead-feet/{cylinder}"));
            if !(1..=twin.cylinders).contains(cylinder) {
                let message = format!("There is no cylinder {cylinder} for this lead.");
                faults.add(code::LEADS, place, message, format!("The cylinders are 1 to {}.", twin.cylinders));
            } else if !(*feet > 0.0 && *feet <= LONGEST_LEAD) {
                faults.add(
                    code::LEADS,
                    place,
                    "A lead cannot have this length.",
                    "Write its length in feet, above 0 and up to 30.",
                );
            }
        }
        if side.kind == SystemTwin::Electronic {
            self.coils(name, side, twin, faults);
        } else if !side.coils.0.is_empty() {
            let place = self.at(&format!("{name}/coils"));
            faults.add(
                code::COILS,
                place,
                "Only an electronic side has coils here.",
                "Delete coils:, or write kind: electronic.",
            );
        }
    }

    fn coils(&self, name: Side, side: &SideTwin, twin: &LayoutTwin, faults: &mut Faults) {
        if side.coils.0.is_empty() {
            let place = self.at(&format!("{name}/kind"));
            faults.add(
                code::COILS,
                place,
                "An electronic side needs its coils.",
                "Add coils: {A: [1, 2], B: [3, 4]} with the cylinders that each fires.",
            );
            return;
        }
        let half = twin.firing_order.len() / 2;
        let place_in_order = |cylinder: u8| twin.firing_order.iter().position(|c| *c == cylinder);
        let mut fired: Vec<u8> = Vec::new();
        let individual = side.coils.0.iter().all(|(_, fires)| fires.len() == 1);
        for (letter, fires) in &side.coils.0 {
            let place = self.at(&format!("{name}/coils/{letter}"));
            if !matches!(letter.as_bytes(), [b'A'..=b'Z']) {
                faults.add(
                    code::COILS,
                    place,
                    format!("A coil cannot be called \"{letter}\"."),
                    "Use one capital letter.",
                );
            }
            let companions = match fires.as_slice() {
                [one, two] => {
                    place_in_order(*one).zip(place_in_order(*two)).is_some_and(|(a, b)| a.abs_diff(b) == half)
                }
                _ => false,
            };
            if !individual && (!companions || twin.cylinders % 2 == 1) {
                faults.add(
                    code::COILS,
                    place,
                    format!("Coil {letter} must fire two cylinders that are half the firing order apart."),
                    "Pair each cylinder with its companion in the firing order, or give every cylinder a coil of its own.",
                );
            }
            fired.extend(fires);
        }
        fired.sort_unstable();
        if fired != (1..=twin.cylinders).collect::<Vec<u8>>() {
            let place = self.at(&format!("{name}/coils"));
            faults.add(
                code::COILS,
                place,
                "Each cylinder must be fired by one coil of the side.",
                "Name each cylinder under one coil.",
            );
        }
    }
}
