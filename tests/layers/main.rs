//! The layer rule of `src/lib.rs`, held by a parse of the sources: which room may know which, what no pure room may
//! name, and that the files of a room use each other one way.

#![allow(clippy::unwrap_used, clippy::panic)]

mod names;
mod rooms;

use std::collections::BTreeSet;
use std::path::PathBuf;

use rooms::{Source, all, circle, inside, parsed};

/// The rooms from the ground up. A room knows those below its row, and none beside it. `work` is what doing a thing
/// takes.
const ORDER: [&[&str]; 18] = [
    &["text", "tables", "spread"],
    &["measure", "figures"],
    &["model"],
    &["study", "work"],
    &["upkeep"],
    &["job"],
    &["belief"],
    &["plan"],
    &["analysis"],
    &["teststand", "learn"],
    &["trees", "record"],
    &["guide"],
    &["shop"],
    &["review", "diagnose"],
    &["practise"],
    &["lint", "report"],
    &["tui", "plain"],
    &["cli"],
];
/// The rows that are pure: those below the first that reads or writes files.
const PURE: usize = 10;
/// What no pure room may name: files, environment, clock, threads, the terminal, chance from the system.
const OUTSIDE: [&str; 12] = [
    "std::fs",
    "std::env",
    "std::io",
    "std::time",
    "std::thread",
    "std::process",
    "std::net",
    // A time that is given is a value; what may not be named is the clock.
    "chrono::Utc",
    "chrono::Local",
    "ratatui",
    "crossterm",
    "rand::rng",
];
const PRINTS: [&str; 4] = ["println!", "print!", "eprintln!", "eprint!"];
/// Rooms whose files still go round in circles, each with the reason. A room leaves this list when it no longer does.
const ROUND: [(&str, &str); 10] = [
    ("cli", "each command uses the errors and outcomes that the door of the room holds, and the door calls it"),
    ("measure", "the error says the longest input, which parsing holds"),
    ("practise", "a debrief holds the habit to work on, which is found in the paces of a debrief"),
    ("record", "a scan fills a segment, and a segment is made by a scan"),
    ("report", "the door holds the statement that is on every page, and calls what writes the pages"),
    ("review", "the views take the forms of the folder that writes them"),
    ("shop", "a replay is handed the shop that calls it"),
    ("teststand", "a policy calls its way of working, which asks the policy for rounds and what they cleared"),
    ("trees", "a swap is made of the parts that expansion holds and calls it with"),
    ("tui", "actions ask the app what can be done, and the app's context asks for actions"),
];

fn row(room: &str) -> Option<usize> {
    ORDER.iter().position(|row| row.contains(&room))
}

/// What rooms know that they must not.
fn faults(sources: &[Source]) -> Vec<String> {
    let mut faults = Vec::new();
    for source in sources {
        let Some(own) = row(source.room()) else {
            faults.push(format!("{} is in no room", source.path.display()));
            continue;
        };
        for named in source.names.all.iter().filter(|named| named[0] == "crate") {
            let fine = match named.get(1) {
                Some(room) if room == source.room() => true,
                Some(room) => row(room).is_some_and(|row| row < own),
                None => false,
            };
            if !fine {
                faults.push(format!("{} names {}", source.path.display(), named.join("::")));
            }
        }
    }
    faults
}

