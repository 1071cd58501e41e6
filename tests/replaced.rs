//! What is known of a part that came off, in jobs as they are worked: a good magneto exchanged for two leads, a cure by one part alone, plugs
//! swapped in one go, a plug that had measured good. The rows of tables say the same, and money only where the shop has the price.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[allow(dead_code)]
mod job_support;

use std::collections::BTreeMap;
use std::sync::Arc;

use job_support::{MODEL, at, enter, opened};
use roughrun::analysis::{Analysis, By, Ranked, Replaced, Was, replaced};
use roughrun::job::{Answer, Entry, Job, Levels};
use roughrun::model::{Model, Price, Prices};
use roughrun::review::replay::{MarkKind, Replay};
use roughrun::review::worked_sheet;
use roughrun::tables::{JobRow, Sheet, WAS};

const WHEN: &str = "2026-11-25T09:00:00+01:00";

fn reading(check: &str, site: &str, typed: &str) -> Entry {
    Entry::Answer(Answer::reading(check, at(site), typed))
}

fn look(check: &str, site: &str, outcome: &str) -> Entry {
    Entry::Answer(Answer::outcome(check, at(site), outcome))
}

fn corrected(correction: &str, site: &str) -> Entry {
    Entry::Corrected { correction: correction.into(), at: at(site) }
}

fn run(showing: bool) -> Entry {
    Entry::ProofRun { showing, levels: Levels::default() }
}

fn job(entries: Vec<Entry>) -> Job {
    let mut job = opened("rough-one-side", "left", WHEN);
    entries.into_iter().for_each(|entry| enter(&mut job, entry));
    job
}

fn known(job: &Job) -> Vec<Was> {
    replaced(&Ranked::of(job.clone())).into_iter().map(|Replaced { was, .. }| was).collect()
}

fn sheet(job: &Job) -> Sheet {
    worked_sheet(JobRow::default(), &Analysis::of(job.clone()))
}

/// A magneto is exchanged, it is rough as before, and two leads measure open.
fn magneto_for_two_leads() -> Job {
    job(vec![
        corrected("exchange-magneto", "left"),
        run(true),
        reading("lead-continuity", "left 1", "OL"),
        reading("lead-continuity", "left 3", "OL"),
        corrected("replace-lead", "left 1"),
        corrected("replace-lead", "left 3"),
        run(false),
    ])
}

#[test]
fn a_magneto_exchanged_for_two_open_leads_was_good_and_the_leads_count() {
    let job = magneto_for_two_leads();
    let ranked = Ranked::of(job.clone());
    let magneto = MODEL.find_correction("exchange-magneto", at("left")).unwrap();
    let chance = 1.0 - MODEL[magneto].cures.iter().map(|id| 1.0 - ranked.belief(*id).ever).product::<f64>();
    let leads = [Was::FoundBad(By::Measured, 4), Was::FoundBad(By::Measured, 5)];
    assert_eq!(known(&job), [Was::StillShowed, leads[0], leads[1]], "{chance}");
    let sheet = sheet(&job);
    let was: Vec<&str> = sheet.replaced.iter().map(|row| row.was.as_str()).collect();
    assert_eq!(was, ["still-showed", "measured-bad", "measured-bad"]);
    assert_eq!(sheet.replaced[0].part, "", "a unit of several parts has no one part");
    assert_eq!(sheet.replaced[1].part, "lead");
    // Both leads are faults of the shop's figures, by how they were found.
    let leads: Vec<_> = sheet.causes.iter().filter(|row| row.cause == "lead-open").collect();
    let sites: Vec<&str> = leads.iter().map(|row| row.site.as_str()).collect();
    assert_eq!(sites, ["left 1", "left 3"], "{:?}", sheet.causes);
    assert!(leads.iter().all(|row| row.found_by == "measured"), "{leads:?}");
    // The reading names what else of a lead can be open: one lead is one fault, shared among those.
    for mend in [6, 7] {
        let of_lead = sheet.causes.iter().filter(|row| row.corrected_entry == Some(mend));
        let faults: f64 = of_lead.filter_map(|row| row.share).sum();
        assert!((faults - 1.0).abs() < 1e-9, "{:?}", sheet.causes);
    }
    let measured = sheet.parts.iter().filter(|row| row.part == "lead" && row.measured == Some(true));
    assert!(measured.clone().all(|row| row.found == "measured"));
    assert_eq!(measured.map(|row| row.site.as_str()).collect::<Vec<_>>(), ["left 1", "left 3"]);
    // It is talked over.
    let replay = Replay::of(&job);
    let step = replay.steps.iter().find(|step| step.number == 2).unwrap();
    let good = step.marks.iter().find(|mark| mark.kind == MarkKind::GoodPartReplaced).expect("marked");
    assert!(good.words.contains("still there after this"), "{}", good.words);
}

