//! Jobs, not files: the job's path in verify and heads, what was not looked at, and what is gone on with.

use std::fs;
use std::path::{Path, PathBuf};

use roughrun::record::{Device, JobId, Journal, Stamp, read_job};
use serde_json::json;

use crate::bench::Bench;

/// The head that a report of the job prints.
fn printed_head(bench: &Bench, id: &str) -> String {
    let report = bench.run(&["report", id]).code(0).out;
    report.split("Record head").nth(1).unwrap().split_whitespace().next().unwrap().to_owned()
}

fn stamp() -> Stamp {
    Stamp { wall: "2027-01-05T09:00:00+01:00".into(), mono_ms: 1 }
}

/// A file that goes on from an early line and sets the true end aside, hashes and all: by the program's own hand on a
/// copy that was cut there, with the true end named. Returns the file it adds.
fn forged(bench: &Bench, id: &str) -> PathBuf {
    let file = bench.record_files().pop().unwrap();
    let id = JobId::parse(id).unwrap();
    let head = read_job(&bench.records(), &id).unwrap().head;
    let text = fs::read_to_string(&file).unwrap();
    let lines: Vec<&str> = text.split_inclusive('\n').collect();
    // Both ways in one folder: the true one, and one that parts from it after the opening.
    let apart = bench.folder.path().join("apart");
    let place = apart.join(file.parent().unwrap().strip_prefix(bench.records()).unwrap());
    fs::create_dir_all(&place).unwrap();
    fs::write(place.join(file.file_name().unwrap()), lines[..2].concat()).unwrap();
    let forger = Device::parse("forger").unwrap();
    let (mut journal, _) = Journal::resume(&apart, &id, &forger, &stamp()).unwrap();
    journal.append("note", json!({"text": "something else"}), stamp()).unwrap();
    let (other, beside) = (journal.path().to_owned(), file.with_file_name("x"));
    drop(journal);
    let beside = beside.with_file_name(other.file_name().unwrap());
    fs::copy(&other, &beside).unwrap();
    // Chosen in the other's favour: the true end is set aside.
    let chosen = read_job(&bench.records(), &id).unwrap();
    let chosen = chosen.branches.iter().find(|b| b.head != head).unwrap().head.clone();
    let (journal, _) = Journal::resume_from(&bench.records(), &id, &forger, &stamp(), &chosen).unwrap();
    journal.path().to_owned()
}

#[test]
fn an_end_that_was_set_aside_is_not_green_and_its_head_is_not_in_the_job() {
    let bench = Bench::new();
    let id = bench.trace("note first\nnote second\n").job();
    let true_head = printed_head(&bench, &id);
    bench.run(&["verify", "--head", &true_head]).code(0).says("the last one there");
    let true_file = bench.record_files().pop().unwrap();
    let by = forged(&bench, &id);
    bench.run(&["report", &id, "--whole"]).code(0).says("something else").never_says("second");
    let by = by.file_name().unwrap().to_str().unwrap();
    bench.run(&["verify"]).code(4).says("0 damaged").says("set them aside").says(&true_head).says(by).plainly();
    let run = bench.run(&["verify", "--head", &true_head]).code(1).plainly();
    run.says("THE HEAD IS NOT IN THE JOB ANY MORE").says(by);
    // Of the file alone, the job's other files beside it are read too.
    let file = true_file.to_str().unwrap();
    bench.run(&["verify", file, "--head", &true_head]).code(1).says("NOT IN THE JOB");
    let forged_head = printed_head(&bench, &id);
    bench.run(&["verify", "--head", &forged_head]).code(4).says("the last one there");
}

#[test]
fn a_head_is_followed_through_all_files_of_the_job() {
    let bench = Bench::new();
    let id = bench.trace("note first\n").job();
    let head = printed_head(&bench, &id);
    let job = JobId::parse(&id).unwrap();
    let (mut journal, _) = Journal::resume(&bench.records(), &job, &Device::parse("ramp").unwrap(), &stamp()).unwrap();
    journal.append("note", json!({"text": "on the ramp"}), stamp()).unwrap();
    drop(journal);
    // Its file ends with it, and two lines of the job follow in the other.
    bench
        .run(&["verify", "--head", &head])
        .code(0)
        .says("lines added since: 2")
        .says("its 2 files together have 3 entries");
    bench.run(&["verify"]).code(0).says("2 files: 2 whole");
}

