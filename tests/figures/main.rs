//! The shop's figures: counted again by brute force on drawn rows, told on a page that nothing in a record can steer.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use roughrun::figures::{AGES, Asked, Counter, Figures, Filter, GoodParts, Spent};
use roughrun::review::{Style, figures_html, figures_json, figures_text};
use roughrun::spread::Spread;
use roughrun::tables::{CauseRow, JobRow, PartRow, ReadingRow, ReplacedRow, Sheet, WAS};

const STATES: [&str; 8] =
    ["cured-proven", "corrected-not-proven", "handed-over", "not-found", "not-reproduced", "stopped", "open", "unread"];

/// Drawn rows: few aircraft, complaints, checks and causes, so that much meets.
fn drawn(seed: u64, jobs: usize) -> Vec<Sheet> {
    let mut rng = ChaCha8Rng::seed_from_u64(seed);
    let rng = &mut rng;
    let sheet = |n: usize| {
        let job = format!("{n:026}");
        let known = rng.random_bool(0.8);
        let mut some = |share: f64, most: f64| rng.random_bool(share).then(|| rng.random::<f64>() * most);
        let (hours, minutes, planned) = (some(0.9, 400.0), some(0.9, 300.0), some(0.9, 300.0));
        let mut spent = [some(0.9, 60.0); 6];
        spent[1..].iter_mut().for_each(|minutes| *minutes = some(0.8, 60.0));
        let row = JobRow {
            job: job.clone(),
            purpose: ["work", "work", "work", "practice", "demo"][rng.random_range(0..5)].to_owned(),
            opened: format!("20{:02}-{:02}-05T10:00:00Z", 20 + rng.random_range(0..3), 1 + rng.random_range(0..12)),
            state: STATES[rng.random_range(0..6)].to_owned(),
            aircraft: if known { format!("ZZ-{}", rng.random_range(0..3)) } else { String::new() },
            mechanic: format!("M{}", rng.random_range(0..4)),
            complaint: format!("C{}", rng.random_range(0..2)),
            complaint_at: format!("left {}", rng.random_range(0..2)),
            engine_hours: hours,
            minutes,
            planned_minutes: planned,
            minutes_access: spent[0],
            minutes_checking: spent[0].map(|_| spent[1].unwrap_or(3.0)),
            minutes_correcting: spent[0].map(|_| spent[2].unwrap_or(0.0)),
            minutes_provoking: spent[0].map(|_| spent[3].unwrap_or(0.0)),
            minutes_running: spent[0].map(|_| spent[4].unwrap_or(7.5)),
            minutes_waiting: spent[0].map(|_| spent[5].unwrap_or(0.0)),
            ..JobRow::default()
        };
        let readings = (0..rng.random_range(0..5)).map(|_| ReadingRow {
            job: job.clone(),
            check_name: format!("k{}", rng.random_range(0..6)),
            title: "a check".to_owned(),
            minutes: Some(rng.random_range(1..20).into()),
            moved: rng.random_bool(0.9).then(|| rng.random::<f64>().powi(4) * 0.2),
            leader_changed: rng.random_bool(0.9).then(|| rng.random_bool(0.1)),
            ..ReadingRow::default()
        });
        let readings: Vec<ReadingRow> = readings.collect();
        let causes = (0..rng.random_range(0..3)).map(|_| CauseRow {
            job: job.clone(),
            cause: format!("c{}", rng.random_range(0..4)),
            part: format!("p{}", rng.random_range(0..2)),
            system: ["engine", "magneto"][rng.random_range(0..2)].to_owned(),
            by_eye: Some(rng.random_bool(0.5)),
            share: Some(rng.random()),
            life_spent: rng.random_bool(0.8).then(|| rng.random::<f64>() * 1.5),
            age_hours: rng.random_bool(0.5).then_some(100.0),
            found_by: ["", "seen", "measured"][rng.random_range(0..3)].to_owned(),
            ..CauseRow::default()
        });
        let causes = causes.collect();
        let parts = (0..rng.random_range(0..4)).map(|n| PartRow {
            job: job.clone(),
            part: format!("p{}", rng.random_range(0..3)),
            site: n.to_string(),
            measured: Some(rng.random_bool(0.5)),
            looked_at: Some(true),
            found: ["", "seen", "measured"][rng.random_range(0..3)].to_owned(),
            ..PartRow::default()
        });
        let parts = parts.collect();
        let replaced = (0..rng.random_range(0..3)).map(|_| {
            let money = rng.random_bool(0.6).then(|| f64::from(rng.random_range(1..400)));
            ReplacedRow {
                job: job.clone(),
                title: format!("T{}", rng.random_range(0..3)),
                part: ["p0", "p1", "p4", ""][rng.random_range(0..4)].to_owned(),
                was: WAS[rng.random_range(0..WAS.len())].to_owned(),
                minutes: Some(rng.random_range(5..90).into()),
                parts_money: money,
                currency: money.map_or("", |_| ["EUR", "CHF"][rng.random_range(0..2)]).to_owned(),
                ..ReplacedRow::default()
            }
        });
        let replaced = replaced.collect();
        Sheet { job: row, causes, readings, parts, replaced, ..Sheet::default() }
    };
    (0..jobs).map(sheet).collect()
}

