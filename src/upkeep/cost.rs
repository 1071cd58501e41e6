//! The ways to put a cause right, each with what it costs for the hours it leaves on the parts: the sum, line by line.

use std::collections::BTreeSet;

use super::due::{counts, life};
use super::part_words;
use super::remind::renews;
use crate::model::{CauseId, CorrectionId, CorrectionKind, Fitted, Model, Price, Prices, Site};
use crate::work::{Setting, reach};

/// One way to put a cause right, with its sum.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The correction.
    pub correction: CorrectionId,
    /// Minutes of opening what is closed now, and of closing it again.
    pub access_minutes: f64,
    /// Minutes of work.
    pub work_minutes: f64,
    /// Money for all the minutes.
    pub labour: f64,
    /// Money of parts.
    pub parts: f64,
    /// Whether the parts' price is the shop's own and not the tree's.
    pub own_price: bool,
    /// Money for labour and parts, with a share for doing it again where it does not cure.
    pub money: f64,
    /// Engine hours left on the parts concerned after it, 0 or more; or why that cannot be said.
    pub hours_left: Result<f64, String>,
    /// What sets the hours left: "points new, 500 h".
    pub until: String,
}

impl Way {
    /// Money for each engine hour that it leaves; none where no hours are left or they are not known.
    #[must_use]
    pub fn per_hour(&self) -> Option<f64> {
        self.hours_left.as_ref().ok().filter(|hours| **hours > 0.0).map(|hours| self.money / hours)
    }

    /// The sum in lines.
    #[must_use]
    pub fn lines(&self, model: &Model, prices: &Prices) -> Vec<String> {
        let correction = &model[self.correction];
        let currency = &prices.currency;
        let minutes = self.access_minutes + self.work_minutes;
        let price = if self.own_price { "the shop's price" } else { "the tree's figure, not the shop's" };
        let mut lines = vec![
            format!("work {:.0} min + access {:.0} min = {minutes:.0} min", self.work_minutes, self.access_minutes),
            format!("labour {minutes:.0} min x {:.2} {currency}/h = {:.2} {currency}", prices.labour, self.labour),
            format!("parts {:.2} {currency} ({price})", self.parts),
            format!("together {:.2} {currency}", self.labour + self.parts),
        ];
        if correction.fails > 0.0 {
            lines.push(format!(
                "does not cure {:.0} in 100: / {:.2} = {:.2} {currency}",
                100.0 * correction.fails,
                1.0 - correction.fails,
                self.money
            ));
        }
        match &self.hours_left {
            Ok(hours) => lines.push(format!("hours left after it {hours:.0} ({})", self.until)),
            Err(why) => lines.push(format!("hours left after it not known: {why}")),
        }
        if let (Some(per_hour), Ok(hours)) = (self.per_hour(), &self.hours_left) {
            lines.push(format!("{:.2} {currency} / {hours:.0} h = {per_hour:.2} {currency} per hour left", self.money));
        }
        lines
    }
}

/// The ways to put a cause right, the cheapest per hour left first; then those without such a figure, by money. Handing over is
/// none of them.
#[must_use]
pub fn ways(model: &Model, ages: &[Fitted], setting: &Setting, prices: &Prices, cause: CauseId) -> Vec<Way> {
    let cures = model.cures(cause);
    let cures: Vec<CorrectionId> = cures.into_iter().filter(|id| model[*id].kind != CorrectionKind::HandOver).collect();
    // All that any of the ways would renew: what the least of them leaves old still has to be renewed in its time.
    let concerned: BTreeSet<(&str, Site)> = cures
        .iter()
        .flat_map(|id| &model[*id].cures)
        .map(|id| (model[*id].part.as_str(), model[*id].site))
        .filter(|(part, site)| life(model, part, *site) != (None, None))
        .collect();
    let mut found: Vec<Way> = cures.iter().map(|id| way(model, ages, setting, prices, *id, &concerned)).collect();
    found.sort_by(|a, b| {
        let key = |way: &Way| way.per_hour().unwrap_or(f64::INFINITY);
        key(a).total_cmp(&key(b)).then(a.money.total_cmp(&b.money))
    });
    found
}

fn way(
    model: &Model,
    ages: &[Fitted],
    setting: &Setting,
    prices: &Prices,
    id: CorrectionId,
    concerned: &BTreeSet<(&str, Site)>,
) -> Way {
    let correction = &model[id];
    let price = prices.price_of(correction);
    let reached = reach(model, setting, &correction.open, &[]);
    let closing: f64 = reached.opens.iter().map(|id| model[*id].close).sum();
    let access_minutes = reached.minutes + closing;
    let work_minutes = price.minutes.unwrap_or(correction.minutes);
    let labour = (access_minutes + work_minutes) / 60.0 * prices.labour;
    let parts = price.parts_of(correction);
    let (hours_left, until) = match hours_left(model, ages, prices, id, price, concerned) {
        Ok((hours, until)) => (Ok(hours), until),
        Err(why) => (Err(why), String::new()),
    };
    Way {
        correction: id,
        access_minutes,
        work_minutes,
        labour,
        parts,
        own_price: price.parts.is_some(),
        money: (labour + parts) / (1.0 - correction.fails),
        hours_left,
        until,
    }
}

/// The hours until the first of the parts concerned reaches its life, and which that is.
fn hours_left(
    model: &Model,
    ages: &[Fitted],
    prices: &Prices,
    id: CorrectionId,
    price: Price,
    concerned: &BTreeSet<(&str, Site)>,
) -> Result<(f64, String), String> {
    let mut least: Option<(f64, String)> = None;
    let mut take = |hours: f64, until: String| {
        if least.as_ref().is_none_or(|(known, _)| hours < *known) {
            least = Some((hours, until));
        }
    };
    for (part, site) in concerned {
        let name = format!("{}, {site}", part_words(part));
        let new = renews(model, &model[id], part, *site);
        if let (true, Some(hours)) = (new, price.hours) {
            take(hours, format!("{name}: new, {hours:.0} h by the shop's word"));
            continue;
        }
        let (hours, years) = counts(model, ages, part, *site);
        if let Some(count) = hours {
            let age = if new { Some(0.0) } else { count.age };
            let age = age.ok_or_else(|| format!("the card does not give the hours of {name}"))?;
            let left = (count.life - age).max(0.0);
            let said = if new { "new".to_owned() } else { format!("{age:.0} h old") };
            take(left, format!("{name}: {said}, life {:.0} h", count.life));
        }
        // A life in years counts where the shop says how much its aircraft run, and where it is all there is.
        match (years, prices.hours_per_year) {
            (Some(count), Some(per_year)) => {
                let age = if new { Some(0.0) } else { count.age };
                let age = age.ok_or_else(|| format!("the card does not give the day {name} was fitted"))?;
                let left = ((count.life - age) * per_year).max(0.0);
                let said = if new { "new".to_owned() } else { format!("{age:.1} years old") };
                take(left, format!("{name}: {said}, life {} years at {per_year:.0} h a year", count.life));
            }
            (Some(_), None) if hours.is_none() => {
                return Err(format!("the life of {name} is in years, and the shop file has no hours-per-year"));
            }
            _ => {}
        }
    }
    least.ok_or_else(|| "the tree gives these parts no life".to_owned())
}
