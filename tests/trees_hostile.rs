//! Files made to hang, fill or drive what reads them: each is refused in time, and nothing of it steers a terminal.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss
)]

use std::fmt::Write as _;
use std::path::Path;
use std::time::{Duration, Instant};

use roughrun::trees::{Diagnostic, Library, render_all};

/// Far above what any of them takes in a release build, so that a slow machine does not fail the test.
const IN_TIME: Duration = Duration::from_secs(2);

fn unseen(c: char) -> bool {
    (c.is_control() && c != '\n')
        || matches!(c, '\u{61C}' | '\u{200B}'..='\u{200F}' | '\u{202A}'..='\u{202E}' | '\u{2060}'..='\u{206F}' | '\u{FEFF}')
}

/// The faults of a tree with one more file, after a look that it was quick and that its words are safe.
fn refused(name: &str, bytes: &[u8]) -> Vec<Diagnostic> {
    let start = Instant::now();
    let faults =
        Library::from_files(&[("unknown.yaml", UNKNOWN), (name, bytes)]).expect_err("a hostile file was taken");
    let drawn = render_all(&faults);
    let json = serde_json::to_string(&faults).unwrap();
    assert!(start.elapsed() < IN_TIME, "took {:?}", start.elapsed());
    assert!(!faults.is_empty() && faults.len() <= 501);
    for fault in &faults {
        for text in [&fault.file, &fault.text, &fault.message, &fault.mend] {
            assert!(!text.chars().any(|c| unseen(c) || c == '\n'), "{text:?}");
        }
    }
    assert!(!drawn.chars().any(unseen), "{drawn:?}");
    // JSON writes control characters out by itself; the others must be gone too.
    assert!(!json.chars().any(unseen));
    faults
}

const UNKNOWN: &[u8] = b"format: roughrun-tree-1\nunknown: {title: something else, rate: 0.4, source: placeholder}\n";

fn has(faults: &[Diagnostic], code: &str) -> bool {
    faults.iter().any(|fault| fault.code == code)
}

fn tree(body: &str) -> Vec<u8> {
    format!("format: roughrun-tree-1\n{body}").into_bytes()
}

#[test]
fn an_alias_bomb_does_not_go_off() {
    let mut bomb = String::from("hazards:\n  a0: &a0 [x, x, x, x, x, x, x, x, x, x]\n");
    for i in 1..30 {
        let line = vec![format!("*a{}", i - 1); 10].join(", ");
        writeln!(bomb, "  a{i}: &a{i} [{line}]").unwrap();
    }
    let faults = refused("bomb.yaml", &tree(&bomb));
    assert!(has(&faults, "anchor") && has(&faults, "alias"));
}

#[test]
fn deep_nesting_is_refused() {
    for (open, close) in [("[", "]"), ("{a: ", "}"), ("- ", ""), ("? ", "")] {
        let body = format!("hazards:\n  {}x{}\n", open.repeat(100_000), close.repeat(100_000));
        let faults = refused("deep.yaml", &tree(&body));
        assert!(
            has(&faults, "too-deep") || has(&faults, "syntax") || has(&faults, "key-not-text"),
            "{}",
            render_all(&faults)
        );
    }
}

#[test]
fn too_large_a_file_is_refused_unread() {
    let large = tree(&"# a comment that goes on\n".repeat(210_000));
    assert!(large.len() > 5_000_000);
    assert!(has(&refused("large.yaml", &large), "file-too-large"));
    let dir = tempfile::tempdir().unwrap();
    std::fs::write(dir.path().join("large.yaml"), &large).unwrap();
    let faults = Library::load(dir.path()).unwrap_err();
    assert!(has(&faults, "file-too-large"));
}

