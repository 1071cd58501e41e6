//! How one engine's ignition is put together.

use std::collections::BTreeMap;

use super::{Side, Site, SiteKind};

/// What makes the sparks on a side.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SystemKind {
    /// A magneto with an impulse coupling.
    MagnetoImpulse,
    /// A magneto with retard points, started by a vibrator.
    MagnetoRetard,
    /// A magneto with neither.
    MagnetoPlain,
    /// One half of a dual magneto: two magnetos in one housing on one drive.
    MagnetoDual,
    /// An electronic system; a coil fires one cylinder or two companions.
    Electronic,
}

impl SystemKind {
    /// All kinds.
    pub const ALL: [Self; 5] =
        [Self::MagnetoImpulse, Self::MagnetoRetard, Self::MagnetoPlain, Self::MagnetoDual, Self::Electronic];

    /// As a layout file writes it.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::MagnetoImpulse => "magneto-impulse",
            Self::MagnetoRetard => "magneto-retard",
            Self::MagnetoPlain => "magneto-plain",
            Self::MagnetoDual => "magneto-dual",
            Self::Electronic => "electronic",
        }
    }

    /// In words for a screen.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Self::MagnetoImpulse => "magneto, impulse coupling",
            Self::MagnetoRetard => "magneto, retard points",
            Self::MagnetoPlain => "magneto, plain",
            Self::MagnetoDual => "magneto, half of a dual",
            Self::Electronic => "electronic",
        }
    }

    /// In two words, where there is no room for more.
    #[must_use]
    pub fn short(self) -> &'static str {
        match self {
            Self::MagnetoImpulse => "impulse magneto",
            Self::MagnetoRetard => "retard magneto",
            Self::MagnetoPlain => "plain magneto",
            Self::MagnetoDual => "half a dual",
            Self::Electronic => "electronic",
        }
    }

    /// The tags its sites carry, for `only:`.
    #[must_use]
    pub fn tags(self) -> &'static [&'static str] {
        match self {
            Self::MagnetoImpulse => &["magneto", "impulse"],
            Self::MagnetoRetard => &["magneto", "retard"],
            Self::MagnetoPlain => &["magneto", "plain"],
            Self::MagnetoDual => &["magneto", "dual"],
            Self::Electronic => &["electronic"],
        }
    }
}

/// A coil of an electronic side and what it fires: one cylinder, or two together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coil {
    /// Its capital letter.
    pub letter: char,
    /// The cylinders it fires.
    pub fires: Vec<u8>,
}

/// One side of an engine.
#[derive(Debug, Clone, PartialEq)]
pub struct SideLayout {
    /// What makes its sparks.
    pub kind: SystemKind,
    /// Tags of its own, beside those of its kind.
    pub tags: Vec<String>,
    /// Cylinders whose upper plug it fires; it fires the lower plug of the others.
    pub upper: Vec<u8>,
    /// Its coils; none for a magneto.
    pub coils: Vec<Coil>,
    /// Length of the lead to each cylinder, in feet, where known.
    pub lead_feet: BTreeMap<u8, f64>,
}

impl SideLayout {
    /// The tags its sites carry, for `only:`: those of its kind, of its coils, of its trigger, and its own. An electronic
    /// side that does not say otherwise has a hall trigger on the crankshaft.
    pub fn tags(&self) -> impl Iterator<Item = &str> {
        let coils = match self.coils.first().map(|coil| coil.fires.len()) {
            None => None,
            Some(1) => Some("individual-coils"),
            Some(_) => Some("waste-spark"),
        };
        let says = |tag: &str| self.tags.iter().any(|own| own == tag);
        let unless = |other: &str, tag: &'static str| {
            (self.kind == SystemKind::Electronic && !says(other) && !says(tag)).then_some(tag)
        };
        let triggers = [unless("vr-trigger", "hall-trigger"), unless("cam-trigger", "crank-trigger")];
        let kind = self.kind.tags().iter().copied().chain(coils).chain(triggers.into_iter().flatten());
        kind.chain(self.tags.iter().map(String::as_str))
    }

    /// What it is, in words for a screen.
    #[must_use]
    pub fn words(&self) -> &'static str {
        match self.coils.first().map(|coil| coil.fires.len()) {
            None => self.kind.words(),
            Some(1) => "electronic, individual coils",
            Some(_) => "electronic, waste spark",
        }
    }
}

/// Where the cylinders stand, seen from above with the nose up; each row from front to rear. Together they name each cylinder once.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CylinderRows {
    /// The row on the left.
    pub left: Vec<u8>,
    /// The row on the right.
    pub right: Vec<u8>,
}

/// One engine's ignition.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Name, in lower-case words joined by hyphens.
    pub name: String,
    /// Title for people.
    pub title: String,
    /// Number of cylinders, 2 to 9.
    pub cylinders: u8,
    /// The order in which they fire, from number one.
    pub firing_order: Vec<u8>,
    /// Where they stand, where the layout says so.
    pub rows: Option<CylinderRows>,
    /// Free tags of the engine.
    pub tags: Vec<String>,
    /// The left system.
    pub left: SideLayout,
    /// The right system.
    pub right: SideLayout,
}

