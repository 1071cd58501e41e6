//! A small invented tree, quick to work: twelve kinds of fault on one engine, each with a check and a correction of its own, and
//! checks that show four of them at once.

use std::fmt::Write as _;
use std::sync::Arc;

use roughrun::model::Model;
use roughrun::trees::Library;

const KINDS: usize = 12;

/// The text of the tree.
pub(crate) fn text() -> String {
    let mut text = "format: roughrun-tree-1\n\
        conditions:\n  heat: {title: Engine heat, levels: [cold, hot]}\n\
        access:\n  cowl-off: {title: cowling off, at: engine, open: 10, close: 10}\n\
        unknown: {title: something not in this tree, rate: 0.02, source: placeholder}\n\
        complaints:\n  rough:\n    title: Rough\n    at: engine\n    shows:\n"
        .to_owned();
    let all = |text: &mut String, line: &dyn Fn(usize) -> String| (0..KINDS).for_each(|at| text.push_str(&line(at)));
    all(&mut text, &|at| format!("      - {{cause: fault-{at}, chance: 0.95}}\n"));
    text.push_str("      - {cause: twin-a, chance: 0.95}\n      - {cause: twin-b, chance: 0.95}\n");
    text.push_str(
        "    usual: {heat: hot}\n    proof: {minutes: 15, steps: [Run it.]}\n    first-order: [look-0]\ncauses:\n",
    );
    all(&mut text, &|at| {
        let rate = [0.2, 0.35, 0.5, 0.8][at % 4];
        let wakes = if at % 3 == 0 {
            "    wakes: {steady: 0.1, heat: {hot: 0.7}, at-times: 0.2, source: placeholder}\n"
        } else {
            ""
        };
        format!(
            "  fault-{at}:\n    title: fault {at}\n    at: engine\n    part: part-{at}\n    rate: {rate}\n    \
             rate-source: placeholder\n{wakes}    how: It is invented.\n"
        )
    });
    for twin in ["a", "b"] {
        // Writing into a String cannot fail.
        let _ = writeln!(
            text,
            "  twin-{twin}: {{title: twin {twin}, at: engine, part: twin, rate: 0.3, rate-source: placeholder, how: It is invented.}}"
        );
    }
    text.push_str("checks:\n");
    text.push_str(&check("twin-look", 15, false, &["twin-a"], 0.9).replace("seen:\n", "seen:\n        proves: true\n"));
    all(&mut text, &|at| {
        let minutes = [12, 20, 30, 9][(at / 2) % 4];
        let next = (at + 5) % KINDS;
        let own = check(&format!("look-{at}"), minutes, true, &[&format!("fault-{at}")], 0.9);
        format!("{own}          - {{cause: fault-{next}, chance: 0.15}}\n")
    });
    for group in 0..3 {
        let of: Vec<String> = (0..4).map(|i| format!("fault-{}", group * 4 + i)).collect();
        let of: Vec<&str> = of.iter().map(String::as_str).collect();
        text.push_str(&check(&format!("wide-look-{group}"), 25, false, &of, 0.7));
    }
    text.push_str(&check("twins-look", 10, false, &["twin-a", "twin-b"], 0.8));
    text.push_str("corrections:\n");
    all(&mut text, &|at| {
        let minutes = [30, 55, 80][at % 3];
        format!(
            "  mend-{at}:\n    title: Mend {at}\n    kind: replace\n    at: engine\n    cures: [fault-{at}]\n    fails: 0.02\n    \
             minutes: {minutes}\n    cost: 50\n    access: {{open: [cowl-off]}}\n    steps: [Mend it.]\n    source: placeholder\n"
        )
    });
    text.push_str(
        "  mend-twins:\n    title: Mend the twins\n    kind: replace\n    at: engine\n    cures: [twin-a, twin-b]\n    minutes: 40\n    \
         cost: 10\n    steps: [Mend both.]\n    source: placeholder\n",
    );
    text
}

fn check(name: &str, minutes: usize, under_the_cowl: bool, shows: &[&str], chance: f64) -> String {
    let open = if under_the_cowl { "[cowl-off]" } else { "[]" };
    let mut text = format!(
        "  {name}:\n    title: {name}\n    at: engine\n    purpose: It shows some of them.\n    sees: awake\n    minutes: {minutes}\n    \
         access: {{open: {open}}}\n    steps: [Look.]\n    expected: Nothing.\n    source: placeholder\n    normal: Nothing seen\n    \
         outcomes:\n      seen:\n        title: Seen\n        leak: 0.02\n        shows:\n"
    );
    for cause in shows {
        // Writing into a String cannot fail.
        let _ = writeln!(text, "          - {{cause: {cause}, chance: {chance}}}");
    }
    text
}

/// The text of its layout.
pub(crate) const LAYOUT: &str = include_str!("../trees/good/layouts/four-magneto.yaml");
/// Name of its layout.
pub(crate) const LAYOUT_NAME: &str = "four-magneto";

/// The tree expanded over its one layout.
pub(crate) fn model() -> Arc<Model> {
    let files = [("tree.yaml", text()), ("layouts/four-magneto.yaml", LAYOUT.to_owned())];
    let files: Vec<(&str, &[u8])> = files.iter().map(|(name, text)| (*name, text.as_bytes())).collect();
    let library =
        Library::from_files(&files).unwrap_or_else(|faults| panic!("{}", roughrun::trees::render_all(&faults)));
    Arc::new(library.expand(&library.layout(LAYOUT_NAME).unwrap()).unwrap())
}
