//! `roughrun tree`: lint, show, graph, schema; simulate has a file of its own.

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::PathBuf;

use serde::Serialize;
use serde_json::json;

use super::args::{Drawing, Places, SchemaOf, Tree};
use super::{CliError, Kind, Outcome, out};
use crate::lint;
use crate::model::{Model, Side, Site};
use crate::shop;
use crate::text::counted;
use crate::trees::{self, Diagnostic, FileKind, Library, Severity};

pub(super) fn run(places: &Places, tree: &Tree) -> Outcome {
    match tree {
        Tree::Lint { paths, strict, json } => lint(places, paths, *strict, *json),
        Tree::Show { name, json, layout } => {
            let library = places.library()?;
            match layout {
                Some(layout) => show_layout(&model(&library, layout)?, name.as_deref(), *json),
                None => show(&library, name.as_deref(), *json),
            }
        }
        Tree::Sources { json } => {
            let rows = places.library()?.sources();
            out::print(&if *json { pretty(&rows)? } else { trees::sources_page(&rows) })?;
            Ok(0)
        }
        Tree::Simulate(simulate) => super::simulate::run(places, simulate),
        Tree::Schema { kind } => {
            let kind = match kind {
                SchemaOf::Tree => FileKind::Tree,
                SchemaOf::Layout => FileKind::Layout,
                SchemaOf::Aircraft => FileKind::Aircraft,
                SchemaOf::Shop => FileKind::Shop,
                SchemaOf::Learnt => FileKind::Learnt,
                SchemaOf::Practice => FileKind::Practice,
            };
            out::print(&trees::schema(kind))?;
            Ok(0)
        }
        Tree::Graph { layout, complaint, sites, format } => {
            let library = places.library()?;
            let first = library.layout_names().first().map(|name| (*name).to_owned());
            let Some(layout) = layout.clone().or(first) else {
                return Err(CliError::new(
                    Kind::Usage,
                    "These trees have no layout. Name a layout file with --layout.",
                ));
            };
            let model = model(&library, &layout)?;
            let Some(drawing) = trees::Drawing::of(&model, *sites, complaint.as_deref()) else {
                let known = model.complaints.iter().map(|c| c.name.as_str()).collect();
                return Err(no_name(complaint.as_deref().unwrap_or_default(), known));
            };
            out::print(&match format {
                Drawing::Dot => drawing.dot(),
                Drawing::Svg => drawing.svg(),
            })?;
            Ok(0)
        }
    }
}

pub(super) fn model(library: &Library, layout: &str) -> Result<Model, CliError> {
    shop::model(library, layout, None).map_err(|fault| CliError::from(fault).into_usage())
}

fn lint(places: &Places, paths: &[PathBuf], strict: bool, json: bool) -> Outcome {
    let found: Vec<Diagnostic> = match (paths, &places.trees) {
        ([], Some(dir)) => lint::lint(std::slice::from_ref(dir), None, shop::today()),
        ([], None) => Library::embedded().map_or_else(|faults| faults, |library| lint::lint_library(&library)),
        (paths, _) => {
            // Layouts and cards by themselves are held against the trees in use, where those can be read.
            let library = places.library().ok();
            lint::lint(paths, library.as_ref(), shop::today())
        }
    };
    let warnings = found.iter().filter(|d| d.severity == Severity::Warning).count();
    let faults = found.len() - warnings;
    if json {
        out::print(&pretty(&found)?)?;
    } else {
        let were = |n: usize| if n == 1 { "was" } else { "were" };
        let found_of = |n: usize, what: &str| (n > 0).then(|| format!("{} {} found.", counted(n, what), were(n)));
        let counts: Vec<String> =
            [found_of(faults, "fault"), found_of(warnings, "warning")].into_iter().flatten().collect();
        if counts.is_empty() {
            out::print("No faults were found.")?;
        } else {
            out::print(&format!("{}\n\n{}", trees::render_all(&found), counts.join(" ")))?;
        }
    }
    Ok(if faults > 0 || strict && warnings > 0 { Kind::Fault.exit_code() } else { 0 })
}

pub(super) fn pretty(value: &impl Serialize) -> Result<String, CliError> {
    serde_json::to_string_pretty(value)
        .map_err(|fault| CliError::new(Kind::Fault, format!("There is no form in JSON for this: {fault}.")))
}

