//! Where a part sits on the engine.

use std::fmt;
use std::str::FromStr;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One of the two ignition systems.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Side {
    /// The left system.
    Left,
    /// The right system.
    Right,
}

impl Side {
    /// Both, left first.
    pub const BOTH: [Self; 2] = [Self::Left, Self::Right];

    /// The other one.
    #[must_use]
    pub fn other(self) -> Self {
        match self {
            Self::Left => Self::Right,
            Self::Right => Self::Left,
        }
    }
}

impl fmt::Display for Side {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Left => "left",
            Self::Right => "right",
        })
    }
}

/// The kinds of site a tree declares things at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "lowercase")]
pub enum SiteKind {
    /// The whole engine.
    Engine,
    /// One ignition system.
    Side,
    /// One coil of an electronic system.
    Coil,
    /// One cylinder.
    Cylinder,
    /// One plug with its lead.
    Plug,
}

/// A site of one engine. Written `engine`, `left`, `left coil A`, `cylinder 3`, `left 3`, and two sites as `left 3 with left 5`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Site {
    /// The whole engine.
    Engine,
    /// One ignition system.
    Side(Side),
    /// A coil of an electronic system, by its capital letter.
    Coil(Side, char),
    /// A cylinder, counted from 1.
    Cylinder(u8),
    /// The plug of a side in a cylinder, with its lead.
    Plug(Side, u8),
    /// Two sites of one kind whose parts are swapped for a trial.
    Pair(Pair),
}

/// Two different sites of one kind, the smaller first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Pair {
    first: Half,
    second: Half,
}

/// A site that can be half of a pair.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Half {
    Side(Side),
    Coil(Side, char),
    Cylinder(u8),
    Plug(Side, u8),
}

impl Half {
    fn of(site: Site) -> Option<Self> {
        match site {
            Site::Side(side) => Some(Self::Side(side)),
            Site::Coil(side, letter) => Some(Self::Coil(side, letter)),
            Site::Cylinder(n) => Some(Self::Cylinder(n)),
            Site::Plug(side, n) => Some(Self::Plug(side, n)),
            Site::Engine | Site::Pair(_) => None,
        }
    }

    fn site(self) -> Site {
        match self {
            Self::Side(side) => Site::Side(side),
            Self::Coil(side, letter) => Site::Coil(side, letter),
            Self::Cylinder(n) => Site::Cylinder(n),
            Self::Plug(side, n) => Site::Plug(side, n),
        }
    }
}

impl Pair {
    /// A pair of two sites in either order; none where they are one site, of two kinds, or the engine.
    #[must_use]
    pub fn of(one: Site, other: Site) -> Option<Self> {
        let (a, b) = (Half::of(one)?, Half::of(other)?);
        (a != b && one.kind() == other.kind()).then(|| Self { first: a.min(b), second: a.max(b) })
    }

    /// Both sites, the smaller first.
    #[must_use]
    pub fn sites(self) -> [Site; 2] {
        [self.first.site(), self.second.site()]
    }
}

impl Site {
    /// What kind of site this is; of a pair, what kind its two sites are.
    #[must_use]
    pub fn kind(self) -> SiteKind {
        match self {
            Self::Pair(pair) => pair.first.site().kind(),
            Self::Engine => SiteKind::Engine,
            Self::Side(_) => SiteKind::Side,
            Self::Coil(..) => SiteKind::Coil,
            Self::Cylinder(_) => SiteKind::Cylinder,
            Self::Plug(..) => SiteKind::Plug,
        }
    }

    /// The sites it is made of: both of a pair, else itself alone.
    #[must_use]
    pub fn parts(self) -> Vec<Self> {
        match self {
            Self::Pair(pair) => pair.sites().to_vec(),
            one => vec![one],
        }
    }

    /// The side it belongs to, where it belongs to one.
    #[must_use]
    pub fn side(self) -> Option<Side> {
        match self {
            Self::Side(side) | Self::Coil(side, _) | Self::Plug(side, _) => Some(side),
            Self::Engine | Self::Cylinder(_) => None,
            Self::Pair(pair) => {
                let [one, other] = pair.sites().map(Self::side);
                one.filter(|side| other == Some(*side))
            }
        }
    }

