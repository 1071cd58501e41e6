//! kill -9 at random moments of a scripted job.

use std::io::{Read as _, Write as _};
use std::os::unix::process::ExitStatusExt as _;
use std::time::{Duration, Instant};

use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;

use crate::figures;
use crate::program::{TRACE, acknowledged, command, goes_on, holds, jobs_in, note, script};

/// Deaths of one job, the first of them in its first run, the others in going on with it.
const DEATHS_A_JOB: usize = 8;

#[test]
fn sudden_death_at_random_moments_loses_nothing_acknowledged() {
    let wanted = figures::cases(1_000, 48);
    let mut chance = ChaCha8Rng::seed_from_u64(9);
    let (mut deaths, mut acked_in_all, mut torn, mut before_any, mut jobs) = (0, 0, 0, 0, 0);
    // Learnt from the runs that were not killed in time.
    let mut moments = Duration::from_millis(60);
    while deaths < wanted {
        let records = crate::namespace::quick_dir();
        let mut acked = std::collections::BTreeMap::new();
        jobs += 1;
        for death in 0..DEATHS_A_JOB {
            let (args, typed): (Vec<&str>, String) = if jobs_in(records.path()).is_empty() {
                (TRACE.to_vec(), script(30))
            } else {
                let notes = (0..30).map(|n| format!("note {}\n", note(100 * (death + 1) + n)));
                (vec!["resume", "--plain"], notes.collect())
            };
            let start = Instant::now();
            let mut child = command(&[], &args, records.path()).spawn().unwrap();
            let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
            let mut out = child.stdout.take().unwrap();
            let reader = std::thread::spawn(move || {
                let mut text = Vec::new();
                out.read_to_end(&mut text).unwrap();
                (text, start.elapsed())
            });
            let moment = chance.random_range(0..=u64::try_from(moments.as_micros()).unwrap());
            std::thread::sleep(Duration::from_micros(moment));
            child.kill().unwrap();
            let status = child.wait().unwrap();
            let (out, took) = reader.join().unwrap();
            let out = String::from_utf8_lossy(&out).into_owned();
            if status.signal() == Some(9) {
                deaths += 1;
            } else {
                moments = moments.min(took).max(Duration::from_millis(2));
            }
            let now = acknowledged(&out);
            before_any += usize::from(now.is_empty());
            // The greeting of a job that is gone on with acknowledges nothing new.
            acked.extend(now);
            let what = format!("death {deaths}, {moment} µs after the start");
            if let Some(record) = holds(records.path(), &acked, &what) {
                torn += usize::from(record.class() == roughrun::record::Class::Torn);
            }
            moments += Duration::from_micros(200);
        }
        acked_in_all += acked.len();
        // A file that was only begun holds no job yet; everything else can be gone on with.
        if !acked.is_empty() {
            goes_on(records.path(), &jobs_in(records.path())[0], "after all deaths");
        }
    }
    assert!(before_any < deaths, "every run died before it had saved anything");
    assert!(acked_in_all > deaths, "{acked_in_all} entries were acknowledged in {deaths} deaths");
    let came_out = format!("0 of {acked_in_all} acknowledged entries lost, in {jobs} jobs; {torn} left a torn tail");
    figures::note("01b", "kill -9 at random moments of a scripted job", deaths, deaths, &came_out);
}