#[test]
fn four_mebibytes_of_anything_are_taken_in_time() {
    let most = 4 * 1024 * 1024 - 100;
    let one_line = format!("hazards: [{}]", "a,".repeat(most / 2 - 20));
    assert!(has(&refused("values.yaml", &tree(&one_line)), "too-many-values"));
    let one_text = format!("hazards: {}", "a".repeat(most - 20));
    assert!(has(&refused("text.yaml", &tree(&one_text)), "text-too-long"));
    let one_key = format!("{}: x", "k".repeat(most - 40));
    refused("key.yaml", &tree(&one_key));
    let names = (0..20_000).fold(String::from("hazards:\n"), |mut all, i| {
        writeln!(all, "  {i}_: {{title: x, caution: ümläut}}").unwrap();
        all
    });
    let faults = refused("names.yaml", &tree(&names));
    assert!(has(&faults, "bad-name") && has(&faults, "more-faults"), "{}", render_all(&faults[..faults.len().min(3)]));
}

#[test]
fn one_line_of_thousands_of_declarations_is_taken_in_time() {
    let names: Vec<String> =
        (0..20_000).map(|i| format!("{}-{i}: {{title: x, caution: , wrong: 1}}", "name".repeat(15))).collect();
    let filler = "x".repeat(60_000);
    let texts: Vec<String> = (0..30).map(|i| format!("far-{i}: {{title: {filler}}}")).collect();
    let body = format!("hazards: {{{}, {}}}\n", texts.join(", "), names.join(", "));
    assert!(has(&refused("line.yaml", &tree(&body)), "more-faults"));
}

#[test]
fn many_wrong_names_are_told_in_time() {
    let mut body = String::from("corrections:\n");
    for i in 0..3_000 {
        writeln!(
            body,
            "  mend-{i}: {{title: T, kind: clean, at: plug, cures: [lead-opne-{i}, plug-fouledd-{i}], minutes: 1, cost: 0, source: common}}"
        )
        .unwrap();
    }
    body.push_str("causes:\n");
    for i in 0..3_000 {
        writeln!(body, "  lead-open-{i}: {{title: T, at: plug, part: lead, rate: 1, rate-source: common, how: H}}")
            .unwrap();
    }
    assert!(has(&refused("names.yaml", &tree(&body)), "more-faults"));
}

#[test]
fn numbers_out_of_this_world_are_refused() {
    for number in [".nan", ".inf", "-.inf", "1e999", "-1e308", "0x7fffffffffffffff", "1e400", "!!float 3", "12_000"] {
        let body = format!(
            "causes:\n  worn: {{title: worn, at: side, part: cam, rate: {number}, rate-source: common, how: It wears.}}\n"
        );
        let faults = refused("number.yaml", &tree(&body));
        let known = ["bad-number", "wrong-type", "bad-value", "tag"].iter().any(|code| has(&faults, code));
        assert!(known, "{number}: {}", render_all(&faults));
    }
}

#[test]
fn a_key_with_the_words_of_a_fault_in_it_is_refused_like_any_other() {
    for key in ["x duplicate field title", "\"unknown field `<<`\"", "x unknown field `<<`", "missing field"] {
        let body = format!("hazards:\n  hot: {{title: Hot, caution: Hands off., {key}: x}}\n");
        assert!(has(&refused("odd.yaml", &tree(&body)), "unknown-field"), "{body}");
    }
}

#[test]
fn doubled_keys_are_refused_at_every_depth() {
    for body in [
        "hazards:\n  a: {title: A, caution: B.}\nhazards:\n  b: {title: A, caution: B.}\n",
        "hazards:\n  a: {title: A, caution: B.}\n  a: {title: A, caution: C.}\n",
        "hazards:\n  a: {title: A, \"title\": B, caution: B.}\n",
        "provocations:\n  p: {title: P, sets: {heat: hot, heat: cold}, minutes: 1, source: common}\n",
    ] {
        assert!(has(&refused("twice.yaml", &tree(body)), "duplicate-key"), "{body}");
    }
}

