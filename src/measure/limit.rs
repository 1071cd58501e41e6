//! Limits: the bands a reading can fall into, and what they are measured against.
//!
//! Owns the shape of a limit and its rules. Must not know readings, nor what the outcomes it names stand for.

use serde::{Deserialize, Serialize};
use thiserror::Error;

use super::{Dimension, Unit};

/// What a reading is compared by, before it meets the bands.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// The reading itself.
    #[default]
    Absolute,
    /// The reading over the length of the lead in feet.
    PerFoot,
    /// The reading over the median of the like readings of this job; the edges are plain ratios.
    RatioToPeers,
    /// How far apart the reading and that of the other side are, without a sign.
    DifferenceToOtherSide,
    /// The reading less the one before: a fall is negative.
    ChangeFromBefore,
}

/// The upper end of a band.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Edge {
    /// Where it is, in base units of what is compared (ohm per foot for a limit per foot, a plain ratio for a ratio).
    pub at: f64,
    /// Whether a reading exactly there still belongs to the band (`up-to`), or to the next (`below`).
    pub inclusive: bool,
}

/// A band of a limit: from the upper end of the one before to its own.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Band {
    /// Its upper end; none for the last band.
    pub upper: Option<Edge>,
    /// The outcomes a reading in it can mean: several where the reading alone cannot tell them apart.
    pub is: Vec<String>,
}

/// What a reading is judged against.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Limit {
    /// The name it is referred to by.
    pub name: String,
    /// What it is called in a sentence.
    pub title: String,
    /// The unit a bare number is taken in and the edges are shown in.
    pub unit: Unit,
    /// What is measured: the dimension of the unit.
    pub dimension: Dimension,
    /// What the reading is compared by.
    pub basis: Basis,
    /// The temperature of copper a reading is corrected to, in degree Celsius.
    pub reference_celsius: Option<f64>,
    /// The bands, rising.
    pub bands: Vec<Band>,
    /// The outcomes of an open circuit (OL); empty where none can occur.
    pub open: Vec<String>,
    /// The least and the greatest value that a reading can have at all, in base units, where the tree says so.
    pub possible: Option<(f64, f64)>,
    /// Where the figures come from: the name of a source, or `common` or `placeholder`.
    pub source: String,
}

impl Limit {
    /// A limit with its bands. Its title is its name and its source `placeholder` until they are given.
    ///
    /// # Errors
    /// A [`LimitError`] where the bands do not rise, leave a gap at the top or name no outcome.
    pub fn new(name: impl Into<String>, unit: Unit, basis: Basis, bands: Vec<Band>) -> Result<Self, LimitError> {
        check(basis, &bands)?;
        let name = name.into();
        Ok(Self {
            title: name.replace('-', " "),
            name,
            unit,
            dimension: unit.dimension(),
            basis,
            reference_celsius: None,
            bands,
            open: Vec::new(),
            possible: None,
            source: "placeholder".to_owned(),
        })
    }

    /// The same limit with a title for sentences.
    #[must_use]
    pub fn titled(mut self, title: impl Into<String>) -> Self {
        self.title = title.into();
        self
    }

    /// The same limit with the outcomes of an open circuit.
    #[must_use]
    pub fn with_open(mut self, open: Vec<String>) -> Self {
        self.open = open;
        self
    }

    /// The same limit with the least and the greatest value that a reading can have at all, in base units.
    ///
    /// # Errors
    /// [`LimitError::NoRange`] where they are no numbers, or the least is not below the greatest.
    pub fn possible_from(mut self, least: f64, greatest: f64) -> Result<Self, LimitError> {
        if !(least.is_finite() && greatest.is_finite() && least < greatest) {
            return Err(LimitError::NoRange);
        }
        self.possible = Some((least, greatest));
        Ok(self)
    }

    /// What readings can be at all, where this one cannot be: "0 in to 0.5 in".
    #[must_use]
    pub fn cannot_be(&self, reading: &super::Reading) -> Option<String> {
        let (least, greatest) = self.possible?;
        let super::Reading::Value { quantity, .. } = reading else { return None };
        let shown = |at| super::Quantity::new(self.dimension, at).show(Some(&self.unit));
        let outside = quantity.value < least || quantity.value > greatest;
        outside.then(|| format!("{} to {}", shown(least), shown(greatest)))
    }

    /// Each band in words, from low to high, with the outcomes it can mean; an open circuit last, where one can occur.
    #[must_use]
    pub fn spans(&self) -> Vec<(String, &[String])> {
        super::words::bands(self)
    }

