//! Sudden death, torn lines, disks that cannot be written.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, ChildStdin, ChildStdout};

use crate::bench::{Bench, USUAL};
use serde_json::Value;
use sha2::{Digest as _, Sha256};

const ENTRIES: [&str; 4] =
    ["showing no\n", "other plug-look left 1\n1\n1\n", "conditions heat=hot\n", "other plug-look left 3\n1\nfouled\n"];

/// A job in work, to be killed at a chosen moment.
struct Working {
    child: Child,
    input: ChildStdin,
    output: BufReader<ChildStdout>,
}

impl Working {
    fn start(bench: &Bench) -> Self {
        let args = ["trace", "--plain", "--layout", "four-magneto", "--complaint", "rough-one-side", "--at", "left"];
        let mut child = bench.command(&args).spawn().unwrap();
        let mut input = child.stdin.take().unwrap();
        let output = BufReader::new(child.stdout.take().unwrap());
        input.write_all(USUAL.as_bytes()).unwrap();
        Self { child, input, output }
    }

    fn type_until(&mut self, lines: &str, said: &str) {
        self.input.write_all(lines.as_bytes()).unwrap();
        let mut line = String::new();
        while !line.contains(said) {
            line.clear();
            assert!(self.output.read_line(&mut line).unwrap() > 0, "the program ended before it said {said}");
        }
    }

