//! What the screens look like, as snapshots.

use super::play::Play;
use super::sizes::WAYS;
use crate::tui::app::Screen;
use crate::tui::theme::{Depth, Theme};

/// The screens before a job, and the keys to them from the bench.
const BEFORE_A_JOB: &[(&str, &str)] = &[
    ("bench_empty", ""),
    ("which_engine", "1"),
    ("complaint", "1 1"),
    ("place", "1 1 1"),
    ("intake", "1 1 1 1"),
    ("recent_work", "1 1 1 1 up up up right \"switch enter \"leads enter down enter esc"),
    ("bench_with_a_job", "1 1 1 1 enter a a a Q esc"),
    ("help_of_the_bench", "?"),
];

#[test]
fn every_screen_before_a_job_in_every_size() {
    for (name, way) in BEFORE_A_JOB {
        for (width, height) in [(40, 12), (80, 24), (100, 30), (160, 50)] {
            let screen = Play::new().keys(way).screen(width, height);
            insta::assert_snapshot!(format!("{name}_{width}x{height}"), screen);
        }
        let mut play = Play::new();
        play.app.theme = Theme { ascii: true, ..Theme::default() };
        let screen = play.keys(way).screen(80, 24);
        assert!(screen.is_ascii(), "{name}:\n{screen}");
        insta::assert_snapshot!(format!("{name}_ascii"), screen);
    }
}

#[test]
fn the_tour_in_every_size() {
    for (width, height) in [(40, 12), (80, 24), (100, 30), (160, 50)] {
        let mut play = Play::new();
        play.app.show(Screen::Tour);
        insta::assert_snapshot!(format!("tour_{width}x{height}"), play.screen(width, height));
    }
}

#[test]
fn every_screen_of_a_job_in_three_sizes() {
    for (name, way) in WAYS {
        for (width, height) in [(80, 24), (100, 30), (160, 50)] {
            let screen = Play::on_walk().keys(way).screen(width, height);
            insta::assert_snapshot!(format!("{}_{width}x{height}", name.replace(' ', "_")), screen);
        }
    }
}

#[test]
fn every_screen_at_the_smallest_size() {
    let screen = Play::on_walk().keys("a a a").screen(60, 20);
    insta::assert_snapshot!("walk_60x20", screen);
    for (name, way) in WAYS {
        let screen = Play::on_walk().keys(way).screen(40, 12);
        insta::assert_snapshot!(format!("{}_40x12", name.replace(' ', "_")), screen);
    }
}

#[test]
fn in_ascii_nothing_else_is_drawn() {
    for (name, way) in WAYS {
        let mut play = Play::on_walk();
        play.app.theme = Theme { ascii: true, ..Theme::default() };
        let screen = play.keys(way).screen(80, 24);
        assert!(screen.is_ascii(), "{name}:\n{screen}");
        insta::assert_snapshot!(format!("{}_ascii", name.replace(' ', "_")), screen);
    }
}

#[test]
fn styles_of_the_walk() {
    // Each run of one style on its line, so that a lost style is seen.
    let mut play = Play::on_walk();
    play.keys("a a a down");
    play.app.theme = Theme { depth: Depth::Sixteen, ..Theme::default() };
    let buffer = play.buffer(80, 24);
    let mut runs = Vec::new();
    for y in 0..24 {
        let mut line: Vec<(String, String)> = Vec::new();
        for x in 0..80 {
            let cell = &buffer[(x, y)];
            let style = format!("{:?} {:?}", cell.fg, cell.modifier);
            match line.last_mut() {
                Some((last, text)) if *last == style => text.push_str(cell.symbol()),
                _ => line.push((style, cell.symbol().to_owned())),
            }
        }
        let named = line.iter().filter(|(style, text)| !style.starts_with("Reset NONE") && !text.trim().is_empty());
        runs.extend(named.map(|(style, text)| format!("{y:>2} {style}: {}", text.trim())));
    }
    insta::assert_snapshot!("walk_styles", runs.join("\n"));
}