    /// How a reading is brought to like before it meets the bands; nothing where it is taken as it is.
    #[must_use]
    pub fn correction(&self) -> Option<String> {
        let basis = match self.basis {
            Basis::Absolute => None,
            Basis::PerFoot => Some("divided by the length of the lead in feet".to_owned()),
            Basis::RatioToPeers => Some("compared with the median of the like readings of this job".to_owned()),
            Basis::DifferenceToOtherSide => Some("compared with the reading of the other side".to_owned()),
            Basis::ChangeFromBefore => Some("compared with the reading before".to_owned()),
        };
        let copper = self.reference_celsius.map(|celsius| {
            format!("brought to {celsius} C, as copper rises with heat, where the temperature is given")
        });
        let all: Vec<String> = basis.into_iter().chain(copper).collect();
        (!all.is_empty()).then(|| all.join(" and "))
    }

    /// From where to where an outcome reaches, in base units of what is compared: the lower and the upper edge, where there are such.
    /// None where no band is that outcome.
    #[must_use]
    pub fn span_of(&self, outcome: &str) -> Option<(Option<f64>, Option<f64>)> {
        let is = |band: &Band| band.is.iter().any(|name| name == outcome);
        let first = self.bands.iter().position(is)?;
        let last = self.bands.iter().rposition(is).unwrap_or(first);
        let edge = |band: &Band| band.upper.map(|edge| edge.at);
        Some((first.checked_sub(1).and_then(|below| edge(&self.bands[below])), edge(&self.bands[last])))
    }

    /// What a value has to be multiplied by to be quite ordinary, where a slip of the unit's prefix (milli, kilo, mega, thousandths) explains
    /// it: it then lies where the outcome `ordinary` is, and no further than ten times from an edge of it.
    #[must_use]
    pub fn slip_of_unit(&self, at: f64, ordinary: &str) -> Option<f64> {
        let (bottom, top) = self.span_of(ordinary)?;
        let is_ordinary = bottom.is_none_or(|bottom| at >= bottom) && top.is_none_or(|top| at <= top);
        let low = bottom.or(top.map(|top| top / 10.0))?;
        let high = top.or(bottom.map(|bottom| bottom * 10.0))?;
        // A difference is taken of two readings, and both would have to slip alike; a ratio has no unit.
        let has_unit = matches!(self.basis, Basis::Absolute | Basis::PerFoot);
        if !has_unit || at <= 0.0 || is_ordinary {
            return None;
        }
        [1e3, 1e-3, 1e6, 1e-6].into_iter().find(|factor| (low..=high).contains(&(at * factor)))
    }

    /// The same limit with the name of its source.
    #[must_use]
    pub fn from_source(mut self, source: impl Into<String>) -> Self {
        self.source = source.into();
        self
    }

    /// The same limit for copper at a reference temperature, in degree Celsius.
    ///
    /// # Errors
    /// [`LimitError::NotCopper`] for anything but a resistance, [`LimitError::ComparedHot`] where two readings of one
    /// temperature are compared, and [`LimitError::Temperature`] for a temperature no winding has.
    pub fn at_celsius(mut self, celsius: f64) -> Result<Self, LimitError> {
        if self.dimension != Dimension::Resistance {
            return Err(LimitError::NotCopper(self.dimension));
        }
        if matches!(self.basis, Basis::RatioToPeers | Basis::DifferenceToOtherSide) {
            return Err(LimitError::ComparedHot);
        }
        let (least, most) = Dimension::Temperature.possible();
        if !(least..=most).contains(&celsius) {
            return Err(LimitError::Temperature);
        }
        self.reference_celsius = Some(celsius);
        Ok(self)
    }

    /// Every outcome the limit names, each once: those of the bands from below, then those of an open circuit.
    pub fn outcomes(&self) -> Vec<&str> {
        let mut names: Vec<&str> = Vec::new();
        for name in self.bands.iter().flat_map(|band| &band.is).chain(&self.open) {
            if !names.contains(&name.as_str()) {
                names.push(name);
            }
        }
        names
    }
}

/// What is wrong with a limit. Bands are counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Error)]
pub enum LimitError {
    /// No bands at all.
    #[error("The limit has no bands. Give at least one band with an upper end and a last one without.")]
    NoBands,
    /// The last band ends.
    #[error("The last band has an upper end, so a reading above it means nothing. Add a last band without an end.")]
    LastHasUpper,
    /// A band other than the last does not end.
    #[error("Band {0} has no upper end, but bands follow it. Give it one with below or up-to, or put it last.")]
    MissingUpper(usize),
    /// A band does not end above the one before.
    #[error("Band {0} does not end above the band before it. Write the bands in rising order.")]
    NotRising(usize),
    /// A band's end is not a number.
    #[error("Band {0} ends at no finite number. Write its end as a number and a unit.")]
    NotFinite(usize),
    /// A band's end is below nought where nothing can be.
    #[error(
        "Band {0} ends at or below nought, and a ratio or a difference between sides is never below nought. Give its end above nought."
    )]
    BelowNought(usize),
    /// What a reading can be at all is no range.
    #[error("What a reading can be runs from a number to a greater one. Give from: and to:, each with its unit.")]
    NoRange,
    /// A band names no outcome.
    #[error("Band {0} names no outcome. Say what a reading in it is.")]
    NoOutcome(usize),
    /// A reference temperature for something other than a resistance.
    #[error(
        "Only a resistance is corrected for the temperature of copper, and this is {}. Leave at-temperature out.", .0.with_article()
    )]
    NotCopper(Dimension),
    /// A reference temperature where two readings taken alike are compared.
    #[error(
        "Readings compared with their peers or with the other side are taken at one temperature. Leave at-temperature out."
    )]
    ComparedHot,
    /// A reference temperature out of this world.
    #[error("The reference temperature is none that a winding has. Give one such as 20 C.")]
    Temperature,
}