#[test]
fn what_the_complaint_went_with_alone_was_bad_and_of_several_nobody_knows_which() {
    let alone = job(vec![corrected("replace-lead", "left 3"), run(false)]);
    assert_eq!(known(&alone), [Was::ProvenByRun]);
    let together = job(vec![corrected("replace-lead", "left 3"), corrected("replace-lead", "left 1"), run(false)]);
    assert_eq!(known(&together), [Was::NotKnown, Was::NotKnown]);
    let back =
        job(vec![corrected("replace-lead", "left 3"), run(false), Entry::Showing { showing: Some(true), ran: true }]);
    assert_eq!(known(&back), [Was::NotKnown]);
    // The first did nothing; with the second alone it went.
    let one_by_one =
        job(vec![corrected("replace-lead", "left 3"), run(true), corrected("replace-lead", "left 1"), run(false)]);
    assert_eq!(known(&one_by_one), [Was::StillShowed, Was::ProvenByRun]);
    let no_run = job(vec![corrected("replace-lead", "left 3")]);
    assert_eq!(known(&no_run), [Was::NotKnown]);
}

#[test]
fn cleaning_and_handing_over_replace_nothing() {
    let model = &*MODEL;
    for correction in &model.corrections {
        let job = job(vec![corrected(&correction.name, &correction.site.to_string())]);
        assert_eq!(sheet(&job).replaced.len(), usize::from(correction.kind.spends_part()), "{}", correction.name);
    }
}

#[test]
fn words_of_tables_are_those_of_the_analysis_and_of_the_schema() {
    let all = [
        Was::FoundBad(By::Measured, 2),
        Was::FoundBad(By::Seen, 2),
        Was::ProvenByRun,
        Was::ShownGood(2),
        Was::StillShowed,
        Was::NotKnown,
    ];
    assert_eq!(all.map(Was::name), WAS);
    let schema = roughrun::review::schema();
    assert!(WAS.iter().all(|was| schema.contains(&format!("`{was}`"))));
    assert_eq!(all.map(Was::is_good), [false, false, false, true, true, false]);
}

#[test]
fn money_is_the_shops_or_none() {
    let entries: Vec<_> = magneto_for_two_leads().log().to_vec();
    let priced = |of: BTreeMap<String, Price>| {
        let prices = Some(Prices { currency: "EUR".into(), labour: 80.0, hours_per_year: None, of });
        let model = Model { prices, ..Model::clone(&MODEL) };
        sheet(&Job::replay(Arc::new(model), entries.clone()).unwrap()).replaced
    };
    let price = Price { parts: Some(1400.0), ..Price::default() };
    let rows = priced([("exchange-magneto".to_owned(), price)].into());
    assert_eq!((rows[0].parts_money, rows[0].currency.as_str()), (Some(1400.0), "EUR"));
    // The tree has a figure for a lead; it is not the shop's price, so it is no money of this shop.
    assert_eq!((rows[1].parts_money, rows[1].currency.as_str()), (None, ""));
    let none = sheet(&magneto_for_two_leads()).replaced;
    assert!(none.iter().all(|row| row.parts_money.is_none() && row.currency.is_empty()));
}

#[test]
fn a_plug_seen_clean_and_whole_was_good() {
    // Everything that tells of a plug at rest is normal; then it is replaced, and it is a lead.
    let model = &*MODEL;
    let tells = |id: &roughrun::model::CheckId| model[*id].site == at("left 3");
    let plug = (0..model.checks.len()).map(roughrun::model::CheckId).filter(tells);
    let looks: Vec<Entry> = plug
        .filter(|id| roughrun::analysis::tells_of(model, &model[*id]).iter().any(|(part, _)| *part == "plug"))
        .map(|id| look(&model[id].name, &model[id].site.to_string(), "normal"))
        .collect();
    assert!(!looks.is_empty());
    let first = looks.len() as u64 + 1;
    let mut entries = looks;
    entries.extend([corrected("replace-plug", "left 3"), run(true), reading("lead-continuity", "left 1", "OL")]);
    entries.extend([corrected("replace-lead", "left 1"), run(false)]);
    let job = job(entries);
    let was = known(&job);
    assert!(matches!(was[0], Was::ShownGood(entry) if entry <= first), "{was:?}");
    assert!(matches!(was[1], Was::FoundBad(By::Measured, _)), "{was:?}");
}