fn counted(sheets: &[Sheet], asked: Asked) -> Figures {
    let mut counter = Counter::new(asked);
    sheets.iter().for_each(|sheet| counter.add(sheet));
    counter.figures()
}

fn near(a: f64, b: f64) -> bool {
    (a - b).abs() < 1e-9 * a.abs().max(1.0)
}

#[test]
fn figures_are_those_of_a_recount() {
    for seed in 0..40 {
        let sheets = drawn(seed, 60);
        let figures = counted(&sheets, Asked { practice: false, by_mechanic: true });
        let work: Vec<&Sheet> = sheets.iter().filter(|s| s.job.purpose == "work").collect();
        assert_eq!((figures.jobs(), figures.left_out), (work.len(), sheets.len() - work.len()));
        for state in STATES {
            assert_eq!(figures.in_state(state), work.iter().filter(|s| s.job.state == state).count(), "{state}");
        }
        for (month, jobs) in &figures.months {
            assert_eq!(*jobs, work.iter().filter(|s| s.job.opened.starts_with(month.as_str())).count(), "{month}");
        }
        causes(&figures, &work);
        repeats(&figures, &work);
        checks(&figures, &work);
        minutes(&figures, &work);
        parts(&figures, &work);
        good_parts(&figures, &work);
        spent(&figures, &work);
        intervals(&figures);
    }
}

fn parts(figures: &Figures, work: &[&Sheet]) {
    let told: Vec<&PartRow> = work.iter().flat_map(|s| &s.parts).collect();
    let replaced: Vec<&ReplacedRow> = work.iter().flat_map(|s| &s.replaced).collect();
    // A unit of several parts goes by its title, which no part of these has.
    let name = |row: &ReplacedRow| if row.part.is_empty() { row.title.clone() } else { row.part.clone() };
    let kinds: BTreeSet<String> = told.iter().map(|p| p.part.clone()).chain(replaced.iter().map(|r| name(r))).collect();
    assert_eq!(figures.parts.kinds.iter().map(|kind| kind.part.clone()).collect::<BTreeSet<_>>(), kinds);
    for kind in &figures.parts.kinds {
        let of = || told.iter().filter(|p| p.part == kind.part);
        let off =
            |was: &[&str]| replaced.iter().filter(|r| name(r) == kind.part && was.contains(&r.was.as_str())).count();
        assert_eq!(kind.measured, of().filter(|p| p.measured == Some(true)).count());
        assert_eq!(kind.measured + kind.looked_at, of().count());
        assert_eq!(kind.found, of().filter(|p| !p.found.is_empty()).count());
        assert_eq!(kind.replaced, off(&WAS));
        assert_eq!(kind.bad(), off(&["measured-bad", "seen-bad", "proven-by-run"]));
        assert_eq!(kind.good(), off(&["shown-good", "still-showed"]));
        assert_eq!(kind.blind(), off(&["proven-by-run", "shown-good", "still-showed", "not-known"]));
        assert_eq!(kind.unit, kind.part.starts_with('T'));
    }
}

