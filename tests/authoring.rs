//! What authors of trees are told and given: the worked example of `trees/README.md`, run as it is printed, and the schemas.
#![allow(clippy::unwrap_used, clippy::panic)]

use std::path::{Path, PathBuf};
use std::process::Command;

use roughrun::trees::{FileKind, schema};

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn copy(from: &Path, to: &Path) {
    std::fs::create_dir_all(to).unwrap();
    for entry in std::fs::read_dir(from).unwrap() {
        let path = entry.unwrap().path();
        let target = to.join(path.file_name().unwrap());
        if path.is_dir() {
            copy(&path, &target);
        } else {
            std::fs::copy(&path, &target).unwrap();
        }
    }
}

/// The blocks between fences: what each is, and its lines.
fn blocks(page: &str) -> Vec<(String, Vec<&str>)> {
    let (mut found, mut open): (Vec<(String, Vec<&str>)>, bool) = (Vec::new(), false);
    for line in page.lines() {
        match line.strip_prefix("```") {
            Some(_) if open => open = false,
            Some(kind) => {
                found.push((kind.to_owned(), Vec::new()));
                open = true;
            }
            None if open => found.last_mut().unwrap().1.push(line),
            None => {}
        }
    }
    assert!(!open, "a block is not closed");
    found
}

/// Runs a command line with the program on the path; what it prints.
fn run(line: &str, folder: &Path) -> String {
    let program = Path::new(env!("CARGO_BIN_EXE_roughrun")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    let mut command = Command::new("sh");
    command.args(["-c", line]).current_dir(folder).env("PATH", path);
    command.env_remove("ROUGHRUN_TREES").env_remove("ROUGHRUN_RECORDS").env_remove("ROUGHRUN_SHOP");
    let output = command.output().unwrap();
    assert!(output.stderr.is_empty(), "{line}: {}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_worked_example_does_what_it_prints() {
    let page = std::fs::read_to_string(root().join("trees/README.md")).unwrap();
    let folder = tempfile::tempdir().unwrap();
    copy(&root().join("trees"), &folder.path().join("trees"));
    let (mut files, mut commands) = (0, 0);
    for (kind, lines) in blocks(&page) {
        match kind.as_str() {
            "yaml" => {
                let name = lines[0].strip_prefix("# ").unwrap();
                std::fs::write(folder.path().join(name), lines.join("\n") + "\n").unwrap();
                files += 1;
            }
            "console" => {
                let mut lines = lines.into_iter().peekable();
                while let Some(line) = lines.next() {
                    let command = line.strip_prefix("$ ").unwrap_or_else(|| panic!("no command: {line}"));
                    let mut printed = String::new();
                    while let Some(line) = lines.next_if(|line| !line.starts_with("$ ")) {
                        printed.push_str(line);
                        printed.push('\n');
                    }
                    assert_eq!(run(command, folder.path()), printed, "{command}");
                    commands += 1;
                }
            }
            other => panic!("a block of {other} is neither written nor run"),
        }
    }
    assert!(files >= 1 && commands >= 5, "{files} files, {commands} commands");
    let picture = std::fs::read_to_string(folder.path().join("side-dead.svg")).unwrap();
    assert!(picture.contains("noise filter leaking to ground"), "{picture}");
}

#[test]
fn the_schemas_are_those_of_the_program() {
    for kind in FileKind::ALL {
        let path = root().join(format!("trees/schema/{}.schema.json", kind.name()));
        let kept = std::fs::read_to_string(&path).unwrap_or_default();
        let name = kind.name();
        assert!(
            kept == schema(kind),
            "write it anew: cargo run -- tree schema {name} > trees/schema/{name}.schema.json"
        );
    }
}