#[test]
fn nothing_that_steers_a_terminal_gets_through() {
    let steering = [
        "\\e]0;owned\\a",
        "\\e[2J",
        "\\x9b31m",
        "\\u202Egpj",
        "\\u2066x",
        "\\u200B",
        "\\uFEFF",
        "\\U000E0041",
        "\\0",
        "\\r",
    ];
    for text in steering {
        for body in [
            format!("hazards:\n  edges: {{title: \"{text}\", caution: Beware.}}\n"),
            format!("hazards:\n  \"{text}\": {{title: Edges, caution: Beware.}}\n"),
            format!("hazards:\n  edges: {{title: Edges, caution: Beware., \"{text}\": 1}}\n"),
            format!("hazards:\n  edges: {{title: Edges, caution: Beware., stands: \"{text}\"}}\n"),
            format!("\"{text}\": {{}}\n"),
            format!("format: \"{text}\"\n"),
        ] {
            let faults = refused("steer.yaml", &tree(&body));
            assert!(has(&faults, "control-character"), "{text}: {}", render_all(&faults));
        }
    }
    // As they are, not written out; in a comment too.
    for text in ["\u{1b}]0;owned\u{7}", "\u{9b}31m", "\u{202e}gpj", "\u{2066}", "\u{200b}", "\u{feff}", "\0"] {
        for body in
            [format!("hazards:\n  edges: {{title: {text}, caution: Beware.}}\n"), format!("# {text}\nhazards: {{}}\n")]
        {
            assert!(has(&refused("steer.yaml", &tree(&body)), "control-character"), "{text:?}");
        }
    }
    assert!(has(&refused("\u{1b}[2J.yaml", b"format: x\n"), "format"));
    assert!(has(&refused("latin.yaml", b"format: roughrun-tree-1\n# caf\xe9\n"), "not-utf8"));
}

#[test]
fn a_tree_that_would_grow_too_large_is_refused() {
    // Each level doubles the one before.
    let mut body = String::from("causes:\n");
    for name in ["a", "b"] {
        writeln!(body, "  {name}: {{title: T, at: plug, part: p, rate: 1, rate-source: common, how: H}}").unwrap();
    }
    body.push_str("effects:\n  e0: {title: E, at: plug, all: [a, b]}\n  f0: {title: F, at: plug, all: [b, a]}\n");
    for i in 1..60 {
        let before = i - 1;
        writeln!(body, "  e{i}: {{title: E, at: plug, all: [e{before}, f{before}]}}").unwrap();
        writeln!(body, "  f{i}: {{title: F, at: plug, all: [f{before}, e{before}]}}").unwrap();
    }
    body.push_str(
        "complaints:\n  c: {title: C, at: plug, shows: [{effect: e59, chance: 1}], proof: {minutes: 1, steps: [x]}}\n",
    );
    body.push_str(
        "checks:\n  k: {title: K, at: plug, purpose: P, sees: awake, minutes: 1, steps: [x], expected: E, source: common, normal: N, \
         outcomes: {bad: {title: B, shows: [{cause: a, chance: 1}, {cause: b, chance: 1}]}}}\n",
    );
    body.push_str(
        "corrections:\n  m: {title: M, kind: clean, at: plug, cures: [a, b], minutes: 1, cost: 0, source: common}\n",
    );
    let library = Library::from_files(&[("unknown.yaml", UNKNOWN), ("tree.yaml", &tree(&body))]).unwrap();
    let layout = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/good/layouts/four-magneto.yaml");
    let layout = library.layout(&layout.to_string_lossy()).unwrap();
    let start = Instant::now();
    let faults = library.expand(&layout).unwrap_err();
    assert!(start.elapsed() < IN_TIME);
    assert!(has(&faults, "tree-too-large"), "{}", render_all(&faults));
}

#[test]
fn too_many_nodes_are_refused() {
    let mut body = String::from("effects:\n");
    for i in 0..700 {
        writeln!(body, "  e{i}: {{title: E, at: plug, any: [a]}}").unwrap();
    }
    body.push_str("causes:\n  a: {title: T, at: plug, part: p, rate: 1, rate-source: common, how: H}\n");
    body.push_str(
        "complaints:\n  c: {title: C, at: plug, shows: [{effect: e1, chance: 1}], proof: {minutes: 1, steps: [x]}}\n",
    );
    body.push_str(
        "checks:\n  k: {title: K, at: plug, purpose: P, sees: awake, minutes: 1, steps: [x], expected: E, source: common, normal: N, \
         outcomes: {bad: {title: B, shows: [{cause: a, chance: 1}]}}}\n",
    );
    body.push_str(
        "corrections:\n  m: {title: M, kind: clean, at: plug, cures: [a], minutes: 1, cost: 0, source: common}\n",
    );
    let library = Library::from_files(&[("unknown.yaml", UNKNOWN), ("tree.yaml", &tree(&body))]).unwrap();
    let layout = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/good/layouts/four-magneto.yaml");
    let faults = library.expand(&library.layout(&layout.to_string_lossy()).unwrap()).unwrap_err();
    assert!(has(&faults, "tree-too-large"), "{}", render_all(&faults));
}