fn good_parts(figures: &Figures, work: &[&Sheet]) {
    let all: Vec<&ReplacedRow> = work.iter().flat_map(|s| &s.replaced).collect();
    let good: Vec<&&ReplacedRow> = all.iter().filter(|r| ["shown-good", "still-showed"].contains(&&*r.was)).collect();
    let told = &figures.parts;
    assert_eq!((told.replaced, told.good.parts), (all.len(), good.len()));
    assert_eq!(told.good.parts, told.good.shown_good + told.good.still_showed);
    assert_eq!(told.good.still_showed, good.iter().filter(|r| r.was == "still-showed").count());
    assert_eq!(told.good.without_price, good.iter().filter(|r| r.parts_money.is_none()).count());
    for currency in ["EUR", "CHF"] {
        let money: f64 = good.iter().filter(|r| r.currency == currency).filter_map(|r| r.parts_money).sum();
        assert!(near(told.good.money.get(currency).copied().unwrap_or(0.0), money), "{currency}");
    }
    assert!(near(told.good.minutes, good.iter().filter_map(|r| r.minutes).sum()));
    let sum = |of: &dyn Fn(&GoodParts) -> usize| told.good_by_correction.iter().map(of).sum::<usize>();
    assert_eq!(sum(&|good| good.parts), good.len());
    assert_eq!(sum(&|good| good.without_price), told.good.without_price);
}

fn spent(figures: &Figures, work: &[&Sheet]) {
    let known: Vec<&JobRow> = work.iter().map(|s| &s.job).filter(|j| j.minutes_access.is_some()).collect();
    assert_eq!(figures.spent.jobs, known.len());
    let of = |minutes: fn(&JobRow) -> Option<f64>| known.iter().filter_map(|j| minutes(j)).sum::<f64>();
    assert!(
        near(figures.spent.access, of(|j| j.minutes_access)) && near(figures.spent.waiting, of(|j| j.minutes_waiting))
    );
    assert!(near(figures.spent.checking, of(|j| j.minutes_checking)));
    assert!(near(figures.spent.correcting, of(|j| j.minutes_correcting)));
    assert!(near(figures.spent.provoking, of(|j| j.minutes_provoking)));
    assert!(near(figures.spent.running, of(|j| j.minutes_running)));
    let people = figures.mechanics.as_ref().unwrap();
    let of_people = |minutes: fn(&Spent) -> f64| people.iter().map(|m| minutes(&m.spent)).sum::<f64>();
    assert!(
        near(of_people(|s| s.access), figures.spent.access) && near(of_people(Spent::total), figures.spent.total())
    );
}

/// Wilson's interval holds the shares from which what was seen is at most 1.96 standard errors away: the ends fit that as an equation.
fn intervals(figures: &Figures) {
    let fits = |share: Option<&Spread>, part: usize, of: usize| {
        let Some(share) = share else { return assert_eq!(of, 0) };
        let (seen, of) = (part as f64 / of as f64, of as f64);
        assert!(near(share.mean, seen) && share.low <= seen + 1e-12 && seen <= share.high + 1e-12, "{share:?}");
        for end in [share.low, share.high] {
            let off = (seen - end).powi(2) - 1.959_963_984_540_054_f64.powi(2) * end * (1.0 - end) / of;
            assert!(off.abs() < 1e-9, "{share:?}: {off}");
        }
    };
    for (state, jobs) in &figures.states {
        fits(figures.state_shares.get(state), *jobs, figures.jobs());
    }
    fits(figures.repeats.share.as_ref(), figures.repeats.found.len(), figures.repeats.known);
    fits(figures.parts.good_share.as_ref(), figures.parts.good.parts, figures.parts.replaced);
    for kind in &figures.parts.kinds {
        fits(kind.proven_bad.as_ref(), kind.bad(), kind.replaced);
    }
    for check in &figures.checks {
        fits(check.changed_share.as_ref(), check.changed, check.made - check.not_known);
    }
}

#[test]
fn every_page_says_what_was_asked_for_and_left_aside() {
    let mut counter = Counter::new(Asked::default());
    let filter = Filter { from: Some("2026-03".into()), to: None, aircraft: vec!["ZZ-1".into()], left_aside: 4 };
    counter.filtered(filter);
    drawn(3, 9).iter().for_each(|sheet| counter.add(sheet));
    let figures = counter.figures();
    let words = "Only jobs begun on or after 2026-03 and on ZZ-1; 4 other jobs are left aside.";
    let flat = |page: String| page.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(flat(figures_text(&figures, Style::Ascii)).contains(words));
    assert!(figures_html(&figures, "now").contains(words));
    let json = figures_json(&figures);
    assert_eq!(
        (json["figures"]["filter"]["left_aside"].as_u64(), json["figures"]["filter"]["from"].as_str()),
        (Some(4), Some("2026-03"))
    );
    let all = counted(&drawn(3, 9), Asked::default());
    assert!(!figures_text(&all, Style::Ascii).contains("left aside") && all.filter.is_all());
}

