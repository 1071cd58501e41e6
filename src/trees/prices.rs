//! Shop files: one shop's labour rate and prices, held against the corrections of a tree.

use std::path::Path;

use super::diagnostic::Diagnostic;
use super::engine_twin::ShopTwin;
use super::faults::{Faults, code};
use super::library::Library;
use super::node::{Files, Place};
use super::parse;
use crate::model::{Price, Prices};

/// The format of a shop file.
pub(super) const SHOP_FORMAT: &str = "roughrun-shop-1";
/// The most money that an hour or a part is believed to cost.
const MOST_MONEY: f64 = 1_000_000.0;

impl Library {
    /// A shop's labour rate and prices.
    ///
    /// # Errors
    /// All faults of the file: figures out of range, prices of corrections that the tree does not have.
    pub fn prices(&self, path: &Path) -> Result<Prices, Vec<Diagnostic>> {
        let (mut faults, mut extra) = (Faults::default(), Files::default());
        let read = self.read_prices(path, &mut extra, &mut faults);
        match read {
            Some(prices) if faults.is_empty() => Ok(prices),
            _ => Err(faults.into_diagnostics(&self.files.with(&extra))),
        }
    }

    /// The same tree with a shop's prices: every model expanded from it has them.
    #[must_use]
    pub fn with_prices(mut self, prices: Option<Prices>) -> Self {
        self.prices = prices;
        self
    }

    fn read_prices(&self, path: &Path, extra: &mut Files, faults: &mut Faults) -> Option<Prices> {
        let (index, root) = self.take_extra(path, extra, faults)?;
        if !parse::format_is(SHOP_FORMAT, index, &root, faults) {
            return None;
        }
        let file = extra.0.get(index - self.files.0.len())?.clone();
        let start = Place { file: index, start: root.start, end: root.start };
        let twin: ShopTwin = parse::twin(&file, index, &root, start, faults)?;
        let at = |path: &str| {
            let (start, end) = root.span_of(path).unwrap_or((root.start, root.start));
            Place { file: index, start, end }
        };
        let currency = twin.currency.trim().to_owned();
        if currency.is_empty() || currency.chars().count() > 12 || currency.contains(char::is_whitespace) {
            let message = "The currency must have 1 to 12 characters and no blank.";
            faults.add(code::BAD_VALUE, at("currency"), message, "Write what stands beside the figures, such as EUR.");
        }
        let mut number = |value: Option<f64>, path: &str, what: &str, least: f64, most: f64| {
            if let Some(value) = value.filter(|value| !(least..=most).contains(value)) {
                let message = format!("{value} cannot be {what}.");
                faults.add(code::BAD_NUMBER, at(path), message, format!("Write a number from {least} to {most}."));
            }
        };
        number(Some(twin.labour_rate), "labour-rate", "money for an hour of work", 0.0, MOST_MONEY);
        number(twin.hours_per_year, "hours-per-year", "the hours an aircraft runs in a year", 1.0, 8_760.0);
        for (name, price) in &twin.prices.0 {
            number(price.parts, &format!("prices/{name}/parts"), "a price", 0.0, MOST_MONEY);
            number(price.minutes, &format!("prices/{name}/minutes"), "a time in minutes", 0.0, 10_000.0);
            number(price.hours, &format!("prices/{name}/hours"), "the hours that a part lasts", 1.0, 100_000.0);
        }
        for (name, _) in &twin.prices.0 {
            if !self.declared.corrections.knows(name) {
                let key = root.get("prices").and_then(|prices| prices.entry(name)).map(|(key, _)| (key.start, key.end));
                let (start, end) = key.unwrap_or((root.start, root.start));
                let known = self.declared.corrections.names();
                faults.unknown("correction", name, Place { file: index, start, end }, known);
            }
        }
        let of = twin
            .prices
            .0
            .into_iter()
            .map(|(name, price)| (name, Price { parts: price.parts, minutes: price.minutes, hours: price.hours }));
        Some(Prices { currency, labour: twin.labour_rate, hours_per_year: twin.hours_per_year, of: of.collect() })
    }
}
