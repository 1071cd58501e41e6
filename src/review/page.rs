//! The lessons of a set of jobs as a page for people, and as an overlay.

use std::fmt::Write as _;

use crate::learn::{Calibration, Confirmed, Lessons, Trial};
use crate::model::{Alarm, Shown};
use crate::spread::Spread;
use crate::trees::{Figure, Overlay};

/// Rates on a page: those that have moved most.
const MOST_RATES: usize = 40;
/// Chances on a page.
const MOST_CHANCES: usize = 25;

/// The overlay of what may be adopted; empty where nothing may.
#[must_use]
pub fn overlay(lessons: &Lessons, edition: &str) -> Overlay {
    let figure =
        |now: &Spread, was: &Spread, from| Figure { now: now.mean, was: was.mean, interval: (now.low, now.high), from };
    let mut overlay = Overlay {
        document: format!("learnt from {} records of this shop", lessons.jobs),
        edition: edition.to_owned(),
        ..Overlay::default()
    };
    if lessons.rates_trial.adopted {
        let rates = lessons.rates.iter().map(|l| (l.cause.clone(), figure(&l.now, &l.was, l.events)));
        overlay.rates = rates.collect();
    }
    if lessons.checks_trial.adopted {
        let shows = lessons.shows.iter().map(|l| {
            let shown = Shown { check: l.check.clone(), outcome: l.outcome.clone(), cause: l.cause.clone() };
            (shown, figure(&l.now, &l.was, l.trials))
        });
        let alarms = lessons
            .alarms
            .iter()
            .map(|l| (Alarm { check: l.check.clone(), outcome: l.outcome.clone() }, figure(&l.now, &l.was, l.trials)));
        overlay.shows = shows.collect();
        overlay.alarms = alarms.collect();
    }
    overlay
}

/// The lessons as text.
#[must_use]
pub fn page(lessons: &Lessons) -> String {
    // Writing into a String cannot fail.
    let mut page = String::new();
    jobs(&mut page, lessons);
    if lessons.jobs == 0 {
        return page;
    }
    rates(&mut page, lessons);
    checks(&mut page, lessons);
    let _ = writeln!(
        page,
        "\nHow good the forecasts were, at each recommendation before the fault was confirmed or put right"
    );
    calibration(&mut page, "by the tree, all jobs", &lessons.calibration);
    calibration(&mut page, "by the tree, later jobs", &lessons.later_by_tree);
    calibration(&mut page, "by what was learnt before", &lessons.later_by_learnt);
    reliability(&mut page, &lessons.calibration);
    let _ =
        writeln!(page, "\nWhat may be adopted: figures learnt from the oldest 60 % of the jobs, tried on the others");
    trial(&mut page, "rates", &lessons.rates_trial);
    trial(&mut page, "checks", &lessons.checks_trial);
    page
}

fn jobs(page: &mut String, lessons: &Lessons) {
    let _ = writeln!(page, "Learnt from {} jobs whose fault was proven.", lessons.jobs);
    let by = |by| lessons.confirmed.get(&by).copied().unwrap_or(0.0);
    let _ = writeln!(
        page,
        "  Faults: {:.0} seen (each counts 1), {:.0} gone and not back in 50 engine hours (0.7), {:.0} gone in one proof run (0.3).",
        by(Confirmed::Seen),
        by(Confirmed::Held),
        by(Confirmed::Gone)
    );
    let left: Vec<String> = lessons.left_out.iter().map(|(why, count)| format!("{count} {}", why.words())).collect();
    if !left.is_empty() {
        let _ = writeln!(page, "  Left out: {}.", left.join(", "));
    }
    let exposure = &lessons.exposure;
    if exposure.aircraft > 0 {
        let _ = writeln!(
            page,
            "  Hours: {:.0} engine hours of {} aircraft since their first job, by the cards given; {} jobs fall into them.",
            exposure.hours, exposure.aircraft, exposure.jobs_in_hours
        );
    }
    if exposure.jobs_counted > 0 {
        let _ = writeln!(
            page,
            "  Counts: {} jobs without known hours tell which causes come up more often than others, for their complaint, window and age of\n  \
             parts; the level of all rates together stays the tree's. Cards of today (--aircraft) would give hours.",
            exposure.jobs_counted
        );
    }
}

