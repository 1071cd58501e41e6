//! What a tree becomes when it is expanded over a layout, and what else the library tells.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, clippy::float_cmp)]

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use petgraph::algo::toposort;
use roughrun::model::{
    AccessId, ComplaintId, CorrectionId, Event, Formula, Manner, Mode, ModeFacts, Model, Need, Node, Side, Site,
    Spends, Warning,
};
use roughrun::trees::{Drawing, Library, render_all};

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/trees")
}

fn good() -> Library {
    Library::load(&root().join("good")).unwrap_or_else(|faults| panic!("{}", render_all(&faults)))
}

fn model(layout: &str) -> Model {
    let library = good();
    let layout = library.layout(layout).unwrap();
    library.expand(&layout).unwrap_or_else(|faults| panic!("{}", render_all(&faults)))
}

fn site(text: &str) -> Site {
    text.parse().unwrap()
}

/// (cause and site, chance) of an event, as a tree writes them.
fn shown(model: &Model, event: &Event) -> Vec<(String, f64)> {
    event.causes.iter().map(|(id, chance)| (format!("{} {}", model[*id].name, model[*id].site), *chance)).collect()
}

/// What holds of every model, of whatever tree.
fn hangs_together(model: &Model) {
    let mut events: Vec<&Event> = model.complaints.iter().map(|c| &c.event).collect();
    for check in &model.checks {
        assert!(!check.outcomes.is_empty(), "{}", check.name);
        assert!(
            check.outcomes.iter().any(|o| !o.event.causes.is_empty() || !o.event.gates.is_empty()),
            "{}",
            check.name
        );
        assert!(check.open.iter().all(|id| !check.closed.contains(id)), "{}", check.name);
        assert!(
            check.open.iter().all(|id| model[*id].needs.iter().all(|need| check.open.contains(need))),
            "{}",
            check.name
        );
        assert!(check.limit.is_none_or(|limit| limit < model.limits.len()));
        if let Some(limit) = check.limit {
            for name in model.limits[limit].outcomes() {
                assert!(check.seen(name).is_some(), "{} has no {name} at {}", check.name, check.site);
            }
        }
        for outcome in &check.outcomes {
            assert!(outcome.event.causes.iter().all(|(id, _)| *id != model.unknown()));
            events.push(&outcome.event);
        }
    }
    for event in events {
        assert!(event.leak > 0.0 && event.leak < 1.0);
        let ids: Vec<usize> = event.causes.iter().map(|(id, _)| id.0).collect();
        assert!(ids.windows(2).all(|pair| pair[0] < pair[1]), "each once, in order");
        assert!(ids.iter().all(|id| *id < model.causes.len()));
        assert!(event.causes.iter().all(|(_, chance)| *chance > 0.0 && *chance <= 1.0));
        for (gate, chance) in &event.gates {
            assert!(*chance > 0.0 && *chance <= 1.0);
            assert!(matches!(gate, Formula::AtLeast { count, of } if *count > 1 && of.len() >= *count));
        }
    }
    assert_eq!(model.causes.last().unwrap().name, "unknown");
    assert!(model[model.unknown()].waking.can_sleep());
    for complaint in &model.complaints {
        assert_eq!(complaint.event.causes.last(), Some(&(model.unknown(), 0.9)));
        assert!(complaint.event.causes.len() > 1 || !complaint.event.gates.is_empty());
        assert_eq!(complaint.usual.0.len(), model.conditions.len());
    }
    for correction in &model.corrections {
        assert!(!correction.cures.is_empty());
    }
    for (i, cause) in model.causes.iter().enumerate().take(model.listed) {
        assert!(!model.cures(roughrun::model::CauseId(i)).is_empty(), "{} {}", cause.name, cause.site);
        assert!(model.layout.has(cause.site));
    }
    let order = toposort(&model.graph, None).expect("no way round");
    assert_eq!(order.len(), model.causes.len() + model.effects.len() + model.complaints.len());
    for edge in model.graph.edge_indices() {
        let (from, to) = model.graph.edge_endpoints(edge).unwrap();
        assert!(!matches!(model.graph[from], Node::Complaint(_)) && !matches!(model.graph[to], Node::Cause(_)));
    }
    // Nothing is there twice.
    let names: BTreeSet<(&str, Site)> = model.causes.iter().map(|c| (c.name.as_str(), c.site)).collect();
    assert_eq!(names.len(), model.causes.len());
}

