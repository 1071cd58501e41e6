//! A judgement in full sentences.
//!
//! Owns the wording. Must not decide anything: it is told what was found.

use super::{Basis, Dimension, Edge, Instrument, Limit, Quantity, Unit, quantity::figures};

/// What was found of a reading.
pub(super) struct Said<'a> {
    pub(super) limit: &'a Limit,
    pub(super) phrase: &'a str,
    pub(super) at: f64,
    pub(super) band: usize,
    pub(super) clear: bool,
    pub(super) at_limit: bool,
    pub(super) guard: f64,
    /// What the last digit of the reading is worth, in base units.
    pub(super) resolution: f64,
    pub(super) weights: &'a [(String, f64)],
    pub(super) instrument: &'a Instrument,
    pub(super) ordinary: bool,
}

/// The sentences for an open circuit.
pub(super) fn open(limit: &Limit, outcomes: &[String]) -> String {
    let mut text = format!("The meter shows an open circuit ({}).", named(outcomes));
    if let Some(ask) = ask(outcomes.len()) {
        text.push_str(ask);
    }
    text.push_str(source(limit));
    text
}

/// The sentences for a number.
pub(super) fn value(said: &Said<'_>) -> String {
    let mut text = if said.clear { clear(said) } else { too_close(said) };
    text.push_str(source(said.limit));
    text
}

fn clear(said: &Said<'_>) -> String {
    let limit = said.limit;
    let outcomes: Vec<String> = said.weights.iter().map(|(name, _)| name.clone()).collect();
    let mut text = format!("{}: {} ({}).", said.phrase, span(limit, said.band), named(&outcomes));
    if let Some(edge) = nearest(said) {
        text.push_str(&distance(said, edge));
    }
    if let Some(ask) = ask(outcomes.len()) {
        text.push_str(ask);
    }
    text
}

/// How far the nearest limit is; nothing where the reading is taken at its word and is not at it.
fn distance(said: &Said<'_>, edge: Edge) -> String {
    let limit = said.limit;
    if said.at_limit {
        let side = if edge.inclusive { "over" } else { "below" };
        let at = edge_text(limit, edge.at);
        format!(" It is exactly at the limit of {at}, and so not {side} it.")
    } else if said.guard > 0.0 {
        let (away, guard) = Digits::of(said, edge).away_and_guard(said, edge);
        format!(" The nearest limit is {away} away, more than the guard band of {guard} for {}.", instrument(said))
    } else {
        String::new()
    }
}

fn too_close(said: &Said<'_>) -> String {
    let limit = said.limit;
    let (at, guard) = nearest(said).map_or_else(
        || (String::new(), apart_text(limit, said.guard)),
        |edge| (format!(" of {}", edge_text(limit, edge.at)), Digits::of(said, edge).outward(limit, said.guard)),
    );
    let shares: Vec<String> = said
        .weights
        .iter()
        // A hundredth of a per cent is said, less is not.
        .filter(|(_, weight)| *weight >= 1e-4)
        .map(|(name, weight)| format!("{} % {}", figures((weight * 1e4).round() / 100.0), plain(name)))
        .collect();
    format!(
        "{}: too close to the limit{at} to call, within the guard band of {guard} for {}. It counts as {} until then. \
         Measure again to more digits or with a better instrument, or go on with it so.",
        said.phrase,
        instrument(said),
        shares.join(", "),
    )
}

fn nearest(said: &Said<'_>) -> Option<Edge> {
    let edges = said.limit.bands.iter().filter_map(|band| band.upper);
    edges.min_by(|left, right| (left.at - said.at).abs().total_cmp(&(right.at - said.at).abs()))
}

/// Where a band lies: below, between or above its edges.
fn span(limit: &Limit, band: usize) -> String {
    let upper = limit.bands.get(band).and_then(|band| band.upper);
    let lower = band.checked_sub(1).and_then(|before| limit.bands.get(before)).and_then(|band| band.upper);
    let low = |edge: Edge| {
        let word = if edge.inclusive { "above" } else { "at least" };
        format!("{word} {}", edge_text(limit, edge.at))
    };
    let high = |edge: Edge| {
        let word = if edge.inclusive { "up to" } else { "below" };
        format!("{word} {}", edge_text(limit, edge.at))
    };
    match (lower, upper) {
        (None, None) => "any reading counts alike".to_owned(),
        (None, Some(edge)) => high(edge),
        (Some(edge), None) => low(edge),
        (Some(from), Some(to)) => format!("{} and {}", low(from), high(to)),
    }
}

