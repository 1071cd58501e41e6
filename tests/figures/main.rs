//! The shop's figures: counted again by brute force on drawn rows, told on a page that nothing in a record can steer.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::collections::BTreeSet;

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use roughrun::figures::{AGES, Asked, Counter, Figures};
use roughrun::review::{Style, figures_html, figures_json, figures_text};
use roughrun::tables::{CauseRow, JobRow, ReadingRow, Sheet};

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
            ..CauseRow::default()
        });
        Sheet { job: row, causes: causes.collect(), readings, ..Sheet::default() }
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
        assert_eq!(figure.seen, rows().filter(|c| c.by_eye == Some(true)).count());
        for (at, faults) in figure.ages.iter().enumerate() {
            let low = at as f64 * 0.25;
            let is_in = |spent: Option<f64>| match (at, spent) {
                (5, spent) => spent.is_none(),
                (4, Some(spent)) => spent >= 1.0,
                (_, Some(spent)) => spent >= low && spent < low + 0.25,
                (_, None) => false,
            };
            assert!(
                near(*faults, rows().filter(|c| is_in(c.life_spent)).map(|c| c.share.unwrap()).sum()),
                "{}",
                AGES[at]
            );
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
    assert_eq!((bar("magneto"), bar("electronic")), (44, 11));
}
