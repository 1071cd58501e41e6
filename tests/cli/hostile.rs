//! Files and names made by an enemy, given to the real program under limits of the system: 2 seconds of processor time, 500 MB of memory.
//! Each ends in a clear error or in harmless output.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use serde_json::{Value, json};
use sha2::{Digest as _, Sha256};

use crate::bench::{Bench, Run, USUAL, trees};

/// Runs under the limits. A program that goes over them is killed, or cannot get memory, and ends without an exit code.
fn limited(bench: &Bench, args: &[&str], typed: &str) -> Run {
    let plain = bench.command(args);
    let mut command = Command::new("/bin/sh");
    // Processor time, because a busy machine makes any clock on the wall slow. Few threads and arenas: address space is what counts here.
    command.args(["-c", "ulimit -t 2 && ulimit -v 512000 && exec \"$0\" \"$@\""]).arg(plain.get_program()).args(args);
    command.current_dir(bench.folder.path()).env_clear().envs(plain.get_envs().filter_map(|(k, v)| Some((k, v?))));
    command.env("RAYON_NUM_THREADS", "2").env("MALLOC_ARENA_MAX", "2");
    command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
    let mut child = command.spawn().unwrap();
    let _ = child.stdin.take().unwrap().write_all(typed.as_bytes());
    let run = Run::of(args, &child.wait_with_output().unwrap());
    assert!(run.code.is_some_and(|code| code <= 4), "over 2 seconds or 500 MB, or a panic: {run:#?}");
    let unseen = |c: char| roughrun::text::is_hidden(c) && c != '\n';
    assert!(!run.out.contains(unseen) && !run.err.contains(unseen), "{run:#?}");
    run.plainly()
}

/// Runs under the limits, and ends in an error that says something.
fn refused(bench: &Bench, args: &[&str]) {
    let run = limited(bench, args, USUAL);
    assert!(run.code != Some(0), "{run:#?}");
    assert!(run.err.len() + run.out.len() > 20, "{run:#?}");
}

/// The limits work: a program that eats memory or time is stopped by them.
#[test]
fn the_limits_bite() {
    for (greedy, why) in [("a=x; while :; do a=$a$a; done", "memory"), ("while :; do :; done", "time")] {
        let limits = format!("ulimit -t 2 && ulimit -v 512000 && {greedy}");
        let status = Command::new("/bin/sh").args(["-c", &limits]).stderr(Stdio::null()).status().unwrap();
        assert!(!status.success(), "{why}");
    }
}

/// What is put after a good beginning to make a hostile file of it, by name.
fn poisons() -> Vec<(&'static str, Vec<u8>)> {
    let mut bomb = String::from("a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for i in 1..30 {
        bomb.push_str(&format!("a{i}: &a{i} [{}]\n", vec![format!("*a{}", i - 1); 10].join(", ")));
    }
    let text = |s: &str| s.as_bytes().to_vec();
    vec![
        ("alias bomb", bomb.into_bytes()),
        ("deep lists", format!("title: {}{}\n", "[".repeat(200_000), "]".repeat(200_000)).into_bytes()),
        ("deep maps", format!("title: {}\n", "{a: ".repeat(100_000)).into_bytes()),
        ("a text of 3 MB", format!("title: {}\n", "x".repeat(3 << 20)).into_bytes()),
        ("a file of 50 MB", vec![b'x'; 50 << 20]),
        ("a file of 4 MB of keys", (0..300_000).map(|i| format!("k{i}: 1\n")).collect::<String>().into_bytes()),
        ("a doubled key", text("title: one\ntitle: two\n")),
        ("not a number", text("engine-hours: .nan\nwindow-hours: .nan\ncylinders: .nan\n")),
        ("infinity", text("engine-hours: .inf\nwindow-hours: -.inf\ncylinders: .inf\n")),
        ("a number too large", text("engine-hours: 1e999\nwindow-hours: 1e999\ncylinders: 1e999\n")),
        ("a terminal escape", text("title: \"\\e]0;owned\\a\\e[2J\"\n")),
        ("a raw terminal escape", text("title: \u{1b}[2J\n")),
        ("another way of reading", text("title: \"\\u202Eabc\"\n\"\\u2066k\": 1\n")),
        ("an escape in a key", text("\"\\e]52;c;AAAA\\a\": 1\n")),
        ("nought bytes", vec![0; 4096]),
        ("bytes that are no text", vec![0xff, 0xfe, b'\n']),
        ("a tag", text("title: !!python/object:os.system x\n")),
        ("a merge key", text("<<: {title: x}\n")),
        ("a second document", text("---\nformat: other\n")),
        ("an include", text("title: !include /etc/passwd\n")),
    ]
}

