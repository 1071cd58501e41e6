//! Parts measured and replaced, and good parts thrown away.

use super::super::chart::{Bars, Chart, Section, Table, number, number_on_page, word};
use super::{MOST_BARS, MOST_ROWS, SHARE, bar, plain, share};
use crate::figures::{Figures, GoodParts, PartFigure};
use crate::text::counted;

/// What is known of parts that came off, in the order of [`crate::tables::WAS`].
const KNOWN: [&str; 6] =
    ["measured bad", "seen bad", "proven by the run", "shown good", "complaint still there", "not known"];

pub(super) fn section(figures: &Figures) -> Section {
    let parts = &figures.parts;
    let mut about = vec![
        "Measured and seen count places that were measured, or looked at alone. Replaced counts parts that were replaced, overhauled or exchanged; blind are those that came off before anybody had measured or seen them bad. Bad is what was proven: measured or seen bad before, or the complaint was gone in a proof run with it alone; a fault that comes and goes can hide from one run. Good is what a look before had shown good, or what the complaint was still there after while another cause was proven. The share is that of the bad among the replaced.".to_owned(),
    ];
    about.extend(good_words(figures));
    let replaced = parts.kinds.iter().filter(|kind| kind.replaced > 0);
    let known = |kind: &PartFigure| bar(&named(kind), kind.was.map(|n| n as f64).into(), kind.replaced.to_string());
    Section {
        title: "Parts measured and replaced".to_owned(),
        about,
        charts: vec![Chart::Bars(Bars {
            title: "Parts replaced, and what was known of them".to_owned(),
            legend: KNOWN.map(str::to_owned).into(),
            lines: replaced.take(MOST_BARS).map(known).collect(),
        })],
        tables: vec![kinds(&parts.kinds), good(&parts.good_by_correction)],
    }
}

/// How many good parts came off, and what they cost.
fn good_words(figures: &Figures) -> Vec<String> {
    let (parts, good) = (&figures.parts, &figures.parts.good);
    if parts.replaced == 0 {
        return vec!["No part was replaced.".to_owned()];
    }
    let not_known = match parts.kinds.iter().map(|kind| kind.was[5]).sum::<usize>() {
        0 => String::new(),
        many => format!(" Of {many} more it is not known."),
    };
    let mut words = vec![format!(
        "{} of {} replaced {} good by the record, {}: {} shown good before, {} with the complaint still there after.{} Parts of one job hang together, so this range and those of the parts are, if anything, too narrow.",
        good.parts,
        counted(parts.replaced, "part"),
        if good.parts == 1 { "was" } else { "were" },
        share(parts.good_share.as_ref()),
        good.shown_good,
        good.still_showed,
        not_known
    )];
    if good.parts > 0 {
        words.push(format!(
            "The good parts cost {}. The work on them took {:.0} minutes, opening and closing not counted.",
            money(good),
            good.minutes
        ));
    }
    words
}

/// Money by the shop's list, and how many have no price there.
fn money(good: &GoodParts) -> String {
    let priced = good.money.iter().map(|(currency, money)| format!("{money:.2} {currency}")).collect::<Vec<_>>();
    match (priced.join(" and "), good.without_price) {
        (priced, 0) => format!("{priced} by the shop's price list"),
        (priced, without) if priced.is_empty() => {
            format!("an amount that is not known: the shop's price list has no price for {}", counted(without, "part"))
        }
        (priced, without) => format!("{priced} by the shop's price list, which has no price for {without} of them"),
    }
}

fn named(kind: &PartFigure) -> String {
    if kind.unit { kind.part.clone() } else { plain(&kind.part) }
}

fn kinds(kinds: &[PartFigure]) -> Table {
    let heads = vec![
        word("part"),
        number("measured"),
        number("seen"),
        number_on_page("of these at fault"),
        number("replaced"),
        number("blind"),
        number("bad"),
        number(SHARE),
        number("good"),
        number_on_page("not known"),
    ];
    let row = |kind: &PartFigure| {
        // Looks at a unit of several parts are counted with its parts.
        let of_looks = |count: usize| if kind.unit { "-".to_owned() } else { count.to_string() };
        vec![
            named(kind),
            of_looks(kind.measured),
            of_looks(kind.looked_at),
            of_looks(kind.found),
            kind.replaced.to_string(),
            kind.blind().to_string(),
            kind.bad().to_string(),
            share(kind.proven_bad.as_ref()),
            kind.good().to_string(),
            kind.was[5].to_string(),
        ]
    };
    Table::new("Parts by kind, each place once a job", heads, MOST_ROWS, kinds.iter().map(row).collect())
}

fn good(by_correction: &[GoodParts]) -> Table {
    let heads = vec![
        word("correction"),
        number("parts"),
        number("shown good"),
        number("still there"),
        number_on_page("minutes"),
        number("no price"),
        number("money"),
    ];
    let row = |good: &GoodParts| {
        let money = good.money.iter().map(|(currency, money)| format!("{money:.2} {currency}"));
        vec![
            good.title.clone(),
            good.parts.to_string(),
            good.shown_good.to_string(),
            good.still_showed.to_string(),
            format!("{:.0}", good.minutes),
            good.without_price.to_string(),
            money.collect::<Vec<_>>().join(", "),
        ]
    };
    Table::new("Good parts replaced", heads, MOST_ROWS, by_correction.iter().map(row).collect())
}