#[test]
fn every_layout_expands_to_what_hangs_together() {
    let library = good();
    for layout in library.layouts() {
        hangs_together(&library.expand(layout).unwrap());
    }
}

#[test]
fn the_shipped_tree_is_without_faults_in_every_layout() {
    let library = Library::embedded().unwrap_or_else(|faults| panic!("{}", render_all(&faults)));
    assert!(library.layouts().len() >= 7);
    for layout in library.layouts() {
        let model = library.expand(layout).unwrap_or_else(|faults| panic!("{}", render_all(&faults)));
        hangs_together(&model);
        assert!(model.causes.len() > 200 && model.complaints.len() >= 10);
    }
}

#[test]
fn one_node_is_made_for_each_site() {
    let four = model("four-magneto");
    // 2 causes at 8 plugs, 1 at 2 magneto sides, 1 at 4 cylinders, and the unknown one.
    assert_eq!(four.causes.len(), 2 * 8 + 2 + 4 + 1);
    assert_eq!(four.effects.len(), 8 + 2 + 2 * 4 + 1);
    assert_eq!(four.complaints.len(), 2 + 1);
    assert_eq!(four.checks.len(), 2 * 8 + 2 + 4);
    assert_eq!(four.corrections.len(), 2 * 8 + 2 + 4);
    assert_eq!(four.access.len(), 3 + 2 * 8 + 2);
    let six = model("six-mixed");
    assert_eq!(six.causes.len(), 2 * 12 + 1 + 1 + 3 + 6 + 1);
    assert_eq!(six.effects.len(), 12 + 2 + 2 * 6 + 1 + 3);
    assert_eq!(six.checks.len(), 2 * 12 + 3 + 2 + 6);
}

#[test]
fn only_keeps_a_declaration_to_its_tags() {
    let six = model("six-mixed");
    assert!(six.find_cause("points-worn", site("left")).is_some());
    assert!(six.find_cause("points-worn", site("right")).is_none());
    assert!(six.find_cause("box-dead", site("left")).is_none());
    assert!(six.find_cause("coil-dead", site("right coil C")).is_some());
    assert!(six.access.iter().any(|a| a.name == "points-open" && a.site == site("left")));
    assert!(!six.access.iter().any(|a| a.name == "points-open" && a.site == site("right")));
    // A check that could show nothing on a magneto side is not there.
    assert!(model("four-magneto").checks.iter().all(|c| c.name != "coil-ohms"));
}

fn formula<'a>(model: &'a Model, name: &str, at: &str) -> &'a Formula {
    &model.effects.iter().find(|e| e.name == name && e.site == site(at)).unwrap().formula
}

#[test]
fn an_any_is_flattened_to_its_causes() {
    let six = model("six-mixed");
    let causes = |at: &str| {
        let Formula::Any(ids) = formula(&six, "plug-not-firing", at) else { panic!("not flat") };
        ids.iter().map(|id| format!("{} {}", six[*id].name, six[*id].site)).collect::<Vec<_>>()
    };
    assert_eq!(causes("left 3"), ["lead-open left 3", "plug-fouled left 3", "points-worn left"]);
    assert_eq!(
        causes("right 3"),
        ["lead-open right 3", "plug-fouled right 3", "coil-dead right coil B", "box-dead right"]
    );
}

#[test]
fn gates_are_kept_as_counts() {
    let four = model("four-magneto");
    let worn = |at: &str| Formula::Any(vec![four.find_cause("points-worn", site(at)).unwrap()]);
    assert_eq!(
        formula(&four, "both-sides-dead", "engine"),
        &Formula::AtLeast { count: 2, of: vec![worn("left"), worn("right")] }
    );
    let dead = formula(&four, "cylinder-dead", "cylinder 2").clone();
    assert!(matches!(&dead, Formula::AtLeast { count: 2, of } if of.len() == 2));
    let valve = Formula::Any(vec![four.find_cause("valve-sticking", site("cylinder 2")).unwrap()]);
    assert_eq!(formula(&four, "cylinder-missing", "cylinder 2"), &Formula::AtLeast { count: 1, of: vec![valve, dead] });
    let six = model("six-mixed");
    assert!(matches!(formula(&six, "pair-dead", "right coil A"), Formula::AtLeast { count: 2, of } if of.len() == 2));
    // The engine stops by one gate over both sides, by a gate for each cylinder and by each valve.
    let stops = &six[six.find_complaint("engine-stops", Site::Engine).unwrap()].event;
    assert_eq!((stops.gates.len(), stops.causes.len(), stops.leak), (1 + 6, 6 + 1, 0.001));
}

