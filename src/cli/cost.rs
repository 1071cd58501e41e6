//! `roughrun cost`: the ways to put a cause right, with their sums.

use std::fmt::Write as _;

use serde_json::json;

use super::args::{Cost, Places};
use super::{CliError, Kind, Outcome, out, tree};
use crate::model::{Cause, CauseId, Fitted, Model};
use crate::shop;
use crate::text::safe_lines;
use crate::upkeep::{Way, ways};
use crate::work::Setting;

pub(super) fn run(places: &Places, args: &Cost) -> Outcome {
    let library = places.library()?;
    let prices = shop::prices(&library, places.prices.as_deref())?;
    let Some(prices) = prices else {
        return Err(CliError::new(Kind::Usage, "There is no shop file with a labour rate and prices.")
            .hint("Name one with --shop FILE; trees/FORMAT.md says how it is written."));
    };
    let library = library.with_prices(Some(prices.clone()));
    let (model, ages): (Model, Vec<Fitted>) = match (&args.aircraft, &args.layout) {
        (Some(card), _) => {
            let (aircraft, engine) = library.aircraft(card, shop::today()).map_err(shop::ShopError::Trees)?;
            (library.expand(&engine).map_err(shop::ShopError::Trees)?, aircraft.parts)
        }
        (None, Some(layout)) => (tree::model(&library, layout)?, Vec::new()),
        (None, None) => {
            return Err(CliError::new(Kind::Usage, "Which engine? Name an aircraft's card or a layout.")
                .hint("Use --aircraft FILE, or --layout NAME where there is no card."));
        }
    };
    // By the tree's name, or by the title that every page prints.
    let asked = args.cause.trim();
    let is_named = |cause: &Cause| cause.name == asked || cause.title.eq_ignore_ascii_case(asked);
    let named: Vec<usize> = (0..model.causes.len()).filter(|i| is_named(&model.causes[*i])).collect();
    if named.is_empty() {
        return Err(tree::no_name(&args.cause, model.causes.iter().map(|c| c.name.as_str()).collect()));
    }
    let there = named.iter().find(|i| args.at.is_none_or(|at| model.causes[**i].site == at));
    let Some(cause) = there.map(|i| CauseId(*i)) else {
        let sites: Vec<String> = named.iter().map(|i| model.causes[*i].site.to_string()).collect();
        let message = format!("This engine has no \"{}\" there. Its sites are: {}.", args.cause, sites.join(", "));
        return Err(CliError::new(Kind::Usage, message));
    };
    let ways = ways(&model, &ages, &Setting::resting(&model, false), &prices, cause);
    if args.json {
        let way = |way: &Way| {
            let correction = &model[way.correction];
            json!({"correction": correction.name, "at": correction.site.to_string(), "kind": correction.kind.words(),
                "access_minutes": way.access_minutes, "work_minutes": way.work_minutes, "labour": way.labour,
                "parts": way.parts, "own_price": way.own_price, "fails": correction.fails, "money": way.money,
                "hours_left": way.hours_left.as_ref().ok(), "per_hour": way.per_hour(),
                "sum": way.lines(&model, &prices)})
        };
        let cause = &model[cause];
        out::print(&tree::pretty(
            &json!({"format": "roughrun-cost-1", "cause": cause.name, "at": cause.site.to_string(),
            "currency": prices.currency, "ways": ways.iter().map(way).collect::<Vec<_>>()}),
        )?)?;
        return Ok(0);
    }
    let mut text = format!("{}, {}\n", model[cause].title, model.site_words(model[cause].site));
    for way in &ways {
        let correction = &model[way.correction];
        // Writing into a String cannot fail.
        let _ = writeln!(text, "\n{} ({})", correction.title, correction.kind.words());
        way.lines(&model, &prices).iter().for_each(|line| {
            let _ = writeln!(text, "  {line}");
        });
    }
    if ways.is_empty() {
        text.push_str("\nThe trees know no way but to hand it over.\n");
    }
    out::print(&safe_lines(&text))?;
    Ok(0)
}
