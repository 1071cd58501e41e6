//! What changes the state, and what may know of what: read from the source, so that it stays so.

use std::path::{Path, PathBuf};

/// The files of the screens, by their paths below `src/tui`, without their tests.
fn files() -> Vec<(String, String)> {
    let room = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/tui");
    let mut folders = vec![room.clone()];
    let mut files = Vec::new();
    while let Some(folder) = folders.pop() {
        for entry in std::fs::read_dir(folder).unwrap() {
            let path: PathBuf = entry.unwrap().path();
            if path.is_dir() && !path.ends_with("tests") {
                folders.push(path);
            } else if path.extension().is_some_and(|ext| ext == "rs") {
                let name = path.strip_prefix(&room).unwrap().to_string_lossy().into_owned();
                files.push((name, std::fs::read_to_string(&path).unwrap()));
            }
        }
    }
    assert!(files.len() > 60, "{} files", files.len());
    files
}

fn is_update(name: &str) -> bool {
    name == "update.rs" || name.starts_with("update/")
}

#[test]
fn nothing_but_update_changes_the_state() {
    for (name, text) in files() {
        // The loop hands the state on to `update`, and assigns nothing of it.
        let may_hold = is_update(&name) || name == "mod.rs";
        assert!(may_hold || !text.contains("&mut App"), "{name} takes the state to change it");
        if name == "mod.rs" {
            let assigns = |line: &str| {
                let behind = line.trim_start().strip_prefix("app.").and_then(|rest| rest.split_once(" = "));
                behind.is_some_and(|(place, _)| place.chars().all(|c| c.is_alphanumeric() || c == '_' || c == '.'))
            };
            assert_eq!(text.lines().find(|line| assigns(line)), None);
        }
    }
}

#[test]
fn effects_and_what_they_ask_never_see_the_state() {
    for (name, text) in files() {
        if ["effect.rs", "message.rs", "desk.rs", "desk_shop.rs", "lead_desk.rs", "think.rs", "work.rs"]
            .contains(&name.as_str())
        {
            assert!(!text.contains("app::"), "{name}");
        }
    }
}

#[test]
fn update_draws_nothing() {
    for (name, text) in files().into_iter().filter(|(name, _)| is_update(name)) {
        for drawing in ["::view", "::screen", "::widget", "ratatui"] {
            assert!(!text.contains(drawing), "{name} knows of {drawing}");
        }
    }
}