fn rates(page: &mut String, lessons: &Lessons) {
    let mut moved: Vec<_> = lessons.rates.iter().filter(|l| l.events > 0.0 || l.expected >= 0.5).collect();
    moved.sort_by(|a, b| (b.now.mean / b.was.mean).ln().abs().total_cmp(&(a.now.mean / a.was.mean).ln().abs()));
    let _ = writeln!(page, "\nRates per site and 1,000 engine hours, those that moved most first; 95 % intervals");
    let _ = writeln!(
        page,
        "  {:<34} {:>27} {:>27} {:>6} {:>9} {:>5}",
        "cause", "tree", "learnt", "found", "expected", "jobs"
    );
    for l in moved.iter().take(MOST_RATES) {
        let _ = writeln!(
            page,
            "  {:<34} {:>27} {:>27} {:>6.1} {:>9.1} {:>5}",
            l.cause,
            spread(&l.was),
            spread(&l.now),
            l.events,
            l.expected,
            l.jobs
        );
    }
    more(page, moved.len(), MOST_RATES);
}

fn checks(page: &mut String, lessons: &Lessons) {
    let _ =
        writeln!(page, "\nHow often an outcome shows a cause that is there (its misses are the rest); 95 % intervals");
    for l in lessons.shows.iter().take(MOST_CHANCES) {
        let name = format!("{} {}: {}", l.check, l.outcome, l.cause);
        chance(page, &name, (&l.was, &l.now), (l.shown, l.trials), l.jobs);
    }
    more(page, lessons.shows.len(), MOST_CHANCES);
    let mut alarms: Vec<_> = lessons.alarms.iter().collect();
    alarms.sort_by(|a, b| (b.now.mean / b.was.mean).ln().abs().total_cmp(&(a.now.mean / a.was.mean).ln().abs()));
    let _ =
        writeln!(page, "\nFalse alarms: how often an outcome is there with no such fault; those that moved most first");
    for l in alarms.iter().take(MOST_CHANCES) {
        chance(page, &format!("{} {}", l.check, l.outcome), (&l.was, &l.now), (l.alarms, l.trials), l.jobs);
    }
    more(page, alarms.len(), MOST_CHANCES);
}

fn chance(page: &mut String, name: &str, (was, now): (&Spread, &Spread), (hits, trials): (f64, f64), jobs: usize) {
    let _ = writeln!(page, "  {name}");
    let _ = writeln!(page, "    {:>27} -> {:>27}   {hits:.1} in {trials:.1}, {jobs} jobs", spread(was), spread(now));
}

fn more(page: &mut String, all: usize, shown: usize) {
    match all.saturating_sub(shown) {
        0 if all == 0 => {
            let _ = writeln!(page, "  none with answers enough");
        }
        0 => {}
        more => {
            let _ = writeln!(page, "  and {more} more (--json lists them all)");
        }
    }
}

fn spread(of: &Spread) -> String {
    format!("{:.4} ({:.4} to {:.4})", of.mean, of.low, of.high)
}

fn calibration(page: &mut String, name: &str, of: &Calibration) {
    let _ = writeln!(
        page,
        "  {name:<27} Brier {:.4}, log score {:.4} nats; {} recommendations in {} jobs",
        of.brier, of.log_score, of.recommendations, of.jobs
    );
}

fn reliability(page: &mut String, of: &Calibration) {
    let _ = writeln!(page, "  said        was so (95 % interval)       forecasts   jobs");
    for bin in &of.bins {
        let _ = writeln!(
            page,
            "  {:>6.1} %    {:>5.1} % ({:>4.1} to {:>5.1} %) {:>14} {:>6}",
            100.0 * bin.said,
            100.0 * bin.so.mean,
            100.0 * bin.so.low,
            100.0 * bin.so.high,
            bin.forecasts,
            bin.jobs
        );
    }
}

fn trial(page: &mut String, name: &str, of: &Trial) {
    let verdict =
        if of.adopted { "adopted" } else { "not adopted: it takes 20 later jobs and a gain above two standard errors" };
    let _ = writeln!(
        page,
        "  {name:<8} gain in log score {:+.4} nats a job, standard error {:.4}, over {} jobs: {verdict}",
        of.gain, of.error, of.jobs
    );
}
