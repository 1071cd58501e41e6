//! What is said of evidence, as a table for people.

use std::fmt::Write as _;

use super::findings::{CauseFound, Findings};
use crate::analysis::Analysis;
use crate::job::tell_recent_work;
use crate::text::rounded;

/// Causes shown below this probability are counted, not listed.
const WORTH_A_LINE: f64 = 0.005;
/// The most causes listed, those proven or put right not counted.
const CAUSES: usize = 20;
/// Suggestions shown.
const SUGGESTIONS: usize = 5;
/// Sets shown.
const SETS: usize = 5;
/// Sets of suspects that cannot be told apart shown.
const ALIKE: usize = 3;

/// The findings as text: causes, sets, what to do next, cautions.
#[must_use]
pub fn table(job: &Analysis, findings: &Findings) -> String {
    // Writing into a String cannot fail.
    let mut out = String::new();
    let model = job.model();
    let complaint = &model[job.state().complaint];
    let _ = writeln!(out, "{}, {}", complaint.title, model.site_words(complaint.site));
    let _ = writeln!(out, "{} ({})", model.layout.title, model.layout.name);
    if let Some(worked_on) = job.opening().and_then(|opening| tell_recent_work(model, opening)) {
        let _ = writeln!(out, "Worked on before: {worked_on}");
    }
    for caution in &findings.cautions {
        let _ = writeln!(out, "\nCAUTION: {}", caution.caution);
    }
    let _ = writeln!(out, "\nCauses, the most probable first:");
    let likely = findings.causes.iter().filter(|c| c.probability >= WORTH_A_LINE).nth(CAUSES);
    let least = likely.map_or(WORTH_A_LINE, |c| c.probability.next_up());
    let listed = |c: &&CauseFound| c.probability >= least || matches!(c.standing, "proven" | "put right");
    for cause in findings.causes.iter().filter(listed) {
        let place = format!("{}, {}", cause.title, cause.at);
        let _ = writeln!(out, "  {:5.1} %  {:<10}  {place}", 100.0 * cause.probability, cause.standing);
    }
    let (mut good, mut rest) = (0, 0);
    for cause in findings.causes.iter().filter(|c| !listed(c)) {
        if cause.standing == "shown good" { good += 1 } else { rest += 1 }
    }
    let _ = writeln!(
        out,
        "  and {rest} that are less likely; {good} were looked at and shown good (--json lists them all)"
    );
    if !findings.sets.is_empty() {
        let _ = writeln!(out, "\nTogether they explain what was found:");
        for set in findings.sets.iter().take(SETS) {
            let causes = if set.causes.is_empty() { "false alarms only".to_owned() } else { set.causes.join(" + ") };
            let _ = writeln!(out, "  {:5.1} %  {causes}", 100.0 * set.probability);
        }
    }
    if let Some(words) = job.posterior().error_words() {
        let _ = writeln!(out, "\n{words}");
    }
    for misfit in job.misfits().iter().filter(|misfit| misfit.does_not_fit()) {
        let _ = writeln!(out, "\nDOES NOT FIT: {}", misfit.told(job));
    }
    for set in job.alike().iter().take(ALIKE) {
        let causes: Vec<String> = set
            .causes
            .iter()
            .map(|id| format!("{}, {}", model[*id].title, model.site_words(model[*id].site)))
            .collect();
        let _ =
            writeln!(out, "\nNot to be told apart ({:.1} % together): {}", 100.0 * set.probability, causes.join("; "));
        let _ = writeln!(out, "  {}", set.advice(model));
    }
    let _ = writeln!(out, "\nWhat to do next, the best first:");
    for (at, next) in findings.next.iter().take(SUGGESTIONS).enumerate() {
        let to_come = if next.expected_minutes > 0.0 {
            format!(", about {:.0} min in all to a proven cure", next.expected_minutes)
        } else {
            String::new()
        };
        let _ = writeln!(out, "  {}. {} ({:.0} min{to_come})", at + 1, next.title, next.minutes);
        if !next.why.is_empty() {
            let _ = writeln!(out, "     {}", next.why);
        }
    }
    let expected = job.advice_with_doubts().expected_minutes;
    let _ = writeln!(out, "\nExpected to a proven cure: about {} of work.", rounded(expected, "minute"));
    let _ = writeln!(
        out,
        "Follow the manufacturer's current instructions and local rules; only a person authorised to do so returns the aircraft to service."
    );
    out
}