fn show(library: &Library, name: Option<&str>, json: bool) -> Outcome {
    let Some(name) = name else {
        let summary = library.summary();
        let text = if json {
            pretty(&summary)?
        } else {
            let sections = [
                ("Layouts", &summary.layouts),
                ("Complaints", &summary.complaints),
                ("Checks", &summary.checks),
                ("Causes", &summary.causes),
                ("Recent work", &summary.recent_work),
            ];
            let mut text = String::new();
            for (title, named) in sections {
                // Writing into a String cannot fail.
                let _ = writeln!(text, "{title}:");
                named.iter().for_each(|n| {
                    let _ = writeln!(text, "  {:<34} {}", n.name, n.title);
                });
            }
            text
        };
        out::print(&text)?;
        return Ok(0);
    };
    let sheets = library.card(name);
    if sheets.is_empty() {
        let known = library.card_names();
        if known.is_empty() || !library.layout_names().contains(&name) {
            return Err(no_name(name, known));
        }
        // The name of a layout: what the layout makes of the trees.
        return show_layout(&model(library, name)?, None, json);
    }
    let text =
        if json { pretty(&sheets)? } else { sheets.iter().map(trees::Sheet::text).collect::<Vec<_>>().join("\n") };
    out::print(&text)?;
    Ok(0)
}

pub(super) fn no_name(name: &str, known: BTreeSet<&str>) -> CliError {
    let fault = CliError::new(Kind::Usage, format!("There is no \"{name}\" in these trees."));
    match trees::nearest(name, known) {
        Some(near) => fault.hint(format!("Did you mean \"{near}\"?")),
        None => fault.hint("`roughrun tree show` lists the names."),
    }
}

/// Something declared, at one site of a layout.
#[derive(Serialize)]
struct Placed {
    kind: &'static str,
    name: String,
    at: String,
    title: String,
}

fn placed(model: &Model) -> Vec<Placed> {
    let line = |kind, name: &str, at: Site, title: &str| Placed {
        kind,
        name: name.to_owned(),
        at: at.to_string(),
        title: title.to_owned(),
    };
    let complaints = model.complaints.iter().map(|c| line("complaint", &c.name, c.site, &c.title));
    let checks = model.checks.iter().map(|c| line("check", &c.name, c.site, &c.title));
    let causes = model.causes.iter().map(|c| line("cause", &c.name, c.site, &c.title));
    let corrections = model.corrections.iter().map(|c| line("correction", &c.name, c.site, &c.title));
    let provocations = model.provocations.iter().map(|p| line("provocation", &p.name, Site::Engine, &p.title));
    let work = model.recent_work.iter().map(|w| line("recent work", &w.name, w.site, &w.title));
    complaints.chain(checks).chain(causes).chain(corrections).chain(provocations).chain(work).collect()
}

fn show_layout(model: &Model, name: Option<&str>, json: bool) -> Outcome {
    let layout = &model.layout;
    let all = placed(model);
    let wanted: Vec<&Placed> = all.iter().filter(|p| name.is_none_or(|name| p.name == name)).collect();
    if let (Some(name), true) = (name, wanted.is_empty()) {
        return Err(no_name(name, all.iter().map(|p| p.name.as_str()).collect()));
    }
    if json {
        let side = |side| {
            let of = layout.side(side);
            json!({"kind": of.kind.name(), "upper": of.upper, "lead_feet": of.lead_feet,
                "coils": of.coils.iter().map(|c| (c.letter.to_string(), c.fires.clone())).collect::<std::collections::BTreeMap<_, _>>()})
        };
        let value = json!({"layout": layout.name, "title": layout.title, "cylinders": layout.cylinders,
            "firing_order": layout.firing_order, "left": side(Side::Left), "right": side(Side::Right), "nodes": wanted});
        out::print(&pretty(&value)?)?;
        return Ok(0);
    }
    let mut text = format!("{} ({})\n", layout.title, layout.name);
    let order: Vec<String> = layout.firing_order.iter().map(ToString::to_string).collect();
    let _ = writeln!(text, "{} cylinders, firing order {}", layout.cylinders, order.join("-"));
    for side in Side::BOTH {
        let of = layout.side(side);
        let upper: Vec<String> = of.upper.iter().map(ToString::to_string).collect();
        let _ = writeln!(text, "{side}: {}; upper plugs of {}", of.words(), upper.join(", "));
    }
    let _ = writeln!(
        text,
        "{} causes, {} effects, {} complaints, {} checks, {} corrections",
        model.causes.len(),
        model.effects.len(),
        model.complaints.len(),
        model.checks.len(),
        model.corrections.len()
    );
    for p in wanted {
        let _ = writeln!(text, "  {:<11} {} at {}: {}", p.kind, p.name, p.at, p.title);
    }
    out::print(&text)?;
    Ok(0)
}
