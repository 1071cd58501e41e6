//! The shipped trees as a body of knowledge: what is in them, that every card is whole, that swaps reason, and that the table
//! of sources is the one of the trees.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use roughrun::model::{CorrectionKind, Event, Formula, Model, Outcome, Site};
use roughrun::trees::{Card, CauseCard, CheckCard, Library, sources_page};
use unicode_width::UnicodeWidthStr;

fn library() -> Library {
    Library::embedded().unwrap_or_else(|d| panic!("{d:?}"))
}

fn models(library: &Library) -> Vec<Model> {
    library.layouts().iter().map(|l| library.expand(l).unwrap_or_else(|d| panic!("{d:?}"))).collect()
}

fn check_cards(library: &Library) -> Vec<(String, Box<CheckCard>)> {
    let names = library.summary().checks;
    let card = |name: &str| {
        library.card(name).into_iter().find_map(|s| if let Some(Card::Check(c)) = s.card { Some(c) } else { None })
    };
    names.iter().map(|n| (n.name.clone(), card(&n.name).expect("a card"))).collect()
}

fn cause_cards(library: &Library) -> Vec<(String, Box<CauseCard>)> {
    let names = library.summary().causes;
    let card = |name: &str| {
        library.card(name).into_iter().find_map(|s| if let Some(Card::Cause(c)) = s.card { Some(c) } else { None })
    };
    names.iter().map(|n| (n.name.clone(), card(&n.name).expect("a card"))).collect()
}

#[test]
fn the_trade_is_covered() {
    let library = library();
    let summary = library.summary();
    assert!(summary.causes.len() >= 110, "{} causes", summary.causes.len());
    assert!(summary.checks.len() >= 100, "{} checks", summary.checks.len());
    assert!(summary.complaints.len() >= 16, "{} complaints", summary.complaints.len());
    let look_alikes: BTreeSet<String> = models(&library)
        .iter()
        .flat_map(|m| m.causes.iter().filter(|c| c.not_ignition).map(|c| c.name.clone()).collect::<Vec<_>>())
        .collect();
    assert!(look_alikes.len() >= 12, "{look_alikes:?}");
}

/// Every kind of system is what some layout is made of.
#[test]
fn every_kind_of_system_has_a_layout() {
    let library = library();
    let tags: BTreeSet<String> = library
        .layouts()
        .iter()
        .flat_map(|l| [&l.layout.left, &l.layout.right])
        .flat_map(|side| side.tags().map(str::to_owned).collect::<Vec<_>>())
        .collect();
    for wanted in [
        "impulse",
        "retard",
        "plain",
        "dual",
        "electronic",
        "crank-trigger",
        "cam-trigger",
        "vr-trigger",
        "hall-trigger",
        "waste-spark",
        "individual-coils",
        "own-alternator",
        "backup-battery",
    ] {
        assert!(tags.contains(wanted), "{wanted} of {tags:?}");
    }
    // One side with neither a backup battery nor an alternator of its own: it lives on the aircraft's battery alone.
    let bare = |side: &roughrun::model::SideLayout| {
        let tags: Vec<&str> = side.tags().collect();
        tags.contains(&"electronic") && !tags.contains(&"backup-battery") && !tags.contains(&"own-alternator")
    };
    assert!(library.layouts().iter().any(|l| bare(&l.layout.left) || bare(&l.layout.right)));
    // The starting vibrator goes with retard points.
    let vibrator = |m: &Model| m.causes.iter().any(|c| c.part == "vibrator");
    assert!(models(&library).iter().any(vibrator));
}