#[test]
fn a_cause_named_by_itself_overrides_what_an_effect_says() {
    let four = model("four-magneto");
    let rough = &four[four.find_complaint("rough-one-side", site("left")).unwrap()];
    let shown_here = shown(&four, &rough.event);
    let chance = |name: &str| shown_here.iter().find(|(n, _)| n == name).map(|(_, chance)| *chance);
    assert_eq!(chance("plug-fouled left 2"), Some(0.5));
    assert_eq!(chance("lead-open left 2"), Some(0.9));
    assert_eq!(chance("points-worn left"), Some(0.9));
    assert_eq!(chance("lead-open right 2"), None);
    assert_eq!(rough.event.leak, 0.01);
    assert_eq!(rough.usual.0, [2, 0, 0]);
    assert_eq!(rough.quiet.as_ref().unwrap().0, [0, 0, 0]);
}

#[test]
fn of_several_effects_the_larger_chance_counts_and_nought_takes_a_cause_out() {
    let tree = "format: roughrun-tree-1
unknown: {title: unknown, rate: 1, source: common}
causes:
  a: {title: A, at: plug, part: p, rate: 1, rate-source: common, how: H}
  b: {title: B, at: plug, part: p, rate: 1, rate-source: common, how: H}
  c: {title: C, at: plug, part: p, rate: 1, rate-source: common, how: H}
effects:
  ab: {title: AB, at: plug, any: [a, b, c]}
  both: {title: both, at: plug, any: [ab, b]}
complaints:
  x: {title: X, at: plug, shows: [{effect: ab, chance: 0.2}], proof: {minutes: 1, steps: [s]}}
checks:
  k:
    title: K
    at: plug
    purpose: P
    sees: awake
    minutes: 1
    steps: [s]
    expected: E
    source: common
    normal: N
    outcomes:
      bad:
        title: Bad
        leak: 0
        shows: [{effect: ab, chance: 0.7}, {effect: both, chance: 0.3}, {cause: c, chance: 0}]
      worse: {title: Worse, shows: [{cause: c, chance: 0.5}]}
corrections:
  m: {title: M, kind: clean, at: plug, cures: [a, b, c], minutes: 1, cost: 0, source: common}
";
    let library =
        Library::from_files(&[("tree.yaml", tree.as_bytes())]).unwrap_or_else(|f| panic!("{}", render_all(&f)));
    let layout = library.layout(&root().join("good/layouts/four-magneto.yaml").to_string_lossy()).unwrap();
    let model = library.expand(&layout).unwrap_or_else(|f| panic!("{}", render_all(&f)));
    let check = &model[model.find_check("k", site("left 1")).unwrap()];
    let bad = &check.outcomes[0].event;
    assert_eq!(shown(&model, bad), [("a left 1".to_string(), 0.7), ("b left 1".to_string(), 0.7)]);
    assert_eq!(bad.leak, 1e-6);
}

#[test]
fn access_is_closed_over_what_it_needs() {
    let four = model("four-magneto");
    let look = &four[four.find_check("plug-look", site("left 3")).unwrap()];
    let open: Vec<String> = look.open.iter().map(|id| format!("{} {}", four[*id].name, four[*id].site)).collect();
    assert_eq!(open, ["cowl-off engine", "plug-out left 3", "lead-off left 3"]);
    let closed: Vec<&str> = look.closed.iter().map(|id| four[*id].name.as_str()).collect();
    assert_eq!(closed, ["doors-shut"]);
    // Doors that are shut keep every lead on, on both sides.
    let shut = four.access.iter().find(|state| state.name == "doors-shut").unwrap();
    assert_eq!(shut.not_with.len(), 8);
    for (i, state) in four.access.iter().enumerate() {
        for other in &state.not_with {
            assert!(four[*other].not_with.iter().any(|back| back.0 == i));
        }
    }
}