#[test]
fn no_money_is_told_where_the_list_has_no_price() {
    let row = |money: Option<f64>| ReplacedRow {
        title: "Exchange it".into(),
        was: "still-showed".into(),
        parts_money: money,
        currency: money.map_or("", |_| "EUR").into(),
        minutes: Some(60.0),
        ..ReplacedRow::default()
    };
    let told = |rows: Vec<ReplacedRow>| {
        let job = JobRow { purpose: "work".into(), state: "open".into(), ..JobRow::default() };
        let text = figures_text(
            &counted(&[Sheet { job, replaced: rows, ..Sheet::default() }], Asked::default()),
            Style::Ascii,
        );
        text.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    assert!(
        told(vec![row(None)]).contains("an amount that is not known: the shop's price list has no price for 1 part")
    );
    assert!(
        told(vec![row(Some(410.0)), row(None)])
            .contains("cost 410.00 EUR by the shop's price list, which has no price for 1 of them")
    );
    assert!(told(vec![row(Some(410.0)), row(Some(90.0))]).contains("cost 500.00 EUR by the shop's price list."));
    assert!(!told(Vec::new()).contains("price list"));
}

#[test]
fn text_fits_eighty_columns() {
    let long = "a name that is longer than any column of a table has room for".to_owned();
    let mut sheets = drawn(21, 80);
    for sheet in &mut sheets {
        let job = &mut sheet.job;
        (job.complaint, job.mechanic, job.job) = (long.clone(), long.clone(), format!("{:0>26}", job.job));
        sheet.readings.iter_mut().for_each(|r| r.title.clone_from(&long));
        sheet.causes.iter_mut().for_each(|c| c.title.clone_from(&long));
        sheet.replaced.iter_mut().for_each(|r| r.title.clone_from(&long));
    }
    for style in [Style::Unicode, Style::Ascii] {
        let text = figures_text(&counted(&sheets, Asked { practice: true, by_mechanic: true }), style);
        let over: Vec<&str> = text.lines().filter(|line| line.chars().count() > 80).collect();
        assert!(over.is_empty(), "{}", over.join("\n"));
    }
}

fn causes(figures: &Figures, work: &[&Sheet]) {
    let all: Vec<&CauseRow> = work.iter().flat_map(|s| &s.causes).collect();
    let kinds: BTreeSet<_> = all.iter().map(|c| (&c.system, &c.part, &c.cause)).collect();
    assert_eq!(figures.causes.len(), kinds.len());
    for figure in &figures.causes {
        let rows =
            || all.iter().filter(|c| (&c.system, &c.part, &c.cause) == (&figure.system, &figure.part, &figure.cause));
        assert!(near(figure.faults, rows().map(|c| c.share.unwrap()).sum()));
        assert_eq!(figure.seen, rows().filter(|c| c.found_by == "seen").count());
        assert_eq!(figure.measured, rows().filter(|c| c.found_by == "measured").count());
        for (at, faults) in figure.ages.iter().enumerate() {
            let low = at as f64 * 0.25;
            let is_in = |row: &CauseRow| match (at, row.life_spent) {
                (5, spent) => spent.is_none() && row.age_hours.is_none(),
                (6, spent) => spent.is_none() && row.age_hours.is_some(),
                (4, Some(spent)) => spent >= 1.0,
                (_, Some(spent)) => spent >= low && spent < low + 0.25,
                (_, None) => false,
            };
            assert!(near(*faults, rows().filter(|c| is_in(c)).map(|c| c.share.unwrap()).sum()), "{}", AGES[at]);
        }
    }
    let by_system: f64 = figures.faults_by(|cause| &cause.system).iter().map(|(_, faults)| faults).sum();
    assert!(near(by_system, all.iter().map(|c| c.share.unwrap()).sum()));
}

fn repeats(figures: &Figures, work: &[&Sheet]) {
    let known: Vec<&JobRow> =
        work.iter().map(|s| &s.job).filter(|j| !j.aircraft.is_empty() && j.engine_hours.is_some()).collect();
    assert_eq!(figures.repeats.known, known.len());
    let same = |a: &JobRow, b: &JobRow| {
        (&a.aircraft, &a.complaint, &a.complaint_at) == (&b.aircraft, &b.complaint, &b.complaint_at)
    };
    let mut expected = BTreeSet::new();
    for again in &known {
        let before = known.iter().filter(|first| first.job < again.job && same(first, again));
        if let Some(first) = before.max_by(|a, b| a.job.cmp(&b.job)) {
            let hours = again.engine_hours.unwrap() - first.engine_hours.unwrap();
            if (0.0..=50.0).contains(&hours) {
                expected.insert((first.job.clone(), again.job.clone()));
            }
        }
    }
    let found: BTreeSet<_> = figures.repeats.found.iter().map(|r| (r.first.clone(), r.again.clone())).collect();
    assert_eq!(found, expected);
    assert!(figures.repeats.found.is_sorted_by(|a, b| a.hours <= b.hours));
    let back: usize = figures.mechanics.as_ref().unwrap().iter().map(|m| m.came_back).sum();
    assert_eq!(back, expected.len());
}

fn checks(figures: &Figures, work: &[&Sheet]) {
    let all: Vec<&ReadingRow> = work.iter().flat_map(|s| &s.readings).collect();
    assert_eq!(figures.checks.iter().map(|c| c.made).sum::<usize>(), all.len());
    for figure in &figures.checks {
        let rows = || all.iter().filter(|r| r.check_name == figure.check);
        let changed = |r: &&&ReadingRow| r.leader_changed == Some(true) || r.moved >= Some(0.05);
        assert_eq!((figure.made, figure.changed), (rows().count(), rows().filter(changed).count()));
        assert!(near(figure.minutes, rows().map(|r| r.minutes.unwrap()).sum()));
        assert_eq!(figure.never_changed(), rows().any(|r| r.moved.is_some()) && !rows().any(|r| changed(&r)));
    }
}

fn minutes(figures: &Figures, work: &[&Sheet]) {
    let ended = |j: &&JobRow| ["cured-proven", "handed-over"].contains(&j.state.as_str());
    let pair = |j: &JobRow| Some((j.minutes?, j.planned_minutes.filter(|p| *p > 0.0)?));
    let pairs: Vec<(f64, f64)> = work.iter().map(|s| &s.job).filter(ended).filter_map(pair).collect();
    let all = figures.minutes.all.as_ref().unwrap();
    assert_eq!(all.jobs, pairs.len());
    assert!(near(all.worked, pairs.iter().map(|p| p.0).sum()) && near(all.planned, pairs.iter().map(|p| p.1).sum()));
    let mut ratios: Vec<f64> = pairs.iter().map(|p| p.0 / p.1).collect();
    ratios.sort_by(f64::total_cmp);
    let middle = f64::midpoint(ratios[(ratios.len() - 1) / 2], ratios[ratios.len() / 2]);
    assert!(near(all.ratio.median, middle) && all.ratio.low <= middle && middle <= all.ratio.high);
    // Of all pairs of values as far from either end, the narrowest of which at most a fortieth of the draws miss it on either side.
    let missed = |rank: usize| {
        let mut ways = 1.0;
        let mut sum = 0.0;
        for k in 0..rank {
            sum += ways;
            ways *= (ratios.len() - k) as f64 / (k + 1) as f64;
        }
        sum / 2.0_f64.powi(i32::try_from(ratios.len()).unwrap())
    };
    let rank = (1..=ratios.len() / 2).rev().find(|rank| missed(*rank) <= 0.025);
    assert_eq!(all.ratio.median_range, rank.map(|rank| (ratios[rank - 1], ratios[ratios.len() - rank])));
    assert_eq!(figures.minutes.complaints.iter().map(|c| c.jobs).sum::<usize>(), pairs.len());
    let of_people: usize = figures.mechanics.as_ref().unwrap().iter().map(|m| m.minutes.jobs).sum();
    assert_eq!(of_people, pairs.len());
}

#[test]
fn the_order_of_jobs_does_not_matter() {
    let mut sheets = drawn(7, 50);
    let asked = Asked { practice: true, by_mechanic: true };
    let one = figures_text(&counted(&sheets, asked), Style::Ascii);
    sheets.reverse();
    assert_eq!(figures_text(&counted(&sheets, asked), Style::Ascii), one);
}

#[test]
fn nothing_asked_of_people_says_nothing_of_them() {
    let sheets = drawn(3, 50);
    let figures = counted(&sheets, Asked::default());
    assert!(figures.mechanics.is_none());
    for page in
        [figures_text(&figures, Style::Unicode), figures_html(&figures, "now"), figures_json(&figures).to_string()]
    {
        assert!(!page.contains("M0") && !page.contains("By mechanic"));
    }
}

#[test]
fn no_jobs_at_all_make_a_page_too() {
    let figures = counted(&[], Asked { practice: true, by_mechanic: true });
    assert_eq!(figures.jobs(), 0);
    assert!(figures_text(&figures, Style::Unicode).contains("0 jobs."));
    assert!(figures_text(&figures, Style::Unicode).contains("No part was replaced."));
    let html = figures_html(&figures, "now");
    assert!(html.ends_with("</html>\n") && !html.contains("NaN") && !html.contains("<svg"));
}

#[test]
fn a_clock_gone_wild_draws_no_endless_page() {
    let mut sheets = drawn(5, 3);
    for (sheet, opened) in
        sheets.iter_mut().zip(["0001-01-01T00:00:00Z", "9999-12-31T00:00:00Z", "2026-11-01T00:00:00Z"])
    {
        sheet.job.opened = opened.to_owned();
        sheet.job.purpose = "work".to_owned();
    }
    let figures = counted(&sheets, Asked::default());
    assert!(figures.months.len() < 700, "{}", figures.months.len());
    assert!(figures_html(&figures, "now").len() < 400_000);
}

#[test]
fn hostile_names_are_shown_and_do_nothing() {
    let hostile = "</title><script>alert(1)</script>\"' onload=x \u{1b}[2J\u{202e}&lt; ";
    let mut sheets = drawn(11, 30);
    for sheet in &mut sheets {
        let job = &mut sheet.job;
        for text in [&mut job.mechanic, &mut job.aircraft, &mut job.complaint, &mut job.complaint_at, &mut job.state] {
            hostile.clone_into(text);
        }
        job.opened = format!("2026-0{hostile}");
        for reading in &mut sheet.readings {
            hostile.clone_into(&mut reading.title);
        }
        for part in &mut sheet.parts {
            hostile.clone_into(&mut part.part);
        }
        for part in &mut sheet.replaced {
            for text in [&mut part.title, &mut part.part, &mut part.currency] {
                hostile.clone_into(text);
            }
        }
        for cause in &mut sheet.causes {
            for text in [&mut cause.title, &mut cause.part, &mut cause.system] {
                hostile.clone_into(text);
            }
        }
    }
    let figures = counted(&sheets, Asked { practice: true, by_mechanic: true });
    let html = figures_html(&figures, hostile);
    assert!(!html.contains("<script") && !html.contains("&lt; \"") && html.contains("&lt;script&gt;"));
    // No quote of the text closes an attribute: each is written out.
    assert!(!html.contains("\"' onload") && html.contains("&quot;"));
    for style in [Style::Unicode, Style::Ascii] {
        let text = figures_text(&figures, style);
        assert!(!text.chars().any(|c| roughrun::text::is_hidden(c) && c != '\n'), "{text}");
    }
    assert!(!html.chars().any(|c| roughrun::text::is_hidden(c) && c != '\n'));
}

#[test]
fn charts_in_plain_letters_are_plain_and_their_bars_are_in_proportion() {
    let cause =
        |system: &str, share: f64| CauseRow { system: system.into(), share: Some(share), ..CauseRow::default() };
    let sheet = |n: usize, causes| Sheet {
        job: JobRow {
            job: n.to_string(),
            purpose: "work".into(),
            opened: "2026-11-02T00:00:00Z".into(),
            state: "cured-proven".into(),
            ..JobRow::default()
        },
        causes,
        ..Sheet::default()
    };
    let sheets = [
        sheet(1, vec![cause("magneto", 1.0), cause("magneto", 1.0), cause("electronic", 1.0)]),
        sheet(2, vec![cause("magneto", 1.0), cause("magneto", 1.0)]),
    ];
    let text = figures_text(&counted(&sheets, Asked::default()), Style::Ascii);
    assert!(text.is_ascii());
    let bar = |name: &str| {
        text.lines().find(|l| l.trim_start().starts_with(name) && l.contains('#')).unwrap().matches('#').count()
    };
    assert_eq!((bar("magneto"), bar("electronic")), (36, 9));
}