    /// The cylinder it belongs to, where it belongs to one.
    #[must_use]
    pub fn cylinder(self) -> Option<u8> {
        match self {
            Self::Cylinder(n) | Self::Plug(_, n) => Some(n),
            _ => None,
        }
    }
}

impl fmt::Display for Site {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Engine => f.write_str("engine"),
            Self::Side(side) => write!(f, "{side}"),
            Self::Coil(side, letter) => write!(f, "{side} coil {letter}"),
            Self::Cylinder(n) => write!(f, "cylinder {n}"),
            Self::Plug(side, n) => write!(f, "{side} {n}"),
            Self::Pair(pair) => {
                let [one, other] = pair.sites();
                write!(f, "{one} with {other}")
            }
        }
    }
}

/// A text that names no site.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error(
    "\"{0}\" is not a site: write engine, left, right, left coil A, cylinder 3 or left 3, and two of a kind as left 3 with left 5"
)]
pub struct ParseSiteError(pub String);

impl FromStr for Site {
    type Err = ParseSiteError;

    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let fault = || ParseSiteError(text.chars().take(40).collect());
        let side = |word: &str| match word {
            "left" => Ok(Side::Left),
            "right" => Ok(Side::Right),
            _ => Err(fault()),
        };
        let number = |word: &str| word.parse::<u8>().ok().filter(|n| (1..=18).contains(n)).ok_or_else(fault);
        let lower = text.trim().to_ascii_lowercase();
        if let Some((one, other)) = lower.split_once(" with ") {
            if other.contains(" with ") {
                return Err(fault());
            }
            let pair = Pair::of(one.parse().map_err(|_| fault())?, other.parse().map_err(|_| fault())?);
            return pair.map(Self::Pair).ok_or_else(fault);
        }
        let words: Vec<&str> = lower.split_whitespace().collect();
        match words.as_slice() {
            ["engine"] => Ok(Self::Engine),
            ["cylinder", n] => Ok(Self::Cylinder(number(n)?)),
            [s] => Ok(Self::Side(side(s)?)),
            [s, "coil", letter] => match letter.to_ascii_uppercase().chars().collect::<Vec<_>>().as_slice() {
                [c @ 'A'..='Z'] => Ok(Self::Coil(side(s)?, *c)),
                _ => Err(fault()),
            },
            [s, n] => Ok(Self::Plug(side(s)?, number(n)?)),
            _ => Err(fault()),
        }
    }
}

impl TryFrom<String> for Site {
    type Error = ParseSiteError;
    fn try_from(text: String) -> Result<Self, Self::Error> {
        text.parse()
    }
}

impl From<Site> for String {
    fn from(site: Site) -> Self {
        site.to_string()
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    #[test]
    fn what_is_written_reads_back() {
        for text in ["engine", "left", "right", "left coil A", "cylinder 3", "right 6", "left 3 with left 5"] {
            let site: Site = text.parse().unwrap();
            assert_eq!(site.to_string(), text);
        }
    }

    #[test]
    fn a_pair_is_the_same_in_either_order() {
        let pair: Site = "right 2 with left 5".parse().unwrap();
        assert_eq!(pair, "left 5 with right 2".parse().unwrap());
        assert_eq!(pair.to_string(), "left 5 with right 2");
        assert_eq!((pair.kind(), pair.side(), pair.cylinder()), (SiteKind::Plug, None, None));
        assert_eq!("left coil B with left coil A".parse::<Site>().unwrap().side(), Some(Side::Left));
    }

    #[test]
    fn other_words_are_refused() {
        for text in
            ["left 3 with left 3", "left 3 with left", "engine with left", "left with right with left", " with "]
        {
            assert!(text.parse::<Site>().is_err(), "{text}");
        }
        for text in ["", "middle", "left 0", "left coil", "left coil AB", "cylinder", "cylinder x", "left 3 upper"] {
            assert!(text.parse::<Site>().is_err(), "{text}");
        }
    }
}