#[test]
fn limits_are_overridden_by_layout_and_card() {
    let at = |model: &Model, name: &str, band: usize| {
        let limit = model.limits.iter().find(|l| l.name == name).unwrap();
        limit.bands[band].upper.unwrap().at
    };
    assert_eq!(at(&model("four-magneto"), "coil-resistance", 0), 0.5);
    let six = model("six-mixed");
    assert_eq!(at(&six, "coil-resistance", 0), 0.4);
    assert_eq!(six.limits.iter().find(|l| l.name == "coil-resistance").unwrap().reference_celsius, Some(20.0));
    let library = good();
    let (aircraft, layout) = library.aircraft(&root().join("good-cards/tourer.yaml"), (2026, 11, 25)).unwrap();
    let model = library.expand(&layout).unwrap();
    assert_eq!(at(&model, "lead-resistance", 0), 50.0);
    assert_eq!((aircraft.registration.as_str(), aircraft.layout.as_str()), ("ZZ-TRY", "four-magneto"));
    let lead = aircraft.age(&model.layout, "lead", site("left 2")).unwrap();
    assert_eq!(lead.hours, Some(620.0));
    assert!((lead.years.unwrap() - 8.57).abs() < 0.01);
    assert_eq!(aircraft.age(&model.layout, "plug", site("left 3")).unwrap().hours, Some(60.0));
    assert!(aircraft.age(&model.layout, "plug", site("left 2")).is_none());
}

#[test]
fn a_card_may_bring_a_layout_of_its_own() {
    let dir = tempfile::tempdir().unwrap();
    let layout = std::fs::read_to_string(root().join("good/layouts/six-mixed.yaml")).unwrap();
    std::fs::write(dir.path().join("mine.yaml"), layout.replace("name: six-mixed", "name: mine")).unwrap();
    let card = "format: roughrun-aircraft-1\nregistration: ZZ-OWN\nlayout: ./mine.yaml\nengine-hours: 10\n";
    std::fs::write(dir.path().join("card.yaml"), card).unwrap();
    let library = good();
    let (aircraft, layout) = library.aircraft(&dir.path().join("card.yaml"), (2026, 11, 25)).unwrap();
    assert_eq!(aircraft.layout, "mine");
    assert_eq!(library.expand(&layout).unwrap().layout.cylinders, 6);
    // A fault of that file is told with its line.
    std::fs::write(dir.path().join("mine.yaml"), layout_with_fault()).unwrap();
    let faults = library.aircraft(&dir.path().join("card.yaml"), (2026, 11, 25)).unwrap_err();
    assert_eq!((faults[0].code, faults[0].line), ("firing-order", 5));
    assert!(faults[0].file.ends_with("mine.yaml") && faults[0].text.starts_with("firing-order"));
}

fn layout_with_fault() -> &'static str {
    "format: roughrun-layout-1\nname: mine\ntitle: Mine\ncylinders: 4\nfiring-order: [1, 3, 2]\n\
     left: {kind: magneto-plain, upper: [1, 3]}\nright: {kind: magneto-plain, upper: [2, 4]}\n"
}

#[test]
fn an_unknown_layout_is_answered_with_the_known_ones() {
    let faults = good().layout("four-magnetto").unwrap_err();
    assert_eq!(faults[0].code, "unknown-name");
    assert!(faults[0].mend.contains("Did you mean \"four-magneto\"?") && faults[0].mend.contains("six-mixed"));
    assert_eq!(good().layout("./none.yaml").unwrap_err()[0].code, "cannot-read");
    assert_eq!(good().layout_names(), ["four-magneto", "six-mixed"]);
}

#[test]
fn the_digest_tells_any_change() {
    let (a, b) = (&b"format: roughrun-tree-1\n# a\n"[..], &b"format: roughrun-tree-1\n# b\n"[..]);
    let rest: Vec<(String, Vec<u8>)> = ["ground", "unknown", "parts", "checks", "work", "complaints"]
        .iter()
        .map(|name| (format!("{name}.yaml"), std::fs::read(root().join(format!("good/{name}.yaml"))).unwrap()))
        .collect();
    let digest = |last: &[u8]| {
        let mut files: Vec<(&str, &[u8])> =
            rest.iter().map(|(name, bytes)| (name.as_str(), bytes.as_slice())).collect();
        files.push(("z.yaml", last));
        let one = Library::from_files(&files).unwrap().digest().to_string();
        files.reverse();
        assert_eq!(Library::from_files(&files).unwrap().digest(), one, "the order they are given in does not count");
        one
    };
    assert_eq!(digest(a).len(), 64);
    assert_ne!(digest(a), digest(b));
}