fn check(basis: Basis, bands: &[Band]) -> Result<(), LimitError> {
    let Some(last) = bands.len().checked_sub(1) else {
        return Err(LimitError::NoBands);
    };
    let never_negative = matches!(basis, Basis::RatioToPeers | Basis::DifferenceToOtherSide);
    let mut before = f64::NEG_INFINITY;
    for (index, band) in bands.iter().enumerate() {
        let number = index + 1;
        if band.is.is_empty() {
            return Err(LimitError::NoOutcome(number));
        }
        match band.upper {
            None if index == last => {}
            None => return Err(LimitError::MissingUpper(number)),
            Some(_) if index == last => return Err(LimitError::LastHasUpper),
            Some(edge) if !edge.at.is_finite() => return Err(LimitError::NotFinite(number)),
            // "Up to nought" is a band of its own: no difference at all.
            Some(edge) if never_negative && (edge.at < 0.0 || edge.at == 0.0 && !edge.inclusive) => {
                return Err(LimitError::BelowNought(number));
            }
            Some(edge) if edge.at <= before => return Err(LimitError::NotRising(number)),
            Some(edge) => before = edge.at,
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn band(at: Option<f64>, is: &[&str]) -> Band {
        Band {
            upper: at.map(|at| Edge { at, inclusive: true }),
            is: is.iter().map(|name| (*name).to_owned()).collect(),
        }
    }

    fn made(basis: Basis, bands: Vec<Band>) -> Result<Limit, LimitError> {
        Limit::new("coil-secondary", Unit::base(Dimension::Resistance), basis, bands)
    }

    #[test]
    fn faults_in_bands_are_told_apart() {
        let low = || band(Some(8.0), &["low"]);
        let top = || band(None, &["high"]);
        for (basis, bands, fault) in [
            (Basis::Absolute, vec![], LimitError::NoBands),
            (Basis::Absolute, vec![low()], LimitError::LastHasUpper),
            (Basis::Absolute, vec![top(), top()], LimitError::MissingUpper(1)),
            (Basis::Absolute, vec![low(), low(), top()], LimitError::NotRising(2)),
            (Basis::Absolute, vec![low(), band(Some(7.0), &["x"]), top()], LimitError::NotRising(2)),
            (Basis::Absolute, vec![band(Some(f64::NAN), &["x"]), top()], LimitError::NotFinite(1)),
            (Basis::Absolute, vec![low(), band(None, &[])], LimitError::NoOutcome(2)),
            (Basis::RatioToPeers, vec![band(Some(-1.0), &["x"]), top()], LimitError::BelowNought(1)),
        ] {
            assert_eq!(made(basis, bands).unwrap_err(), fault);
        }
        assert!(made(Basis::ChangeFromBefore, vec![band(Some(-1.0), &["x"]), top()]).is_ok());
        let limit = made(Basis::Absolute, vec![low(), top()]).unwrap();
        assert_eq!(limit.title, "coil secondary");
        assert_eq!(limit.with_open(vec!["open".to_owned(), "low".to_owned()]).outcomes(), ["low", "high", "open"]);
    }

    #[test]
    fn only_a_winding_has_a_reference_temperature() {
        let bands = || vec![band(Some(8.0), &["low"]), band(None, &["high"])];
        let volts = Limit::new("drop", Unit::base(Dimension::Voltage), Basis::Absolute, bands()).unwrap();
        assert_eq!(volts.at_celsius(20.0), Err(LimitError::NotCopper(Dimension::Voltage)));
        let ratio = made(Basis::RatioToPeers, bands()).unwrap();
        assert_eq!(ratio.at_celsius(20.0), Err(LimitError::ComparedHot));
        let ohms = made(Basis::Absolute, bands()).unwrap();
        assert_eq!(ohms.clone().at_celsius(f64::NAN), Err(LimitError::Temperature));
        assert_eq!(ohms.at_celsius(20.0).unwrap().reference_celsius, Some(20.0));
    }
}