#[test]
fn hostile_trees_layouts_cards_and_evidence_are_refused() {
    let bench = Bench::new();
    let good = trees();
    let layout = std::fs::read(good.join("layouts/four-magneto.yaml")).unwrap();
    let card = std::fs::read(good.parent().unwrap().join("good-cards/tourer.yaml")).unwrap();
    let evidence = b"layout: four-magneto\ncomplaint: rough-one-side at left\n".to_vec();
    let mut tried = 0;
    for (name, poison) in poisons() {
        let folder = bench.folder.path().join(format!("trees {tried}"));
        std::fs::create_dir(&folder).unwrap();
        let put = |file: &str, start: &[u8]| {
            let path = folder.join(file);
            std::fs::write(&path, [start, &poison].concat()).unwrap();
            path.to_str().unwrap().to_owned()
        };
        put("a.yaml", b"format: roughrun-tree-1\n");
        let (learnt, prices) =
            (put("o.txt", b"format: roughrun-learnt-1\n"), put("p.txt", b"format: roughrun-shop-1\n"));
        let trees = folder.to_str().unwrap().to_owned();
        let (layout, card, evidence) = (put("l.yaml.txt", &layout), put("c.txt", &card), put("e.txt", &evidence));
        println!("{name}");
        for args in [
            &["tree", "lint", &trees][..],
            &["trace", "--plain", "--trees", &trees],
            &["trace", "--plain", "--layout", &layout],
            &["trace", "--plain", "--aircraft", &card],
            &["trace", "--plain", "--learnt", &learnt],
            &["trace", "--plain", "--shop", &prices],
            &["diagnose", &evidence],
        ] {
            refused(&bench, args);
            tried += 1;
        }
    }
    assert_eq!(tried, 7 * poisons().len());
    assert!(bench.record_files().is_empty(), "nothing was begun");
}

#[test]
fn a_tree_that_would_grow_to_millions_of_nodes_is_refused() {
    let bench = Bench::new();
    let folder = bench.folder.path().join("grown");
    std::fs::create_dir_all(folder.join("layouts")).unwrap();
    for item in std::fs::read_dir(trees()).unwrap().flatten().filter(|i| i.path().is_file()) {
        std::fs::copy(item.path(), folder.join(item.file_name())).unwrap();
    }
    std::fs::copy(trees().join("layouts/four-magneto.yaml"), folder.join("layouts/four-magneto.yaml")).unwrap();
    let mut grown =
        String::from("format: roughrun-tree-1\neffects:\n  e0: {title: E, at: engine, all: [lead-open, lead-open]}\n");
    for i in 1..3_000 {
        let before = i - 1;
        grown.push_str(&format!("  e{i}: {{title: E, at: plug, any: [e{before}, e{before}, lead-open]}}\n"));
    }
    std::fs::write(folder.join("grown.yaml"), grown).unwrap();
    let folder = folder.to_str().unwrap();
    refused(&bench, &["tree", "lint", folder]);
    refused(&bench, &["tree", "show", "--trees", folder, "--layout", "four-magneto"]);
}

