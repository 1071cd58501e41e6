//! `roughrun tree simulate`: jobs on all cores, the progress bar, and the figures.

use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};

use rayon::prelude::*;
use serde_json::{Value, json};

use super::args::{Places, Simulate};
use super::tree::{model, no_name, pretty};
use super::{CliError, Kind, Outcome, out};
use crate::job::Refusal;
use crate::shop;
use crate::teststand::small::ratio;
use crate::teststand::{CaseKind, Field, Policy, Score, Tally, Worked, share_at, work};

pub(super) fn run(places: &Places, simulate: &Simulate) -> Outcome {
    let fields = fields(places, simulate)?;
    let stopped = stop_flag();
    let done = AtomicU64::new(0);
    let numbers: Vec<u64> = (0..simulate.jobs).collect();
    let jobs: Vec<Result<Option<Worked>, Refusal>> = numbers
        .into_par_iter()
        // Jobs differ much in length: handed out one by one, no core is left with a heap of long ones.
        .with_max_len(1)
        .filter(|_| !stopped.load(Ordering::Relaxed))
        .map(|number| {
            let worked = work(&fields, simulate.seed, number);
            out::progress(done.fetch_add(1, Ordering::Relaxed) + 1, simulate.jobs);
            worked
        })
        .collect();
    let worked: Vec<Worked> = jobs
        .into_iter()
        .filter_map(Result::transpose)
        .collect::<Result<_, _>>()
        .map_err(|refusal| refused(&refusal))?;
    if worked.is_empty() {
        return Err(CliError::new(Kind::Fault, "No job was finished, so there are no figures.").hint(
            "Where it was not stopped: no faults of these trees bring the complaint. `roughrun tree lint` may say why.",
        ));
    }
    if stopped.load(Ordering::Relaxed) {
        out::remark(&format!("Stopped: these are the figures of {} jobs out of {}.", worked.len(), simulate.jobs));
    }
    let ratios = ratios(simulate.seed, &stopped)?;
    if let Some(path) = &simulate.each {
        let lines = worked.iter().fold(String::new(), |lines, w| lines + &line(w, &fields).to_string() + "\n");
        shop::put(path, lines.as_bytes())?;
    }
    let small = Small::of(&ratios);
    out::print(&if simulate.json {
        pretty(&figures(simulate, &fields, &worked, small.as_ref()))?
    } else {
        table(simulate, &fields, &worked, small.as_ref())
    })?;
    Ok(0)
}

/// How many small trees the planner is held against the optimum on.
const SMALL_TREES: u64 = 200;

/// The planner's expected minutes on small trees as multiples of the optimum.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
struct Small {
    trees: usize,
    ratio_mean: f64,
    ratio_median: f64,
    ratio_p90: f64,
    ratio_most: f64,
}

impl Small {
    /// None where there are none.
    fn of(sorted: &[f64]) -> Option<Self> {
        Some(Self {
            trees: sorted.len(),
            ratio_mean: sorted.iter().sum::<f64>() / sorted.len() as f64,
            ratio_median: share_at(sorted, 0.5)?,
            ratio_p90: share_at(sorted, 0.9)?,
            ratio_most: *sorted.last()?,
        })
    }
}

/// The multiples, sorted.
fn ratios(seed: u64, stopped: &AtomicBool) -> Result<Vec<f64>, CliError> {
    let found: Result<Vec<Option<f64>>, Refusal> = (0..SMALL_TREES)
        .into_par_iter()
        .filter(|_| !stopped.load(Ordering::Relaxed))
        .map(|number| ratio(seed, number))
        .collect();
    let mut ratios: Vec<f64> = found.map_err(|refusal| refused(&refusal))?.into_iter().flatten().collect();
    ratios.sort_by(f64::total_cmp);
    Ok(ratios)
}

fn refused(refusal: &Refusal) -> CliError {
    CliError::new(Kind::Fault, format!("A simulated job could not go on: {refusal}"))
}

/// The engines to draw jobs on.
fn fields(places: &Places, simulate: &Simulate) -> Result<Vec<Field>, CliError> {
    let library = places.library()?;
    let names: Vec<String> = match &simulate.layout {
        Some(layout) => vec![layout.clone()],
        None => library.layout_names().into_iter().map(str::to_owned).collect(),
    };
    let models = names.iter().map(|name| model(&library, name)).collect::<Result<Vec<_>, _>>()?;
    let known: std::collections::BTreeSet<String> =
        models.iter().flat_map(|m| &m.complaints).map(|c| c.name.clone()).collect();
    let fields: Vec<Field> =
        models.into_iter().filter_map(|m| Field::of(Arc::new(m), simulate.complaint.as_deref())).collect();
    match &simulate.complaint {
        _ if !fields.is_empty() => Ok(fields),
        Some(name) if !known.contains(name) => Err(no_name(name, known.iter().map(String::as_str).collect())),
        _ => Err(CliError::new(Kind::Usage, "Nothing in these trees brings that complaint on that layout.")
            .hint("Leave --complaint or --layout out, or name others; `roughrun tree show` lists them.")),
    }
}