#[test]
fn a_long_chain_of_effects_overflows_nothing() {
    let mut body = String::from(
        "causes:\n  a: {title: T, at: engine, part: p, rate: 1, rate-source: common, how: H}\neffects:\n  e0: {title: E, at: engine, any: [a]}\n",
    );
    for i in 1..4_000 {
        writeln!(body, "  e{i}: {{title: E, at: engine, any: [e{}]}}", i - 1).unwrap();
    }
    body.push_str("  ring-0: {title: E, at: engine, any: [ring-3999]}\n");
    for i in 1..4_000 {
        writeln!(body, "  ring-{i}: {{title: E, at: engine, any: [ring-{}]}}", i - 1).unwrap();
    }
    assert!(has(&refused("chain.yaml", &tree(&body)), "cycle"));
}

#[cfg(unix)]
#[test]
fn what_is_no_ordinary_file_is_not_opened() {
    let dir = tempfile::tempdir().unwrap();
    std::os::unix::fs::symlink("/dev/zero", dir.path().join("zero.yaml")).unwrap();
    std::fs::create_dir(dir.path().join("folder.yaml")).unwrap();
    std::fs::write(dir.path().join("tree.yml"), UNKNOWN).unwrap();
    let start = Instant::now();
    let faults = Library::load(dir.path()).unwrap_err();
    assert!(start.elapsed() < IN_TIME);
    assert_eq!(faults.iter().filter(|fault| fault.code == "cannot-read").count(), 2, "{}", render_all(&faults));
    assert!(has(&faults, "file-name"));
    assert!(has(&Library::load(&dir.path().join("none")).unwrap_err(), "cannot-read"));
}

#[test]
fn nothing_at_all_is_refused_with_words() {
    for files in [&[][..], &[("a.yaml", &b""[..])], &[("a.yaml", &b"format: roughrun-tree-1\n"[..])]] {
        assert!(!Library::from_files(files).unwrap_err().is_empty());
    }
}

/// The files of the good tree, by name.
fn good() -> Vec<(String, Vec<u8>)> {
    let dir = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees/good");
    let read = |name: &str| (name.to_string(), std::fs::read(dir.join(name)).unwrap());
    let names =
        ["checks", "complaints", "ground", "parts", "unknown", "work", "layouts/four-magneto", "layouts/six-mixed"];
    names.iter().map(|name| read(&format!("{name}.yaml"))).collect()
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(300))]

    /// A good tree with a piece cut out or put in anywhere is taken or refused with safe words, and never panics.
    #[test]
    fn a_damaged_tree_is_taken_or_refused(
        which in 0usize..8,
        at in 0.0f64..1.0,
        cut in 0usize..40,
        put in proptest::prop_oneof!["[ -~\n]{0,12}", "\\PC{0,6}", "(\\{|\\[|: |- |\"|\n  |ä|\u{202e}|\\.nan|-1|null|~){1,4}"],
    ) {
        let mut files = good();
        let text = String::from_utf8(std::mem::take(&mut files[which].1)).unwrap();
        let chars: Vec<char> = text.chars().collect();
        let start = ((chars.len() as f64) * at) as usize;
        let end = (start + cut).min(chars.len());
        let damaged: String = chars[..start].iter().copied().chain(put.chars()).chain(chars[end..].iter().copied()).collect();
        files[which].1 = damaged.into_bytes();
        let files: Vec<(&str, &[u8])> = files.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        match Library::from_files(&files) {
            Ok(library) => {
                for layout in library.layouts() {
                    if let Err(faults) = library.expand(layout) {
                        proptest::prop_assert!(!faults.is_empty());
                    }
                }
            }
            Err(faults) => {
                proptest::prop_assert!(!faults.is_empty());
                proptest::prop_assert!(!render_all(&faults).chars().any(unseen));
            }
        }
    }
}