#[test]
fn paths_meant_to_lead_elsewhere_are_refused() {
    let bench = Bench::new();
    let pipe = bench.folder.path().join("pipe.yaml");
    assert!(Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    let link = bench.folder.path().join("link.yaml");
    std::os::unix::fs::symlink("/dev/zero", &link).unwrap();
    let long = "A".repeat(300);
    let deep = "../".repeat(2_000) + "etc/passwd";
    for path in [
        "../../../../etc/passwd",
        "/etc/passwd",
        "/dev/zero",
        "/dev/full",
        "/dev/tty",
        "/",
        ".",
        "..",
        "\u{1b}[2J/x",
        "a\u{202e}/b",
        pipe.to_str().unwrap(),
        link.to_str().unwrap(),
        &long,
        &deep,
    ] {
        refused(&bench, &["trace", "--plain", "--layout", path]);
        refused(&bench, &["trace", "--plain", "--aircraft", path]);
        refused(&bench, &["trace", "--plain", "--trees", path]);
        refused(&bench, &["trace", "--plain", "--learnt", path]);
        refused(&bench, &["trace", "--plain", "--shop", path]);
        refused(&bench, &["diagnose", path]);
        refused(&bench, &["report", path]);
        refused(&bench, &["resume", "--plain", path]);
        let lint = limited(&bench, &["tree", "lint", path], "");
        assert_ne!(lint.code, Some(0), "{lint:?}");
    }
    assert!(bench.record_files().is_empty());
}

/// Lines put at the end of a record with hashes that hold, as someone would who knows how.
fn forge(file: &Path, entries: impl IntoIterator<Item = (String, Value)>) {
    let text = std::fs::read_to_string(file).unwrap();
    let last = text.lines().last().unwrap();
    let mut prev = last[last.len() - 66..last.len() - 2].to_owned();
    let mut seq = text.lines().count();
    let mut more = String::new();
    for (kind, body) in entries {
        let sealed = format!(
            "{{\"seq\":{seq},\"t\":\"2026-11-25T09:00:00+01:00\",\"mono_ms\":1,\"kind\":{},\"body\":{body},\"prev\":\"{prev}\"",
            json!(kind)
        );
        prev = Sha256::digest(sealed.as_bytes()).iter().map(|b| format!("{b:02x}")).collect();
        more.push_str(&format!("{sealed},\"h\":\"{prev}\"}}\n"));
        seq += 1;
    }
    std::fs::write(file, text + &more).unwrap();
}

/// A job of the usual kind with these forged behind it; every command that reads it, under the limits.
fn read_everywhere(what: &str, entries: Vec<(String, Value)>) {
    println!("{what}");
    let bench = Bench::new();
    let id = bench.trace("").job();
    forge(&bench.record_files()[0], entries);
    limited(&bench, &["verify"], "");
    for format in ["text", "html", "json"] {
        limited(&bench, &["report", &id, "--format", format], "");
    }
    limited(&bench, &["resume", &id, "--plain"], "ranking\nwhy\nquit\n");
}

fn entry(kind: &str, body: Value) -> (String, Value) {
    (kind.to_owned(), body)
}

#[test]
fn forged_records_are_read_or_refused() {
    let note = |text: &str| entry("note", json!({ "text": text }));
    let steer = "\u{1b}]0;owned\u{7}\u{1b}[2J\u{9b}31m\u{202e}gpj\u{2066}\u{200b}\u{0}\r\n=cmd|' /C calc'!A0";
    read_everywhere("steering notes", vec![note(steer), entry("closed", json!({"how": "stopped", "note": steer}))]);
    read_everywhere("a kind that steers", vec![entry(steer, json!({}))]);
    read_everywhere("names that steer", vec![entry("answer", json!({"check": steer, "at": steer}))]);
    read_everywhere("20,000 notes", (0..20_000).map(|n| note(&n.to_string())).collect());
    let mut nested = json!({"kind": "note", "body": {"text": "x"}});
    for _ in 0..50 {
        nested = json!({"kind": "amend", "body": {"of": 1, "by": nested}});
    }
    read_everywhere("amendments in amendments", vec![(String::from("amend"), nested["body"].clone())]);
    read_everywhere(
        "undoing what is not there",
        vec![entry("undo", json!({"of": u64::MAX})), entry("undo", json!({"of": 1}))],
    );
    read_everywhere(
        "a job opened twice",
        vec![entry("opened", json!({"layout": "x", "complaint": "y", "at": "left"}))],
    );
    read_everywhere(
        "numbers out of this world",
        vec![entry(
            "answer",
            json!({"check": "lead-ohms", "at": "left 3", "reading": "9".repeat(60), "celsius": 1e308}),
        )],
    );
}

#[test]
fn forged_records_of_endless_work_are_read_or_refused() {
    let hot =
        |n: usize| entry("conditions", json!({"levels": {"heat": if n.is_multiple_of(2) { "hot" } else { "cold" }}}));
    read_everywhere("10,000 spells", (0..10_000).map(hot).collect());
    let answers = |n: usize| {
        let at = format!("{} {}", if n.is_multiple_of(2) { "left" } else { "right" }, 1 + n / 2 % 4);
        let outcome = if n.is_multiple_of(3) { "normal" } else { "fouled" };
        [hot(n / 8), entry("answer", json!({"check": "plug-look", "at": at, "outcome": outcome}))]
    };
    read_everywhere("2,000 spells of findings", (0..2_000).flat_map(answers).collect());
    // As much as is taken, which is worked out in full.
    read_everywhere("96 findings in 18 spells", (0..144).flat_map(answers).collect());
}

/// The opening of a job holds a layout's name and a card's text: both lead nowhere they should not.
#[test]
fn forged_openings_lead_nowhere() {
    for (layout, card) in [
        ("/dev/zero", String::new()),
        ("../../../../etc/passwd", String::new()),
        ("\u{1b}[2J", String::new()),
        ("four-magneto", format!("format: roughrun-aircraft-1\n{}", "[".repeat(50_000))),
        ("four-magneto", "format: roughrun-aircraft-1\na: &a [x]\nb: *a\n".to_owned()),
        ("four-magneto", "\u{1b}]0;x\u{7}".to_owned()),
    ] {
        let bench = Bench::new();
        let id = bench.trace("").job();
        let file = bench.record_files()[0].clone();
        let text = std::fs::read_to_string(&file).unwrap();
        std::fs::write(&file, text.lines().next().unwrap().to_owned() + "\n").unwrap();
        let aircraft = json!({"registration": "ZZ-X", "engine-hours": 1.0, "card": card});
        let opening = json!({"layout": layout, "complaint": "rough-one-side", "at": "left", "aircraft": aircraft});
        forge(&file, [entry("opened", opening)]);
        refused(&bench, &["report", &id]);
        refused(&bench, &["resume", &id, "--plain"]);
        limited(&bench, &["verify"], "");
    }
}

#[test]
fn links_and_pipes_in_the_records_folder_are_passed_over() {
    let bench = Bench::new();
    let id = bench.trace("note kept\n").job();
    let month = bench.record_files()[0].parent().unwrap().to_owned();
    std::os::unix::fs::symlink("/", bench.records().join("2027")).unwrap();
    std::os::unix::fs::symlink("/dev/zero", month.join("01M89ASFC1B6CVZJNTFDQPSFNN.x.jsonl")).unwrap();
    std::os::unix::fs::symlink("..", month.join("round")).unwrap();
    assert!(Command::new("mkfifo").arg(month.join("01M89ASFC1B6CVZJNTFDQPSFNM.x.jsonl")).status().unwrap().success());
    limited(&bench, &["verify"], "")
        .code(4)
        .says("a symbolic link and was skipped")
        .says("a pipe")
        .says("Not everything");
    limited(&bench, &["report", "last", "--whole"], "").code(0).says("kept");
    limited(&bench, &["resume", "--plain"], "note more\n").code(0).says(&id);
}

#[test]
fn markup_and_formulas_stay_words_in_what_is_written_out() {
    let bench = Bench::new();
    let evil = "</td><script>alert(1)</script><img src=x onerror=alert(1)> =HYPERLINK(\"http://x\") [x](javascript:1) &lt;b&gt; ${7*7} `x`";
    let intake = format!("\n\n{evil}\n{evil}\n");
    let args = ["trace", "--plain", "--layout", "four-magneto", "--complaint", "rough-one-side", "--at", "left"];
    let typed = format!("{intake}note {evil}\nnot-possible {evil}\nclose not-found\n");
    let id = limited(&bench, &args, &typed).job();
    let page = limited(&bench, &["report", &id, "--format", "html", "--whole"], "").code(0);
    for mark in ["<script", "<img", "</td><script", "<img src"] {
        assert!(!page.out.contains(mark), "{mark}");
    }
    assert!(page.out.matches("&lt;script&gt;").count() >= 3, "pilot, mechanic and note are there, as words");
    let json = limited(&bench, &["report", &id, "--format", "json"], "").code(0).json();
    assert!(json.to_string().contains("=HYPERLINK"), "kept as typed");
    limited(&bench, &["report", &id, "--whole"], "").code(0).says("<script>alert(1)</script>");
}
