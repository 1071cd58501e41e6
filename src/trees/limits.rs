//! Limits: overrides laid over them, and their twins turned into what judges a reading.

use super::declared::{Decl, Declared};
use super::faults::{Faults, code};
use super::lower::MARKS;
use super::shapes::Figure;
use super::twin::{BandTwin, BasisTwin, CheckTwin, LimitTwin, PossibleTwin};
use crate::measure::{Band, Basis, Dimension, Edge, Limit, LimitError, Unit, parse_edge, parse_quantity};

impl LimitTwin {
    /// Every outcome a reading can end in, with the path to it.
    fn outcomes_at(&self) -> impl Iterator<Item = (String, &str)> {
        let bands = self.bands.iter().flatten().enumerate();
        let bands =
            bands.flat_map(|(i, band)| band.is.0.iter().map(move |name| (format!("bands/{i}/is"), name.as_str())));
        bands.chain(self.open.iter().flat_map(|open| &open.0).map(|name| ("open".to_string(), name.as_str())))
    }

    /// Every outcome a reading can end in.
    pub(super) fn outcomes(&self) -> impl Iterator<Item = &str> {
        let bands = self.bands.iter().flatten().flat_map(|band| &band.is.0);
        bands.chain(self.open.iter().flat_map(|open| &open.0)).map(String::as_str)
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
        lay(&mut self.possible, over.possible.as_ref());
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

/// That a check has every outcome that its limit names; `decl` is where the outcomes are named.
pub(super) fn fits(check: &Decl<CheckTwin>, decl: &Decl<LimitTwin>, twin: &LimitTwin, faults: &mut Faults) {
    for (path, name) in twin.outcomes_at() {
        if name != "normal" && check.twin.outcomes.get(name).is_none() {
            let known: Vec<&str> = check.twin.outcomes.0.iter().map(|(name, _)| name.as_str()).collect();
            let message = format!("The check \"{}\" uses this limit and has no outcome \"{name}\".", check.name);
            faults.add(
                code::BAND_OUTCOME,
                decl.at(&path),
                message,
                format!("Name normal or one of its outcomes: {}.", known.join(", ")),
            );
        }
    }
}

/// That overrides lay over limits there are, name outcomes there are, and have a source.
pub(super) fn look_at_overrides(declared: &Declared, overrides: &[Decl<LimitTwin>], faults: &mut Faults) {
    for over in overrides {
        if !declared.limits.knows(&over.name) {
            faults.unknown("limit", &over.name, over.place(), declared.limits.names());
        }
        match &over.twin.source {
            None if over.twin.bands.is_some() || over.twin.at_temperature.is_some() => no_source(over, faults),
            None => {}
            Some(cite) => look_at_source(declared, over, &cite.name, faults),
        }
        for check in &declared.checks.items {
            if check.twin.reading.as_ref().is_some_and(|reading| reading.limit == over.name) {
                fits(check, over, &over.twin, faults);
            }
        }
    }
}

fn no_source(decl: &Decl<LimitTwin>, faults: &mut Faults) {
    let mend = "Add source: with the name of a source, or common (common practice) or placeholder (our guess).";
    faults.add(
        code::NO_SOURCE,
        decl.place(),
        format!("The figures of the limit \"{}\" have no source.", decl.name),
        mend,
    );
}

fn look_at_source(declared: &Declared, decl: &Decl<LimitTwin>, name: &str, faults: &mut Faults) {
    if !MARKS.contains(&name) && !declared.sources.knows(name) {
        faults.unknown("source", name, decl.at("source/name"), MARKS.into_iter().chain(declared.sources.names()));
    }
}

/// The limits of a tree by themselves, each looked at.
pub(super) fn look(declared: &Declared, faults: &mut Faults) {
    for decl in &declared.limits.items {
        match &decl.twin.source {
            None => no_source(decl, faults),
            Some(cite) => look_at_source(declared, decl, &cite.name, faults),
        }
        lower_one(&decl.name, &decl.twin, decl, faults);
    }
}

/// The limits in force turned into what judges a reading. A fault is noted at the last override of the limit, or where it is
/// declared.
pub(super) fn lower(
    declared: &Declared,
    in_force: &[LimitTwin],
    overrides: &[Decl<LimitTwin>],
    faults: &mut Faults,
) -> Vec<Limit> {
    let each = declared.limits.items.iter().zip(in_force);
    each.filter_map(|(decl, twin)| {
        let place = overrides.iter().rfind(|over| over.name == decl.name).unwrap_or(decl);
        lower_one(&decl.name, twin, place, faults)
    })
    .collect()
}

fn lower_one(name: &str, twin: &LimitTwin, place: &Decl<LimitTwin>, faults: &mut Faults) -> Option<Limit> {
    let mut fault = |path: &str, message: String, mend: &str| {
        faults.add(code::BAD_LIMIT, place.at(path), message, mend);
    };
    let Some(unit_name) = &twin.unit else {
        fault(
            "unit",
            format!("The limit \"{name}\" has no unit."),
            "Add unit: such as ohm, V, rpm or deg; 1 for a plain number.",
        );
        return None;
    };
    let unit = match Unit::parse(unit_name) {
        Ok(unit) => unit,
        Err(why) => {
            fault("unit", why.to_string(), "Write a unit that the program knows.");
            return None;
        }
    };
    let basis = twin.basis.map_or(Basis::Absolute, Into::into);
    let mut bands = Vec::new();
    for (i, band) in twin.bands.iter().flatten().enumerate() {
        match edge(band, basis, &unit) {
            Ok(upper) => bands.push(Band { upper, is: band.is.0.clone() }),
            Err((field, why)) => {
                fault(&format!("bands/{i}/{field}"), why, "Write the upper end as a number with its unit.");
            }
        }
    }
    if bands.len() < twin.bands.iter().flatten().count() {
        return None;
    }
    let limit = match Limit::new(name, unit, basis, bands) {
        Ok(limit) => limit,
        Err(why) => {
            fault(
                &bands_path(why),
                format!("The limit \"{name}\" cannot be used. {why}"),
                "Write the bands in rising order, the last without an end.",
            );
            return None;
        }
    };
    let limit = match &twin.at_temperature {
        None => limit,
        Some(figure) => {
            let celsius = parse_quantity(&written(figure), Unit::parse("C").ok().as_ref());
            match celsius {
                Ok(celsius) if celsius.dimension == Dimension::Temperature => match limit.at_celsius(celsius.value) {
                    Ok(limit) => limit,
                    Err(why) => {
                        fault(
                            "at-temperature",
                            why.to_string(),
                            "Write a temperature such as \"20 C\", or leave it out.",
                        );
                        return None;
                    }
                },
                _ => {
                    fault(
                        "at-temperature",
                        "This is no temperature.".to_string(),
                        "Write a temperature such as \"20 C\".",
                    );
                    return None;
                }
            }
        }
    };
    let limit = match twin.possible.as_ref().map(|possible| range(possible, &unit)) {
        None => limit,
        Some(range) => {
            match range.and_then(|(from, to)| limit.possible_from(from, to).map_err(|why| why.to_string())) {
                Ok(limit) => limit,
                Err(why) => {
                    fault("possible", why, "Write possible: {from: \"0 in\", to: \"0.2 in\"}.");
                    return None;
                }
            }
        }
    };
    let open = twin.open.iter().flat_map(|open| open.0.clone()).collect();
    let source = twin.source.as_ref().map_or("placeholder", |cite| cite.name.as_str());
    let title = twin.title.clone().unwrap_or_else(|| name.replace('-', " "));
    Some(limit.titled(title).with_open(open).from_source(source))
}

/// What a reading can be at all, in base units.
fn range(possible: &PossibleTwin, unit: &Unit) -> Result<(f64, f64), String> {
    let at = |figure: &Figure| match parse_quantity(&written(figure), Some(unit)) {
        Ok(quantity) if quantity.dimension == unit.dimension() => Ok(quantity.value),
        Ok(quantity) => Err(format!("A reading in {} cannot be {}.", unit.symbol(), quantity.dimension.with_article())),
        Err(why) => Err(why.to_string()),
    };
    Ok((at(&possible.from)?, at(&possible.to)?))
}

/// Which of a limit's fields is at fault.
fn bands_path(why: LimitError) -> String {
    match why {
        LimitError::MissingUpper(n)
        | LimitError::NotRising(n)
        | LimitError::NotFinite(n)
        | LimitError::BelowNought(n)
        | LimitError::NoOutcome(n) => format!("bands/{}", n.saturating_sub(1)),
        _ => "bands".to_string(),
    }
}

/// The upper end of a band, or the field at fault and why.
fn edge(band: &BandTwin, basis: Basis, unit: &Unit) -> Result<Option<Edge>, (&'static str, String)> {
    let (field, figure, inclusive) = match (&band.below, &band.up_to) {
        (None, None) => return Ok(None),
        (Some(_), Some(_)) => return Err(("below", "A band has one upper end: below or up-to, not both.".to_string())),
        (Some(figure), None) => ("below", figure, false),
        (None, Some(figure)) => ("up-to", figure, true),
    };
    match parse_edge(&written(figure), basis, unit) {
        Ok(at) => Ok(Some(Edge { at, inclusive })),
        Err(why) => Err((field, why.to_string())),
    }
}

/// A figure as one would type it.
fn written(figure: &Figure) -> String {
    match figure {
        Figure::Bare(number) => number.to_string(),
        Figure::Text(text) => text.clone(),
    }
}

impl From<BasisTwin> for Basis {
    fn from(twin: BasisTwin) -> Self {
        match twin {
            BasisTwin::Absolute => Self::Absolute,
            BasisTwin::PerFoot => Self::PerFoot,
            BasisTwin::RatioToPeers => Self::RatioToPeers,
            BasisTwin::DifferenceToOtherSide => Self::DifferenceToOtherSide,
            BasisTwin::ChangeFromBefore => Self::ChangeFromBefore,
        }
    }
}
