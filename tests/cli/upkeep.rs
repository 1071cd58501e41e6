//! What is due, and what each way of putting a part right costs.

use crate::bench::{Bench, USUAL};

const CARD: &str = "format: roughrun-aircraft-1
registration: ZZ-TRY
title: Four-seat tourer, invented
layout: four-magneto
engine-hours: 1240
parts:
  - {part: lead, at: left, fitted-hours: 100, fitted: \"2018-05-01\"}
  - {part: points, at: left, fitted-hours: 760}
";

const SHOP: &str = "format: roughrun-shop-1
currency: EUR
labour-rate: 60
prices:
  overhaul-side: {parts: 800}
";

#[test]
fn parts_due_are_listed_for_a_card_and_for_a_folder() {
    let bench = Bench::new();
    let card = bench.file("try.yaml", CARD);
    let one = bench.run(&["due", &card]).code(0).plainly();
    let one =
        one.says("overdue  lead, left").says("1140 h of 1000 h").says("due      points, left").says("480 h of 500 h");
    one.says("unknown  points, right").says("1 aircraft: 1 overdue, 1 due,");
    bench.run(&["due", &card, "--hours", "10"]).code(0).says("0 due").says("due later: list them with --all");
    bench.run(&["due", &card, "--hours", "10", "--all"]).code(0).says("later    points, left");
    bench.file("two.yaml", &CARD.replace("ZZ-TRY", "ZZ-TWO").replace("1240", "860"));
    bench.file("notes.yaml", "format: something-else\n");
    let folder = bench.folder.path().to_str().unwrap();
    let both = bench.run(&["due", folder, "--json"]).code(0).json();
    let aircraft = both["aircraft"].as_array().unwrap();
    assert_eq!(aircraft.iter().map(|a| a["registration"].as_str().unwrap()).collect::<Vec<_>>(), ["ZZ-TRY", "ZZ-TWO"]);
    let lead = &aircraft[0]["items"][0];
    assert_eq!((&lead["part"], &lead["state"], &lead["at"][0]), (&"lead".into(), &"overdue".into(), &"left".into()));
    assert_eq!(lead["hours"]["left"], -140.0);
    assert!(both["faults"].is_null());
    // A faulty card hides none of the others.
    bench.file("bad.yaml", &CARD.replace("part: points", "part: pionts"));
    bench.run(&["due", folder]).code(1).says("ZZ-TWO").complains("pionts").complains("Did you mean \"points\"?");
    let empty = bench.folder.path().join("empty");
    std::fs::create_dir(&empty).unwrap();
    bench.run(&["due", empty.to_str().unwrap()]).code(2).complains("no aircraft card");
    bench.run(&["due", "nowhere.yaml"]).code(1).complains("cannot be read");
    bench.run(&["due", &card, "--hours", "-1"]).code(2);
}

#[test]
fn the_ways_to_put_it_right_are_summed() {
    let bench = Bench::new();
    let (card, shop) = (bench.file("try.yaml", CARD), bench.file("own-shop.yaml", SHOP));
    let args = ["--shop", &shop, "cost", "points-worn", "--at", "left", "--aircraft", &card];
    // 120 minutes at 60 an hour and 800 of parts, for 500 hours.
    bench
        .run(&args)
        .code(0)
        .plainly()
        .says("labour 120 min x 60.00 EUR/h = 120.00 EUR")
        .says("together 920.00 EUR")
        .says("920.00 EUR / 500 h = 1.84 EUR per hour left");
    let json = bench.run(&[&args[..], &["--json"]].concat()).code(0).json();
    assert_eq!((&json["ways"][0]["money"], &json["ways"][0]["own_price"]), (&920.0.into(), &true.into()));
    // By the title that pages print, too.
    bench.run(&["--shop", &shop, "cost", "Breaker points worn", "--aircraft", &card]).code(0).says("120.00 EUR");
    bench.run(&["cost", "points-worn", "--aircraft", &card]).code(2).complains("no shop file");
    bench.run(&["--shop", &shop, "cost", "points-worn"]).code(2).complains("Which engine?");
    bench.run(&["--shop", &shop, "cost", "pionts-worn", "--aircraft", &card]).code(2).complains("Did you mean");
    bench
        .run(&["--shop", &shop, "cost", "points-worn", "--at", "left 1", "--aircraft", &card])
        .code(2)
        .complains("Its sites are: left, right");
    let bad = bench.file("bad-shop.yaml", &SHOP.replace("overhaul-side", "overhaul-syde").replace("60", "-60"));
    let run = bench.run(&["--shop", &bad, "cost", "points-worn", "--aircraft", &card]).code(1);
    run.complains("overhaul-side").complains("-60 cannot be money for an hour of work").plainly();
    bench.run(&["tree", "lint", &bad]).code(1).says("unknown-name").says("bad-number");
    bench.run(&["tree", "lint", &shop, &card]).code(0).says("No faults");
}

#[test]
fn a_job_reminds_of_what_is_due_and_shows_the_sums() {
    let bench = Bench::new();
    let card = bench.file("try.yaml", CARD);
    // Found without being named.
    bench.file("shop.yaml", SHOP);
    let args = ["trace", "--plain", "--aircraft", &card, "--complaint", "rough-one-side", "--at", "left"];
    let lines = "other look\n1\nyes\nnormal\nother overhaul\n1\nyes\nagain\nquit\n";
    let run = bench.typed(&args, &format!("{USUAL}{lines}")).code(0).plainly();
    let run = run.says("Due: lead, left: 1140 h of 1000 h").says("overdue, and cowling off");
    let run =
        run.says("Way 1: Overhaul or exchange what makes the spark (overhaul, suggested)").says("together 920.00 EUR");
    let job = run.job();
    bench
        .run(&["report", &job, "--whole"])
        .code(0)
        .says("PARTS DUE BY THE AIRCRAFT'S CARD")
        .says("lead, left: 1140 h of 1000 h");
    bench.run(&["report", &job, "--whole", "--format", "html"]).code(0).says("Parts due by the aircraft");
    let json = bench.run(&["report", &job, "--format", "json"]).code(0).json();
    assert!(json["upkeep"][0].as_str().unwrap().starts_with("lead, left: 1140 h"), "{}", json["upkeep"]);
}