#[test]
fn what_was_not_looked_at_is_said_with_a_code_of_its_own() {
    let bench = Bench::new();
    bench.trace("note kept\n");
    bench.run(&["verify"]).code(0).says("1 file: 1 whole").never_says("Not everything");
    let file = bench.record_files().pop().unwrap();
    let name = file.file_name().unwrap();
    let looked = |place: &Path, words: &str| {
        fs::create_dir_all(place).unwrap();
        fs::copy(&file, place.join(name)).unwrap();
        bench.run(&["verify"]).code(4).says(words).says("Not everything").plainly();
    };
    let hidden = bench.records().join(".old");
    looked(&hidden, "hidden");
    fs::remove_dir_all(&hidden).unwrap();
    let deep = bench.records().join("a/b/c/d/e/f");
    looked(&deep, "deeper than 5 folders");
    fs::remove_dir_all(bench.records().join("a")).unwrap();
    fs::copy(&file, file.with_file_name(".hidden.jsonl")).unwrap();
    bench.run(&["verify"]).code(4).says(".hidden.jsonl is hidden");
    fs::remove_file(file.with_file_name(".hidden.jsonl")).unwrap();
    std::os::unix::fs::symlink(file.parent().unwrap(), bench.records().join("link")).unwrap();
    bench.run(&["verify"]).code(4).says("a symbolic link");
    fs::remove_file(bench.records().join("link")).unwrap();
    // What other programs hide is nobody's record.
    fs::create_dir_all(bench.records().join(".git/refs")).unwrap();
    bench.run(&["verify"]).code(0);
    let empty = bench.folder.path().join("empty");
    fs::create_dir(&empty).unwrap();
    bench.run(&["verify", empty.to_str().unwrap()]).code(4).says("0 files").says("nothing was checked");
    // Damage outranks what was not looked at.
    fs::write(&file, "x").unwrap();
    fs::create_dir_all(&hidden).unwrap();
    fs::write(hidden.join(name), "x").unwrap();
    bench.run(&["verify"]).code(2).says("hidden");
}

#[test]
fn a_folder_that_may_not_be_read_is_said() {
    use std::os::unix::fs::PermissionsExt as _;
    let bench = Bench::new();
    bench.trace("note kept\n");
    let other = bench.records().join("2025");
    fs::create_dir(&other).unwrap();
    for open in [bench.folder.path(), &bench.records()] {
        fs::set_permissions(open, fs::Permissions::from_mode(0o755)).unwrap();
    }
    fs::set_permissions(&other, fs::Permissions::from_mode(0o000)).unwrap();
    // Everybody but the system's own user is kept out.
    let mut command = bench.command(&["verify"]);
    let root = rustix::process::geteuid().is_root();
    if root {
        let month = bench.record_files().pop().unwrap();
        for up in month.ancestors().take_while(|up| *up != bench.folder.path()) {
            let mode = if up.is_dir() { 0o755 } else { 0o644 };
            fs::set_permissions(up, fs::Permissions::from_mode(mode)).unwrap();
        }
        fs::set_permissions(&other, fs::Permissions::from_mode(0o000)).unwrap();
        let program = bench.folder.path().join("program");
        fs::copy(env!("CARGO_BIN_EXE_roughrun"), &program).unwrap();
        command = std::process::Command::new("setpriv");
        command.args(["--reuid", "65534", "--regid", "65534", "--clear-groups"]).arg(program).args(["verify"]);
        command.current_dir("/").env("ROUGHRUN_RECORDS", bench.records());
    }
    let output = command.output().unwrap();
    fs::set_permissions(&other, fs::Permissions::from_mode(0o755)).unwrap();
    let said = String::from_utf8_lossy(&output.stdout);
    assert_eq!(output.status.code(), Some(4), "{output:?}");
    assert!(said.contains("2025") && said.contains("not allowed") && said.contains("Not everything"), "{said}");
}

