//! What each step of a simulated job costs: the posterior, the advice on it, and both together, over jobs that the planner works on engines
//! dealt from a seed.
//!
//! Arguments: number of jobs, seed, first job. Prints the median, the 99th hundredth and the largest of each, the error at the most, the peak
//! memory, and the dearest steps.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::print_stdout)]

use std::sync::Arc;
use std::time::Instant;

use roughrun::analysis::Analysis;
use roughrun::model::{Model, Seen};
use roughrun::teststand::{Field, Policy, Stand};
use roughrun::trees::Library;

/// Steps listed one by one, the dearest first.
const DEAREST: usize = 8;

struct Step {
    posterior: f64,
    advice: f64,
    error: f64,
    words: String,
}

impl Step {
    fn both(&self) -> f64 {
        self.posterior + self.advice
    }
}

/// Peak memory of this process in MiB, where the system tells.
fn peak() -> Option<f64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|l| l.starts_with("VmHWM:"))?;
    Some(line.split_whitespace().nth(1)?.parse::<f64>().ok()? / 1024.0)
}

fn row(name: &str, mut of: Vec<f64>) {
    of.sort_by(f64::total_cmp);
    let at = |hundredths: usize| of[(of.len() - 1) * hundredths / 100];
    println!("{name:10} {:>9.1} {:>9.1} {:>9.1} {:>9.1}", at(50), at(95), at(99), at(100));
}

fn main() {
    let arguments: Vec<u64> = std::env::args().skip(1).map(|a| a.parse().expect("a number")).collect();
    let [jobs, seed, first] = [(0, 100), (1, 1), (2, 0)].map(|(at, usual)| arguments.get(at).copied().unwrap_or(usual));
    let library = Library::embedded().expect("trees");
    let models: Vec<Arc<Model>> =
        library.layouts().iter().map(|layout| Arc::new(library.expand(layout).expect("a model"))).collect();
    let fields: Vec<Field> = models.iter().filter_map(|model| Field::of(Arc::clone(model), None)).collect();
    let before = peak();
    let mut steps: Vec<Step> = Vec::new();
    for number in first..first + jobs {
        let field = &fields[usize::try_from(number).expect("a small number") % fields.len()];
        let Some((complaint, engine)) = field.deal(seed, number) else { continue };
        let mut stand = Stand::open(field.model(), complaint, engine).expect("an engine with that complaint");
        while !stand.is_over() {
            let job = stand.job().clone();
            let start = Instant::now();
            let analysis = Analysis::of(job);
            let error = analysis.ranked().posterior().error;
            let posterior = start.elapsed().as_secs_f64() * 1e3;
            let start = Instant::now();
            let suggestions = analysis.advice().next.len();
            let advice = start.elapsed().as_secs_f64() * 1e3;
            let state = stand.job().state();
            let abnormal = state.given.iter().filter(|g| g.seen() != Some(Seen::Normal)).count();
            let words = format!(
                "job {number}, {}: {} spells, {} answers, {abnormal} abnormal, {} ways, {suggestions} suggestions",
                field.model().layout.name,
                state.spells.len(),
                state.given.len(),
                analysis.ranked().posterior().explanations.iter().map(|e| e.now.len()).sum::<usize>(),
            );
            steps.push(Step { posterior, advice, error, words });
            for action in Policy::Planner.next(&stand) {
                if !stand.is_over() {
                    stand.carry_out(action).expect("an entry that the job takes");
                }
            }
        }
    }
    println!("{jobs} jobs, {} steps", steps.len());
    println!("ms            median      95 %      99 %   largest");
    row("posterior", steps.iter().map(|s| s.posterior).collect());
    row("advice", steps.iter().map(|s| s.advice).collect());
    row("both", steps.iter().map(Step::both).collect());
    let unsure = steps.iter().filter(|s| s.error > roughrun::belief::Posterior::TOO_UNSURE).count();
    let inexact = steps.iter().filter(|s| s.error > 1e-9).count();
    println!("steps with an error above 1e-9: {inexact}, above 0.02: {unsure}");
    if let (Some(before), Some(peak)) = (before, peak()) {
        println!("peak memory {peak:.0} MiB, {before:.0} MiB of it with the trees read");
    }
    steps.sort_by(|a, b| b.both().total_cmp(&a.both()));
    for step in steps.iter().take(DEAREST) {
        println!("{:>9.1} + {:>7.1} ms, error {:.1e}: {}", step.posterior, step.advice, step.error, step.words);
    }
}