#[test]
fn rooms_know_only_rooms_below_them() {
    let faults = faults(&all());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn pure_rooms_name_nothing_outside() {
    let mut faults = Vec::new();
    for source in all().iter().filter(|s| row(s.room()).is_some_and(|row| row < PURE)) {
        for named in source.names.all.iter().map(|named| named.join("::")) {
            if OUTSIDE.iter().any(|out| named == *out || named.starts_with(&format!("{out}::"))) {
                faults.push(format!("{} names {named}", source.path.display()));
            }
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn only_the_command_line_prints() {
    for source in all().iter().filter(|s| s.room() != "cli") {
        let prints = source.names.all.iter().find(|named| PRINTS.contains(&named[0].as_str()));
        assert!(prints.is_none(), "{} prints: {prints:?}", source.path.display());
    }
}

#[test]
fn the_files_of_a_room_use_each_other_one_way() {
    let sources = all();
    let rooms: BTreeSet<&str> = sources.iter().map(Source::room).collect();
    let mut faults = Vec::new();
    for room in rooms {
        let listed = ROUND.iter().any(|(name, _)| *name == room);
        match circle(&inside(room, &sources)) {
            Some(found) if !listed => faults.push(format!("{room}: {}", found.join(" -> "))),
            None if listed => faults.push(format!("{room} has no circle any more: take it off the list")),
            _ => {}
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn no_file_is_long() {
    for source in all() {
        assert!(source.lines <= 800, "{} is too long", source.path.display());
    }
}

/// Small sources: (path below `src`, text).
fn small(files: &[(&str, &str)]) -> Vec<Source> {
    parsed(&files.iter().map(|(path, text)| (PathBuf::from(path), (*text).to_owned())).collect::<Vec<_>>())
}

#[test]
fn every_way_to_name_a_room_is_seen() {
    let caught = |text: &str| faults(&small(&[("belief/deep/part.rs", text)]));
    for upward in [
        "use crate::plan::Action;",
        "use crate::{model::Model, plan::{self, Action}};",
        "use crate::{plan as other};",
        "use super::super::super::plan::Action;",
        "pub use super::super::super::{model::Model, plan::Action};",
        "fn f() { crate::plan::advise(); }",
        "fn f(a: &crate::plan::Action) {}",
        "fn f() -> Vec<crate::plan::Action> { Vec::new() }",
        "impl crate::plan::Of for u8 {}",
        "mod inner { use super::super::super::super::plan::Action; }",
        "fn f() { format!(\"{}\", crate::plan::words()); }",
        "use crate as all;",
        "use crate::nowhere::Thing;",
    ] {
        assert!(!caught(upward).is_empty(), "{upward}");
    }
    for fine in [
        "use crate::{model::Model, measure::Limit};",
        "use super::super::Posterior;",
        "use super::{kernel, super::bits};",
        "#[cfg(test)] mod tests { use crate::plan::Action; }",
        "// crate::plan is above\n/// [`crate::plan`]\nfn f() { let _ = \"crate::plan::x\"; }",
        "pub(in crate::belief) fn f() {}",
        "use std::collections::BTreeMap;",
    ] {
        assert_eq!(caught(fine), Vec::<String>::new(), "{fine}");
    }
    // Beside is as forbidden as above.
    assert_eq!(faults(&small(&[("plain/a.rs", "use crate::tui::run;")])).len(), 1);
    assert_eq!(faults(&small(&[("nowhere/a.rs", "")])), ["nowhere/a.rs is in no room"]);
}

#[test]
fn circles_are_seen_and_doors_are_none() {
    let round = |files: &[(&str, &str)]| circle(&inside("belief", &small(files)));
    let door = ("belief/mod.rs", "mod a; mod b; pub use a::A; pub use b::B;");
    // Through the door and back.
    let found = round(&[
        door,
        ("belief/a.rs", "use super::B; pub struct A;"),
        ("belief/b.rs", "use super::a::A; pub struct B;"),
    ]);
    assert_eq!(found.unwrap(), ["belief/a", "belief/b"]);
    assert_eq!(round(&[door, ("belief/a.rs", "use super::B; pub struct A;"), ("belief/b.rs", "pub struct B;")]), None);
    // What the door itself holds is a file like any other.
    let own = ("belief/mod.rs", "mod a; use a::A; pub struct Own(A);");
    assert_eq!(round(&[own, ("belief/a.rs", "pub struct A; fn f(_: super::Own) {}")]).unwrap().len(), 2);
    assert_eq!(round(&[own, ("belief/a.rs", "pub struct A;")]), None);
}