#[test]
fn a_last_line_that_cannot_be_read_is_shown_and_nobody_says_what_it_was() {
    for hurt in ["cut", "zeros", "seal"] {
        let bench = Bench::new();
        let id = bench.trace("note first\nnote the last word\n").job();
        let file = bench.record_files().pop().unwrap();
        let mut bytes = fs::read(&file).unwrap();
        let len = bytes.len();
        match hurt {
            "cut" => bytes.truncate(len - 100),
            "zeros" => bytes[len - 100..].fill(0),
            _ => bytes[len - 3..len - 1].copy_from_slice(b"xx"),
        }
        fs::write(&file, bytes).unwrap();
        let run = bench.run(&["verify"]).code(2).says("the last word").never_says("acknowledged").plainly();
        run.says("cannot be known from the file");
        let run = bench.typed(&["resume", &id, "--plain"], "quit\n").code(0);
        run.says("the last word").never_says("acknowledged");
        bench.run(&["verify"]).code(2).says("the last word").never_says("acknowledged");
    }
}

#[test]
fn a_damaged_or_parted_job_is_listed_first_and_no_other_is_opened_in_its_place() {
    let bench = Bench::new();
    let older = bench.trace("note older\n").job();
    let newer = bench.trace("note first\nnote second\n").job();
    let file = bench.record_files().into_iter().find(|f| f.to_str().unwrap().contains(&newer)).unwrap();
    let text = fs::read_to_string(&file).unwrap();
    // Damaged in the middle, and without its beginning.
    fs::write(&file, text.replace("first", "forst")).unwrap();
    let run = bench.typed(&["resume", "--plain"], "note wrong job\n").code(3).plainly();
    run.complains("need a look first")
        .complains(&newer)
        .complains(&format!("roughrun resume {older}"))
        .complains("--head");
    fs::write(&file, text.split_once('\n').unwrap().1).unwrap();
    bench.typed(&["resume", "--plain"], "note wrong job\n").code(3).complains("need a look first").complains(&newer);
    fs::write(&file, &text).unwrap();
    bench.typed(&["resume", "--plain"], "").code(0).says(&newer);
    bench.run(&["report", &older]).code(0).never_says("wrong job");
    // Where the doubtful one was not the last, it is named and the last is opened.
    fs::write(&file, text.replace("first", "forst")).unwrap();
    let last = bench.trace("note newest\n").job();
    let run = bench.typed(&["resume", "--plain"], "quit\n").code(0).says(&last);
    run.complains("Needs a look").complains(&newer);
}

#[test]
fn a_job_that_parts_is_not_passed_over() {
    let bench = Bench::new();
    let older = bench.trace("note older\n").job();
    let newer = bench.trace("note first\n").job();
    let job = JobId::parse(&newer).unwrap();
    let file = bench.record_files().into_iter().find(|f| f.to_str().unwrap().contains(&newer)).unwrap();
    let other = bench.folder.path().join("other");
    let place = other.join(file.parent().unwrap().strip_prefix(bench.records()).unwrap());
    fs::create_dir_all(&place).unwrap();
    fs::copy(&file, place.join(file.file_name().unwrap())).unwrap();
    let (mut journal, _) = Journal::resume(&other, &job, &Device::parse("ramp").unwrap(), &stamp()).unwrap();
    journal.append("note", json!({"text": "apart"}), stamp()).unwrap();
    fs::copy(journal.path(), file.with_file_name(journal.path().file_name().unwrap())).unwrap();
    drop(journal);
    bench.typed(&["resume", "--plain"], "note here\n").code(0).says(&newer);
    // Now both ways have an entry of their own.
    let (mut journal, _) = Journal::resume(&other, &job, &Device::parse("third").unwrap(), &stamp()).unwrap();
    journal.append("note", json!({"text": "apart again"}), stamp()).unwrap();
    fs::copy(journal.path(), file.with_file_name(journal.path().file_name().unwrap())).unwrap();
    drop(journal);
    let run = bench.typed(&["resume", "--plain"], "note wrong job\n").code(3).plainly();
    run.complains("need a look first").complains(&newer).complains(&older);
    bench.run(&["report", &older]).code(0).never_says("wrong job");
}