impl Layout {
    /// Tags that follow from a layout's coils, triggers and plugs.
    pub const DERIVED_TAGS: [&str; 10] = [
        "two-magnetos",
        "two-electronic",
        "waste-spark",
        "individual-coils",
        "hall-trigger",
        "vr-trigger",
        "crank-trigger",
        "cam-trigger",
        "upper",
        "lower",
    ];

    /// The layout of one side.
    #[must_use]
    pub fn side(&self, side: Side) -> &SideLayout {
        match side {
            Side::Left => &self.left,
            Side::Right => &self.right,
        }
    }

    /// Whether a side fires the upper plug of a cylinder.
    #[must_use]
    pub fn fires_upper(&self, side: Side, cylinder: u8) -> bool {
        self.side(side).upper.contains(&cylinder)
    }

    /// All sites of one kind, left before right, by cylinder or letter.
    #[must_use]
    pub fn sites(&self, kind: SiteKind) -> Vec<Site> {
        let cylinders = 1..=self.cylinders;
        match kind {
            SiteKind::Engine => vec![Site::Engine],
            SiteKind::Side => Side::BOTH.map(Site::Side).to_vec(),
            SiteKind::Coil => {
                Side::BOTH.iter().flat_map(|s| self.side(*s).coils.iter().map(|c| Site::Coil(*s, c.letter))).collect()
            }
            SiteKind::Cylinder => cylinders.map(Site::Cylinder).collect(),
            SiteKind::Plug => Side::BOTH.iter().flat_map(|s| cylinders.clone().map(|n| Site::Plug(*s, n))).collect(),
        }
    }

    /// Whether this engine has the site.
    #[must_use]
    pub fn has(&self, site: Site) -> bool {
        let sites = self.sites(site.kind());
        site.parts().iter().all(|part| sites.contains(part))
    }

    /// The coil that fires a cylinder on an electronic side.
    #[must_use]
    pub fn coil_of(&self, side: Side, cylinder: u8) -> Option<Site> {
        let coil = self.side(side).coils.iter().find(|c| c.fires.contains(&cylinder))?;
        Some(Site::Coil(side, coil.letter))
    }

    /// Whether `outer` encloses `inner` (a site encloses itself).
    #[must_use]
    pub fn encloses(&self, outer: Site, inner: Site) -> bool {
        outer == inner
            || match (outer, inner) {
                (Site::Engine, _) => true,
                (_, Site::Pair(pair)) => pair.sites().iter().all(|site| self.encloses(outer, *site)),
                (Site::Side(s), Site::Coil(t, _) | Site::Plug(t, _)) => s == t,
                (Site::Coil(s, letter), Site::Plug(t, n)) => {
                    s == t && self.coil_of(t, n) == Some(Site::Coil(s, letter))
                }
                (Site::Cylinder(n), Site::Plug(_, m)) => n == m,
                _ => false,
            }
    }

    /// The sites of a kind that a reference from `from` means: the same or the one enclosing site, else all enclosed ones, else
    /// all that share a plug with it (a side and a cylinder cross without one enclosing the other).
    #[must_use]
    pub fn related(&self, from: Site, kind: SiteKind) -> Vec<Site> {
        let sites = self.sites(kind);
        let up: Vec<Site> = sites.iter().copied().filter(|s| self.encloses(*s, from)).collect();
        if !up.is_empty() {
            return up;
        }
        let down: Vec<Site> = sites.iter().copied().filter(|s| self.encloses(from, *s)).collect();
        if !down.is_empty() {
            return down;
        }
        let plugs = self.sites(SiteKind::Plug);
        let crosses = |s: &Site| plugs.iter().any(|plug| self.encloses(from, *plug) && self.encloses(*s, *plug));
        sites.into_iter().filter(crosses).collect()
    }

    /// Tags that a site answers to in `only:`; a plug is `upper` or `lower` too.
    #[must_use]
    pub fn tags_of(&self, site: Site) -> Vec<&str> {
        let mut tags: Vec<&str> = self.tags.iter().map(String::as_str).collect();
        let electronic = [&self.left, &self.right].map(|side| side.kind == SystemKind::Electronic);
        // What one event does to both sides asks that both are of one kind.
        tags.extend(match electronic {
            [false, false] => Some("two-magnetos"),
            [true, true] => Some("two-electronic"),
            _ => None,
        });
        for side in Side::BOTH {
            if site.side().is_none_or(|s| s == side) {
                tags.extend(self.side(side).tags());
            }
        }
        if let Site::Plug(side, n) = site {
            tags.push(if self.fires_upper(side, n) { "upper" } else { "lower" });
        }
        tags
    }
}
