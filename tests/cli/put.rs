//! Pages written to a file: whole or not at all, never over a record, never through a link; and what else is said
//! where something cannot be written or read.

use std::fs;
use std::process::Stdio;

use crate::bench::Bench;

const FIGURES: [&str; 5] = ["review", "figures", "--format", "html", "-o"];

fn figures(bench: &Bench, to: &str) -> crate::bench::Run {
    bench.run(&[&FIGURES[..], &[to]].concat())
}

#[test]
fn a_page_is_never_written_over_a_record_or_through_a_link() {
    let bench = Bench::new();
    bench.trace("note kept\n");
    let record = bench.record_files().pop().unwrap();
    let before = fs::read(&record).unwrap();
    figures(&bench, record.to_str().unwrap()).code(3).complains("is a record").plainly();
    // By any other name it still is one.
    let copy = bench.folder.path().join("notes.txt");
    fs::copy(&record, &copy).unwrap();
    figures(&bench, copy.to_str().unwrap()).code(3).complains("is a record");
    assert_eq!((fs::read(&record).unwrap(), fs::read(&copy).unwrap()), (before.clone(), before));
    let (real, link) = (bench.file("real.html", "precious"), bench.folder.path().join("link.html"));
    std::os::unix::fs::symlink(&real, &link).unwrap();
    figures(&bench, link.to_str().unwrap()).code(3).complains("a symbolic link");
    assert_eq!(fs::read_to_string(&real).unwrap(), "precious");
    figures(&bench, "/dev/full").code(3).complains("no plain file");
    let page = bench.folder.path().join("page.html");
    figures(&bench, page.to_str().unwrap()).code(0);
    figures(&bench, page.to_str().unwrap()).code(0);
    assert!(fs::read_to_string(&page).unwrap().ends_with("</html>\n"));
}

/// The limit on the size of files stands for a disk that fills up.
#[test]
fn a_page_that_cannot_be_written_whole_leaves_the_old_one() {
    let bench = Bench::new();
    bench.trace("note kept\n");
    let page = bench.file("page.html", "the old page");
    let program = env!("CARGO_BIN_EXE_roughrun");
    let args = [&["-c", "ulimit -f 1; exec \"$0\" \"$@\"", program][..], &FIGURES, &[&page]].concat();
    let mut command = std::process::Command::new("sh");
    command.args(args).current_dir(bench.folder.path()).env("ROUGHRUN_RECORDS", bench.records());
    command.env("ROUGHRUN_TREES", crate::bench::trees()).env_remove("XDG_CACHE_HOME");
    let output = command.stdin(Stdio::null()).output().unwrap();
    assert_eq!(output.status.code(), Some(3), "{output:?}");
    assert_eq!(fs::read_to_string(&page).unwrap(), "the old page");
    let left: Vec<_> = fs::read_dir(bench.folder.path()).unwrap().map(|e| e.unwrap().file_name()).collect();
    assert!(left.iter().all(|name| !name.to_string_lossy().starts_with(".roughrun-")), "{left:?}");
}

#[test]
fn help_that_cannot_be_written_does_not_end_well() {
    let bench = Bench::new();
    for args in [&["--help"][..], &["--version"], &["trace", "--help"], &["help"], &["man"]] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let output = bench.command(args).stdout(full).output().unwrap();
        assert_eq!(output.status.code(), Some(3), "{args:?}: {output:?}");
        assert!(String::from_utf8_lossy(&output.stderr).contains("could not be written"), "{output:?}");
        bench.run(args).code(0);
    }
}

#[test]
fn a_byte_order_mark_before_yaml_is_passed_over() {
    let bench = Bench::new();
    let text =
        "format: roughrun-aircraft-1\nregistration: X-TEST\ntitle: Invented\nlayout: four-magneto\nengine-hours: 812\n";
    let card = bench.file("card.yaml", &format!("\u{feff}{text}"));
    bench.run(&["tree", "lint", &card]).code(0);
    let args = ["trace", "--plain", "--aircraft", &card, "--complaint", "rough-one-side", "--at", "left"];
    let run = bench.typed(&args, crate::bench::USUAL).code(0);
    bench.run(&["report", &run.job()]).code(0).says("X-TEST");
    // Anywhere else it hides something.
    let card = bench.file("card.yaml", &text.replace("Invented", "In\u{feff}vented"));
    bench.run(&["tree", "lint", &card]).code(1).says("U+FEFF");
}

#[test]
fn a_line_that_is_too_long_is_refused_with_a_word() {
    let bench = Bench::new();
    let long = format!("note {}\n", "x".repeat(20_000));
    let run = bench.trace(&format!("{long}note after\n")).code(0).says("nothing of it was taken").says("Note: after");
    bench.run(&["report", &run.job()]).code(0).never_says("xxx");
    let text = "y".repeat(40_000);
    let run = bench.typed(&["review", "remark", &run.job(), "--by", "L. Lead"], &text);
    run.code(2).complains("nothing of it was taken");
}

/// Sixty files of one job that say nothing, each as large as a file may be.
#[test]
fn many_hostile_files_do_not_fill_the_memory() {
    let bench = Bench::new();
    let id = bench.trace("note kept\n").job();
    let month = bench.record_files().pop().unwrap().parent().unwrap().to_owned();
    let mut bytes = vec![b'x'; 16 << 20];
    (0..bytes.len()).step_by(1000).for_each(|at| bytes[at] = b'\n');
    let first = month.join(format!("{id}.y0.jsonl"));
    fs::write(&first, &bytes).unwrap();
    for n in 1..60 {
        fs::hard_link(&first, month.join(format!("{id}.y{n}.jsonl"))).unwrap();
    }
    let program = env!("CARGO_BIN_EXE_roughrun");
    for args in [&["verify"][..], &["review", "list"], &["report", &id]] {
        // In units of 1024 bytes.
        let all = [&["-c", "ulimit -v 700000; exec \"$0\" \"$@\"", program][..], args].concat();
        let mut command = std::process::Command::new("sh");
        command.args(all).current_dir(bench.folder.path()).env("ROUGHRUN_RECORDS", bench.records());
        command.env("ROUGHRUN_TREES", crate::bench::trees()).env("XDG_CACHE_HOME", bench.folder.path().join("cache"));
        let output = command.stdin(Stdio::null()).output().unwrap();
        let err = String::from_utf8_lossy(&output.stderr);
        assert!(!err.contains("memory allocation") && output.status.code().is_some_and(|c| c < 5), "{args:?}: {err}");
    }
    bench.run(&["verify"]).code(1).says("were not read").plainly();
}