#[test]
fn a_tree_can_be_shown() {
    let library = good();
    let summary = library.summary();
    assert_eq!(summary.causes[0].name, "lead-open");
    assert_eq!(
        (summary.causes.len(), summary.checks.len(), summary.complaints.len(), summary.layouts.len()),
        (6, 5, 2, 2)
    );
    let sheets = library.card("lead-open");
    assert_eq!(sheets.len(), 1);
    assert_eq!((sheets[0].section, sheets[0].file.as_str(), sheets[0].line), ("causes", "parts.yaml", 3));
    assert_eq!(sheets[0].cured_by, ["replace-lead"]);
    assert!(sheets[0].seen_by.contains(&"lead-ohms (open)".to_string()));
    assert!(sheets[0].seen_by.contains(&"run-up (rough)".to_string()), "{:?}", sheets[0].seen_by);
    insta::assert_snapshot!(library.card("lead-ohms")[0].text());
    let json = serde_json::to_value(&sheets).unwrap();
    assert_eq!(json[0]["says"]["wakes"]["heat"]["hot"], "0.5");
    assert!(library.card("nothing").is_empty() && library.card_names().contains("coil-ohms"));
}

#[test]
fn a_drawing_has_every_node_and_edge() {
    let four = model("four-magneto");
    let dot = Drawing::of(&four, true, None).unwrap().dot();
    assert_eq!(dot.matches("shape=").count(), four.graph.node_count());
    assert_eq!(dot.matches(" -> ").count(), four.graph.edge_count());
    assert!(dot.contains("label=\"both sides dead\\nengine\\nall 2 of\""), "{dot}");
    // Sites alike are one node: 4 causes of this layout and the unknown one, 5 effects, 2 complaints.
    let dot = Drawing::of(&four, false, None).unwrap().dot();
    assert_eq!(dot.matches("shape=").count(), 4 + 1 + 5 + 2, "{dot}");
    assert!(dot.contains("label=\"lead open\\n8 plugs\""), "{dot}");
    assert!(Drawing::of(&four, false, Some("no-such")).is_none());
}

#[test]
fn a_picture_draws_each_thing_once_and_says_where_else_it_belongs() {
    let four = model("four-magneto");
    let svg = Drawing::of(&four, false, Some("engine-stops")).unwrap().svg();
    assert!(!svg.contains("Rough on one side") && svg.contains(">Engine stops<"), "{svg}");
    // "Side dead" brings both sides dead, and the plugs of a side without a spark: drawn once, named once more.
    assert_eq!(svg.matches("side dead</text>").count(), 2 + 1, "{svg}");
    let ids: Vec<&str> = svg.split("id=\"").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    let links: Vec<&str> = svg.split("href=\"#").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(!links.is_empty() && links.iter().all(|link| ids.iter().filter(|id| id == &link).count() == 1), "{svg}");
    // No box lies on another.
    let places: Vec<(&str, &str)> = svg
        .split("<rect class")
        .skip(1)
        .map(|rest| (rest.split(" x=\"").nth(1).unwrap(), rest.split(" y=\"").nth(1).unwrap()))
        .map(|(x, y)| (x.split('"').next().unwrap(), y.split('"').next().unwrap()))
        .collect();
    let each: std::collections::BTreeSet<_> = places.iter().collect();
    assert_eq!(each.len(), places.len());
}

#[test]
fn modes_conditions_and_hazards_are_lowered() {
    let four = model("four-magneto");
    let heat = &four.conditions[0];
    assert_eq!(heat.rises_running, [None, Some(5.0), Some(20.0)]);
    assert_eq!(heat.falls_at_rest, [None, Some(150.0), Some(30.0)]);
    assert_eq!(heat.falls_running, [None; 3]);
    assert_eq!(four.conditions[1].falls_running, [None, Some(15.0)]);
    let run = &four[Mode::Run];
    assert_eq!((run.title.as_str(), run.from, run.there, run.back), ("running", Mode::AtRest, 8.0, 2.0));
    assert_eq!((&run.sets, &run.leaves), (&vec![(2, 1)], &vec![(2, 0)]));
    assert_eq!(run.formerly, ["engine-running"]);
    assert_eq!(four[run.hazards[0]].name, "engine-running");
    let open: Vec<&str> = four[Mode::Turned].open.iter().map(|id| four[*id].name.as_str()).collect();
    assert_eq!(open, ["cowl-off", "turn-safe"], "with what it needs in turn");
    // A mode that the tree does not declare takes, needs and brings nothing; two are reached from the running engine.
    assert_eq!(four[Mode::RunAtPower].from, Mode::Run);
    assert_eq!((four[Mode::Flown].title.as_str(), four[Mode::Flown].from), ("flown", Mode::Run));
    assert_eq!(four[Mode::Cranked], ModeFacts { title: "cranked".into(), ..ModeFacts::default() });
    let named = |name: &str| four.hazards.iter().find(|hazard| hazard.name == name).unwrap();
    assert_eq!(
        (named("hot-parts").after_run, named("acid").of_parts.as_slice()),
        (Some(30.0), &["battery".into()][..])
    );
}