/// Each band of a limit in words, from low to high, with the outcomes it can mean.
pub(super) fn bands(limit: &Limit) -> Vec<(String, &[String])> {
    let spans = limit.bands.iter().enumerate().map(|(at, band)| (span(limit, at), band.is.as_slice()));
    let open = (!limit.open.is_empty()).then(|| ("an open circuit".to_owned(), limit.open.as_slice()));
    spans.chain(open).collect()
}

fn edge_text(limit: &Limit, at: f64) -> String {
    let quantity = Quantity::new(limit.dimension, at);
    match limit.basis {
        Basis::Absolute => quantity.show(Some(&limit.unit)),
        _ => apart_text(limit, at),
    }
}

/// A difference on the scale the bands are on.
fn apart_text(limit: &Limit, at: f64) -> String {
    let text = Quantity::new(limit.dimension, at).show_difference(Some(&limit.unit));
    match limit.basis {
        Basis::RatioToPeers => format!("{} times", figures(at)),
        _ => on_scale(limit, text),
    }
}

fn on_scale(limit: &Limit, text: String) -> String {
    if limit.basis == Basis::PerFoot { format!("{text} per foot") } else { text }
}

/// The unit and the digits of what is said beside a reading of how near a limit is: those of the reading. A guard band is
/// never shown narrower than it is, and a distance never longer.
struct Digits {
    unit: Unit,
    /// What the last digit is worth, in base units.
    place: f64,
}

/// A reading so many times less than the limit lends its unit to nothing beside it.
const OF_ITS_SIZE: f64 = 10.0;
/// Digits that a reading's own are added to before a distance and a guard band are told apart.
const FINER: i32 = 4;

impl Digits {
    fn of(said: &Said<'_>, edge: Edge) -> Self {
        let limit = said.limit;
        let shown = if said.at.abs() * OF_ITS_SIZE < edge.at.abs() { edge.at } else { said.at };
        let unit = match limit.basis {
            Basis::RatioToPeers => Unit::RATIO,
            _ => Quantity::new(limit.dimension, shown).unit(Some(&limit.unit)),
        };
        let place = match limit.basis {
            // These are other scales than that of the reading: two figures.
            Basis::PerFoot | Basis::RatioToPeers => 10_f64.powf(said.guard.log10().floor() - 1.0),
            _ => said.resolution,
        };
        // Nought and what is no number have no digits.
        let one = unit.difference_to_base(1.0).abs();
        Self { unit, place: if place.is_finite() && place > 0.0 { place } else { one } }
    }

    /// How far away a limit is and how wide the guard band is, to as many digits as tell that the one is more than the other.
    fn away_and_guard(&self, said: &Said<'_>, edge: Edge) -> (String, String) {
        let away = (said.at - edge.at).abs();
        let told = |finer: &i32| {
            let place = self.place * 10_f64.powi(-finer);
            (away / place + SLACK).floor() > (said.guard / place - SLACK).ceil()
        };
        let finer = (0..FINER).find(told).unwrap_or(FINER);
        let digits = Self { place: self.place * 10_f64.powi(-finer), ..*self };
        (digits.text(said.limit, (away / digits.place + SLACK).floor()), digits.outward(said.limit, said.guard))
    }

    fn outward(&self, limit: &Limit, width: f64) -> String {
        self.text(limit, (width / self.place - SLACK).ceil())
    }

    fn text(&self, limit: &Limit, places: f64) -> String {
        let number = figures(self.unit.difference_from_base(places * self.place));
        match self.unit.symbol() {
            _ if limit.dimension == Dimension::Angle => format!("{number} deg"),
            symbol => on_scale(limit, format!("{number} {symbol}")),
        }
    }
}

/// How a computer writes tenths is no reason to go a digit further.
const SLACK: f64 = 1e-9;

fn instrument(said: &Said<'_>) -> String {
    let name = &said.instrument.name;
    if said.ordinary { format!("{name} (common practice)") } else { name.clone() }
}

fn source(limit: &Limit) -> &'static str {
    match limit.source.as_str() {
        "common" => {
            " The limit is common practice, not a published figure; the manufacturer's current figure goes before it."
        }
        "placeholder" => " The limit is a placeholder, not a published figure; use the manufacturer's current figure.",
        _ => "",
    }
}

fn ask(outcomes: usize) -> Option<&'static str> {
    (outcomes > 1)
        .then_some(" The reading alone does not tell these apart; say which it is, or it counts for them alike.")
}

fn named(outcomes: &[String]) -> String {
    outcomes.iter().map(|name| plain(name)).collect::<Vec<_>>().join(" or ")
}

fn plain(name: &str) -> String {
    name.replace('-', " ")
}