/// A look-alike is told from ignition by one check: the outcome that shows it shows no ignition fault half as well.
#[test]
fn each_look_alike_is_told_from_ignition_by_one_check() {
    let library = library();
    let mut wrong = BTreeSet::new();
    for model in models(&library) {
        for (at, cause) in model.causes.iter().enumerate().take(model.listed).filter(|(_, c)| c.not_ignition) {
            let Some(name) = &cause.told_by else {
                wrong.insert(format!("{} has no check that tells it", cause.name));
                continue;
            };
            let chance = |outcome: &Outcome| {
                outcome.event.causes.iter().find(|(c, _)| c.0 == at).map_or(0.0, |(_, chance)| *chance)
            };
            let outcomes = model.checks.iter().filter(|c| c.name == *name).flat_map(|c| &c.outcomes);
            let Some(best) = outcomes.max_by(|a, b| chance(a).total_cmp(&chance(b))) else {
                wrong.insert(format!("{}: no {name} in {}", cause.name, model.layout.name));
                continue;
            };
            let ignition = best.event.causes.iter().filter(|(c, _)| !model[*c].not_ignition).map(|(_, chance)| *chance);
            if chance(best) < 0.5 || ignition.fold(0.0, f64::max) > chance(best) / 2.0 {
                wrong.insert(format!("{} is not told by {name} in {}", cause.name, model.layout.name));
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn every_check_is_a_card_that_can_be_followed() {
    let mut wrong = Vec::new();
    for (name, card) in check_cards(&library()) {
        for (part, missing) in [
            ("title", card.title.is_empty()),
            ("purpose", card.purpose.split_whitespace().count() < 5),
            ("steps", card.steps.is_empty()),
            ("what normal is", card.expected.is_empty() || card.normal.is_empty()),
            ("outcomes", card.outcomes.is_empty()),
            ("what an outcome means", card.outcomes.iter().any(|o| o.title.is_empty() || o.shows.is_empty())),
            ("mistakes", card.mistakes.is_empty()),
            ("source", card.source.words.is_empty()),
            ("minutes", card.minutes <= 0.0),
            ("sentences", card.steps.iter().chain(&card.mistakes).any(|s| !s.ends_with(['.', '?', '!']))),
        ] {
            if missing {
                wrong.push(format!("{name}: {part}"));
            }
        }
        if let Some(limit) = &card.limit
            && (limit.title.is_empty()
                || limit.unit.is_empty()
                || limit.bands.len() < 2
                || limit.source.words.is_empty())
        {
            wrong.push(format!("{name}: limit"));
        }
        if card.engine.is_some() && card.cautions.is_empty() {
            wrong.push(format!("{name}: cautions"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_cause_says_how_it_fails_how_often_and_how_it_is_put_right() {
    let mut wrong = Vec::new();
    for (name, card) in cause_cards(&library()) {
        for (part, missing) in [
            ("how it fails and how it looks", card.how.split_whitespace().count() < 8 || !card.how.ends_with('.')),
            ("part", card.part.is_empty()),
            ("how often", card.rate <= 0.0 || card.rate_source.words.is_empty()),
            ("what wakes it", card.wakes.is_empty()),
            ("a check that sees it", card.seen_by.is_empty()),
            // A dead indicator lamp brings no complaint: it misleads, and says so.
            ("a complaint that it brings", card.brings.is_empty() && name != "sensor-lamp-dead"),
            ("a correction", card.corrections.is_empty()),
            ("how the cure is proven", card.corrections.iter().any(|c| !c.contains("Proven by: "))),
        ] {
            if missing {
                wrong.push(format!("{name}: {part}"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_correction_says_its_parts_minutes_and_proof() {
    for model in models(&library()) {
        for c in &model.corrections {
            assert!(!c.steps.is_empty() && c.minutes > 0.0 && c.proof.ends_with('.'), "{}", c.name);
            // What costs money needs something bought.
            assert!(c.cost <= 5.0 || !c.parts.is_empty(), "{} costs {} and names no parts", c.name, c.cost);
            assert!(c.kind != CorrectionKind::HandOver || c.cost == 0.0, "{}", c.name);
        }
    }
}

/// 80 columns, with figures that have no published source marked as such, and the same in JSON.
#[test]
fn cards_fit_80_columns_and_mark_what_has_no_source() {
    let library = library();
    let (mut cards, mut marked) = (0, 0);
    for name in library.card_names() {
        for sheet in library.card(name) {
            let text = sheet.text();
            for line in text.lines() {
                assert!(line.width() <= 80, "{name}: {line}");
            }
            let Some(card) = &sheet.card else { continue };
            cards += 1;
            let json = serde_json::to_value(&sheet).unwrap();
            assert!(json["card"]["title"].is_string(), "{name}");
            let one = text.split_whitespace().collect::<Vec<_>>().join(" ");
            if let Card::Cause(cause) = card
                && cause.rate_source.mark == "placeholder"
            {
                assert!(one.contains("placeholder: our guess, no published source"), "{name}");
                marked += 1;
            }
            if let Card::Check(check) = card
                && let Some(limit) = check.limit.as_ref().filter(|l| l.source.mark != "read")
            {
                assert!(one.contains(limit.source.words.split(',').next().unwrap()), "{name}");
                marked += 1;
            }
        }
    }
    assert!(cards > 300 && marked > 100, "{cards} {marked}");
}

fn causes_of(model: &Model, event: &Event) -> Vec<(String, Site, f64)> {
    event.causes.iter().map(|(c, chance)| (model[*c].name.clone(), model[*c].site, *chance)).collect()
}

/// After a swap each place shows the faults of its own place and those of the part that came; both places are a gate over the two.
#[test]
fn a_cause_of_the_swapped_part_goes_along_and_every_other_stays() {
    let library = library();
    let mut kinds: BTreeMap<String, usize> = BTreeMap::new();
    for model in models(&library) {
        for check in &model.checks {
            let Site::Pair(pair) = check.site else { continue };
            let moved: &[&str] = match check.name.as_str() {
                "swap-plug" => &["plug"],
                "swap-lead" | "swap-magneto-lead" => &["lead", "lead-end"],
                "swap-coils" => &["ignition-coil"],
                "swap-sensors" => &["sensor"],
                "swap-boxes" => &["box"],
                "swap-fuses" => &["fuse"],
                "swap-capacitors" => &["condenser"],
                "swap-probes" => &["probe"],
                "swap-nozzles" => &["injector"],
                other => panic!("{other}: say here what it moves"),
            };
            *kinds.entry(check.name.clone()).or_default() += 1;
            let names: Vec<&str> = check.outcomes.iter().map(|o| o.name.as_str()).collect();
            assert_eq!(names, ["at-both", "at-first", "at-second"], "{}", check.name);
            let [here, there] = pair.sites();
            for (at, outcome, own, other) in [("first", 1, here, there), ("second", 2, there, here)] {
                let found = causes_of(&model, &check.outcomes[outcome].event);
                for (name, site, _) in &found {
                    let cause = &model[model.find_cause(name, *site).unwrap()];
                    let inside = |s: Site| model.layout.encloses(s, *site);
                    if moved.contains(&cause.part.as_str()) && (inside(own) || inside(other)) {
                        assert!(inside(other), "{} {}: {name} {site} did not go along ({at})", check.name, check.site);
                    } else {
                        assert!(
                            inside(own) || !inside(other),
                            "{} {}: {name} {site} moved ({at})",
                            check.name,
                            check.site
                        );
                    }
                }
                assert!(
                    found.iter().any(|(_, site, _)| model.layout.encloses(other, *site)),
                    "{} {}",
                    check.name,
                    check.site
                );
            }
            let gate = &check.outcomes[0].event.gates[0].0;
            let any = |at: usize| Formula::Any(check.outcomes[at].event.causes.iter().map(|(c, _)| *c).collect());
            assert_eq!(gate, &Formula::AtLeast { count: 2, of: vec![any(1), any(2)] });
            // The texts speak of the two places.
            let text = format!("{} {}", check.steps.join(" "), check.expected);
            assert!(!text.contains("{first}") && !text.contains("{second}"), "{text}");
        }
    }
    assert_eq!(kinds.len(), 10, "{kinds:?}");
}

#[test]
fn a_swap_is_made_for_any_two_sites() {
    let library = library();
    let pairs = |layout: &str, check: &str| {
        let model = library.expand(&library.layout(layout).unwrap()).unwrap();
        model.checks.iter().filter(|c| c.name == check).count()
    };
    // Eight plugs of two magnetos: any two. Of a magneto and an electronic side: two of one side.
    assert_eq!(pairs("four-two-magnetos", "swap-plug"), 28);
    assert_eq!(pairs("four-magneto-electronic", "swap-plug"), 12);
    assert_eq!(pairs("six-two-electronic", "swap-coils"), 15);
    assert_eq!(pairs("six-two-electronic", "swap-lead"), 30);
    assert_eq!(pairs("six-two-impulse", "swap-nozzles"), 15);
    assert_eq!(pairs("four-two-magnetos", "swap-probes"), 6);
    assert_eq!(pairs("four-two-electronic", "swap-boxes"), 1);
    assert_eq!(pairs("four-two-magnetos", "swap-boxes"), 0);
    assert_eq!(pairs("four-two-magnetos", "swap-capacitors"), 1);
}

#[test]
fn the_table_of_sources_is_the_one_of_the_trees() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("trees/SOURCES.md");
    let rows = library().sources();
    let page = sources_page(&rows);
    let on_disk = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        on_disk.trim_end() == page.trim_end(),
        "trees/SOURCES.md is not current; run: cargo run -- tree sources > trees/SOURCES.md"
    );
    for row in &rows {
        assert!(!row.uses.is_empty(), "nothing stands on {}", row.name);
        assert!(["read", "remembered", "common", "placeholder"].contains(&row.mark));
        let published = !["common", "placeholder"].contains(&row.name.as_str());
        assert!(!published || (!row.document.is_empty() && !row.edition.is_empty()), "{}", row.name);
        assert!(!published || row.uses.iter().all(|u| !u.place.is_empty()), "{} without a paragraph", row.name);
    }
}
