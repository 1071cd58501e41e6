//! Figures of the proof: one small file a test, put together into a table by `tests/proof/table`.

use std::fs;
use std::path::Path;

/// Whether everything is to be run (`ROUGHRUN_PROOF` is `all`, or `must`).
pub(crate) fn full() -> bool {
    std::env::var_os("ROUGHRUN_PROOF").is_some()
}

/// Whether nothing may be left out.
fn must() -> bool {
    std::env::var("ROUGHRUN_PROOF").is_ok_and(|v| v == "must")
}

/// So many cases in a full run, so many in a quick one.
pub(crate) fn cases(in_full: usize, quick: usize) -> usize {
    if full() { in_full } else { quick }
}

/// Writes a line of the table: the number of the fault case, what was done, how many cases, in how many the fault was seen to
/// happen, and how it came out.
pub(crate) fn note(case: &str, what: &str, cases: usize, fired: usize, came_out: &str) {
    write(case, what, &format!("{cases}\t{fired}\t{came_out}"));
}

/// Writes down that a test could not be run here; with `ROUGHRUN_PROOF=must` that is a failure.
pub(crate) fn not_run(case: &str, what: &str, why: &str) {
    write(case, what, &format!("0\t0\tNOT RUN: {why}"));
    assert!(!must(), "{what}: {why}");
}

fn write(case: &str, what: &str, rest: &str) {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("proof");
    fs::create_dir_all(&folder).unwrap();
    let name: String = what.chars().map(|c| if c.is_ascii_alphanumeric() { c } else { '-' }).collect();
    fs::write(folder.join(format!("{case}-{name}")), format!("{case}\t{what}\t{rest}\n")).unwrap();
}
