//! Scripted jobs: each file of `tests/jobs` is an evidence file with the true causes written down. Each is played to its end,
//! answered as those faults would answer, and the causes have to be proven and the job closed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use std::path::Path;
use std::sync::Arc;

use roughrun::analysis::{Ranked, Standing};
use roughrun::job::{Ending, Entry, Job, Levels, Logged, Opening};
use roughrun::model::{CauseId, Model, Site};
use roughrun::teststand::{Engine, Played, left, play};
use roughrun::trees::Library;
use serde::Deserialize;

#[derive(Deserialize)]
#[serde(deny_unknown_fields, rename_all = "kebab-case")]
struct Script {
    layout: String,
    complaint: String,
    truth: Vec<String>,
    #[serde(default)]
    reported: Levels,
    /// The check that comes first, where that matters.
    #[serde(default)]
    first: Option<String>,
    /// Checks that must not be asked at all.
    #[serde(default)]
    never: Vec<String>,
}

struct Ran {
    name: String,
    faults: usize,
    asleep: bool,
    checks: usize,
    minutes: f64,
    wrong: Vec<String>,
}

fn named(text: &str) -> (String, Site) {
    let (name, at) = text.split_once(" at ").expect("NAME at SITE");
    (name.to_owned(), at.parse().expect("a site"))
}

fn run(library: &Library, path: &Path) -> Result<Ran, String> {
    let script: Script = serde_yaml::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let layout = library.layout(&script.layout).unwrap_or_else(|d| panic!("{d:?}"));
    let model: Arc<Model> = Arc::new(library.expand(&layout).unwrap_or_else(|d| panic!("{d:?}")));
    let (complaint, at) = named(&script.complaint);
    let opening = Opening { reported: script.reported, ..Opening::of(&script.layout, &complaint, at) };
    let first = Logged { number: 1, when: String::new(), entry: Entry::Opened(Box::new(opening)) };
    let mut job = Job::replay(Arc::clone(&model), vec![first]).unwrap();
    let truth: Vec<CauseId> = script
        .truth
        .iter()
        .map(|t| {
            let (name, site) = named(t);
            model.find_cause(&name, site).unwrap_or_else(|| panic!("no cause {t}"))
        })
        .collect();
    let mut engine = Engine::typical(&model, job.state().complaint, &job.state().reported, &truth)
        .ok_or_else(|| format!("{}: these faults would not have brought this complaint", path.display()))?;
    let mut wrong = Vec::new();
    let sleeping = engine.faults().iter().all(|f| !f.awake);
    let played = play(&mut job, &mut engine, 150).unwrap();
    let job = Ranked::of(job);
    let asked: Vec<&str> = job.state().given.iter().map(|g| model[g.check].name.as_str()).collect();
    if let Some(first) = script.first.as_deref().filter(|first| asked.first() != Some(first)) {
        wrong.push(format!("{first} was not asked first but {:?}", asked.first()));
    }
    wrong.extend(script.never.iter().filter(|n| asked.contains(&n.as_str())).map(|n| format!("{n} was asked")));
    for id in &truth {
        let standing = job.standing(*id);
        let belief = job.belief(*id);
        // What is handed over is proven by the trade that takes it on: here it has to be much the likeliest.
        let handed_over = model[*id].not_ignition && belief.ever >= 0.8;
        if !handed_over && !matches!(standing, Standing::Proven | Standing::PutRight) {
            wrong.push(format!("{} {} is {standing:?} ({:.3})", model[*id].name, model[*id].site, belief.ever));
        }
    }
    for id in left(&engine) {
        wrong.push(format!("{} {} is left", model[id].name, model[id].site));
    }
    let hand_over = truth.iter().all(|id| model[*id].not_ignition);
    let wanted = if hand_over { Ending::HandedOver } else { Ending::CuredProven };
    if played != Played::Closed(wanted) {
        wrong.push(format!("ended {played:?}"));
    }
    if !wrong.is_empty() && std::env::var_os("TRAIL").is_some() {
        job.log().iter().for_each(|l| println!("    {:?}", l.entry));
        let ranking = job.ranking();
        ranking
            .iter()
            .take(8)
            .for_each(|id| println!("    {:.3} {} {}", job.belief(*id).present, model[*id].name, model[*id].site));
    }
    Ok(Ran {
        name: path.file_stem().unwrap().to_string_lossy().into_owned(),
        faults: truth.len(),
        asleep: sleeping,
        checks: job.state().given.len(),
        minutes: job.state().minutes,
        wrong,
    })
}

#[test]
fn every_scripted_job_ends_with_its_cause_proven() {
    let library = Library::embedded().unwrap_or_else(|d| panic!("{d:?}"));
    let mut files: Vec<_> = std::fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/jobs"))
        .unwrap()
        .map(|e| e.unwrap().path())
        .filter(|p| p.extension().is_some_and(|e| e == "yaml"))
        .collect();
    files.sort();
    let (ran, unplayed): (Vec<_>, Vec<_>) = files.iter().map(|path| run(&library, path)).partition(Result::is_ok);
    let ran: Vec<Ran> = ran.into_iter().flatten().collect();
    let unplayed: Vec<String> = unplayed.into_iter().filter_map(Result::err).collect();
    println!("{:<24}{:>7}{:>8}{:>8}{:>9}", "job", "faults", "asleep", "checks", "minutes");
    for r in &ran {
        println!(
            "{:<24}{:>7}{:>8}{:>8}{:>9.0}  {}",
            r.name,
            r.faults,
            r.asleep,
            r.checks,
            r.minutes,
            r.wrong.join("; ")
        );
    }
    assert!(unplayed.is_empty(), "{}", unplayed.join("\n"));
    assert!(ran.len() >= 14);
    assert!(ran.iter().filter(|r| r.faults > 1).count() >= 4, "jobs with more than one fault");
    assert!(ran.iter().filter(|r| r.asleep).count() >= 6, "jobs that sleep at first");
    let wrong: Vec<String> =
        ran.iter().filter(|r| !r.wrong.is_empty()).map(|r| format!("{}: {}", r.name, r.wrong.join("; "))).collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