/// A flag that is raised by the first control-C; the second ends the program at once.
fn stop_flag() -> Arc<AtomicBool> {
    let flag = Arc::new(AtomicBool::new(false));
    let signal = signal_hook::consts::SIGINT;
    // The order matters: the second signal must find the flag raised. Where no handler can be set, control-C ends the program as ever.
    let _ = signal_hook::flag::register_conditional_shutdown(signal, 130, Arc::clone(&flag));
    let _ = signal_hook::flag::register(signal, Arc::clone(&flag));
    flag
}

/// The figures of each policy over jobs of all kinds, or of one.
fn tallies(worked: &[Worked], kind: Option<CaseKind>) -> Vec<(Policy, Tally)> {
    let of = |at: usize| -> Vec<Score> {
        worked.iter().filter(|w| kind.is_none_or(|kind| w.kind == kind)).map(|w| w.scores[at]).collect()
    };
    Policy::ALL.into_iter().enumerate().filter_map(|(at, policy)| Some((policy, Tally::of(&of(at))?))).collect()
}

fn count(worked: &[Worked], kind: CaseKind) -> usize {
    worked.iter().filter(|w| w.kind == kind).count()
}

fn figures(simulate: &Simulate, fields: &[Field], worked: &[Worked], small: Option<&Small>) -> Value {
    let named =
        |kind| -> BTreeMap<&str, Tally> { tallies(worked, kind).into_iter().map(|(p, t)| (p.name(), t)).collect() };
    let kinds: BTreeMap<&str, Value> = CaseKind::ALL
        .into_iter()
        .map(|kind| (kind.name(), json!({"jobs": count(worked, kind), "policies": named(Some(kind))})))
        .collect();
    json!({
        "jobs": worked.len(),
        "seed": simulate.seed,
        "layouts": fields.iter().map(|f| f.model().layout.name.as_str()).collect::<Vec<_>>(),
        "policies": named(None),
        "kinds": kinds,
        "small_trees": small,
    })
}

/// One job with its scores.
fn line(worked: &Worked, fields: &[Field]) -> Value {
    let scores: BTreeMap<&str, Value> = Policy::ALL
        .into_iter()
        .zip(&worked.scores)
        .map(|(policy, s)| {
            let score = json!({"minutes": s.minutes, "checks": s.checks, "good_parts": s.good_parts,
                "come_backs": s.come_backs, "resolved": s.resolved, "written_off": s.written_off});
            (policy.name(), score)
        })
        .collect();
    json!({
        "layout": fields.get(worked.field).map(|f| f.model().layout.name.as_str()),
        "complaint": worked.complaint,
        "kind": worked.kind.name(),
        "faults": worked.faults,
        "scores": scores,
    })
}

fn table(simulate: &Simulate, fields: &[Field], worked: &[Worked], small: Option<&Small>) -> String {
    let layouts: Vec<&str> = fields.iter().map(|f| f.model().layout.name.as_str()).collect();
    let mut text = format!("{} jobs, seed {}, on {}\n", worked.len(), simulate.seed, layouts.join(", "));
    // Writing into a String cannot fail.
    let _ = writeln!(
        text,
        "\n{:<20} {:>7} {:>7} {:>7} {:>7} {:>6} {:>10} {:>10} {:>10}",
        "minutes to a cure", "mean", "median", "90th", "checks", "good", "come-backs", "unresolved", "written off"
    );
    let _ = writeln!(text, "{:<20} {:>39} {:>10} {:>10} {:>10}", "", "parts", "per job", "", "wrongly");
    for (policy, t) in tallies(worked, None) {
        let _ = writeln!(
            text,
            "{:<20} {:>7.0} {:>7.0} {:>7.0} {:>7.1} {:>6.2} {:>10.2} {:>8.1} % {:>8.1} %",
            policy.name(),
            t.minutes_mean,
            t.minutes_median,
            t.minutes_p90,
            t.checks_mean,
            t.good_parts,
            t.come_backs,
            100.0 * t.unresolved,
            100.0 * t.written_off_wrongly
        );
    }
    let _ = writeln!(text, "\nMean minutes by kind of job:");
    for kind in CaseKind::ALL.into_iter().filter(|kind| count(worked, *kind) > 0) {
        let means: Vec<String> = tallies(worked, Some(kind))
            .into_iter()
            .map(|(policy, t)| format!("{} {:.0}", policy.name(), t.minutes_mean))
            .collect();
        let _ = writeln!(text, "  {:<13} {:>5} jobs: {}", kind.name(), count(worked, kind), means.join(", "));
    }
    if let Some(small) = small {
        let _ = writeln!(
            text,
            "\nOn {} small generated trees the planner's expected minutes are {:.3} times the optimum on the mean (median {:.3}, \
             90th percentile {:.3}, at most {:.3}).",
            small.trees, small.ratio_mean, small.ratio_median, small.ratio_p90, small.ratio_most
        );
    }
    text
}