    fn kill(mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

/// What is believed, without names and times.
fn believed(bench: &Bench, id: &str) -> Value {
    let report = bench.run(&["report", id, "--format", "json"]).code(0).json();
    serde_json::json!([report["proven"], report["shown_good"], report["left"], report["checks"], report["minutes"]])
}

#[test]
fn a_job_killed_in_the_middle_goes_on_as_if_nothing_had_happened() {
    let calm = Bench::new();
    let whole = calm.trace(&ENTRIES.concat()).code(0).job();
    for cut in 0..=ENTRIES.len() {
        let bench = Bench::new();
        let mut working = Working::start(&bench);
        working.type_until("", "Each answer is saved");
        for (at, lines) in ENTRIES[..cut].iter().enumerate() {
            working.type_until(lines, &format!("Saved as entry {}", at + 2));
        }
        working.kill();
        bench.run(&["verify"]).code(0).says("1 whole");
        let run = bench.typed(&["resume", "--plain"], &ENTRIES[cut..].concat()).code(0);
        assert_eq!(believed(&bench, &run.job()), believed(&calm, &whole), "cut after {cut}");
    }
}

#[test]
fn a_job_that_died_while_it_was_begun_is_not_taken_for_the_last_one() {
    let bench = Bench::new();
    let id = bench.trace("note kept\n").job();
    bench.trace("");
    let newer = bench.record_files().pop().unwrap();
    let text = std::fs::read_to_string(&newer).unwrap();
    let header = text.split_inclusive('\n').next().unwrap();
    std::fs::write(&newer, header).unwrap();
    bench.typed(&["resume", "--plain"], "").code(0).says(&id);
    bench.run(&["report", "last", "--whole"]).code(0).says("kept");
    bench.run(&["verify"]).code(0).says("2 whole");
    // And one whose header is torn.
    std::fs::write(&newer, &header[..90]).unwrap();
    bench.typed(&["resume", "--plain"], "").code(0).says(&id);
    bench.run(&["verify"]).code(2);
}

#[test]
fn a_field_from_a_newer_version_is_refused_not_passed_over() {
    let bench = Bench::new();
    let id = bench.trace("note kept\n").job();
    let file = bench.record_files().pop().unwrap();
    let text = std::fs::read_to_string(&file).unwrap();
    // As a newer version would have written it, hash and all.
    let lines: Vec<&str> = text.lines().collect();
    let (sealed, _) = lines[2].rsplit_once(",\"h\":\"").unwrap();
    let sealed = sealed.replace("\"text\":\"kept\"", "\"text\":\"kept\",\"weight\":2");
    let hash: String = Sha256::digest(sealed.as_bytes()).iter().map(|b| format!("{b:02x}")).collect();
    std::fs::write(&file, format!("{}\n{}\n{sealed},\"h\":\"{hash}\"}}\n", lines[0], lines[1])).unwrap();
    bench.run(&["verify"]).code(0);
    for args in [&["report", &id][..], &["resume", &id, "--plain"]] {
        bench.run(args).code(3).complains("newer version").complains("weight").plainly();
    }
}

#[test]
fn a_printed_head_shows_what_was_cut_off() {
    let bench = Bench::new();
    let id = bench.trace("note first\nnote second\n").job();
    let report = bench.run(&["report", &id]).code(0).out;
    let head = report.split("Record head").nth(1).unwrap().split_whitespace().next().unwrap().to_owned();
    bench.run(&["verify", "--head", &head]).code(0).says("the last one there");
    bench.typed(&["resume", &id, "--plain"], "note third\n").code(0);
    bench.run(&["verify", "--head", &head]).code(0).says("lines added since: 1");
    let file = bench.record_files().pop().unwrap();
    let text = std::fs::read_to_string(&file).unwrap();
    let short: Vec<&str> = text.split_inclusive('\n').take(3).collect();
    std::fs::write(&file, short.concat()).unwrap();
    bench.run(&["verify"]).code(0).says("1 whole");
    let file = file.to_str().unwrap();
    bench.run(&["verify", file, "--head", &head]).code(1).says("NO LINE HAS THE HEAD").plainly();
    for odd in ["", "0", "../../etc", "zzzzzzzzzzzz"] {
        bench.run(&["verify", "--head", odd]).code(1).says("NO LINE HAS THE HEAD").plainly();
    }
}

#[test]
fn a_torn_last_line_is_closed_and_said() {
    let bench = Bench::new();
    let id = bench.trace("showing no\n").job();
    let file = bench.record_files().pop().unwrap();
    let mut handle = std::fs::OpenOptions::new().append(true).open(&file).unwrap();
    handle.write_all(b"{\"seq\":3,\"t\":\"2026-01").unwrap();
    bench.run(&["verify"]).code(2).says("unfinished").says("{\"seq\":3,\"t\":\"2026-01").never_says("acknowledged");
    bench.run(&["report", &id]).code(0).says("Record        ");
    bench.typed(&["resume", &id, "--plain"], "note after\n").code(0).says("About the record:").says("Note: after");
    let text = std::fs::read_to_string(&file).unwrap();
    assert!(text.contains("{\"seq\":3,\"t\":\"2026-01\n"), "the torn bytes stay");
    bench.run(&["report", &id, "--whole"]).code(0).says("Note: after");
}

#[test]
fn a_changed_record_is_found_and_not_gone_on_with() {
    let bench = Bench::new();
    let id = bench.trace("note first\nnote second\n").job();
    let file = bench.record_files().pop().unwrap();
    let text = std::fs::read_to_string(&file).unwrap().replace("first", "forst");
    std::fs::write(&file, text).unwrap();
    bench.run(&["verify"]).code(1).says("DAMAGED").plainly();
    bench.typed(&["resume", &id, "--plain"], "").code(3).complains("damaged");
    bench.run(&["report", &id]).code(1).says("Record        ").never_says("second").complains("damaged");
}

#[test]
fn a_job_open_elsewhere_is_not_opened_twice() {
    let bench = Bench::new();
    let mut working = Working::start(&bench);
    working.type_until("", "Each answer is saved");
    bench.typed(&["resume", "--plain"], "").code(3).complains("open in another window");
    bench.run(&["report", "last"]).code(0);
    working.kill();
}

#[test]
fn a_records_folder_that_cannot_be_written_is_said_before_the_first_question() {
    let bench = Bench::new();
    std::fs::write(bench.records(), "a file, not a folder").unwrap();
    let run = bench.trace("").code(3).plainly();
    assert!(run.out.is_empty(), "{}", run.out);
    run.complains("records");
}

#[test]
fn a_failed_save_is_said_and_the_job_goes_on_elsewhere() {
    let bench = Bench::new();
    let mut working = Working::start(&bench);
    working.type_until("showing no\n", "Saved as entry 2");
    // Somebody else writes to the file: the program must not go on in it.
    let file = bench.record_files().pop().unwrap();
    let mut handle = std::fs::OpenOptions::new().append(true).open(&file).unwrap();
    handle.write_all(b"x\n").unwrap();
    working.type_until("note kept\n", "NOT SAVED");
    working.type_until("note refused\n", "not saved yet");
    let other = bench.folder.path().join("elsewhere");
    working.type_until(&format!("save {}\n", other.display()), "is saved in");
    working.type_until("note later\n", "Note: later");
    working.kill();
    let args = ["report", "last", "--whole", "--records", other.to_str().unwrap()];
    bench.run(&args).code(0).says("Note: kept").says("Note: later").never_says("refused");
}

#[test]
fn changed_trees_are_said() {
    let bench = Bench::new();
    let id = bench.trace("showing no\n").job();
    let copy = bench.folder.path().join("trees");
    std::fs::create_dir_all(copy.join("layouts")).unwrap();
    for (from, to) in
        [(crate::bench::trees(), copy.clone()), (crate::bench::trees().join("layouts"), copy.join("layouts"))]
    {
        for item in std::fs::read_dir(from).unwrap().flatten().filter(|i| i.path().is_file()) {
            std::fs::copy(item.path(), to.join(item.file_name())).unwrap();
        }
    }
    let parts = copy.join("parts.yaml");
    let text = std::fs::read_to_string(&parts).unwrap().replace("rate: 0.3", "rate: 0.4");
    std::fs::write(&parts, text).unwrap();
    let trees = copy.to_str().unwrap();
    bench.run(&["report", &id, "--trees", trees]).code(0).says("trees differ");
    bench.typed(&["resume", &id, "--plain", "--trees", trees], "quit\n").code(0).says("trees differ");
    // A layout that is gone is a fault of the trees, not a panic.
    std::fs::remove_file(copy.join("layouts/four-magneto.yaml")).unwrap();
    bench.run(&["report", &id, "--trees", trees]).code(1).complains("four-magneto").plainly();
}