#[test]
fn work_says_how_it_is_done() {
    let four = model("four-magneto");
    let warm_up = &four.provocations[0].manner;
    assert_eq!((warm_up.engine, warm_up.stops, warm_up.waiting), (Mode::Run, true, 10.0));
    let feel = &four[four.find_check("valve-feel", site("cylinder 2")).unwrap()];
    assert_eq!((feel.manner.engine, feel.manner.stops), (Mode::Turned, false));
    assert_eq!(four[four.find_check("lead-ohms", site("left 3")).unwrap()].manner, Manner::default());
    let coil = &model("six-mixed");
    let ohms = coil.checks.iter().find(|check| check.name == "coil-ohms").unwrap();
    assert_eq!(ohms.manner.touches, ["battery"]);
    let stops = four.complaints.iter().find(|complaint| complaint.name == "engine-stops").unwrap();
    assert_eq!((stops.proof.engine, stops.warning), (Mode::RunAtPower, Some(Warning::SideLive)));
    let rough = four.complaints.iter().find(|complaint| complaint.name == "rough-one-side").unwrap();
    assert_eq!((rough.proof.engine, rough.warning), (Mode::Run, None));
}

#[test]
fn references_between_work_mean_the_sites_they_meet() {
    let four = model("four-magneto");
    let check = |name: &str, at: &str| four.find_check(name, site(at)).unwrap();
    let lead = four.access.iter().find(|state| state.name == "lead-off" && state.site == site("left 3")).unwrap();
    assert_eq!(lead.owes, [check("run-up", "left")], "the side that encloses the plug");
    assert_eq!(lead.owes_before_run, [check("lead-ohms", "left 3")]);
    assert_eq!(lead.stays_open_in, []);
    let upsets: Vec<_> = lead.upsets.iter().map(|id| (four[*id].name.as_str(), four[*id].site)).collect();
    assert_eq!(upsets, [("lead-open", site("left 3"))]);
    let replaced = four.corrections.iter().find(|c| c.name == "replace-lead" && c.site == site("right 2")).unwrap();
    assert_eq!(
        (&replaced.owes, &replaced.owes_before_run),
        (&vec![check("run-up", "right")], &vec![check("lead-ohms", "right 2")])
    );

    let ohms = &four[check("lead-ohms", "left 3")];
    let run_up = check("run-up", "left");
    let dead = four[run_up].outcomes.iter().position(|outcome| outcome.name == "dead").unwrap();
    let stops = four.complaints.iter().position(|complaint| complaint.name == "engine-stops").unwrap();
    let needs = [
        Need::ShowsNow,
        Need::Answered(vec![run_up]),
        Need::NotSeen(vec![(run_up, dead)]),
        Need::NotComplaint(vec![ComplaintId(stops)]),
        Need::Gauge("EGT of each cylinder".into()),
    ];
    assert_eq!(ohms.needs, needs);

    let look = &four[check("plug-look", "left 3")];
    let cover = four.access.iter().position(|state| state.name == "points-open" && state.site == site("left")).unwrap();
    let clean = four.corrections.iter().position(|c| c.name == "clean-plug" && c.site == site("left 3")).unwrap();
    assert_eq!(look.gone_after, [Spends::Opened(AccessId(cover)), Spends::Corrected(CorrectionId(clean))]);
    // One look at all plugs of a side: each of the others, and not itself.
    assert_eq!(look.same_look.len(), 3);
    assert!(!look.same_look.contains(&check("plug-look", "left 3")));
    assert_eq!(ohms.same_look, []);
}

#[test]
fn what_a_layout_leaves_out_goes_out_of_references_silently() {
    let mixed = model("six-mixed");
    let plug = mixed.checks.iter().find(|c| c.name == "plug-look" && c.site.side() == Some(Side::Right)).unwrap();
    assert!(
        plug.gone_after.iter().all(|work| matches!(work, Spends::Corrected(_))),
        "an electronic side has no points"
    );
}
